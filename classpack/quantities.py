"""Exact numbers of the kitchen: read them with their units, round them to a weighing step, show them.

Inside the program a weight is exact grams, a time exact minutes, a temperature exact degrees Celsius, all
``fractions.Fraction``. Spoons, kilograms, Fahrenheit and gas marks exist only on the way in and on the page.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

TSP_ML = Fraction(5)
"""The metric teaspoon; NIST, *Metric Kitchen: Cooking Measurement Equivalencies*: 1 tsp = 5 mL."""
TBSP_ML = Fraction(15)
"""The metric tablespoon; same table: 1 tbsp = 15 mL. (The Australian tablespoon is 20 ml and is not used.)"""

_LONGEST_NUMBER = 12
_FRACTION_SIGNS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8"}
_NUMBER = re.compile(
    r"(?P<whole>\d+(?:\.\d+)?)?(?:(?:^|\s+|(?<=\d)(?=[½¼¾⅓⅔⅛]))(?P<part>\d+/[1-9]\d*|[½¼¾⅓⅔⅛]))?"
)
_WITH_UNIT = re.compile(
    r"(?P<number>-?\d[\d.,]*(?:\s+\d+/\d+|\s*[½¼¾⅓⅔⅛]|/\d+)?|[½¼¾⅓⅔⅛])\s*(?P<unit>[^\d\s].*)?"
)


class NotUnderstood(ValueError):
    """A text that is not the quantity wanted. ``wrong`` and ``right`` are the halves of an error line."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong = wrong
        self.right = right
        super().__init__(f"{wrong}; {right}")


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of an ingredient, as the tutor wrote it: ``unit`` is ``g``, ``ml`` or ``each``; ``value`` above 0."""

    value: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class OvenHeat:
    """An oven temperature in degrees Celsius and the kind of oven it is meant for.

    ``kind`` is ``conventional``, ``fan`` or ``deck``. A gas mark means a conventional oven.
    """

    celsius: Fraction
    kind: str = "conventional"


def parse_number(text: str) -> Fraction:
    """A plain decimal (``62.5``) or kitchen fraction (``1/2``, ``1 1/2``, ``½``), never negative.

    >>> parse_number("1 1/2"), parse_number("62.5"), parse_number("¾")
    (Fraction(3, 2), Fraction(125, 2), Fraction(3, 4))
    """
    text = text.strip()
    if "," in text:
        raise NotUnderstood(
            f"'{text[:20]}' has a comma",
            "write decimals with a point and thousands without a sign, as in '2.5' or '1200'",
        )
    if len(text) > _LONGEST_NUMBER:
        raise NotUnderstood(f"'{text[:20]}' is too long for a number", "use at most twelve signs")
    match = _NUMBER.fullmatch(text)
    if not text or match is None:
        raise NotUnderstood(f"'{text}' is not a number", "write digits, as in '2.5' or '1/2'")
    whole, part = match["whole"], match["part"]
    value = Fraction(whole) if whole else Fraction(0)
    if part:
        value += Fraction(_FRACTION_SIGNS.get(part, part))
    if (
        len(whole or "") > 1
        and (whole or "").startswith("0")
        and not (whole or "").startswith("0.")
    ):
        shorter = text.lstrip("0")
        if not shorter[:1].isdigit():
            shorter = f"0{shorter}"
        raise NotUnderstood(f"'{text}' starts with a zero", f"write '{shorter}'")
    return value


def _split(text: str, what: str, example: str) -> tuple[Fraction, str]:
    match = _WITH_UNIT.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(
            f"{what} is '{text}'", f"write a number and its unit, as in '{example}'"
        )
    if match["number"].startswith("-"):
        raise NotUnderstood(
            f"{what} is '{text}'", f"it must be more than nothing, as in '{example}'"
        )
    unit = (match["unit"] or "").strip()
    if not unit:
        raise NotUnderstood(f"{what} is '{text}' without a unit", f"say of what, as in '{example}'")
    return parse_number(match["number"]), unit


_AMOUNT_UNITS: Mapping[str, tuple[Fraction, str]] = {
    "mg": (Fraction(1, 1000), "g"),
    "g": (Fraction(1), "g"),
    "kg": (Fraction(1000), "g"),
    "ml": (Fraction(1), "ml"),
    "cl": (Fraction(10), "ml"),
    "l": (Fraction(1000), "ml"),
    "mL": (Fraction(1), "ml"),
    "cL": (Fraction(10), "ml"),
    "L": (Fraction(1000), "ml"),
    "tsp": (TSP_ML, "ml"),
    "tbsp": (TBSP_ML, "ml"),
    "each": (Fraction(1), "each"),
}
_UNITS_TOLD = "mg g kg ml cl l tsp tbsp each"


def parse_amount(text: str, what: str = "the amount", example: str = "250 g") -> Amount:
    """``820 g``, ``1.5 kg``, ``30 ml``, ``1 l``, ``2 tbsp`` or ``3 each``; more than nothing.

    >>> parse_amount("2 tbsp")
    Amount(value=Fraction(30, 1), unit='ml')
    """
    number, unit = _split(text, what, example)
    if unit not in _AMOUNT_UNITS:
        raise NotUnderstood(
            f"{what} is '{text}'", f"the units are {_UNITS_TOLD}, as in '{example}'"
        )
    factor, base = _AMOUNT_UNITS[unit]
    if number == 0:
        raise NotUnderstood(
            f"{what} is '{text}'", f"it must be more than nothing, as in '{example}'"
        )
    return Amount(number * factor, base)


def parse_grams(text: str, what: str = "the weight", example: str = "820 g") -> Fraction:
    """A weight in grams, above 0."""
    amount = parse_amount(text, what, example)
    if amount.unit != "g":
        raise NotUnderstood(f"{what} is '{text}'", f"it must be a weight, as in '{example}'")
    return amount.value


def parse_percent(text: str, what: str = "the percentage", example: str = "65 %") -> Fraction:
    """A percentage, from 0 up.

    >>> parse_percent("1.8 %")
    Fraction(9, 5)
    """
    number, unit = _split(text, what, example)
    if unit != "%":
        raise NotUnderstood(f"{what} is '{text}'", f"write a percentage, as in '{example}'")
    return number


LONGEST_MIN = Fraction(7 * 24 * 60)
"""A week: longer than any dough waits, so that a slip of the finger is noticed (the project's choice)."""

_DURATION = re.compile(
    r"(?:(?P<h>\d+(?:\.\d+)?)\s*h)?\s*(?:(?P<m>\d+(?:\.\d+)?)\s*min)?\s*(?:(?P<s>\d+)\s*s)?"
)


def parse_minutes(text: str, what: str = "the time", example: str = "45 min") -> Fraction:
    """A length of time in minutes: ``45 min``, ``1 h 30 min``, ``90 s``; more than nothing.

    >>> parse_minutes("1 h 30 min")
    Fraction(90, 1)
    """
    match = _DURATION.fullmatch(text.strip()) if len(text) <= 40 else None
    if match is None or not any(match.groups()):
        raise NotUnderstood(
            f"{what} is '{text}'", f"write hours and minutes, as in '{example}' or '1 h 30 min'"
        )
    minutes = sum(
        (
            Fraction(match[key]) * factor
            for key, factor in (("h", 60), ("m", 1), ("s", Fraction(1, 60)))
            if match[key]
        ),
        Fraction(0),
    )
    if minutes == 0:
        raise NotUnderstood(
            f"{what} is '{text}'", f"it must be more than nothing, as in '{example}'"
        )
    if minutes > LONGEST_MIN:
        raise NotUnderstood(f"{what} is '{text}', more than a week", f"write it as in '{example}'")
    return minutes


_BETWEEN = re.compile(r"\s*[-–—]\s*|\s+to\s+")


def _span(
    text: str, units: str, what: str, example: str
) -> tuple[tuple[Fraction, str], tuple[Fraction, str]]:
    """Both ends of ``35-65 min`` or ``45 min - 1.5 h``, each with its unit; one unit at the end counts for both."""
    ends = [
        re.fullmatch(rf"([\d.]+)\s*(?:°\s?)?({units})?", end)
        for end in _BETWEEN.split(text.strip())
    ]
    low, high = ends if len(ends) == 2 else (None, None)
    if low is None or high is None or not high[2]:
        raise NotUnderstood(
            f"{what} is '{text}'", f"write the least and the most, as in '{example}'"
        )
    return (parse_number(low[1]), low[2] or high[2]), (parse_number(high[1]), high[2])


def _in_order(
    span: tuple[Fraction, Fraction], text: str, what: str, example: str
) -> tuple[Fraction, Fraction]:
    if span[0] > span[1]:
        raise NotUnderstood(
            f"{what} is '{text}', the wrong way round", f"put the smaller first, as in '{example}'"
        )
    return span


def parse_minutes_span(
    text: str, what: str, example: str = "35-65 min"
) -> tuple[Fraction, Fraction]:
    """The least and the most minutes of a window: ``35-65 min``, ``12-16 h``, ``45 min - 1.5 h``.

    >>> parse_minutes_span("45 min to 1.5 h", "the window")
    (Fraction(45, 1), Fraction(90, 1))
    """
    low, high = (
        value * 60 if unit == "h" else value for value, unit in _span(text, "min|h", what, example)
    )
    if high > LONGEST_MIN:
        raise NotUnderstood(f"{what} is '{text}', more than a week", f"write it as in '{example}'")
    return _in_order((low, high), text, what, example)


def parse_celsius_span(text: str, what: str, example: str = "94-98 C") -> tuple[Fraction, Fraction]:
    """The lowest and highest temperature in degrees Celsius: ``94-98 C``, ``200-208 F``."""
    low, high = (
        celsius_from_fahrenheit(value) if unit == "F" else value
        for value, unit in _span(text, "C|F", what, example)
    )
    return _in_order((low, high), text, what, example)


def celsius_from_fahrenheit(fahrenheit: Fraction) -> Fraction:
    """Exact conversion, NIST SP 811 (2008), table B.9: t/°C = (t/°F − 32)/1.8."""
    return (fahrenheit - 32) * Fraction(5, 9)


def fahrenheit_from_celsius(celsius: Fraction) -> Fraction:
    """Exact conversion, the inverse of :func:`celsius_from_fahrenheit`."""
    return celsius * Fraction(9, 5) + 32


def celsius_from_gas_mark(mark: Fraction) -> Fraction:
    """UK gas mark to exact degrees Celsius: mark 1 is 275 °F and each mark 25 °F more; ½ is 250 °F, ¼ 225 °F."""
    fahrenheit = {Fraction(1, 4): Fraction(225), Fraction(1, 2): Fraction(250)}.get(
        mark, 250 + 25 * mark
    )
    return celsius_from_fahrenheit(fahrenheit)


_HEAT = re.compile(
    r"(?P<value>[-−]?\d+(?:\.\d+)?)\s*°?\s?(?P<unit>[CF])(?:\s+(?P<kind>conventional|fan|deck))?"
)
_GAS = re.compile(r"gas(?:\s+mark)?\s+(?P<mark>\d+|¼|½|1/4|1/2)", re.IGNORECASE)


COLDEST_C, HOTTEST_C = -30, 60
"""From a freezer to a hot tap: what rooms, flour, water and dough can be (the project's choice)."""


def parse_celsius(text: str, what: str = "the temperature", example: str = "25 C") -> Fraction:
    """A temperature of room, flour, water or dough in degrees Celsius, from ``25 C`` or ``77 F``."""
    match = _HEAT.fullmatch(text.strip())
    if match is None or match["kind"]:
        raise NotUnderstood(f"{what} is '{text}'", f"write degrees, as in '{example}' or '77 F'")
    value = Fraction(match["value"].replace("−", "-"))
    celsius = celsius_from_fahrenheit(value) if match["unit"] == "F" else value
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise NotUnderstood(
            f"{what} is '{text}'", "it must lie between -30 C and 60 C; did you mean another unit?"
        )
    return celsius


def parse_celsius_difference(text: str, what: str, example: str = "3 C") -> Fraction:
    """A difference of temperatures in degrees Celsius, from ``3 C`` or ``5.4 F``: no 32 is taken off.

    >>> parse_celsius_difference("9 F", "the friction")
    Fraction(5, 1)
    """
    match = _HEAT.fullmatch(text.strip())
    if match is None or match["kind"]:
        raise NotUnderstood(f"{what} is '{text}'", f"write degrees, as in '{example}'")
    value = Fraction(match["value"].replace("−", "-"))
    return value * Fraction(5, 9) if match["unit"] == "F" else value


def parse_oven_heat(
    text: str, what: str = "the oven", example: str = "230 C conventional"
) -> OvenHeat:
    """An oven temperature: ``230 C conventional``, ``210 C fan``, ``450 F deck``, ``gas mark 8``."""
    gas = _GAS.fullmatch(text.strip())
    if gas:
        mark = parse_number(gas["mark"])
        if not Fraction(1, 4) <= mark <= 9:
            raise NotUnderstood(f"{what} is '{text}'", "gas marks go from 1/4 to 9")
        return OvenHeat(celsius_from_gas_mark(mark), "conventional")
    match = _HEAT.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(
            f"{what} is '{text}'", f"write degrees and the kind of oven, as in '{example}'"
        )
    value = Fraction(match["value"].replace("−", "-"))
    celsius = celsius_from_fahrenheit(value) if match["unit"] == "F" else value
    if not 60 <= celsius <= 500:
        raise NotUnderstood(f"{what} is '{text}'", "bread is baked between 60 C and 500 C")
    if not match["kind"]:
        raise NotUnderstood(
            f"{what} is '{text}'",
            f"say for which kind of oven: '{text} conventional', '{text} fan' or '{text} deck'",
        )
    return OvenHeat(celsius, match["kind"])


_LENGTH = re.compile(r"(?P<value>\d+(?:\.\d+)?)\s*(?P<unit>mm|cm|m|in)")
_LENGTH_CM = {
    "mm": Fraction(1, 10),
    "cm": Fraction(1),
    "m": Fraction(100),
    "in": Fraction(254, 100),
}


def parse_cm(text: str, what: str = "the length", example: str = "30 cm") -> Fraction:
    """A length in centimetres, above 0; an inch is 2.54 cm exactly (NIST SP 811, table B.9)."""
    match = _LENGTH.fullmatch(text.strip())
    if match is None or Fraction(match["value"]) == 0:
        raise NotUnderstood(f"{what} is '{text}'", f"write a length, as in '{example}'")
    return Fraction(match["value"]) * _LENGTH_CM[match["unit"]]


_CLOCK = re.compile(r"([01]\d|2[0-3]|\d):([0-5]\d)")


def parse_clock(text: str, what: str = "the time", example: str = "10:00") -> int:
    """A time of day as minutes after midnight, 24-hour clock.

    >>> parse_clock("9:30")
    570
    """
    match = _CLOCK.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(f"{what} is '{text}'", f"write a time of day, as in '{example}'")
    return int(match[1]) * 60 + int(match[2])


FIRST_YEAR, LAST_YEAR = 2000, 2199


def parse_date(text: str, what: str = "the date") -> datetime.date:
    """A calendar date by ISO 8601, ``2027-03-13``."""
    right = "write year-month-day, as in '2027-03-13'"
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text.strip()):
        raise NotUnderstood(f"{what} is '{text}'", right)
    try:
        date = datetime.date.fromisoformat(text.strip())
    except ValueError:
        raise NotUnderstood(f"{what} is '{text}', which no calendar has", right) from None
    if not FIRST_YEAR <= date.year <= LAST_YEAR:
        raise NotUnderstood(f"{what} is '{text}'", f"write a year from {FIRST_YEAR} to {LAST_YEAR}")
    return date


