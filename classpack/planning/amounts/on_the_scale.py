"""How an amount goes on the kitchen's scales: which scale, and in how many weighings when scale or bowl is too small for one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.model.kitchen import Scale
from classpack.planning.dough.yeast import SCALE_STEPS_NEEDED

SCALE_SHARE = Fraction(9, 10)
"""How much of a scale's capacity one weighing uses; the rest carries the bowl (the project's choice)."""


@dataclass(frozen=True, slots=True)
class Weighing:
    """``times`` the same ``grams`` on the scale."""

    times: int
    grams: Fraction


def weighed_in(
    grams: Fraction, scales: Sequence[Scale], bowl_g: Fraction | None = None
) -> tuple[Fraction, tuple[Weighing, ...]]:
    """The step of the scale to use for ``grams`` (above 0), and its weighings when scale or bowl is too small for one.

    The scale is one whose step divides the amount and that has 20 steps or more in it; of those the one that takes fewest
    weighings, then the coarsest.

    >>> step, found = weighed_in(Fraction(14700), [Scale(Fraction(1), Fraction(5000))])
    >>> [(one.times, int(one.grams)) for one in found]
    [(3, 4500), (1, 1200)]
    """
    exact = [one for one in scales if grams % one.step_g == 0]
    well = [one for one in exact if grams >= SCALE_STEPS_NEEDED * one.step_g]
    if well:
        scale = min(well, key=lambda one: (ceil(grams / _most_g(one, bowl_g)), -one.step_g))
    else:
        scale = min(exact or scales, key=lambda one: one.step_g)
    return scale.step_g, _weighings(grams, scale, bowl_g)


def _most_g(scale: Scale, bowl_g: Fraction | None) -> Fraction:
    """The most one weighing takes, on the scale's step."""
    most = scale.capacity_g * SCALE_SHARE
    if bowl_g is not None:
        most = min(most, bowl_g)
    return max(most // scale.step_g, 1) * scale.step_g


def _weighings(grams: Fraction, scale: Scale, bowl_g: Fraction | None) -> tuple[Weighing, ...]:
    full_g = _most_g(scale, bowl_g)
    times, rest = int(grams // full_g), grams % full_g
    if not rest:
        return (Weighing(times, full_g),)
    if not times:
        return (Weighing(1, rest),)
    if rest >= SCALE_STEPS_NEEDED * scale.step_g:
        return (Weighing(times, full_g), Weighing(1, rest))
    # So small a rest cannot be weighed well: the last full weighing gives it half.
    last = (full_g + rest) / 2 // scale.step_g * scale.step_g
    ends = (Weighing(1, full_g + rest - last), Weighing(1, last))
    return ends if times == 1 else (Weighing(times - 1, full_g), *ends)
