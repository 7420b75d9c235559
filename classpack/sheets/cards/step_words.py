"""Step text with the reader's own amounts put into its placeholders, and with what their bread leaves out taken out of it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import Change, Weighed
from classpack.model.left_out_words import Cut, as_left
from classpack.model.method import Placeholder, Step
from classpack.model.safety import FiredCaution, words_of
from classpack.planning.dough.measures import SpoonMeasure


@dataclass(frozen=True, slots=True)
class Dose:
    """An amount in a sentence: ``grams`` of ``name``, or ``count`` of it.

    ``grams`` None: nobody weighs it for this reader alone (a pot that a station shares), so only its name is said. An empty
    ``name``: the reader's bread has nothing in this place. ``spoons`` is a handy measure of a small amount, if there is one.
    """

    name: str
    grams: Fraction | None
    count: Fraction | None = None
    spoons: SpoonMeasure | None = None

    @property
    def left_out(self) -> bool:
        """Is there none of it in the reader's bread?"""
        return not self.name


Words = tuple[str | Dose, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """A step as one reader reads it. ``skipped``: everything the step is about is left out of their bread.

    ``methods`` are the lesson's sentences for the changes that this step made, as they are printed with it.
    """

    words: Words
    methods: tuple[str, ...] = ()
    skipped: bool = False


def step_said(
    step: Step,
    lines: Sequence[Weighed],
    changes: Iterable[Change],
    variation: str = "",
    told: Iterable[Change] = (),
) -> Said:
    """The step's text for one reader: their own doses, sentences about what is left out gone, the changes' methods beside.

    Args:
        lines: the reader's amounts, from the nearest to the farthest (toppings, dusting, dough): lines of one purpose for one
            ingredient are added up.
        changes: all changes in their bread, from the lesson as written.
        told: changes whose method an earlier step said already.
    """
    own = [change for change in changes if change.variation in ("", variation)]
    wanted = {(change.variation, change.out): change for change in own}
    here: list[Change] = []
    parts: list[str | Dose | Cut] = []
    left_out = False
    for part in step.text:
        if isinstance(part, str):
            parts.append(part)
            continue
        change = wanted.get((variation, part.ingredient)) or wanted.get(("", part.ingredient))
        if change and change not in here:
            here.append(change)
        dose = _dose(part.ingredient, lines, wanted, variation)
        left_out = left_out or dose.left_out
        parts.append(Cut() if dose.left_out else dose)
    words = tuple(
        Dose("", None) if isinstance(one, Cut) else one
        for one in (as_left(parts) if left_out else parts)
    )
    before = tuple(told)
    methods = tuple(one.method for one in here if one.method and one not in before)
    return Said(words, tuple(dict.fromkeys(methods)), left_out and not words)


def step_words(
    step: Step, lines: Sequence[Weighed], changes: Iterable[Change], variation: str = ""
) -> Words:
    """The words of :func:`step_said` alone."""
    return step_said(step, lines, changes, variation).words


def changes_named(step: Step, changes: Iterable[Change], variation: str = "") -> list[Change]:
    """The changes of what a step's placeholders name."""
    return [
        change
        for change in changes
        if change.variation in ("", variation)
        and any(isinstance(p, Placeholder) and p.ingredient == change.out for p in step.text)
    ]


def _dose(
    name: str,
    lines: Sequence[Weighed],
    wanted: Mapping[tuple[str, str], Change],
    variation: str,
) -> Dose:
    here = [wanted[key] for key in ((variation, name), ("", name)) if key in wanted]
    own = {name, *(change.into for change in here)}
    found = [line for line in lines if line.instead_of == name or line.ingredient in own]
    if not found:
        into = here[0].into if here else name
        return Dose(into, None)
    same = [line for line in found if line.purpose == found[0].purpose]
    counts = [line.count for line in same if line.count is not None]
    return Dose(
        found[0].ingredient,
        sum((line.grams for line in same), Fraction(0)),
        sum(counts, Fraction(0)) if len(counts) == len(same) else None,
    )


_SENTENCE = re.compile(r"[^.!?;:]*[.!?;:]*\s*")


def without_said(words: Words, cautions: Iterable[FiredCaution]) -> Words:
    """``words`` without the sentences that stand in the frame above them, so that nobody reads the same thing twice.

    Only the step's sentence goes, never the caution; and not where nothing would be left.
    """
    said = {_bare(part) for one in cautions for part in _SENTENCE.findall(one.line)} - {""}
    left = tuple(
        part
        if not isinstance(part, str)
        else "".join(one for one in _SENTENCE.findall(part) if _bare(one) not in said)
        for part in words
    )
    return left if any(not isinstance(one, str) or one.strip() for one in left) else words


def _bare(sentence: str) -> str:
    return " ".join(word for word in words_of(sentence) if word not in ".;:!?")
