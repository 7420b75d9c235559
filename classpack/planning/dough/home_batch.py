"""One loaf or one tray to bake at home: friendly numbers, and by how much they are off.

The flour is chosen so that as many amounts as possible fall on round numbers while each ingredient keeps within 1 % of its
baker's percentage. What cannot (a few grams of yeast on a kitchen scale) keeps its own error beside it, to be printed.
Spoons, cups and ounces are always "about" (see :mod:`classpack.planning.dough.measures`); toppings are not part of the dough.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from classpack.model.formula import Formula, FormulaLine
from classpack.model.larder import YEAST_FORMS, Larder
from classpack.planning.dough.formulas import flour_for_dough_g
from classpack.planning.dough.measures import (
    CupMeasure,
    OunceMeasure,
    SpoonMeasure,
    in_cups,
    in_ounces,
    in_spoons,
)
from classpack.planning.dough.pieces import with_left_behind_g
from classpack.planning.dough.preferments import final_lines
from classpack.planning.dough.yeast import (
    HAMELMAN,
    SACHET_FORMS,
    SACHET_G,
    Sachets,
    YeastFactors,
    converted_g,
    in_sachets,
    yeast_in_form,
)
from classpack.quantities import rounded_to

WITHIN_PERCENT = Fraction(1)
"""How far a friendly amount may be from its baker's percentage without being told."""
_STEPS = tuple(
    (Fraction(step), cost)
    for step, cost in (("50", 0), ("25", 1), ("10", 2), ("5", 3), ("1", 6), ("0.5", 9), ("0.1", 12))
)
_FINEST = ((Fraction(10), Fraction(1)), (Fraction(2), Fraction(1, 2)))
_LESS, _MORE = Fraction(99, 100), Fraction(106, 100)
_SPOONED = ("salt", "yeast", "fat", "sugar", "other")


@dataclass(frozen=True, slots=True)
class HomeLine:
    """One amount at home. ``error_percent`` is that of its baker's percentage; the measures are None when none comes near."""

    ingredient: str
    grams: Fraction
    error_percent: Fraction
    spoon: SpoonMeasure | None
    cup: CupMeasure | None
    ounces: OunceMeasure


@dataclass(frozen=True, slots=True)
class HomeYeast:
    """The yeast of the batch in one form. ``ingredient`` is empty when the larder has no yeast of that form."""

    form: str
    ingredient: str
    grams: Fraction
    sachets: Sachets | None
    spoon: SpoonMeasure | None


@dataclass(frozen=True, slots=True)
class HomeColumn:
    """What is mixed together: a preferment by its name, or the ``dough``."""

    name: str
    lines: tuple[HomeLine, ...]

    @property
    def total_g(self) -> Fraction:
        """Everything weighed into it."""
        return sum((line.grams for line in self.lines), Fraction(0))


@dataclass(frozen=True, slots=True)
class HomeBatch:
    """A batch for home. ``pieces`` of ``piece_dough_g`` are wanted; ``dough_g`` is what the friendly amounts make.

    ``yeasts`` are all of the batch's yeast, in the formula's form first and then the others.
    """

    pieces: int
    piece_dough_g: Fraction
    flour_g: Fraction
    columns: tuple[HomeColumn, ...]
    yeasts: tuple[HomeYeast, ...]

    @property
    def dough_g(self) -> Fraction:
        """All columns together; a preferment goes into the dough whole."""
        return sum((column.total_g for column in self.columns), Fraction(0))

    @property
    def off(self) -> tuple[HomeLine, ...]:
        """Lines more than 1 % from their baker's percentage, to be told."""
        lines = (line for column in self.columns for line in column.lines)
        return tuple(line for line in lines if abs(line.error_percent) > WITHIN_PERCENT)


def _finest(grams: Fraction) -> Fraction:
    """The finest step somebody weighs so much on at home."""
    return next((fine for least, fine in _FINEST if grams >= least), Fraction(1, 10))


def _friendly_g(exact_g: Fraction) -> tuple[Fraction, Fraction]:
    """The roundest amount within 1 %, and how unfriendly it is; the finest step a home scale has when none is."""
    for step, cost in _STEPS[:5]:
        grams = rounded_to(exact_g, step)
        if grams and abs(grams - exact_g) * 100 <= exact_g * WITHIN_PERCENT:
            return grams, Fraction(cost)
    step = _finest(exact_g)
    grams = max(rounded_to(exact_g, step), step)
    off = abs(grams - exact_g) * 100 / exact_g
    return grams, dict(_STEPS)[step] + (off if off <= WITHIN_PERCENT else 20 + 5 * off)


