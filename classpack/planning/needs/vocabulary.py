"""What a person may be said to need: allergens, coeliac disease, diets and states, in English with everyday synonyms.

The lists are those of :mod:`classpack.model.allergens`, with their sources. Synonyms are common practice, no source.

A need counts whatever the region: the region only says which list is shown when a word is not known. A word that can
mean several things asks which, a word nobody here knows is refused: guessing is the one thing this module never does.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from classpack.errors import Problem, Spot
from classpack.food_words import read_foods
from classpack.model.class_day import MustNotHave
from classpack.model.diets import Diet
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Larder
from classpack.model.needs import StatedNeed
from classpack.planning.needs.terms import (
    ASKS_WHICH,
    DIET_TAGS,
    DIETS,
    LABELS,
    MILD,
    NONE_WORDS,
    OTHER_ALLERGIES,
    REGION_ALLERGENS,
    STATES,
    TERMS,
    WHICH,
)

_BEFORE = re.compile(
    r"^(?:severe |mild |schwere |starke |leichte )?(?:(?:an? )?(?:allergic|allergy|intolerant|intolerance|sensitive) to "
    r"|(?:eine )?(?:allergie|unverträglichkeit|allergisch) (?:gegen|auf) |no |avoids? |kein(?:e|en)? |ohne )?"
)
_AFTER = re.compile(
    r"(?:[ -](?:allergy|allergies|allergic|intolerance|intolerant|free)|[ -]?(?:allergie|unverträglichkeit|intoleranz)|[ -]?frei)?\.?$"
)
_SAYS_ALLERGY = re.compile(r"allerg")
_SPLIT = re.compile(r"\s*(?:,|;|/|\+|&|\n|\band\b|\bund\b)\s*")


def list_for(region: str, diets: Sequence[Diet] = ()) -> str:
    """What may be written, for a message: the region's allergens, then the rest."""
    law = [LABELS[one] for one in REGION_ALLERGENS[region]]
    more = [label for one, label in LABELS.items() if one not in REGION_ALLERGENS[region]]
    own = [diet.name for diet in diets]
    named = [
        "tree nuts",
        "all nuts",
        "shellfish",
        "coeliac",
        *(d.label for d in DIETS),
        *STATES.values(),
        *own,
    ]
    return f"{', '.join(law)}; also {', '.join([*named, *more])}"


def _tidy(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).casefold().replace("’", "'").split())


def _bare(text: str) -> str:
    """Without what people put around a food: 'allergic to ...', '... allergy', a question mark."""
    return _AFTER.sub("", _BEFORE.sub("", text.rstrip("? "), count=1), count=1).strip()


def is_none(text: str, language: Language = ENGLISH) -> bool:
    """Does ``text`` say that the person was asked and has no needs?"""
    return _tidy(text).rstrip(".!") in (*NONE_WORDS, *language.needs.get("none", ()))


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The words of one class: the region's list for messages, the tutor's own diets and allergies, and those of the class's
    language. ``_foods`` are names in the larder, understood where an allergy to one of them is said."""

    region: str
    diets: tuple[Diet, ...] = ()
    language: Language = ENGLISH
    _own: dict[str, StatedNeed] = field(default_factory=dict, compare=False, repr=False)
    _foods: dict[str, StatedNeed] = field(default_factory=dict, compare=False, repr=False)

    def understood(
        self, need: MustNotHave, where: Spot
    ) -> tuple[tuple[StatedNeed, ...], tuple[Problem, ...]]:
        """What ``need`` says, as one or more needs (a cell may hold several), or why it is not understood."""
        spot = need.spot or where
        whole = _tidy(need.name)
        found, problems = [], []
        one = self._one(whole)
        parts = [whole] if one or whole in ASKS_WHICH else [p for p in _SPLIT.split(whole) if p]
        if not any(self._says_something(part) for part in parts):
            parts = [whole]  # one message for all of it
        for part in parts:
            known = self._one(part)
            if known is None:
                problems.append(self._not_known(part, need.name, spot))
                continue
            severity = need.severity or ("mild" if part.startswith("mild ") else "")
            severe = known.kind in ("allergy", "coeliac") and _tidy(severity) not in MILD
            found.append(
                replace(
                    known,
                    typed=need.name,
                    severity=severity,
                    severe=severe,
                    note=need.note,
                    spot=spot,
                )
            )
        return tuple(found), tuple(problems)

    def _says_something(self, part: str) -> bool:
        return self._one(part) is not None or _bare(part) in ASKS_WHICH or part in NONE_WORDS

    def _one(self, text: str) -> StatedNeed | None:
        text = text.strip()
        known = self._own.get(text) or TERMS.get(text)
        if known or text.endswith("?"):
            return known
        bare = _bare(text)
        if bare in ASKS_WHICH:
            return None
        known = self._own.get(bare) or TERMS.get(bare)
        return known or (self._foods.get(bare) if _SAYS_ALLERGY.search(text) else None)

    def _not_known(self, part: str, typed: str, spot: Spot) -> Problem:
        bare = _bare(part)
        shown = typed if len(typed) <= 60 else typed[:57] + "..."
        inside = f" ('{part}')" if part != _tidy(typed) else ""
        if bare in ASKS_WHICH or part in ASKS_WHICH:
            which = ASKS_WHICH.get(bare) or ASKS_WHICH[part]
            return Problem(spot, f"the need '{shown}'{inside} does not say which", WHICH[which])
        if part in NONE_WORDS:
            return Problem(
                spot,
                f"the need '{shown}' says none and something else",
                "ask again, and write either 'none' or what the person must not have",
            )
        if part.endswith("?"):
            return Problem(
                spot,
                f"the need '{shown}'{inside} is a question",
                "ask, and write the need without the question mark, or 'none'",
            )
        if held := _held(bare, self.language.code):
            return Problem(
                spot,
                f"the need '{shown}'{inside} is a food, not an allergen",
                f"ask what it is in it, and write {' or '.join(repr(LABELS[one]) for one in held)}",
            )
        known = [*self._own, *TERMS]
        close = difflib.get_close_matches(bare, known, 1, 0.75)
        hint = f"did you mean '{close[0]}'? If not, write" if close else "write"
        return Problem(
            spot,
            f"the need '{shown}'{inside} is not known here",
            f"{hint} it{'' if self.language.needs else ' in English'}, as one of: {list_for(self.region, self.diets)}; for any "
            "other food write 'allergy to' and its name in the larder, or define it under 'allergies:' in the class file, a diet "
            "under 'diets:'",
        )


def _held(food: str, language: str) -> tuple[str, ...]:
    """Allergens of a food that somebody wrote instead of them, and nothing else: peanut butter."""
    foods = read_foods(food, language).foods
    if len(foods) != 1 or len(foods[0].said.split()) != len(food.split()):
        return ()
    return tuple(one for one in LABELS if one in foods[0].holds)


def _spoken(language: Language) -> dict[str, StatedNeed]:
    """The needs of the class's language beside English: its names of allergens, and its words for the rest."""
    found = {
        word.casefold(): TERMS[id]
        for id, words in language.allergens.items()
        for word in (words.name, *words.words)
    }
    if language.code == "de":
        for label, others in OTHER_ALLERGIES.items():
            found |= {word.strip("-"): TERMS[label] for word in others if "-" in word}
    return found | {
        word.casefold(): TERMS[term]
        for term, words in language.needs.items()
        for word in words
        if term in TERMS
    }


