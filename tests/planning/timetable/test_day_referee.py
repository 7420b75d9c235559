"""Small classes against a solver that proves its answers: CP-SAT of OR-tools (L. Perron and F. Didier, Google)."""

import os

import pytest

from classpack.planning.timetable.bounds import bounds, fewest_loads
from classpack.planning.timetable.planner import plan_day
from classpack.planning.timetable.tables import Tables
from tests.planning.timetable.day_classes import random_class, with_preparing
from tests.planning.timetable.day_referee import best_of

if os.environ.get("CI"):
    from ortools.sat.python import cp_model
else:
    cp_model = pytest.importorskip("ortools.sat.python.cp_model")

CLASSES = [(4, seed) for seed in range(12)] + [(12, seed) for seed in (0, 2, 3, 9, 10, 12, 13)]


PREPARED = [(4, seed) for seed in range(8)] + [(12, seed) for seed in (0, 2, 3)]


@pytest.mark.parametrize(
    ("people", "seed", "prepared"),
    [*((*one, False) for one in CLASSES), *((*one, True) for one in PREPARED)],
)
def test_no_plan_is_better_than_the_referees_and_ours_is_near(people, seed, prepared):
    problem = random_class(seed, people)
    if prepared:
        problem = with_preparing(problem)
    best = best_of(problem, cp_model, seconds=20)
    assert best is not None, "the referee did not prove its answer in time"
    over_proof, finish, loads = best
    plan = plan_day(problem, unhurried=False)
    assert plan.over_wait_min == 0
    assert (plan.over_proof_min, plan.finish_min) >= (over_proof, finish)
    assert plan.over_proof_min <= over_proof + 2
    assert plan.finish_min <= finish + max(5, finish * 3 // 100)
    tables = Tables(problem)
    assert bounds(tables)[0].finish_min <= finish or over_proof > 0
    assert fewest_loads(tables) <= loads
