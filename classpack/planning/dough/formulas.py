"""Baker's percentages, weights, true percentages and hydration, all exact; and what does not add up in a printed formula.

* All the flour together is 100 %; every other ingredient is its weight over the flour's, times 100. Figoni, *How Baking
  Works* (2010) and Gisslen, *Professional Baking* (2005), both as cited by an encyclopaedia; "How to Work with a Formula
  Expressed in Baker's Percent" (baking-school hand-out).
* Flour for a wanted dough = dough / (sum of percentages / 100). "Baker's percentage worksheet" (73 baguettes).
* Flour may be rounded *up* to a handy figure to cover losses. Gisslen, "Procedure for converting a formula to a new yield".
* True percentage = share of the whole dough. "Honey Whole Wheat Pan Bread", bakemag.com no. 10632.
* Water inside ingredients counts towards hydration. Same formula: "water calculated at 67 %" with the honey's water in it.
  Water inside flour and salt never counts, and that of yeast is left out as that source does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from classpack.model.formula import Formula, FormulaLine
from classpack.model.larder import Larder
from classpack.model.printed_formula import Printed, PrintedFormula, PrintedLine
from classpack.quantities import NotUnderstood, plain, rounded_to

Weights = tuple[tuple[str, Fraction], ...]
"""Grams of each ingredient, in the formula's order."""

_HOLDS_WATER = ("milk", "egg", "fat", "sugar")


def flour_percent(lines: Iterable[FormulaLine], larder: Larder) -> Fraction:
    """The flours among ``lines`` together; 100 in a sound formula."""
    return sum(
        (line.percent for line in lines if larder[line.ingredient].kind == "flour"), Fraction(0)
    )


# ---------------------------------------------------------------- percentages and weights


def percents_of(weights: Sequence[tuple[str, Fraction]], larder: Larder) -> tuple[FormulaLine, ...]:
    """Baker's percentages of weighed ingredients, in the same order; any one unit of weight will do.

    Raises:
        NotUnderstood: none of them is flour.
    """
    flour = sum((grams for name, grams in weights if larder[name].kind == "flour"), Fraction(0))
    if flour == 0:
        raise NotUnderstood(
            "no line of the formula is flour", "baker's percentages are of the flour; add its line"
        )
    return tuple(FormulaLine(name, grams * 100 / flour) for name, grams in weights)


def flour_for_dough_g(formula: Formula, dough_g: Fraction) -> Fraction:
    """Flour, preferments included, for ``dough_g`` of dough; not rounded."""
    return dough_g * 100 / formula.total_percent


def weights_for_flour(formula: Formula, flour_g: Fraction) -> Weights:
    """Grams of each line for ``flour_g`` of flour, not rounded."""
    return tuple((line.ingredient, line.percent * flour_g / 100) for line in formula.lines)


@dataclass(frozen=True, slots=True)
class RoundedWeights:
    """Weights on the scale's step. ``off_g``: dough printed less dough wanted; at most ``most_off_g`` either way."""

    weights: Weights
    off_g: Fraction
    most_off_g: Fraction

    @property
    def dough_g(self) -> Fraction:
        """What the rounded weights add up to."""
        return sum((grams for _, grams in self.weights), Fraction(0))


def rounded_each(weights: Weights, step_of: Callable[[Fraction], Fraction]) -> RoundedWeights:
    """As :func:`rounded_weights`, each weight on the step of the scale that ``step_of`` chooses for it."""
    on_step = tuple((name, rounded_to(grams, step_of(grams))) for name, grams in weights)
    off = sum((grams for _, grams in on_step), Fraction(0)) - sum(
        (grams for _, grams in weights), Fraction(0)
    )
    most = sum((step_of(grams) for _, grams in weights), Fraction(0)) / 2
    return RoundedWeights(on_step, off, most)


def true_percents(formula: Formula) -> tuple[tuple[str, Fraction], ...]:
    """The share of the whole dough of each line, in percent; they add up to 100."""
    total = formula.total_percent
    return tuple((line.ingredient, line.percent * 100 / total) for line in formula.lines)


# ---------------------------------------------------------------- hydration


@dataclass(frozen=True, slots=True)
class Hydration:
    """Water over flour. All in percent of the whole flour of the formula.

    ``added``: water as such. ``inside``: water in milk, eggs, fat, honey and the like. ``starter_water`` and
    ``starter_flour``: what a starter listed as an ingredient brings, outside the 100 %. ``unknown``: ingredients whose
    water no source gave; the hydration is then at least this much.
    """

    added: Fraction
    inside: Fraction
    starter_water: Fraction
    starter_flour: Fraction
    unknown: tuple[str, ...]

    @property
    def stated_percent(self) -> Fraction:
        """Water added over the formula's flour: what most books print."""
        return self.added

    @property
    def true_percent(self) -> Fraction:
        """All the water over all the flour, the starter's included in both."""
        water = self.added + self.inside + self.starter_water
        return water * 100 / (100 + self.starter_flour)


def hydration(formula: Formula, larder: Larder) -> Hydration:
    """The hydration of a formula whose flours add up to 100."""
    added = inside = starter_water = starter_flour = Fraction(0)
    unknown: list[str] = []
    for line in formula.lines:
        one = larder[line.ingredient]
        if one.kind == "water":
            added += line.percent
        elif one.kind in (*_HOLDS_WATER, "starter"):
            if one.water_percent is None:
                unknown.append(one.name)
                continue
            water = line.percent * one.water_percent / 100
            if one.kind == "starter":
                starter_water += water
                starter_flour += line.percent - water
            else:
                inside += water
    return Hydration(added, inside, starter_water, starter_flour, tuple(unknown))


