"""The elements of page text, their attributes and what may stand inside them. ``templates/README.md`` explains them."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Attribute:
    """``kind`` is ``text``, ``yes``, ``mm``, ``count``, ``widths``, ``aligns``, ``counts``, ``address``, ``clock`` or ``choice``."""

    kind: str = "text"
    default: str | None = ""
    choices: tuple[str, ...] = ()
    needed: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    attributes: dict[str, Attribute] = field(default_factory=dict)
    inside: frozenset[str] = frozenset()
    words: bool = False


TEXT = Attribute()
NEED = Attribute(needed=True)
YES = Attribute("yes", "yes")
NO = Attribute("yes", "no")
MM = Attribute("mm", None)
COUNT = Attribute("count", None)


def _choice(*choices: str) -> Attribute:
    return Attribute("choice", choices[0], choices)


KINDS = ("card", "list", "run", "station", "wall", "plain", "labels")
SIZES = ("body", "second", "lead", "note", "small", "huge", "title")
LINES = ("none", "hands", "dough", "oven", "heating")
TONES = ("ink", "soft", "accent")
ALIGNS = ("left", "right", "center", "decimal")
SEVERITIES = ("DANGER", "WARNING", "CAUTION", "NOTICE")

INLINE = frozenset(
    {"strong", "em", "soft", "small", "accent", "br", "nobr", "tick", "blank", "link"}
)
BLOCKS = frozenset(
    {
        "side",
        "entry",
        "caution",
        "heading",
        "text",
        "ready",
        "list",
        "table",
        "weigh",
        "columns",
        "keep",
        "rule",
    }
    | {"space", "lines", "strip", "qr", "sign", "day-chart", "oven-plan", "cut-line"}
)
WITHIN = BLOCKS - {"side", "entry", "caution", "cut-line"}
"""Blocks that may stand in a part of the page's width."""

_SMALL = INLINE - {"br", "tick", "blank"}
_inline = Rule({}, INLINE, words=True)
_empty = Rule()
_mixed = WITHIN | INLINE

