"""Elements that stand in a part of the page, as measured blocks: one small rule for each, chosen by its name from ``RULES``."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from classpack.errors import Problem
from classpack.typeset import figures, table_rules
from classpack.typeset.blocks import (
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
from classpack.typeset.day_chart import day_chart
from classpack.typeset.fonts import tidy
from classpack.typeset.look import Type
from classpack.typeset.oven_plan import oven_plan
from classpack.typeset.page_text import POINTS_PER_MM, Element, TemplateError
from classpack.typeset.setting import Content, Setting
from classpack.typeset.signs import (
    SIGN_NAMES,
    UnknownSignError,
    known_sign,
)
from classpack.typeset.text import Paragraph, TextSpan
from classpack.typeset.vocabulary import INLINE

Rule = Callable[[Setting, Element, float, float, str], Block]


def blocks_of(
    s: Setting,
    content: Content,
    measure: float,
    edge: float,
    size: str = "body",
    lead: Sequence[TextSpan] = (),
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
        type_ = s.type(size)
        spans = s.spans(run, type_) if run else []
        if spans or waiting:
            joined = [
                *waiting,
                *([TextSpan(" ", waiting[-1].ink)] if waiting and spans else []),
                *spans,
            ]
            out.append(Prose(Paragraph(joined, measure, type_.leading, type_.size), s.loose(size)))
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
        out.append(RULES[child.tag](s, child, measure, edge, size))
    close()
    return out


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
        TextSpan(" ", s.ink("accent", type_.size, True)),
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
    marks: list[list[TextSpan]] = []
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
        parts.append((x, Stack(blocks_of(s, column.children, width, width, size))))
        x += width + gap
    return SideBySide(parts, s.type("gap").size / 2)


def _keep(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return Stack(blocks_of(s, e.children, measure, edge, size), whole=True)


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


def _longest_word(spans: Sequence[TextSpan]) -> float:
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
    sign = known_sign_of(e, e.text("id"))
    return figures.Sign(
        sign, e.points("width") or 50, e.text("alt") or SIGN_NAMES[sign], s.look.colours
    )


def known_sign_of(e: Element, sign: str) -> str:
    try:
        known_sign(sign)
    except UnknownSignError as error:
        raise TemplateError(
            [Problem(e.spot, str(error).split("; ")[0], str(error).split("; ")[1])]
        ) from None
    return sign


def _cut_line(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return CutLine(measure, tidy(e.text("words")), s.ink("soft", s.type("footer").size))


def _day_chart(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return day_chart(s, e, measure)


def _oven_plan(s: Setting, e: Element, measure: float, edge: float, size: str) -> Block:
    return oven_plan(s, e, measure)


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
    "table": table_rules.table,
    "weigh": table_rules.weigh,
    "day-chart": _day_chart,
    "oven-plan": _oven_plan,
}
