"""Poolish, biga, sponge, levain, soaker: from how the trade states them to a split of the dough.

A preferment is **part** of the total formula: total = preferments + final dough, ingredient by ingredient. The key number
is the share of all the flour that is pre-fermented (Bread Bakers Guild of America, "Formatting Guild Formulas", 2009).

A levain's percentage has three published meanings, told apart by :data:`classpack.model.formula.STATED_AS`; for the levain of Forkish, *Flour Water
Salt Yeast* (2012), 360 g at 80 % hydration in 1000 g of flour, they are 20, 36 and 45 %:

* ``pre-fermented flour``: flour in the levain over all the flour (Forkish; the Guild's layout);
* ``weight on all flour``: weight of the levain over all the flour;
* ``weight on final flour``: weight over the flour of the final dough only (many blogs and textbooks, where a levain or
  poolish is one ingredient of the final dough whose own flour is 100 %).

The mature culture a levain is started with is kept back in the same weight for the next one, so it is in no sum (Hamelman,
*Bread* (2004), Vermont Sourdough: 9.8 lb built, 0.8 lb kept back, 9 lb used).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.errors import Problem, Spot
from classpack.model.formula import (
    Formula,
    FormulaLine,
    Preferment,
    PrefermentKind,
    prefermented_percent,
)
from classpack.model.larder import Larder
from classpack.planning.dough.formulas import Weights, flour_percent
from classpack.quantities import plain


@dataclass(frozen=True, slots=True)
class Shares:
    """One preferment in all three conventions (percent), and its own hydration."""

    prefermented_flour: Fraction
    weight_on_all_flour: Fraction
    weight_on_final_flour: Fraction
    hydration: Fraction


def own_lines(preferment: Preferment, larder: Larder) -> tuple[FormulaLine, ...]:
    """Its lines in percent of its *own* flour, as the trade prints its column. It must hold flour."""
    flour = flour_percent(preferment.lines, larder)
    return tuple(
        FormulaLine(line.ingredient, line.percent * 100 / flour) for line in preferment.lines
    )


def shares(formula: Formula, preferment: Preferment, larder: Larder) -> Shares:
    """What the sheet says about a preferment. Final flour is all the flour less that of every preferment."""
    flour = flour_percent(preferment.lines, larder)
    water = sum(
        (line.percent for line in preferment.lines if larder[line.ingredient].kind == "water"),
        Fraction(0),
    )
    before = sum((flour_percent(one.lines, larder) for one in formula.preferments), Fraction(0))
    final = flour_percent(formula.lines, larder) - before
    return Shares(
        flour,
        preferment.total_percent,
        preferment.total_percent * 100 / final if final else Fraction(0),
        water * 100 / flour if flour else Fraction(0),
    )


def preferment(
    name: str,
    kind: PrefermentKind,
    stated: tuple[Fraction, str],
    flours: Sequence[tuple[str, Fraction]],
    water: tuple[str, Fraction],
    extras: Sequence[tuple[str, Fraction]] = (),
    *,
    ripe_min: tuple[Fraction, Fraction],
    ripe_c: Fraction,
    culture_percent: Fraction = Fraction(0),
) -> Preferment:
    """A preferment from the trade's statement.

    Args:
        stated: the percentage and its convention, one of ``STATED_AS``.
        flours: each with its share of the preferment's own flour; together 100.
        water: the ingredient and the hydration, percent of the preferment's own flour.
        extras: yeast, salt, malt and the like, percent of the preferment's own flour.
    """
    others = sum((percent for _, percent in extras), Fraction(0))
    share = prefermented_percent(stated[0], stated[1], water[1], others)
    own = (*flours, water, *extras)
    lines = tuple(FormulaLine(ingredient, percent * share / 100) for ingredient, percent in own)
    return Preferment(name, kind, lines, ripe_min, ripe_c, culture_percent, stated[1], stated[0])


def total_from_final(
    name: str,
    final: Sequence[tuple[str, Fraction]],
    parts: Sequence[Preferment],
    larder: Larder,
) -> Formula:
    """The total formula of a recipe that lists preferments as ingredients of the final dough.

    Args:
        final: the final dough without preferments, in percent of the **final** flour (its flours add up to 100).
        parts: the preferments, their lines already in percent of **all** the flour.
    """
    before = sum((flour_percent(one.lines, larder) for one in parts), Fraction(0))
    amounts: dict[str, Fraction] = {}
    for ingredient, percent in final:
        amounts[ingredient] = amounts.get(ingredient, Fraction(0)) + percent * (100 - before) / 100
    for one in parts:
        for line in one.lines:
            amounts[line.ingredient] = amounts.get(line.ingredient, Fraction(0)) + line.percent
    lines = tuple(FormulaLine(ingredient, percent) for ingredient, percent in amounts.items())
    return Formula(name, lines, tuple(parts))


# ---------------------------------------------------------------- the split


def final_lines(formula: Formula) -> tuple[FormulaLine, ...]:
    """What is added in the final mix besides the preferments, in percent of all the flour; lines of nothing left out.

    An ingredient that stands on several lines gives from its first line on.
    """
    taken: dict[str, Fraction] = {}
    for part in formula.preferments:
        for line in part.lines:
            taken[line.ingredient] = taken.get(line.ingredient, Fraction(0)) + line.percent
    left: list[FormulaLine] = []
    for line in formula.lines:
        use = min(line.percent, taken.get(line.ingredient, Fraction(0)))
        if use:
            taken[line.ingredient] -= use
        if line.percent != use:
            left.append(FormulaLine(line.ingredient, line.percent - use, line.spot))
    return tuple(left)


def split_problems(formula: Formula, larder: Larder, spot: Spot) -> tuple[Problem, ...]:
    """What the preferments take that the formula does not have, and what is no preferment at all."""
    found: list[Problem] = []
    taken: dict[str, Fraction] = {}
    for part in formula.preferments:
        where = part.spot or spot
        for line in part.lines:
            taken[line.ingredient] = taken.get(line.ingredient, Fraction(0)) + line.percent
            has = formula.percent(line.ingredient)
            if taken[line.ingredient] > has:
                found.append(
                    Problem(
                        where,
                        f"the preferments take {plain(taken[line.ingredient], 2)} % {line.ingredient}, "
                        f"the whole formula has {plain(has, 2)} %",
                        "a preferment is part of the formula; take less in it or write more in the formula",
                    )
                )
        if flour_percent(part.lines, larder) == 0 and part.kind != "soaker":
            found.append(
                Problem(
                    where,
                    f"{part.name} holds no flour",
                    "a preferment ferments flour; is it a soaker?",
                )
            )
        if part.kind == "soaker" and any(larder[x.ingredient].kind == "yeast" for x in part.lines):
            found.append(
                Problem(
                    where,
                    f"the soaker {part.name} holds yeast",
                    "leave the yeast out or call it a sponge",
                )
            )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the layout: ``total``, a preferment's name, or ``final dough``; grams not rounded."""

    name: str
    weights: Weights

    @property
    def total_g(self) -> Fraction:
        """What the column weighs."""
        return sum((grams for _, grams in self.weights), Fraction(0))


