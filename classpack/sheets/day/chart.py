"""The day as a chart: a lane for the tutor, each station and each oven, the clock running down.

A lane is one line of stretches that never overlap: hands before oven before dough, since that is what the eye looks for. How
many lines of words a stretch has room for is worked out here, from the height a page leaves; which words is the template's choice.
"""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from classpack.model.lesson import Lesson
from classpack.model.method import Step
from classpack.model.timed_day import Entry
from classpack.planning.plan.class_plan import ClassPlan

UPRIGHT_LANES = 7
"""More lanes than this turn the page: an A4 page leaves each 62 points then, room for one short word."""
TURNED_LANES = 11
LONGEST_CHART_MIN = 8 * 60
POINTS_HIGH = {False: 520, True: 295}
"""What the lower of the two papers, upright or turned, leaves for the minutes, in points; the printer stretches the chart to the edge."""
POINTS_WIDE = {False: 435, True: 640}
"""What the narrower of the two papers leaves for the lanes."""
WORD_POINTS = Fraction(105, 10)
LINE_POINTS = Fraction(118, 10)
AT_THE_OVENS_MIN = 8
"""Loadings and takings-out no further apart than this are one stretch of the tutor's."""

_LINE = {
    "hands": "hands", "shape": "hands", "prepare": "hands", "clean": "hands", "load": "oven", "rest": "dough", "bulk proof": "dough",
    "final proof": "dough", "chill": "dough", "cool": "dough",
}  # fmt: skip
_FIRST = (
    "hands",
    "shape",
    "prepare",
    "clean",
    "load",
    "rest",
    "bulk proof",
    "chill",
    "final proof",
    "cool",
)
"""What a lane shows where several things go on at once: the first of these."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """One bar of a lane, in minutes after midnight.

    ``what`` is an entry's kind, an event's kind (``welcome``, ``show``, ``talk``, ``break``, ``closing``) or ``ovens``. ``names`` are talks or
    steps (numbers in the base method as text) or what is shown; ``breads`` pieces by variation. ``lines`` of words fit.
    ``changed``: the dial is turned to another temperature than before. ``steps`` are those between final proof and oven.
    """

    start_min: int
    end_min: int
    line: str
    what: str
    names: tuple[str, ...] = ()
    breads: tuple[tuple[str, int], ...] = ()
    oven: str = ""
    dial_c: Fraction | int = 0
    lines: int = 0
    changed: bool = True
    steps: tuple[Step, ...] = ()

    @property
    def pieces(self) -> int:
        """All pieces together."""
        return sum(count for _, count in self.breads)

    @property
    def start(self) -> str:
        return chart_clock(self.start_min)

    @property
    def end(self) -> str:
        return chart_clock(self.end_min)


@dataclass(frozen=True, slots=True)
class Lane:
    """``kind`` is tutor, station or oven; ``names`` several only for stations that do the same at the same times."""

    kind: str
    names: tuple[str, ...]
    shelves: int
    stretches: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class DayChart:
    """One chart. ``start`` and ``end`` as the figure wants them: past midnight the hours go on (``25:30``)."""

    start_min: int
    end_min: int
    lanes: tuple[Lane, ...]
    turned: bool

    @property
    def start(self) -> str:
        return chart_clock(self.start_min)

    @property
    def end(self) -> str:
        return chart_clock(self.end_min)

    def fits(self, words: str, lines: int, bold: bool = False) -> bool:
        """Do these words stand in so many lines of a lane? Measured with the widths of a usual sans serif, a little too wide."""
        if not words:
            return False
        room = (POINTS_WIDE[self.turned] / len(self.lanes) - 11) / WORD_POINTS
        at, used = Fraction(0), 1
        for word in words.split(" "):
            wide = sum(map(_width, word), Fraction(0)) * (Fraction(106, 100) if bold else 1)
            if wide > room:
                return False
            if at and at + wide + _width(" ") > room:
                at, used = wide, used + 1
            else:
                at += wide + (_width(" ") if at else 0)
        return used <= lines


def _width(sign: str) -> Fraction:
    """A sign's width as a share of the type's size."""
    hundredths = (
        22
        if sign in " .,:;'’|il"
        else 34
        if sign in "fjrtI()-/"
        else 83
        if sign in "mwMW%"
        else 64
        if sign.isupper()
        else 54
    )
    return Fraction(hundredths, 100)  # fmt: skip


def chart_clock(minute: int) -> str:
    """Minutes after midnight of the class's day, hours going on past midnight.

    >>> chart_clock(1530)
    '25:30'
    """
    return f"{minute // 60}:{minute % 60:02d}"


def day_charts(plan: ClassPlan, from_min: int | None = None) -> tuple[DayChart, ...]:
    """The day's chart, from ``from_min`` (minutes after midnight) if it is given; two or more when there are more lanes than a
    turned page holds, or more hours than can be read on one."""
    first = plan.day.start_min
    stations = [
        Lane("station", (name,), 0, _named(_station(entries, first), plan.lesson))
        for name, entries in plan.clocks.stations
    ]
    ovens = [
        Lane("oven", (oven.name,), oven.places, _oven(entries, first))
        for oven, (_, entries) in zip(plan.timed.setting.ovens, plan.clocks.ovens, strict=True)
        if entries
    ]
    lanes = [
        Lane("tutor", ("tutor",), 0, _tutor(plan)),
        *(stations if len(stations) + len(ovens) < UPRIGHT_LANES else _paired(stations)),
        *ovens,
    ]
    if from_min is not None:
        lanes = [_from(lane, from_min) for lane in lanes]
        first = from_min
    every = [stretch for lane in lanes for stretch in lane.stretches]
    start = min([first, *(one.start_min for one in every)]) // 10 * 10
    end = ceil(max([plan.day.end_min, *(one.end_min for one in every)]) / 10) * 10
    turned = len(lanes) > UPRIGHT_LANES
    most = TURNED_LANES if turned else UPRIGHT_LANES
    pages = ceil(len(lanes) / most)
    each = ceil(len(lanes) / pages)
    return tuple(
        DayChart(
            begin,
            until,
            tuple(
                _measured(lane, Fraction(POINTS_HIGH[turned], until - begin))
                for lane in _between(lanes[n : n + each], begin, until)
            ),
            turned,
        )
        for begin, until in _windows(start, end)
        for n in range(0, len(lanes), each)
    )


def _windows(start: int, end: int) -> list[tuple[int, int]]:
    """A long day in equal parts, each of which a page can show."""
    parts = ceil((end - start) / LONGEST_CHART_MIN)
    each = ceil((end - start) / parts / 10) * 10
    return [(at, min(at + each, end)) for at in range(start, end, each)]


def _between(lanes: Sequence[Lane], start: int, end: int) -> list[Lane]:
    """What each lane has from ``start`` to ``end``, cut off at both."""
    return [
        dataclasses.replace(
            lane,
            stretches=tuple(
                dataclasses.replace(
                    one, start_min=max(one.start_min, start), end_min=min(one.end_min, end)
                )
                for one in lane.stretches
                if one.start_min < end and one.end_min > start
            ),
        )
        for lane in lanes
    ]


def _paired(lanes: Sequence[Lane]) -> list[Lane]:
    """Stations that do the same at the same times share a lane."""
    found: dict[tuple[Stretch, ...], Lane] = {}
    for lane in lanes:
        same = found.get(lane.stretches)
        names = (*same.names, *lane.names) if same else lane.names
        found[lane.stretches] = dataclasses.replace(lane, names=names)
    return list(found.values())


def _from(lane: Lane, from_min: int) -> Lane:
    """What is left of a lane."""
    left = [one for one in lane.stretches if one.end_min > from_min]
    return dataclasses.replace(
        lane,
        stretches=tuple(
            dataclasses.replace(one, start_min=max(one.start_min, from_min)) for one in left
        ),
    )


def _measured(lane: Lane, points: Fraction) -> Lane:
    return dataclasses.replace(
        lane,
        stretches=tuple(
            dataclasses.replace(
                one,
                lines=floor((one.end_min - one.start_min) * points / LINE_POINTS + Fraction(1, 6)),
            )
            for one in lane.stretches
        ),
    )


def _station(entries: Iterable[Entry], first: int) -> tuple[Stretch, ...]:
    """One line through a station's day: what its hands do, else what is in the oven, else what its dough does."""
    shown = [one for one in entries if one.kind in _LINE and one.end_min > one.start_min]
    edges = sorted({edge for one in shown for edge in (one.start_min, one.end_min)})
    found: list[Stretch] = []
    for start, end in itertools.pairwise(edges):
        now = [one for one in shown if one.start_min <= start and end <= one.end_min]
        if not now:
            continue
        kind = min((one.kind for one in now), key=_FIRST.index)
        here = [one for one in now if one.kind == kind]
        breads = dict.fromkeys((one.variation, one.pieces) for one in here if one.variation)
        names = dict.fromkeys(str(step) for one in here if kind == "hands" for step in one.steps)
        ovens = dict.fromkeys(one.oven for one in here if one.oven)
        new = Stretch(
            first + start, first + end, _LINE[kind], kind, tuple(names), tuple(breads),
            oven=next(iter(ovens)) if len(ovens) == 1 else "",
        )  # fmt: skip
        if found and found[-1].end_min == new.start_min and _one_stretch(found[-1], new):
            new = _joined(found.pop(), new)
        found.append(new)
    return tuple(
        dataclasses.replace(one, breads=_summed(one.breads))
        if one.what in ("shape", "prepare")
        else one
        for one in found
    )


