"""Does an ingredient of the tutor's own state what its name says, in English and in the class's language?

``walnut crunch`` that states none, ``Weizenmehl`` without wheat, a ``seeded mix`` of nobody knows which seeds, a ``Schinken`` without its
tags: each stops the pack at its line. The one way past is the pack itself, read on a stated day, and that is printed. Nothing
here makes an ingredient hold less than it states, and a name still keeps it from whoever must not have what it says.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import replace

from classpack.errors import Problem, Remark, Spot
from classpack.food_words import NamedFood, read_name
from classpack.model.allergens import IDS
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Ingredient, Larder
from classpack.planning.labels.contains import carried

TAGS_BY_NAME = ("animal", "meat", "pork", "alcohol")
_READ = "read on the pack: 2026-11-20"


def unstated(larder: Larder, language: Language) -> tuple[Problem, ...]:
    """Problems of the tutor's own entries whose names say more than they state."""
    own = [one for one in larder.ingredients if one.given]
    return tuple(problem for one in own for problem in _of(one, language))


def packs_read(larder: Larder, day: datetime.date) -> tuple[Problem, ...]:
    """A pack that is read after the class was not read."""
    return tuple(
        Problem(
            one.spot or Spot("", 1),
            f"the pack of {one.name} is read on {one.pack_read_on}, after the class",
            f"write the day on which you read it, as in '{_READ}'",
        )
        for one in larder.ingredients
        if one.pack_read_on is not None and one.pack_read_on > day
    )


def with_packs_read(larder: Larder, language: Language) -> Larder:
    """The larder in which whoever buys is told to read again what an entry rests on."""
    return replace(
        larder,
        ingredients=tuple(
            replace(
                one, check_pack="; ".join(filter(None, (one.check_pack, _again(one, language))))
            )
            if one.pack_read_on
            else one
            for one in larder.ingredients
        ),
        _by_name={},
    )


def packs_read_remarks(larder: Larder, used: frozenset[str]) -> tuple[Remark, ...]:
    """What entries rest on a reading of their pack, of those in use."""
    return tuple(
        Remark("allergens", f"{one.name}: {_again(one, ENGLISH)}.")
        for one in larder.ingredients
        if one.pack_read_on and one.name in used
    )


def _again(one: Ingredient, language: Language) -> str:
    names = _names(unstated_by_name(one), language)
    key = "pack read lists no" if names else "pack read"
    values = {"date": str(one.pack_read_on)} | ({"names": names} if names else {})
    return language.text(key, **values)


def unstated_by_name(one: Ingredient) -> frozenset[str]:
    """Allergen ids that the names of an entry and its parts say and nothing in it states."""
    named = frozenset[str]().union(*(food.holds for food in _foods(one)))
    return named - carried((one,))


def _foods(one: Ingredient) -> list[NamedFood]:
    names = dict.fromkeys((one.name, one.label, one.label_us, *(part.name for part in one.parts)))
    return [food for name in names for food in read_name(name).foods]


def _names(ids: frozenset[str], language: Language) -> str:
    found = [id for id in IDS if id in ids]
    return ", ".join(language.allergen(id) for id in found)


def _of(one: Ingredient, language: Language) -> Iterator[Problem]:
    spot = one.spot or Spot("", 1)
    unsaid = unstated_by_name(one)
    if unsaid and one.pack_read_on is None:
        it = "it" if len(unsaid) == 1 else "them"
        yield Problem(
            spot,
            f"'{one.name}' is called after {_names(unsaid, language)} and does not state {it}",
            f"add '{_names(unsaid, ENGLISH).lower()}' to its allergens, call it something else, or, if its pack lists none, "
            f"say when you read it, as in '{_READ}'",
        )
    vague = next((food for food in _foods(one) if _is_vague(food)), None)
    if vague and not unsaid and not carried((one,)) and not one.parts and one.pack_read_on is None:
        yield Problem(
            spot,
            f"'{one.name}' does not say which: '{vague.said}' may hold {_names(vague.may_hold, language)}",
            f"name what it is, write its parts, or say when you read its pack, as in '{_READ}'",
        )
    if not language.allergens:
        return
    names = language.without_lookalikes("\n".join((one.name, one.label)).lower())
    for tag in TAGS_BY_NAME:
        said = next((word for word in language.columns(f"named {tag}") if word in names), "")
        if said and tag not in one.tags:
            yield Problem(
                spot,
                f"'{one.name}' is called '{said}' and does not say '{tag}'",
                f"add '{tag}' to its tags, as in 'tags: [{tag}]', or call it something else",
            )


def _is_vague(food: NamedFood) -> bool:
    return (
        bool(food.asks and food.may_hold) and not food.weak and food.asks not in ("flour", "bread")
    )
