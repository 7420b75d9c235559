"""Tables: hairlines only, amounts aligned on their decimal sign, heads that repeat and never stand alone.

Every cell's words are wrapped to its column before anything is drawn, so no text can meet a line. A table is tagged with
a scope on each head cell; a head repeated on a later page is furniture, not content.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from classpack.typeset.blocks import (
    Block,
)
from classpack.typeset.fonts import ASCENT
from classpack.typeset.table_columns import (
    CELL_PAD,
    SLIMMEST,
    Cell,
    Row,
    decimal_places,
    gutters,
    parted_number,
)
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Paragraph, TextSpan

BETWEEN = 0.25
HAIR = 0.4
RULE = 0.9
MANY_ROWS = 12
"""As many rows that are kept together may be parted after all."""
SMALLEST_HEAD = 9.5


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


@dataclass(frozen=True, slots=True)
class SetCell:
    cell: Cell
    x: float
    width: float
    words: Paragraph | None
    shift: float
    """How far right of ``x`` the words begin (decimal alignment)."""


@dataclass(frozen=True, slots=True)
class SetRow:
    row: Row
    cells: tuple[SetCell, ...]
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
        places = decimal_places(rows, self.widths, self.gutters)
        self.rows = tuple(self._set(row, places) for row in rows)
        self.height = sum(row.height for row in self.rows)

    def _set(self, row: Row, places: dict[int, float]) -> SetRow:
        style = self.style
        head = row.kind == "head"
        leading, size = (
            (style.head_leading, style.head_size) if head else (style.leading, style.size)
        )
        out: list[SetCell] = []
        at, x = 0, 0.0
        height = 0.0
        for cell in row.cells:
            width = sum(self.widths[at : at + cell.span])
            measure = max(width - self.gutters[at + cell.span - 1], SLIMMEST / 2)
            align = {"right": 1.0, "decimal": 1.0, "center": 0.5}.get(cell.align, 0.0)
            words, shift = None, 0.0
            if cell.spans:
                number = parted_number(cell) if cell.align == "decimal" and not head else None
                if number and at in places and sum(number) <= measure + 0.5:
                    words = Paragraph(cell.spans, 10_000, leading, size)
                    shift = max(0.0, places[at] - number[0])
                else:
                    spans = _narrow_enough(cell.spans, measure) if head else cell.spans
                    words = Paragraph(spans, measure, leading, size, align, lonely=True)
                height = max(height, words.height)
            out.append(
                SetCell(cell, x + (CELL_PAD if style.rules == "all" else 0), measure, words, shift)
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
        return SetRow(row, tuple(out), height)

    def split(self, room: float) -> tuple[Block, Block] | None:
        return _TablePart(self, self.rows, self.after, True).split(room)

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        self.draw_rows(c, x, top, self.rows, repeated=False)

    def draw_rows(
        self, c: TaggedCanvas, x: float, top: float, rows: Sequence[SetRow], repeated: bool
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

    def _draw_cell(self, c: TaggedCanvas, cell: SetCell, x: float, y: float, row: SetRow) -> None:
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

    def _draw_words(self, c: TaggedCanvas, cell: SetCell, x: float, y: float, row: SetRow) -> None:
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

    def _draw_marks(self, c: TaggedCanvas, row: SetRow, x: float, y: float) -> None:
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

    def _draw_rules(self, c: TaggedCanvas, row: SetRow, following: str, x: float, y: float) -> None:
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

    def widths_of(self, cell: SetCell) -> float:
        return cell.width + 2 * CELL_PAD


class _TablePart:
    """Some rows of a table on one page."""

    __slots__ = ("after", "first", "height", "keep_next", "rows", "table")

    def __init__(self, table: Table, rows: tuple[SetRow, ...], after: float, first: bool) -> None:
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


def _rows_that_fit(rows: Sequence[SetRow], heads: int, room: float) -> int:
    """How many rows can stand on this page with others on the next: never a head, a sub-head, or all but a sum.

    Rows that are kept together are parted only where so many of them are that they may fill more than a page.
    """
    used = sum(row.height for row in rows[:heads])
    fits = loose = 0
    for number in range(heads, len(rows)):
        used += rows[number].height
        if used > room + 0.01:
            break
        last = number + 1 == len(rows) or rows[number + 1].row.kind in ("sum", "total")
        if rows[number].row.kind != "group" and not last:
            loose = number + 1
            fits = fits if rows[number].row.keep_next else loose
    return fits or (loose if loose - heads >= MANY_ROWS else 0)


def _narrow_enough(spans: tuple[TextSpan, ...], measure: float) -> tuple[TextSpan, ...]:
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
