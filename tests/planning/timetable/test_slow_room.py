"""The demo classes lived through in a slow room: their margins, and what they stood at before margins were an aim.

Before (the same simulation, same classes, minutes to the end of the class with hands a quarter slower / minutes of over-proof): Saturday
-3 / 13, Sunday -4 / 32, wholemeal -9 / 14, poolish 26 / 4, the German class 13 / 3, one to one -1 / 0. Smallest margins of a proof or a
bowl were 0, 0, 0, 0, 0 and 8 minutes.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from classpack.planning.timetable.slow_room import a_quarter_slower, lived_through, without_reserve
from classpack.planning.timetable.spans import DaySpans
from tests.conftest import DEMOS, planned_demo

QUARTER = Fraction(5, 4)
COLD_OVEN = Fraction(
    23, 20
)  # bakes 15 % longer stand for an oven about 15 degrees cold: common practice, no source
LEAST_MARGIN_MIN = 8


@pytest.fixture(params=DEMOS)
def day(request):
    timed = planned_demo(request.param).plan.timed
    return timed.setting.problem, timed.plan


def test_the_plan_is_lived_through_as_it_is_where_nothing_is_slower(day):
    problem, plan = day
    lived = lived_through(problem, plan)
    assert (lived.finish_min, lived.over_proof_min) == (plan.finish_min, 0)


def test_every_dough_has_a_reserve_in_the_bowl_and_on_the_bench(day):
    problem, plan = day
    spans = DaySpans(problem, plan)
    for s, station in enumerate(problem.stations):
        for i in range(len(station.lots)):
            bulk = plan.shape_starts[s][i] - spans.bulk_start(s)
            assert station.bulk.most - bulk >= LEAST_MARGIN_MIN
            assert -spans.proof_over_min((s, i)) >= LEAST_MARGIN_MIN


def test_a_class_a_quarter_slower_ends_in_time_when_doughs_are_taken_as_they_are_ready(day):
    problem, plan = day
    lived = lived_through(problem, plan, QUARTER, by_the_dough=True)
    assert lived.over_proof_min == 0
    assert lived.finish_min <= problem.class_min


def test_a_class_a_quarter_slower_with_every_proof_at_its_usual_is_never_far_out(day):
    problem, plan = day
    lived = lived_through(problem, plan, QUARTER)
    assert lived.over_proof_min <= 3
    assert lived.finish_min - problem.class_min <= 9


def test_one_oven_15_degrees_cold_makes_no_class_late(day):
    problem, plan = day
    for oven in problem.ovens:
        lived = lived_through(problem, plan, bakes={oven.name: COLD_OVEN})
        assert lived.over_proof_min == 0
        assert lived.finish_min <= problem.class_min


def test_the_run_sheets_line_is_the_day_lived_through(day):
    problem, plan = day
    slow = a_quarter_slower(problem, plan)
    assert slow == lived_through(problem, plan, QUARTER)
    assert slow.spare_min == problem.class_min - slow.finish_min


def test_no_demo_class_is_without_reserve_and_a_tight_one_names_whose_dough(day):
    problem, plan = day
    assert without_reserve(problem, plan) == ()
    tight = replace(
        problem,
        products=tuple(
            replace(one, proof=replace(one.proof, most=one.proof.usual)) for one in problem.products
        ),
    )
    named = {(one.station, one.lot) for one in without_reserve(tight, plan)}
    spans = DaySpans(tight, plan)
    assert named == {
        (s, i)
        for s, station in enumerate(problem.stations)
        for i in range(len(station.lots))
        if not station.tutors and 0 <= -spans.proof_over_min((s, i)) < 5
    }
