"""Waits beyond their longest: what a plan may do but should not. Counted, never forbidden, so that an overfull class still
gets a plan and a number to explain."""

from __future__ import annotations

from collections.abc import Iterable

from classpack.model.day import DayPlan, DayProblem
from classpack.model.day_advice import WaitTooLong
from classpack.planning.timetable.spans import DaySpans


def waits(problem: DayProblem, plan: DayPlan) -> tuple[WaitTooLong, ...]:
    """Every wait beyond its longest that could still be changed at ``now_min``, stations in order, then events."""
    reading, found = DaySpans(problem, plan), []

    def count(what: str, station: int | None, lot: int | None, name: str, over_min: int) -> None:
        if over_min > 0:
            found.append(WaitTooLong(what, station, lot, name, over_min))

    for s, station in enumerate(problem.stations):
        spans = reading.steps[s]
        if spans and not spans[0].begun and station.first_step_latest_min is not None:
            count(
                "first step", s, None, spans[0].name, spans[0].start - station.first_step_latest_min
            )
        for step, before, span in zip(station.steps[1:], spans, spans[1:], strict=False):
            if step.wait_most is not None and not span.begun:
                count("rest", s, None, span.name, span.start - before.end - step.wait_most)
        for i, (lot, shaping) in enumerate(zip(station.lots, reading.shapes[s], strict=True)):
            name, load = f"{lot.product} of {station.name}", reading.load_of[(s, i)]
            if not shaping.begun:
                count(
                    "bulk proof",
                    s,
                    i,
                    name,
                    shaping.start - reading.bulk_start(s) - station.bulk.most,
                )
            if not reading.is_begun(load):
                what = "final proof" if lot.bake_left_min is None else "half-baked bread"
                count(what, s, i, name, reading.proof_over_min((s, i)))
    for event, span in zip(problem.events, reading.events, strict=True):
        if event.latest_min is not None and not span.begun:
            count("event", None, None, span.name, span.start - event.latest_min)
    return tuple(found)


def longest_each(found: Iterable[WaitTooLong]) -> tuple[WaitTooLong, ...]:
    """Of each kind of wait of one name only the longest, in the order they first come."""
    longest: dict[tuple[str, str], WaitTooLong] = {}
    for wait in found:
        known = longest.get((wait.what, wait.name))
        if known is None or wait.over_min > known.over_min:
            longest[wait.what, wait.name] = wait
    return tuple(longest.values())
