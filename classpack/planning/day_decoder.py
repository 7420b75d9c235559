"""From choices to a whole day: loads in the given order, each as early as its doughs, its oven and the loader allow.

This is the loop that runs thousands of times a plan, so it works on plain lists (see ``day_tables``) and trusts its input:
every load's lots fit its oven.
"""

from __future__ import annotations

from classpack.planning.day_dough import Doughs, common_gap, first_gap, place_doughs, put
from classpack.planning.day_tables import NEVER, Tables

Order = tuple[tuple[int, tuple[int, ...]], ...]


class Choice:
    """What a plan follows from; see ``model.day.Choices``. Lots by number, ``early`` as a tuple in the order of shaping."""

    __slots__ = ("early", "events", "holds", "order")

    def __init__(
        self,
        order: Order,
        holds: tuple[int, ...],
        events: tuple[tuple[int, int], ...],
        early: tuple[int, ...],
    ) -> None:
        self.order, self.holds, self.events, self.early = order, holds, events, early


class Day:
    """A decoded day. ``rank`` compares days, smaller is better: waits, over-proof, finish, loads, all lots out early. ``score`` trades
    over-proof for finish (three for two), so that a search does not stay where nothing may wait a minute longer."""

    __slots__ = (
        "bulk_over",
        "cleanup",
        "cold",
        "doughs",
        "events",
        "finish",
        "loads",
        "over_proof",
        "over_wait",
        "proof_over",
        "rank",
        "score",
        "shapes",
    )

    def __init__(self) -> None:
        self.rank = self.score = 0
        self.over_wait = 0
        self.over_proof = 0
        self.finish = 0
        self.shapes: list[int] = []
        self.loads: list[
            tuple[int, int, int]
        ] = []  # start, temperature, oven; in the order of the choice
        self.cold: list[int] = []
        self.cleanup: list[int] = []
        self.events: list[int] = []
        self.bulk_over: list[int] = []
        self.proof_over: list[int] = []
        self.doughs: Doughs


