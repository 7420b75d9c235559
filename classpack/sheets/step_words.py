"""Step text with the reader's own amounts put into its placeholders."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import Change, Weighed
from classpack.model.method import Placeholder, Step


@dataclass(frozen=True, slots=True)
class Dose:
    """An amount in a sentence: ``grams`` of ``name``, or ``count`` of it. ``grams`` None: it is left out of this bread."""

    name: str
    grams: Fraction | None
    count: Fraction | None = None

    @property
    def left_out(self) -> bool:
        """Is there none of it in the reader's bread?"""
        return self.grams is None


Words = tuple[str | Dose, ...]


def step_words(
    step: Step, lines: Sequence[Weighed], changes: Iterable[Change], variation: str = ""
) -> Words:
    """The step's text; each placeholder becomes the dose of it among ``lines``, the reader's own changes made.

    Looks for the variation's own lines first (toppings), so ``lines`` go from the nearest to the farthest; lines of one
    purpose for one ingredient are added up.
    """
    wanted = {
        (change.variation, change.out): change.into
        for change in changes
        if change.variation in ("", variation)
    }
    return tuple(
        _dose(part.ingredient, lines, wanted, variation) if isinstance(part, Placeholder) else part
        for part in step.text
    )


def _dose(
    name: str, lines: Sequence[Weighed], wanted: Mapping[tuple[str, str], str], variation: str
) -> Dose:
    own = {name, *(wanted[key] for key in ((variation, name), ("", name)) if key in wanted)}
    found = [line for line in lines if line.instead_of == name or line.ingredient in own]
    if not found:
        return Dose(name, None)
    same = [line for line in found if line.purpose == found[0].purpose]
    counts = [line.count for line in same if line.count is not None]
    return Dose(
        found[0].ingredient,
        sum((line.grams for line in same), Fraction(0)),
        sum(counts, Fraction(0)) if len(counts) == len(same) else None,
    )
