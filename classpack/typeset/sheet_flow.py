"""What a sheet holds, as blocks from margin to margin, in their order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from classpack.typeset.blocks import (
    Block,
    Stack,
    White,
)
from classpack.typeset.elements import RULES
from classpack.typeset.fonts import tidy
from classpack.typeset.page_rules import cautions, entry, masthead, side
from classpack.typeset.page_text import Element
from classpack.typeset.setting import Setting
from classpack.typeset.spine import SpineEntry


@dataclass(frozen=True, slots=True)
class Break:
    """A page end asked for, with what the running head says from there (empty: as before)."""

    title: str
    note: str


def flow(s: Setting, elements: Sequence[Element]) -> Iterator[Block | Break]:
    """The sheet's blocks from left margin to right, and its page breaks."""
    grid = s.kind.grid
    list_key: object = None
    for number, e in enumerate(elements):
        if e.tag != "entry":
            list_key = None
        match e.tag:
            case "running" | "code-words":
                continue
            case "page-break":
                yield Break(e.text("title"), e.text("note"))
            case "masthead":
                yield masthead(s, e)
            case "side":
                yield side(s, e)
            case "entry":
                list_key = list_key or object()
                yield entry(s, e, list_key)
            case "caution":
                if (
                    number
                    and elements[number - 1].tag == "caution"
                    and _together(elements, number - 1)
                ):
                    continue
                last = number
                while last + 1 < len(elements) and _together(elements, last):
                    last += 1
                yield cautions(s, elements[number : last + 1], _guards(elements, last))
            case "keep":
                inner = [b for b in flow(s, _as_elements(e)) if not isinstance(b, Break)]
                yield Stack(inner, whole=True)
            case "rule" if e.text("from") == "margin" or not grid.text:
                yield RULES["rule"](s, e, s.width, s.width, "body")
            case "cut-line" | "day-chart":
                yield RULES[e.tag](s, e, s.width, s.width, "body")
            case "table" | "columns" if e.text("place") == "full":
                yield RULES[e.tag](s, e, s.width, s.width, "body")
            case "table" if e.text("spine") != "none" and grid.clock:
                table = RULES["table"](s, e, s.edge, s.edge, "body")
                yield SpineEntry(
                    grid,
                    s.width,
                    Stack([table]),
                    s.type("table").size,
                    e.text("spine"),
                    table.after,
                    s.ink_colour,
                    thicker=s.look.thicker,
                )
            case _:
                if e.tag == "heading" and number and elements[number - 1].tag != "heading":
                    yield White(s.type(f"heading {e.text('level')}").size * 0.45)
                block = RULES[e.tag](s, e, s.edge, s.edge, "body")
                yield Stack([block], grid.text) if grid.text else block


def _as_elements(keep: Element) -> list[Element]:
    """A keep's children; words of its own become a paragraph."""
    out: list[Element] = []
    run: list[Element | str] = []

    def close() -> None:
        if any(not isinstance(r, str) or r.strip() for r in run):
            values = {"size": "body", "tone": "ink", "align": "left", "after": None}
            out.append(Element("text", dict(values), tuple(run), keep.spot))
        run.clear()

    for child in keep.children:
        if isinstance(child, str) or (
            child.tag not in RULES and child.tag not in ("side", "entry", "caution")
        ):
            run.append(child)
        else:
            close()
            out.append(child)
    close()
    return out


def _guards(elements: Sequence[Element], number: int) -> bool:
    """Whether the caution guards a step: an entry follows, with nothing but more cautions between."""
    for e in elements[number:]:
        if e.tag != "caution" or not e.yes("notch"):
            return e.tag == "entry"
    return False


def _together(elements: Sequence[Element], number: int) -> bool:
    """Whether a caution shares its frame with the next element: both slim, both of a grid, or both for one step."""
    one, two = elements[number], elements[number + 1]
    if two.tag != "caution" or one.yes("notch") != two.yes("notch"):
        return False
    alike = one.text("size") == two.text("size") != "full"
    return alike or (_guards(elements, number) and _guards(elements, number + 1))


def code_words(sheet: Element) -> dict[str, str]:
    given = sheet.elements("code-words")
    if given:
        return {name: tidy(given[0].text(name)) for name in ("hands", "dough", "oven", "heating")}
    return {
        "hands": "your hands",
        "dough": "the dough rests",
        "oven": "in the oven",
        "heating": "oven heating",
    }
