"""What is usual where a lesson does not say: the window of a proof, the loss in the oven, pieces on a shelf, the kit of a bench.

Losses: Gisslen, *Professional Baking* ("Scaling": 10-13 % in general) and Hamelman, *Bread*, as quoted: pan bread less than
hearth bread. A shelf: a household oven's of 44 x 36 cm, less its rim (common practice, no source). Room for a piece: USDA
quantity recipes (1988), 50 rolls of 2 oz on 18 x 26 in, and 1.9 times that for pieces that must not touch (AFRS D-013).
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from classpack.errors import Spot
from classpack.model.lesson import KitItem, Vessel
from classpack.quantities import INCH_CM, OZ_G

DOUGH_C = Fraction(25)
LEFT_PERCENT = Fraction(2)
SHELF_CM2 = Fraction(40 * 33)
TIN_DEPTH_CM = Fraction(15, 2)
TIN_AIR = Fraction(3, 2)
"""Tins stand with half a tin's width of air beside them."""
ROLL_CM2 = Fraction(18 * 26, 50) * INCH_CM**2 * Fraction(19, 10)
ROLL_G = 2 * OZ_G
BIG_PIECE_G = 150

KIT = (
    ("mixing bowl", "student"), ("dough scraper", "student"), ("measuring jug", "student"),
    ("bowl cover", "student"), ("name slip", "student"), ("dough thermometer", "station"),
    ("oven gloves", "station"), ("wire rack", "station"),
)  # fmt: skip
"""What every bench of a bread class has."""


def usual_window(minutes: Fraction) -> tuple[Fraction, Fraction]:
    """Three quarters to one and a half of a proof, on five minutes, around it (the project's choice).

    >>> usual_window(Fraction(60)) == (45, 90)
    True
    """
    low = Fraction(floor(minutes * Fraction(3, 4) / 5) * 5)
    high = Fraction(-floor(-minutes * Fraction(3, 2) / 5) * 5)
    return max(Fraction(1), low), high


def usual_loss_percent(vessel: Vessel, piece_g: Fraction) -> Fraction:
    """Percent of the dough lost in the oven: a tin or tray 12, a hearth loaf 15, a roll 11."""
    if vessel.kind != "free":
        return Fraction(12)
    return Fraction(11) if piece_g <= BIG_PIECE_G else Fraction(15)


def usual_per_shelf(vessel: Vessel, piece_g: Fraction) -> int:
    """Pieces that one shelf of a household oven takes, from the tin's, tray's or piece's own size; at least one."""
    if vessel.volume_ml is not None:
        footprint = vessel.volume_ml / TIN_DEPTH_CM * TIN_AIR
    elif vessel.area_cm2 is not None:
        footprint = vessel.area_cm2
    else:
        cell = float(ROLL_CM2) * float(piece_g / ROLL_G) ** (2 / 3)
        footprint = Fraction(round(cell))
    return max(1, floor(SHELF_CM2 / footprint))


def usual_kit(spot: Spot) -> tuple[KitItem, ...]:
    """The kit of a bench."""
    return tuple(KitItem(name, Fraction(1), per, spot) for name, per in KIT)