def _allergy(diet: Diet, spot: Spot, larder: Larder, problems: list[Problem]) -> StatedNeed:
    """An allergy of the tutor's own words."""
    if not diet.words:
        problems.append(
            Problem(
                spot,
                f"the allergy '{diet.name}' has no words",
                "write 'words:' and every word that names the food, in each language on your packs",
            )
        )
    for name in diet.without:
        if larder.get(name) is None:
            problems.append(
                Problem(
                    spot,
                    f"the allergy '{diet.name}' is said to be also in '{name}', which is nothing in the larder",
                    "write its name as the larder has it, or take it away",
                )
            )
    words = frozenset({_tidy(diet.name), *map(_tidy, diet.words)})
    return StatedNeed(
        "",
        diet.name,
        diet.name,
        "allergy",
        ingredients=frozenset(diet.without),
        words=words,
        whole_class=diet.whole_class,
    )


def vocabulary(
    region: str,
    diets: Sequence[Diet],
    larder: Larder,
    where: Spot,
    language: Language = ENGLISH,
) -> tuple[Vocabulary, tuple[Problem, ...]]:
    """The words of one class, and what is wrong with the diets and allergies the tutor defines."""
    own: dict[str, StatedNeed] = {}
    problems = []
    for diet in diets:
        spot = diet.spot or where
        name = _tidy(diet.name)
        known = TERMS.get(name)
        tutors_own = diet.allergy and known is not None and known.id in OTHER_ALLERGIES
        if (
            (name in TERMS and not tutors_own)
            or name in ASKS_WHICH
            or name in NONE_WORDS
            or name in own
        ):
            problems.append(
                Problem(
                    spot,
                    f"'{diet.name}' already means something",
                    "give it a name of its own, as in 'fruit free'",
                )
            )
            continue
        if diet.allergy:
            own[name] = _allergy(diet, spot, larder, problems)
            continue
        if not diet.without:
            problems.append(
                Problem(
                    spot,
                    f"the diet '{diet.name}' leaves nothing out",
                    "write 'without:' and a list of ingredients, allergens or tags",
                )
            )
        ingredients: set[str] = set()
        allergens: set[str] = set()
        tags: set[str] = set()
        for word in diet.without:
            term = TERMS.get(_tidy(word))
            if larder.get(word) is not None:
                ingredients.add(word)
            elif word in DIET_TAGS:
                tags.add(word)
            elif term is not None and term.kind in ("allergy", "coeliac"):
                allergens |= term.allergens
            else:
                close = difflib.get_close_matches(
                    word, [*larder.names, *LABELS.values(), *DIET_TAGS], 1, 0.6
                )
                problems.append(
                    Problem(
                        spot,
                        f"the diet '{diet.name}' leaves out '{word}', which is nothing in the larder",
                        f"did you mean '{close[0]}'?"
                        if close
                        else f"name an ingredient of the larder, an allergen, or one of: {', '.join(DIET_TAGS)}",
                    )
                )
        own[name] = StatedNeed(
            "",
            diet.name,
            diet.name,
            "diet",
            frozenset(allergens),
            frozenset(tags),
            frozenset(ingredients),
            severe=False,
        )
    foods = {
        _tidy(one.name): StatedNeed(
            "", one.name, one.name, "allergy", words=frozenset({_tidy(one.name)})
        )
        for one in larder.ingredients
        if not one.allergens and not _held(one.name, language.code)
    }
    return Vocabulary(region, tuple(diets), language, _spoken(language) | own, foods), tuple(
        problems
    )