class Decoder:
    """Decodes choices for one problem, keeping the dough halves it has worked out. ``tried`` counts the decoded days."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self.tried = 0
        self._doughs: dict[tuple[tuple[int, ...], tuple[tuple[int, int], ...]], Doughs] = {}

    def doughs(self, choice: Choice) -> Doughs:
        floating = set(self.tables.floating)
        talks = tuple(
            (e, low)
            for e, (turn, low) in enumerate(choice.events)
            if turn < 0 and (e in floating or low > 0)
        )
        key = (choice.holds, talks)
        found = self._doughs.get(key)
        if found is None:
            if len(self._doughs) > 4000:
                self._doughs.clear()
            begun = self.tables.begun.events
            talks = tuple((e, low) for e, low in talks if begun[e] is None)
            found = self._doughs[key] = place_doughs(self.tables, choice.holds, talks)
        return found

    def decode(self, choice: Choice) -> Day | None:
        """The day that follows from ``choice``; ``None`` when a load cannot be placed (an oven closes, tins never come free)."""
        self.tried += 1
        T = self.tables
        doughs = self.doughs(choice)
        problem = T.problem
        starts = [row[:] for row in doughs.starts]
        ends = [row[:] for row in doughs.ends]
        loader_starts, loader_ends = doughs.loader_starts[:], doughs.loader_ends[:]
        hands = list(zip(starts, ends, strict=True))
        with_loader = [*hands, (loader_starts, loader_ends)]
        events = doughs.events[:]
        uses = [row[:] for row in doughs.uses] if doughs.uses else []
        open_uses = [0] * len(uses)
        lots = len(T.keys)
        shapes = [NEVER] * lots
        cold = [0] * lots
        bulk_over = [0] * lots
        proof_over = [0] * lots
        out_latest = 0
        over_wait = doughs.over_wait
        over_proof = 0
        outs_sum = 0
        station_of, shape_min, product_of = T.station, T.shape, T.product
        bulk_start, bulk_least, bulk_most = doughs.bulk_start, T.bulk_least, T.bulk_most
        oven_ready = T.oven_from[:]
        oven_c: list[int | None] = [None] * len(oven_ready)
        oven_end = [0] * len(oven_ready)
        for load in T.begun.loads:
            oven_c[load.oven] = load.oven_c
            for key in load.lots:
                n = T.number[key]
                out = load.start_min + T.bake[n]
                oven_end[load.oven] = max(oven_end[load.oven], out)
                out_latest = max(out_latest, out + T.cool[n])
        for n, start in enumerate(T.shaped):
            if start is not None:
                shapes[n] = start
                if T.keys[n] not in T.baked and T.lot_pool[n] >= 0:
                    open_uses[T.lot_pool[n]] += T.pieces[n]
        tutor_loads = not problem.assistants

        def place_event(e: int, low: int) -> None:
            low = max(low, T.earliest[e])
            for s, j in T.after[e]:
                low = max(low, doughs.steps[s][j] + T.steps[s][j][0])
            minutes = T.event_min[e]
            lists = with_loader if T.takes_tutor[e] else hands
            events[e] = low = common_gap(lists, low, minutes)
            for some_starts, some_ends in lists:
                put(some_starts, some_ends, low, minutes)

        def place_shape(n: int) -> bool:
            s = station_of[n]
            low = bulk_start[s] + bulk_least[s]
            if T.hands_from[s] > low:
                low = T.hands_from[s]
            if not T.tutors[s]:
                for e in T.needs[product_of[n]]:
                    if events[e] == NEVER:
                        place_event(e, 0)
                    if events[e] + T.event_min[e] > low:
                        low = events[e] + T.event_min[e]
            pool = T.lot_pool[n]
            if pool >= 0:
                free = T.pool_count[pool] - open_uses[pool] - T.pieces[n]
                if free < 0:
                    return False
                for end, count in sorted(uses[pool], reverse=True):
                    free -= count
                    if free < 0:
                        if end > low:
                            low = end
                        break
                open_uses[pool] += T.pieces[n]
            minutes = shape_min[n]
            if T.tutors[s] and tutor_loads:
                low = common_gap([hands[s], (loader_starts, loader_ends)], low, minutes)
                put(loader_starts, loader_ends, low, minutes)
            else:
                low = first_gap(starts[s], ends[s], low, minutes)
            put(starts[s], ends[s], low, minutes)
            shapes[n] = low
            return True

        for n in choice.early:
            if shapes[n] == NEVER and not place_shape(n):
                return None

        temperatures = self._temperatures(choice.order)
        floating = [(choice.events[e][0], e) for e in T.floating if events[e] == NEVER]
        day = Day()
        chilled: list[tuple[int, int, int]] = []
        for number, (oven, members) in enumerate(choice.order):
            if floating:
                for turn, e in floating:
                    if turn == number:
                        place_event(e, choice.events[e][1])
            ready = T.oven_from[oven]
            c = temperatures[number]
            before_c = oven_c[oven]
            if before_c is None:
                heat = T.first_heat[oven][c]
            else:
                heat = T.change[oven][before_c, c]
                if T.recover[oven] > heat:
                    heat = T.recover[oven]
                heat += oven_end[oven]
            if heat > ready:
                ready = heat
            for n in members:
                if shapes[n] == NEVER and not place_shape(n):
                    return None
                done = shapes[n] + shape_min[n] + T.proof_least[n]
                if done > ready:
                    ready = done
            bakes = {T.bake[n] for n in members}
            loading, unloading = problem.loading_min, problem.unloading_min
            before = -1
            while before != ready:
                before = ready
                ready = first_gap(loader_starts, loader_ends, ready, loading)
                if unloading:
                    for bake in bakes:
                        ready = (
                            first_gap(loader_starts, loader_ends, ready + bake, unloading) - bake
                        )
            end = ready + max(bakes)
            if end > T.oven_until[oven]:
                return None
            put(loader_starts, loader_ends, ready, loading)
            if unloading:
                self._put_unloadings(
                    loader_starts, loader_ends, sorted(ready + bake for bake in bakes), unloading
                )
            oven_c[oven] = c
            oven_end[oven] = end
            day.loads.append((ready, c, oven))
            for n in members:
                s = station_of[n]
                start = shapes[n]
                minutes = shape_min[n]
                over = ready - start - minutes - T.proof_most[n]
                if over > 0 and T.shaped[n] is None:
                    # Shape later, as far as the bulk proof allows: that costs nothing.
                    row_starts, row_ends = starts[s], ends[s]
                    place = row_starts.index(start) if minutes else -1
                    target = min(start + over, max(start, bulk_start[s] + bulk_most[s]))
                    if target > start and minutes and not (T.tutors[s] and tutor_loads):
                        del row_starts[place], row_ends[place]
                        later = first_gap(row_starts, row_ends, target, minutes)
                        if later > ready - T.proof_least[n] - minutes or (
                            max(0, later - bulk_start[s] - bulk_most[s]) > min(over, later - start)
                        ):
                            later = start
                        put(row_starts, row_ends, later, minutes)
                        shapes[n] = later
                        over -= later - start
                if over > 0 and T.cold_most[n]:
                    minutes_cold = min(over, T.cold_most[n])
                    if self._fridge_has_room(chilled, ready - minutes_cold, ready, T.fridge[n]):
                        chilled.append((ready - minutes_cold, ready, T.fridge[n]))
                        cold[n] = minutes_cold
                        over -= minutes_cold
                if over > 0:
                    proof_over[n] = over
                    over_proof += over
                if T.shaped[n] is None:
                    over = shapes[n] - bulk_start[s] - bulk_most[s]
                    if over > 0:
                        bulk_over[n] = over
                        over_proof += over
                out = ready + T.bake[n]
                pool = T.lot_pool[n]
                if pool >= 0:
                    open_uses[pool] -= T.pieces[n]
                    uses[pool].append((out, T.pieces[n]))
                outs_sum += out
                if out + T.cool[n] > out_latest:
                    out_latest = out + T.cool[n]
        for e, start in enumerate(events):
            if start == NEVER:
                place_event(e, choice.events[e][1])
        finish = out_latest
        cleanup = day.cleanup
        last = [0] * len(starts)
        for n in range(lots):
            s = station_of[n]
            if shapes[n] != NEVER and shapes[n] + shape_min[n] > last[s]:
                last[s] = shapes[n] + shape_min[n]
        for s, minutes in enumerate(T.cleanup):
            begun = T.begun.cleanups[s]
            if begun is not None:
                start = begun
            else:
                start = max(last[s], T.hands_from[s])
                if doughs.steps[s]:
                    start = max(start, bulk_start[s])
                start = first_gap(starts[s], ends[s], start, minutes)
                if T.tutors[s] and tutor_loads:
                    start = common_gap([hands[s], (loader_starts, loader_ends)], start, minutes)
            cleanup.append(start)
            if start + minutes > finish:
                finish = start + minutes
        for e, start in enumerate(events):
            if start + T.event_min[e] > finish:
                finish = start + T.event_min[e]
            if e in T.floating or (e not in T.dough_events and T.begun.events[e] is None):
                already = e in T.floating and choice.events[e][0] < 0
                if start > T.latest[e] and not already:
                    over_wait += start - T.latest[e]
        day.over_wait, day.over_proof, day.finish = (
            over_wait,
            over_proof,
            finish + problem.closing_min,
        )
        day.shapes, day.cold, day.events, day.doughs = shapes, cold, events, doughs
        day.bulk_over, day.proof_over = bulk_over, proof_over
        loads = len(choice.order)
        worst = min(over_wait, 9999) * 10000 + min(over_proof, 9999)
        tail = loads * 100000 + outs_sum % 100000
        day.rank = (worst * 10000 + day.finish) * 10**7 + tail
        day.score = (over_wait * 100 + over_proof * 3 + day.finish * 2) * 10**7 + tail
        return day

    def _temperatures(self, order: Order) -> list[int]:
        """One temperature a load: oven by oven, as few and as small changes as the ranges allow."""
        T = self.tables
        answer = [0] * len(order)
        for oven in T.ovens:
            groups: list[tuple[list[int], int, int]] = []
            for number, (where, members) in enumerate(order):
                if where != oven:
                    continue
                limits = T.range_c(oven, members)
                assert limits is not None, "every load of a choice fits its oven"
                low, high = limits
                if groups and max(groups[-1][1], low) <= min(groups[-1][2], high):
                    groups[-1] = (
                        [*groups[-1][0], number],
                        max(groups[-1][1], low),
                        min(groups[-1][2], high),
                    )
                else:
                    groups.append(([number], low, high))
            before: int | None = None
            for load in T.begun.loads:
                before = load.oven_c if load.oven == oven else before
            for place, (members_of, low, high) in enumerate(groups):
                if before is None:
                    nearest = groups[place + 1][1] if len(groups) > place + 1 else low
                else:
                    nearest = before
                before = min(max(nearest, low), high)
                for number in members_of:
                    answer[number] = before
        return answer

    @staticmethod
    def _put_unloadings(starts: list[int], ends: list[int], outs: list[int], minutes: int) -> None:
        """Put the outs of one load; those that overlap each other are one."""
        start, end = outs[0], outs[0] + minutes
        for out in outs[1:]:
            if out < end:
                end = out + minutes
            else:
                put(starts, ends, start, end - start)
                start, end = out, out + minutes
        put(starts, ends, start, end - start)

    def _fridge_has_room(
        self, chilled: list[tuple[int, int, int]], start: int, end: int, places: int
    ) -> bool:
        used = sum(count for a, b, count in chilled if a < end and start < b)
        return used + places <= self.tables.fridge_places
