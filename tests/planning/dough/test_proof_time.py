"""Proof times against measured and handed-down rules, which differ; the answer spans them and never promises."""

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.planning.dough.proof_time import (
    SOURDOUGH_YEAST_GROWS_C,
    SUPPORT_TEMPERATURE,
    SUPPORT_YEAST,
    Times,
    growth,
    proof_time,
    temperature_factor,
    yeast_factor,
)
from classpack.quantities import rounded_to

HOUR = Times(F(45), F(60), F(90))

# computed from the formula of Rosso et al. 1993 with 4 / 32.3 / 45.4 °C (Salvadó et al. 2011), both from memory
GROWTH = {
    "5": "0.0033", "10": "0.1078", "15": "0.3193", "20": "0.5794", "22": "0.6828", "24": "0.7792", "25": "0.8234",
    "26": "0.8641", "28": "0.9326", "30": "0.9795", "32.3": "1", "35": "0.9674", "38": "0.8426", "40": "0.6975", "42": "0.4952",
}  # fmt: skip


@pytest.mark.parametrize(("celsius", "share"), GROWTH.items())
def test_growth_of_bakers_yeast(celsius, share):
    assert rounded_to(growth(F(celsius)), F(1, 10_000)) == F(share)


def test_no_growth_outside_the_cardinal_temperatures():
    assert growth(F(3)) == growth(F(4)) == growth(F("45.4")) == growth(F(60)) == 0


def test_growth_against_the_ten_degree_rule():
    # a doubling per 10 K is too weak in the cold and too strong in the warm
    assert rounded_to(growth(F(25)) / growth(F(15)), F(1, 100)) == F("2.58")
    assert rounded_to(growth(F(30)) / growth(F(20)), F(1, 100)) == F("1.69")


def test_the_yeast_of_sourdough_is_met_fairly_and_not_exactly():
    # Gänzle et al. 1998, as summarised: half the rate at 20 °C, a quarter at 14 °C; the model says 0.57 and 0.17
    assert rounded_to(growth(F(20), SOURDOUGH_YEAST_GROWS_C), F(1, 100)) == F("0.57")
    assert rounded_to(growth(F(14), SOURDOUGH_YEAST_GROWS_C), F(1, 100)) == F("0.17")


@pytest.mark.parametrize(
    ("warm", "cold", "slower"),
    [
        (
            28,
            20,
            "2",
        ),  # Gänzle et al. 1998: half rate at 20 °C of that at 28 °C, a doubling per 8 K
        (30, 20, "2"),  # trade rule, from memory: a doubling per 10 K
        (24, 18, "1.5157"),  # the planning rule 2^((24 - room) / 10) at 18 °C
    ],
)
def test_published_temperature_rules_lie_in_the_span(warm, cold, slower):
    factor = temperature_factor(F(warm), F(cold))
    assert factor is not None
    assert factor.least - F(1, 1000) <= F(slower) <= factor.most + F(1, 1000)


@pytest.mark.parametrize(
    ("ratio", "longer"),
    [
        (
            F(1, 2),
            F(8, 5),
        ),  # Manual for Army Bakers (1916), pp. 49-50: sponge 5 h; 8 h with half the yeast
        (F(1, 2), F(2)),  # Foods That Will Win the War (1918): 1 cake 3 h, 1/2 cake 6 h
        (F(1, 4), F(4)),  # the same: 1/4 cake overnight, 12 h
        (
            F(1, 4),
            F(12, 5),
        ),  # The Sourdough Framework: 20 % starter 5 h, 10 % 8 h (again 8/5), 5 % 12 h
        (F(1, 8), F(8)),  # blog of 2009: 6 tsp for 1.5 h is 3/4 tsp for 12 h
    ],
)
def test_published_yeast_rules_lie_in_the_span(ratio, longer):
    factor = yeast_factor(ratio)
    assert factor.least <= longer <= factor.most
    assert factor.usual == 1 / ratio


def test_the_simple_rule_is_exactly_inverse():
    # Foods That Will Win the War (1918): 3 x 1 = 6 x 1/2 = 12 x 1/4
    assert [3 * yeast_factor(share).usual for share in (F(1), F(1, 2), F(1, 4))] == [3, 6, 12]


def test_a_cold_kitchen():
    found = proof_time(HOUR, F(25), F(20))
    assert found.minutes is not None
    assert (found.good, found.support) == (True, SUPPORT_TEMPERATURE)
    assert found.says == "about 85 min, 64 to 139, with the dough at 20 °C"


def test_half_the_yeast():
    found = proof_time(HOUR, F(25), F(25), F(1, 2))
    assert found.support == SUPPORT_YEAST
    assert found.says == "about 120 min, 68 to 180, with the dough at 25 °C and 0.5 times the yeast"


def test_outside_the_range_it_says_so_or_says_nothing():
    far = proof_time(HOUR, F(25), F(25), F(1, 8))
    assert not far.good
    assert far.says.endswith("; outside the range where the rules agree, so watch the dough early")
    fridge = proof_time(
        HOUR, F(25), F(6)
    )  # below 10 °C fermentation practically stops (bakers' glossary)
    assert fridge.minutes is None
    assert fridge.says == (
        "at 6 °C no time can be given (the rules hold from 10 to 35 °C); go by the dough alone"
    )


def test_unchanged_conditions_give_the_lessons_window():
    assert proof_time(HOUR, F(25), F(25)).minutes == HOUR


degrees = st.integers(20, 70).map(lambda n: F(n, 2))


@settings(max_examples=60, deadline=None)
@given(degrees, degrees, st.fractions(min_value=F(1, 3), max_value=3, max_denominator=12))
def test_least_usual_and_most_keep_their_order(meant, now, ratio):
    minutes = proof_time(HOUR, meant, now, ratio).minutes
    assert minutes is not None
    assert 0 < minutes.least <= minutes.usual <= minutes.most


@settings(max_examples=40, deadline=None)
@given(degrees, degrees)
def test_colder_never_takes_less_time_up_to_30_degrees(one, other):
    cold, warm = sorted((min(one, F(30)), min(other, F(30))))
    slower = temperature_factor(warm, cold)
    assert slower is not None
    assert slower.least >= 1
