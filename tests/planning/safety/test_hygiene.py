"""Hands, toppings, cooling, eggs."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.model.lesson import Bake, Variation, Vessel
from classpack.model.method import Placeholder, Step
from classpack.model.safety import PlaceFacts
from classpack.planning.safety import hygiene
from classpack.planning.safety.cautions import fire_method, larder_triggers
from classpack.planning.safety.hygiene import (
    OUT_MIN,
    ColdUse,
    cold_items,
    cold_remarks,
    cooling,
    egg_rule,
    hand_washing_points,
    washing_min,
)
from classpack.quantities import OvenHeat
from classpack.reading.caution_file import package_catalogue
from classpack.reading.larder_file import package_larder

CATALOGUE = package_catalogue()
FACTS = PlaceFacts(ingredients=larder_triggers(package_larder()))


def test_the_projects_limits_lie_inside_every_published_one():
    """SI 2005/2059, Schedule 4 (8 °C, under 4 hours; 63 °C); FDA Food Code 3-501.16 and .19 (41 °F = 5 °C, 135 °F = 57 °C,
    4 hours); Food Standards Australia New Zealand 2-hour / 4-hour rule (5 to 60 °C)."""
    assert min(8, Fraction(41 - 32) * Fraction(5, 9)) >= hygiene.COLD_C
    assert max(63, 60, Fraction(135 - 32) * Fraction(5, 9)) <= hygiene.HOT_C
    assert min(4 * 60, 2 * 60) >= OUT_MIN
    assert (hygiene.UK_COLD_C, hygiene.UK_OUT_MIN, hygiene.US_OUT_MIN) == (8, 240, 240)


def test_hands_are_washed_at_the_start_after_egg_and_before_baked_bread():
    method = (
        Step("weigh", ("Weigh.",)),
        Step("knead", ("Knead.",)),
        Step("glaze", ("Brush with ", Placeholder("egg"))),
        Step("load", ("Slide it in.",)),
        Step("cool", ("Cool.",)),
    )
    points = hand_washing_points(method, fire_method(method, FACTS, CATALOGUE))
    assert [(one.before, one.why) for one in points[:-2]] == [
        (0, "before the first step"),
        (2, "before toppings"),
        (3, "after raw egg"),
    ]
    assert [one.before for one in points[-2:]] == [None, None]


def test_baked_bread_is_touched_with_washed_hands():
    method = (Step("weigh", ("Weigh.",)), Step("knead", ("Knead.",)), Step("cool", ("Cool.",)))
    points = hand_washing_points(method, fire_method(method, FACTS, CATALOGUE))
    assert (points[1].before, points[1].why) == (2, "before baked bread is touched")


def test_cutting_tomatoes_before_the_oven_is_no_touching_of_baked_bread():
    method = (
        Step("knead", ("Knead.",)),
        Step("cut", ("Halve the tomatoes.",)),
        Step("take out", ("Take the tray out.",)),
        Step("cut", ("Slice it.",)),
    )
    points = hand_washing_points(method, fire_method(method, FACTS, CATALOGUE))
    assert [(one.before, one.why) for one in points[:2]] == [
        (0, "before the first step"),
        (3, "before baked bread is touched"),
    ]


@pytest.mark.parametrize(
    ("people", "basins", "minutes"), [(12, 2, 4), (12, 1, 8), (1, 1, 1), (13, 2, 5)]
)
def test_washing_takes_forty_seconds_each(people, basins, minutes):
    assert washing_min(people, basins) == minutes


def uses(*minutes: tuple[int, int]) -> list[ColdUse]:
    return [ColdUse(start, end) for start, end in minutes]


def test_a_topping_worked_by_hand():
    # put on at minute 90 and 110, in the oven at 130 and 150; set out five minutes before: one lot, binned by 205
    (item,) = cold_items("mozzarella", "D", uses((110, 150), (90, 130)))
    assert (item.out_min, item.bin_min, item.used_min) == (85, 205, (90, 110))
    assert (item.station, item.lot, item.lots) == ("D", 1, 1)


def test_two_uses_far_apart_take_two_lots():
    items = cold_items("ham", "B", uses((60, 90), (170, 200)))
    assert [(one.lot, one.lots, one.out_min, one.bin_min) for one in items] == [
        (1, 2, 55, 175),
        (2, 2, 165, 285),
    ]
    (remark,) = cold_remarks(items)
    assert remark.text == (
        "Bring ham out of the fridge in 2 lots at station B, each two hours at most."
    )


def test_a_topping_that_waits_on_the_dough_too_long_is_told():
    (remark,) = cold_remarks(cold_items("ham", "B", uses((30, 200))))
    assert remark.text == (
        "Ham lies on the dough more than two hours before the oven: put it on later, or prove that bread in the fridge."
    )


def test_what_is_mixed_into_a_dough_is_dough_however_long_that_proves():
    (milk,) = cold_items("whole milk", "A", [ColdUse(20, 200, purpose="dough")])
    assert milk.dough_only
    assert cold_remarks([milk]) == ()


@given(st.lists(st.tuples(st.integers(0, 400), st.integers(1, 100)), min_size=1, max_size=12))
def test_nothing_is_out_longer_than_two_hours_and_every_use_is_served(raw):
    asked = uses(*((start, start + wait) for start, wait in raw))
    items = cold_items("cheese", "A", asked)
    served = [use for one in items for use in one.uses]
    assert sorted(served, key=repr) == sorted(asked, key=repr)
    assert [one.lot for one in items] == list(range(1, items[0].lots + 1))
    for one in items:
        assert one.bin_min - one.out_min == OUT_MIN == 120
        assert all(one.out_min <= use.minute for use in one.uses)
        assert all(use.done_min <= one.bin_min for use in one.uses)


def bread(**bake: object) -> Variation:
    heat = OvenHeat(Fraction(220))
    baked = Bake(Fraction(30), heat, (Fraction(210), Fraction(230)), Fraction(12), 2, **bake)  # type: ignore[arg-type]
    return Variation("loaf", "loaf", "loaves", Fraction(820), 1, Vessel("tin"), 1, (), (), baked, 1)


def test_the_lessons_own_cooling_times_hold_and_defaults_are_told():
    own = cooling(bread(carry_after_min=Fraction(25), slice_after_min=Fraction(75)))
    assert (own.carry_min, own.slice_min, own.bag_min, own.assumed) == (25, 75, 75, ())
    loaf = cooling(bread())
    assert (loaf.carry_min, loaf.slice_min, loaf.bag_min) == (20, 60, 60)
    assert loaf.assumed == ("carry after", "slice after")
    roll = cooling(replace(bread(), piece_dough_g=Fraction(80)))
    assert (roll.carry_min, roll.slice_min) == (10, 20)


def test_eggs_follow_the_region_and_raw_dough_is_tasted_nowhere():
    """UK: Food Standards Agency, October 2017. Elsewhere the stricter: cook all."""
    assert egg_rule("UK") == "assured code"
    assert [egg_rule(region) for region in ("EU", "US", "AU")] == ["cook all"] * 3
