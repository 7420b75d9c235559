"""Spoons, cups, ounces, Fahrenheit and gas marks, for people who cook so at home. Always "about", never for weighing.

Exact sizes: NIST SP 811 (2008) App. B, NIST Handbook 44 App. C and the UK Units of Measurement Regulations 1995, from
memory. Metric spoons of 5 and 15 ml: NIST, "Metric Kitchen: Cooking Measurement Equivalencies". That page's rounded
values do not add up among themselves (4 cups of 240 ml are not its quart of 950 ml): they are never chained here.

A spoonful is only turned into grams by the ingredient's own sourced density (``Ingredient.g_per_ml``; USDA National
Nutrient Database SR28, 2015/16, file WEIGHT). Flour by the cup differs by 10 % either way between official tables.

Gas marks: mark G of 1 and more is 250 + 25 G °F; ½ is 250, ¼ is 225 (household tables). Fan ovens: 20 °C less is the
household rule; published steps go from 15 K (US households) to 28 K (50 °F, US institutional bread): sources conflict.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from classpack.quantities import (
    OZ_G,
    TBSP_ML,
    TSP_ML,
    US_CUP_ML,
    OvenHeat,
    celsius_from_fahrenheit,
    celsius_from_gas_mark,
    fahrenheit_from_celsius,
    rounded_to,
)

US_TBSP_ML = US_CUP_ML / 16
US_TSP_ML = US_TBSP_ML / 3

FAN_STEP_C = Fraction(20)
"""How much lower a fan oven is set: the UK household rule."""

_CUP_PARTS = tuple(Fraction(n, 12) for n in (0, 3, 4, 6, 8, 9, 12))


@dataclass(frozen=True, slots=True)
class SpoonMeasure:
    """``count`` level spoons of ``spoon_ml`` each; ``error_percent`` of the weight wanted, above 0 if it is more."""

    count: Fraction
    spoon_ml: Fraction
    error_percent: Fraction

    @property
    def ml(self) -> Fraction:
        """All the spoons together."""
        return self.count * self.spoon_ml


@dataclass(frozen=True, slots=True)
class CupMeasure:
    """``count`` cups of ``cup_ml`` each; ``error_percent`` as in :class:`SpoonMeasure`."""

    count: Fraction
    cup_ml: Fraction
    error_percent: Fraction


@dataclass(frozen=True, slots=True)
class OunceMeasure:
    """Whole ``pounds`` and ``ounces`` on a quarter ounce; ``error_percent`` as in :class:`SpoonMeasure`."""

    pounds: int
    ounces: Fraction
    error_percent: Fraction


@dataclass(frozen=True, slots=True)
class OvenSettings:
    """One heat on four dials. ``gas_mark`` is None when it is hotter or colder than any mark, ``fan_c`` always given."""

    conventional_c: Fraction
    fan_c: Fraction
    fahrenheit: Fraction
    gas_mark: Fraction | None


def _error(got: Fraction, wanted: Fraction) -> Fraction:
    return (got - wanted) * 100 / wanted


def spoonfuls_g(count: Fraction, spoon_ml: Fraction, g_per_ml: Fraction) -> Fraction:
    """Grams in so many level spoons (or cups) by the ingredient's density."""
    return count * spoon_ml * g_per_ml


def in_spoons(
    grams: Fraction, g_per_ml: Fraction | None, within_percent: Fraction = Fraction(15)
) -> SpoonMeasure | None:
    """The spoon measure nearest to ``grams``, or None: no density, over four tablespoons, or too far off.

    Teaspoons go by quarters up to 2¾, tablespoons by halves from 1; of two that come equally near, the bigger spoon.

    Args:
        grams: above 0.
        g_per_ml: the ingredient's density, None when no source gives one.
        within_percent: how far off it may be. Level spoons of powders are no more exact than 10 to 15 %.
    """
    if g_per_ml is None or grams <= 0:
        return None
    ml = grams / g_per_ml
    teaspoons = [SpoonMeasure(Fraction(n, 4), TSP_ML, Fraction(0)) for n in range(1, 12)]
    tablespoons = [SpoonMeasure(Fraction(n, 2), TBSP_ML, Fraction(0)) for n in range(2, 9)]
    best = min((*tablespoons, *teaspoons), key=lambda one: abs(one.ml - ml))
    error = _error(best.ml, ml)
    return None if abs(error) > within_percent else replace(best, error_percent=error)