# ---------------------------------------------------------------- rounding


def rounded_to(value: Fraction, step: Fraction) -> Fraction:
    """``value`` on the nearest multiple of ``step``; halves go up.

    >>> rounded_to(Fraction("403.5"), Fraction(1)), rounded_to(Fraction("6.26"), Fraction("0.1"))
    (Fraction(404, 1), Fraction(63, 10))
    """
    return Fraction(floor(value / step + Fraction(1, 2))) * step


def divided(total: Fraction, shares: Sequence[Fraction], step: Fraction) -> tuple[Fraction, ...]:
    """Divide what is already weighed into portions of whole steps that add up to ``total`` exactly.

    Largest-remainder division; ties go to the first. ``total`` must be a multiple of ``step`` and the
    shares not all zero. Each portion is less than one step from its exact share.

    >>> [int(part) for part in divided(Fraction(100), [Fraction(1)] * 3, Fraction(1))]
    [34, 33, 33]
    """
    whole = sum(shares, Fraction(0))
    units = total / step
    exact = [units * share / whole for share in shares]
    given = [floor(part) for part in exact]
    short = int(units) - sum(given)
    order = sorted(range(len(shares)), key=lambda n: (given[n] - exact[n], n))
    for n in order[:short]:
        given[n] += 1
    return tuple(count * step for count in given)


