"""The night the clocks are moved: on which date, at which hour, and what that does to a dough that stands through it.

The rules, by the law of each place (the hour is that of the clock before it is moved):

* United Kingdom: forward on the last Sunday of March at 1:00, back on the last Sunday of October at 2:00, which is 1:00 GMT both times
  (Summer Time Act 1972, section 1, as amended by the Summer Time Order 2002, SI 2002/262).
* European Union: the same moments, 1:00 GMT, in every member state (Directive 2000/84/EC, articles 2 and 3); so 1:00 and 2:00 in
  western, 2:00 and 3:00 in central, 3:00 and 4:00 in eastern European time. Norway, Switzerland and Liechtenstein keep central
  European time with it.
* United States: forward on the second Sunday of March, back on the first Sunday of November, at 2:00 both times (Energy Policy Act of
  2005, section 110; 15 USC 260a). Hawaii and most of Arizona are exempt.
* New Zealand: forward on the last Sunday of September at 2:00, back on the first Sunday of April at 3:00, which is 2:00 standard time
  both times (New Zealand Daylight Time Order 2007).
* Australia: New South Wales, Victoria, South Australia, Tasmania and the Capital Territory go forward on the first Sunday of October at
  2:00 and back on the first Sunday of April at 3:00 (their own Acts since 2008); Queensland, Western Australia and the Northern
  Territory do not. No file says the state, so nothing is reckoned: the tutor is told.
* Canada: by province, most on the days of the United States; the tutor is told.

A law may change; these are the ones that hold as this is written. Islands that keep another hour (the Canaries, the Azores, the
Chatham Islands, Lord Howe Island) are not known here.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from classpack.errors import Remark
from classpack.model.class_day import ClassDay
from classpack.model.countries import country_code
from classpack.model.kitchen import Kitchen
from classpack.model.timed_day import DayClocks
from classpack.quantities import show_clock, show_minutes

_DAY_MIN = 24 * 60
_LAST = -1
_SUNDAY = 6


@dataclass(frozen=True, slots=True)
class ClockChange:
    """Clocks are moved by ``by_min`` (60 forward, -60 back) on ``date``, ``at_min`` minutes after midnight by the clock before.

    ``limits`` is empty where that holds everywhere in the country, else a key of :data:`LIMITS`.
    """

    date: datetime.date
    at_min: int
    by_min: int
    limits: str = ""

    @property
    def sure(self) -> bool:
        """May times be reckoned with it? Not where it depends on a state that no file names."""
        return self.limits not in UNSURE


LIMITS: Mapping[str, str] = {
    "EU": "in central European time",
    "US": "but not in Hawaii and most of Arizona",
    "AU": "but not in Queensland, Western Australia and the Northern Territory",
    "CA": "but not in every province",
}
UNSURE = ("AU", "CA")


@dataclass(frozen=True, slots=True)
class _Rule:
    """(month, which Sunday of it, hour by the clock before) of going forward and of going back."""

    forward: tuple[int, int, int]
    back: tuple[int, int, int]
    limits: str = ""


def _europe(forward_hour: int, limits: str = "") -> _Rule:
    return _Rule((3, _LAST, forward_hour), (10, _LAST, forward_hour + 1), limits)


_WEST, _CENTRAL, _EAST = _europe(1), _europe(2), _europe(3)
_CENTRAL_COUNTRIES = "AT BE CH CZ DE DK ES FR HR HU IT LI LU MT NL NO PL SE SI SK"
_EASTERN_COUNTRIES = "BG CY EE FI GR LT LV RO"
_UNMOVED_COUNTRIES = "HK IN IS JP KR SG ZA"
_RULES: Mapping[str, _Rule | None] = {
    "GB": _WEST,
    "US": _Rule((3, 2, 2), (11, 1, 2), "US"),
    "CA": _Rule((3, 2, 2), (11, 1, 2), "CA"),
    "NZ": _Rule((9, _LAST, 2), (4, 1, 3)),
    "AU": _Rule((10, 1, 2), (4, 1, 3), "AU"),
    **dict.fromkeys(("IE", "PT"), _WEST),
    **dict.fromkeys(_CENTRAL_COUNTRIES.split(" "), _CENTRAL),
    **dict.fromkeys(_EASTERN_COUNTRIES.split(" "), _EAST),
    **dict.fromkeys(_UNMOVED_COUNTRIES.split(" ")),
}  # fmt: skip
"""By ISO 3166-1 alpha-2 code, for every country a kitchen file may name; None where the clocks are left alone."""
_REGIONS: Mapping[str, _Rule | None] = {
    "UK": _WEST, "EU": _europe(2, "EU"), "US": _RULES["US"], "AU": _RULES["AU"], "NZ": _RULES["NZ"],
}  # fmt: skip
"""Where the kitchen file names no country that is known: by the class file's region."""


