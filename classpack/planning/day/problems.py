"""A day that cannot be planned, told at the lines a tutor can change: an oven's or a tin's in the kitchen file, a time's or a person's
in the class file, a bread's in the lesson."""

from __future__ import annotations

from collections.abc import Iterable

from classpack.errors import Problem, Spot
from classpack.model.class_day import ClassDay
from classpack.model.day import DayPlan, DayProblem
from classpack.model.kitchen import Kitchen
from classpack.model.lesson import Lesson
from classpack.planning.day.setting import hottest_c
from classpack.planning.timetable.faults import LONGEST_DAY_MIN, DayFault
from classpack.planning.timetable.remedies import remedies

TALK = "talk: "
SHOW = "show: "
BREAK = "break: "


def day_problems(
    faults: Iterable[DayFault],
    lesson: Lesson,
    day: ClassDay,
    kitchen: Kitchen,
    what: str = "the day",
) -> list[Problem]:
    """Each fault with its place in a file, once. ``what`` cannot be planned: the day, or the rest of it."""
    said = {
        Problem(
            _spot(fault.path, lesson, day, kitchen),
            f"{what} cannot be planned: {fault.wrong}",
            fault.right,
        ): None
        for fault in faults
    }
    return list(said)


def endless(plan: DayPlan) -> tuple[DayFault, ...]:
    """The fault of a plan that no clock of one day can show, if it is one."""
    if plan.finish_min <= LONGEST_DAY_MIN:
        return ()
    hours = -(-plan.finish_min // 60)
    return (
        DayFault(
            ("work",),
            f"everything would be done {hours} hours after the start",
            "make fewer pieces, or divide the class into two",
        ),
    )


LATE_MOST_MIN = 30
"""A class that ends later than this over its time is no plan: the project's choice."""
WAYS_OUT = 3


def too_late(problem: DayProblem, plan: DayPlan, day: ClassDay) -> list[Problem]:
    """A class that ends more than half an hour late, unless the class file accepts that; with what was tried and would help most."""
    if day.late_accepted or plan.spare_min >= -LATE_MOST_MIN:
        return []
    ways = [remedy.text.rstrip(".") for remedy in remedies(problem, plan)[:WAYS_OUT]]
    end = day.start_min + plan.finish_min
    return [
        Problem(
            day.time_spot("end") or day.spot or Spot(day.file, 1),
            f"the class would end at {end // 60 % 24}:{end % 60:02d}, {-plan.spare_min} min late",
            "; ".join([*ways, "or write 'late: is accepted', and the pack is made as it is"]),
        )
    ]


def _spot(path: tuple[str, ...], lesson: Lesson, day: ClassDay, kitchen: Kitchen) -> Spot:
    """The nearest line: that of the thing itself, else of the file that holds it."""
    kind, name = path[0], path[1] if len(path) > 1 else ""
    found: Spot | None = None
    if kind == "class":
        found = day.time_spot(name)
    elif kind == "events":
        found = _event_spot(name, lesson, day)
    elif kind == "kit":
        found = next((tin.spot for tin in kitchen.tins if tin.name == name), None)
        found = found or _kitchen_spot(kitchen)
    elif kind == "ovens" or (kind == "stations" and len(path) > 2):
        # what a station bakes and no oven takes is told at the hottest oven
        hottest = max(kitchen.ovens, key=hottest_c, default=None)
        named = next((oven for oven in kitchen.ovens if oven.name == name), hottest)
        found = (named.spot if named else None) or _kitchen_spot(kitchen)
    elif kind == "products":
        found = next((one.spot for one in lesson.variations if one.name == name), None)
    elif kind in ("stations", "work"):
        found = _makers_spot(name, day)
    return found or day.spot or Spot(day.file, 1)


def _kitchen_spot(kitchen: Kitchen) -> Spot:
    return kitchen.spot or Spot(kitchen.file, 1)


def _event_spot(name: str, lesson: Lesson, day: ClassDay) -> Spot | None:
    if name.startswith(TALK):
        return lesson.spot_of_talk(name.removeprefix(TALK))
    if name.startswith(SHOW):
        shown = name.removeprefix(SHOW)
        bread = next((one for one in lesson.variations if one.name == shown), None)
        return bread.spot if bread else lesson.base.spot
    if name.startswith(BREAK):
        return next((one.spot for one in day.breaks if name == BREAK + one.name), None)
    return day.time_spot(name)


def _makers_spot(station: str, day: ClassDay) -> Spot | None:
    """Whoever makes most there, or in the whole class."""
    people = [one for one in day.people if not station or one.station == station]
    most = max(people, key=lambda one: sum(making.pieces for making in one.makes), default=None)
    return most.spot if most else None
