"""Numbers for the page: every one with its unit, its decimal sign and its places. Templates print numbers only through these.

The look of numbers, dates and units of a language stands in ``words/<language>/format.yaml``; what is not said there is as
in British English.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from classpack import quantities
from classpack.model.kitchen import Kitchen
from classpack.model.regions import Region
from classpack.pages.words import PhraseError, Phrases, put, unescaped
from classpack.quantities import Amount, OvenHeat

_MONTHS = "January February March April May June July August September October November December"
_DAYS = "Monday Tuesday Wednesday Thursday Friday Saturday Sunday"

Number = Fraction | int


@dataclass(frozen=True, slots=True)
class Format:
    """How a language writes numbers and dates. ``heads`` inside a sentence are ``small``, or stay ``as written``.

    ``halves`` are the words for before and after noon where a region has a clock of twelve hours; ``fahrenheit`` is what its
    people read, ``fahrenheit_ovens`` the ovens whose dial is in °F wherever they stand.
    """

    decimal: str = "."
    minus: str = "−"
    hours: str = "h"
    minutes: str = "min"
    seconds: str = "s"
    date: str = "{weekday} {day} {month} {year}"
    day: str = "{weekday} {day} {month}"
    months: tuple[str, ...] = tuple(_MONTHS.split())
    weekdays: tuple[str, ...] = tuple(_DAYS.split())
    money: str = "{currency}{amount}"
    percent: str = "{number} %"
    hour_sign: str = ":"
    heads: str = "small"
    halves: tuple[str, str] = ("", "")
    fahrenheit: bool = False
    fahrenheit_ovens: frozenset[str] = frozenset()


def format_of(words: Phrases) -> Format:
    """The format of a language's ``format.yaml``, British where it says nothing."""
    if "format" not in words:
        return Format()
    file = words["format"]
    if not isinstance(file, Phrases):
        return Format()
    given: dict[str, object] = {}
    for name in Format.__slots__:
        value = file.get(name)
        if value is not None:
            given[name] = value
    for name, count in (("months", 12), ("weekdays", 7)):
        if name in given:
            value = given[name]
            names = tuple(value.split()) if isinstance(value, str) else value
            if not isinstance(names, tuple) or len(names) != count:
                raise PhraseError(
                    f"'{name}' of format.yaml does not name {count}",
                    f"name all {count}, one word each",
                )
            given[name] = names
    return Format(**given)  # type: ignore[arg-type]


def in_region(form: Format, place: Region, kitchen: Kitchen, english: bool) -> Format:
    """``form`` as the people of ``place`` read it: month first, twelve hours, degrees Fahrenheit. English only has the first two."""
    here = replace(
        form,
        fahrenheit=place.heat == "F",
        fahrenheit_ovens=frozenset(one.name for one in kitchen.ovens if one.fahrenheit),
    )
    if english and place.clock == "12":
        here = replace(here, halves=place.halves)
    if english and place.month_first:
        here = replace(
            here, date="{weekday}, {month} {day}, {year}", day="{weekday}, {month} {day}"
        )
    return here


def _exact(value: object) -> Fraction:
    """The value, which must be an exact number: text and floating numbers have no place on a scale."""
    if isinstance(value, bool) or not isinstance(value, (int, Fraction)):
        raise TypeError(f"an exact number is expected, not {value!r}")
    return Fraction(value)


def number(value: Number, places: int, form: Format) -> str:
    """A number with at most ``places`` decimals, halves up, no needless zeros.

    >>> number(Fraction(63, 10), 1, Format()), number(Fraction(63, 10), 1, Format(decimal=","))
    ('6.3', '6,3')
    """
    return (
        quantities.plain(_exact(value), places).replace(".", form.decimal).replace("-", form.minus)
    )


def grams_only(value: Number, form: Format) -> str:
    """Grams without the unit: one decimal under 100 g if the scales showed one, else whole.

    >>> grams_only(Fraction(126, 10), Format()), grams_only(Fraction(1184), Format())
    ('12.6', '1184')
    """
    return number(value, 2 if abs(_exact(value)) < 1 else 1, form)


def grams(value: Number, form: Format) -> str:
    """Grams with the unit.

    >>> grams(Fraction(126, 10), Format())
    '12.6 g'
    """
    return f"{grams_only(value, form)}\u00a0g".replace("\u00a0", " ")


def grams_to(value: Number, form: Format, step_g: Number) -> str:
    """Grams with the decimals of the scale they are weighed on, so that it is seen which scale that is.

    >>> grams_to(Fraction(9), Format(), Fraction(1, 10)), grams_to(Fraction(1410), Format(), Fraction(1))
    ('9.0 g', '1410 g')
    """
    shown = grams_only(value, form)
    whole = _exact(value).denominator == 1
    return f"{shown}{form.decimal}0 g" if whole and _exact(step_g) < 1 else f"{shown} g"


