"""What each region prints: paper, money, clock, dates, degrees and names, held against Unicode CLDR (Babel, in tests only)."""

import datetime
from dataclasses import replace
from fractions import Fraction as F

import pytest

from classpack.model.kitchen import Kitchen, Oven, Scale
from classpack.model.regions import REGIONS
from classpack.pages.filters import (
    Format,
    as_read,
    clock,
    clocks_as_read,
    date_long,
    dial,
    difference,
    format_of,
    heat,
    in_region,
    money,
    temperature,
)
from classpack.pages.pack_templates import SIGNS
from classpack.pages.words import read_words
from classpack.places import own_folder
from classpack.planning.day.setting import dial_c
from classpack.quantities import OvenHeat, parse_celsius, parse_clock, parse_date

babel = pytest.importorskip("babel")
from babel import dates, numbers  # noqa: E402

LOCALES = {
    "US": "en_US", "UK": "en_GB", "IE": "en_IE", "AU": "en_AU", "NZ": "en_NZ", "CA": "en_CA", "EU": "de_DE",
}  # fmt: skip
DAY = datetime.date(2027, 4, 10)


def kitchen(*ovens: Oven) -> Kitchen:
    return Kitchen("K", "k.yaml", ovens, (Scale(F(1), F(5000)),))


def form_of(region: str, *ovens: Oven) -> Format:
    """As a pack of that region has it; the EU's in German."""
    language = "de" if region == "EU" else "en"
    words = format_of(read_words(own_folder("templates"), language))
    return in_region(words, REGIONS[region], kitchen(*ovens), language == "en")


def spaced(text: str) -> str:
    """CLDR's narrow no-break spaces as plain ones."""
    return text.replace("\u202f", " ").replace("\xa0", " ")


@pytest.mark.parametrize("region", LOCALES)
def test_the_date_is_written_as_cldr_has_it(region):
    locale = LOCALES[region]
    ours = date_long(DAY, form_of(region))
    assert spaced(dates.format_date(DAY, "long", locale=locale)) in ours
    assert parse_date(ours) == DAY


@pytest.mark.parametrize("region", LOCALES)
@pytest.mark.parametrize("minute", [0, 5, 570, 720, 810, 1439])
def test_the_clock_is_cldrs(region, minute):
    locale = LOCALES[region]
    time = datetime.time(minute // 60, minute % 60)
    ours = clock(minute, form_of(region))
    assert ours == spaced(dates.format_time(time, "short", locale=locale))
    assert parse_clock(ours) == minute


@pytest.mark.parametrize("region", LOCALES)
def test_money_is_the_regions_own(region):
    locale, currency = LOCALES[region], REGIONS[region].currency
    assert numbers.get_territory_currencies(locale[-2:])[-1] == currency
    ours = money(F("4.5"), form_of(region), SIGNS[currency], 2)
    assert ours == spaced(numbers.format_currency(4.5, currency, locale=locale))


def test_degrees_and_paper_are_those_of_cldrs_territories():
    # Unicode LDML, CLDR 47: supplemental measurementData, paperSize US-Letter and temperature US, read as text.
    # Canada's household ovens are marked in °F (from memory); its weather is not.
    letter, fahrenheit = {"US", "CA"}, {"US", "CA"}
    for code, place in REGIONS.items():
        assert (place.paper == "Letter") is (code in letter)
        assert (place.heat == "F") is (code in fahrenheit)


@pytest.mark.parametrize(
    ("written", "printed"),
    [("375 F", "375 °F"), ("350 F", "350 °F"), ("190 C", "375 °F"), ("180 C", "350 °F"), ("160 C", "325 °F"),
     ("220 C", "425 °F"), ("230 C", "450 °F"), ("210 C", "410 °F"), ("200 C", "390 °F")],
)  # fmt: skip
def test_an_ovens_heat_stands_on_the_marks_of_a_us_dial(written, printed):
    # UK and US books' pairs: 160/325, 180/350, 190/375, 220/425, 230/450, all within 6 °F; 200 and 210 C are between marks
    value, unit = written.split()
    degrees_c = (F(value) - 32) * F(5, 9) if unit == "F" else F(value)
    assert heat(OvenHeat(degrees_c), form_of("US")) == printed


def test_a_dial_is_always_in_its_own_unit_and_step():
    american = Oven("Loft", "conventional", 2, F(260), fahrenheit=True, dial_step=F(25))
    digital = replace(american, dial_step=F(5))
    british = Oven("Harbour", "conventional", 2, F(250), dial_step=F(10))
    for region in ("US", "UK"):
        form = form_of(region, american, british)
        assert dial(dial_c(american, 190), form, "Loft") == "375 °F"
        assert as_read(dial(dial_c(british, 187), form, "Harbour"), form) == "190 °C"
    assert dial(dial_c(digital, 200), form_of("US", digital), "Loft") == "390 °F"
    assert dial_c(replace(american, hottest_c=F(200)), 250) == (F(375) - 32) * F(5, 9)


def test_words_of_cautions_and_lessons_are_read_in_the_regions_degrees():
    us = form_of("US")
    for celsius, fahrenheit in (
        ("24 to 26 °C is right", "75 to 79 °F is right"),
        ("at 5 °C or below", "at 41 °F or below"),
        ("Doughs 2 °C colder", "Doughs 4 °F colder"),
        ("94 °C inside", "201 °F inside"),
        ("5 °C (41 °F) in the US", "5 °C (41 °F) in the US"),
        ("runs +10 °C hot", "runs +18 °F hot"),
        ("−18 °C", "0 °F"),
    ):
        assert as_read(celsius, us) == fahrenheit
        assert as_read(as_read(celsius, us), us) == fahrenheit
        assert as_read(celsius, form_of("UK")) == celsius
    assert difference(F(5), us) == "9 °F"
    assert clocks_as_read("at 13:05, 750 g, 1:30", us) == "at 1:05 PM, 750 g, 1:30"


@pytest.mark.parametrize("region", LOCALES)
@pytest.mark.parametrize("celsius", [4, 18, 21, 25, 30, 45])
def test_a_printed_temperature_reads_back_within_half_a_degree(region, celsius):
    printed = as_read(temperature(celsius, form_of(region)), form_of(region))
    assert abs(parse_celsius(printed) - celsius) <= F(5, 9) / 2
