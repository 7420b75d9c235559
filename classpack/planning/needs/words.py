"""Step text that names what somebody's bread is made without.

A placeholder follows a swap; a word typed in the step does not. 'Scatter the sesame' on the card of a class without sesame,
or of a lesson whose author forgot to list the sesame, is the one way an allergen can still reach a bowl: so it is a problem.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from classpack.errors import Problem, Spot
from classpack.model.class_day import Making
from classpack.model.lesson import Lesson
from classpack.model.method import Step
from classpack.model.needs import StatedNeed
from classpack.planning.needs.holdings import has_word
from classpack.planning.needs.terms import HINT_WORDS

_NOT_FOOD = re.compile(
    r"\b\w+-sized\b|\bsize of an? \w+|\b\w+[ -](?:bowl|cup|timer|whisk)\b|"
    r"\b(?:oat|soya|soy|rice|coconut|almond|peanut|cocoa|nut|plant|vegan)[ -](?:milk|butter|cream|cheese|drink)\b"
)
_MILK = ("milk", "butter", "cheese", "yogurt", "buttermilk")
_WORDS = {**HINT_WORDS, "milk": _MILK, "fish": ("anchovy", "anchovies", "tuna", "salmon")}
_AIR_CEREALS = ("gluten:wheat", "gluten:rye", "gluten:barley", "gluten:oats")


def words_in_steps(
    lesson: Lesson,
    active: frozenset[str],
    for_everyone: Iterable[StatedNeed],
    needs: Sequence[Sequence[StatedNeed]],
    makings: Sequence[Sequence[Making]],
) -> list[Problem]:
    """A problem for every step that names, outside a placeholder, what a reader of it must not have."""
    wide = {allergen for need in for_everyone for allergen in need.allergens}
    by_bread: dict[str, set[str]] = {name: set(wide) for name in ("", *sorted(active))}
    for index, makes in enumerate(makings):
        own = {
            allergen for need in needs[index] if need.kind != "state" for allergen in need.allergens
        }
        if makes:
            by_bread[""] |= own
        for making in makes:
            by_bread[making.variation] |= own
    found = []
    for name, steps in _methods(lesson, active):
        for step in steps:
            found += _named(step, by_bread[name], lesson.file)
    return found


def _methods(lesson: Lesson, active: frozenset[str]) -> Iterator[tuple[str, tuple[Step, ...]]]:
    yield "", lesson.base.method
    for one in lesson.variations:
        if one.name in active:
            yield one.name, one.method


def _named(step: Step, allergens: set[str], file: str) -> list[Problem]:
    said = [part for part in step.text if isinstance(part, str)]
    typed = _NOT_FOOD.sub(" ", " ".join((*said, step.head, step.ready_when)).casefold())
    for allergen, words in _WORDS.items():
        if allergen in allergens and allergen not in _AIR_CEREALS:
            word = has_word(typed, words)
            if word:
                return [
                    Problem(
                        step.spot or Spot(file, 1),
                        f"the step says '{word}' in so many words, and somebody's bread is made without it",
                        "write the ingredient's name in braces, so that it follows the swap, or leave the word out",
                    )
                ]
    return []
