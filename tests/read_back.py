"""Reading a printed PDF back by its glyphs and lines: what lies on something else, and what leaves the page's margin.

Glyphs are taken by the box of their ink, lines and the edges of boxes as they are drawn. Text that ``pdfium`` makes up (spaces
between words) is left out. A glyph may touch a line; it may not be crossed by one.
"""

from __future__ import annotations

import ctypes
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import pypdfium2
import pypdfium2.raw as raw

Box = tuple[float, float, float, float]  # left, foot, right, top, in points

LEAST_MARGIN = 10.0
"""Printers leave about 4 mm of the paper's edge white (common practice, no source); 10 points are 3.5 mm."""


@dataclass(frozen=True, slots=True)
class PageInk:
    """One page: every glyph with its box, and every straight line across or down."""

    size: tuple[float, float]
    glyphs: tuple[tuple[str, Box], ...]
    lines: tuple[Box, ...]


def pages_of(data: bytes) -> Iterator[PageInk]:
    document = pypdfium2.PdfDocument(data)
    for page in document:
        text = page.get_textpage()
        glyphs = []
        for n in range(text.count_chars()):
            letter = chr(raw.FPDFText_GetUnicode(text, n))
            if letter.isspace() or raw.FPDFText_IsGenerated(text, n) == 1:
                continue
            glyphs.append((letter, text.get_charbox(n)))
        lines = []
        for item in page.get_objects(filter=(raw.FPDF_PAGEOBJ_PATH,)):
            lines += _edges(item)
        yield PageInk(page.get_size(), tuple(glyphs), tuple(lines))


def _edges(item: pypdfium2.PdfObject) -> list[Box]:
    """A drawn line, or the four edges of a drawn box; signs and other shapes are none."""
    count = raw.FPDFPath_CountSegments(item)
    if count not in (2, 4, 5):
        return []
    points = []
    for n in range(count):
        segment = raw.FPDFPath_GetPathSegment(item, n)
        if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_BEZIERTO:
            return []
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        points.append((x.value, y.value))
    if any(abs(a[0] - b[0]) > 0.01 and abs(a[1] - b[1]) > 0.01 for a, b in pairwise(points)):
        return []
    left, foot, right, top = item.get_bounds()
    if min(right - left, top - foot) < 4:  # one line
        x, y = (left + right) / 2, (foot + top) / 2
        return [(left, y, right, y)] if right - left > top - foot else [(x, foot, x, top)]
    return [
        (left, foot, right, foot),
        (left, top, right, top),
        (left, foot, left, top),
        (right, foot, right, top),
    ]


def faults(data: bytes) -> list[str]:
    """What stands where it should not, as sentences."""
    found: list[str] = []
    for number, page in enumerate(pages_of(data), 1):
        found += [
            f"page {number}: {one}" for one in (*_crossed(page), *_covered(page), *_out(page))
        ]
    return found


def _crossed(page: PageInk) -> Iterator[str]:
    across: dict[int, list[Box]] = defaultdict(list)
    down: dict[int, list[Box]] = defaultdict(list)
    for left, foot, right, top in page.lines:
        if foot == top:
            across[int(foot // 8)].append((left, foot, right, top))
        else:
            down[int(left // 8)].append((left, foot, right, top))
    for letter, (left, foot, right, top) in page.glyphs:
        wide, high = (right - left) * 0.2, (top - foot) * 0.25
        for cell in range(int(foot // 8), int(top // 8) + 1):
            for x1, y, x2, _ in across[cell]:
                if foot + high < y < top - high and x1 < right - wide and left + wide < x2:
                    yield f"'{letter}' at {left:.0f}, {foot:.0f} is crossed by a line across"
        for cell in range(int(left // 8), int(right // 8) + 1):
            for x, y1, _, y2 in down[cell]:
                if left + wide < x < right - wide and y1 < top - high and foot + high < y2:
                    yield f"'{letter}' at {left:.0f}, {foot:.0f} is crossed by a line down"


def _covered(page: PageInk) -> Iterator[str]:
    """Glyphs that share more than half of the smaller one's box; the hook of an f may reach over its neighbour."""
    cells: dict[tuple[int, int], list[tuple[str, Box]]] = defaultdict(list)
    for letter, box in page.glyphs:
        left, foot, right, top = box
        area = (right - left) * (top - foot)
        seen: set[int] = set()
        keys = [
            (x, y)
            for x in range(int(left // 16), int(right // 16) + 1)
            for y in range(int(foot // 16), int(top // 16) + 1)
        ]
        for key in keys:
            for other, (l2, f2, r2, t2) in cells[key]:
                wide, high = min(right, r2) - max(left, l2), min(top, t2) - max(foot, f2)
                smaller = min(area, (r2 - l2) * (t2 - f2))
                if wide > 0 and high > 0 and wide * high > smaller * 0.5 and id(other) not in seen:
                    seen.add(id(other))
                    yield f"'{letter}' lies on '{other}' at {left:.0f}, {foot:.0f}"
        for key in keys:
            cells[key].append((letter, box))


def _out(page: PageInk) -> Iterator[str]:
    wide, high = page.size
    for letter, (left, foot, right, top) in page.glyphs:
        if (
            left < LEAST_MARGIN
            or foot < LEAST_MARGIN
            or right > wide - LEAST_MARGIN
            or top > high - LEAST_MARGIN
        ):
            yield f"'{letter}' at {left:.0f}, {foot:.0f} is near the paper's edge"
