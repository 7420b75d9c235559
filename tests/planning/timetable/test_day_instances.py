"""The twelve classes with a best plan, eleven of them proven (tests/data/schedule-instances*.json): our plans are near enough, and always the same."""

import json
from pathlib import Path

import pytest

from classpack.planning.timetable.bounds import bounds, fewest_loads
from classpack.planning.timetable.planner import plan_day
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.tables import Tables
from tests.run_instances import problem_of, shortfalls

DATA = Path(__file__).parents[2] / "data"
INSTANCES = json.loads((DATA / "schedule-instances.json").read_text("utf-8"))["instances"]
MORE = json.loads((DATA / "schedule-instances-more.json").read_text("utf-8"))["instances"]
every_instance = pytest.mark.parametrize(
    "instance", [*INSTANCES, *MORE], ids=lambda one: one["name"]
)


@every_instance
def test_the_plan_is_sound_and_near_the_proven_best(instance):
    problem = problem_of(instance)
    plan = plan_day(problem, unhurried=False)
    assert check_plan(problem, plan) == ()
    assert shortfalls(instance, plan) == []
    if instance["optimum"]["over_proof_minutes"] == plan.over_proof_min:
        assert plan.fits == instance["fits"]


@every_instance
def test_no_bound_lies_above_the_proven_best(instance):
    tables = Tables(problem_of(instance))
    best = instance["optimum"]
    assert bounds(tables)[0].finish_min <= best["finish"]
    assert fewest_loads(tables) <= best["loads"]


def test_the_longest_chain_decides_where_one_more_oven_does_not_help():
    # class-03 and class-04 differ in one oven only and have the same proven finish
    for instance in INSTANCES[2:4]:
        (first, *_) = bounds(Tables(problem_of(instance)))
        assert first.text == (
            "the tin loaf of station 0 cannot be ready before minute 233, goodbye included"
        )
        assert first.finish_min == instance["optimum"]["finish"]


def test_the_same_class_gets_the_same_plan():
    problem = problem_of(INSTANCES[5])
    assert plan_day(problem) == plan_day(problem)


def test_a_class_with_time_gets_longer_proofs_than_the_shortest():
    problem = problem_of(INSTANCES[1])
    calm, short = plan_day(problem), plan_day(problem, unhurried=False)
    assert calm.fits
    assert len(calm.shortened) < len(short.shortened)
    assert calm.finish_min >= short.finish_min
