"""What a cup, a spoon, a packet or a piece weighs, with its spread: ``classpack/data/measures.csv``, row by row with its source.

Sources differ about a cup of flour by a quarter (sifted 113 g, scooped 139 g and more), so a dough may turn out wet or stiff.
Such a measure (``ask``) is never turned into grams in silence: the tutor is asked once, and the answer stands in their larder.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

from classpack.model.larder import Larder
from classpack.model.own_measures import PLAIN_FLOUR_CUP_G
from classpack.quantities import US_CUP_ML, Amount, NotUnderstood, plain

MEASURES_FILE = Path(__file__).parent.parent / "data" / "measures.csv"

FILLED = (("sifted", 113), ("spooned and levelled", 125), ("scooped", 139))
"""A US cup of white flour by the way it is filled: household trials of 2015 and USDA SR28, rows 20581 and 20083."""


@dataclass(frozen=True, slots=True)
class MeasureWeight:
    """Grams of one measure of a food: the least and the most that sources give, and the one taken."""

    least_g: Fraction
    taken_g: Fraction
    most_g: Fraction
    asks: bool
    source: str

    def scaled(self, factor: Fraction) -> MeasureWeight:
        """Of ``factor`` such measures."""
        return MeasureWeight(
            self.least_g * factor,
            self.taken_g * factor,
            self.most_g * factor,
            self.asks,
            self.source,
        )


@cache
def _table() -> dict[tuple[str, str], MeasureWeight]:
    with MEASURES_FILE.open(encoding="utf-8", newline="") as lines:
        return {
            (row["food"], row["unit"]): MeasureWeight(
                Fraction(row["least_g"]),
                Fraction(row["taken_g"]),
                Fraction(row["most_g"]),
                row["ask"] == "yes",
                row["source"],
            )
            for row in csv.DictReader(lines)
        }


def measure_weight(food: str, unit: str) -> MeasureWeight | None:
    """What one ``unit`` of the shipped larder's ``food`` weighs; a ``cup`` is the US one. None: no source says."""
    return _table().get((food, unit))


def cup_weight(food: str, larder: Larder) -> MeasureWeight | None:
    """A cup of ``food``, of the size the tutor's cup has, weighed as theirs where they have said it."""
    known = measure_weight(larder.shipped_name(food), "cup")
    if known is None:
        return None
    own = larder.measures
    cup_ml = own.household.cup_ml or US_CUP_ML
    if known.asks and _is_flour(food, larder) and own.flour_cup_g is not None:
        grams = own.flour_cup_g * known.taken_g / PLAIN_FLOUR_CUP_G
        return MeasureWeight(grams, grams, grams, False, "the tutor's own cup")
    return known.scaled(cup_ml / US_CUP_ML)


def _is_flour(food: str, larder: Larder) -> bool:
    one = larder.get(food)
    return one is not None and one.kind == "flour"


def weighed(amount: Amount, name: str, larder: Larder) -> Fraction:
    """``amount`` of the larder's ``name`` in grams.

    Raises:
        NotUnderstood: nothing says what a measure of it weighs, or sources differ by more than 5 % and nobody has said.
    """
    one = larder[name]
    if amount.unit == "g":
        return amount.value
    if amount.unit == "ml" and "cup" in amount.written and "g_per_ml" not in one.given:
        cup = cup_weight(name, larder)
        if cup is not None:
            cups = amount.value / (larder.measures.household.cup_ml or US_CUP_ML)
            if cup.asks:
                raise _asked(amount, name, cup, larder)
            return cups * cup.taken_g
    factor = one.g_per_ml if amount.unit == "ml" else one.g_per_each
    if factor is None:
        what = "what a millilitre" if amount.unit == "ml" else "what one"
        raise NotUnderstood(f"the larder does not say {what} of {name} weighs", "write it in grams")
    return amount.value * factor


def _asked(amount: Amount, name: str, cup: MeasureWeight, larder: Larder) -> NotUnderstood:
    said = (
        f"a cup of {name} weighs {plain(cup.least_g, 0)} to {plain(cup.most_g, 0)} g by its sources"
    )
    if _is_flour(name, larder):
        size = cup.taken_g / measure_weight(larder.shipped_name(name), "cup").taken_g  # type: ignore[union-attr]
        ways = ", ".join(f"{plain(grams * size, 0)} g {how}" for how, grams in FILLED)
        spooned = plain(PLAIN_FLOUR_CUP_G * size, 0)
        right = f"say once in your larder how you fill it, as in 'measures: {{cup of flour: {spooned} g}}' (white flour: {ways}), or write grams"
    else:
        right = f"weigh one and write it in your larder, as in 'litre' below {name}, or write grams, as in '{plain(cup.taken_g * amount.value / (larder.measures.household.cup_ml or US_CUP_ML), 0)} g'"
    return NotUnderstood(said, right)


def short_from(amount: Amount, name: str, grams: Fraction, larder: Larder) -> str:
    """The same without words, for the back of a card: ``bread flour 420 g = 3 1/2 cups (120 g)``."""
    cups = amount.value / (larder.measures.household.cup_ml or US_CUP_ML)
    each = (
        f" ({plain(grams / cups, 0)} g)" if amount.unit == "ml" and "cup" in amount.written else ""
    )
    return f"{name} {plain(grams, 1 if grams < 10 else 0)} g = {amount.written}{each}"


def weighed_from(amount: Amount, name: str, grams: Fraction, larder: Larder) -> str:
    """How an amount in household measures became grams, as a remark says it; empty for what was written in grams or ml.

    >>> from classpack.reading.shipped_larder import package_larder
    >>> weighed_from(Amount(Fraction(340), "g", "12 oz"), "water", Fraction(340), package_larder())
    'water: 12 oz is 340 g'
    """
    if not amount.written:
        return ""
    said = f"{name}: {amount.written} is {plain(grams, 1 if grams < 10 else 0)} g"
    if amount.unit == "ml" and "cup" in amount.written:
        cups = amount.value / (larder.measures.household.cup_ml or US_CUP_ML)
        return f"{said}, at {plain(grams / cups, 0)} g a cup"
    if amount.unit == "ml":
        return f"{said}, at {plain(grams / amount.value, 2)} g a millilitre"
    return said
