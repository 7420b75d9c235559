"""What the night in which the clocks are moved does to a class, and to a dough that stands through it.

When that is, each country's law says; :mod:`classpack.reading.clock_zones` has it from the tz database, and the class day brings it
along. Where a country leaves it to its states (Australia, Canada) nothing is reckoned: the tutor is told.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, replace

from classpack.errors import Remark
from classpack.model.class_day import ClassDay
from classpack.model.clock import LIMITS, ClockChange
from classpack.model.timed_day import DayClocks
from classpack.quantities import show_clock, show_minutes

_DAY_MIN = 24 * 60


# ---------------------------------------------------------------- around a class


@dataclass(frozen=True, slots=True)
class Crossed:
    """A span in which the clocks are moved: the clock shows ``from_min`` at its beginning and ``to_min`` at its end (minutes after
    midnight of the class's day, below 0 a day before), and ``real_min`` pass between them."""

    change: ClockChange
    from_min: int
    to_min: int
    real_min: int


@dataclass(frozen=True, slots=True)
class ClassClock:
    """The clock on the wall around a class. Minutes count as they pass, from the start of the class; below 0 is before it.

    ``change`` is the nearest one, at the minute ``at_min``; None where the clocks are never moved.
    """

    start_min: int
    change: ClockChange | None = None
    at_min: int = 0

    def shows(self, minute: int) -> int:
        """What the clock shows, in minutes after midnight of the class's day. In the class itself it is one that nobody moves."""
        one = self.change
        if one is None or not one.sure or not minute < self.at_min <= 0:
            return self.start_min + minute
        return self.start_min + minute - one.by_min

    def crossed(self, first: int, last: int) -> Crossed | None:
        """What a change before the class does to the span from minute ``first`` to ``last``; None without one."""
        one = self.change
        if one is None or not first < self.at_min <= min(0, last):
            return None
        from_min, to_min = self.shows(first), self.shows(last)
        return Crossed(one, from_min, to_min, to_min - from_min - one.by_min)


def class_clock(day: ClassDay) -> ClassClock:
    """The clock of a class. A start in the hour that comes twice is the first of the two."""
    change, moved_min = _nearest(day)
    if change is None:
        return ClassClock(day.start_min)
    at_min = moved_min - day.start_min
    if at_min <= 0 and change.sure:
        at_min = min(0, at_min + change.by_min)
    return ClassClock(day.start_min, change, at_min)


def _nearest(day: ClassDay) -> tuple[ClockChange | None, int]:
    """The change nearest to the class, and its minute after midnight of the class's day by the clock before it."""
    if not day.clock_changes:
        return None, 0
    one = min(day.clock_changes, key=lambda change: abs(change.date - day.date))
    return one, (one.date - day.date).days * _DAY_MIN + one.at_min


def class_crossed(day: ClassDay) -> Crossed | None:
    """What a change during the class does to it; None without one."""
    change, moved_min = _nearest(day)
    if change is None or not day.start_min < moved_min < day.end_min + (change.by_min < 0):
        return None
    left_out = change.by_min > 0 and day.end_min < moved_min + change.by_min
    real_min = day.end_min - day.start_min - (0 if left_out else change.by_min)
    return Crossed(change, day.start_min, day.end_min, real_min)


def by_one_clock(day: ClassDay) -> ClassDay:
    """The class with the end that a clock shows which nobody moves: what is planned takes the time there really is."""
    one = class_crossed(day)
    if one is None or not one.change.sure:
        return day
    return replace(day, end_min=day.start_min + one.real_min)


# ---------------------------------------------------------------- told


def clock_remarks(day: ClassDay, clocks: DayClocks) -> tuple[Remark, ...]:
    """What the tutor should know of a change in the class, or between switching the ovens on and the class."""
    texts = [*_odd_times(day)]
    if one := class_crossed(day):
        texts.append(_class_text(one))
    first_min = min((one.start_min for _, entries in clocks.ovens for one in entries), default=0)
    on = class_clock(day).crossed(first_min, 0)
    if on and on.change.sure:
        printed = show_clock(day.start_min + first_min)
        texts.append(
            f"{_moved(on.change)}: when the first oven goes on the clock shows {show_clock(on.from_min)}, not {printed} as the sheets say."
        )
    return tuple(Remark("clocks", text) for text in texts)


def mix_remark(name: str, one: Crossed, day: ClassDay) -> Remark:
    """That a preferment stands through the change, with the time it really has."""
    forward = one.change.by_min > 0
    less, earlier = ("less", "earlier") if forward else ("more", "later")
    where = "" if one.change.sure else "where they do, "
    text = (
        f"{_moved(one.change)}: {where}the {name} set at {show_clock(one.from_min)}{_on(one.from_min, day)} has "
        f"{show_minutes(one.real_min)} until {show_clock(one.to_min)}, an hour {less} than the clock says; "
    )
    if not one.change.sure:
        text += f"set it an hour {earlier} there."
    elif one.change.limits == "US":
        text += f"the times to set it count with that, so set it an hour {'later' if forward else 'earlier'} where they do not."
    else:
        text += "the times to set it count with that."
    return Remark("clocks", text)


def _moved(one: ClockChange) -> str:
    limits = f", {LIMITS[one.limits]}" if one.limits else ""
    way = "forward" if one.by_min > 0 else "back"
    return f"The clocks go {way} at {show_clock(one.at_min)} on {one.date}{limits}"


def _on(minute: int, day: ClassDay) -> str:
    days = minute // _DAY_MIN
    return f" on {day.date + datetime.timedelta(days=days)}" if days else ""


def _class_text(one: Crossed) -> str:
    start, end = show_clock(one.from_min), show_clock(one.to_min)
    length = show_minutes(one.real_min)
    if not one.change.sure:
        return (
            f"{_moved(one.change)}: where they do, the class from {start} to {end} is {length}, and the plan takes it for "
            f"{show_minutes(one.to_min - one.from_min)}; go by a clock that nobody moves."
        )
    return (
        f"{_moved(one.change)}, during the class: from {start} to {end} is {length}, and so it is planned. Every printed time goes by "
        f"a clock that nobody moves: keep one so. It shows {show_clock(one.from_min + one.real_min)} at the end of the class."
    )


def _odd_times(day: ClassDay) -> Iterator[str]:
    """A start or an end that no clock shows that night, or that it shows twice."""
    change, moved_min = _nearest(day)
    if change is None:
        return
    low, high = sorted((moved_min, moved_min + change.by_min))
    for name, minute in (("starts", day.start_min), ("ends", day.end_min)):
        if not low <= minute < high:
            continue
        clock = show_clock(minute)
        if change.by_min > 0:
            skipped = f"from {show_clock(low)} to {show_clock(high)}"
            yield f"{_moved(change)}, {skipped}, and the class {name} at {clock}, which there is not; write another time."
        else:
            yield f"{_moved(change)}, and the class {name} at {clock}, which comes twice; the first is meant."
