"""Quantities: read with their units, rounded to a step, divided, shown."""

import datetime
from contextlib import suppress
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack import quantities as q
from classpack.quantities import Amount, NotUnderstood, OvenHeat


def said(parse, *args) -> str:
    with pytest.raises(NotUnderstood) as caught:
        parse(*args)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7", 7),
        ("62.5", F("62.5")),
        ("1/2", F(1, 2)),
        ("1 1/2", F(3, 2)),
        ("½", F(1, 2)),
        ("1½", F(3, 2)),
        ("2 ¾", F(11, 4)),
        ("0.5", F(1, 2)),
        ("0", 0),
    ],
)
def test_numbers_as_a_kitchen_writes_them(text, value):
    assert q.parse_number(text) == value


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "'' is not a number; write digits, as in '2.5' or '1/2'"),
        ("lots", "'lots' is not a number; write digits, as in '2.5' or '1/2'"),
        ("1e3", "'1e3' is not a number; write digits, as in '2.5' or '1/2'"),
        ("1_000", "'1_000' is not a number; write digits, as in '2.5' or '1/2'"),
        ("0x1F", "'0x1F' is not a number; write digits, as in '2.5' or '1/2'"),
        ("1/0", "'1/0' is not a number; write digits, as in '2.5' or '1/2'"),
        ("-3", "'-3' is not a number; write digits, as in '2.5' or '1/2'"),
        ("2,5", "'2,5' has a comma; write decimals with a point and thousands without a sign, as in '2.5' or '1200'"),
        ("0230", "'0230' starts with a zero; write '230'"),
        ("00.5", "'00.5' starts with a zero; write '0.5'"),
        ("9" * 13, "'9999999999999' is too long for a number; use at most twelve signs"),
    ],
)  # fmt: skip
def test_what_is_no_number_is_refused(text, message):
    assert said(q.parse_number, text) == message


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("820 g", Amount(F(820), "g")),
        ("820g", Amount(F(820), "g")),
        ("1.5 kg", Amount(F(1500), "g")),
        ("250 mg", Amount(F(1, 4), "g")),
        ("30 ml", Amount(F(30), "ml")),
        ("30 mL", Amount(F(30), "ml")),
        ("1 L", Amount(F(1000), "ml")),
        ("5 cl", Amount(F(50), "ml")),
        ("1/2 tsp", Amount(F(5, 2), "ml")),
        ("1 1/2 tbsp", Amount(F(45, 2), "ml")),
        ("3 each", Amount(F(3), "each")),
        ("½ each", Amount(F(1, 2), "each")),
    ],
)
def test_amounts_carry_their_units(text, amount):
    assert q.parse_amount(text) == amount


def test_thirty_millilitres_of_oil_are_two_tablespoons():
    # common practice, no source; and NIST, "Metric Kitchen: Cooking Measurement Equivalencies": 1 tbsp = 15 mL, 1 tsp = 5 mL
    assert q.parse_amount("2 tbsp") == q.parse_amount("30 ml") == q.parse_amount("6 tsp")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("250", "the amount is '250' without a unit; say of what, as in '250 g'"),
        ("some", "the amount is 'some'; write a number and its unit, as in '250 g'"),
        ("-5 g", "the amount is '-5 g'; it must be more than nothing, as in '250 g'"),
        ("0 g", "the amount is '0 g'; it must be more than nothing, as in '250 g'"),
        ("2 lemons", "the amount is '2 lemons'; the units are mg g kg oz lb ml cl l tsp tbsp cup fl oz pint each, as in '250 g'"),
        ("1,5 kg", "'1,5' has a comma; write decimals with a point and thousands without a sign, as in '2.5' or '1200'"),
        ("1,000 g", "'1,000' has a comma; write decimals with a point and thousands without a sign, as in '2.5' or '1200'"),
    ],
)  # fmt: skip
def test_amounts_that_say_too_little_are_refused(text, message):
    assert said(q.parse_amount, text) == message


