"""The tutor's day, minute by minute: who does what, what to say, what to watch for.

Stations that do the same at the same time share a row; everything that goes into or comes out of one oven together is one row.
What is taught while dough waits is put where the tutor's own hands and voice are free.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.model.lesson import Talk, Variation
from classpack.model.method import Demonstration, Step
from classpack.model.timed_day import Entry
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.day.fridge_rows import FromFridge, by_minute
from classpack.sheets.day.lots import LotLine, by_bread, lot_line, ready
from classpack.sheets.stations.station_sheet import shown

ROW_KINDS = (
    "welcome", "safety talk", "talk", "show", "step", "own dough", "rest", "bulk proof", "break", "take out", "switch off", "switch on",
    "dial", "fridge", "shape", "chill", "prepare", "load", "meanwhile", "clean", "into fridge", "closing", "end",
)  # fmt: skip
"""Rows that begin in the same minute come in this order: bread comes out before other bread goes in."""
POINT_MIN = 2
"""A teaching point takes about two minutes to make: the project's choice."""


@dataclass(frozen=True, slots=True)
class Until:
    """When some stations begin and end what the row is about, and the latest minute it may end. Minutes after midnight."""

    stations: tuple[str, ...]
    start_min: int
    end_min: int
    latest_min: int | None = None


@dataclass(frozen=True, slots=True)
class Point:
    """A teaching point: of a bread, or of a talk (``bread`` None) that was not given a time of its own."""

    bread: Variation | None
    text: str
    talk: Talk | None = None


@dataclass(frozen=True, slots=True)
class RunRow:
    """One row, in minutes after midnight.

    ``who``: ``all``, ``tutor``, ``dough``, ``oven`` or ``stations``; then ``stations`` names them. ``steps`` are what hands do or, for a
    demonstration, what is shown. ``next_dial_c``: what the dial is turned to once this load is out (0: as it is); ``last``: nothing more bakes in it. ``clash``:
    the talk or demonstration during which this bread comes out. ``cues``: what shows that it is time, of each
    bread that no earlier row of this kind had. ``fridge``: what is taken out of it in this minute. ``called``: a break's own name.
    """

    kind: str
    start_min: int
    end_min: int
    who: str
    line: str
    stations: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    bread: Variation | None = None
    lots: tuple[LotLine, ...] = ()
    untils: tuple[Until, ...] = ()
    demonstration: Demonstration | None = None
    talk: Talk | None = None
    points: tuple[Point, ...] = ()
    fridge: tuple[FromFridge, ...] = ()
    oven: str = ""
    dial_c: Fraction | int = 0
    next_dial_c: Fraction | int = 0
    last: bool = False
    clash: str = ""
    cues: tuple[tuple[Variation, str], ...] = ()
    new_hour: bool = False
    called: str = ""

    @property
    def latest_min(self) -> int | None:
        """The latest minute everything of a load may go in: that of its first lot to be ready, the tutor's own aside."""
        students = [lot for lot in self.lots if lot.owners] or self.lots
        return min((lot.latest_min for lot in students if lot.latest_min is not None), default=None)

    @property
    def by_bread(self) -> tuple[tuple[Variation, int], ...]:
        """All pieces of each bread together."""
        return tuple(
            (bread, sum(lot.pieces for lot in lots)) for bread, lots in by_bread(self.lots)
        )

    @property
    def tutor_steam(self) -> bool:
        """Does the tutor pour water for steam at this load?"""
        return any(lot.bread.bake.steam == "tutor pours" for lot in self.lots)


def day_rows(plan: ClassPlan, from_min: int | None = None) -> tuple[RunRow, ...]:
    """All rows of the day in the order of the clock, or those that are not over at ``from_min`` (minutes after midnight)."""
    rows = [
        *_events(plan),
        *_steps(plan),
        *_rests(plan),
        *_shapes(plan),
        *_prepares(plan),
        *_own_dough(plan),
        *_fridge(plan),
        *_into_fridge(plan),
        *_cleans(plan, from_min),
        *_ovens(plan),
        *_end(plan),
    ]
    rows += _points(plan, rows)
    rows.sort(key=lambda row: (row.start_min, ROW_KINDS.index(row.kind), row.stations, row.oven))
    return tuple(
        with_cues(
            [r for r in rows if from_min is None or max(r.end_min, r.start_min + 1) > from_min]
        )
    )


