"""From choices to a whole day: loads in the given order, each as early as its doughs, its oven and the loader allow.

This is the loop that runs thousands of times a plan, so it works on plain lists (see ``day_tables``) and trusts its input:
every load's lots fit its oven.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from classpack.planning.timetable.doughs import (
    Doughs,
    common_gap,
    first_gap,
    last_gap,
    place_doughs,
    put,
    take_gap,
)
from classpack.planning.timetable.tables import NEVER, Tables

KEPT = 4000
"""So many days, dough halves and temperatures are kept; more would cost a tutor's laptop more memory than it saves time."""

FRIDGE_MIN = 200
"""A lot that need not go into the fridge is worth so many minutes of all lots' outs together: it is one thing less to do."""

Spans = tuple[list[int], list[int]]  # starts and ends, in order, not overlapping
Order = tuple[tuple[int, tuple[int, ...]], ...]


EASE_MIN = 30
"""A margin longer than this is as good as any: more reserve than half an hour nobody needs."""


RESERVED_MIN = 10
"""Where margins are an aim, a lot that would wait too long gets so much more than it needs by shaping later or the fridge."""


class Ease(NamedTuple):
    """Once a class fits: days that end by ``finish_min`` are compared by their smallest margin to the end of a wait or of the class."""

    finish_min: int


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


class Aims(NamedTuple):
    """By what days are compared, the first aim first; smaller is better everywhere.

    ``late_min`` is the finish, or with :class:`Ease` what it is later than the finish reached before; ``short_min`` and ``tight``
    then are what the margins lack. ``spread`` counts the minutes at which lots are out, and those in the fridge.
    """

    over_wait_min: int
    over_proof_min: int
    late_min: int
    loads: int
    short_min: int
    tight: int
    finish_min: int
    spread: int


NOTHING_YET = Aims(0, 0, 0, 0, 0, 0, 0, 0)


class Day:
    """A decoded day. ``rank`` compares days by their :class:`Aims`. ``score`` trades
    over-proof for finish (three for two), so that a search does not stay where nothing may wait a minute longer."""

    __slots__ = (
        "cleanup",
        "cold",
        "doughs",
        "events",
        "finish",
        "late_bulks",
        "loads",
        "margin",
        "over_proof",
        "over_wait",
        "prepares",
        "rank",
        "rescue_wait",
        "score",
        "shapes",
        "tight",
    )

    def __init__(self) -> None:
        self.rank, self.score = NOTHING_YET, 0
        self.over_wait = self.over_proof = self.finish = 0
        self.margin = self.tight = (
            0  # see Ease: the smallest margin; what all lots lack of EASE_MIN
        )
        self.rescue_wait = 0  # minutes that half-baked bread waits for an oven
        self.shapes: list[int] = []
        self.prepares: list[int] = []
        self.loads: list[
            tuple[int, int, int]
        ] = []  # start, temperature, oven; in the order of the choice
        self.cold: list[int] = []
        self.cleanup: list[int] = []
        self.events: list[int] = []
        self.late_bulks: list[tuple[int, int]] = []  # lot, minutes too long in the bowl
        self.doughs: Doughs


