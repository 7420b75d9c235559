"""How much dough a piece takes: by tin, by area, by tray; and what is left of it after the oven.

A tin counts by its measured millilitres only: five tins sold as "2 lb" held 1.4 to 2.5 l (a bakers' forum's study).

* Tins, dough per ml: not below 7.6 in³ an ounce in wholesale pan bread, 0.228 g/ml (US bakery text, quoted without
  author); US Armed Forces Recipe Service D-009 and D-010: 0.243-0.322 g/ml; home rule "pan-volume loaf" (forum
  compilation): 0.28-0.53 g/ml. Lidded Pullman 3.3-3.5 ml/g, from memory. Trade rules of thumb.
* From tin to tin by the ratio of volumes: wholegrain100.com, 2015.
* Dough by area: pizza 0.44 / 0.48 / 0.53-0.57 g/cm² (forum moderators citing industry); sheet pizza 0.39 g/cm² (Armed Forces
  roll-mix pizza); pizza napoletana 180-250 g for at most 35 cm (EU Reg. 97/2010, as reported); focaccia 0.7-1.0 (from memory).
* Rolls on a tray: 50 of 2 oz, 5 x 10, on 18 x 26 in (USDA quantity recipes, 1988).
* Bake loss: 10-13 % in general (Gisslen, *Professional Baking*, "Scaling"), 10-20 % over all breads and pan bread less than
  hearth bread (Hamelman, *Bread*, as quoted). Dough needed is baked weight / (1 - loss), not baked weight x (1 + loss).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor

from classpack.errors import Problem, Remark, Spot
from classpack.model.kitchen import Oven
from classpack.planning.dough.powers import power
from classpack.quantities import INCH_CM, OZ_G, plain

PI = Fraction(3141592653589793, 10**15)


@dataclass(frozen=True, slots=True)
class Density:
    """Dough for a volume (g per ml) or an area (g per cm²): ``least``, ``usual``, ``most``, and the source."""

    name: str
    least: Fraction
    usual: Fraction
    most: Fraction
    source: str


def _density(name: str, least: str, usual: str, most: str, source: str) -> Density:
    return Density(name, Fraction(least), Fraction(usual), Fraction(most), source)


TIN_DENSITIES = (
    _density("open tin", "0.28", "0.38", "0.45", "home rule, forum compilation; common practice"),
    _density("open tin, wholesale", "0.228", "0.25", "0.322", "US bakery text; AFRS D-009, D-010"),
    _density("lidded tin", "0.286", "0.294", "0.303", "Pullman 3.3-3.5 ml/g, from memory"),
)
AREA_DENSITIES = (
    _density(
        "pizza, thin", "0.19", "0.44", "0.46", "forum moderators; EU Reg. 97/2010 as reported"
    ),
    _density("pizza, medium", "0.46", "0.48", "0.52", "forum moderators citing industry"),
    _density("pizza, thick", "0.53", "0.55", "0.57", "forum moderators citing industry"),
    _density("sheet pizza", "0.39", "0.39", "0.57", "US Armed Forces roll-mix pizza, 18 x 26 in"),
    _density("coffee cake", "0.6", "0.67", "0.75", "institutional kuchen, 4½ lb per 18 x 26 in"),
    _density("focaccia", "0.7", "0.85", "1.0", "bakery practice, from memory"),
)
TIN_REMARK_G_PER_ML = (Fraction(20, 100), Fraction(53, 100))
"""Outside every published figure for tins."""
TIN_PROBLEM_G_PER_ML = (Fraction(8, 100), Fraction(62, 100))
"""Above this a dough (about 1.1 g/ml before it rises, from memory) overflows before it has doubled."""
DOUGH_G_PER_ML = Fraction(11, 10)
"""A dough without gas, from memory."""


# ---------------------------------------------------------------- tins


def transferred_g(dough_g: Fraction, old: Fraction, new: Fraction) -> Fraction:
    """Dough for another tin (``old``, ``new`` in ml) or tray (in cm²): in the ratio of the two."""
    return dough_g * new / old


def tin_problem(name: str, dough_g: Fraction, volume_ml: Fraction, spot: Spot) -> Problem | None:
    """A piece that its tin cannot hold, or that is lost in it."""
    low, high = TIN_PROBLEM_G_PER_ML
    fill = dough_g / volume_ml
    if low <= fill <= high:
        return None
    least, most = (edge * volume_ml for edge in (TIN_DENSITIES[1].least, TIN_DENSITIES[0].most))
    too = "more than it can hold risen" if fill > high else "too little to make a loaf"
    return Problem(
        spot,
        f"{name} puts {plain(dough_g, 0)} g of dough into a {plain(volume_ml, 0)} ml tin, {too}",
        f"{plain(least, 0)} to {plain(most, 0)} g fit it; measure the tin by filling it with water",
    )


def tin_remark(name: str, dough_g: Fraction, volume_ml: Fraction) -> Remark | None:
    """A fill outside all published figures that may still be meant; None too when it is a problem."""
    fill = dough_g / volume_ml
    low, high = TIN_REMARK_G_PER_ML
    hard_low, hard_high = TIN_PROBLEM_G_PER_ML
    if low <= fill <= high or not hard_low <= fill <= hard_high:
        return None
    return Remark(
        "dough",
        f"{name} has {plain(fill, 2)} g of dough to a ml of tin; published tins have {plain(low, 2)} to {plain(high, 2)}",
    )


def loaf_height_cm(tin_height_cm: Fraction, crown_cm: Fraction | None = None) -> Fraction:
    """Tin and crown together. A crown of half the tin's height when not said (common practice, no source)."""
    return tin_height_cm + (tin_height_cm / 2 if crown_cm is None else crown_cm)