US = q.HOUSEHOLDS["US"]
AU = q.HOUSEHOLDS["AU"]
UK = q.HOUSEHOLDS["UK"]


@pytest.mark.parametrize(
    ("text", "household", "value", "unit"),
    [
        # NIST Handbook 44, App. C (from memory): the US cup is 236.5882365 ml, its fluid ounce 29.5735295625 ml
        ("1 cup", US, F("236.5882365"), "ml"),
        ("1½ cups", US, F("354.88235475"), "ml"),
        ("6 fl oz", US, F("177.441177375"), "ml"),
        ("1 pint", US, F("473.176473"), "ml"),
        ("1 cup", AU, 250, "ml"),
        ("2 tbsp", AU, 40, "ml"),
        ("2 tablespoons", UK, 30, "ml"),
        # UK Units of Measurement Regulations 1995 (from memory): a pint is 568.26125 ml, a fluid ounce a twentieth of it
        ("1/2 pint", UK, F("284.130625"), "ml"),
        ("10 fl. oz.", UK, F("284.130625"), "ml"),
        # NIST SP 811 (2008), App. B: the pound is 453.59237 g, the ounce a sixteenth of it
        ("1 lb 2 oz", UK, F("510.29141625"), "g"),
        ("12 oz.", q.UNSAID, F("340.1942775"), "g"),
        ("1 3/4 lb", q.UNSAID, F("793.7866475"), "g"),
        ("2 US cups", UK, F("473.176473"), "ml"),
        ("1 metric cup", q.UNSAID, 250, "ml"),
        ("1\u00a01⁄2 dl", q.UNSAID, 150, "ml"),
        ("3 TL", q.UNSAID, 15, "ml"),
    ],
)  # fmt: skip
def test_household_measures_by_where_they_were_written(text, household, value, unit):
    assert q.parse_amount(text, household=household) == Amount(value, unit)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("2 cups", "the amount is '2 cups'; a cup is 237 ml in the US, 250 ml in Australia and New Zealand, and either elsewhere; write 'US cup' or 'metric cup'"),
        ("1 pint", "the amount is '1 pint'; a pint is 473 ml in the US and 568 ml elsewhere; write 'US pint' or 'UK pint'"),
        ("3-4 cups", "the amount is '3-4 cups', two amounts; write the one that is weighed, as in '3 cups'"),
        ("1 to 1 1/2 oz", "the amount is '1 to 1 1/2 oz', two amounts; write the one that is weighed, as in '1 oz'"),
        ("a handful", "the amount is 'a handful'; write a number and its unit, as in '250 g'"),
        ("3 cups 420 g", "the amount is '3 cups 420 g', two amounts; write the one that is weighed, as in '250 g'"),
    ],
)  # fmt: skip
def test_measures_of_several_meanings_are_asked(text, message):
    assert said(q.parse_amount, text) == message


@pytest.mark.parametrize(
    ("unit", "household", "pint_name"),
    [
        ("1 cup", US, "cup"), ("1 pint", US, "US_pint"), ("1 fl oz", US, "US_fluid_ounce"),
        ("1 pint", UK, "imperial_pint"), ("1 fl oz", UK, "imperial_fluid_ounce"), ("1 cup", AU, "metric_cup"),
        ("1 oz", UK, "ounce"), ("1 lb", UK, "pound"), ("1 tbsp", UK, "metric_tablespoon"),
        ("1 tsp", UK, "metric_teaspoon"),
    ],
)  # fmt: skip
def test_every_unit_is_the_size_of_a_reference_library(unit, household, pint_name):
    # Pint, its default registry (exact fractions); the metric cup and spoons are added as NIST's "Metric Kitchen" has them
    pint = pytest.importorskip("pint")
    registry = pint.UnitRegistry(non_int_type=F)
    for name, ml in (("metric_cup", 250), ("metric_tablespoon", 15), ("metric_teaspoon", 5)):
        registry.define(f"{name} = {ml} * milliliter")
    amount = q.parse_amount(unit, household=household)
    size = registry.Quantity(F(1), pint_name).to("gram" if amount.unit == "g" else "milliliter")
    assert abs(size.magnitude - amount.value) < F(1, 10**6)


