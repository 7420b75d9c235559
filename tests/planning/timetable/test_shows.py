"""Demonstrations just before they are needed: nothing else moves, and no rule is broken."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.day import DayEvent
from classpack.planning.timetable.planner import plan_day
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.shows import with_late_shows
from tests.planning.timetable.day_classes import random_class, small_class


def with_shows(problem):
    shows = tuple(
        DayEvent(f"show: {product.name}", 5, before_product=product.name)
        for product in problem.products
    )
    return replace(problem, events=(*problem.events, *shows), class_min=problem.class_min + 60)


@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 30))
def test_only_talks_move_and_only_later_and_the_break_only_earlier(seed):
    problem = with_shows(random_class(seed, 6))
    plan = plan_day(problem, 200)
    early = replace(plan, event_starts=plan.event_starts)
    late = with_late_shows(problem, early)
    assert check_plan(problem, late) == ()
    assert replace(late, event_starts=plan.event_starts) == plan
    for event, before, after in zip(
        problem.events, plan.event_starts, late.event_starts, strict=True
    ):
        assert after <= before if event.is_break else after >= before


def test_a_break_does_not_part_a_demonstration_from_its_shaping():
    problem = with_shows(small_class(bench_count=2, oven_count=2))
    plan = plan_day(problem, 400)
    shows = [
        start
        for event, start in zip(problem.events, plan.event_starts, strict=True)
        if event.before_product
    ]
    (pause,) = [
        start
        for event, start in zip(problem.events, plan.event_starts, strict=True)
        if event.is_break
    ]
    assert not any(start < pause for start in shows) or pause > max(
        max(row) for row in plan.shape_starts
    )


def test_a_plan_handed_out_has_them_as_late_as_can_be():
    problem = with_shows(small_class(bench_count=2, oven_count=2))
    plan = plan_day(problem, 400)
    assert with_late_shows(problem, plan).event_starts == plan.event_starts