def talks_without_time(plan: ClassPlan) -> tuple[Talk, ...]:
    """Talks the plan gives no time of its own: those for the final proof. They are told where there is room."""
    timed = {one.what.removeprefix("talk: ") for one in plan.clocks.tutor if one.kind == "event"}
    return tuple(one for one in plan.lesson.talks if one.name not in timed)


def students(plan: ClassPlan) -> tuple[tuple[str, Entry], ...]:
    """Every entry of every station of students, with the station's name."""
    return tuple((name, one) for name, entries in plan.clocks.stations for one in entries)


# ---------------------------------------------------------------- everybody, and each bench


def _events(plan: ClassPlan) -> Iterable[RunRow]:
    talks = {one.name: one for one in plan.lesson.talks}
    for one in plan.clocks.tutor:
        if one.kind != "event":
            continue
        kind, _, name = one.what.partition(": ")
        start, end = plan.timed.clock(one.start_min), plan.timed.clock(one.end_min)
        if kind == "show":
            bread, steps = shown(plan, name)
            said = bread.demonstration if bread else steps[0].demonstration
            yield RunRow(
                kind, start, end, "tutor", "none", steps=steps, bread=bread, demonstration=said
            )
        else:
            yield RunRow(
                kind, start, end, "all", "none", talk=talks.get(name),
                called=name if kind == "break" else "",
            )  # fmt: skip


def _steps(plan: ClassPlan) -> Iterable[RunRow]:
    """Hands-on steps of the base dough, one row for the stations that do one together."""
    base = plan.lesson.base.method
    found: dict[tuple[int, int, tuple[int, ...]], list[str]] = {}
    for name, one in students(plan):
        if one.kind == "hands":
            found.setdefault((one.start_min, one.end_min, one.steps), []).append(name)
    for (start, end, numbers), names in found.items():
        yield RunRow(
            "step", plan.timed.clock(start), plan.timed.clock(end), _all_or(plan, names), "hands",
            stations=tuple(names), steps=tuple(base[n] for n in numbers),
        )  # fmt: skip


def _rests(plan: ClassPlan) -> Iterable[RunRow]:
    """Rests and the bulk proof: a row for each minute they begin, with how long each station's lasts."""
    base = plan.lesson.base.method
    found: dict[tuple[str, int, tuple[int, ...]], dict[tuple[int, int | None], list[str]]] = {}
    for name, one in students(plan):
        if one.kind in ("rest", "bulk proof") and one.end_min > one.start_min:
            ends = found.setdefault((one.kind, one.start_min, one.steps), {})
            ends.setdefault((one.end_min, one.latest_min), []).append(name)
    first = {numbers: start for _, start, numbers in sorted(found, key=lambda key: -key[1])}
    for (kind, start, numbers), ends in found.items():
        untils = tuple(
            Until(tuple(names), plan.timed.clock(start), plan.timed.clock(end), None if latest is None else plan.timed.clock(latest))
            for (end, latest), names in sorted(ends.items(), key=lambda item: item[0][0])
        )  # fmt: skip
        names = [name for until in untils for name in until.stations]
        steps = tuple(base[n] for n in numbers)
        yield RunRow(
            kind, plan.timed.clock(start), max(one.end_min for one in untils), "dough", "dough",
            stations=() if _all_or(plan, names) == "all" else tuple(names), steps=steps, untils=untils,
            points=tuple(
                Point(None, step.meanwhile)
                for step in steps
                if step.meanwhile and first[numbers] == start
            ),
        )  # fmt: skip


