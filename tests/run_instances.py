"""Plan every instance of a file in the format of ``tests/data/README.md`` and say how good each plan is.

    python tests/run_instances.py tests/data/schedule-instances.json

Prints, per instance: over-proof minutes, finish and loads of our plan, the proven best of each, what the rule checker says,
and the processor seconds it took. Exit status 1 when a plan breaks a rule or is further from the best than accepted: over-proof at most
2 minutes more, finish at most 5 minutes or 3 % later (whichever is more), loads at most one more.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from classpack.model.day import (
    DayEvent,
    DayLot,
    DayOven,
    DayPlan,
    DayPool,
    DayProblem,
    DayProduct,
    DayStation,
    DayStep,
    Window,
)
from classpack.planning.timetable.planner import plan_day
from classpack.planning.timetable.rules import check_plan


def problem_of(instance: dict[str, Any]) -> DayProblem:
    """The instance as a day problem. Taking out needs no time in this format."""
    steps = tuple(
        DayStep(
            step["name"],
            step["minutes"],
            step["wait_minutes"][0],
            step["wait_minutes"][1],
            step["name"] if step["stations_at_once"] else None,
        )
        for step in instance["dough_steps"]
    )
    mixers = [
        DayPool(step["name"], step["stations_at_once"])
        for step in instance["dough_steps"]
        if step["stations_at_once"]
    ]
    products = instance["products"]
    tins = [
        DayPool(f"tins for {name}", product["tins"])
        for name, product in products.items()
        if product["tins"]
    ]
    return DayProblem(
        class_min=instance["class_minutes"],
        closing_min=instance["closing_minutes"],
        stations=tuple(
            DayStation(
                name=f"station {number}",
                steps=steps,
                bulk=Window(*instance["bulk_minutes"]),
                lots=tuple(
                    DayLot(lot["product"], lot["pieces"], products[lot["product"]]["shape_minutes"])
                    for lot in station["lots"]
                ),
                cleanup_min=instance["cleanup_minutes"],
                bulk_began_min=instance["bulk_started_before_class"],
                first_step_latest_min=instance["dough_start_latest"],
            )
            for number, station in enumerate(instance["stations"])
        ),
        products=tuple(
            DayProduct(
                name=name,
                proof=Window(*product["proof_minutes"]),
                bake_min=product["bake_minutes"],
                oven_low_c=product["oven_celsius"][0],
                oven_high_c=product["oven_celsius"][1],
                cool_min=product["cool_minutes"],
                pieces_per_place=product["pieces_per_place"],
                pool=f"tins for {name}" if product["tins"] else None,
            )
            for name, product in products.items()
        ),
        ovens=tuple(
            DayOven(
                name=oven["name"],
                places=oven["places"],
                max_c=oven["max_celsius"],
                up_per_10_c=oven["minutes_per_10_up"],
                down_per_10_c=oven["minutes_per_10_down"],
                between_loads_min=oven["minutes_between_loads"],
                on_before_min=instance["ovens_on_before_minutes"],
            )
            for oven in instance["ovens"]
        ),
        events=tuple(_event(event) for event in instance["events"]),
        pools=(*mixers, *tins),
        assistants=instance["assistants"],
        loading_min=instance["loading_minutes"],
        unloading_min=0,
    )


def _event(event: dict[str, Any]) -> DayEvent:
    before = event["before"] or ""
    product = before.removeprefix("shape:") if before.startswith("shape:") else None
    return DayEvent(
        name=event["name"],
        minutes=event["minutes"],
        after_step=event["after"],
        before_step=None if product else event["before"],
        before_product=product,
        earliest_min=event["earliest_start"] or 0,
        latest_min=event["latest_start"],
        needs_tutor=event["needs_tutor"],
        is_break=event["name"] == "break",
    )


def shortfalls(instance: dict[str, Any], plan: DayPlan) -> list[str]:
    """Where ``plan`` is not good enough for ``instance``; empty when it is accepted."""
    best = instance["optimum"]
    finish_most = best["finish"] + max(5, best["finish"] * 3 // 100)
    most_loads = max(
        sum(load.oven == number for load in plan.loads) for number in range(len(instance["ovens"]))
    )
    checks = (
        (plan.over_wait_min == 0, "a wait is too long"),
        (plan.over_proof_min <= best["over_proof_minutes"] + 2, "too much over-proof"),
        (plan.finish_min <= finish_most, "too late"),
        (len(plan.loads) <= best["loads"] + 1, "too many loads"),
        (plan.finish_min <= instance["horizon_minutes"], "beyond the horizon"),
        (most_loads <= instance["max_loads_per_oven"], "too many loads of one oven"),
    )
    return [wrong for kept, wrong in checks if not kept]


def main(path: str) -> int:
    instances = json.loads(Path(path).read_text("utf-8"))["instances"]
    print(
        f"{'instance':<12}{'over-proof':>12}{'finish':>14}{'loads':>10}{'checker':>10}{'seconds':>9}"
    )
    bad = 0
    for instance in instances:
        problem, best = problem_of(instance), instance["optimum"]
        began = time.process_time()
        plan = plan_day(problem, unhurried=False)
        seconds = time.process_time() - began
        broken = check_plan(problem, plan)
        wrong = shortfalls(instance, plan)
        over = f"{plan.over_proof_min} (best {best['over_proof_minutes']})"
        finish = f"{plan.finish_min} (best {best['finish']})"
        loads = f"{len(plan.loads)} (best {best['loads']})"
        print(
            f"{instance['name']:<12}{over:>12}{finish:>16}{loads:>12}"
            f"{'sound' if not broken else 'BROKEN':>8}{seconds:>8.2f}  {'; '.join([*broken, *wrong])}"
        )
        bad += bool(broken or wrong)
    print(f"{len(instances) - bad} of {len(instances)} accepted")
    return 1 if bad else 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        print("say which file: python tests/run_instances.py FILE", file=sys.stderr)
        raise SystemExit(2)
    raise SystemExit(main(sys.argv[1]))
