"""What a tin holds, from its sides or its trade name. Water on a scale is better than both: its grams are millilitres.

Loaf tins slope, so they hold less than the box around them: 12 % is taken off (a fluted tin of 8 1/2 x 4 1/2 x 2.6 in, base
7 1/2 x 3 1/2, box 1630 ml, is published with 1440, 0.88 of it; 9 x 5 x 3 in is sold with 8 cups, 0.86; a newsletter, 2022,
and pan makers' pages). A trade name is no volume: tins sold as "2 lb" held 1100 to 3400 ml (six shop pages).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from classpack.quantities import INCH_CM

SLOPE = Fraction(12, 100)
DEPTH_CM = {"in": 3 * INCH_CM, "cm": Fraction(15, 2)}
"""A usual loaf tin's depth, offered where only two sides are said."""


def box_volume_ml(length_cm: Fraction, width_cm: Fraction, height_cm: Fraction) -> Fraction:
    """A straight-sided box."""
    return length_cm * width_cm * height_cm


def tin_from_sides_ml(length_cm: Fraction, width_cm: Fraction, depth_cm: Fraction) -> Fraction:
    """What a sloping loaf tin of these inside measures at the rim holds, to a whole ml.

    >>> tin_from_sides_ml(9 * INCH_CM, 5 * INCH_CM, 3 * INCH_CM)
    Fraction(1947, 1)
    """
    return Fraction(round(box_volume_ml(length_cm, width_cm, depth_cm) * (1 - SLOPE)))


def dough_for_baked_g(baked: Fraction, loss_percent: Fraction) -> Fraction:
    """Dough for a wanted baked weight: divided by what is left, so 400 g at 13 % take 460 g."""
    return baked * 100 / (100 - loss_percent)


@dataclass(frozen=True, slots=True)
class TradeTin:
    """A trade name: the millilitres offered, and the least and most that tins sold so hold."""

    offered_ml: Fraction
    least_ml: Fraction
    most_ml: Fraction


_ONE_POUND = TradeTin(Fraction(800), Fraction(600), Fraction(1230))
_TWO_POUNDS = TradeTin(Fraction(1500), Fraction(1100), Fraction(3400))
TRADE_TINS: Mapping[str, TradeTin] = {
    "1 lb": _ONE_POUND,
    "450 g": _ONE_POUND,
    "2 lb": _TWO_POUNDS,
    "900 g": _TWO_POUNDS,
}
"""UK, Irish, Australian and Indian names (ten shop pages, read)."""
