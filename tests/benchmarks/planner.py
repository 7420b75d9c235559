"""How good and how quick the day planner is. Run from the project: ``python tests/benchmarks/planner.py [--referee]``.

The eight classes with a proven best, then random classes of 4, 12, 24 and 40 people, half of them with toppings and cuts: processor
seconds for the plan, for verdict with remedies (late classes only), and for planning again on the day. With ``--referee`` the small ones are also solved by CP-SAT of
OR-tools, twenty seconds each at most, and the differences are counted.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from classpack.planning.timetable.faults import day_faults
from classpack.planning.timetable.planner import plan_day
from classpack.planning.timetable.remedies import remedies
from classpack.planning.timetable.replan import DayChanges, replan
from classpack.planning.timetable.verdict import explain
from tests.planning.timetable.day_classes import random_class, with_preparing
from tests.run_instances import main as run_instances


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    began = time.process_time()
    value = work()
    return time.process_time() - began, value


def random_classes(people: int, count: int, referee: Any) -> None:
    fits, late, advice, again, differences = [], [], [], [], []
    for seed in range(count):
        problem = random_class(seed, people)
        if seed % 2:
            problem = with_preparing(problem)
        if day_faults(problem):
            continue
        seconds, plan = timed(lambda p=problem: plan_day(p))
        (fits if plan.fits else late).append(seconds)
        if not plan.fits:
            advice.append(timed(lambda p=problem, q=plan: (explain(p, q), remedies(p, q)))[0])
        again.append(timed(lambda p=problem, q=plan: replan(p, q, 120, DayChanges(late_min=10)))[0])
        if referee is not None and people <= 12:
            from day_referee import best_of

            best = best_of(problem, referee, seconds=20)
            if best is not None:
                short = plan_day(problem, unhurried=False)
                differences.append((short.over_proof_min - best[0], short.finish_min - best[1]))
    for name, seconds_of in (
        ("fits", fits),
        ("does not fit", late),
        ("why and what helps", advice),
        ("again on the day", again),
    ):
        if seconds_of:
            print(
                f"{people:>3} people, {name:<19} {len(seconds_of):>3} classes: "
                f"median {median(seconds_of):5.2f} s, longest {max(seconds_of):5.2f} s"
            )
    if differences:
        best_found = sum(difference == (0, 0) for difference in differences)
        worst = max(differences)
        print(
            f"{people:>3} people, against the referee: {best_found} of {len(differences)} the proven best, worst {worst}"
        )


def main() -> None:
    referee = None
    if "--referee" in sys.argv:
        from ortools.sat.python import cp_model

        referee = cp_model
    run_instances(str(Path(__file__).parent.parent / "data" / "schedule-instances.json"))
    for people, count in ((4, 20), (12, 16), (24, 8), (40, 8)):
        random_classes(people, count, referee)


if __name__ == "__main__":
    main()
