"""What numbers in a tutor's files can be. Outside, the reader asks: most often a point or a nought has slipped.

The limits are wide enough for every kitchen we could think of; they are the project's choice, with the reason beside each, and
common practice where no source is named.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.countries import is_a_country
from classpack.quantities import NotUnderstood, plain


@dataclass(frozen=True, slots=True)
class Limits:
    """The least and the most a number can be, what is usual, and the unit they are all in."""

    least: Fraction
    most: Fraction
    usual: tuple[Fraction, Fraction]
    unit: str

    def check(self, value: Fraction, text: str, what: str) -> Fraction:
        """The value.

        Raises:
            NotUnderstood: it lies outside, with the slipped point that would make it usual.
        """
        if self.least <= value <= self.most:
            return value
        right = f"it must lie between {self.said(self.least)} and {self.said(self.most)}"
        low, high = self.usual
        meant = [other for other in (value / 10, value * 10, value / 100) if low <= other <= high]
        if meant:
            right += f"; did you mean {self.said(meant[0])}?"
        raise NotUnderstood(f"{what} is '{text}'", right)

    def said(self, value: Fraction) -> str:
        if self.unit == "g" and value >= 10_000:
            return f"{plain(value / 1000)} kg"
        return f"{plain(value)} {self.unit}"

    def of(self, parse: Callable[[str], Fraction], what: str) -> Callable[[str], Fraction]:
        """``parse``, held to these limits."""
        return lambda text: self.check(parse(text), text, what)


def _limits(least: str, most: str, usual_least: str, usual_most: str, unit: str) -> Limits:
    return Limits(
        Fraction(least), Fraction(most), (Fraction(usual_least), Fraction(usual_most)), unit
    )


ROOM = _limits("5", "45", "15", "32", "C")  # a barn in winter to a bakery in August
FLOUR = _limits("-20", "40", "5", "32", "C")  # from the freezer to a shelf over the oven
TAP = _limits("1", "35", "5", "25", "C")  # liquid, and from the cold tap
FRICTION = _limits("0", "25", "1", "15", "C")  # by hand 1 to 3, a mixer 5 to 15; it never cools
DOUGH = _limits(
    "10", "38", "22", "30", "C"
)  # yeast is killed from about 45 on, and sleeps below 10
RIPENING = _limits("1", "38", "3", "28", "C")  # a preferment, from the fridge to a proving cupboard
OFFSET = _limits("-40", "40", "-20", "20", "C")  # a dial further out needs mending, not a setting
CORE = _limits(
    "60", "110", "85", "99", "C"
)  # starch has set from about 60 on; a crumb stays near 100
BAKE_MIN = _limits("1", "360", "4", "75", "min")
PIECE = _limits("2", "20000", "40", "1500", "g")  # a cracker to a miche
TIN_ML = _limits("40", "12000", "250", "4000", "ml")  # a brioche mould to a sandwich tin of four
BOWL_G = _limits("200", "200000", "500", "10000", "g")  # one student's dough to a bakery's bowl
MIXER_G = _limits("200", "300000", "500", "80000", "g")
TRAY_CM = _limits("8", "150", "20", "80", "cm")
CLEARANCE_CM = _limits("2", "200", "8", "40", "cm")
WIDEST_BAKE_RANGE_C = 100
"""From the lowest to the highest heat a bread is baked at: more is no advice."""
MOST_PIECES = 100
"""Of one bread, of one student."""
HEAVIEST_SHARE_G = 20_000
"""One student's dough of one bread."""
LEAST_G_PER_ML, USUAL_G_PER_ML = Fraction(1, 10), (Fraction(1, 4), Fraction(1, 2))
"""Dough in a tin: about a third of its millilitres in grams (common practice, no source)."""
MOST_OF_A_KIND = 500
"""Tins, trays or scales of one kind in a teaching kitchen."""


def bake_range(span: tuple[Fraction, Fraction], text: str) -> tuple[Fraction, Fraction]:
    """The heats a bread may be baked at, in degrees Celsius.

    Raises:
        NotUnderstood: no oven bakes so, or they are too far apart to be of help.
    """
    low, high = span
    if not (low >= 60 and high <= 500):
        raise NotUnderstood(f"the range is '{text}'", "bread is baked between 60 C and 500 C")
    if high - low > WIDEST_BAKE_RANGE_C:
        wrong = f"the range is '{text}', {plain(high - low)} degrees wide"
        raise NotUnderstood(wrong, f"it spans at most {WIDEST_BAKE_RANGE_C}, as in '220-240 C'")
    return span


def country(text: str) -> str:
    """A country there is, as it is written.

    Raises:
        NotUnderstood: ISO 3166-1 has no such code, and no country is called so in English.
    """
    if not is_a_country(text):
        right = "write its two letters by ISO 3166-1, as in 'GB', or its English name"
        raise NotUnderstood(f"'country' is '{text}', which is none", right)
    return text


_NUMBER = re.compile(r"\+?\d(?:[ -]?\d){1,14}")  # ITU-T E.164 (2010): at most 15 digits


def emergency_number(text: str) -> str:
    """A number to be dialled, as it is written: it goes on the wall.

    Raises:
        NotUnderstood: it is none.
    """
    if not _NUMBER.fullmatch(text):
        right = "write the digits to dial and nothing else, as in '999' or '112'"
        raise NotUnderstood(f"'emergency number' is '{text}'", right)
    return text


def piece_in_tin(dough_g: Fraction, tin_ml: Fraction) -> str:
    """What to ask where so little dough goes into a tin that a point must have slipped; empty where it is plausible."""
    if dough_g >= LEAST_G_PER_ML * tin_ml:
        return ""
    low, high = (share * tin_ml for share in USUAL_G_PER_ML)
    meant = [one for one in (dough_g * 10, dough_g * 100) if low <= one <= high]
    asked = f"did you mean {plain(meant[0])} g? " if meant else ""
    return f"{asked}a tin takes about a third of its millilitres in grams of dough"
