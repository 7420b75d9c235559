"""Demonstrations of a finished plan, moved to just before the shaping they are for, as far as nothing else has to change.

The search places a demonstration as soon as hands are free, often an hour before anybody needs it; by then it is forgotten.
"""

from __future__ import annotations

from dataclasses import replace

from classpack.model.day import DayPlan, DayProblem
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.spans import DaySpans


def with_late_shows(problem: DayProblem, plan: DayPlan) -> DayPlan:
    """``plan`` with each event that belongs before a product's shaping as late as the other starts leave room for it.

    The last needed goes first, so that those needed earlier stand before it. A break that parts a demonstration from its shaping
    goes before it, if it can. What has begun is left alone.
    """
    plan = _late_shows(problem, plan)
    for number, event in enumerate(problem.events):
        if event.is_break and not _begun(problem, number):
            shown = [
                start
                for other, start in zip(problem.events, plan.event_starts, strict=True)
                if other.before_product is not None and start < plan.event_starts[number]
            ]
            if shown:
                plan = _late_shows(problem, _before(problem, plan, number, min(shown)))
    return plan


def _begun(problem: DayProblem, number: int) -> bool:
    return problem.begun is not None and problem.begun.events[number] is not None


def _before(problem: DayProblem, plan: DayPlan, number: int, first: int) -> DayPlan:
    """``plan`` with the break at ``first``, the talks from then on after it and the demonstrations last, if that breaks no rule."""
    starts = list(plan.event_starts)
    between = sorted(
        (event.before_product is not None, start, other)
        for other, (event, start) in enumerate(zip(problem.events, starts, strict=True))
        if first <= start < starts[number]
    )
    starts[number] = first
    at = first + problem.events[number].minutes
    for _, _, other in between:
        starts[other], at = at, at + problem.events[other].minutes
    moved = replace(plan, event_starts=tuple(starts))
    return plan if check_plan(problem, moved) else moved


def _late_shows(problem: DayProblem, plan: DayPlan) -> DayPlan:
    """The demonstrations moved, the break where it is."""
    wanted = []
    for number, event in enumerate(problem.events):
        if event.before_product is None or _begun(problem, number):
            continue
        first = min(
            (
                start
                for station, starts in zip(problem.stations, plan.shape_starts, strict=True)
                for lot, start in zip(station.lots, starts, strict=True)
                if lot.product == event.before_product
            ),
            default=None,
        )
        if first is not None:
            wanted.append((first, number))
    for first, number in sorted(wanted, reverse=True):
        moved = _moved(problem, plan, number, first)
        if moved is not plan and not check_plan(problem, moved):
            plan = moved
    return plan


def _moved(problem: DayProblem, plan: DayPlan, number: int, before: int) -> DayPlan:
    event, now = problem.events[number], plan.event_starts[number]
    latest = before - event.minutes
    if event.latest_min is not None:
        latest = min(latest, event.latest_min)
    busy = _busy(problem, plan, number)
    start = latest
    while start > now:
        meets = [(a, b) for a, b in busy if a < start + event.minutes and start < b]
        if not meets:
            starts = list(plan.event_starts)
            starts[number] = start
            return replace(plan, event_starts=tuple(starts))
        start = min(a for a, _ in meets) - event.minutes
    return plan


def _busy(problem: DayProblem, plan: DayPlan, number: int) -> list[tuple[int, int]]:
    """When nobody can watch or the tutor cannot show: hands, other events, and the loader's minutes if the tutor loads."""
    spans = DaySpans(problem, plan)
    busy = [(s.start, s.end) for at in range(len(problem.stations)) for s in spans.hands(at)]
    busy += [(s.start, s.end) for other, s in enumerate(spans.events) if other != number]
    if problem.events[number].needs_tutor and not problem.assistants:
        for load in plan.loads:
            busy.append((load.start_min, load.start_min + problem.loading_min))
            outs = {spans.out_min(key) for key in load.lots}
            busy += [(out, out + problem.unloading_min) for out in outs]
    return busy
