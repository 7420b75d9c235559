"""What no template may leave out: the cautions and allergens of a sheet. A template chooses words and order, never silence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from classpack.errors import Problem
from classpack.printing.page_text import Element, Sheet


def left_out(
    sheets: Sequence[Sheet], cautions: Iterable[str], allergens: Iterable[str]
) -> list[Problem]:
    """A problem for each caution (by what it warns of) without its frame, and for each allergen not named, on some printed sheets."""
    printed = {
        " ".join(one.text("hazard").split())
        for sheet in sheets
        for one in _inside(sheet.element)
        if one.tag == "caution"
    }
    words = " ".join(sheet.element.words() for sheet in sheets).casefold()
    spot = sheets[0].spot
    found = [
        Problem(
            spot,
            f"the caution '{short}' is not printed here",
            "print every caution of a sheet, as classpack's own template does",
        )
        for short in dict.fromkeys(cautions)
        if " ".join(short.split()) not in printed
    ]
    found += [
        Problem(
            spot,
            f"the allergen '{name}' is not named here",
            "print what each bread contains, as classpack's own template does",
        )
        for name in dict.fromkeys(allergens)
        if " ".join(name.split()).casefold() not in words
    ]
    return found


def _inside(element: Element) -> Iterator[Element]:
    for child in element.elements():
        yield child
        yield from _inside(child)