def shop_grams(value: Number, form: Format) -> str:
    """Grams for the shop: whole and rounded up; kilograms from 1000 g on, to ten grams, rounded up.

    >>> shop_grams(Fraction(1513, 20), Format()), shop_grams(Fraction(8584), Format())
    ('76 g', '8.59 kg')
    """
    if abs(_exact(value)) < 1000:
        return f"{number(-(-_exact(value) // 1), 0, form)} g"
    return f"{number(Fraction(-(-_exact(value) // 10), 100), 2, form)} kg"


def left_grams(value: Number, form: Format) -> str:
    """Grams that are left over: whole and rounded down; kilograms from 1000 g on, to ten grams, rounded down.

    >>> left_grams(Fraction(1403, 10), Format()), left_grams(Fraction(1049), Format())
    ('140 g', '1.04 kg')
    """
    if abs(_exact(value)) < 1000:
        return f"{number(_exact(value) // 1, 0, form)} g"
    return f"{number(Fraction(_exact(value) // 10, 100), 2, form)} kg"


def kilos(value: Number, form: Format) -> str:
    """Grams on the scale, in kilograms from 1000 g on; nothing is rounded away.

    >>> kilos(Fraction(4500), Format()), kilos(Fraction(1201), Format()), kilos(Fraction(126, 10), Format())
    ('4.5 kg', '1.201 kg', '12.6 g')
    """
    if abs(_exact(value)) < 1000:
        return grams(value, form)
    return f"{number(_exact(value) / 1000, 6, form)} kg"


def percent_only(value: Number, form: Format) -> str:
    """A percentage without its sign, one decimal (two under 1).

    >>> percent_only(Fraction(18, 10), Format())
    '1.8'
    """
    return number(value, 2 if abs(_exact(value)) < 1 else 1, form)


def percent(value: Number, form: Format) -> str:
    """A percentage.

    >>> percent(Fraction(63), Format())
    '63 %'
    """
    return put(form.percent, number=percent_only(value, form))


def minutes(value: Number, form: Format) -> str:
    """A length of time.

    >>> minutes(70, Format()), minutes(Fraction(1, 2), Format())
    ('1 h 10 min', '30 s')
    """
    units = {"h": form.hours, "min": form.minutes, "s": form.seconds}
    return " ".join(
        units.get(part, part.replace(".", form.decimal))
        for part in quantities.show_minutes(_exact(value)).split(" ")
    )


def clock(value: Number, form: Format) -> str:
    """Minutes after midnight as a time of day.

    >>> clock(620, Format())
    '10:20'
    """
    shown = quantities.show_clock(_exact(value), form.halves if form.halves[0] else None)
    return shown.replace(":", form.hour_sign)


def date_long(value: datetime.date, form: Format) -> str:
    """A date with its weekday.

    >>> date_long(datetime.date(2027, 3, 6), Format())
    'Saturday 6 March 2027'
    """
    return put(form.date, **_date_parts(value, form, form.date))


def date_day(value: datetime.date, form: Format) -> str:
    """A date without its year.

    >>> date_day(datetime.date(2027, 3, 6), Format())
    'Saturday 6 March'
    """
    return put(form.day, **_date_parts(value, form, form.day))


def _date_parts(value: datetime.date, form: Format, phrase: str) -> dict[str, object]:
    parts = {
        "weekday": form.weekdays[value.weekday()],
        "day": value.day,
        "month": form.months[value.month - 1],
        "year": value.year,
    }
    return {name: part for name, part in parts.items() if f"{{{name}}}" in phrase}


def temperature(value: Number, form: Format) -> str:
    """Degrees Celsius, whole or to half a degree.

    >>> temperature(Fraction(49, 2), Format())
    '24.5 °C'
    """
    return f"{number(value, 1, form)} °C"


CELSIUS_KEPT = "\N{DEGREE CELSIUS}"
"""The sign of degrees that stay Celsius in every region: a dial in °C, a table that gives both. It prints as °C."""


def celsius(value: Number, form: Format) -> str:
    """Degrees Celsius, also where people read °F: beside the same heat in °F."""
    return f"{number(value, 1, form)} {CELSIUS_KEPT}"


def dial(value: Number, form: Format, oven: str) -> str:
    """A dial's setting in that oven's own unit.

    >>> dial(Fraction(1715, 9), Format(fahrenheit_ovens=frozenset({"Loft"})), "Loft")
    '375 °F'
    """
    if oven not in form.fahrenheit_ovens:
        return celsius(value, form)
    return f"{number(quantities.fahrenheit_from_celsius(_exact(value)), 0, form)} °F"


