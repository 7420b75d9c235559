"""``<table>`` and ``<weigh>`` as measured tables."""

from __future__ import annotations

from classpack.typeset import tables
from classpack.typeset.blocks import (
    Block,
    Stack,
    refuse,
)
from classpack.typeset.look import Type
from classpack.typeset.page_text import Element
from classpack.typeset.setting import Setting
from classpack.typeset.table_columns import Cell, Row, column_widths


def table(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    if e.values["size"] != "body":
        size = e.text("size")
    elif size == "body":
        size = "table"
    type_, head = s.type(size), s.type("column head")
    asked = list(e.parts("widths"))
    aligns = list(e.parts("align")) or ["left"] * len(asked)
    if len(aligns) != len(asked):
        raise refuse(
            e.spot,
            f"the table has {len(asked)} widths and {len(aligns)} alignments",
            "give one of each a column",
        )
    bold = {int(n) for n in e.parts("bold")}
    rows = [_row(s, r, aligns, bold, type_, head) for r in e.elements("head", "row", "group")]
    for row, element in zip(rows, e.elements("head", "row", "group"), strict=True):
        count = sum(cell.span for cell in row.cells)
        if count != len(asked):
            raise refuse(
                element.spot,
                f"this row has {count} cells, the table {len(asked)} columns",
                "give every column a cell (an empty one if need be)",
            )
    if any(r.kind == "head" for r in rows[sum(1 for r in rows if r.kind == "head") :]):
        raise refuse(e.spot, "a table's head stands after its rows", "put <head> first")
    ticked = any(r.tick for r in rows)
    box = min(s.type("tick").size, type_.size + 2)
    indent = 0.0
    if ticked and e.text("ticks") == "left":
        indent = box + 8
    elif ticked:
        measure -= max(box + 8, s.kind.grid.tick if edge - measure < 1 else 0)
    widths = column_widths(
        asked, rows, measure - indent, e.spot, aligns, e.text("rules") == "all", box + 5
    )
    row_height = e.points("row-height") or 0
    style = tables.TableStyle(
        type_.leading, type_.size, head.leading, head.size, e.text("rules"), s.ink_colour,
        3.2 if e.text("rules") != "none" else 1.8, row_height, box, e.text("ticks"), edge - indent, s.look.thicker, indent,
    )  # fmt: skip
    table = tables.Table(rows, widths, aligns, style, s.type("gap").size * 0.6)
    return Stack([table], indent) if indent else table


def _row(s: Setting, e: Element, aligns: list[str], bold: set[int], type_: Type, head: Type) -> Row:
    if e.tag == "group":
        words = tuple(s.spans(e.children, type_, "accent", True))
        return Row(
            (Cell(words, len(aligns), "left", True, spot=e.spot),),
            "group",
            keep_next=True,
            spot=e.spot,
        )
    cells: list[Cell] = []
    at = 0
    for cell in e.elements("cell"):
        align = cell.text("align") or (aligns[at] if at < len(aligns) else "left")
        span = cell.count("span")
        if e.tag == "head":
            words = tuple(s.spans(cell.children, head, "soft"))
        else:
            strong = cell.yes("strong") or (at + 1) in bold or e.text("kind") == "total"
            tone = cell.text("tone")
            words = tuple(s.spans(cell.children, type_, tone, strong or tone == "accent"))
        cells.append(
            Cell(
                words,
                span,
                align,
                cell.yes("header"),
                cell.yes("blank"),
                cell.yes("tick"),
                cell.spot,
            )
        )
        at += span
    if e.tag == "head":
        return Row(tuple(cells), "head", spot=e.spot)
    return Row(tuple(cells), e.text("kind"), e.yes("tick"), e.yes("keep-next"), e.spot)


def weigh(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    """The weighing table: grams first, bold; then what, baker's percentage and where it stands."""
    type_, head = s.type("table"), s.type("column head")
    extra = [name for name in ("percent", "place") if e.text(name)]
    heads = [e.text("grams"), e.text("name"), *(e.text(n) for n in extra)]
    aligns = ["decimal", "left", *("decimal" if n == "percent" else "left" for n in extra)]
    rows = [
        Row(
            tuple(
                Cell(tuple(s.plain(h, head, "soft")) if h else (), 1, a)
                for h, a in zip(heads, aligns, strict=True)
            ),
            "head",
            spot=e.spot,
        )
    ]
    for part in e.elements("part", "sum"):
        bold = part.tag == "part"
        cells = [
            Cell(tuple(s.plain(part.text("grams"), type_, bold=bold)), 1, "decimal"),
            Cell(tuple(s.spans(part.children, type_)), header=True),
        ]
        for name, align in zip(extra, aligns[2:], strict=True):
            cells.append(
                Cell(tuple(s.plain(part.text(name), type_)) if part.text(name) else (), 1, align)
            )
        rows.append(
            Row(
                tuple(cells),
                "sum" if part.tag == "sum" else "body",
                part.yes("tick"),
                spot=part.spot,
            )
        )
    box = s.type("tick").size
    if any(r.tick for r in rows) and edge - measure < s.kind.grid.tick:
        measure -= s.kind.grid.tick or box + 8
    asked = ["auto"] * len(aligns)
    natural = column_widths(asked, rows, 10_000, e.spot, aligns)
    if sum(natural) > measure:
        widths = column_widths(asked, rows, measure, e.spot, aligns)
    else:  # the white that is left goes where it keeps a row's parts together and the columns apart
        shares = {"percent": 0.2, "place": 0.4}
        left = measure - sum(natural)
        given = [min(20.0, 0.1 * left), *(left * 0.0 for _ in natural[1:])]
        rest = left - given[0]
        for number, name in enumerate(extra, 2):
            given[number] = rest * shares[name]
        given[1] = rest - sum(given[2:])
        widths = [n + g for n, g in zip(natural, given, strict=True)]
    style = tables.TableStyle(
        type_.leading, type_.size, head.leading, head.size, "weigh", s.ink_colour,
        1.2 if type_.size < 16 else 2, 0, box, "right", edge, s.look.thicker,
    )  # fmt: skip
    return tables.Table(rows, widths, aligns, style, 4)