def test_a_weight_is_no_volume():
    assert (
        said(q.parse_grams, "30 ml") == "the weight is '30 ml'; it must be a weight, as in '820 g'"
    )
    assert q.parse_percent("1.8 %") == q.parse_percent("1.8%") == F(9, 5)
    assert said(q.parse_percent, "65 g") == (
        "the percentage is '65 g'; write a percentage, as in '65 %'"
    )


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("45 min", 45),
        ("1 h 30 min", 90),
        ("1h30min", 90),
        ("1.5 h", 90),
        ("90 s", F(3, 2)),
        ("1 1/2 hours", 90),
        ("1½ hrs", 90),
        ("1 hour and 30 minutes", 90),
        ("12 Std.", 720),
        ("35 Minuten", 35),
    ],
)
def test_lengths_of_time(text, minutes):
    assert q.parse_minutes(text) == minutes


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1:30", "the time is '1:30'; write hours and minutes, as in '45 min' or '1 h 30 min'"),
        ("45", "the time is '45'; write hours and minutes, as in '45 min' or '1 h 30 min'"),
        ("", "the time is ''; write hours and minutes, as in '45 min' or '1 h 30 min'"),
        ("-5 min", "the time is '-5 min'; write hours and minutes, as in '45 min' or '1 h 30 min'"),
        ("0 min", "the time is '0 min'; it must be more than nothing, as in '45 min'"),
        ("450 h", "the time is '450 h', more than a week; write it as in '45 min'"),
    ],
)
def test_times_that_say_too_little_are_refused(text, message):
    assert said(q.parse_minutes, text) == message


@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("35-65 min", (35, 65)),
        ("35 – 65 min", (35, 65)),
        ("35 to 65 min", (35, 65)),
        ("12-16 h", (720, 960)),
        ("45 min - 2 h", (45, 120)),
        ("1 h-90 min", (60, 90)),
        ("1 to 1 1/2 hours", (60, 90)),
        ("30 to 35 minutes", (30, 35)),
    ],
)
def test_each_end_of_a_window_keeps_its_own_unit(text, span):
    assert q.parse_minutes_span(text, "the window") == span


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("65-35 min", "the window is '65-35 min', the wrong way round; put the smaller first, as in '35-65 min'"),
        ("35-65", "the window is '35-65'; write the least and the most, as in '35-65 min'"),
        ("45 min", "the window is '45 min'; write the least and the most, as in '35-65 min'"),
        ("1-2-3 min", "the window is '1-2-3 min'; write the least and the most, as in '35-65 min'"),
        ("1-9999 h", "the window is '1-9999 h', more than a week; write it as in '35-65 min'"),
    ],
)  # fmt: skip
def test_windows_that_are_none_are_refused(text, message):
    assert said(q.parse_minutes_span, text, "the window") == message


def test_a_span_of_temperatures_may_mix_its_scales():
    assert q.parse_celsius_span("200-212 F", "x") == (F(840, 9), 100)
    assert q.parse_celsius_span("90 C to 212 F", "x") == (90, 100)
    assert said(q.parse_celsius_span, "98-94 C", "it") == (
        "it is '98-94 C', the wrong way round; put the smaller first, as in '94-98 C'"
    )


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [(32, 0), (212, 100), (77, 25), (-40, -40)],  # NIST SP 811 (2008), B.9: t/°C = (t/°F - 32)/1.8
)
def test_fahrenheit_is_exact_both_ways(fahrenheit, celsius):
    assert q.celsius_from_fahrenheit(F(fahrenheit)) == celsius
    assert q.fahrenheit_from_celsius(F(celsius)) == fahrenheit


def test_a_difference_of_degrees_loses_no_thirty_two():
    # US baking-school friction sheets: a friction of 24 °F is a difference and converts by 5/9 only
    assert q.parse_celsius_difference("24 F", "the friction") == F(40, 3)
    assert q.parse_celsius_difference("3 C", "the friction") == 3