# ---------------------------------------------------------------- showing


def plain(value: Fraction, places: int = 3) -> str:
    """A number without needless zeros, a point for the decimals, halves up at ``places``.

    >>> plain(Fraction(63, 10)), plain(Fraction(400)), plain(Fraction(2, 3), 1)
    ('6.3', '400', '0.7')
    """
    scaled = floor(abs(value) * 10**places + Fraction(1, 2))
    whole, part = divmod(scaled, 10**places)
    text = f"{whole}.{part:0{places}d}".rstrip("0").rstrip(".") if places else str(whole)
    return f"-{text}" if value < 0 and text != "0" else text


def show_amount(amount: Amount) -> str:
    """An amount with its unit: ``12.6 g``, ``30 ml``, ``3``."""
    return plain(amount.value) if amount.unit == "each" else f"{plain(amount.value)} {amount.unit}"


def show_minutes(minutes: Fraction | int) -> str:
    """A length of time: ``45 min``, ``1 h 30 min``, ``2 h``, ``90 s`` under two minutes.

    >>> show_minutes(90), show_minutes(Fraction(1, 2))
    ('1 h 30 min', '30 s')
    """
    minutes = Fraction(minutes)
    if minutes < 2 and minutes.denominator != 1:
        return f"{plain(minutes * 60, 0)} s"
    hours, rest = divmod(rounded_to(minutes, Fraction(1, 10)), 60)
    parts = [f"{hours} h"] if hours else []
    if rest or not parts:
        parts.append(f"{plain(Fraction(rest), 1)} min")
    return " ".join(parts)


def show_clock(minutes: int | Fraction) -> str:
    """Minutes after midnight as a time of day, ``09:05``; past midnight it starts again.

    >>> show_clock(570), show_clock(1450)
    ('09:30', '00:10')
    """
    whole = floor(minutes) % (24 * 60)
    return f"{whole // 60:02d}:{whole % 60:02d}"
