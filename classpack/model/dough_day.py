"""What one class day asks of the dough, and what the day does to it: water, proofs, yeast."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from classpack.errors import Spot


@dataclass(frozen=True, slots=True)
class FlourSwitch:
    """Another flour in part: ``percent`` of all the flour, taken from ``out``. ``more_water`` is in points of hydration."""

    out: str
    into: str
    percent: Fraction
    more_water: Fraction = Fraction(0)
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class TinSwitch:
    """The kitchen's ``tin`` for one bread, instead of the lesson's: its dough goes with the tin's volume."""

    variation: str
    tin: str
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class DoughOrders:
    """What the class file changes in the lesson's dough.

    ``yeast_factors`` are grams of a dried form that do the work of 1 g fresh. ``yeast_percent`` is of the lesson's yeast.
    ``sums`` asks for the printed sheet with the working.
    """

    yeast_factors: tuple[tuple[str, Fraction], ...] = ()
    yeast_percent: Fraction = Fraction(100)
    flour: FlourSwitch | None = None
    tins: tuple[TinSwitch, ...] = ()
    sums: bool = False