def clearance_problem(name: str, height_cm: Fraction, oven: Oven, spot: Spot) -> Problem | None:
    """A loaf that would touch the shelf or element above it; a finger's breadth (2 cm) is kept free."""
    needed = height_cm + 2
    if oven.clearance_cm is None or oven.clearance_cm >= needed:
        return None
    return Problem(
        spot,
        f"{name} stands {plain(height_cm, 1)} cm high in {oven.name}, which has {plain(oven.clearance_cm, 1)} cm above a shelf",
        f"it needs {plain(needed, 1)} cm; take a shelf out or use a lower tin",
    )


# ---------------------------------------------------------------- areas and trays


def thickness_mm(g_per_cm2: Fraction) -> Fraction:
    """How thick dough of so much an area lies before it rises."""
    return g_per_cm2 / DOUGH_G_PER_ML * 10


@dataclass(frozen=True, slots=True)
class TrayGrid:
    """Pieces in ``across`` x ``down`` on a tray; ``cell_cm2`` is what each then has."""

    across: int
    down: int
    cell_cm2: Fraction

    @property
    def count(self) -> int:
        """Pieces on the tray."""
        return self.across * self.down


TOUCHING_ROLL_G = 2 * OZ_G
TOUCHING_ROLL_CM2 = Fraction(18 * 26, 50) * INCH_CM**2
"""USDA quantity recipes (1988): 50 rolls of 2 oz on a tray of 18 x 26 in."""
SPACED_TIMES = Fraction(19, 10)
"""Room for pieces that must not touch, times that of touching ones: bagels of 3 oz, 20 on 18 x 26 in (AFRS D-013)."""
_MOST_UNSQUARE = Fraction(7, 5)


def cell_cm2(piece_g: Fraction, touching: bool = True) -> Fraction:
    """The area one round piece needs: that of the USDA roll, by the two-thirds power of its weight."""
    cell = TOUCHING_ROLL_CM2 * power(piece_g / TOUCHING_ROLL_G, Fraction(2, 3))
    return cell if touching else cell * SPACED_TIMES


def tray_grid(width_cm: Fraction, depth_cm: Fraction, wanted_cm2: Fraction) -> TrayGrid | None:
    """The most pieces in a plain grid with ``wanted_cm2`` each (1 % less is let pass) and cells not too oblong.

    None when not even one piece fits. Of two grids of as many, the squarer; ``across`` goes along the width.
    """
    most = floor(width_cm * depth_cm / (wanted_cm2 * Fraction(99, 100)))
    for count in range(most, 0, -1):
        grids = [
            (max(w, d) / min(w, d), across)
            for across in range(1, count + 1)
            if count % across == 0
            for w, d in [(width_cm / across, depth_cm / (count // across))]
        ]
        shape, across = min(grids)
        if shape <= _MOST_UNSQUARE:
            return TrayGrid(across, count // across, width_cm * depth_cm / count)
    return None


# ---------------------------------------------------------------- losses


@dataclass(frozen=True, slots=True)
class BakeLoss:
    """Weight lost in the oven, percent of dough: ``least``, ``usual``, ``most``, and the source."""

    name: str
    least: Fraction
    usual: Fraction
    most: Fraction
    source: str


def _loss(name: str, least: int, usual: int, most: int, source: str) -> BakeLoss:
    return BakeLoss(name, Fraction(least), Fraction(usual), Fraction(most), source)


BAKE_LOSSES = (
    _loss("tin loaf", 9, 12, 13, "Gisslen; US Army 1916: 9.9 %; Munich 1794: 13.1 %"),
    _loss("hearth loaf", 10, 15, 20, "Hamelman, Bread, as quoted; Accum 1821: 15.3 %"),
    _loss("rolls and buns", 9, 11, 15, "measured on a forum, 2007: 10.7 and 15 %"),
    _loss("tray bread", 8, 12, 18, "common practice, no source"),
    _loss("pizza", 8, 12, 20, "common practice, no source"),
)


def baked_g(dough_g: Fraction, loss_percent: Fraction) -> Fraction:
    """What a piece weighs out of the oven; ``loss_percent`` is of the dough."""
    return dough_g * (100 - loss_percent) / 100


def loss_percent(before_g: Fraction, after_g: Fraction) -> Fraction:
    """What was lost, in percent of what was there before."""
    return (before_g - after_g) * 100 / before_g


def with_left_behind_g(dough_g: Fraction, left_percent: Fraction) -> Fraction:
    """Dough to mix so that ``dough_g`` can be divided when ``left_percent`` of it stays in bowl and hands."""
    return dough_g * 100 / (100 - left_percent)
