"""One yeast for another: fresh, active dry, instant; sachets; and amounts too small for the scale.

Factors are by weight and always go through **one** base form, fresh yeast, since the usual factors do not close among
themselves (0.40 x 0.75 is 0.30, not 0.33: 10 % apart).

* Default: Hamelman, *Bread* (2004), box "Yeast conversions: fresh to dry": active dry 0.40, instant 0.33 of fresh.
* Published spread: fresh to active dry 0.35-0.50 (how-to pages 0.40, South African craft bakery page 0.50, US
  institutional recipe 1¾ oz for 4 oz = 0.44, a packer's chart 0.37); fresh to instant 0.33-0.40; active dry to instant
  0.67-1.0 (USDA school recipes 1988: 0.75 by volume). Trade rules, the sources conflict.
* Sachets: US packet ¼ oz, sold as 7 g (packer's chart; USDA SR28 food 18375 weighed 7.2 g); UK and EU sachets 7 g (from
  memory). 20 g fresh yeast for one 7 g sachet: common practice, no source.
* The least a class III scale should weigh is 20 steps: OIML R 76, NIST Handbook 44, from memory.
* Active dry yeast is wetted in 4 to 5 times its weight of water at no more than 43 °C (110 °F) for 5 minutes: US Armed
  Forces Recipe Service (TM 10-412, 2003), every yeast recipe.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.model.larder import Larder
from classpack.planning.dough.measures import SpoonMeasure, in_spoons
from classpack.quantities import OZ_G, plain, rounded_to

SACHET_G = Fraction(7)
"""A sachet of dried yeast as printed on the pack, UK and EU."""
US_SACHET_G = OZ_G / 4
"""The US packet: ¼ oz, 7.09 g, printed '7 g'."""
SACHET_FORMS = ("active dry", "instant")
SCALE_STEPS_NEEDED = 20
MOST_TOGETHER = 12
"""Portions nobody would weigh together beyond (common practice: a class's worth)."""
REHYDRATE_MOST_C = Fraction(43)
REHYDRATE_MIN = Fraction(5)
REHYDRATE_TIMES = (Fraction(4), Fraction(5))


@dataclass(frozen=True, slots=True)
class YeastFactors:
    """Grams that do the work of one gram of fresh yeast, and where they come from."""

    active_dry: Fraction
    instant: Fraction
    source: str

    def of(self, form: str) -> Fraction:
        """The factor of ``form``, one of ``YEAST_FORMS``."""
        return {"fresh": Fraction(1), "active dry": self.active_dry, "instant": self.instant}[form]


HAMELMAN = YeastFactors(
    Fraction(40, 100), Fraction(33, 100), "Hamelman, Bread (2004), Yeast conversions: fresh to dry"
)
SPREAD = {
    ("fresh", "active dry"): (Fraction(35, 100), Fraction(50, 100)),
    ("fresh", "instant"): (Fraction(33, 100), Fraction(40, 100)),
    ("active dry", "instant"): (Fraction(67, 100), Fraction(1)),
}
"""The least and the greatest published factor, grams of the second for one gram of the first."""


def converted_g(
    grams: Fraction, have: str, want: str, factors: YeastFactors = HAMELMAN
) -> Fraction:
    """Grams of yeast ``want`` that do the work of ``grams`` of ``have``; through fresh yeast, exact.

    >>> converted_g(Fraction(10), "fresh", "instant")
    Fraction(33, 10)
    """
    return grams / factors.of(have) * factors.of(want)


def converted_spread_g(grams: Fraction, have: str, want: str) -> tuple[Fraction, Fraction]:
    """The least and the most grams any published factor gives for the same change."""
    if have == want:
        return grams, grams
    if (have, want) in SPREAD:
        least, most = SPREAD[have, want]
        return grams * least, grams * most
    least, most = SPREAD[want, have]
    return grams / most, grams / least


def water_make_up_g(fresh_g: Fraction, dry_g: Fraction) -> Fraction:
    """Water to add when dry yeast takes the place of fresh, so that the dough weighs the same: the difference."""
    return fresh_g - dry_g


def yeast_in_form(name: str, larder: Larder, form: str) -> str:
    """The larder's first yeast of ``form``, ``name`` itself if it is one; empty when the larder has none.

    What the tutor wrote into their own larder goes before what is shipped: that is what they buy, by the name they use.
    """
    if larder[name].yeast_form == form:
        return name
    fitting = [one for one in larder.ingredients if one.kind == "yeast" and one.yeast_form == form]
    fitting.sort(key=lambda one: not one.given)
    return fitting[0].name if fitting else ""


# ---------------------------------------------------------------- sachets


@dataclass(frozen=True, slots=True)
class Sachets:
    """``count`` sachets in halves; ``error_percent`` of the weight wanted, above 0 if the sachets hold more."""

    count: Fraction
    sachet_g: Fraction
    error_percent: Fraction


def sachet_of(region: str) -> Fraction:
    """Grams in one sachet of dried yeast as the region's shops sell it."""
    return US_SACHET_G if region == "US" else SACHET_G


def in_sachets(
    grams: Fraction, sachet_g: Fraction = SACHET_G, within_percent: Fraction = Fraction(10)
) -> Sachets | None:
    """Sachets and half sachets, when they come within ``within_percent`` of ``grams``; else None."""
    count = rounded_to(grams / sachet_g, Fraction(1, 2))
    if count == 0:
        return None
    error = (count * sachet_g - grams) * 100 / grams
    return Sachets(count, sachet_g, error) if abs(error) <= within_percent else None


# ---------------------------------------------------------------- too little for the scale


def least_weighable_g(step_g: Fraction) -> Fraction:
    """The least a scale with this step should weigh: 20 steps, 20 g on a 1 g scale."""
    return SCALE_STEPS_NEEDED * step_g


def reading_error_percent(grams: Fraction, step_g: Fraction) -> Fraction:
    """How far off half a step of the scale is, in percent of ``grams``."""
    return step_g * 50 / grams


@dataclass(frozen=True, slots=True)
class WaysOut:
    """An amount under 20 scale steps, and how to get it right all the same.

    ``together``: so many portions weighed at once are enough for the scale. ``dissolve_g`` stirred into ``in_water_g`` of
    the dough's water gives ``together`` portions of ``portion_g`` each, all of which the scale can weigh; all three are 0
    when the ingredient does not dissolve or ``together`` is more than a class. ``finer_step_g``: the scale that could.
    ``spoon``: a named spoon, if one comes near.
    """

    grams: Fraction
    step_g: Fraction
    reading_error_percent: Fraction
    together: int
    dissolve_g: Fraction
    in_water_g: Fraction
    portion_g: Fraction
    finer_step_g: Fraction
    spoon: SpoonMeasure | None

    def sentence(self, name: str) -> str:
        """The remark, ways out included."""
        text = (
            f"{plain(self.grams, 2)} g {name} on a {plain(self.step_g)} g scale may be wrong by "
            f"{plain(self.reading_error_percent, 0)} %; weigh it on a {plain(self.finer_step_g)} g scale"
        )
        if self.together <= MOST_TOGETHER:
            text += f", or for {self.together} at once and divide"
        if self.portion_g:
            text += (
                f", or stir {plain(self.dissolve_g, 2)} g into {plain(self.in_water_g)} g of the dough's water "
                f"and weigh {plain(self.portion_g)} g of that for each"
            )
        if self.spoon:
            spoons = "spoon" if self.spoon.count <= 1 else "spoons"
            text += f", or take about {plain(self.spoon.count, 2)} level {plain(self.spoon.spoon_ml)} ml {spoons}"
        return text


def ways_out(
    grams: Fraction, step_g: Fraction, g_per_ml: Fraction | None = None, dissolves: bool = True
) -> WaysOut | None:
    """What to do about ``grams`` on a scale of ``step_g``; None when the scale can weigh it.

    The solution is made so that one portion weighs 20 steps or more, from an amount the scale can weigh. Yeast, salt
    and sugar dissolve; spices do not.
    """
    least = least_weighable_g(step_g)
    if grams >= least:
        return None
    together = ceil(least / grams)
    portion = dissolve = water = Fraction(0)
    if dissolves and together <= MOST_TOGETHER:
        portion = rounded_to(max(least, 10 * grams), step_g)
        dissolve = together * grams
        water = portion * together - dissolve
    finer = step_g
    while least_weighable_g(finer) > grams:
        finer /= 10
    return WaysOut(
        grams,
        step_g,
        reading_error_percent(grams, step_g),
        together,
        dissolve,
        water,
        portion,
        finer,
        in_spoons(grams, g_per_ml),
    )
