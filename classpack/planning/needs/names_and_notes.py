"""Names and notes in which a need stands: a name goes to shared paper, and a note is followed by nobody.

In a name, words for a condition or a diet are looked for everywhere; food only where no name stands, in an aside ("Ada (nuts)")
or in small letters: people are called Hazel, Rye and Salmon.
"""

from __future__ import annotations

import re
import unicodedata

from classpack.errors import Problem, Spot
from classpack.food_words import read_name
from classpack.model.class_day import Person
from classpack.model.language import Language
from classpack.model.needs import StatedNeed
from classpack.planning.needs.holdings import has_word
from classpack.planning.needs.terms import ASKS_WHICH, LABELS, OTHER_ALLERGIES, TERMS

_ASIDE = re.compile(r"[(\[{;:/|]|\s[-–—]+\s")
_CONDITIONS = (
    *("allergic", "allergy", "allergies", "anaphylaxis", "anaphylactic", "intolerant", "intolerance", "epipen", "adrenaline"),
    *("diabetes", "diabetic", "epilepsy", "epileptic", "halal", "kosher", "lactose", "dairy-free", "gluten-free", "nut-free"),
    *("allergie", "-allergie", "allergisch", "-unverträglichkeit", "-intoleranz", "diabetiker", "diabetikerin", "-frei"),
)  # fmt: skip
"""Words of health and diet that are no need of their own, in English and German; from memory."""


_ABSENT = re.compile(r"\b(no|not|without|avoids?|ohne|keine?n?)\b", re.IGNORECASE)
"""In a note 'no walnuts' is a need, not a food that is left out."""


def _folded(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).casefold().replace("’", "'").split())


def _condition(text: str, language: Language) -> str:
    """A word for a condition, a diet or a state, or nothing."""
    words = {word for word, need in TERMS.items() if need.kind in ("coeliac", "diet", "state")}
    spoken = {word for said in language.needs.values() for word in said}
    return has_word(_folded(text), sorted({*words, *spoken, *_CONDITIONS} - {"keine", "nichts"}))


def _food(text: str) -> str:
    """A word for a food that somebody may have to avoid, or nothing."""
    words = {word for others in OTHER_ALLERGIES.values() for word in others}
    known = {*TERMS, *ASKS_WHICH, *OTHER_ALLERGIES, *words} - {"y", "yes", "other"}
    if word := has_word(_folded(text), sorted(known, key=lambda word: (-len(word), word))):
        return word
    foods = read_name(text).foods
    return next((food.said for food in foods if food.holds or food.asks), "")


def name_problem(person: Person, where: Spot, language: Language) -> Problem | None:
    """A need in a person's name, which stands on shared paper; the place and the word, never the name."""
    start, *asides = _ASIDE.split(person.name, maxsplit=1)
    small = [word for word in start.split() if word.islower()] if start != start.lower() else []
    word = _condition(person.name, language) or _food(" ".join([*small, *asides]))
    if not word:
        return None
    return Problem(
        person.spot or where,
        f"a name holds '{word}', and names stand on paper that everybody sees",
        "write the name alone, and what they must not have below 'needs:'",
    )


def note_problem(need: StatedNeed, needs: tuple[StatedNeed, ...], where: Spot) -> Problem | None:
    """A food in a note that none of the person's needs speaks of: nobody would keep it from them."""
    stated = frozenset[str]().union(*(one.allergens for one in needs))
    words = frozenset[str]().union(*(one.words for one in needs))
    for food in read_name(_ABSENT.sub(" ", need.note)).foods:
        held = food.holds or (food.may_hold if food.asks in ("nuts", "seeds") else frozenset())
        if held and not held & stated and food.said not in words:
            names = ", ".join(label for one, label in LABELS.items() if one in held)
            return Problem(
                need.spot or where,
                f"a note says '{food.said}' ({names}), and a note is read by people only",
                "write it below 'needs:' too, or take it out of the note",
            )
    return None