class Decoder:
    """Decodes choices for one problem, keeping what it has worked out: a search comes back to every third choice. ``tried`` counts
    the decoded days, those known already among them. With ``ease`` margins are an aim."""

    def __init__(self, tables: Tables, ease: Ease | None = None) -> None:
        self.tables = tables
        self.ease = ease
        self.tried = 0
        self._doughs: dict[tuple[tuple[int, ...], tuple[tuple[int, int], ...]], Doughs] = {}
        self._days: dict[tuple[object, ...], Day | None] = {}
        self._heats: dict[Order, list[int]] = {}
        self._sequences: dict[tuple[int, tuple[tuple[int, int] | None, ...]], tuple[int, ...]] = {}

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
            if len(self._doughs) > KEPT:
                self._doughs.clear()
            begun = self.tables.begun.events
            talks = tuple((e, low) for e, low in talks if begun[e] is None)
            found = self._doughs[key] = place_doughs(self.tables, choice.holds, talks)
        return found

    def decode(self, choice: Choice) -> Day | None:
        """The day that follows from ``choice``; ``None`` when a load cannot be placed (an oven closes, tins never come free)."""
        self.tried += 1
        key = (choice.order, choice.holds, choice.events, choice.early)
        if key not in self._days:
            if len(self._days) > KEPT:
                self._days.clear()
            self._days[key] = self._decoded(choice)
        return self._days[key]

    def _decoded(self, choice: Choice) -> Day | None:
        """A whole day from a choice, in four passes, because each needs what the one before has fixed.

        1. The doughs, kept from an earlier choice with the same holds: every bench's steps to the end of its bulk proof.
        2. Lots that the choice shapes early take their hands first; else a load that comes first would take them away.
        3. Load by load: events that float up to here, each lot shaped as early as its dough, hands and kit allow, then the minute
           at which oven, loader and the last lot to be proved agree. A lot that would wait too long until then is shaped again
           later, or goes into the fridge: only now is it known how long it waits.
        4. What follows from all that: the margins, who cleans when, and the sums by which days are compared.
        """
        T = self.tables
        problem = T.problem
        doughs = self.doughs(choice)
        starts, ends = [row[:] for row in doughs.starts], [row[:] for row in doughs.ends]
        loader_starts, loader_ends = doughs.loader_starts[:], doughs.loader_ends[:]
        loader = (loader_starts, loader_ends)
        hands = list(zip(starts, ends, strict=True))
        everybody = [*hands, loader]
        lot_hands = T.lot_hands
        reserve = RESERVED_MIN if self.ease else 0
        events = doughs.events[:]
        uses = [row[:] for row in doughs.uses]
        kit_held = T.kit_held[:]
        oven_c, oven_end = T.hot_c[:], T.busy_until[:]
        station_of, shape_min, bake_min = T.station, T.shape, T.bake
        bulk_start, tutor_loads = doughs.bulk_start, not problem.assistants
        loading, unloading = problem.loading_min, problem.unloading_min
        day = Day()
        shapes = day.shapes = T.shape_starts[:]
        prepares = day.prepares = T.prepare_starts[:]
        cold = day.cold = T.cold[:]
        day.doughs, day.events = doughs, events
        chilled = {n: (start, NEVER, T.fridge[n]) for n, start in T.in_fridge.items()}
        cooled_latest, outs = T.cooled_latest, 0

        def hands_of(n: int) -> list[Spans]:
            """The busy minutes of whoever makes lot ``n``; the tutor is the loader too."""
            own = [hands[hand] for hand in lot_hands[n]]
            return [*own, loader] if T.tutors[station_of[n]] and tutor_loads else own

        def place_event(e: int) -> None:
            low = max(choice.events[e][1], T.earliest[e])
            for s, j in T.after[e]:
                low = max(low, doughs.steps[s][j] + T.steps[s][j][0])
            lists = everybody if T.takes_tutor[e] else hands
            events[e] = low = common_gap(lists, low, T.event_min[e])
            for some_starts, some_ends in lists:
                put(some_starts, some_ends, low, T.event_min[e])

        def place_shape(n: int) -> bool:
            """As early as bulk proof, talks, kit and hands allow; false when there will never be kit enough."""
            s = station_of[n]
            low = bulk_start[s] + T.bulk_least[s]
            if low < T.hands_from[s]:
                low = T.hands_from[s]
            for e in T.needs[T.product[n]]:
                if events[e] == NEVER:
                    place_event(e)
                if events[e] + T.event_min[e] > low:
                    low = events[e] + T.event_min[e]
            pool = T.lot_pool[n]
            if pool >= 0:
                free = T.pool_count[pool] - kit_held[pool] - T.pieces[n]
                if free < 0:
                    return False
                for end, count in sorted(uses[pool], reverse=True):
                    free -= count
                    if free < 0:
                        low = max(low, end)
                        break
                kit_held[pool] += T.pieces[n]
            minutes = shape_min[n]
            own = lot_hands[n]
            if len(own) == 1 and not (T.tutors[s] and tutor_loads):
                low = take_gap(starts[own[0]], ends[own[0]], low, minutes)
            else:
                lists = hands_of(n)
                low = common_gap(lists, low, minutes)
                for some_starts, some_ends in lists:
                    put(some_starts, some_ends, low, minutes)
            shapes[n] = low
            return True

        for n in choice.early:
            if shapes[n] == NEVER and not place_shape(n):
                return None
        temperatures = self._heats.get(choice.order)
        if temperatures is None:
            if len(self._heats) > KEPT:
                self._heats.clear()
            temperatures = self._heats[choice.order] = self._temperatures(choice.order)
        floating = [(choice.events[e][0], e) for e in T.floating if events[e] == NEVER]
        for number, (oven, members) in enumerate(choice.order):
            for turn, e in floating:
                if turn == number:
                    place_event(e)
            c, before_c = temperatures[number], oven_c[oven]
            if before_c is None:
                ready = T.first_heat[oven][c]
            else:
                ready = oven_end[oven] + max(T.change[oven][before_c, c], T.recover[oven])
            if ready < T.oven_from[oven]:
                ready = T.oven_from[oven]
            for n in members:
                if shapes[n] == NEVER and not place_shape(n):
                    return None
                done = shapes[n] + shape_min[n] + T.proof_least[n]
                if T.prepared[n] is not None:
                    done = prepares[n] + T.prepare[n]
                if done > ready:
                    ready = done
            bakes = {bake_min[n] for n in members}
            unready = [n for n in members if n in T.to_prepare]
            before = -1
            while before != ready:
                before = ready
                ready = first_gap(loader_starts, loader_ends, ready, loading)
                if unloading:
                    for bake in bakes:
                        ready = (
                            first_gap(loader_starts, loader_ends, ready + bake, unloading) - bake
                        )
                if unready:
                    ready = self._prepare(day, unready, ready, hands_of)
            end = ready + max(bakes)
            if end > T.oven_until[oven]:
                return None
            put(loader_starts, loader_ends, ready, loading)
            if unloading and len(bakes) == 1:
                put(loader_starts, loader_ends, end, unloading)
            elif unloading:
                _put_unloadings(loader, sorted(ready + bake for bake in bakes), unloading)
            oven_c[oven], oven_end[oven] = c, end
            day.loads.append((ready, c, oven))
            for n in unready:
                for some_starts, some_ends in hands_of(n):
                    put(some_starts, some_ends, prepares[n], T.prepare[n])
            for n in members:
                s = station_of[n]
                if not T.prepare[n]:
                    prepares[n] = ready
                least = T.proof_least[n] - T.prepare[n]
                over = ready - shapes[n] - shape_min[n] - T.proof_most[n]
                if n in T.half_baked:
                    day.rescue_wait += over
                elif n in T.in_fridge:
                    chilled[n] = (T.in_fridge[n], prepares[n], T.fridge[n])
                    cold[n] = prepares[n] - T.in_fridge[n]
                    day.over_proof += max(0, over - min(cold[n], T.cold_most[n]))
                elif over > 0:
                    if T.shaped[n] is None and shape_min[n]:
                        latest = prepares[n] - least - shape_min[n]
                        bulk_end = bulk_start[s] + T.bulk_most[s] - reserve
                        later = _later(
                            hands_of(n), shapes[n], shape_min[n], over + reserve, latest, bulk_end
                        )
                        over -= later - shapes[n]
                        shapes[n] = later
                    if over > 0 and T.cold_most[n]:
                        due = prepares[n]
                        chill = min(
                            max(over + reserve, T.cold_least),
                            T.cold_most[n],
                            due - least - shapes[n] - shape_min[n],
                            due - T.now,
                        )
                        span = (due - chill, due, T.fridge[n])
                        if chill >= T.cold_least and _fridge_has_room(
                            chilled.values(), span, T.fridge_places
                        ):
                            chilled[n] = span
                            cold[n] = chill
                            over -= chill
                    if over > 0:
                        day.over_proof += over
                if T.shaped[n] is None:
                    over = shapes[n] - bulk_start[s] - T.bulk_most[s]
                    if over > 0:
                        day.late_bulks.append((n, over))
                        day.over_proof += over
                out = ready + bake_min[n]
                pool = T.lot_pool[n]
                if pool >= 0:
                    kit_held[pool] -= T.pieces[n]
                    uses[pool].append((out, T.pieces[n]))
                outs += out
                if out + T.cool[n] > cooled_latest:
                    cooled_latest = out + T.cool[n]
        for e, start in enumerate(events):
            if start == NEVER:
                place_event(e)
        if self.ease:
            self._balance(day, choice.order, hands_of)
        self._clean_up(day, hands, loader)
        self._sum_up(day, choice, cooled_latest, outs)
        return day

    def _balance(self, day: Day, order: Order, hands_of: Callable[[int], list[Spans]]) -> None:
        """Shapes lots later, where they have more reserve in the bowl than on the bench: the smaller of the two grows."""
        T = self.tables
        day.margin, day.tight = NEVER, 0
        for number in range(len(order) - 1, -1, -1):
            start = day.loads[number][0]
            for n in reversed(order[number][1]):
                if T.shaped[n] is not None:
                    if n not in T.half_baked:
                        cold = min(day.cold[n], T.cold_most[n])
                        self._note_margin(
                            day, T.proof_most[n] + cold - start + day.shapes[n] + T.shape[n]
                        )
                    continue
                s = T.station[n]
                shaped = day.shapes[n]
                bulk_end = day.doughs.bulk_start[s] + T.bulk_most[s]
                proof = start - shaped - T.shape[n] - min(day.cold[n], T.cold_most[n])
                between = bulk_end - shaped - (T.proof_most[n] - proof)
                latest = min(day.prepares[n] - day.cold[n] - T.to_proved[n], shaped + between)
                if between > 1 and T.shape[n] and latest > shaped:
                    shaped = _eased(
                        hands_of(n), shaped, T.shape[n], min(shaped + between // 2, latest), latest
                    )
                    proof -= shaped - day.shapes[n]
                    day.shapes[n] = shaped
                self._note_margin(day, min(bulk_end - shaped, T.proof_most[n] - proof))

    @staticmethod
    def _note_margin(day: Day, margin: int) -> None:
        day.margin = min(day.margin, margin)
        day.tight += max(0, EASE_MIN - margin)

    def _prepare(
        self, day: Day, lots: list[int], ready: int, hands_of: Callable[[int], list[Spans]]
    ) -> int:
        """Puts the preparing of ``lots`` as late as hands are free before a load at ``ready`` and gives ``ready`` back; gives a later
        minute to try, when they cannot all be proved, prepared and not stand too long by then."""
        T = self.tables
        shapes, to_proved, most = day.shapes, T.to_proved, T.problem.prepared_most_min
        if len(lots) > 1:  # the last to be proved is the last to be prepared
            lots = sorted(lots, key=lambda n: (-shapes[n] - to_proved[n], -n))
        until: dict[int, int] = {}
        for n in lots:
            s, minutes = T.station[n], T.prepare[n]
            proved = shapes[n] + to_proved[n]
            if proved < T.hands_from[s]:
                proved = T.hands_from[s]
            own = T.lot_hands[n]
            lists = hands_of(n)
            start = min(until.get(hand, ready) for hand in own) - minutes
            before = NEVER
            while before != start:
                before = start
                for starts, ends in lists:
                    start = last_gap(starts, ends, start + minutes, minutes)
            if start < proved or ready - start - minutes > most:
                later = common_gap(lists, max(proved, start + 1), minutes) + minutes
                return max(later, ready + 1)
            day.prepares[n] = start
            for hand in own:
                until[hand] = start
        return ready

    def _clean_up(self, day: Day, hands: list[Spans], loader: Spans) -> None:
        """Each station cleans up at the first moment after its last step, shaping and preparing."""
        T = self.tables
        last = T.hands_from[:]
        for n in T.with_preparing:
            if day.prepares[n] != NEVER and day.prepares[n] + T.prepare[n] > last[T.station[n]]:
                last[T.station[n]] = day.prepares[n] + T.prepare[n]
        for n, start in enumerate(day.shapes):
            s = T.station[n]
            if start != NEVER and start + T.shape[n] > last[s]:
                last[s] = start + T.shape[n]
        for s, minutes in enumerate(T.cleanup):
            begun = T.begun.cleanups[s]
            if begun is not None:
                day.cleanup.append(begun)
                continue
            start = last[s]
            if T.steps[s] and day.doughs.bulk_start[s] > start:
                start = day.doughs.bulk_start[s]
            lists = [hands[hand] for hand in T.station_hands[s]]
            if T.tutors[s] and not T.problem.assistants:
                lists.append(loader)
            day.cleanup.append(common_gap(lists, start, minutes))

    def _sum_up(self, day: Day, choice: Choice, cooled_latest: int, outs: int) -> None:
        """Finish, waits, and the numbers by which days are compared."""
        T = self.tables
        finish = cooled_latest
        for start, minutes in zip(day.cleanup, T.cleanup, strict=True):
            finish = max(finish, start + minutes)
        over_wait = day.doughs.over_wait + day.rescue_wait
        for e, start in enumerate(day.events):
            finish = max(finish, start + T.event_min[e])
            if (
                start > T.latest[e] and day.doughs.events[e] == NEVER
            ):  # the others are counted there
                over_wait += start - T.latest[e]
        day.over_wait, day.finish = over_wait, finish + T.problem.closing_min
        loads, fridge = len(choice.order), sum(minutes > 0 for minutes in day.cold)
        spread = outs + FRIDGE_MIN * fridge
        day.rank = Aims(over_wait, day.over_proof, day.finish, loads, 0, 0, day.finish, spread)
        day.score = (over_wait * 100 + day.over_proof * 3 + day.finish * 2) * 10**7
        day.score += loads * 10**5 + min(spread, 10**5 - 1)
        if self.ease:
            late = max(0, day.finish - self.ease.finish_min)
            short = EASE_MIN - min(EASE_MIN, day.margin, T.problem.class_min - day.finish)
            day.rank = Aims(over_wait, day.over_proof, late, loads, short, day.tight, day.finish, 0)
            day.score = (
                (over_wait * 100 + day.over_proof * 3 + late * 2 + loads * 20 + short) * 10**7
                + day.tight * 10**5
                + day.finish * 100
            )

    def _temperatures(self, order: Order) -> list[int]:
        """One temperature a load: oven by oven the sequence that costs the fewest minutes between loads, then the fewest degrees."""
        T = self.tables
        answer = [0] * len(order)
        for oven in T.ovens:
            numbers = [number for number, (where, _) in enumerate(order) if where == oven]
            ranges = tuple(T.range_c(oven, order[number][1]) for number in numbers)
            heats = self._sequences.get((oven, ranges))
            if heats is None:
                if len(self._sequences) > KEPT:
                    self._sequences.clear()
                heats = self._sequences[oven, ranges] = self._sequence(oven, ranges)
            for number, heat in zip(numbers, heats, strict=True):
                answer[number] = heat
        return answer

    def _sequence(self, oven: int, ranges: tuple[tuple[int, int] | None, ...]) -> tuple[int, ...]:
        """The cheapest temperatures for loads of these ranges, one after another, by dynamic programming.

        Only ends of ranges and the temperature at hand can be needed: any other could be moved to one of them without a longer way.
        """
        T = self.tables
        hot_c = T.hot_c[oven]
        ends = {c for span in ranges if span for c in span} | (
            {hot_c} if hot_c is not None else set()
        )
        paths: dict[int, tuple[int, int, tuple[int, ...]]] = {}
        for span in ranges:
            assert span is not None, "every load of a choice fits its oven"
            low, high = span
            found = {}
            for c in sorted(ends):
                if not low <= c <= high:
                    continue
                if paths:
                    found[c] = min(
                        (
                            minutes + max(T.change[oven][before, c], T.recover[oven]),
                            degrees + abs(c - before),
                            (*path, c),
                        )
                        for before, (minutes, degrees, path) in paths.items()
                    )
                elif hot_c is not None:
                    found[c] = (T.change[oven][hot_c, c], abs(c - hot_c), (c,))
                else:
                    found[c] = (max(0, T.first_heat[oven][c]), 0, (c,))
            paths = found
        return min(paths.values())[2] if paths else ()


def _put_unloadings(loader: Spans, outs: list[int], minutes: int) -> None:
    """Put the outs of one load; those that overlap each other are one."""
    start, end = outs[0], outs[0] + minutes
    for out in outs[1:]:
        if out < end:
            end = out + minutes
        else:
            put(*loader, start, end - start)
            start, end = out, out + minutes
    put(*loader, start, end - start)


def _later(
    lists: list[Spans], start: int, minutes: int, over: int, latest: int, bulk_end: int
) -> int:
    """Move a shaping later, so that its lot waits ``over`` minutes less for its load; returns the new start.

    Not beyond ``latest``, and only as far as the dough does not lose in the bowl, after ``bulk_end``, what it gains. ``lists`` are those
    of the hands, and of the loader where these are the tutor's.
    """
    target = min(start + over, max(start, bulk_end))
    if target == start:
        return start
    for starts, ends in lists:
        place = starts.index(start)
        del starts[place], ends[place]
    later = common_gap(lists, target, minutes)
    if later > latest or later - bulk_end > min(over, later - start):
        later = start
    for starts, ends in lists:
        put(starts, ends, later, minutes)
    return later


def _eased(lists: list[Spans], start: int, minutes: int, target: int, latest: int) -> int:
    """Move a shaping to the free moment at or after ``target`` by ``latest``, else to the last one before; returns the new start."""
    for starts, ends in lists:
        place = starts.index(start)
        del starts[place], ends[place]
    later = common_gap(lists, target, minutes)
    if later > latest:
        later, before = target, NEVER
        while before != later:
            before = later
            for starts, ends in lists:
                later = last_gap(starts, ends, later + minutes, minutes)
        later = max(start, later)
    for starts, ends in lists:
        put(starts, ends, later, minutes)
    return later


def _fridge_has_room(
    chilled: Iterable[tuple[int, int, int]], span: tuple[int, int, int], places: int
) -> bool:
    used = sum(count for start, end, count in chilled if start < span[1] and span[0] < end)
    return used + span[2] <= places