_DIFFERENCE = r"colder|warmer|cooler|hotter|hot|cold|less|more|lower|higher|above|below|kälter|wärmer|weniger|mehr|heißer|friction|Knetwärme"
_DEGREES = re.compile(
    rf"(?:(?P<low>[−+-]?\d+(?:[.,]\d+)?)(?P<to>\s*(?:–|-|to|bis|and|or|und|oder)\s*))?(?P<high>[−+-]?\d+(?:[.,]\d+)?)(?P<gap>[\s\u00a0\u202f]?)°C(?!\w)(?P<word>\s+(?:{_DIFFERENCE})\b(?!\s+(?:it|that|this|zero)))?"
)
_SAME_AFTER = re.compile(r"\s?[(/,]?\s?(?:or )?\d+\s?°F")
_SAME_BEFORE = re.compile(r"°F\s?[(/,]\s?$")
"""The same heat in °F right beside it, as cautions quote their sources."""


def as_read(text: str, form: Format) -> str:
    """Finished text with the degrees of the class's region: every °C of words, cautions and lesson in whole °F, once.

    Where the same heat stands in °F beside it, it stays. Differences are converted without the 32.

    >>> as_read("24 to 26 °C is right; 2 °C colder", Format(fahrenheit=True))
    '75 to 79 °F is right; 4 °F colder'
    """
    if form.fahrenheit:
        text = _DEGREES.sub(lambda found: _in_fahrenheit(found, text, form), text)
    return text.replace(CELSIUS_KEPT, "°C")


def _in_fahrenheit(found: re.Match[str], text: str, form: Format) -> str:
    if _SAME_AFTER.match(text, found.end()) or _SAME_BEFORE.search(text[max(0, found.start() - 20) : found.start()]):  # fmt: skip
        return found[0]
    word = found["word"] or ""

    def shown(said: str) -> str:
        sign = "" if said[0].isdigit() else said[0]
        value = Fraction(said.lstrip("−+-").replace(",", ".")) * (
            -1 if sign in "−-" and sign else 1
        )
        degrees = value * Fraction(9, 5) if word or sign == "+" else quantities.fahrenheit_from_celsius(value)  # fmt: skip
        return ("+" if sign == "+" else "") + number(degrees, 0, form)

    low = f"{shown(found['low'])}{found['to']}" if found["low"] else ""
    return f"{low}{shown(found['high'])}{found['gap']}°F{word}"


DIALS_AGREE_F = 6
"""UK and US books print an oven's heat within 6 °F of the exact value; a mark so near is taken, else the nearest 5 °F."""


def heat(value: OvenHeat | Number, form: Format) -> str:
    """An oven's heat as its people set it: °C as written, °F on the marks of a dial; which kind of oven is said in words.

    >>> heat(OvenHeat(Fraction(230)), Format()), heat(OvenHeat(Fraction(230)), Format(fahrenheit=True))
    ('230 °C', '450 °F')
    """
    degrees_c = value.celsius if isinstance(value, OvenHeat) else _exact(value)
    if not form.fahrenheit:
        return temperature(degrees_c, form)
    exact = quantities.fahrenheit_from_celsius(degrees_c)
    mark = quantities.rounded_to(exact, Fraction(25))
    if abs(mark - exact) > DIALS_AGREE_F:
        mark = quantities.rounded_to(exact, Fraction(5))
    return f"{number(mark, 0, form)} °F"


def degrees(value: Number, form: Format) -> str:
    """A temperature without its sign, in the degrees of the region."""
    shown = quantities.fahrenheit_from_celsius(_exact(value)) if form.fahrenheit else value
    return number(shown, 0 if form.fahrenheit else 1, form)


def degree_sign(text: object, form: Format) -> str:
    """A phrase with the sign of the region's degrees put in for ``{unit}``."""
    return put(text, unit="°F" if form.fahrenheit else CELSIUS_KEPT)


def difference(value: Number, form: Format) -> str:
    """A difference of temperatures: no 32 is added.

    >>> difference(3, Format()), difference(Fraction(5), Format(fahrenheit=True))
    ('3 °C', '9 °F')
    """
    if form.fahrenheit:
        return f"{number(_exact(value) * Fraction(9, 5), 0, form)} °F"
    return temperature(value, form)


def clocks_as_read(text: str, form: Format) -> str:
    """Times of day in a sentence that no template wrote, by the region's clock."""
    if not form.halves[0]:
        return text
    return re.sub(
        r"\b([01]\d|2[0-3]):([0-5]\d)\b",
        lambda found: quantities.show_clock(int(found[1]) * 60 + int(found[2]), form.halves),
        text,
    )


