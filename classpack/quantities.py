"""Exact numbers of the kitchen: read them with their units, round them to a weighing step, show them.

Inside the program a weight is exact grams, a time exact minutes, a temperature exact degrees Celsius, all
``fractions.Fraction``. Spoons, kilograms, Fahrenheit and gas marks exist only on the way in and on the page.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import floor

TSP_ML = Fraction(5)
"""The metric teaspoon; NIST, *Metric Kitchen: Cooking Measurement Equivalencies*: 1 tsp = 5 mL."""
TBSP_ML = Fraction(15)
"""The metric tablespoon; same table: 1 tbsp = 15 mL. The Australian one is 20 ml; see :class:`Household`."""
LB_G = Fraction("453.59237")
"""The international pound; exact. NIST SP 811 (2008), App. B; from memory, as are the exact sizes below."""
OZ_G = LB_G / 16
INCH_CM = Fraction("2.54")
US_CUP_ML = Fraction("3785.411784") / 16
"""A sixteenth of the US gallon of 231 cubic inches; NIST Handbook 44, App. C."""
METRIC_CUP_ML = Fraction(250)
IMPERIAL_PINT_ML = Fraction("568.26125")
"""UK Units of Measurement Regulations 1995: an eighth of the gallon of 4.54609 l; its fluid ounce is a twentieth."""

_LONGEST_NUMBER = 12
_FRACTION_SIGNS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3",
    "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_NUMBER = re.compile(
    r"(?P<whole>\d+(?:\.\d+)?)?(?:(?:^|\s+|(?<=\d)(?=[½-⅞]))(?P<part>\d+/[1-9]\d*|[½¼¾⅓⅔⅛⅜⅝⅞]))?"
)
_NUMERAL = r"(?:\d+(?:\.\d+)?(?:\s+\d+/[1-9]\d*)?|\d+/[1-9]\d*)"
"""A decimal or kitchen fraction inside a longer text, once :func:`tidied`."""
_WITH_UNIT = re.compile(r"(?P<number>-?\d[\d.,]*(?:\s+\d+/\d+|/\d+)?)\s*(?P<unit>[^\d\s].*)?")


_TIDIED = {
    **{ord(sign): f" {part}" for sign, part in _FRACTION_SIGNS.items()},
    **dict.fromkeys(map(ord, "\u00a0\u2009\u202f\u2007\u2002\u2003"), " "),
    **dict.fromkeys(map(ord, "–—−‐‑"), "-"),
    ord("⁄"): "/",
}  # fmt: skip


def tidied(text: str) -> str:
    """``text`` with fractions written out, one kind of dash and plain spaces: what people paste, as it would be typed.

    >>> tidied("2½ – 3\u00a0cups")
    '2 1/2 - 3 cups'
    """
    return " ".join(text.translate(_TIDIED).split())


class NotUnderstood(ValueError):
    """A text that is not the quantity wanted. ``wrong`` and ``right`` are the halves of an error line."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong = wrong
        self.right = right
        super().__init__(f"{wrong}; {right}")


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of an ingredient: ``unit`` is ``g``, ``ml`` or ``each``; ``value`` above 0.

    ``written`` is the tutor's own text where it was another unit (cups, ounces, pints); empty where nothing was converted.
    """

    value: Fraction
    unit: str
    written: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Household:
    """What a region calls a cup, a pint, a fluid ounce and a tablespoon, in ml; None where the word has several meanings.

    Spoons are 5 and 15 ml everywhere but in Australia (20): the US spoon is 1.4 % smaller, a level spoon of powder 10 to
    15 % uncertain. Cups are never levelled so: 237 and 250 ml differ by 5.7 % (the project's choice).
    """

    cup_ml: Fraction | None = None
    pint_ml: Fraction | None = None
    fl_oz_ml: Fraction | None = None
    tbsp_ml: Fraction = TBSP_ML


_IMPERIAL = Household(None, IMPERIAL_PINT_ML, IMPERIAL_PINT_ML / 20)
_METRIC = Household(METRIC_CUP_ML, IMPERIAL_PINT_ML, IMPERIAL_PINT_ML / 20)
HOUSEHOLDS: Mapping[str, Household] = {
    "US": Household(US_CUP_ML, US_CUP_ML * 2, US_CUP_ML / 8),
    "UK": _IMPERIAL,
    "IE": _IMPERIAL,
    "AU": replace(_METRIC, tbsp_ml=Fraction(20)),
    "NZ": _METRIC,
    "CA": replace(_METRIC, cup_ml=None),
    "EU": Household(),
}
"""By the region a recipe was written in. The UK and Ireland have no cup of their own (237, 250 and 284 ml are met with);
Canada sells a 250 ml cup, and cooks use 237 ml too (from memory). Australia's 20 ml spoon: a New South Wales health page
naming the standards body; New Zealand's 15 ml: an appliance manual."""
UNSAID = Household()


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
    text = text.strip().replace("⁄", "/")
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
    match = _WITH_UNIT.fullmatch(tidied(text))
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


_FIXED_UNITS: Mapping[str, tuple[Fraction, str]] = {
    "mg": (Fraction(1, 1000), "g"),
    "g": (Fraction(1), "g"),
    "kg": (Fraction(1000), "g"),
    "oz": (OZ_G, "g"),
    "lb": (LB_G, "g"),
    "ml": (Fraction(1), "ml"),
    "cl": (Fraction(10), "ml"),
    "dl": (Fraction(100), "ml"),
    "l": (Fraction(1000), "ml"),
    "tsp": (TSP_ML, "ml"),
    "US cup": (US_CUP_ML, "ml"),
    "metric cup": (METRIC_CUP_ML, "ml"),
    "US pint": (US_CUP_ML * 2, "ml"),
    "UK pint": (IMPERIAL_PINT_ML, "ml"),
    "US fl oz": (US_CUP_ML / 8, "ml"),
    "UK fl oz": (IMPERIAL_PINT_ML / 20, "ml"),
    "each": (Fraction(1), "each"),
}
_UNITS_TOLD = "mg g kg oz lb ml cl l tsp tbsp cup fl oz pint each"
_UNIT_OF: Mapping[str, str] = {
    spelling: unit
    for unit, spellings in {
        "mg": "mg",
        "g": "g G gram grams gramme grammes Gramm gr",
        "kg": "kg Kg KG kilo kilos kilogram kilograms",
        "oz": "oz ounce ounces",
        "lb": "lb lbs pound pounds",
        "ml": "ml mL millilitre millilitres milliliter milliliters",
        "cl": "cl cL",
        "dl": "dl dL",
        "l": "l L litre litres liter liters Liter",
        "tsp": "tsp tsps teaspoon teaspoons TL",
        "tbsp": "tbsp tbsps tablespoon tablespoons EL",
        "cup": "cup cups",
        "pint": "pint pints",
        "each": "each",
    }.items()
    for spelling in spellings.split()
} | {"fl oz": "fl oz", "fl. oz": "fl oz", "fluid ounce": "fl oz", "fluid ounces": "fl oz"}
"""Every spelling of a unit that is read; only ``tsp`` and ``tbsp`` have capitals that mean something (T, t), and those are
left to a pasted recipe."""
_WHOSE = {"cup": ("US", "metric"), "pint": ("US", "UK"), "fl oz": ("US", "UK")}
_SEVERAL = {
    "cup": "a cup is 237 ml in the US, 250 ml in Australia and New Zealand, and either elsewhere; write 'US cup' or 'metric cup'",
    "pint": "a pint is 473 ml in the US and 568 ml elsewhere; write 'US pint' or 'UK pint'",
    "fl oz": "a fluid ounce is 29.6 ml in the US and 28.4 ml elsewhere; write 'US fl oz' or 'UK fl oz'",
}


def unit_of(spelling: str) -> str | None:
    """The program's word for a unit as people spell it (``tablespoons`` is ``tbsp``), None when it is no unit.

    >>> unit_of("tablespoons"), unit_of("US cups"), unit_of("handful")
    ('tbsp', 'US cup', None)
    """
    spelling = spelling.strip().rstrip(".")
    whose, _, rest = spelling.partition(" ")
    unit = _UNIT_OF.get(rest)
    if unit in _WHOSE and whose in _WHOSE[unit]:
        return f"{whose} {unit}"
    return _UNIT_OF.get(spelling)


def unit_size(unit: str, household: Household) -> tuple[Fraction, str] | None:
    """How many ``g``, ``ml`` or pieces one ``unit`` is; None where ``household`` leaves its meaning open."""
    if unit in _FIXED_UNITS:
        return _FIXED_UNITS[unit]
    ml = {
        "tbsp": household.tbsp_ml,
        "cup": household.cup_ml,
        "pint": household.pint_ml,
        "fl oz": household.fl_oz_ml,
    }[unit]
    return None if ml is None else (ml, "ml")


_POUND_AND_OUNCE = re.compile(
    rf"(?P<lb>{_NUMERAL}\s*(?:lbs?|pounds?))\.?\s+(?:and\s+)?(?P<oz>{_NUMERAL}\s*(?:oz|ounces?))\.?"
)
_TWO_AMOUNTS = re.compile(rf"(?P<low>{_NUMERAL})\s*(?:-|to|or|bis)\s*{_NUMERAL}\s*(?P<unit>.+)")


def parse_amount(
    text: str,
    what: str = "the amount",
    example: str = "250 g",
    household: Household = UNSAID,
) -> Amount:
    """``820 g``, ``1 lb 2 oz``, ``30 ml``, ``2 tbsp``, ``1 1/2 cups`` or ``3 each``; more than nothing.

    Args:
        household: what cups, pints, fluid ounces and tablespoons are where the text was written.

    >>> parse_amount("2 tbsp")
    Amount(value=Fraction(30, 1), unit='ml')
    """
    if sum_of := _POUND_AND_OUNCE.fullmatch(tidied(text)):
        pounds, ounces = (parse_amount(sum_of[part], what, example) for part in ("lb", "oz"))
        return Amount(pounds.value + ounces.value, "g", text)
    if two := _TWO_AMOUNTS.fullmatch(tidied(text)):
        one = f"{two['low']} {two['unit']}"
        raise NotUnderstood(
            f"{what} is '{text}', two amounts", f"write the one that is weighed, as in '{one}'"
        )
    number, spelling = _split(text, what, example)
    unit = unit_of(spelling)
    if unit is None and re.search(r"\d", spelling):
        raise NotUnderstood(
            f"{what} is '{text}', two amounts", f"write the one that is weighed, as in '{example}'"
        )
    if unit is None:
        raise NotUnderstood(
            f"{what} is '{text}'", f"the units are {_UNITS_TOLD}, as in '{example}'"
        )
    if number == 0:
        raise NotUnderstood(
            f"{what} is '{text}'", f"it must be more than nothing, as in '{example}'"
        )
    size = unit_size(unit, household)
    if size is None:
        raise NotUnderstood(f"{what} is '{text}'", _SEVERAL[unit])
    factor, base = size
    metric = unit in ("mg", "g", "kg", "ml", "cl", "dl", "l", "each")
    return Amount(number * factor, base, "" if metric else text)


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

_HOURS, _MINUTES, _SECONDS = (
    r"(?:hours?|hrs?|h|Stunden?|Std)\.?",
    r"(?:minutes?|Minuten?|mins?|Min)\.?",
    r"(?:seconds?|secs?|s)\.?",
)
_DURATION = re.compile(
    rf"(?:(?P<h>{_NUMERAL})\s*{_HOURS})?\s*(?:and\s+)?(?:(?P<m>{_NUMERAL})\s*{_MINUTES})?\s*(?:(?P<s>\d+)\s*{_SECONDS})?"
)


def parse_minutes(text: str, what: str = "the time", example: str = "45 min") -> Fraction:
    """A length of time in minutes: ``45 min``, ``1 1/2 hours``, ``1 h 30 min``, ``90 s``; more than nothing.

    >>> parse_minutes("1 h 30 min")
    Fraction(90, 1)
    """
    match = _DURATION.fullmatch(tidied(text)) if len(text) <= 40 else None
    if match is None or not any(match.groups()):
        raise NotUnderstood(
            f"{what} is '{text}'", f"write hours and minutes, as in '{example}' or '1 h 30 min'"
        )
    minutes = sum(
        (
            parse_number(match[key]) * factor
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


_BETWEEN = re.compile(r"\s*-\s*|\s+(?:to|bis)\s+")


def _span(
    text: str, units: Mapping[str, str], what: str, example: str
) -> tuple[tuple[Fraction, str], tuple[Fraction, str]]:
    """Both ends of ``35-65 min`` or ``45 min - 1.5 h``, each with its unit; one unit at the end counts for both.

    ``units`` are patterns of how each is spelled.
    """
    spelled = "|".join(f"(?P<{unit}>{pattern})" for unit, pattern in units.items())
    ends = [
        re.fullmatch(rf"(?P<number>{_NUMERAL})\s*(?:°\s?|degrees\s)?(?:{spelled})?", end)
        for end in _BETWEEN.split(tidied(text))
    ]
    low, high = ends if len(ends) == 2 else (None, None)
    named = [next((unit for unit in units if end and end[unit]), "") for end in (low, high)]
    if low is None or high is None or not named[1]:
        raise NotUnderstood(
            f"{what} is '{text}'", f"write the least and the most, as in '{example}'"
        )
    return (parse_number(low["number"]), named[0] or named[1]), (
        parse_number(high["number"]),
        named[1],
    )


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
        value * 60 if unit == "h" else value
        for value, unit in _span(text, {"min": _MINUTES, "h": _HOURS}, what, example)
    )
    if high > LONGEST_MIN:
        raise NotUnderstood(f"{what} is '{text}', more than a week", f"write it as in '{example}'")
    return _in_order((low, high), text, what, example)


def parse_celsius_span(text: str, what: str, example: str = "94-98 C") -> tuple[Fraction, Fraction]:
    """The lowest and highest temperature in degrees Celsius: ``94-98 C``, ``200-208 F``."""
    low, high = (
        celsius_from_fahrenheit(value) if unit == "F" else value
        for value, unit in _span(text, {"C": "C", "F": "F"}, what, example)
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
    r"(?P<value>[-−]?\d+(?:\.\d+)?)\s*(?:°|degrees)?\s?(?P<unit>[CF])(?:\s+(?P<kind>conventional|fan|deck))?"
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
    text: str, what: str = "the oven", example: str = "230 C conventional", usual_kind: str = ""
) -> OvenHeat:
    """An oven temperature: ``230 C conventional``, ``210 C fan``, ``450 F deck``, ``gas mark 8``.

    ``usual_kind`` is the kind of oven where the text names none; empty: it must.
    """
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
    if not match["kind"] and not usual_kind:
        raise NotUnderstood(
            f"{what} is '{text}'",
            f"say for which kind of oven: '{text} conventional', '{text} fan' or '{text} deck'",
        )
    return OvenHeat(celsius, match["kind"] or usual_kind)


_LENGTH = re.compile(rf"(?P<value>{_NUMERAL})[\s-]*(?P<unit>mm|cm|m|inches|inch|in\.?|\"|″)")
_LENGTH_CM = {"mm": Fraction(1, 10), "cm": Fraction(1), "m": Fraction(100)}


def parse_cm(text: str, what: str = "the length", example: str = "30 cm") -> Fraction:
    """A length in centimetres, above 0: ``30 cm``, ``8 1/2 in``; an inch is 2.54 cm exactly (NIST SP 811, table B.9)."""
    match = _LENGTH.fullmatch(tidied(text))
    value = parse_number(match["value"]) if match else Fraction(0)
    if match is None or value == 0:
        raise NotUnderstood(f"{what} is '{text}'", f"write a length, as in '{example}'")
    return value * _LENGTH_CM.get(match["unit"], INCH_CM)


_CLOCK = re.compile(r"([01]\d|2[0-3]|\d):([0-5]\d)|([01]\d|2[0-3])([0-5]\d)")
_HALF_DAY = re.compile(r"(1[0-2]|0?[1-9])(?:[:.]([0-5]\d))?\s*([ap])\.?\s?m\.?", re.IGNORECASE)
_UHR = re.compile(r"([01]?\d|2[0-3])(?:[:.]([0-5]\d))?\s*Uhr")
_CLOCK_WORDS = {"noon": 720, "midday": 720, "mittags": 720, "midnight": 0, "mitternacht": 0}


def parse_clock(text: str, what: str = "the time", example: str = "10:00") -> int:
    """A time of day as minutes after midnight: ``9:30``, ``9.30 am``, ``noon``, ``1330``, ``9.30 Uhr``.

    >>> parse_clock("9:30"), parse_clock("12:00 am"), parse_clock("9pm")
    (570, 0, 1260)
    """
    said = tidied(text)
    if said.casefold() in _CLOCK_WORDS:
        return _CLOCK_WORDS[said.casefold()]
    if half := _HALF_DAY.fullmatch(said):  # 12:00 am is midnight, 12:00 pm is noon
        hours = int(half[1]) % 12 + (12 if half[3] in "pP" else 0)
        return hours * 60 + int(half[2] or 0)
    if uhr := _UHR.fullmatch(said):
        return int(uhr[1]) * 60 + int(uhr[2] or 0)
    match = _CLOCK.fullmatch(said)
    if match is None:
        if said.isascii() and said.isdigit() and 1 <= int(said[:4]) <= 12 and len(said) <= 2:
            hour = int(said)
            raise NotUnderstood(
                f"{what} is '{text}', in the morning or the evening",
                f"write '{hour % 12}:00' or '{hour % 12 + 12}:00'",
            )
        raise NotUnderstood(f"{what} is '{text}'", f"write a time of day, as in '{example}'")
    return int(match[1] or match[3]) * 60 + int(match[2] or match[4])


FIRST_YEAR, LAST_YEAR = 2000, 2199


_MONTHS = {
    name: number
    for number, names in enumerate(
        ("jan january januar jänner", "feb february februar", "mar march märz", "apr april", "may mai", "jun june juni",
         "jul july juli", "aug august", "sep sept september", "oct october okt oktober", "nov november",
         "dec december dez dezember"),
        start=1,
    )
    for name in names.split()
}  # fmt: skip
_MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_DAY_FIRST = re.compile(
    r"(?:\w+,?\s+)?(?P<day>\d{1,2})(?:st|nd|rd|th|\.)?\s+(?:of\s+)?(?P<month>[^\W\d_]+)\.?,?\s+(?P<year>\d{4})"
)
_MONTH_FIRST = re.compile(
    r"(?:[^\W\d_]+\.?,?\s+)?(?P<month>[^\W\d_]+)\.?\s+(?P<day>\d{1,2})(?:st|nd|rd|th)?,?\s+(?P<year>\d{4})"
)
_DIGITS_ONLY = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})")


