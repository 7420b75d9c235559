"""The formula: a dough in baker's percentages, free of any size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, get_args

from classpack.errors import Spot
from classpack.model.method import Placeholder

PrefermentKind = Literal["poolish", "biga", "sponge", "levain", "soaker"]
PREFERMENT_KINDS: tuple[PrefermentKind, ...] = get_args(PrefermentKind)

STATED_AS = ("pre-fermented flour", "weight on all flour", "weight on final flour")
"""What a preferment's percentage is a share of; see :mod:`classpack.planning.dough.preferments`."""

LINE_BY_LINE = "each line on all flour"
"""How a soaker is stated: every line of it in percent of the whole flour."""


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
    ``out_before_min`` is how long before its first use it leaves the fridge (0: it is used as it stands).
    ``stated_percent`` is the file's own figure and ``stated_as`` what it is a share of. ``text`` says how it is mixed;
    its placeholders name the preferment's own ingredients.
    """

    name: str
    kind: PrefermentKind
    lines: tuple[FormulaLine, ...]
    ripe_min: tuple[Fraction, Fraction]
    ripe_c: Fraction
    culture_percent: Fraction = Fraction(0)
    stated_as: str = STATED_AS[0]
    stated_percent: Fraction = Fraction(0)
    text: tuple[str | Placeholder, ...] = ()
    out_before_min: Fraction = Fraction(0)
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


# ---------------------------------------------------------------- how much flour is pre-fermented


@dataclass(frozen=True, slots=True)
class Share:
    """How a file states one preferment: ``percent`` of what ``stated_as`` says, and what it weighs for 100 of its own flour."""

    percent: Fraction
    stated_as: str
    weight_percent: Fraction


def prefermented_percents(
    stated: Sequence[Share], other_flour: Fraction = Fraction(0)
) -> tuple[Fraction, ...]:
    """Flour in each of several preferments over all the flour.

    Those stated on the *final* flour depend on all the others, since final flour is what no preferment holds.

    Args:
        other_flour: percent of all the flour that stands in soakers and is not final flour either.

    >>> [int(one) for one in prefermented_percents([Share(Fraction(45), STATED_AS[2], Fraction(180))])]
    [20]
    """
    known = [
        {STATED_AS[0]: one.percent, STATED_AS[1]: one.percent * 100 / one.weight_percent}.get(
            one.stated_as
        )
        for one in stated
    ]
    free = 100 - other_flour - sum((part for part in known if part is not None), Fraction(0))
    on_final = sum(
        (
            one.percent / one.weight_percent
            for one, part in zip(stated, known, strict=True)
            if part is None
        ),
        Fraction(0),
    )
    final = free / (1 + on_final)
    return tuple(
        final * one.percent / one.weight_percent if part is None else part
        for one, part in zip(stated, known, strict=True)
    )


def prefermented_percent(
    stated: Fraction,
    stated_as: str,
    hydration_percent: Fraction,
    other_percent: Fraction = Fraction(0),
) -> Fraction:
    """Flour in the only preferment over all the flour, from any of the three conventions.

    Args:
        stated: the percentage as written.
        stated_as: one of :data:`STATED_AS`.
        hydration_percent: of the preferment's own flour.
        other_percent: yeast, salt and the like in it, of its own flour.

    >>> [int(prefermented_percent(Fraction(p), how, Fraction(80))) for p, how in zip((20, 36, 45), STATED_AS)]
    [20, 20, 20]
    """
    if stated_as not in STATED_AS:
        raise ValueError(f"'{stated_as}' is none of {', '.join(STATED_AS)}")
    return prefermented_percents(
        [Share(stated, stated_as, 100 + hydration_percent + other_percent)]
    )[0]
