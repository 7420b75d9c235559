"""What a table holds, how wide its columns are, and where their decimal signs stand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from classpack.errors import Spot
from classpack.typeset.blocks import (
    refuse,
)
from classpack.typeset.page_text import POINTS_PER_MM
from classpack.typeset.text import TextSpan

SLIMMEST = 14.0

GUTTERS = {(False, False): 12.0, (False, True): 10.0, (True, True): 9.0, (True, False): 16.0}
"""White between two columns, by whether each is set to its right."""
CELL_PAD = 4.0
"""White inside the cells of a form's grid, left and right."""

_NUMBER = re.compile(
    r"([+−–-]?[0-9][0-9\u00a0\u202f ]*?)([.,][0-9]+)?(?=$|[^0-9.,])(.*)", re.DOTALL
)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as it came: its words, and how it wants to be set."""

    spans: tuple[TextSpan, ...]
    span: int = 1
    align: str = ""
    header: bool = False
    blank: bool = False
    tick: bool = False
    spot: Spot | None = None

    @property
    def plain(self) -> str:
        return "".join(s.text for s in self.spans if s.text != "\n").strip()


@dataclass(frozen=True, slots=True)
class Row:
    """``kind`` is head, body, sum, total or group."""

    cells: tuple[Cell, ...]
    kind: str = "body"
    tick: bool = False
    keep_next: bool = False
    spot: Spot | None = None


def gutters(aligns: Sequence[str], grid: bool) -> list[float]:
    """White at the right of each column."""
    if grid:
        return [2 * CELL_PAD] * len(aligns)
    right = [align in ("right", "decimal") for align in aligns]
    return [GUTTERS[a, b] for a, b in pairwise(right)] + [0.0]


def column_widths(
    asked: Sequence[str],
    rows: Sequence[Row],
    measure: float,
    spot: Spot,
    aligns: Sequence[str],
    grid: bool = False,
    tick_room: float = 0,
) -> list[float]:
    """Widths in points that add up to ``measure``; each holds its gutter at the right, the last has none.
    ``tick_room`` is what a box in a cell takes beside its words.

    Raises:
        LayoutError: the fixed columns leave too little for the others.
    """
    count = len(asked)
    widths = [0.0] * count
    shares = [0.0] * count
    natural: list[int] = []
    white = gutters(aligns, grid)
    for number, text in enumerate(asked):
        if text.endswith("mm"):
            widths[number] = float(text[:-2]) * POINTS_PER_MM
        elif text.endswith("%"):
            widths[number] = float(text[:-1]) / 100 * measure
        elif text == "auto":
            natural.append(number)
            widths[number] = _natural(rows, number, tick_room) + white[number]
        elif text.endswith("*"):
            shares[number] = float(text[:-1] or 1)
        else:
            widths[number] = float(text)
    left = measure - sum(widths)
    share_total = sum(shares)
    least = SLIMMEST * 3 * sum(1 for share in shares if share)
    if left < least and natural:
        room = max(0.0, left - least + sum(widths[n] for n in natural))
        cap = _shared_cap([widths[n] for n in natural], room)
        for n in natural:
            widths[n] = max(min(widths[n], cap), min(widths[n], SLIMMEST * 2))
        left = measure - sum(widths)
    if left < -0.5 or (share_total and left < SLIMMEST * sum(1 for s in shares if s)):
        raise refuse(
            spot,
            f"the table's columns need {(measure - left) / POINTS_PER_MM:.0f} mm, the sheet has {measure / POINTS_PER_MM:.0f} mm",
            "make widths smaller, or turn the sheet",
        )
    if share_total:
        for number, share in enumerate(shares):
            if share:
                widths[number] = left * share / share_total
    return widths


def _shared_cap(wanted: Sequence[float], room: float) -> float:
    """The width above which columns are cut so that they fit into ``room``; the narrow ones keep theirs."""
    left, count = room, len(wanted)
    for width in sorted(wanted):
        if width * count >= left:
            return left / count
        left, count = left - width, count - 1
    return max(wanted)


def _natural(rows: Sequence[Row], column: int, tick_room: float) -> float:
    """Width of the column's longest line of words; cells that span several columns do not count."""
    widest = wholes = rests = 0.0
    for row in rows:
        at = 0
        for cell in row.cells:
            if at == column and cell.span == 1 and cell.spans:
                width = line = 0.0
                for span in cell.spans:
                    if span.text == "\n":
                        width, line = max(width, line), 0.0
                    else:
                        line += span.ink.face.width(span.text) * span.ink.size
                width = max(width, line)
                number = (
                    parted_number(cell)
                    if row.kind not in ("head", "group") and cell.align == "decimal"
                    else None
                )
                if number:
                    wholes, rests = max(wholes, number[0]), max(rests, number[1])
                widest = max(widest, width + (tick_room if cell.tick else 0))
            at += cell.span
    return max(widest, wholes + rests) + 0.5


def parted_number(cell: Cell) -> tuple[float, float] | None:
    """Widths of a number cell left and right of its decimal place; None if it does not start with a number."""
    match = _NUMBER.match(cell.plain)
    if not match or len({span.ink for span in cell.spans}) != 1:
        return None
    ink = cell.spans[0].ink
    whole, rest = match[1].rstrip(), cell.plain[len(match[1].rstrip()) :]
    return ink.face.width(whole) * ink.size, ink.face.width(rest) * ink.size


def decimal_places(
    rows: Sequence[Row], widths: Sequence[float], white: Sequence[float]
) -> dict[int, float]:
    """For each column with numbers in it: where their decimal place is, from the column's left."""
    wholes: dict[int, float] = {}
    rests: dict[int, float] = {}
    for row in rows:
        if row.kind in ("head", "group"):
            continue
        at = 0
        for cell in row.cells:
            if cell.align == "decimal" and cell.spans and cell.span == 1:
                number = parted_number(cell)
                if number:
                    wholes[at] = max(wholes.get(at, 0), number[0])
                    rests[at] = max(rests.get(at, 0), number[1])
            at += cell.span
    places: dict[int, float] = {}
    for column, rest in rests.items():
        places[column] = max(widths[column] - white[column] - rest, wholes[column])
    return places