def parse_date(text: str, what: str = "the date") -> datetime.date:
    """A calendar date: ``2027-03-13`` (ISO 8601), ``13 March 2027``, ``March 13, 2027``, ``13. März 2027``.

    Digits alone, ``4/10/2027``, are April in the US and October elsewhere: asked, never guessed.
    """
    right = "write year-month-day, as in '2027-03-13'"
    said = tidied(text)
    iso = re.fullmatch(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", said)
    named = _DAY_FIRST.fullmatch(said) or _MONTH_FIRST.fullmatch(said)
    if digits := _DIGITS_ONLY.fullmatch(said):
        raise NotUnderstood(f"{what} is '{text}'", _both_dates(*map(int, digits.groups())) or right)
    month = _MONTHS.get(named["month"].casefold()) if named else None
    if iso:
        numbers = (int(iso[1]), int(iso[2]), int(iso[3]))
    elif named and month:
        numbers = (int(named["year"]), month, int(named["day"]))
    else:
        raise NotUnderstood(f"{what} is '{text}'", right)
    try:
        date = datetime.date(*numbers)
    except ValueError:
        raise NotUnderstood(f"{what} is '{text}', which no calendar has", right) from None
    if not FIRST_YEAR <= date.year <= LAST_YEAR:
        raise NotUnderstood(f"{what} is '{text}'", f"write a year from {FIRST_YEAR} to {LAST_YEAR}")
    return date


def _both_dates(first: int, second: int, year: int) -> str:
    """What a date in digits may mean: one reading or two, each with its month's name; empty when neither is a date."""
    readings = []
    for day, month in dict.fromkeys(((first, second), (second, first))):
        try:
            datetime.date(year, month, day)
        except ValueError:
            continue
        readings.append(f"'{day} {_MONTH_NAMES[month - 1]} {year}'")
    return f"write the month's name: {' or '.join(readings)}" if readings else ""


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


def show_clock(minutes: int | Fraction, halves: tuple[str, str] | None = None) -> str:
    """Minutes after midnight as a time of day, ``09:05``; past midnight it starts again.

    Args:
        halves: the words for before and after noon where a clock has twelve hours.

    >>> show_clock(570), show_clock(1450), show_clock(810, ("am", "pm"))
    ('09:30', '00:10', '1:30 pm')
    """
    whole = floor(minutes) % (24 * 60)
    if halves is not None:
        return f"{(whole // 60 - 1) % 12 + 1}:{whole % 60:02d} {halves[whole // 720]}"
    return f"{whole // 60:02d}:{whole % 60:02d}"


def number(value: Fraction | int) -> int | float:
    """A whole number as an integer, else as the nearest number of six decimals."""
    exact = Fraction(value)
    return int(exact) if exact.denominator == 1 else round(float(exact), 6)
