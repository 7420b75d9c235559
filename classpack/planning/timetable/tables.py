"""A day problem as plain lists of whole numbers, so that thousands of plans can be tried in a second.

Lots are numbered from 0, those with the longest way from shaping to the oven first: in this order the lots of a load are
shaped. ``None`` limits become :data:`NEVER`.
"""

from __future__ import annotations

from itertools import accumulate
from math import ceil

from classpack.model.day import DayEvent, DayProblem
from classpack.planning.timetable.spans import (
    change_min,
    nothing_begun,
    pieces_per_place,
    products_by_name,
)

NEVER = 10**7  # minutes; later than anything


class Tables:
    """Lists by lot, station, oven, event and pool; written once, then only read."""

    def __init__(self, problem: DayProblem) -> None:
        self.problem = problem
        self.now = problem.now_min
        begun = problem.begun or nothing_begun(problem)
        self.begun = begun
        self._lots(problem)
        self._stations(problem)
        self._ovens(problem)
        self._events(problem)
        self._begun(problem)
        self._loads: dict[tuple[int, tuple[int, ...]], tuple[int, int] | None] = {}

    def _lots(self, problem: DayProblem) -> None:
        products = products_by_name(problem)
        self.keys = sorted(
            (
                (s, i)
                for s, station in enumerate(problem.stations)
                for i in range(len(station.lots))
            ),
            key=lambda key: (
                -products[problem.stations[key[0]].lots[key[1]].product].proof.least
                - problem.stations[key[0]].lots[key[1]].prepare_min,
                key,
            ),
        )
        self.number = {key: n for n, key in enumerate(self.keys)}
        lots = [problem.stations[s].lots[i] for s, i in self.keys]
        names = [product.name for product in problem.products]
        pools = [pool.name for pool in problem.pools]
        kinds = [products[lot.product] for lot in lots]
        cold = problem.cold
        self.station = [s for s, _ in self.keys]
        self.product = [names.index(lot.product) for lot in lots]
        self.pieces = [lot.pieces for lot in lots]
        self.shape = [lot.shape_min for lot in lots]
        self.prepare = [lot.prepare_min for lot in lots]
        # from the end of shaping to the load, so with the minutes of preparing
        self.proof_least = [
            kind.proof.least + lot.prepare_min for lot, kind in zip(lots, kinds, strict=True)
        ]
        self.proof_most = [
            kind.proof.most + lot.prepare_min for lot, kind in zip(lots, kinds, strict=True)
        ]
        self.bake = [
            kind.bake_min if lot.bake_left_min is None else lot.bake_left_min
            for lot, kind in zip(lots, kinds, strict=True)
        ]
        self.cool = [max(kind.cool_min, problem.unloading_min) for kind in kinds]
        self.low_c = [kind.oven_low_c for kind in kinds]
        self.high_c = [kind.oven_high_c for kind in kinds]
        self.lot_pool = [pools.index(kind.pool) if kind.pool in pools else -1 for kind in kinds]
        self.cold_most = [
            cold.most_min if cold and kind.name in cold.products else 0 for kind in kinds
        ]
        self.cold_least = max(1, cold.least_min) if cold else 1
        self.fridge = [
            ceil(lot.pieces / kind.pieces_per_place) for lot, kind in zip(lots, kinds, strict=True)
        ]
        self.fridge_places = cold.places if cold else 0
        self.on_place = [[pieces_per_place(kind, oven) for oven in problem.ovens] for kind in kinds]
        self.to_proved = [  # from the start of shaping until it may be prepared or loaded
            lot.shape_min + kind.proof.least for lot, kind in zip(lots, kinds, strict=True)
        ]
        self.shaped = [self.begun.shapes[s][i] for s, i in self.keys]
        self.prepared = [self.begun.prepares[s][i] for s, i in self.keys]
        self.chilled = [self.begun.chills[s][i] for s, i in self.keys]
        self.with_preparing = [n for n, minutes in enumerate(self.prepare) if minutes]
        self.to_prepare = frozenset(
            n for n, minutes in enumerate(self.prepare) if minutes and self.prepared[n] is None
        )
        self.half_baked = set()
        for n, lot in enumerate(lots):
            shaped = self.shaped[n]
            if lot.bake_left_min is not None and shaped is not None:
                self.half_baked.add(n)  # it should go in at once
                self.proof_most[n] = self.now - shaped - lot.shape_min
        self.pool_count = [pool.count for pool in problem.pools]

    def _begun(self, problem: DayProblem) -> None:
        """What the past has left: lots in the ovens or out of them, ovens hot until a minute, kit in use by shaped lots."""
        self.baked = {key for load in self.begun.loads for key in load.lots}
        self.open_lots = [n for n, key in enumerate(self.keys) if key not in self.baked]
        self.hot_c: list[int | None] = [None] * len(problem.ovens)
        self.busy_until = [0] * len(problem.ovens)
        self.cooled_latest = 0
        self.prepare_starts = [NEVER if start is None else start for start in self.prepared]
        self.cold = [0] * len(self.keys)
        for load in self.begun.loads:
            self.hot_c[load.oven] = load.oven_c
            for key in load.lots:
                n = self.number[key]
                out = load.start_min + self.bake[n]
                if self.prepared[n] is None:
                    self.prepare_starts[n] = load.start_min
                chilled = self.chilled[n]
                if chilled is not None:
                    self.cold[n] = self.prepare_starts[n] - chilled
                self.busy_until[load.oven] = max(self.busy_until[load.oven], out)
                self.cooled_latest = max(self.cooled_latest, out + self.cool[n])
        self.in_fridge = {
            n: start
            for n, start in enumerate(self.chilled)
            if start is not None and n in self.open_lots
        }
        self.shape_starts = [NEVER if start is None else start for start in self.shaped]
        self.kit_held = [0] * len(self.pool_count)
        for n in self.open_lots:
            if self.shaped[n] is not None and self.lot_pool[n] >= 0:
                self.kit_held[self.lot_pool[n]] += self.pieces[n]

    def _stations(self, problem: DayProblem) -> None:
        pools = [pool.name for pool in problem.pools]
        self.bulk_least = [station.bulk.least for station in problem.stations]
        self.bulk_most = [station.bulk.most for station in problem.stations]
        self.cleanup = [station.cleanup_min for station in problem.stations]
        firsts = list(accumulate((station.hands for station in problem.stations), initial=0))
        self.hand_count = firsts[-1]
        self.station_hands = [
            tuple(range(firsts[s], firsts[s + 1])) for s in range(len(problem.stations))
        ]
        self.lot_hands = [
            tuple(firsts[s] + hand for hand in problem.stations[s].lots[i].hands)
            for s, i in self.keys
        ]
        self.tutors = [station.tutors for station in problem.stations]
        self.hands_from = [
            max(problem.now_min, station.hands_from_min) for station in problem.stations
        ]
        self.steps = [
            [
                (
                    step.minutes,
                    step.wait_least,
                    NEVER if step.wait_most is None else step.wait_most,
                    pools.index(step.pool) if step.pool in pools else -1,
                )
                for step in station.steps
            ]
            for station in problem.stations
        ]
        self.first_latest = [
            NEVER if station.first_step_latest_min is None else station.first_step_latest_min
            for station in problem.stations
        ]

    def _ovens(self, problem: DayProblem) -> None:
        self.ovens = range(len(problem.ovens))
        self.recover = [problem.unloading_min + oven.between_loads_min for oven in problem.ovens]
        temperatures = {
            c for product in problem.products for c in (product.oven_low_c, product.oven_high_c)
        }
        temperatures |= {oven.max_c for oven in problem.ovens} | {
            load.oven_c for load in self.begun.loads
        }
        self.change = [
            {(a, b): change_min(oven, a, b) for a in temperatures for b in temperatures}
            for oven in problem.ovens
        ]
        self.first_heat = [
            {c: change_min(oven, oven.start_c, c) + oven.first_ready_min for c in temperatures}
            for oven in problem.ovens
        ]
        self.oven_from = [max(problem.now_min, oven.from_min) for oven in problem.ovens]
        self.oven_until = [
            NEVER if oven.until_min is None else oven.until_min for oven in problem.ovens
        ]

    def _events(self, problem: DayProblem) -> None:
        """``needs[product]``: the events before its shaping. ``dough``: those placed with the dough steps. ``floating``: the rest."""
        self.event_min = [event.minutes for event in problem.events]
        self.earliest = [max(problem.now_min, event.earliest_min) for event in problem.events]
        self.latest = [
            NEVER if event.latest_min is None else event.latest_min for event in problem.events
        ]
        self.takes_tutor = [
            event.needs_tutor and not problem.assistants for event in problem.events
        ]
        self.after = [self._step_of(event.after_step) for event in problem.events]
        self.before = [self._step_of(event.before_step) for event in problem.events]
        made = {self.product[n] for n in range(len(self.keys)) if self.shaped[n] is None}
        names = [product.name for product in problem.products]
        self.needs: list[list[int]] = [[] for _ in names]
        self.dough_events: list[int] = []
        self.floating: list[int] = []
        for e, event in enumerate(problem.events):
            if self.begun.events[e] is not None:
                continue
            if event.before_product in names and names.index(event.before_product) in made:
                self.needs[names.index(event.before_product)].append(e)
            if event.before_step is not None or _has_its_minute(event):
                self.dough_events.append(e)
            elif event.before_product not in names or names.index(event.before_product) not in made:
                self.floating.append(e)

    def _step_of(self, name: str | None) -> list[tuple[int, int]]:
        """(station, step) of every students' step of that name."""
        return [
            (s, j)
            for s, station in enumerate(self.problem.stations)
            if name is not None and not station.tutors
            for j, step in enumerate(station.steps)
            if step.name == name
        ]

    def range_c(self, oven: int, lots: tuple[int, ...]) -> tuple[int, int] | None:
        """Temperatures at which ``lots`` can bake together in ``oven``; ``None`` if they cannot, for heat, places, tins or hands."""
        key = (oven, lots)
        if key not in self._loads:
            self._loads[key] = self._range_c(oven, lots)
        return self._loads[key]

    def _range_c(self, oven: int, lots: tuple[int, ...]) -> tuple[int, int] | None:
        low = max(self.low_c[n] for n in lots)
        high = min(min(self.high_c[n] for n in lots), self.problem.ovens[oven].max_c)
        pieces: dict[int, int] = {}
        places = 0
        pools: dict[int, int] = {}
        for n in lots:
            pieces[self.product[n]] = pieces.get(self.product[n], 0) + self.pieces[n]
            pools[self.lot_pool[n]] = pools.get(self.lot_pool[n], 0) + self.pieces[n]
        for n in {self.product[n]: n for n in lots}.values():
            on_place = self.on_place[n][oven]
            if on_place == 0:
                return None
            places += -(-pieces[self.product[n]] // on_place)
        tins_short = any(
            pool >= 0 and count > self.pool_count[pool] for pool, count in pools.items()
        )
        return (
            None
            if low > high
            or places > self.problem.ovens[oven].places
            or tins_short
            or self._stands_too_long(lots)
            else (low, high)
        )

    def _stands_too_long(self, lots: tuple[int, ...]) -> bool:
        """A pair of hands prepares one lot after another; with too many in one load the first would stand too long."""
        by_hands: dict[int, list[int]] = {}
        for n in self.to_prepare.intersection(lots):
            for hand in self.lot_hands[n]:
                by_hands.setdefault(hand, []).append(self.prepare[n])
        most = self.problem.prepared_most_min
        return any(sum(minutes) - min(minutes) > most for minutes in by_hands.values())


def _has_its_minute(event: DayEvent) -> bool:
    return event.latest_min is not None and event.latest_min <= event.earliest_min