def _mixed(formula: Formula) -> tuple[tuple[str, tuple[FormulaLine, ...]], ...]:
    parts = tuple((one.name, one.lines) for one in formula.preferments)
    return (*parts, ("dough", final_lines(formula)))


_Weighed = tuple[tuple[str, tuple[tuple[FormulaLine, Fraction], ...]], ...]


def _weighed(
    formula: Formula, larder: Larder, flour_g: Fraction
) -> tuple[_Weighed, Fraction, Fraction]:
    """Friendly amounts for about ``flour_g``: flours first, the rest from what they add up to; the flour; the cost."""
    cost = whole = Fraction(0)
    flours: dict[tuple[str, int], Fraction] = {}
    columns = _mixed(formula)
    for name, lines in columns:
        for number, line in enumerate(lines):
            if larder[line.ingredient].kind == "flour":
                grams, how_odd = _friendly_g(line.percent * flour_g / 100)
                flours[name, number] = grams
                whole += grams
                cost += how_odd
    done = []
    for name, lines in columns:
        column = []
        for number, line in enumerate(lines):
            if (name, number) in flours:
                column.append((line, flours[name, number]))
                continue
            grams, how_odd = _friendly_g(line.percent * whole / 100)
            column.append((line, grams))
            cost += how_odd
        done.append((name, tuple(column)))
    return tuple(done), whole, cost


def _best(formula: Formula, larder: Larder, needed_g: Fraction) -> tuple[_Weighed, Fraction]:
    """The roundest amounts with a flour near ``needed_g``, and that flour; the nearest of equals."""
    fives = range(ceil(needed_g * _LESS / 5), floor(needed_g * _MORE / 5) + 1)
    tried = [_weighed(formula, larder, Fraction(5 * n)) for n in fives]
    tried = tried or [_weighed(formula, larder, needed_g)]
    near = [one for one in tried if needed_g * _LESS <= one[1] <= needed_g * _MORE] or tried
    columns, flour, _ = min(near, key=lambda one: (one[2], abs(one[1] - needed_g)))
    return columns, flour


def _line(line: FormulaLine, grams: Fraction, flour_g: Fraction, larder: Larder) -> HomeLine:
    one = larder[line.ingredient]
    spooned = one.kind in _SPOONED
    return HomeLine(
        line.ingredient,
        grams,
        (grams * 100 / flour_g - line.percent) * 100 / line.percent,
        in_spoons(grams, one.g_per_ml) if spooned else None,
        in_cups(grams, one.g_per_ml),
        in_ounces(grams),
    )


def home_yeasts(
    grams: Fraction,
    name: str,
    larder: Larder,
    factors: YeastFactors = HAMELMAN,
    sachet_g: Fraction = SACHET_G,
) -> tuple[HomeYeast, ...]:
    """``grams`` of the larder's yeast ``name`` in its own form, then in the two others (to 1 g, under 10 g to 0.5, under 2 g to 0.1)."""
    have = larder[name].yeast_form
    found = []
    for form in (have, *(one for one in YEAST_FORMS if one != have)):
        ingredient = yeast_in_form(name, larder, form)
        weight = converted_g(grams, have, form, factors)
        if form != have:
            weight = rounded_to(weight, _finest(weight))
        density = larder[ingredient].g_per_ml if ingredient else None
        sachets = in_sachets(weight, sachet_g) if form in SACHET_FORMS else None
        spoon = in_spoons(weight, density) if form in SACHET_FORMS else None
        found.append(HomeYeast(form, ingredient, weight, sachets, spoon))
    return tuple(found)


def home_batch(
    formula: Formula,
    larder: Larder,
    pieces: int,
    piece_dough_g: Fraction,
    left_percent: Fraction,
    factors: YeastFactors = HAMELMAN,
    sachet_g: Fraction = SACHET_G,
) -> HomeBatch:
    """The home batch of ``pieces`` pieces, dough left in the bowl included.

    The dough made lies between 1 % under and about 6 % over what the pieces need.
    """
    needed = flour_for_dough_g(formula, with_left_behind_g(pieces * piece_dough_g, left_percent))
    weighed, flour = _best(formula, larder, needed)
    columns = tuple(
        HomeColumn(name, tuple(_line(line, grams, flour, larder) for line, grams in lines))
        for name, lines in weighed
    )
    by_yeast: dict[str, Fraction] = {}
    for column in columns:
        for line in column.lines:
            if larder[line.ingredient].yeast_form in YEAST_FORMS:
                by_yeast[line.ingredient] = by_yeast.get(line.ingredient, Fraction(0)) + line.grams
    yeasts = tuple(
        one
        for name, grams in by_yeast.items()
        for one in home_yeasts(grams, name, larder, factors, sachet_g)
    )
    return HomeBatch(pieces, piece_dough_g, flour, columns, yeasts)