def test_temperatures_of_dough_and_room_stay_within_reason():
    assert q.parse_celsius("25 °C") == q.parse_celsius("77F") == 25
    assert q.parse_celsius("−18 C") == -18
    assert said(q.parse_celsius, "77 C") == (
        "the temperature is '77 C'; it must lie between -30 C and 60 C; did you mean another unit?"
    )
    assert said(q.parse_celsius, "warm") == (
        "the temperature is 'warm'; write degrees, as in '25 C' or '77 F'"
    )


@pytest.mark.parametrize(
    ("text", "heat"),
    [
        ("230 C conventional", OvenHeat(F(230))),
        ("210°C fan", OvenHeat(F(210), "fan")),
        ("450 F deck", OvenHeat(F(2090, 9), "deck")),
        ("gas mark 8", OvenHeat(F(2090, 9))),  # UK gas mark 8 is 450 °F, about 230 °C (from memory)
        ("Gas 1/2", OvenHeat(F(1090, 9))),
        ("gas mark ¼", OvenHeat(F(965, 9))),
    ],
)
def test_ovens_as_they_are_marked(text, heat):
    assert q.parse_oven_heat(text) == heat


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("230 C", "the oven is '230 C'; say for which kind of oven: '230 C conventional', '230 C fan' or '230 C deck'"),
        ("hot", "the oven is 'hot'; write degrees and the kind of oven, as in '230 C conventional'"),
        ("23 C fan", "the oven is '23 C fan'; bread is baked between 60 C and 500 C"),
        ("-230 C fan", "the oven is '-230 C fan'; bread is baked between 60 C and 500 C"),
        ("gas mark 10", "the oven is 'gas mark 10'; gas marks go from 1/4 to 9"),
        ("gas mark 0", "the oven is 'gas mark 0'; gas marks go from 1/4 to 9"),
    ],
)  # fmt: skip
def test_ovens_that_are_none_are_refused(text, message):
    assert said(q.parse_oven_heat, text) == message


def test_lengths_in_centimetres():
    # NIST SP 811 (2008), table B.9: 1 in = 2.54 cm exactly
    assert [q.parse_cm(text) for text in ("30 cm", "12 in", "140 mm", "1 m", "8 1/2 in", '9"', "9-inch")] == [
        30, F("30.48"), 14, 100, F("21.59"), F("22.86"), F("22.86"),
    ]  # fmt: skip
    assert said(q.parse_cm, "0 cm") == "the length is '0 cm'; write a length, as in '30 cm'"


@pytest.mark.parametrize(
    ("text", "minutes"), [("9:30", 570), ("09:30", 570), ("00:00", 0), ("23:59", 1439)]
)
def test_times_of_day(text, minutes):
    assert q.parse_clock(text) == minutes
    assert q.show_clock(minutes) == text.zfill(5)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("9:00 am", 540), ("9am", 540), ("9.30am", 570), ("9:30 a.m.", 570), ("9:30 PM", 1290),
        ("12:00 am", 0), ("12:00 pm", 720), ("12:30 am", 30), ("noon", 720), ("midday", 720), ("midnight", 0),
        ("1330", 810), ("0230", 150), ("9 Uhr", 540), ("9.30 Uhr", 570), ("13:30 Uhr", 810),
    ],
)  # fmt: skip
def test_times_of_day_as_people_write_them(text, minutes):
    assert q.parse_clock(text) == minutes


def test_an_hour_alone_is_asked():
    assert said(q.parse_clock, "9") == (
        "the time is '9', in the morning or the evening; write '9:00' or '21:00'"
    )
    assert said(q.parse_clock, "12") == (
        "the time is '12', in the morning or the evening; write '0:00' or '12:00'"
    )


@pytest.mark.parametrize(
    "text", ["24:00", "930", "9:5", "9.30", "13:30 pm", "9:60", "9-12", "0 am"]
)
def test_what_is_no_time_of_day_is_refused(text):
    assert said(q.parse_clock, text) == f"the time is '{text}'; write a time of day, as in '10:00'"


