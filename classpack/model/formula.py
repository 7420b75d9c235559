"""The formula: a dough in baker's percentages, free of any size."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from classpack.errors import Spot

PREFERMENT_KINDS = ("poolish", "biga", "sponge", "levain", "soaker")


@dataclass(frozen=True, slots=True)
class FormulaLine:
    """One ingredient; ``percent`` is of the formula's whole flour, flour inside preferments included."""

    ingredient: str
    percent: Fraction
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Preferment:
    """A part of the dough mixed beforehand. Its ``lines`` are percent of the formula's *whole* flour.

    They are part of the total formula: final dough = total formula − preferments. ``ripe_min`` is the least and
    most minutes it ripens at ``ripe_c`` degrees Celsius. ``culture_percent`` is the mature culture a levain is
    started with, percent of the levain's own flour; the same weight is kept back, so it is not in the formula.
    ``stated_as`` says which convention the file used (see :mod:`classpack.planning.preferments`).
    """

    name: str
    kind: str
    lines: tuple[FormulaLine, ...]
    ripe_min: tuple[Fraction, Fraction]
    ripe_c: Fraction
    culture_percent: Fraction = Fraction(0)
    stated_as: str = "pre-fermented flour"
    spot: Spot | None = field(default=None, compare=False, repr=False)

    @property
    def total_percent(self) -> Fraction:
        """Percent of the whole flour that the preferment weighs."""
        return sum((line.percent for line in self.lines), Fraction(0))


@dataclass(frozen=True, slots=True)
class Formula:
    """The total formula, in the order written. ``lines`` hold everything, preferments included."""

    name: str
    lines: tuple[FormulaLine, ...]
    preferments: tuple[Preferment, ...] = ()

    @property
    def total_percent(self) -> Fraction:
        """Percent of all lines together: what the dough weighs for every 100 of flour."""
        return sum((line.percent for line in self.lines), Fraction(0))

    def percent(self, ingredient: str) -> Fraction:
        """Baker's percentage of one ingredient, 0 when it is not in the formula."""
        return sum(
            (line.percent for line in self.lines if line.ingredient == ingredient), Fraction(0)
        )