ELEMENTS: dict[str, Rule] = {
    "sheets": Rule({}, frozenset({"sheet"})),
    "sheet": Rule(
        {
            "title": NEED,
            "kind": _choice(*KINDS),
            "pages": COUNT,
            "footer": TEXT,
            "foot-note": TEXT,
            "counter": Attribute(default="{page} of {pages}"),
            "code": NO,
            "lang": TEXT,
            "paper": TEXT,
            "turn": NO,
            "duplex": NO,
        },
        BLOCKS | {"masthead", "running", "code-words", "page-break", "labels"},
    ),
    "running": Rule({"number": TEXT, "title": NEED, "note": TEXT, "note-one": TEXT}),
    "code-words": Rule(
        {
            "hands": Attribute(default="your hands"),
            "dough": Attribute(default="the dough rests"),
            "oven": Attribute(default="in the oven"),
            "heating": Attribute(default="oven heating"),
        }
    ),
    "masthead": Rule(
        {"word": TEXT, "number": TEXT, "over": TEXT, "title": NEED, "deck": TEXT, "logo": NO}
    ),
    "side": Rule({"word": TEXT, "size": _choice(*SIZES)}, _mixed, words=True),
    "entry": Rule(
        {
            "clock": TEXT,
            "minutes": TEXT,
            "about": TEXT,
            "line": _choice(*LINES),
            "number": TEXT,
            "head": TEXT,
            "tick": NO,
            "size": _choice(*SIZES),
            "anchor": NO,
            "signs": TEXT,
            "signs-alt": TEXT,
        },
        _mixed,
        words=True,
    ),
    "caution": Rule(
        {
            "severity": Attribute("choice", SEVERITIES[0], SEVERITIES, needed=True),
            "word": TEXT,
            "sign": NEED,
            "alt": TEXT,
            "hazard": NEED,
            "when": TEXT,
            "notch": YES,
            "size": _choice("full", "slim", "grid"),
        },
        INLINE,
        words=True,
    ),
    "heading": Rule(
        {"level": _choice("2", "3", "4"), "bookmark": NO, "tone": _choice(*TONES)},
        INLINE,
        words=True,
    ),
    "text": Rule(
        {
            "size": _choice(*SIZES),
            "tone": _choice(*TONES),
            "align": _choice("left", "right", "center"),
            "after": MM,
        },
        INLINE,
        words=True,
    ),
    "ready": Rule({"word": NEED}, INLINE, words=True),
    "list": Rule(
        {
            "kind": _choice("bullet", "number", "tick", "count", "plain"),
            "columns": Attribute("count", "1"),
            "size": _choice(*SIZES),
        },
        frozenset({"item"}),
    ),
    "item": Rule({"mark": TEXT}, INLINE, words=True),
    "columns": Rule(
        {
            "widths": Attribute("widths", ""),
            "gap": Attribute("mm", "6"),
            "place": _choice("text", "full"),
        },
        frozenset({"column"}),
    ),
    "column": Rule({}, _mixed, words=True),
    "keep": Rule({}, BLOCKS | INLINE, words=True),
    "page-break": Rule({"title": TEXT, "note": TEXT}),
    "rule": Rule(
        {"weight": _choice("thin", "hair", "heavy"), "from": _choice("margin", "text"), "after": MM}
    ),
    "space": Rule({"height": Attribute("mm", None, needed=True)}),
    "lines": Rule(
        {"count": Attribute("count", "1"), "height": Attribute("mm", "9"), "label": TEXT}
    ),
    "strip": Rule({}, frozenset({"stop"})),
    "stop": Rule({"at": NEED}, INLINE, words=True),
    "qr": Rule(
        {
            "text": NEED,
            "caption": TEXT,
            "alt": TEXT,
            "size": Attribute("mm", "26"),
            "link": Attribute("address"),
        }
    ),
    "sign": Rule({"id": NEED, "width": Attribute("mm", "18"), "alt": TEXT}),
    "cut-line": Rule({"words": TEXT}),
    "weigh": Rule(
        {"grams": NEED, "name": TEXT, "percent": TEXT, "place": TEXT}, frozenset({"part", "sum"})
    ),
    "part": Rule({"grams": NEED, "percent": TEXT, "place": TEXT, "tick": NO}, INLINE, words=True),
    "sum": Rule({"grams": NEED, "percent": TEXT, "place": TEXT, "tick": NO}, INLINE, words=True),
    "table": Rule(
        {
            "widths": Attribute("widths", None, needed=True),
            "align": Attribute("aligns", ""),
            "rules": _choice("between", "none", "all"),
            "size": _choice(*SIZES),
            "row-height": MM,
            "ticks": _choice("left", "right"),
            "place": _choice("text", "full"),
            "spine": _choice(*LINES),
            "bold": Attribute("counts", ""),
        },
        frozenset({"head", "row", "group"}),
    ),
    "head": Rule({}, frozenset({"cell"})),
    "row": Rule(
        {"kind": _choice("body", "sum", "total"), "tick": NO, "keep-next": NO}, frozenset({"cell"})
    ),
    "group": Rule({}, INLINE, words=True),
    "cell": Rule(
        {
            "span": Attribute("count", "1"),
            "align": Attribute("choice", "", ("", *ALIGNS)),
            "header": NO,
            "strong": NO,
            "tone": _choice(*TONES),
            "blank": NO,
            "tick": NO,
        },
        INLINE,
        words=True,
    ),
    "day-chart": Rule(
        {
            "from": Attribute("clock", None, needed=True),
            "to": Attribute("clock", None, needed=True),
            "alt": NEED,
            "height": MM,
            "hours": Attribute("choice", "24", ("24", "12")),
        },
        frozenset({"lane"}),
    ),
    "lane": Rule({"head": NEED, "sub": TEXT}, frozenset({"stretch"})),
    "stretch": Rule(
        {
            "from": Attribute("clock", None, needed=True),
            "to": Attribute("clock", None, needed=True),
            "line": _choice(*LINES[1:]),
        },
        frozenset({"strong", "br"}),
        words=True,
    ),
    "oven-plan": Rule({"title": NEED, "note": TEXT, "alt": NEED}, frozenset({"shelf"})),
    "shelf": Rule({"name": TEXT}, frozenset({"spot"})),
    "spot": Rule(
        {"shape": _choice("tin", "tray", "round", "pot")}, frozenset({"br", "strong"}), words=True
    ),
    "labels": Rule(
        {
            "columns": Attribute("count", None, needed=True),
            "rows": Attribute("count", None, needed=True),
            "width": Attribute("mm", None, needed=True),
            "height": Attribute("mm", None, needed=True),
            "left": Attribute("mm", None, needed=True),
            "top": Attribute("mm", None, needed=True),
            "pitch-x": MM,
            "pitch-y": MM,
            "start": Attribute("count", "1"),
            "padding": Attribute("mm", "3"),
            "border": NO,
            "valign": _choice("middle", "top"),
        },
        frozenset({"label"}),
    ),
    "label": Rule(
        {"size": _choice(*SIZES), "repeat": Attribute("count", "1")},
        INLINE | {"text", "list", "rule", "space", "qr"},
        words=True,
    ),
    "strong": _inline,
    "em": _inline,
    "soft": _inline,
    "small": _inline,
    "accent": _inline,
    "nobr": Rule({}, frozenset({"strong", "em"}), words=True),
    "br": _empty,
    "tick": _empty,
    "blank": Rule({"width": Attribute("mm", "40")}),
    "link": Rule({"to": Attribute("address", None, needed=True)}, _SMALL, words=True),
}