def test_dates_are_year_month_day():
    assert q.parse_date("2028-02-29") == datetime.date(2028, 2, 29)
    assert said(q.parse_date, "2027-02-29") == (
        "the date is '2027-02-29', which no calendar has; write year-month-day, as in '2027-03-13'"
    )
    assert said(q.parse_date, "3 Brumaire 2027") == (
        "the date is '3 Brumaire 2027'; write year-month-day, as in '2027-03-13'"
    )


@pytest.mark.parametrize(
    "text",
    [
        "10 April 2027", "April 10, 2027", "Sat 10 April 2027", "Saturday, 10th of April 2027", "10. April 2027",
        "Saturday, April 10, 2027", "10 Apr 2027", "Samstag, 10. April 2027",
    ],
)  # fmt: skip
def test_dates_with_the_months_name(text):
    assert q.parse_date(text) == datetime.date(2027, 4, 10)


def test_a_date_in_digits_is_asked_with_both_its_readings():
    # 4/10/2027 is April in the US and October elsewhere (Unicode CLDR 47, short dates)
    assert said(q.parse_date, "4/10/2027") == (
        "the date is '4/10/2027'; write the month's name: '4 October 2027' or '10 April 2027'"
    )
    assert said(q.parse_date, "13/03/2027") == (
        "the date is '13/03/2027'; write the month's name: '13 March 2027'"
    )
    assert said(q.parse_date, "4/4/2027") == (
        "the date is '4/4/2027'; write the month's name: '4 April 2027'"
    )
    assert said(q.parse_date, "31/31/2027") == (
        "the date is '31/31/2027'; write year-month-day, as in '2027-03-13'"
    )


# ---------------------------------------------------------------- laws

STEPS = st.sampled_from([F(1, 10), F(1, 2), F(1), F(2), F(5)])
VALUES = st.fractions(min_value=0, max_value=10_000, max_denominator=1000)


@given(VALUES, STEPS)
def test_rounding_stays_within_half_a_step_and_on_the_step(value, step):
    rounded = q.rounded_to(value, step)
    assert abs(rounded - value) <= step / 2
    assert (rounded / step).denominator == 1


@given(st.integers(0, 5000), st.lists(st.integers(0, 50), min_size=1, max_size=9), STEPS)
def test_dividing_a_tub_loses_nothing_and_keeps_every_share_within_a_step(units, shares, step):
    if not any(shares):
        shares[0] = 1
    total = units * step
    parts = q.divided(total, [F(share) for share in shares], step)
    assert sum(parts) == total
    for part, share in zip(parts, shares, strict=True):
        assert abs(part - total * share / sum(shares)) < step
        assert share or not part


@given(VALUES)
def test_a_shown_number_is_read_back_within_its_places(value):
    assert abs(F(q.plain(value, 3)) - value) <= F(1, 2000)


@pytest.mark.parametrize(
    ("minutes", "text"),
    [
        (0, "0 min"),
        (45, "45 min"),
        (60, "1 h"),
        (90, "1 h 30 min"),
        (F(3, 2), "90 s"),
        (F(11999, 100), "2 h"),
    ],
)
def test_lengths_of_time_are_shown_as_a_clock_reader_says_them(minutes, text):
    assert q.show_minutes(minutes) == text


@given(st.text(alphabet="0123456789.,/ -–½to minhsCFgkl%°x×:", max_size=60))
def test_no_text_brings_a_reader_of_quantities_down(text):
    for parse in (
        q.parse_number, q.parse_amount, q.parse_grams, q.parse_percent, q.parse_minutes, q.parse_celsius,
        q.parse_oven_heat, q.parse_cm, q.parse_clock, q.parse_date,
    ):  # fmt: skip
        with suppress(NotUnderstood):
            parse(text)
    for span in (q.parse_minutes_span, q.parse_celsius_span):
        with suppress(NotUnderstood):
            low, high = span(text, "x")
            assert low <= high