def _named(stretches: Iterable[Stretch], lesson: Lesson) -> tuple[Stretch, ...]:
    """The stretches before an oven with the steps of their breads, each named once."""
    found = []
    for one in stretches:
        if one.what == "prepare":
            every = [step for name, _ in one.breads for step in lesson.variation(name).before_load]
            steps = {(step.head, step.stage): step for step in reversed(every)}
            one = dataclasses.replace(one, steps=tuple(reversed(steps.values())))
        found.append(one)
    return tuple(found)


def _one_stretch(before: Stretch, after: Stretch) -> bool:
    if before.what != after.what:
        return False
    if before.what == "shape":
        return {name for name, _ in before.breads} == {name for name, _ in after.breads}
    same_bread = {name for name, _ in before.breads} == {name for name, _ in after.breads}
    return before.oven == after.oven or before.line != "oven" or same_bread


def _joined(before: Stretch, after: Stretch) -> Stretch:
    breads = (*before.breads, *(one for one in after.breads if one not in before.breads))
    names = (*before.names, *(one for one in after.names if one not in before.names))
    oven = before.oven if before.oven == after.oven else ""
    return dataclasses.replace(before, end_min=after.end_min, breads=breads, names=names, oven=oven)


def _summed(breads: Iterable[tuple[str, int]]) -> tuple[tuple[str, int], ...]:
    found: dict[str, int] = {}
    for name, pieces in breads:
        found[name] = found.get(name, 0) + pieces
    return tuple(found.items())