def _shapes(plan: ClassPlan) -> Iterable[RunRow]:
    """Shaping, one row for the stations that shape the same bread in the same minutes."""
    latest = _latest(plan)
    found: dict[tuple[int, int, str], list[LotLine]] = {}
    for _, one in students(plan):
        if one.kind == "shape":
            key = (one.start_min, one.end_min, one.variation)
            found.setdefault(key, []).append(
                lot_line(plan, one, latest.get((one.station, one.lot)))
            )
    for (start, end, name), lots in found.items():
        bread = plan.lesson.variation(name)
        yield RunRow(
            "shape", plan.timed.clock(start), plan.timed.clock(end), "stations", "hands",
            stations=tuple(dict.fromkeys(lot.station for lot in lots)), bread=bread, lots=tuple(lots),
            steps=bread.before_proof,
        )  # fmt: skip


def _prepares(plan: ClassPlan) -> Iterable[RunRow]:
    """What is done between proof and oven, and what waits in the fridge: one row for the stations that do it to one bread in the
    same minutes."""
    latest = _latest(plan)
    found: dict[tuple[str, bool, int, int, str], list[LotLine]] = {}
    own = [("tutor", one) for one in plan.clocks.tutor if one.station == "tutor"]
    for station, one in (*students(plan), *own):
        if one.kind == "chill" or (one.kind == "prepare" and station != "tutor"):
            lot = lot_line(plan, one, latest.get((one.station, one.lot)))
            key = (one.kind, station == "tutor", one.start_min, one.end_min, one.variation)
            found.setdefault(key, []).append(lot)
    for (kind, own_lot, start, end, name), lots in found.items():
        bread = plan.lesson.variation(name)
        yield RunRow(
            kind, plan.timed.clock(start), plan.timed.clock(end), "tutor" if own_lot else "stations",
            "hands" if kind == "prepare" else "dough",
            stations=tuple(dict.fromkeys(lot.station for lot in lots)), bread=bread, lots=tuple(lots),
            steps=bread.before_load if kind == "prepare" else (),
        )  # fmt: skip


def _latest(plan: ClassPlan) -> dict[tuple[str, int], int | None]:
    """The latest minute each lot may go into the oven."""
    every = [one for _, one in students(plan)]
    every += [one for one in plan.clocks.tutor if one.station == "tutor"]
    return {(one.station, one.lot): one.latest_min for one in every if one.kind == "final proof"}


def _own_dough(plan: ClassPlan) -> Iterable[RunRow]:
    """The demonstration batch; steps that follow each other at once are one row."""
    base = plan.lesson.base.method
    rows: list[RunRow] = []
    for one in plan.clocks.tutor:
        if one.station != "tutor" or one.kind not in ("hands", "shape", "prepare"):
            continue
        steps = tuple(base[n] for n in one.steps)
        bread = plan.lesson.variation(one.variation) if one.variation else None
        if bread is not None and one.kind == "prepare":
            steps = bread.before_load
        start, end = plan.timed.clock(one.start_min), plan.timed.clock(one.end_min)
        if rows and bread is None and rows[-1].end_min == start:
            before = rows.pop()
            start, steps = before.start_min, (*before.steps, *steps)
        rows.append(RunRow("own dough", start, end, "tutor", "hands", steps=steps, bread=bread))
    return rows


def _fridge(plan: ClassPlan) -> Iterable[RunRow]:
    """What leaves the fridge, one row for all of one minute; for the first steps that is before the class begins."""
    for minute, some in by_minute(plan):
        yield RunRow("fridge", minute, minute, "tutor", "none", fridge=some)


def _into_fridge(plan: ClassPlan) -> Iterable[RunRow]:
    """Bread that spoils and is out long before the class ends: what nobody has eaten goes into the fridge, all of a minute at once."""
    lots: dict[int, list[LotLine]] = {}
    for one in plan.safety.chilled:
        if one.fridge_min is not None:
            for entry in plan.clocks.station(one.station):
                if entry.kind == "load" and entry.lot == one.lot:
                    minute = plan.timed.clock(one.fridge_min)
                    lots.setdefault(minute, []).append(lot_line(plan, entry))
    for minute, some in sorted(lots.items()):
        yield RunRow("into fridge", minute, minute, "tutor", "none", lots=tuple(some))


