"""A formula as it stands on paper or in a file: numbers with the places they were written to, and the totals beside them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Printed:
    """A number as printed: its ``value`` and its last place ``step`` (0.01 for ``0.75``)."""

    value: Fraction
    step: Fraction

    def meets(self, low: Fraction, high: Fraction) -> bool:
        """Whether it can be the rounded form of something between ``low`` and ``high``."""
        return self.value + self.step / 2 >= low and self.value - self.step / 2 <= high


def printed(text: str) -> Printed:
    """A printed decimal, read with the precision it was printed to.

    >>> printed("0.75")
    Printed(value=Fraction(3, 4), step=Fraction(1, 100))
    """
    places = len(text.partition(".")[2])
    return Printed(Fraction(text), Fraction(1, 10**places))


@dataclass(frozen=True, slots=True)
class PrintedLine:
    """One line of a printed formula; ``is_flour`` lines make the 100 %."""

    name: str
    weight: Printed | None
    percent: Printed | None
    is_flour: bool = False


@dataclass(frozen=True, slots=True)
class PrintedFormula:
    """A formula as found on paper, every weight in the one ``unit``. Totals may be missing."""

    lines: tuple[PrintedLine, ...]
    total_weight: Printed | None = None
    total_percent: Printed | None = None
    unit: str = "g"
