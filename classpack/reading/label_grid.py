"""The sizes of the label sheets in the tutor's printer, from the class file's ``labels``."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import partial

from classpack.model.class_day import LABEL_SHEETS, LabelGrid
from classpack.quantities import NotUnderstood, parse_number
from classpack.reading.sections import Section

LONGEST_MM = 500
_LENGTH = re.compile(r"(?P<number>[0-9][0-9.,]*) ?(?P<unit>mm|cm|in)")
_MM = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10)}


def read_labels(top: Section) -> tuple[LabelGrid, ...]:
    """One grid for each kind of label that the file has something to say about."""
    labels = top.section("labels", "'labels'")
    if labels is None:
        return ()
    found = []
    for of in LABEL_SHEETS:
        section = labels.section(of, f"'{of}'")
        if section is not None:
            found.append(_grid(section, of))
            section.close()
    labels.close()
    return tuple(found)


def _grid(section: Section, of: str) -> LabelGrid:
    start = section.whole("start", 1, 200) or 1
    if not any(section.has(name) for name in ("columns", "rows", "width", "height")):
        return LabelGrid(of, start=start)
    columns = section.whole("columns", 1, 10, "'columns: 2'") or 1
    rows = section.whole("rows", 1, 30, "'rows: 7'") or 1
    if start > columns * rows:
        section.problem(
            section.spot_of("start"),
            f"the first label is number {start} of {columns * rows} on a sheet",
            "count along the rows, from 1 at the top left",
        )
        start = 1
    width = _mm(section, "width", "'width: 99.1 mm'") or Fraction(1)
    height = _mm(section, "height", "'height: 38.1 mm'") or Fraction(1)
    return LabelGrid(
        of,
        columns,
        rows,
        width,
        height,
        _mm(section, "left", "'left: 4.7 mm', the margin to the first label") or Fraction(0),
        _mm(section, "top", "'top: 15.2 mm', the margin to the first label") or Fraction(0),
        _step(section, "across", width),
        _step(section, "down", height),
        start,
    )


def _step(section: Section, name: str, least: Fraction) -> Fraction:
    """From label to label; as much as the label itself unless said, and never less."""
    step = _mm(section, name)
    if step is not None and step < least:
        section.problem(
            section.spot_of(name),
            f"'{name}' is smaller than the label",
            "it is the distance from one label's edge to the same edge of the next",
        )
    return max(step or least, least)


def _mm(section: Section, name: str, required: str = "") -> Fraction | None:
    return section.read(name, partial(_length_mm, name), required)


def _length_mm(name: str, text: str) -> Fraction:
    match = _LENGTH.fullmatch(text)
    if not match:
        raise NotUnderstood(
            f"'{name}' is '{text}'", f"write a length with its unit, as in '{name}: 38.1 mm'"
        )
    length = parse_number(match["number"]) * _MM[match["unit"]]
    if length > LONGEST_MM:
        raise NotUnderstood(f"'{name}' is '{text}'", "no label sheet is that long")
    return length