def in_cups(
    grams: Fraction,
    g_per_ml: Fraction | None,
    cup_ml: Fraction = US_CUP_ML,
    within_percent: Fraction = Fraction(10),
) -> CupMeasure | None:
    """The nearest cups in quarters and thirds; None below a quarter cup, without a density, or too far off."""
    if g_per_ml is None or grams <= 0:
        return None
    cups = grams / g_per_ml / cup_ml
    if cups < Fraction(1, 4):
        return None
    whole = cups.numerator // cups.denominator
    count = min((whole + part for part in _CUP_PARTS), key=lambda one: abs(one - cups))
    error = _error(count, cups)
    return None if abs(error) > within_percent else CupMeasure(count, cup_ml, error)


def in_ounces(grams: Fraction) -> OunceMeasure:
    """Pounds and ounces, to the nearest quarter ounce."""
    ounces = rounded_to(grams / OZ_G, Fraction(1, 4))
    pounds, rest = divmod(ounces, 16)
    return OunceMeasure(int(pounds), rest, _error(ounces * OZ_G, grams))


# ---------------------------------------------------------------- oven heat


def gas_mark(conventional_c: Fraction) -> Fraction | None:
    """The nearest gas mark, None when the heat is more than half a mark outside ¼ to 9.

    >>> gas_mark(Fraction(230)), gas_mark(Fraction(180)), gas_mark(Fraction(300))
    (Fraction(8, 1), Fraction(4, 1), None)
    """
    marks = (Fraction(1, 4), Fraction(1, 2), *(Fraction(mark) for mark in range(1, 10)))
    best = min(marks, key=lambda mark: abs(celsius_from_gas_mark(mark) - conventional_c))
    half_a_mark_c = Fraction(25) * Fraction(5, 9) / 2
    return best if abs(celsius_from_gas_mark(best) - conventional_c) <= half_a_mark_c else None


def conventional_c(heat: OvenHeat, fan_step_c: Fraction = FAN_STEP_C) -> Fraction:
    """The setting of a conventional oven for ``heat``. A deck oven is set as a conventional one (common practice)."""
    return heat.celsius + fan_step_c if heat.kind == "fan" else heat.celsius


def oven_settings(heat: OvenHeat, fan_step_c: Fraction = FAN_STEP_C) -> OvenSettings:
    """One heat as conventional and fan °C (to 5), °F (to 25 as ovens are marked if that is within 6, else to 5), gas mark."""
    celsius = conventional_c(heat, fan_step_c)
    fahrenheit = fahrenheit_from_celsius(celsius)
    by_25 = rounded_to(fahrenheit, Fraction(25))
    return OvenSettings(
        rounded_to(celsius, Fraction(5)),
        rounded_to(celsius - fan_step_c, Fraction(5)),
        by_25 if abs(by_25 - fahrenheit) <= 6 else rounded_to(fahrenheit, Fraction(5)),
        gas_mark(celsius),
    )


def degrees_agree(
    celsius: Fraction, fahrenheit: Fraction, within_c: Fraction = Fraction(13, 2)
) -> bool:
    """Whether a printed pair of temperatures is the same heat. UK cookbook tables print up to 6 °C
    off the exact value; that is accepted.

    >>> degrees_agree(Fraction(100), Fraction(200))
    False
    """
    return abs(celsius_from_fahrenheit(fahrenheit) - celsius) <= within_c