def _cleans(plan: ClassPlan, from_min: int | None) -> Iterable[RunRow]:
    """Cleaning down is one row, where the first bench begins it that is not done at ``from_min``: each does it in its own time."""
    found: dict[tuple[int, int], list[str]] = {}
    for name, one in students(plan):
        over = from_min is not None and plan.timed.clock(one.end_min) <= from_min
        if one.kind == "clean" and not over:
            found.setdefault((one.start_min, one.end_min), []).append(name)
    untils = tuple(
        Until(tuple(names), plan.timed.clock(start), plan.timed.clock(end))
        for (start, end), names in sorted(found.items())
    )
    if untils:
        names = [name for one in untils for name in one.stations]
        yield RunRow(
            "clean", untils[0].start_min, max(one.end_min for one in untils), _all_or(plan, names), "none",
            stations=tuple(names), untils=untils,
        )  # fmt: skip


def _end(plan: ClassPlan) -> Iterable[RunRow]:
    closing = ceil(plan.day.closing_min)
    finish = plan.timed.clock(plan.timed.plan.finish_min)
    if closing:
        yield RunRow("closing", finish - closing, finish, "all", "none")
    yield RunRow("end", finish, finish, "all", "none")


def _all_or(plan: ClassPlan, names: Sequence[str]) -> str:
    return "all" if {name for name, _ in plan.clocks.stations} == set(names) else "stations"


# ---------------------------------------------------------------- ovens


def _ovens(plan: ClassPlan) -> Iterable[RunRow]:
    latest = _latest(plan)
    soak_min = {oven.name: oven.soak_min for oven in plan.timed.setting.problem.ovens}
    for name, entries in plan.clocks.ovens:
        loads: dict[int, list[Entry]] = {}
        for one in entries:
            if one.kind == "switch on":
                start = plan.timed.clock(one.start_min)
                ready = max(start, plan.timed.clock(one.end_min) - soak_min[name])
                yield RunRow(
                    "switch on", start, ready, "oven", "none", oven=name, dial_c=one.dial_c
                )
            elif one.kind == "load":
                loads.setdefault(one.start_min, []).append(one)
        starts = sorted(loads)
        for number, start in enumerate(starts):
            after = starts[number + 1] if number + 1 < len(starts) else None
            yield from _load(
                plan, name, loads[start], loads[after] if after is not None else [], latest
            )


def _load(
    plan: ClassPlan,
    oven: str,
    load: list[Entry],
    following: list[Entry],
    latest: dict[tuple[str, int], int | None],
) -> Iterable[RunRow]:
    dial = load[0].dial_c
    lots = tuple(lot_line(plan, one, latest.get((one.station, one.lot))) for one in load)
    start = plan.timed.clock(load[0].start_min)
    yield RunRow(
        "load", start, start + ceil(plan.day.loading_min), "oven", "oven", lots=lots, oven=oven, dial_c=dial
    )  # fmt: skip
    last = max(lot.out_min for lot in lots)
    for out in sorted({lot.out_min for lot in lots}):
        leaving = out == last
        yield RunRow(
            "take out", out, out + ceil(plan.day.unloading_min), "oven", "hands",
            lots=tuple(lot for lot in lots if lot.out_min == out), oven=oven, dial_c=dial,
            next_dial_c=following[0].dial_c if leaving and following and following[0].dial_c != dial else 0,
            last=leaving and not following, clash=_clash(plan, out),
        )  # fmt: skip
        if leaving and not following:
            yield RunRow("switch off", out, out, "oven", "none", oven=oven)


def _clash(plan: ClassPlan, clock: int) -> str:
    """The talk or demonstration that is going on when bread must come out; nobody else is told to open the oven then."""
    if plan.day.assistants:
        return ""
    for one in plan.clocks.tutor:
        if (
            one.kind == "event"
            and one.what.partition(": ")[0] != "break"
            and plan.timed.clock(one.start_min) <= clock < plan.timed.clock(one.end_min)
        ):
            return one.what
    return ""  # fmt: skip