def money(value: Number, form: Format, currency: str = "", places: int = 2) -> str:
    """An amount of money with the currency's decimals, halves up.

    >>> money(Fraction(725, 100), Format()), money(3, Format(), "£"), money(1200, Format(), "JPY ", 0)
    ('7.25', '£3.00', 'JPY 1200')
    """
    whole = 10**places
    coins = (abs(_exact(value)) * whole + Fraction(1, 2)) // 1
    sign = form.minus if _exact(value) < 0 and coins else ""
    part = f"{form.decimal}{coins % whole:0{places}d}" if places else ""
    return put(form.money, currency=currency, amount=f"{sign}{coins // whole}{part}").strip()


def count(value: Number, form: Format) -> str:
    """A number of things.

    >>> count(Fraction(5, 2), Format())
    '2.5'
    """
    return number(value, 1, form)


def ml(value: Number, form: Format) -> str:
    """Millilitres, whole; litres from 1000 ml on.

    >>> ml(30, Format()), ml(1250, Format())
    ('30 ml', '1.25 l')
    """
    return (
        f"{number(value, 0, form)} ml"
        if abs(_exact(value)) < 1000
        else f"{number(_exact(value) / 1000, 2, form)} l"
    )


def amount(value: Amount, form: Format) -> str:
    """An amount as a tutor or a shop writes it; whole kilograms and litres from 1000 on.

    >>> amount(Amount(Fraction(1500), "g"), Format()), amount(Amount(Fraction(3), "each"), Format())
    ('1.5 kg', '3')
    """
    if value.unit == "each":
        return count(value.value, form)
    if value.value >= 1000:
        return f"{number(value.value / 1000, 3, form)} {'kg' if value.unit == 'g' else 'l'}"
    return f"{number(value.value, 1, form)} {value.unit}"


def capital(text: object) -> str:
    """Text with its first letter large.

    >>> capital("strong white flour")
    'Strong white flour'
    """
    words = unescaped(text)
    return words[:1].upper() + words[1:]


def midway(text: object, form: Format) -> str:
    """A head in the middle of a sentence: small in English, as it is in a language that writes nouns large.

    >>> midway("Rest", Format()), midway("Ruhen", Format(heads="as written"))
    ('rest', 'Ruhen')
    """
    words = unescaped(text)
    return words if form.heads == "as written" else words.lower()


def figures(text: object, form: Format) -> str:
    """A text that holds one rounded number, as labels have it (``0.5 g``), with the language's decimal sign.

    >>> figures("<0.5 g", Format(decimal=","))
    '<0,5 g'
    """
    return unescaped(text).replace(".", form.decimal)


def reckoned(phrase: object, given: Mapping[str, object], form: Format) -> str:
    """A line of a sum: its phrase with numbers of at most so many places, lists of them and names put in.

    >>> one = {"share": (Fraction(3, 2), 1), "added": ((("", Fraction(2)), ("salt", Fraction(1, 2))), 1)}
    >>> reckoned("{added} = {share} g", one, Format(decimal=","))
    '2 + salt 0,5 = 1,5 g'
    """

    def shown(value: object) -> str:
        if not isinstance(value, tuple):
            return str(value)
        what, places = value
        if not isinstance(what, tuple):
            return number(what, places, form)
        return " + ".join(f"{name} {number(one, places, form)}".strip() for name, one in what)

    return put(phrase, **{name: shown(value) for name, value in given.items()})


def plural(phrases: object, number_: int, **values: object) -> str:
    """The form of a phrase for a number: ``one`` or ``many`` of it, with ``{count}`` filled in.

    >>> plural(Phrases("words", {"one": "1 roll", "many": "{count} rolls"}), 4)
    '4 rolls'
    """
    if not isinstance(phrases, Phrases):
        raise PhraseError(
            f"'{phrases}' has no forms for one and many", "write it as 'one: …' and 'many: …'"
        )
    phrase = str(phrases["one" if number_ == 1 else "many"])
    return put(phrase, **({"count": number_} if "{count}" in phrase else {}), **values)


def number_filters(form: Format) -> Mapping[str, Callable[..., str]]:
    """All filters of this module by the names templates use, bound to a language's format."""

    def bound(show: Callable[..., str]) -> Callable[..., str]:
        def filter_(value: object, *more: object, **named: object) -> str:
            return show(value, form, *more, **named)

        return filter_

    shown = (
        grams,
        grams_only,
        grams_to,
        shop_grams,
        percent,
        percent_only,
        minutes,
        clock,
        date_long,
        date_day,
    )
    more = (
        temperature,
        celsius,
        dial,
        degrees,
        degree_sign,
        difference,
        heat,
        money,
        count,
        ml,
        amount,
        left_grams,
        kilos,
        midway,
        figures,
    )
    return {
        **{show.__name__: bound(show) for show in (*shown, *more)},
        "put": put,
        "plural": plural,
        "capital": capital,
        "reckoned": lambda phrase, given: reckoned(phrase, given, form),
    }
