"""Before and after: what is weighed ahead, when a preferment is mixed, the fridge's two hours, what is left."""

import datetime
from dataclasses import replace
from fractions import Fraction

import pytest

from classpack.model.clock import ClockChange
from classpack.planning.day.clock_change import ClassClock
from classpack.planning.safety.hygiene import OUT_MIN
from classpack.planning.setting_up.prep_ahead import _mix_min, prep_ahead
from classpack.planning.setting_up.weigh_out import weigh_out
from classpack.quantities import show_clock
from tests.planning.made_up_classes import CLASSES, shipped


def prep(plan):
    return prep_ahead(plan, weigh_out(plan))


@pytest.mark.parametrize("name", CLASSES)
def test_everything_weighed_is_ahead_that_morning_or_cold_and_once(name):
    plan = shipped(name)
    found = prep(plan)
    groups = (*found.weigh_ahead, *found.that_morning, *found.keep_cold)
    weighed = [one.ingredient for turn in weigh_out(plan).turns for one in turn.ingredients]
    assert sorted(groups) == sorted(weighed)
    for cold in found.keep_cold:
        assert plan.larder[cold].storage != "ambient"


@pytest.mark.parametrize("name", CLASSES)
def test_what_is_chilled_is_used_within_two_hours_of_the_fridge(name):
    found = prep(shipped(name))
    assert {one.ingredient for one in found.cold} == set(found.keep_cold)
    for one in found.cold:
        assert one.bin_min - one.out_min == OUT_MIN == 120
        assert all(one.out_min <= minute <= one.bin_min for minute in one.used_min)


def test_opened_jars_and_fresh_things_are_not_weighed_the_day_before():
    found = prep(shipped("saturday-twelve"))
    assert set(found.that_morning) == {"cherry tomatoes", "tomato passata"}
    assert "strong white flour" in found.weigh_ahead
    assert "instant yeast" in found.weigh_ahead


def test_the_toppings_of_the_saturday_class_by_its_clock():
    """The prep sheet takes mozzarella out of the fridge at the minute the station sheet does, five minutes before it goes on."""
    plan = shipped("saturday-twelve")
    cold = {one.ingredient: one for one in prep(plan).cold}
    loads = [
        entry.start_min
        for entry in plan.clocks.station("D")
        if entry.kind == "load" and entry.variation == "pizza"
    ]
    (at_bench,) = (one for one in plan.safety.station("D").cold if one.ingredient == "mozzarella")
    assert cold["mozzarella"].used_min[0] == at_bench.used_min[0] == min(loads) - 3
    assert cold["mozzarella"].out_min == at_bench.out_min == min(loads) - 8
    assert max(loads) <= cold["mozzarella"].bin_min


def test_a_sponge_is_ripe_for_the_first_and_the_last_dough():
    plan = shipped("wholemeal-six")
    (sponge,) = prep(plan).preferments
    low, high = sponge.ripe_min
    assert (low, high) == (180, 300)
    for use in (sponge.first_min, sponge.last_min):
        for mix in (sponge.from_min, sponge.mix_min, sponge.until_min):
            assert low <= use - mix <= high
    assert sponge.mixed_g == plan.unit("sponge").dough_g
    assert sponge.culture_g == 0


def test_a_preferment_that_cannot_wait_for_everybody_is_told():
    plan = shipped("wholemeal-six")
    formula = plan.lesson.base.formula
    short = replace(formula.preferments[0], ripe_min=(Fraction(180), Fraction(181)))
    lesson = replace(
        plan.lesson, base=replace(plan.lesson.base, formula=replace(formula, preferments=(short,)))
    )
    found = prep(replace(plan, lesson=lesson))
    (sponge,) = found.preferments
    assert sponge.from_min > sponge.until_min
    gap = sponge.last_min - sponge.first_min
    assert str(found.remarks[0]) == (
        f"remark (prep): The sponge is used over {gap} min, longer than it stays ripe: mix it in two goes, the second {gap - 1} min "
        "after the first, or keep the second half of it in the fridge."
    )


def test_left_overs_say_how_long_they_keep():
    plan = shipped("saturday-twelve")
    found = {one.ingredient: one for one in prep(plan).left_overs}
    assert found["mozzarella"].soon
    assert found["mozzarella"].freezes
    assert not found["egg"].freezes
    assert found["tomato passata"].storage == "chilled"  # an opened jar
    assert not found["strong white flour"].soon
    for one in plan.basket.lines:
        assert (one.ingredient in found) == (one.left > 0)


@pytest.mark.parametrize(
    ("earliest", "latest", "start_min", "clock"),
    [
        (-600, -300, 600, "02:30"),  # all of it by night: the middle
        (-600, -180, 600, "06:30"),  # until seven: as near the middle as the morning allows
        (-900, -500, 600, "22:00"),  # 19:00 to 01:40, whose middle is 22:20
        (-240, -120, 600, "07:00"),
        (-3, -1, 600, "09:59"),  # no five minutes in it
        # biga ripe in about 13 to 16 h at 70 °F (US mill sheets) for 10:30: 18:30 to 21:30 the day before
        (-960, -780, 630, "20:00"),
    ],
)
def test_nobody_is_called_out_at_night_for_a_preferment_that_can_wait(
    earliest, latest, start_min, clock
):
    found = _mix_min(earliest, latest, ClassClock(start_min))
    assert show_clock((start_min + found) % 1440) == clock


def test_by_day_is_by_the_clock_of_the_night_it_is_moved():
    """Ten at night by the clock before it goes forward is eleven by the one after."""
    change = ClockChange(datetime.date(2027, 3, 28), 60, 60)
    clock = ClassClock(600, change, -480)
    assert show_clock(clock.shows(_mix_min(-900, -500, clock))) == "21:20"
    assert show_clock(clock.shows(_mix_min(-780, -300, clock))) == "22:00"
