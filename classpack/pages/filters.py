"""Numbers for the page: every one with its unit, its decimal sign and its places. Templates print numbers only through these.

The look of numbers, dates and units of a language stands in ``words/<language>/format.yaml``; what is not said there is as
in British English.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from classpack import quantities
from classpack.pages.words import PhraseError, Phrases, put, unescaped
from classpack.quantities import Amount, OvenHeat

_MONTHS = "January February March April May June July August September October November December"
_DAYS = "Monday Tuesday Wednesday Thursday Friday Saturday Sunday"

Number = Fraction | int


@dataclass(frozen=True, slots=True)
class Format:
    """How a language writes numbers and dates. ``heads`` inside a sentence are ``small``, or stay ``as written``."""

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
    return quantities.show_clock(_exact(value)).replace(":", form.hour_sign)


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


def heat(value: OvenHeat | Number, form: Format) -> str:
    """An oven's heat in degrees Celsius; which kind of oven it is for is said in words.

    >>> heat(OvenHeat(Fraction(230)), Format())
    '230 °C'
    """
    return temperature(value.celsius if isinstance(value, OvenHeat) else value, form)


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
    more = (temperature, heat, money, count, ml, amount, left_grams, kilos, midway, figures)
    return {
        **{show.__name__: bound(show) for show in (*shown, *more)},
        "put": put,
        "plural": plural,
        "capital": capital,
        "reckoned": lambda phrase, given: reckoned(phrase, given, form),
    }