@dataclass(frozen=True, slots=True)
class Split:
    """Total formula, each preferment and the final dough in grams. The final dough holds each preferment as one line."""

    total: Column
    preferments: tuple[Column, ...]
    final: Column


def split_g(formula: Formula, flour_g: Fraction) -> Split:
    """The dough of ``flour_g`` flour in its columns; ingredient by ingredient they add up to the total exactly."""

    def grams(lines: Sequence[FormulaLine]) -> Weights:
        return tuple((line.ingredient, line.percent * flour_g / 100) for line in lines)

    parts = tuple(Column(one.name, grams(one.lines)) for one in formula.preferments)
    final = grams(final_lines(formula)) + tuple((one.name, one.total_g) for one in parts)
    return Split(Column("total", grams(formula.lines)), parts, Column("final dough", final))


def build_g(preferment: Preferment, flour_g: Fraction, larder: Larder) -> tuple[Column, Fraction]:
    """What is stirred together for a levain and the grams of culture to keep back once it is ripe.

    For a preferment without culture the second is 0.
    """
    grams = tuple((line.ingredient, line.percent * flour_g / 100) for line in preferment.lines)
    own_flour = flour_percent(preferment.lines, larder) * flour_g / 100
    culture = own_flour * preferment.culture_percent / 100
    if culture:
        grams += (("mature culture", culture),)
    return Column(preferment.name, grams), culture


def levain_of_g(weight_g: Fraction, hydration_percent: Fraction) -> tuple[Fraction, Fraction]:
    """Flour and water in so much levain.

    >>> levain_of_g(Fraction(360), Fraction(80)) == (200, 160)
    True
    """
    flour = weight_g * 100 / (100 + hydration_percent)
    return flour, weight_g - flour
