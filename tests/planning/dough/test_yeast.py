"""Yeast forms against published conversions; sachets; amounts too small for the scale."""

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.formula import Formula, FormulaLine, Preferment
from classpack.model.larder import YEAST_FORMS, Ingredient, Larder
from classpack.planning.dough.measures import US_TSP_ML
from classpack.planning.dough.yeast import (
    SPREAD,
    US_SACHET_G,
    YeastFactors,
    converted_g,
    converted_spread_g,
    in_sachets,
    least_weighable_g,
    reading_error_percent,
    water_make_up_g,
    ways_out,
)
from classpack.quantities import OZ_G, rounded_to

LARDER = Larder(
    (
        Ingredient("flour", "flour", "dry", frozenset()),
        Ingredient("water", "water", "tap", frozenset()),
        Ingredient("salt", "salt", "dry", frozenset()),
        *(
            Ingredient(f"{form} yeast", "yeast", "dry", frozenset(), yeast_form=form)
            for form in YEAST_FORMS
        ),
    )
)
LEAN = Formula(
    "lean",
    (
        FormulaLine("flour", F(100)),
        FormulaLine("water", F(65)),
        FormulaLine("salt", F(2)),
        FormulaLine("fresh yeast", F(3)),
    ),
    (
        Preferment(
            "sponge",
            "sponge",
            (FormulaLine("flour", F(30)), FormulaLine("water", F(20)), FormulaLine("fresh yeast", F(1))),
            (F(120), F(240)),
            F(22),
        ),
    ),
)  # fmt: skip


@pytest.mark.parametrize(
    ("fresh", "active_dry", "instant"), [("10", "4", "3.3"), ("50", "20", "16.5")]
)
def test_a_web_table_by_hamelmans_factors(fresh, active_dry, instant):
    # Hamelman, Bread (2004), box "Yeast conversions: fresh to dry"; a table of 2010s pages worked from it
    assert converted_g(F(fresh), "fresh", "active dry") == F(active_dry)
    assert converted_g(F(fresh), "fresh", "instant") == F(instant)


@pytest.mark.parametrize(
    ("change", "factor"),
    [
        (("fresh", "active dry"), F(40, 100)),  # Hamelman (2004); how-to page
        (("fresh", "active dry"), F(1, 2)),  # South African craft bakery page; Gisslen, from memory
        (("fresh", "active dry"), F("1.75") / 4),  # US institutional recipe: 4 oz compressed or 1 3/4 oz
        (("fresh", "active dry"), F("0.35")),  # bread.recipes guide
        (("fresh", "active dry"), F("0.370")),  # packer's chart of 2010: 7 g for 2/3 oz cake
        (("fresh", "instant"), F("0.33")),  # Hamelman (2004)
        (("fresh", "instant"), F(1, 3)),  # South African page; German retail 7 g for half a 42 g cube, from memory
        (("fresh", "instant"), F("0.40")),  # bread.recipes guide
        (("fresh", "instant"), F("0.35")),  # Gisslen, from memory; 20 g fresh to 7 g dried: common practice, no source
        (("active dry", "instant"), F(3, 4)),  # USDA school yeast rolls, 1988: 1/3 cup or 1/4 cup
        (("active dry", "instant"), F("0.67")),  # bread-machine manuals: 1 1/2 tsp -> 1
        (("active dry", "instant"), F(1)),  # packer's chart treats all dry yeast alike
    ],
)  # fmt: skip
def test_published_factors_lie_in_the_stated_spread(change, factor):
    least, most = SPREAD[change]
    assert least <= factor <= most
    low, high = converted_spread_g(F(10), *change)
    assert low <= converted_g(F(10), *change) <= high


def test_the_usual_factors_do_not_close_so_one_base_form_is_used():
    # 0.40 x 0.75 = 0.30, ten percent from 0.33; through fresh yeast there is only one answer
    assert F("0.40") * F("0.75") == F("0.30")
    through_active_dry = converted_g(
        converted_g(F(10), "fresh", "active dry"), "active dry", "instant"
    )
    assert through_active_dry == converted_g(F(10), "fresh", "instant") == F("3.3")


def test_a_tutors_own_factor_counts():
    own = YeastFactors(F("0.5"), F("0.35"), "own practice")
    assert (
        converted_g(F(20), "fresh", "instant", own) == 7
    )  # common practice: 20 g fresh, one sachet


def test_water_make_up_is_the_difference_and_not_the_printed_077():
    # a how-to page says to add 0.77 of the fresh weight in water; 1 - 0.33 is 0.67
    assert water_make_up_g(F(100), converted_g(F(100), "fresh", "instant")) == 67