# ---------------------------------------------------------------- does a printed formula add up?


@dataclass(frozen=True, slots=True)
class Misprint:
    """What does not add up in a printed formula. ``name`` is the line, or ``total``."""

    name: str
    wrong: str
    right: str


def _span(numbers: Iterable[Printed]) -> tuple[Fraction, Fraction]:
    numbers = tuple(numbers)
    middle = sum((one.value for one in numbers), Fraction(0))
    half = sum((one.step for one in numbers), Fraction(0)) / 2
    return middle - half, middle + half


def _adds_up(total: Printed | None, parts: Sequence[Printed | None]) -> bool:
    """Whether the parts can give the total; also when either is not printed in full."""
    known = [part for part in parts if part is not None]
    return total is None or len(known) < len(parts) or total.meets(*_span(known))


def _column(numbers: Sequence[Printed | None]) -> list[Printed | None]:
    """The column with its short whole numbers (``10`` kg beside ``0.075`` kg) as exact as its finest number.

    Bakers drop noughts after the point; a whole number of four digits or more is more likely to be rounded.
    """
    finest = min((one.step for one in numbers if one is not None), default=Fraction(1))
    return [
        Printed(one.value, finest) if one and one.step == 1 and one.value < 1000 else one
        for one in numbers
    ]


def _off(total: Printed, parts: Sequence[Printed | None]) -> Fraction:
    return abs(total.value - sum((part.value for part in parts if part), Fraction(0)))


def _line_misprint(
    paper: PrintedFormula, number: int, flour: tuple[Fraction, Fraction]
) -> tuple[Misprint, PrintedLine] | None:
    """The misprint of one line and the line mended, or None when weight and percentage agree."""
    line = paper.lines[number]
    if line.weight is None or line.percent is None or line.is_flour:
        return None
    half = line.percent.step / 2
    low = (line.percent.value - half) * flour[0] / 100
    high = (line.percent.value + half) * flour[1] / 100
    if line.weight.meets(low, high):
        return None
    flour_value = (flour[0] + flour[1]) / 2
    weight = Printed(line.percent.value * flour_value / 100, high - low)
    step = min(line.percent.step, Fraction(1, 10))
    percent = Printed(rounded_to(line.weight.value * 100 / flour_value, step), step)
    says = (
        f"{line.name} is printed {plain(line.weight.value)} {paper.unit} and {plain(line.percent.value)} %, "
        f"but {plain(line.percent.value)} % of {plain(flour_value)} {paper.unit} flour is "
        f"{plain(weight.value)} {paper.unit}"
    )
    weights = [one.weight for one in paper.lines]
    mended = [*weights[:number], weight, *weights[number + 1 :]]
    total = paper.total_weight
    if total is not None and None not in weights and 2 * _off(total, mended) < _off(total, weights):
        right = f"did you mean {plain(weight.value)} {paper.unit}? That gives the printed total"
        return Misprint(line.name, says, right), replace(line, weight=weight)
    right = f"did you mean {plain(percent.value)} %?"
    return Misprint(line.name, says, right), replace(line, percent=percent)


def misprints(paper: PrintedFormula) -> tuple[Misprint, ...]:
    """Everything in a printed formula that cannot be explained by rounding to the places printed.

    A line's weight and percentage must agree; the printed totals must be the sums. Where they differ, the totals decide
    which of the two is the misprint; if they do not tell, the weight is believed, since it is what was weighed.
    """
    found: list[Misprint] = []
    columns = zip(
        _column([one.weight for one in paper.lines]),
        _column([one.percent for one in paper.lines]),
        strict=True,
    )
    lines = [
        replace(one, weight=weight, percent=percent)
        for one, (weight, percent) in zip(paper.lines, columns, strict=True)
    ]
    paper = replace(paper, lines=tuple(lines))
    flours = [one.weight for one in lines if one.is_flour]
    weighed = [one for one in flours if one is not None]
    if weighed and len(weighed) == len(flours):
        flour = _span(weighed)
        for number in range(len(lines)):
            mended = _line_misprint(paper, number, flour)
            if mended is not None:
                found.append(mended[0])
                lines[number] = mended[1]
    for what, unit, total, parts in (
        ("weights", paper.unit, paper.total_weight, [one.weight for one in lines]),
        ("percentages", "%", paper.total_percent, [one.percent for one in lines]),
    ):
        if total is not None and not _adds_up(total, parts):
            adds = sum((part.value for part in parts if part is not None), Fraction(0))
            mended_words = " with that mended" if found else ""
            found.append(
                Misprint(
                    "total",
                    f"the total is printed {plain(total.value)} {unit}",
                    f"{what}{mended_words} add up to {plain(adds)} {unit}",
                )
            )
    percents = [one.percent for one in lines if one.is_flour and one.percent is not None]
    if percents and len(percents) == len(flours):
        low, high = _span(percents)
        if not low <= 100 <= high:
            found.append(
                Misprint(
                    "flour",
                    f"the flours add up to {plain((low + high) / 2)}",
                    "they must add up to 100",
                )
            )
    return tuple(found)