# ---------------------------------------------------------------- while you wait


def _points(plan: ClassPlan, rows: Sequence[RunRow]) -> Iterable[RunRow]:
    """Each bread's points for its final proof and its bake, in the tutor's free minutes while it lasts."""
    free = _free(plan, rows)
    wanted: list[tuple[int, int, Point]] = []
    spans: dict[tuple[str, str], tuple[int, int]] = {}
    for _, one in students(plan):
        if one.kind in ("final proof", "load") and one.end_min > one.start_min:
            key = (one.variation, "bake" if one.kind == "load" else one.kind)
            start, end = plan.timed.clock(one.start_min), plan.timed.clock(one.end_min)
            known = spans.get(key, (start, end))
            spans[key] = (min(start, known[0]), max(end, known[1]))
    for (name, stage), (start, end) in spans.items():
        bread = plan.lesson.variation(name)
        for step in bread.method:
            if step.stage == stage and step.meanwhile:
                wanted.append((start, end, Point(bread, step.meanwhile)))
    proofs = [span for (_, stage), span in spans.items() if stage == "final proof"]
    for talk in talks_without_time(plan):
        if proofs:
            start, end = min(a for a, _ in proofs), max(b for _, b in proofs)
            wanted.append((start, end, Point(None, talk.say, talk)))
    given: list[tuple[int, int, Point]] = []
    for start, end, point in sorted(wanted, key=lambda one: (one[1], one[0])):
        takes = ceil(point.talk.minutes) if point.talk else POINT_MIN
        for number, (low, high) in enumerate(free):
            begin = max(low, start)
            if begin + takes <= min(high, end):
                given.append((begin, takes, point))
                free[number : number + 1] = [(low, begin), (begin + takes, high)]
                break
        else:
            given.append((start, takes, point))
    row: RunRow | None = None
    for begin, takes, point in sorted(given, key=lambda one: one[0]):
        if row is not None and row.start_min <= begin <= row.end_min:  # one breath
            end = max(row.end_min, begin + takes)
            row = dataclasses.replace(row, end_min=end, points=(*row.points, point))
            continue
        if row is not None:
            yield row
        row = RunRow("meanwhile", begin, begin + takes, "tutor", "none", points=(point,))
    if row is not None:
        yield row


def _free(plan: ClassPlan, rows: Sequence[RunRow]) -> list[tuple[int, int]]:
    """Spans in which the tutor neither speaks nor works at an oven or a dough, and no bench shapes."""
    busy = sorted(
        (row.start_min, row.end_min)
        for row in rows
        if row.kind in ("welcome", "safety talk", "talk", "show", "own dough", "break", "take out", "load", "shape", "prepare", "closing")
    )  # fmt: skip
    free = []
    at = plan.day.start_min
    for start, end in busy:
        if start > at:
            free.append((at, start))
        at = max(at, end)
    return free


def with_cues(rows: Sequence[RunRow]) -> Iterable[RunRow]:
    """Marks the first row of each hour, and gives each bread's cues once."""
    hour = None
    known: set[tuple[str, str]] = set()
    for row in rows:
        now = row.start_min // 60
        breads = {lot.bread.name: lot.bread for lot in row.lots}
        cues = tuple(
            (bread, _cue(row.kind, bread))
            for name, bread in breads.items()
            if (row.kind, name) not in known
        )
        known |= {(row.kind, name) for name in breads}
        new_hour = hour is not None and now != hour
        yield dataclasses.replace(row, new_hour=new_hour, cues=cues)
        hour = now


def _cue(kind: str, bread: Variation) -> str:
    if kind == "shape":
        return next((s.ready_when for s in reversed(bread.before_proof) if s.ready_when), "")
    if kind == "chill" or (kind == "load" and bread.before_load):
        return ""  # said where it is topped or scored: by then it must be proved
    return ready(bread, "bake" if kind == "take out" else "final proof")
