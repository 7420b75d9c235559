"""The plan of the day, told to those who work by it: each station, the tutor, each oven."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from math import ceil, floor

from classpack.model.day import Load
from classpack.model.lesson import Lesson
from classpack.model.method import WAIT_STAGES
from classpack.model.timed_day import ENTRY_KINDS, DayClocks, Entry, EntryKind, TimedDay
from classpack.planning.day.setting import dial_c

ROUNDED_DOWN_TO = 5
"""Ovens are switched on at a round time, early rather than late."""


def day_clocks(
    lesson: Lesson, timed: TimedDay, own_tools: frozenset[int] = frozenset()
) -> DayClocks:
    """Everybody's entries, each list in the order of its minutes.

    ``own_tools`` are people (indexes) with a tray of their own: nothing stands above it, so their lots take the top shelves.
    """
    teller = _Teller(lesson, timed, own_tools)
    stations = tuple(
        (name, teller.station(number))
        for number, name in enumerate(timed.setting.stations)
        if name != "tutor"
    )
    ovens = tuple(
        (oven.name, teller.oven(number)) for number, oven in enumerate(timed.setting.ovens)
    )
    return DayClocks(stations, teller.tutor(), ovens)


class _Teller:
    def __init__(self, lesson: Lesson, timed: TimedDay, own_tools: frozenset[int]) -> None:
        self.lesson = lesson
        self.own_tools = own_tools
        self.setting = timed.setting
        self.problem = timed.setting.problem
        self.plan = timed.plan
        self.products = {product.name: product for product in self.problem.products}

    def events(self) -> list[Entry]:
        return [
            Entry("event", start, start + event.minutes, event.name)
            for event, start in zip(self.problem.events, self.plan.event_starts, strict=True)
        ]

    def station(self, number: int) -> tuple[Entry, ...]:
        station = self.problem.stations[number]
        entries = [] if station.tutors else self.events()
        entries += self.dough(number)
        for lot in range(len(station.lots)):
            entries += self.lot(number, lot)
        if station.cleanup_min:
            start = self.plan.cleanup_starts[number]
            entries.append(Entry("clean", start, start + station.cleanup_min, station=station.name))
        return _ordered(entries)

    def dough(self, number: int) -> list[Entry]:
        station = self.problem.stations[number]
        entries: list[Entry] = []
        starts = self.plan.step_starts[number]
        for step, made, start in zip(
            station.steps, self.setting.steps[number], starts, strict=True
        ):
            entries.append(
                Entry(
                    "hands",
                    start,
                    start + step.minutes,
                    made.name,
                    made.steps,
                    station=station.name,
                )
            )
        for before, after in itertools.pairwise(tuple(entries)):
            rests = self.rests_between(before.steps, after.steps)
            if rests:
                entries.append(
                    Entry(
                        "rest", before.end_min, after.start_min, "rest", rests, station=station.name
                    )
                )
        shapes = self.plan.shape_starts[number]
        if station.steps and shapes:
            end = starts[-1] + station.steps[-1].minutes
            entries.append(
                Entry(
                    "bulk proof",
                    end,
                    min(shapes),
                    "bulk proof",
                    self.bulk_steps(),
                    station=station.name,
                    latest_min=end + station.bulk.most,
                )
            )
        return entries

    def rests_between(self, before: tuple[int, ...], after: tuple[int, ...]) -> tuple[int, ...]:
        if not after:
            return ()
        first = max(before, default=-1) + 1
        return tuple(
            n for n in range(first, min(after)) if self.lesson.base.method[n].stage in WAIT_STAGES
        )

    def bulk_steps(self) -> tuple[int, ...]:
        return tuple(
            n for n, step in enumerate(self.lesson.base.method) if step.stage == "bulk proof"
        )

    def lot(self, number: int, lot: int) -> list[Entry]:
        planned = self.problem.stations[number].lots[lot]
        start = self.plan.shape_starts[number][lot]
        load = next(one for one in self.plan.loads if (number, lot) in one.lots)
        product = self.products[planned.product]
        shaped = start + planned.shape_min
        out = load.start_min + self.bake((number, lot))
        prepare = self.plan.prepare_starts[number][lot]
        cold = self.plan.cold_min[number][lot]
        most = product.proof.most + planned.prepare_min + cold
        entries = [
            self.entry("shape", start, shaped, number, lot),
            self.entry(
                "final proof",
                shaped,
                prepare - cold,
                number,
                lot,
                latest_min=shaped + most if planned.bake_left_min is None else None,
            ),
        ]
        if cold:
            entries.append(self.entry("chill", prepare - cold, prepare, number, lot))
        if planned.prepare_min:
            end = prepare + planned.prepare_min
            entries.append(self.entry("prepare", prepare, end, number, lot))
        return [
            *entries,
            self.entry("load", load.start_min, out, number, lot, load),
            self.entry("take out", out, out + self.problem.unloading_min, number, lot, load),
            self.entry("cool", out, out + product.cool_min, number, lot),
        ]

    def entry(
        self,
        kind: EntryKind,
        start: int,
        end: int,
        station: int,
        lot: int,
        load: Load | None = None,
        latest_min: int | None = None,
    ) -> Entry:
        made = self.setting.lots[station][lot]
        oven = self.setting.ovens[load.oven] if load else None
        return Entry(
            kind=kind,
            start_min=start,
            end_min=end,
            variation=made.variation,
            pieces=made.pieces,
            people=made.people,
            lot=lot,
            station=self.setting.stations[station],
            oven=oven.name if oven else "",
            dial_c=dial_c(oven, load.oven_c) if oven and load else 0,
            shelves=self.shelves(load)[station, lot] if load else (),
            out_min=load.start_min + self.bake((station, lot)) if load else 0,
            latest_min=latest_min,
        )

    def shelves(self, load: Load) -> dict[tuple[int, int], tuple[int, ...]]:
        """Which shelves each lot of a load stands on, counted from the top; lots of one product share shelves.

        Lots of people with tools of their own fill the oven from the top, and share a shelf with nobody else's; or, where the oven
        is too full for that, the lowest of theirs with the same product of others beside it. Only where that does not fit either,
        something of others may stand above.
        """
        lots = sorted(load.lots, key=self.lower)
        own = [self.product(lot) for lot in lots if not self.lower(lot)]
        places = self.problem.ovens[load.oven].places
        for shared in ("", *dict.fromkeys(reversed(own))):
            groups: dict[tuple[int, str], list[tuple[int, int]]] = {}
            for lot in lots:
                name = self.product(lot)
                rank = 1 if name == shared else 2 if self.lower(lot) else 0
                groups.setdefault((rank, name), []).append(lot)
            found, used = self.stacked(
                groups[key] for key in sorted(groups, key=lambda key: key[0])
            )
            if used <= places:
                return found
        by_product: dict[str, list[tuple[int, int]]] = {}
        for lot in lots:
            by_product.setdefault(self.product(lot), []).append(lot)
        return self.stacked(by_product.values())[0]

    def product(self, lot: tuple[int, int]) -> str:
        """The bread of a lot."""
        return self.setting.lots[lot[0]][lot[1]].variation

    def stacked(
        self, groups: Iterable[list[tuple[int, int]]]
    ) -> tuple[dict[tuple[int, int], tuple[int, ...]], int]:
        """The shelves of every lot, groups of one product one below the other, and how many shelves they take."""
        found: dict[tuple[int, int], tuple[int, ...]] = {}
        top = 0
        for keys in groups:
            per_shelf = self.products[self.product(keys[0])].pieces_per_place
            before = 0
            for station, lot in keys:
                after = before + self.setting.lots[station][lot].pieces
                found[station, lot] = tuple(
                    range(top + before // per_shelf + 1, top + ceil(after / per_shelf) + 1)
                )
                before = after
            top += ceil(before / per_shelf)
        return found, top

    def lower(self, lot: tuple[int, int]) -> bool:
        """Does the lot go below those of people with tools of their own?"""
        return not self.own_tools.intersection(self.setting.lots[lot[0]][lot[1]].people)

    def oven(self, number: int) -> tuple[Entry, ...]:
        """Switching on, loads in and out, and what the dial is turned to next."""
        oven = self.setting.ovens[number]
        entries: list[Entry] = []
        loads = sorted(
            (load for load in self.plan.loads if load.oven == number), key=lambda one: one.start_min
        )
        for place, load in enumerate(loads):
            dial = dial_c(oven, load.oven_c)
            if place == 0:
                on = self.switch_on(number, load)
                entries.append(Entry("switch on", on, load.start_min, oven=oven.name, dial_c=dial))
            else:
                entries.append(
                    Entry("heat", entries[-1].end_min, load.start_min, oven=oven.name, dial_c=dial)
                )
            lots = [
                self.entry("load", load.start_min, load.start_min + self.bake(key), *key, load)
                for key in load.lots
            ]
            entries += sorted(lots, key=lambda one: (one.end_min, one.station, one.variation))
        return tuple(entries)

    def bake(self, key: tuple[int, int]) -> int:
        left = self.problem.stations[key[0]].lots[key[1]].bake_left_min
        if left is not None:
            return left
        return self.products[self.setting.lots[key[0]][key[1]].variation].bake_min

    def switch_on(self, number: int, load: Load) -> int:
        oven = self.problem.ovens[number]
        heating = (load.oven_c - oven.start_c) * oven.up_per_10_c / 10
        wanted = load.start_min - oven.soak_min - heating
        return max(floor(wanted / ROUNDED_DOWN_TO) * ROUNDED_DOWN_TO, -oven.on_before_min)

    def tutor(self) -> tuple[Entry, ...]:
        """Events, the demonstration batch, and every oven's switching, loading and taking out."""
        entries = self.events()
        if "tutor" in self.setting.stations:
            entries += self.station(self.setting.stations.index("tutor"))
        for number in range(len(self.setting.ovens)):
            for entry in self.oven(number):
                entries.append(entry)
                if entry.kind == "load" and entry.station != "tutor":
                    out = self.taking_out(entry)
                    entries.append(out)
        return _ordered(_once(entries))

    def taking_out(self, load: Entry) -> Entry:
        return Entry(
            "take out", load.end_min, load.end_min + self.problem.unloading_min, variation=load.variation, pieces=load.pieces,
            people=load.people, lot=load.lot, station=load.station, oven=load.oven, dial_c=load.dial_c, shelves=load.shelves, out_min=load.end_min,
        )  # fmt: skip


def _ordered(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    return tuple(
        sorted(
            entries,
            key=lambda one: (
                one.start_min,
                ENTRY_KINDS.index(one.kind),
                one.station,
                one.variation,
            ),
        )
    )


def _once(entries: Iterable[Entry]) -> Iterable[Entry]:
    return dict.fromkeys(entries)