def clock_changes(region: str, country: str, year: int) -> tuple[ClockChange, ...]:
    """When the clocks are moved in a year, in the order of the year; none where they never are.

    Args:
        region: the class file's, one of UK, EU, US, AU, NZ.
        country: the kitchen file's, as written there; it comes before the region.

    >>> [(str(one.date), one.at_min // 60, one.by_min) for one in clock_changes("EU", "Germany", 2027)]
    [('2027-03-28', 2, 60), ('2027-10-31', 3, -60)]
    """
    code = country_code(country)
    rule = _RULES[code] if code in _RULES else _REGIONS.get(region)
    if rule is None:
        return ()
    moves = [
        ClockChange(_sunday(year, month, which), hour * 60, by_min, rule.limits)
        for (month, which, hour), by_min in ((rule.forward, 60), (rule.back, -60))
    ]
    return tuple(sorted(moves, key=lambda one: one.date))


def _sunday(year: int, month: int, which: int) -> datetime.date:
    """The first, second ... Sunday of a month, or its last."""
    if which == _LAST:
        last = datetime.date(year + month // 12, month % 12 + 1, 1) - datetime.timedelta(days=1)
        return last - datetime.timedelta(days=(last.weekday() - _SUNDAY) % 7)
    first = datetime.date(year, month, 1)
    return first + datetime.timedelta(days=(_SUNDAY - first.weekday()) % 7 + 7 * (which - 1))


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


def class_clock(day: ClassDay, kitchen: Kitchen) -> ClassClock:
    """The clock of a class. A start in the hour that comes twice is the first of the two."""
    change, moved_min = _nearest(day, kitchen)
    if change is None:
        return ClassClock(day.start_min)
    at_min = moved_min - day.start_min
    if at_min <= 0 and change.sure:
        at_min = min(0, at_min + change.by_min)
    return ClassClock(day.start_min, change, at_min)


def _nearest(day: ClassDay, kitchen: Kitchen) -> tuple[ClockChange | None, int]:
    """The change nearest to the class, and its minute after midnight of the class's day by the clock before it."""
    changes = clock_changes(day.region, kitchen.country, day.date.year)
    if not changes:
        return None, 0
    one = min(changes, key=lambda change: abs(change.date - day.date))
    return one, (one.date - day.date).days * _DAY_MIN + one.at_min


def class_crossed(day: ClassDay, kitchen: Kitchen) -> Crossed | None:
    """What a change during the class does to it; None without one."""
    change, moved_min = _nearest(day, kitchen)
    if change is None or not day.start_min < moved_min < day.end_min + (change.by_min < 0):
        return None
    left_out = change.by_min > 0 and day.end_min < moved_min + change.by_min
    real_min = day.end_min - day.start_min - (0 if left_out else change.by_min)
    return Crossed(change, day.start_min, day.end_min, real_min)


def by_one_clock(day: ClassDay, kitchen: Kitchen) -> ClassDay:
    """The class with the end that a clock shows which nobody moves: what is planned takes the time there really is."""
    one = class_crossed(day, kitchen)
    if one is None or not one.change.sure:
        return day
    return replace(day, end_min=day.start_min + one.real_min)


# ---------------------------------------------------------------- told


def clock_remarks(day: ClassDay, kitchen: Kitchen, clocks: DayClocks) -> tuple[Remark, ...]:
    """What the tutor should know of a change in the class, or between switching the ovens on and the class."""
    texts = [*_odd_times(day, kitchen)]
    if one := class_crossed(day, kitchen):
        texts.append(_class_text(one))
    first_min = min((one.start_min for _, entries in clocks.ovens for one in entries), default=0)
    on = class_clock(day, kitchen).crossed(first_min, 0)
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


def _odd_times(day: ClassDay, kitchen: Kitchen) -> Iterator[str]:
    """A start or an end that no clock shows that night, or that it shows twice."""
    change, moved_min = _nearest(day, kitchen)
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
