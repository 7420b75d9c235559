"""Who is needed in two places at once: toppings, scoring and glazing between the final proof and the oven.

The planner keeps each bench to one thing at a time up to the end of shaping, but it counts what is done to a proved piece as
proof. Where that falls into another bread's shaping or into something for everybody, the tutor is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from classpack.errors import Remark
from classpack.model.class_day import ClassDay
from classpack.model.lesson import Lesson, Variation
from classpack.model.method import WAIT_STAGES, Step
from classpack.model.timed_day import DayClocks, Entry
from classpack.planning.step_minutes import Made, made_by
from classpack.quantities import show_clock


@dataclass(frozen=True, slots=True)
class NeededTwice:
    """``people`` (indexes) have ``steps`` of ``bread`` to do from ``start_min`` to ``end_min`` (minutes from the start of the
    class), while they shape or ready ``other``, or, with ``other`` None, during the event ``event``."""

    start_min: int
    end_min: int
    people: tuple[int, ...]
    bread: Variation
    steps: tuple[Step, ...]
    other: Variation | None
    event: str = ""


def needed_twice(lesson: Lesson, day: ClassDay, clocks: DayClocks) -> tuple[NeededTwice, ...]:
    """Every such clash of the students, by its time."""
    found: list[NeededTwice] = []
    for station, entries in clocks.stations:
        lots = [lot for lot in made_by(lesson, day, station, entries) if _hands_after_proof(lot)]
        for place, lot in enumerate(lots):
            found += _with_entries(lesson, lot, entries)
            found += _with_lots(lot, lots[place + 1 :])
    return tuple(sorted(found, key=lambda one: (one.start_min, one.people)))


def twice_remarks(clashes: Sequence[NeededTwice], day: ClassDay) -> tuple[Remark, ...]:
    """The same as remarks."""
    return tuple(
        Remark(
            "day",
            f"at {show_clock(day.start_min + one.start_min)} {', '.join(day.people[i].seat for i in one.people)} "
            f"{'is' if len(one.people) == 1 else 'are'} needed twice: for the {one.bread.many} on their way into the oven, and "
            f"{f'for the {one.other.many}' if one.other else _event(one.event)}; let a neighbour do one of them",
        )
        for one in clashes
    )


def _event(what: str) -> str:
    return f"for '{what}'" if what != "break" else "for the break"


def _span(lot: Made) -> tuple[int, int, tuple[Step, ...]]:
    """From when to when a lot is readied for the oven, and by which steps of the hands."""
    stages = [step.stage for step in lot.steps]
    first, load = stages.index("final proof") + 1, stages.index("load")
    steps = tuple(step for step in lot.steps[first:load] if step.stage not in WAIT_STAGES)
    return lot.minutes[first], lot.loaded_min, steps


def _hands_after_proof(lot: Made) -> bool:
    stages = [step.stage for step in lot.steps]
    return "final proof" in stages and bool(_span(lot)[2])


def _with_entries(lesson: Lesson, lot: Made, entries: Sequence[Entry]) -> list[NeededTwice]:
    start, end, steps = _span(lot)
    found = []
    for entry in entries:
        if entry.kind not in ("shape", "event") or entry.end_min <= start or entry.start_min >= end:
            continue
        people = lot.people
        if entry.kind == "shape":
            people = tuple(index for index in lot.people if index in entry.people)
        if people:
            other = lesson.variation(entry.variation) if entry.variation else None
            found.append(NeededTwice(start, end, people, lot.bread, steps, other, entry.what))
    return found


def _with_lots(lot: Made, later: Sequence[Made]) -> list[NeededTwice]:
    start, end, steps = _span(lot)
    found = []
    for other in later:
        begins, ends, _ = _span(other)
        people = tuple(index for index in lot.people if index in other.people)
        if people and begins < end and ends > start:
            found.append(
                NeededTwice(max(start, begins), end, people, lot.bread, steps, other.bread)
            )
    return found