@pytest.mark.parametrize(
    ("grams", "count"), [("7", "1"), ("6.6", "1"), ("3.3", "0.5"), ("14.2", "2"), ("10.3", "1.5")]
)
def test_sachets_and_half_sachets_are_named(grams, count):
    found = in_sachets(F(grams))
    assert found is not None
    assert found.count == F(count)
    assert found.count * 7 == F(grams) * (1 + found.error_percent / 100)


@pytest.mark.parametrize("grams", ["1.2", "4.9", "8.6"])
def test_no_sachet_is_named_far_from_a_half(grams):
    assert in_sachets(F(grams)) is None


def test_the_us_packet():
    # packer's chart and an extension column: 1/4 oz = "7 g" = 2 1/4 tsp; SR28 18375 weighed 7.2 g (3 packets, s.d. 0.173)
    assert rounded_to(US_SACHET_G, F(1, 100)) == F("7.09")
    assert abs(US_SACHET_G - F("7.2")) < F("0.173")


def test_yeast_by_the_spoon_depends_on_the_table():
    # 7 g in 2 1/4 tsp is 3.1 g a teaspoon, SR28 says 4.0 g: 29 % apart
    by_packet, by_usda = 7 / F("2.25"), F("4.0")
    assert rounded_to((by_usda - by_packet) * 100 / by_packet, F(1)) == 29


def test_a_cake_is_two_thirds_of_an_ounce_to_a_packet():
    # packer's chart: 7 g dry = 2/3 oz cake; 14 g = 1 1/3 oz; 0.37 lies in the spread of active dry
    factor = 7 / (OZ_G * 2 / 3)
    assert rounded_to(factor, F(1, 1000)) == F("0.370")


@pytest.mark.parametrize(
    ("grams", "step", "percent"),
    [("2", "1", 25), ("2", "0.1", "2.5"), ("2", "0.01", "0.25"), ("7", "1", "7.1"), ("10", "1", 5)],
)
def test_how_far_off_half_a_scale_step_is(grams, step, percent):
    # arithmetic: half a division over the weight
    assert rounded_to(reading_error_percent(F(grams), F(step)), F(1, 100)) == rounded_to(
        F(step) * 50 / F(grams), F(1, 100)
    )
    assert abs(reading_error_percent(F(grams), F(step)) - F(percent)) < F("0.05")


def test_a_class_three_scale_weighs_nothing_under_twenty_steps():
    # OIML R 76 and NIST Handbook 44, from memory
    assert least_weighable_g(F(1)) == 20
    assert least_weighable_g(F(1, 10)) == 2


def test_too_little_yeast_for_the_scale_says_the_ways_out():
    found = ways_out(F(4), F(1), F(4) / US_TSP_ML)
    assert found is not None
    assert found.sentence("instant yeast") == (
        "4 g instant yeast on a 1 g scale may be wrong by 13 %; weigh it on a 0.1 g scale, or for 5 at once and divide, "
        "or stir 20 g into 180 g of the dough's water and weigh 40 g of that for each, or take about 1 level 5 ml spoon"
    )
    assert found.together * found.portion_g == found.dissolve_g + found.in_water_g
    assert ways_out(F(20), F(1)) is None
    poolish = ways_out(
        F("0.3"), F(1)
    )  # Baker's Percentage Tutorial part 4 (2008): 0.3 g, impossible on a 1 g scale
    assert poolish is not None
    assert poolish.sentence("yeast") == (
        "0.3 g yeast on a 1 g scale may be wrong by 167 %; weigh it on a 0.01 g scale"
    )


forms = st.sampled_from(YEAST_FORMS)
some_grams = st.fractions(min_value=F(1, 100), max_value=5000, max_denominator=1000)


@settings(max_examples=50, deadline=None)
@given(some_grams, forms, forms, forms)
def test_yeast_there_and_back_and_by_any_way_is_exact(grams, a, b, c):
    assert converted_g(converted_g(grams, a, b), b, a) == grams
    assert converted_g(converted_g(grams, a, b), b, c) == converted_g(grams, a, c)


@settings(max_examples=50, deadline=None)
@given(st.fractions(min_value=F(1, 10), max_value=F(19)), st.sampled_from([F(1), F(1, 10), F(5)]))
def test_the_ways_out_can_be_weighed(grams, step):
    found = ways_out(grams, step)
    if found is None:
        assert grams >= 20 * step
    else:
        assert found.together * grams >= least_weighable_g(step)
        assert least_weighable_g(found.finer_step_g) <= grams
        if found.portion_g:
            assert found.portion_g >= least_weighable_g(step)
            assert found.in_water_g > 0
