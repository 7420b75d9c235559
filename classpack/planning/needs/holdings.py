"""What an ingredient holds, as far as somebody's need goes: what its entry states, what its parts state, and what its name
gives away. Names and notes only ever add; nothing makes an ingredient hold less than it states."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from classpack.food_words import read_name
from classpack.model.larder import Ingredient, Part
from classpack.model.needs import StatedNeed
from classpack.planning.needs.terms import LABELS

_NOT_WHAT_THEY_SAY = re.compile(
    r"\b(beef tomato(es)?|lamb'?s lettuce|(wine|cider|sherry|malt) vinegar)\b"
)
_PREGNANCY_WORDS = (
    "brie", "camembert", "chevre", "goat's cheese", "goat cheese", "blue cheese", "gorgonzola", "roquefort", "stilton",
    "salami", "chorizo", "prosciutto", "parma ham", "pepperoni", "smoked salmon", "smoked trout", "pate", "pâté", "liver",
    "mayonnaise",
)  # fmt: skip
"""What pregnant people are told not to eat uncooked: soft and blue cheese, cured meat, smoked fish, liver, raw egg
(national health advice, from memory)."""


@lru_cache(maxsize=4096)
def _pattern(word: str) -> re.Pattern[str]:
    before, after = (
        ("" if word.startswith("-") else r"(?<!\w)"),
        ("" if word.endswith("-") else r"(?!\w)"),
    )
    return re.compile(f"{before}{re.escape(word.strip('-'))}{after}")


def has_word(text: str, words: Iterable[str]) -> str:
    """The first of ``words`` that stands in ``text`` (small letters) as a whole word, or nothing.

    A hyphen says that the word may go on there: ``mohn-`` stands in ``mohnfüllung``.
    """
    return next((word for word in words if _pattern(word).search(text)), "")


def _parts(parts: Iterable[Part]) -> Iterator[Part]:
    for part in parts:
        yield part
        yield from _parts(part.parts)


def names_of(ingredient: Ingredient) -> str:
    """All it is called, its parts included, in small letters, one a line."""
    names = [ingredient.name, ingredient.label, ingredient.label_us, ingredient.species]
    names += [part.name for part in _parts(ingredient.parts)]
    return "\n".join(name for name in names if name).casefold()


@lru_cache(maxsize=4096)
def given_away(names: str) -> frozenset[str]:
    """Allergen ids that a name, in whichever language, says it holds; several names stand one a line.

    Nuts of a mixture nobody names (``mixed nuts``) are all of them.
    """
    found: set[str] = set()
    for name in names.split("\n"):
        foods = read_name(name).foods
        found |= {one for food in foods for one in food.holds}
        found |= {one for food in foods if food.asks == "nuts" for one in food.may_hold}
    return frozenset(found)


def allergens_of(ingredient: Ingredient) -> frozenset[str]:
    """Allergen ids it holds: stated, stated of a part, or given away by a name ('sesame crackers')."""
    return stated_allergens(ingredient) | given_away(names_of(ingredient))


def stated_allergens(ingredient: Ingredient) -> frozenset[str]:
    """Allergen ids its entry and its parts state, without guessing from names."""
    if not ingredient.parts:
        return ingredient.allergens
    return ingredient.allergens.union(*(part.allergens for part in _parts(ingredient.parts)))


def may_hold(ingredient: Ingredient) -> frozenset[str] | None:
    """Allergen ids its pack may list beyond what it holds; None when its pack must be read and nobody says for what."""
    found = set(ingredient.may_list)
    note = ingredient.check_pack.casefold()
    if note:
        found |= {one for food in read_name(note).foods for one in food.holds or food.may_hold}
        if not found:
            return None
    return frozenset(found) - allergens_of(ingredient)


@lru_cache(maxsize=4096)
def diet_word(names: str, words: frozenset[str]) -> str:
    """The first of a diet's words that ``names`` (small letters) hold; beef tomatoes are no beef."""
    left = _NOT_WHAT_THEY_SAY.sub("", names)
    if has_word(left, ("vegan", "vegetarian", "plant-based")):
        return ""
    return has_word(left, sorted(words))


def excluded_by(need: StatedNeed, ingredient: Ingredient) -> tuple[str, ...]:
    """What of ``ingredient`` the need excludes, in plain words; empty when nothing does.

    A state excludes nothing as such: see :func:`unsafe_uncooked`.
    """
    if need.kind == "state":
        return ()
    held = need.allergens & allergens_of(ingredient) if need.allergens else frozenset[str]()
    found = [label for one, label in LABELS.items() if one in held] if held else []
    if not found:
        found += sorted(need.tags & ingredient.tags)
    if not found and ingredient.name in need.ingredients:
        found.append(ingredient.name)
    if not found and need.kind == "allergy":
        found += [need.label] if has_word(names_of(ingredient), sorted(need.words)) else []
    elif not found and need.words:
        word = diet_word(names_of(ingredient), need.words)
        found += [word] if word else []
    return tuple(found)


def unsafe_uncooked(need: StatedNeed, ingredient: Ingredient) -> str:
    """Why a person with this state should not eat the ingredient when no bake follows, or nothing.

    Weak immunity keeps from every chilled animal food put on after the bake (project's choice, stricter than the lists).
    """
    if need.kind != "state" or need.id not in ("pregnant", "immune-weak"):
        return ""
    if ingredient.kind == "egg":
        return "raw egg"
    if ingredient.kind == "flour":
        return "raw flour"
    word = has_word(names_of(ingredient), _PREGNANCY_WORDS)
    if word:
        return word
    if (
        need.id == "immune-weak"
        and ingredient.storage == "chilled"
        and ingredient.tags & {"animal", "meat"}
    ):
        return "a chilled topping"
    return ""


def pack_must_not_list(need: StatedNeed, ingredient: Ingredient) -> tuple[str, ...]:
    """Labels of what the pack of ``ingredient`` must not list for somebody with this need."""
    if need.kind not in ("allergy", "coeliac") or excluded_by(need, ingredient):
        return ()
    may = may_hold(ingredient)
    if need.words and (
        may is None or has_word(ingredient.check_pack.casefold(), sorted(need.words))
    ):
        return (need.label,)
    wanted = need.allergens if may is None else need.allergens & may
    return tuple(label for one, label in LABELS.items() if one in wanted)
