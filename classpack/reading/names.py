"""Names of one food: by region, trade and household. ``classpack/data/names.csv`` says which larder entry a name means.

A synonym is a name of the *same* food: same kind, same allergens, same form. A name that stands for several foods, or for one
whose pack must be read, is asked and never taken (``ask``). Sources: a UK-US glossary and a flour table of a bread site and
an Australian label page (read); what is not there is from memory and wants a native speaker's eye.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from classpack.model.allergens import BY_ID
from classpack.model.larder import Larder

NAMES_FILE = Path(__file__).parent.parent / "data" / "names.csv"
ANY = "any"

STATES = frozenset(
    [
        "warm",
        "lukewarm",
        "tepid",
        "cold",
        "chilled",
        "hot",
        "boiling",
        "room-temperature",
        "melted",
        "softened",
        "soft",
        "beaten",
        "chopped",
        "sifted",
        "freshly",
        "finely",
        "roughly",
        "coarsely",
        "large",
        "medium",
        "small",
        "lightly",
        "minced",
        "cubed",
        "diced",
        "sliced",
        "grated",
        "toasted",
        "crushed",
        "packed",
        "loosely",
        "heaped",
        "level",
        "warme",
        "warmes",
        "warmer",
        "lauwarme",
        "lauwarmes",
        "lauwarmer",
        "kalte",
        "kaltes",
        "kalter",
        "weiche",
        "zerlassene",
        "gehackte",
    ]
) - {"grated"}
"""Words of state, cut, warmth and size that leave the food what it is. 'fresh', 'dried' and 'grated' do not come off, nor any
word that makes another food of it (vegan, gluten-free, oat, almond, mock ...): such a name is known whole or not at all."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """The larder entries a name may mean, the first of them offered; ``asks`` when it may not be taken without a question."""

    foods: tuple[str, ...]
    asks: bool = False
    note: str = ""
    elsewhere: bool = False

    @property
    def food(self) -> str:
        """What is taken, or offered where it asks."""
        return self.foods[0]


@cache
def _table() -> dict[tuple[str, str], Meaning]:
    """Every name, in small letters, with the region it is read so."""
    with NAMES_FILE.open(encoding="utf-8", newline="") as lines:
        return {
            (row["name"].casefold(), region): Meaning(
                tuple(row["foods"].split("; ")), row["ask"] == "yes", row["note"]
            )
            for row in csv.DictReader(lines)
            for region in row["regions"].split()
        }


@cache
def printed_names(region: str) -> dict[str, str]:
    """What ``region`` calls the shipped larder's entries on everything printed, where it differs."""
    with NAMES_FILE.open(encoding="utf-8", newline="") as lines:
        return {
            row["foods"]: row["name"]
            for row in csv.DictReader(lines)
            if region in row["printed"].split()
        }


@cache
def _everywhere() -> dict[str, tuple[Meaning, ...]]:
    found: dict[str, tuple[Meaning, ...]] = {}
    for (name, _), meaning in _table().items():
        if meaning not in found.get(name, ()):
            found[name] = (*found.get(name, ()), meaning)
    return found


def meaning_of(name: str, region: str, larder: Larder) -> Meaning | None:
    """What ``name`` means in ``region``: an entry of the larder by its own name, then a synonym here, then one of elsewhere.

    None when it is no name of anything known; no misspelling is guessed here. A name that regions read differently asks.
    """
    folded = name.casefold()
    known = larder.get(name)
    if known is not None:
        here = _table().get((folded, region))
        if here is not None and here.asks and not known.given:
            return here
        return Meaning((known.name,))
    exact = next((one for one in larder.names if one.casefold() == folded), None)
    if exact:
        return Meaning((exact,))
    here = _table().get((folded, region)) or _table().get((folded, ANY))
    if here is None:
        others = _everywhere().get(folded, ())
        if not others:
            return None
        foods = tuple(dict.fromkeys(food for one in others for food in one.foods))
        here = replace(
            others[0], foods=foods, asks=len(foods) > 1 or others[0].asks, elsewhere=True
        )
    return replace(
        here, foods=tuple(larder.own_name(food) for food in here.foods if larder.get(food))
    )


def without_state(name: str) -> tuple[str, str]:
    """``name`` without its words of state, and those words: ``melted butter`` is butter, melted.

    >>> without_state("freshly melted unsalted butter"), without_state("oat milk, warm")
    (('unsalted butter', 'freshly melted'), ('oat milk', 'warm'))
    """
    words = name.replace(",", " ").split()
    kept = [word for word in words if word.casefold() not in STATES]
    off = [word for word in words if word.casefold() in STATES]
    return (" ".join(kept), " ".join(off)) if kept else (name, "")


def understood(name: str, region: str, larder: Larder) -> tuple[Meaning | None, str]:
    """What a name with its words of state means, and those words as a note."""
    whole = meaning_of(name, region, larder)
    if whole is not None:
        return whole, ""
    bare, off = without_state(name)
    return (meaning_of(bare, region, larder), off) if off else (None, "")


def with_allergens(names: Iterable[str], larder: Larder) -> str:
    """Names to choose from, each with its allergens, as a question says them."""
    return ", ".join(f"{name} ({_carries(name, larder)})" for name in names)


def _carries(name: str, larder: Larder) -> str:
    one = larder[name]
    return (
        ", ".join(found.everyday for id, found in BY_ID.items() if id in one.allergens)
        or "no allergen"
    )
