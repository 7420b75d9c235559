"""The temperatures of a finished plan, moved to where the products like it best as far as no start has to change.

The search takes the first temperature that serves; a tutor wants the one the bread wants.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from classpack.model.day import DayPlan, DayProblem, DayProduct, Load
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.spans import DaySpans


def with_wished_heats(problem: DayProblem, plan: DayPlan) -> DayPlan:
    """``plan`` with the loads of an oven that follow each other at one temperature moved together to their wished one."""
    spans = DaySpans(problem, plan)
    for group in _groups(spans):
        wished = _wished_c(spans, group)
        moved = replace(
            plan,
            loads=tuple(
                replace(load, oven_c=wished)
                if load.start_min in _starts(group, load.oven)
                else load
                for load in plan.loads
            ),
        )
        if not check_plan(problem, moved):
            plan = moved
    return plan


def _starts(group: list[Load], oven: int) -> set[int]:
    return {load.start_min for load in group if load.oven == oven}


def _groups(spans: DaySpans) -> list[list[Load]]:
    """Loads of one oven, one after another at the same temperature; what is in an oven already is left alone."""
    groups: list[list[Load]] = []
    for number in range(len(spans.problem.ovens)):
        before: Load | None = None
        for load in spans.plan.loads:
            if load.oven != number or spans.is_begun(load):
                continue
            if before is not None and before.oven_c == load.oven_c:
                groups[-1].append(load)
            else:
                groups.append([load])
            before = load
    return groups


def _wished_c(spans: DaySpans, group: list[Load]) -> int:
    """The mean wish of all lots, in steps of five degrees where the ranges allow, inside every range."""
    products = [spans.product(key) for load in group for key in load.lots]
    low = max(product.oven_low_c for product in products)
    high = min(
        min(product.oven_high_c for product in products), spans.problem.ovens[group[0].oven].max_c
    )
    mean = sum((_wish(product) for product in products), Fraction(0)) / len(products)
    return min(max(round(mean / 5) * 5, low), high)


def _wish(product: DayProduct) -> Fraction:
    if product.oven_best_c is not None:
        return Fraction(product.oven_best_c)
    return Fraction(product.oven_low_c + product.oven_high_c, 2)
