"""Checked elements to measured blocks: one small rule per element, chosen by its name from ``RULES``."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from classpack.errors import Problem
from classpack.printing import figures, tables
from classpack.printing.blocks import (
    Block,
    CutLine,
    Listing,
    Prose,
    RuleLine,
    SideBySide,
    Stack,
    Strip,
    White,
    WritingLines,
    refuse,
)
from classpack.printing.fonts import missing_letters_words, tidy
from classpack.printing.look import Kind, Look, Step, Type
from classpack.printing.page_text import POINTS_PER_MM, Element, TemplateError
from classpack.printing.signs import SIGN_NAMES, UnknownSignError, known_sign
from classpack.printing.spine import Caution, Entry, Masthead, tab_width, text_edge
from classpack.printing.text import Ink, Paragraph, Span, fitting_size
from classpack.printing.vocabulary import INLINE

Content = Sequence[Element | str]


@dataclass(frozen=True)
class Setting:
    """What every rule needs: look, kind, one step of its ladder, and the words of the line code."""

    look: Look
    kind: Kind
    step: Step
    code_words: dict[str, str]
    inks: dict[tuple[str, float, bool, bool], Ink] = field(default_factory=dict)

    @cached_property
    def width(self) -> float:
        """From margin to margin."""
        return self.kind.paper[0] - 2 * self.kind.grid.margin

    @cached_property
    def ink_colour(self) -> str:
        return self.look.colours["ink"]

    def colour(self, tone: str) -> str:
        return self.look.colours[tone]

    def ink(self, tone: str, size: float, bold: bool = False, italic: bool = False) -> Ink:
        key = (tone, size, bold, italic)
        ink = self.inks.get(key)
        if ink is None:
            ink = self.inks[key] = Ink(self.look.fonts.face(bold, italic), size, self.colour(tone))
        return ink

    def type(self, name: str) -> Type:
        return self.step[name]

    def plain(self, text: str, type_: Type, tone: str = "ink", bold: bool = False) -> list[Span]:
        """Words of an attribute."""
        ink = self.ink(tone, type_.size, bold)
        parts = self.look.fonts.split(tidy(text).strip(" "), bold, False)
        return [
            Span(t, ink if ink.face is face else replace(ink, face=face)) for face, t in parts if t
        ]

    def spans(
        self,
        content: Content,
        type_: Type,
        tone: str = "ink",
        bold: bool = False,
        ends: bool = True,
    ) -> list[Span]:
        """Inline content as spans, outer white space taken off."""
        out: list[Span] = []
        self._collect(content, type_.size, tone, bold, False, "", False, out)
        if ends:
            while out and out[0].text != "\n" and not out[0].blank and not out[0].text.lstrip(" "):
                out.pop(0)
            while (
                out and out[-1].text != "\n" and not out[-1].blank and not out[-1].text.rstrip(" ")
            ):
                out.pop()
            if out and not out[0].blank and out[0].text != "\n":
                out[0] = replace(out[0], text=out[0].text.lstrip(" "))
            if out and not out[-1].blank and out[-1].text != "\n":
                out[-1] = replace(out[-1], text=out[-1].text.rstrip(" "))
        return out

    def _collect(
        self,
        content: Content,
        size: float,
        tone: str,
        bold: bool,
        italic: bool,
        link: str,
        tied: bool,
        out: list[Span],
    ) -> None:
        for child in content:
            if isinstance(child, str):
                text = tidy(child)
                if tied:
                    text = text.replace(" ", "\u00a0")
                ink = self.ink(tone, size, bold, italic)
                for face, part in self.look.fonts.split(text, bold, italic):
                    out.append(
                        Span(part, ink if face is ink.face else replace(ink, face=face), link)
                    )
                continue
            inner = child.children
            match child.tag:
                case "strong":
                    self._collect(inner, size, tone, True, italic, link, tied, out)
                case "em":
                    self._collect(inner, size, tone, bold, True, link, tied, out)
                case "soft":
                    self._collect(inner, size, "soft", bold, italic, link, tied, out)
                case "accent":
                    self._collect(inner, size, "accent", True, italic, link, tied, out)
                case "small":
                    smaller = max(9.5 if size > 9.5 else 7, round(size * 0.82 * 2) / 2)
                    self._collect(inner, smaller, tone, bold, italic, link, tied, out)
                case "nobr":
                    self._collect(inner, size, tone, bold, italic, link, True, out)
                case "link":
                    self._collect(inner, size, "accent", bold, italic, child.text("to"), tied, out)
                case "br":
                    out.append(Span("\n", self.ink(tone, size)))
                case "tick":
                    out.append(Span("☐", self.ink(tone, size)))
                case _:
                    out.append(Span("", self.ink(tone, size), blank=child.points("width") or 40))

    def paragraph(
        self,
        content: Content,
        measure: float,
        size: str = "body",
        tone: str = "ink",
        bold: bool = False,
        align: float = 0,
        tag: str = "P",
    ) -> Paragraph:
        type_ = self.type(size)
        return Paragraph(
            self.spans(content, type_, tone, bold), measure, type_.leading, type_.size, align, tag
        )

    # -- content of a part of the page
    def blocks(
        self,
        content: Content,
        measure: float,
        edge: float,
        size: str = "body",
        lead: Sequence[Span] = (),
    ) -> list[Block]:
        """Blocks of mixed content; words between elements become paragraphs of their own.

        Args:
            measure: width in points.
            edge: where the right margin is, from the left of these blocks (tick boxes stand there).
            size: type of the words between blocks.
            lead: words that go before the first paragraph (a step's head).
        """
        out: list[Block] = []
        run: list[Element | str] = []
        waiting = list(lead)

        def close() -> None:
            nonlocal waiting
            type_ = self.type(size)
            spans = self.spans(run, type_) if run else []
            if spans or waiting:
                joined = [
                    *waiting,
                    *([Span(" ", waiting[-1].ink)] if waiting and spans else []),
                    *spans,
                ]
                out.append(
                    Prose(Paragraph(joined, measure, type_.leading, type_.size), self.loose(size))
                )
            waiting = []
            run.clear()

        for child in content:
            if isinstance(child, str) or child.tag in INLINE:
                run.append(child)
                continue
            close()
            if child.tag not in RULES:
                raise refuse(
                    child.spot, f"<{child.tag}> cannot stand here", "put it straight into the sheet"
                )
            out.append(RULES[child.tag](self, child, measure, edge, size))
        close()
        return out

    def loose(self, size: str) -> float:
        """White between paragraphs of one entry."""
        return 1.0 + self.type(size).leading * 0.03

    @cached_property
    def edge(self) -> float:
        """The right margin seen from the text edge."""
        return self.width - self.kind.grid.text


def first_size(blocks: Iterable[Block], otherwise: float) -> float:
    """Type size of the first words among blocks, for the clock to share their baseline."""
    for block in blocks:
        if isinstance(block, Prose):
            return block.paragraph.size
        if isinstance(block, Listing):
            return block.items[0][1].size
        if isinstance(block, Stack):
            return first_size(block.blocks, otherwise)
        if isinstance(block, SideBySide):
            return first_size((b for _, b in block.parts), otherwise)
        if isinstance(block, White):
            continue
        break
    return otherwise


# -- rules: each takes the setting, the element, its measure, the right margin from its left, and the words' size


def _text(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    size = e.text("size") if e.values["size"] != "body" else size
    align = {"left": 0.0, "center": 0.5, "right": 1.0}[e.text("align")]
    tone = e.text("tone")
    after = e.points("after")
    paragraph = s.paragraph(
        e.children, measure, size, tone, tone == "accent" or size == "huge", align
    )
    return Prose(
        paragraph, after if after is not None else s.loose(size) + s.type(size).leading * 0.12
    )


def _heading(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    level = e.text("level")
    paragraph = s.paragraph(
        e.children, measure, f"heading {level}", e.text("tone"), True, tag=f"H{level}"
    )
    title = e.words() if e.yes("bookmark") else ""
    return Prose(paragraph, 2 if level == "2" else 1, True, title)


def _ready(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    type_ = s.type(size)
    spans = [
        *s.plain(e.text("word"), type_, "accent", True),
        Span(" ", s.ink("accent", type_.size, True)),
        *s.spans(e.children, type_),
    ]
    return Prose(Paragraph(spans, measure, type_.leading, type_.size), s.loose(size))


def _list(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    if e.values["size"] != "body":
        size = e.text("size")
    kind, columns = e.text("kind"), e.count("columns")
    items = e.elements("item")
    type_ = s.type(size)
    gutter = type_.size
    each = (measure - gutter * (columns - 1)) / columns
    marks: list[list[Span]] = []
    for number, item in enumerate(items, 1):
        word = {"bullet": "•", "number": f"{number}."}.get(kind, item.text("mark"))
        marks.append(
            s.plain(
                word, type_, "accent" if kind == "number" else "ink", kind in ("count", "number")
            )
            if word
            else []
        )
    box = s.type("tick").size if kind == "tick" else 0.0
    box = min(box, type_.size + 2) if box else 0.0
    widest = max((sum(p.ink.face.width(p.text) * p.ink.size for p in m) for m in marks), default=0)
    hang = box + 8 if box else (widest + type_.size * 0.55 if widest else 0)
    made: list[tuple[Paragraph | None, Paragraph]] = []
    for item, mark in zip(items, marks, strict=True):
        shown = Paragraph(mark, hang or 1, type_.leading, type_.size) if mark and not box else None
        made.append((shown, s.paragraph(item.children, each - hang, size)))
    numbering = {"number": "Decimal", "bullet": "Disc"}.get(kind, "None")
    gap = 4 + box / 4 if box else max(2.0, type_.size * 0.2)
    after = s.type("gap").size * 0.9
    if columns == 1:
        return Listing(made, hang, gap, numbering, box, s.ink_colour, after)
    rows = -(-len(made) // columns)
    parts: list[tuple[float, Block]] = []
    for column in range(columns):
        some = made[column * rows : (column + 1) * rows]
        if some:
            parts.append(
                (column * (each + gutter), Listing(some, hang, gap, numbering, box, s.ink_colour))
            )
    return SideBySide(parts, after)


def _columns(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    columns = e.elements("column")
    gap = e.points("gap") or 0
    asked = list(e.parts("widths")) or ["1"] * len(columns)
    if len(asked) != len(columns):
        raise refuse(
            e.spot,
            f"<columns> has {len(asked)} widths and {len(columns)} columns",
            "give one width a column",
        )
    room = measure - gap * (len(columns) - 1)
    fixed = [float(a[:-2]) * POINTS_PER_MM if a.endswith("mm") else 0.0 for a in asked]
    shares = [0.0 if a.endswith("mm") else float(a.rstrip("*%") or 1) for a in asked]
    left = room - sum(fixed)
    if left <= 0 and any(shares):
        raise refuse(e.spot, "the columns' widths are wider than the sheet", "make them smaller")
    widths = [f or left * share / sum(shares) for f, share in zip(fixed, shares, strict=True)]
    parts: list[tuple[float, Block]] = []
    x = 0.0
    for column, width in zip(columns, widths, strict=True):
        parts.append((x, Stack(s.blocks(column.children, width, width, size))))
        x += width + gap
    return SideBySide(parts, s.type("gap").size / 2)


def _keep(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return Stack(s.blocks(e.children, measure, edge, size), whole=True)


def _rule(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    weight = {"thin": 0.9, "hair": 0.4, "heavy": 2.0}[e.text("weight")] * s.look.thicker
    after = e.points("after")
    return RuleLine(0, measure, weight, s.ink_colour, 3, after if after is not None else 11, True)


def _space(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return White(e.points("height") or 0)


def _lines(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    ink = s.ink("soft", s.type("small").size)
    return WritingLines(
        measure, e.count("count"), e.points("height") or 25, tidy(e.text("label")), ink
    )


def _strip(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    stops = e.elements("stop")
    type_ = s.type("note")
    texts = [
        (s.plain(stop.text("at"), type_, "accent", True), s.spans(stop.children, type_))
        for stop in stops
    ]
    widest = max((_longest_word(spans) for pair in texts for spans in pair), default=0) + 6
    rows = 1
    while rows < len(stops) and measure / -(-len(stops) // rows) < widest:
        rows += 1
    each = -(-len(stops) // rows)
    pitch = measure / max(1, each)
    made = [
        tuple(
            Paragraph(spans, pitch - 4, type_.leading * 0.95, type_.size, lonely=True)
            for spans in pair
        )
        for pair in texts
    ]
    strips = [
        Strip([(a, b) for a, b in made[at : at + each]], pitch, 3)
        for at in range(0, len(made), each)
    ]
    return strips[0] if len(strips) == 1 else Stack(strips)


def _longest_word(spans: Sequence[Span]) -> float:
    return max((s.ink.face.width(w) * s.ink.size for s in spans for w in s.text.split()), default=0)


def _qr(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    type_ = Type(s.type("small").size, s.type("small").leading)
    caption = s.plain(e.text("caption"), type_, "soft")
    return figures.Code(
        e.text("text"),
        e.points("size") or 74,
        caption,
        type_,
        e.text("alt"),
        e.text("link"),
        measure,
        s.look.colours,
        e.spot,
    )


def _sign(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    sign = _known(e, e.text("id"))
    return figures.Sign(
        sign, e.points("width") or 50, e.text("alt") or SIGN_NAMES[sign], s.look.colours
    )


def _known(e: Element, sign: str) -> str:
    try:
        known_sign(sign)
    except UnknownSignError as error:
        raise TemplateError(
            [Problem(e.spot, str(error).split("; ")[0], str(error).split("; ")[1])]
        ) from None
    return sign


def _cut_line(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return CutLine(measure, tidy(e.text("words")), s.ink("soft", s.type("footer").size))


# -- tables


def _table(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
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
    widths = tables.column_widths(
        asked, rows, measure - indent, e.spot, aligns, e.text("rules") == "all"
    )
    row_height = e.points("row-height") or 0
    style = tables.TableStyle(
        type_.leading, type_.size, head.leading, head.size, e.text("rules"), s.ink_colour,
        3.2 if e.text("rules") != "none" else 1.8, row_height, box, e.text("ticks"), edge - indent, s.look.thicker, indent,
    )  # fmt: skip
    table = tables.Table(rows, widths, aligns, style, s.type("gap").size * 0.6)
    return Stack([table], indent) if indent else table


def _row(
    s: Setting, e: Element, aligns: list[str], bold: set[int], type_: Type, head: Type
) -> tables.Row:
    if e.tag == "group":
        words = tuple(s.spans(e.children, type_, "accent", True))
        return tables.Row(
            (tables.Cell(words, len(aligns), "left", True, spot=e.spot),),
            "group",
            keep_next=True,
            spot=e.spot,
        )
    cells: list[tables.Cell] = []
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
            tables.Cell(
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
        return tables.Row(tuple(cells), "head", spot=e.spot)
    return tables.Row(tuple(cells), e.text("kind"), e.yes("tick"), e.yes("keep-next"), e.spot)


def _weigh(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    """The weighing table: grams first, bold; then what, baker's percentage and where it stands."""
    type_, head = s.type("table"), s.type("column head")
    extra = [name for name in ("percent", "place") if e.text(name)]
    heads = [e.text("grams"), e.text("name"), *(e.text(n) for n in extra)]
    aligns = ["decimal", "left", *("decimal" if n == "percent" else "left" for n in extra)]
    rows = [
        tables.Row(
            tuple(
                tables.Cell(tuple(s.plain(h, head, "soft")) if h else (), 1, a)
                for h, a in zip(heads, aligns, strict=True)
            ),
            "head",
            spot=e.spot,
        )
    ]
    for part in e.elements("part", "sum"):
        bold = part.tag == "part"
        cells = [
            tables.Cell(tuple(s.plain(part.text("grams"), type_, bold=bold)), 1, "decimal"),
            tables.Cell(tuple(s.spans(part.children, type_)), header=True),
        ]
        for name, align in zip(extra, aligns[2:], strict=True):
            cells.append(
                tables.Cell(
                    tuple(s.plain(part.text(name), type_)) if part.text(name) else (), 1, align
                )
            )
        rows.append(
            tables.Row(
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
    natural = tables.column_widths(asked, rows, 10_000, e.spot, aligns)
    if sum(natural) > measure:
        asked[1] = "*"
        widths = tables.column_widths(asked, rows, measure, e.spot, aligns)
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


# -- figures


def _day_chart(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return figures.day_chart(s, e, measure)


def _oven_plan(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return figures.oven_plan(s, e, measure)


# -- the page's own blocks, which use its whole width


def masthead(s: Setting, e: Element) -> Block:
    grid, look = s.kind.grid, s.look
    measure = s.width - grid.text
    logo, logo_box = None, (0.0, 0.0)
    if e.yes("logo") and look.logo:
        logo, logo_box = figures.logo(look.logo, 90, 52, e.spot)
        measure -= logo_box[0] + 12
    title_type, over, deck, word = s.type("title"), s.type("over"), s.type("deck"), s.type("word")
    face = look.fonts.face(True)
    words = tidy(e.text("title")).strip()
    size = fitting_size(face, words, title_type.size, s.type("least title").size, measure)
    title = Paragraph(
        s.plain(words, Type(size, 0), bold=True), measure, size * 1.12, size, tag="H1"
    )
    over_words = tidy(e.text("over"))
    column = e.text("word") or e.text("number")
    if column and not grid.clock:
        over_words = " · ".join(
            filter(None, (f"{e.text('word')} {e.text('number')}".strip(), over_words))
        )
        column = ""
    return Masthead(
        grid,
        s.width,
        Paragraph(s.plain(e.text("word"), word, "soft"), grid.clock + 8, word.leading, word.size, 1)
        if column and e.text("word")
        else None,
        tidy(e.text("number")).strip() if column else "",
        face,
        Paragraph(s.plain(over_words, over, "soft"), measure, over.leading, over.size)
        if over_words.strip()
        else None,
        title,
        Paragraph(s.plain(e.text("deck"), deck), measure, deck.leading, deck.size)
        if e.text("deck").strip()
        else None,
        look.colours,
        14 if grid.clock else 12,
        logo,
        logo_box,
        look.school,
    )


def side(s: Setting, e: Element) -> Block:
    size = e.text("size")
    measure = s.edge
    if size == "lead":
        type_ = s.type("lead")
        content = list(e.children)
        inline = [c for c in content if isinstance(c, str) or c.tag in INLINE]
        rest = [c for c in content if not (isinstance(c, str) or c.tag in INLINE)]
        blocks: list[Block] = [
            Prose(
                Paragraph(s.spans(inline, type_, bold=True), measure, type_.leading, type_.size), 0
            )
        ]
        blocks += s.blocks(rest, measure, s.edge)
    else:
        blocks = s.blocks(e.children, measure, s.edge, size)
    return _beside(s, e, blocks, "none", None, _under(s, e.text("word"), s.type("word")), 0, None)


def _under(s: Setting, words: str, type_: Type, tone: str = "soft") -> Paragraph | None:
    """Small words in the clock column, right-aligned; a little wider than the column if that saves a line."""
    column = s.kind.grid.clock
    if not words.strip() or not column:
        return None
    size = type_.size
    face = s.look.fonts.face()
    while size > 9.5 and face.width(tidy(words)) * size > column + 6:
        size -= 0.5
    return Paragraph(
        s.plain(words, Type(size, 0), tone), column + 6, type_.leading, size, 1, lonely=True
    )


def _beside(
    s: Setting, e: Element, blocks: list[Block], line: str, big: tuple[Ink, str] | None, under: Paragraph | None, box: float, key: object,
    number: str = "", title: str = "",
) -> Entry:  # fmt: skip
    body = Stack(blocks, after=0)
    size = first_size(blocks, s.type("body").size)
    return Entry(
        s.kind.grid,
        s.width,
        body,
        size,
        line,
        s.type("gap").size,
        s.ink_colour,
        big,
        under,
        box,
        key,
        number,
        title,
        thicker=s.look.thicker,
    )


def entry(s: Setting, e: Element, key: object) -> Block:
    grid = s.kind.grid
    tick = e.yes("tick")
    box = s.type("tick").size if tick else 0.0
    measure = s.edge - (max(grid.tick, box + 8) if tick else 0)
    size = e.text("size")
    type_ = s.type(size)
    lead: list[Span] = []
    head = tidy(e.text("head")).strip()
    number = tidy(e.text("number")).strip()
    if head and head[-1] not in ".:!?" and _begins_with_words(e):
        head += "."
    if number or head:
        lead = s.plain(
            f"{number}\u00a0 {head}" if number and head else number or head, type_, bold=True
        )
    blocks = s.blocks(e.children, measure, s.edge, size, lead)
    clock, minutes, about = (tidy(e.text(n)).strip() for n in ("clock", "minutes", "about"))
    big, small = (clock or minutes), (minutes if clock else "")
    if about and clock:
        big, small = (minutes, f"{about} {clock}") if minutes else (f"{about} {clock}", "")
    clock_type = s.type("clock")
    face = s.look.fonts.face(True)
    shown = None
    if big and grid.clock:
        fits = fitting_size(face, big, clock_type.size, 9.5, grid.clock + 2)
        shown = (s.ink("accent", fits, True), big)
    elif big:
        blocks.insert(
            0,
            Prose(
                Paragraph(
                    s.plain(f"{big} {small}", type_, "accent", True),
                    measure,
                    type_.leading,
                    type_.size,
                )
            ),
        )
    title = " ".join(filter(None, (big, head.rstrip(".")))) if e.yes("anchor") else ""
    return _beside(
        s,
        e,
        blocks,
        e.text("line") if grid.clock else "none",
        shown,
        _under(s, small, s.type("minutes")),
        box,
        key,
        number,
        title,
    )


def _begins_with_words(e: Element) -> bool:
    """Whether words follow a step's head on its line."""
    for child in e.children:
        if isinstance(child, str):
            if child.strip():
                return True
            continue
        return child.tag in INLINE
    return False


def caution(s: Setting, e: Element, guards: bool) -> Block:
    grid, type_, pad = s.kind.grid, s.type("caution"), s.type("pad").size
    sign = _known(e, e.text("sign"))
    width = s.type("sign").size
    word = e.text("word").strip() or e.text("severity")
    word_ink = s.ink("ink", type_.size * 0.92, True)
    text = text_edge(grid, width)
    measure = s.width - text - 10
    when = (
        (s.ink("accent", type_.size * 0.9, True), tidy(e.text("when")).strip())
        if e.text("when").strip()
        else None
    )
    beside = (
        measure
        - tab_width(word_ink, word)
        - 8
        - (when[0].face.width(when[1]) * when[0].size + 12 if when else 0)
    )
    if beside < type_.size * 4:
        raise refuse(
            e.spot,
            f"the word '{word}' leaves no room for the hazard beside it",
            "use a shorter word",
        )
    hazard = Paragraph(
        s.plain(e.text("hazard"), type_, bold=True), beside, type_.leading, type_.size
    )
    spans = s.spans(e.children, type_)
    what = Paragraph(spans, measure, type_.leading, type_.size) if spans else None
    return Caution(
        grid,
        s.width,
        e.text("severity"),
        (word_ink, word),
        hazard,
        what,
        sign,
        tidy(e.text("alt")).strip() or SIGN_NAMES[sign],
        width,
        pad,
        s.type("gap").size * (0.35 if guards else 1.1),
        guards,
        when,
        s.look.colours,
        s.look.filled,
    )


Rule = Callable[[Setting, Element, float, float, str], Block]

RULES: dict[str, Rule] = {
    "text": _text,
    "heading": _heading,
    "ready": _ready,
    "list": _list,
    "columns": _columns,
    "keep": _keep,
    "rule": _rule,
    "space": _space,
    "lines": _lines,
    "strip": _strip,
    "qr": _qr,
    "sign": _sign,
    "cut-line": _cut_line,
    "table": _table,
    "weigh": _weigh,
    "day-chart": _day_chart,
    "oven-plan": _oven_plan,
}


def missing_letters(look: Look, element: Element) -> list[Problem]:
    """A problem for every text of the element that holds a letter no font has."""
    problems: list[Problem] = []
    texts = [value for value in element.values.values() if isinstance(value, str)]
    texts += [child for child in element.children if isinstance(child, str)]
    for text in texts:
        lacking = look.fonts.lacks(text)
        if lacking:
            right = "write it in Latin, Greek or Cyrillic letters, or add a font to look.yaml"
            problems.append(
                Problem(element.spot, missing_letters_words(lacking, tidy(text).strip()), right)
            )
    for child in element.children:
        if isinstance(child, Element):
            problems += missing_letters(look, child)
    return problems