def _oven(entries: Iterable[Entry], first: int) -> tuple[Stretch, ...]:
    """Heating dotted, loads hollow; everything that goes in together is one stretch."""
    found: list[Stretch] = []
    for one in entries:
        start, end = first + one.start_min, first + one.end_min
        if one.kind in ("switch on", "heat"):
            before = next((s.dial_c for s in reversed(found) if s.what == "load"), 0)
            if end > start:
                found.append(
                    Stretch(start, end, "heating", one.kind, oven=one.oven, dial_c=one.dial_c, changed=one.dial_c != before)
                )  # fmt: skip
        elif found and found[-1].what == "load" and found[-1].start_min == start:
            last = found.pop()
            breads = _summed((*last.breads, (one.variation, one.pieces)))
            found.append(dataclasses.replace(last, end_min=max(end, last.end_min), breads=breads))
        else:
            found.append(
                Stretch(start, end, "oven", "load", breads=((one.variation, one.pieces),), oven=one.oven, dial_c=one.dial_c)
            )  # fmt: skip
    return tuple(found)


def _tutor(plan: ClassPlan) -> tuple[Stretch, ...]:
    """Talks and demonstrations, then the moments at the ovens where nothing is said, and the goodbye."""
    first = plan.day.start_min
    said: list[Stretch] = []
    for one in plan.clocks.tutor:
        if one.kind != "event":
            continue
        what, _, name = one.what.partition(": ")
        new = Stretch(
            first + one.start_min, first + one.end_min, "hands", what, (name,) if name else ()
        )
        if said and said[-1].what == what == "show" and said[-1].end_min == new.start_min:
            new = _joined(said.pop(), new)
        said.append(new)
    closing = ceil(plan.day.closing_min)
    finish = first + plan.timed.plan.finish_min
    if closing:
        said.append(Stretch(finish - closing, finish, "hands", "closing"))
    for one in plan.clocks.tutor:  # the demonstration batch, where nothing is said meanwhile
        start, end = first + one.start_min, first + one.end_min
        busy = any(talk.start_min < end and start < talk.end_min for talk in said)
        if one.station == "tutor" and one.kind in ("hands", "shape", "prepare") and not busy:
            new = Stretch(start, end, "hands", "own dough")
            last = next((talk for talk in said if talk.end_min == start), None)
            if last and last.what == "own dough":
                said.remove(last)
                new = _joined(last, new)
            said.append(new)
    ovens = _at_the_ovens(
        [one for one in plan.clocks.tutor if one.kind in ("load", "take out")], plan, said
    )
    return tuple(sorted((*said, *ovens), key=lambda one: one.start_min))


def _at_the_ovens(
    entries: Iterable[Entry], plan: ClassPlan, said: Sequence[Stretch]
) -> list[Stretch]:
    first = plan.day.start_min
    work = {"load": ceil(plan.day.loading_min), "take out": ceil(plan.day.unloading_min)}
    found: list[Stretch] = []
    for one in sorted(entries, key=lambda one: one.start_min):
        start = first + one.start_min
        end = start + max(1, work[one.kind])
        last = found[-1] if found else None
        if (
            last
            and start - last.end_min <= AT_THE_OVENS_MIN
            and not any(last.start_min < talk.end_min and talk.start_min < end for talk in said)
        ):
            found[-1] = dataclasses.replace(last, end_min=max(end, last.end_min))
        elif not any(talk.start_min < end and start < talk.end_min for talk in said):
            found.append(Stretch(start, end, "hands", "ovens"))
    return found
