"""What a region's people write and read: label law, paper, money, names, degrees, clock, date, and units beside grams.

Paper and the territories of degrees Fahrenheit: Unicode LDML (CLDR 47), territory information. Currencies: ISO 4217. Dates,
times and decimal signs are those of CLDR 47; the tests hold this table against it. Law and units are two things: Ireland has
the EU's law and UK words; of Canada no label law is held here, so its labels follow the EU's fourteen, which hold Canada's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from classpack.model.own_measures import PLAIN_FLOUR_CUP_G
from classpack.quantities import HOUSEHOLDS, US_CUP_ML


@dataclass(frozen=True, slots=True)
class Region:
    """One region. ``law`` is whose label law is followed, ``household`` whose cups are meant, ``clock`` 12 or 24 hours."""

    code: str
    law: str
    paper: str
    currency: str
    heat: Literal["C", "F"]
    clock: Literal["12", "24"]
    halves: tuple[str, str]
    month_first: bool
    country: str
    emergency: str

    @property
    def household(self) -> str:
        """Whose cups, spoons and pints."""
        return self.code

    @property
    def dial_step(self) -> Fraction:
        """Degrees between two marks of a usual oven's dial, in its own unit (common practice, from memory)."""
        return Fraction(25) if self.heat == "F" else Fraction(10)

    @property
    def usual_heat(self) -> str:
        """An oven for bread where a recipe does not say."""
        return "425 F" if self.heat == "F" else "220 C"

    @property
    def flour_cup_g(self) -> Fraction:
        """A cup of white flour, spooned, of the size this region's cup has."""
        return PLAIN_FLOUR_CUP_G * (HOUSEHOLDS[self.code].cup_ml or Fraction(250)) / US_CUP_ML


def _region(
    code: str, law: str, paper: str, currency: str, heat: Literal["C", "F"], clock: Literal["12", "24"],
    country: str, emergency: str, halves: tuple[str, str] = ("am", "pm"), month_first: bool = False,
) -> Region:  # fmt: skip
    return Region(code, law, paper, currency, heat, clock, halves, month_first, country, emergency)


REGIONS: Mapping[str, Region] = {
    one.code: one
    for one in (
        _region("UK", "UK", "A4", "GBP", "C", "24", "GB", "999"),
        _region("IE", "EU", "A4", "EUR", "C", "24", "IE", "112"),
        _region("EU", "EU", "A4", "EUR", "C", "24", "DE", "112"),
        _region("US", "US", "Letter", "USD", "F", "12", "US", "911", ("AM", "PM"), True),
        _region("CA", "EU", "Letter", "CAD", "F", "12", "CA", "911", ("a.m.", "p.m."), True),
        _region("AU", "AU", "A4", "AUD", "C", "12", "AU", "000"),
        _region("NZ", "NZ", "A4", "NZD", "C", "12", "NZ", "111"),
    )
}
