"""Tables: hairlines only, amounts aligned on their decimal sign, heads that repeat and never stand alone.

Every cell's words are wrapped to its column before anything is drawn, so no text can meet a line. A table is tagged with
a scope on each head cell; a head repeated on a later page is furniture, not content.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from classpack.errors import Spot
from classpack.printing.blocks import Block, refuse
from classpack.printing.fonts import ASCENT
from classpack.printing.page_text import POINTS_PER_MM
from classpack.printing.tagged_canvas import TaggedCanvas
from classpack.printing.text import Ink, Paragraph, Span

BETWEEN = 0.25
HAIR = 0.4
RULE = 0.9
SLIMMEST = 14.0
SMALLEST_HEAD = 9.5

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

    spans: tuple[Span, ...]
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


@dataclass(frozen=True, slots=True)
class TableStyle:
    """How a table is set, in points."""

    leading: float
    size: float
    head_leading: float
    head_size: float
    rules: str
    ink: str
    pad: float = 2.2
    row_height: float = 0
    box: float = 14
    ticks: str = "left"
    tick_edge: float = 0
    """Right edge of right-hand tick boxes, from the table's left."""
    thicker: float = 1
    indent: float = 0
    """How far left of the words the tick boxes stand."""


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
) -> list[float]:
    """Widths in points that add up to ``measure``; each holds its gutter at the right, the last has none.

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
            widths[number] = _natural(rows, number) + white[number]
        elif text.endswith("*"):
            shares[number] = float(text[:-1] or 1)
        else:
            widths[number] = float(text)
    left = measure - sum(widths)
    share_total = sum(shares)
    least = SLIMMEST * 3 * sum(1 for s in shares if s)
    if left < least and natural:
        over = least - left
        total = sum(widths[n] for n in natural)
        for n in natural:
            widths[n] -= min(over * widths[n] / total, max(0.0, widths[n] - SLIMMEST * 2))
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


def _natural(rows: Sequence[Row], column: int) -> float:
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
                    _parted_number(cell)
                    if row.kind not in ("head", "group") and cell.align == "decimal"
                    else None
                )
                if number:
                    wholes, rests = max(wholes, number[0]), max(rests, number[1])
                widest = max(widest, width)
            at += cell.span
    return max(widest, wholes + rests) + 0.5


def _parted_number(cell: Cell) -> tuple[float, float] | None:
    """Widths of a number cell left and right of its decimal place; None if it does not start with a number."""
    match = _NUMBER.match(cell.plain)
    if not match or len({span.ink for span in cell.spans}) != 1:
        return None
    ink = cell.spans[0].ink
    whole, rest = match[1].rstrip(), cell.plain[len(match[1].rstrip()) :]
    return ink.face.width(whole) * ink.size, ink.face.width(rest) * ink.size


@dataclass(frozen=True, slots=True)
class _SetCell:
    cell: Cell
    x: float
    width: float
    words: Paragraph | None
    shift: float
    """How far right of ``x`` the words begin (decimal alignment)."""


@dataclass(frozen=True, slots=True)
class _SetRow:
    row: Row
    cells: tuple[_SetCell, ...]
    height: float


class Table:
    """A table measured and ready to draw. Rows of kind ``head`` come first."""

    __slots__ = (
        "after",
        "gutters",
        "height",
        "keep_next",
        "key",
        "rows",
        "style",
        "width",
        "widths",
    )

    def __init__(
        self,
        rows: Sequence[Row],
        widths: Sequence[float],
        aligns: Sequence[str],
        style: TableStyle,
        after: float = 0,
    ) -> None:
        self.widths, self.style, self.after, self.keep_next = list(widths), style, after, False
        self.gutters = gutters(aligns, style.rules == "all")
        self.width = sum(widths)
        self.key: object = object()
        places = _decimal_places(rows, self.widths, self.gutters)
        self.rows = tuple(self._set(row, places) for row in rows)
        self.height = sum(row.height for row in self.rows)

    def _set(self, row: Row, places: dict[int, float]) -> _SetRow:
        style = self.style
        head = row.kind == "head"
        leading, size = (
            (style.head_leading, style.head_size) if head else (style.leading, style.size)
        )
        out: list[_SetCell] = []
        at, x = 0, 0.0
        height = 0.0
        for cell in row.cells:
            width = sum(self.widths[at : at + cell.span])
            measure = max(width - self.gutters[at + cell.span - 1], SLIMMEST / 2)
            align = {"right": 1.0, "decimal": 1.0, "center": 0.5}.get(cell.align, 0.0)
            words, shift = None, 0.0
            if cell.spans:
                number = _parted_number(cell) if cell.align == "decimal" and not head else None
                if number and at in places and sum(number) <= measure + 0.5:
                    words = Paragraph(cell.spans, 10_000, leading, size)
                    shift = max(0.0, places[at] - number[0])
                else:
                    spans = _narrow_enough(cell.spans, measure) if head else cell.spans
                    words = Paragraph(spans, measure, leading, size, align, lonely=True)
                height = max(height, words.height)
            out.append(
                _SetCell(cell, x + (CELL_PAD if style.rules == "all" else 0), measure, words, shift)
            )
            at += cell.span
            x += width
        if row.tick or any(c.tick for c in row.cells):
            height = max(height, style.box)
        pad = style.pad * 2 + 1
        if head:
            pad = style.pad + 1.5
        if row.kind == "group":
            pad = style.pad * 3.2
        height = max(height + pad, 0 if head or row.kind == "group" else style.row_height)
        return _SetRow(row, tuple(out), height)

    def split(self, room: float) -> tuple[Block, Block] | None:
        return _TablePart(self, self.rows, self.after, True).split(room)

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        self.draw_rows(c, x, top, self.rows, repeated=False)

    def draw_rows(
        self, c: TaggedCanvas, x: float, top: float, rows: Sequence[_SetRow], repeated: bool
    ) -> None:
        height = sum(row.height for row in rows)
        c.resume(self.key, "Table", bbox=(x, top - height, x + self.width, top))
        y = top
        for number, row in enumerate(rows):
            if row.row.kind == "head" and repeated:
                with c.artifact():
                    for cell in row.cells:
                        self._draw_words(c, cell, x, y, row)
            else:
                with c.element("TR"):
                    for cell in row.cells:
                        self._draw_cell(c, cell, x, y, row)
            self._draw_marks(c, row, x, y)
            y -= row.height
            following = rows[number + 1].row.kind if number + 1 < len(rows) else ""
            self._draw_rules(c, row, following, x, y)
        c.close()

    def _draw_cell(self, c: TaggedCanvas, cell: _SetCell, x: float, y: float, row: _SetRow) -> None:
        kind = row.row.kind
        if kind in ("head", "group") and cell.words:
            tag, scope = "TH", "Column" if kind == "head" else "Row"
        elif cell.cell.header:
            tag, scope = "TH", "Row"
        else:
            tag, scope = "TD", ""
        c.open(tag, scope=scope, span=cell.cell.span)
        if cell.words:
            c.begin()
            self._draw_words(c, cell, x, y, row)
            c.end()
        c.close()

    def _draw_words(
        self, c: TaggedCanvas, cell: _SetCell, x: float, y: float, row: _SetRow
    ) -> None:
        if not cell.words:
            return
        style = self.style
        drop = style.pad
        if row.row.kind == "head":
            drop = max(0.5, row.height - cell.words.height - 1.5)
        elif row.row.kind == "group":
            if style.ticks == "left":
                x -= style.indent
            drop = row.height - cell.words.height - style.pad * 0.7
        elif style.row_height and row.height > cell.words.height + style.pad * 4:
            drop = (row.height - cell.words.height) / 2 - style.size * 0.02
        cell.words.draw(c, x + cell.x + cell.shift, y - drop, tagged=False)

    def _draw_marks(self, c: TaggedCanvas, row: _SetRow, x: float, y: float) -> None:
        """Tick boxes and lines to write on."""
        style = self.style
        middle = y - style.pad - style.size * (ASCENT - 0.33)
        if style.row_height > style.leading + style.pad * 4:
            middle = y - row.height / 2
        boxes: list[float] = []
        if row.row.tick:
            boxes.append(
                x - style.indent if style.ticks == "left" else x + style.tick_edge - style.box
            )
        boxes += [
            x + cell.x + max(0, (cell.width - style.box) / 2 if cell.cell.align == "center" else 0)
            for cell in row.cells
            if cell.cell.tick
        ]
        blanks = [cell for cell in row.cells if cell.cell.blank]
        if not boxes and not blanks:
            return
        with c.artifact():
            for left in boxes:
                c.box(left, middle - style.box / 2, style.box, style.box, RULE, style.ink)
            for cell in blanks:
                if style.rules != "all":
                    foot = y - row.height + 3
                    c.rule(
                        x + cell.x,
                        foot,
                        x + cell.x + cell.width,
                        foot,
                        0.5 * style.thicker,
                        style.ink,
                    )

    def _draw_rules(
        self, c: TaggedCanvas, row: _SetRow, following: str, x: float, y: float
    ) -> None:
        style, kind = self.style, row.row.kind
        weight = 0.0
        if (kind == "head" and following != "head") or following == "sum":
            weight = HAIR
        elif following == "total":
            weight = RULE
        elif style.rules == "between" and kind in ("body", "sum") and following == "body":
            weight = BETWEEN
        elif style.rules == "all":
            weight = HAIR
        if style.rules in ("none", "weigh") and kind == "head":
            weight = HAIR if style.rules == "none" else 0.0
        if weight:
            left = x - style.indent
            with c.artifact():
                c.rule(left, y, x + self.width, y, weight * style.thicker, style.ink)
        if style.rules == "all" and kind != "head":
            with c.artifact():
                at = x
                edges = [x]
                for cell in row.cells:
                    at += self.widths_of(cell)
                    edges.append(at)
                for edge in edges:
                    c.rule(edge, y, edge, y + row.height, HAIR * style.thicker, style.ink)

    def widths_of(self, cell: _SetCell) -> float:
        return cell.width + 2 * CELL_PAD


class _TablePart:
    """Some rows of a table on one page."""

    __slots__ = ("after", "first", "height", "keep_next", "rows", "table")

    def __init__(self, table: Table, rows: tuple[_SetRow, ...], after: float, first: bool) -> None:
        self.table, self.rows, self.after, self.first, self.keep_next = (
            table,
            rows,
            after,
            first,
            False,
        )
        self.height = sum(row.height for row in rows)

    def split(self, room: float) -> tuple[Block, Block] | None:
        heads = sum(1 for row in self.rows if row.row.kind == "head")
        fits = _rows_that_fit(self.rows, heads, room)
        if not fits:
            return None
        return (
            _TablePart(self.table, self.rows[:fits], 0, self.first),
            _TablePart(self.table, self.rows[:heads] + self.rows[fits:], self.after, False),
        )

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        self.table.draw_rows(c, x, top, self.rows, repeated=not self.first)


def _rows_that_fit(rows: Sequence[_SetRow], heads: int, room: float) -> int:
    """How many rows can stand on this page with others on the next: never a head, a sub-head, or all but a sum."""
    used = sum(row.height for row in rows[:heads])
    fits = 0
    for number in range(heads, len(rows)):
        used += rows[number].height
        if used > room + 0.01:
            break
        tied = rows[number].row.kind == "group" or rows[number].row.keep_next
        if (
            not tied
            and number + 1 < len(rows)
            and rows[number + 1].row.kind not in ("sum", "total")
        ):
            fits = number + 1
    return fits


def _narrow_enough(spans: tuple[Span, ...], measure: float) -> tuple[Span, ...]:
    """A head's words, smaller if one of them is wider than the column; a head is never cut in two if 9.5 pt helps."""
    widest = max(
        (s.ink.face.width(word) * s.ink.size for s in spans for word in s.text.split()), default=0
    )
    if widest <= measure:
        return spans
    return tuple(
        replace(
            s, ink=replace(s.ink, size=max(SMALLEST_HEAD, s.ink.size * measure / widest * 0.995))
        )
        for s in spans
    )


def _decimal_places(
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
                number = _parted_number(cell)
                if number:
                    wholes[at] = max(wholes.get(at, 0), number[0])
                    rests[at] = max(rests.get(at, 0), number[1])
            at += cell.span
    places: dict[int, float] = {}
    for column, rest in rests.items():
        places[column] = max(widths[column] - white[column] - rest, wholes[column])
    return places


def ink_words(text: str, ink: Ink) -> tuple[Span, ...]:
    return (Span(text, ink),) if text else ()
