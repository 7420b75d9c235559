"""The first half of a day: dough steps, and the talks among them, each as early as it can be.

:func:`place_doughs` is worked out once for each way of holding doughs back and kept while loads are tried in thousands of ways.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from classpack.planning.timetable.tables import NEVER, Tables


def first_gap(starts: list[int], ends: list[int], start: int, minutes: int) -> int:
    """The first moment from ``start`` with ``minutes`` free between spans that do not overlap and are in order.

    >>> first_gap([10, 30], [20, 35], 5, 6)
    20
    """
    number = bisect_right(ends, start)
    while number < len(starts) and starts[number] < start + minutes:
        start = ends[number]
        number += 1
    return start


def last_gap(starts: list[int], ends: list[int], end: int, minutes: int) -> int:
    """The last moment at which ``minutes`` are free and over by ``end``.

    >>> last_gap([10, 30], [20, 35], 33, 6)
    24
    """
    number = bisect_left(starts, end) - 1
    while number >= 0 and ends[number] > end - minutes:
        end = starts[number]
        number -= 1
    return end - minutes


def take_gap(starts: list[int], ends: list[int], start: int, minutes: int) -> int:
    """:func:`first_gap` and :func:`put` in one."""
    number = bisect_right(ends, start)
    while number < len(starts) and starts[number] < start + minutes:
        start = ends[number]
        number += 1
    if minutes > 0:
        starts.insert(number, start)
        ends.insert(number, start + minutes)
    return start


def put(starts: list[int], ends: list[int], start: int, minutes: int) -> None:
    """Put a span into the lists of :func:`first_gap`."""
    if minutes > 0:
        number = bisect_right(starts, start)
        starts.insert(number, start)
        ends.insert(number, start + minutes)


class Doughs:
    """The day as far as the doughs go: what is busy, what has been placed, what waited too long.

    ``starts``/``ends`` per pair of hands: busy, events among them; ``loader_starts``/``loader_ends``: the loader's. ``uses`` per pool:
    (end, how many). ``events``: start or ``NEVER``.
    """

    def __init__(self, tables: Tables) -> None:
        stations = len(tables.tutors)
        self.starts: list[list[int]] = [[] for _ in range(tables.hand_count)]
        self.ends: list[list[int]] = [[] for _ in range(tables.hand_count)]
        self.loader_starts: list[int] = []
        self.loader_ends: list[int] = []
        self.steps: list[list[int]] = [[] for _ in range(stations)]
        self.bulk_start: list[int] = [0] * stations
        self.events: list[int] = [NEVER] * len(tables.event_min)
        self.uses: list[list[tuple[int, int]]] = [[] for _ in tables.pool_count]
        self.over_wait = 0


def place_doughs(
    tables: Tables, holds: tuple[int, ...], talks: tuple[tuple[int, int], ...]
) -> Doughs:
    """Steps and talks; ``holds``: no last step before that minute; ``talks``: (event, not before) to be placed before the steps.

    An event after a step needs the steps, and a step after an event the events: both are placed in turns until nothing moves; where
    that has no end, as it may when many benches share few mixers, one after the other, so that some doughs rest too long.
    """
    wanted = dict(talks)
    placed = list(dict.fromkeys([*tables.dough_events, *wanted]))
    steps: list[list[int]] = [[] for _ in tables.steps]
    for _ in range(12):
        doughs = Doughs(tables)
        _put_begun(tables, doughs)
        for e in sorted(placed, key=lambda e: (_event_low(tables, e, steps, wanted.get(e, 0)), e)):
            _put_event(tables, doughs, e, _event_low(tables, e, steps, wanted.get(e, 0)))
        pool_spans = _begun_kit(tables)
        for s in sorted(range(len(steps)), key=lambda s: (holds[s], s)):
            doughs.steps[s] = _chain(tables, doughs, s, holds[s], pool_spans)
        if doughs.steps == steps:
            break
        steps = doughs.steps
    else:
        doughs = _one_by_one(tables, holds, wanted, placed)
    _finish(tables, doughs, placed)
    return doughs


def _one_by_one(
    tables: Tables, holds: tuple[int, ...], wanted: dict[int, int], placed: list[int]
) -> Doughs:
    """Events and steps, each as early as it can be once all that must come before it have their place."""
    doughs, busy = Doughs(tables), Doughs(tables)
    _put_begun(tables, doughs)
    _put_begun(tables, busy)
    pool_spans = _begun_kit(tables)
    left = [e for e in placed if tables.begun.events[e] is None]
    while True:
        ready = [e for e in left if all(j < len(doughs.steps[s]) for s, j in tables.after[e])]
        if ready:
            e = min(ready, key=lambda e: (_event_low(tables, e, doughs.steps, wanted.get(e, 0)), e))
            left.remove(e)
            _put_event(tables, busy, e, _event_low(tables, e, doughs.steps, wanted.get(e, 0)))
            doughs.events[e] = busy.events[e]
            continue
        waiting = {step for e in left for step in tables.before[e]}
        found = []
        for s, steps in enumerate(tables.steps):
            j = len(doughs.steps[s])
            if j < len(steps) and (s, j) not in waiting:
                found.append(
                    (_step_start(tables, busy, s, doughs.steps[s], holds[s], pool_spans), s)
                )
        if not found:
            break
        start, s = min(found)
        j = len(doughs.steps[s])
        minutes, _, _, pool = tables.steps[s][j]
        doughs.steps[s].append(start)
        if tables.begun.steps[s][j] is None:
            _put_hands(tables, busy, s, start, minutes)
            if pool >= 0:
                pool_spans[pool].append((start, start + minutes))
    for e in placed:
        if tables.begun.events[e] is None:
            _put_event(tables, doughs, e, busy.events[e], fixed=True)
    return doughs


def _step_start(
    tables: Tables,
    busy: Doughs,
    s: int,
    before: list[int],
    hold: int,
    pool_spans: list[list[tuple[int, int]]],
) -> int:
    """The earliest start of the step after those in ``before``."""
    j = len(before)
    minutes, least, _, pool = tables.steps[s][j]
    begun = tables.begun.steps[s][j]
    if begun is not None:
        return begun
    start = tables.hands_from[s]
    if j:
        start = max(start, before[-1] + tables.steps[s][j - 1][0] + least)
    if j == len(tables.steps[s]) - 1:
        start = max(start, hold)
    for e, guarded in enumerate(tables.before):
        if (s, j) in guarded and busy.events[e] != NEVER:
            start = max(start, busy.events[e] + tables.event_min[e])
    return _free(tables, busy, s, start, minutes, pool, pool_spans)


def _free(
    tables: Tables,
    doughs: Doughs,
    s: int,
    start: int,
    minutes: int,
    pool: int,
    pool_spans: list[list[tuple[int, int]]],
) -> int:
    """The first moment from ``start`` with hands free at station ``s``, the loader's too where these are the tutor's, and kit."""
    lists = [(doughs.starts[hand], doughs.ends[hand]) for hand in tables.station_hands[s]]
    if tables.tutors[s] and not tables.problem.assistants:
        lists.append((doughs.loader_starts, doughs.loader_ends))
    before = -1
    while before != start:
        before = start
        start = common_gap(lists, start, minutes)
        if pool >= 0:
            start = _pool_gap(pool_spans[pool], tables.pool_count[pool], start, minutes)
    return start


def _put_begun(tables: Tables, doughs: Doughs) -> None:
    """Everything begun before now, so that nothing is planned into it."""
    problem, begun = tables.problem, tables.begun
    for e, start in enumerate(begun.events):
        if start is not None:
            _put_event(tables, doughs, e, start, fixed=True)
    for load in begun.loads:
        outs = {load.start_min + tables.bake[tables.number[key]] for key in load.lots}
        for start, minutes in [
            (load.start_min, problem.loading_min),
            *((out, problem.unloading_min) for out in outs),
        ]:
            if start + minutes > tables.now:
                _put_overlapping(doughs.loader_starts, doughs.loader_ends, start, minutes)
    for n, hands_of_lot in enumerate(tables.lot_hands):
        for start, minutes in (
            (tables.shaped[n], tables.shape[n]),
            (tables.prepared[n], tables.prepare[n]),
        ):
            if start is not None and start + minutes > tables.now:
                _put_hands(tables, doughs, tables.station[n], start, minutes, hands_of_lot)
    hands = [(s, start, tables.cleanup[s]) for s, start in enumerate(begun.cleanups)]
    hands += [
        (s, start, minutes)
        for s, steps in enumerate(tables.steps)
        for (minutes, _, _, _), start in zip(steps, begun.steps[s], strict=True)
    ]
    for s, start, minutes in hands:
        if start is not None and start + minutes > tables.now:
            _put_hands(tables, doughs, s, start, minutes)


def _begun_kit(tables: Tables) -> list[list[tuple[int, int]]]:
    """Per pool, when one of it is in use for a step that has begun."""
    spans: list[list[tuple[int, int]]] = [[] for _ in tables.pool_count]
    for steps, starts in zip(tables.steps, tables.begun.steps, strict=True):
        for (minutes, _, _, pool), start in zip(steps, starts, strict=True):
            if pool >= 0 and start is not None:
                spans[pool].append((start, start + minutes))
    return spans


def _put_hands(
    tables: Tables,
    doughs: Doughs,
    s: int,
    start: int,
    minutes: int,
    hands: tuple[int, ...] | None = None,
) -> None:
    """Hands of station ``s`` are busy (all, or only these), and the loader too where these are the tutor's."""
    for hand in tables.station_hands[s] if hands is None else hands:
        _put_overlapping(doughs.starts[hand], doughs.ends[hand], start, minutes)
    if tables.tutors[s] and not tables.problem.assistants:
        _put_overlapping(doughs.loader_starts, doughs.loader_ends, start, minutes)


def _put_overlapping(starts: list[int], ends: list[int], start: int, minutes: int) -> None:
    """Put a span that may overlap others (what has happened need not keep the rules): overlapping ones become one."""
    end = start + minutes
    if end == start:
        return
    keep = [(a, b) for a, b in zip(starts, ends, strict=True) if b < start or a > end]
    for a, b in zip(starts, ends, strict=True):
        if not (b < start or a > end):
            start, end = min(start, a), max(end, b)
    spans = sorted([*keep, (start, end)])
    starts[:], ends[:] = [a for a, _ in spans], [b for _, b in spans]


def _event_low(tables: Tables, e: int, steps: list[list[int]], not_before: int) -> int:
    low = max(tables.earliest[e], not_before)
    for s, j in tables.after[e]:
        if steps[s]:
            low = max(low, steps[s][j] + tables.steps[s][j][0])
    return low


def _put_event(tables: Tables, doughs: Doughs, e: int, start: int, *, fixed: bool = False) -> None:
    minutes = tables.event_min[e]
    lists = list(zip(doughs.starts, doughs.ends, strict=True))
    if tables.takes_tutor[e]:
        lists.append((doughs.loader_starts, doughs.loader_ends))
    if not fixed:
        start = common_gap(lists, start, minutes)
    doughs.events[e] = start
    for starts, ends in lists:
        if fixed and start + minutes > tables.now:
            _put_overlapping(starts, ends, start, minutes)
        elif not fixed:
            put(starts, ends, start, minutes)


def common_gap(lists: list[tuple[list[int], list[int]]], start: int, minutes: int) -> int:
    """The first moment from ``start`` with ``minutes`` free in every one of ``lists``."""
    number, content = 0, 0
    while content < len(lists):
        starts, ends = lists[number]
        later = first_gap(starts, ends, start, minutes)
        content = content + 1 if later == start else 1
        start = later
        number = (number + 1) % len(lists)
    return start


def _chain(
    tables: Tables, doughs: Doughs, s: int, hold: int, pool_spans: list[list[tuple[int, int]]]
) -> list[int]:
    """Starts of the steps of station ``s``. Where a wait would grow too long, the step before is started later."""
    steps, begun = tables.steps[s], tables.begun.steps[s]
    low = [tables.hands_from[s]] * len(steps)
    if steps:
        low[-1] = max(low[-1], hold)
    for e, guarded in enumerate(tables.before):
        for station, j in guarded:
            if station == s and doughs.events[e] != NEVER:
                low[j] = max(low[j], doughs.events[e] + tables.event_min[e])
    starts: list[int] = []
    patience = 60 * len(steps)
    while len(starts) < len(steps):
        j = len(starts)
        minutes, least, most, pool = steps[j]
        fixed = begun[j]
        if fixed is not None:
            starts.append(fixed)
            continue
        end_before = starts[-1] + steps[j - 1][0] if j else 0
        start = max(low[j], end_before + least) if j else low[0]
        start = _free(tables, doughs, s, start, minutes, pool, pool_spans)
        if j and start - end_before > most and begun[j - 1] is None and patience > 0:
            patience -= 1
            low[j - 1] = max(low[j - 1] + 1, start - most - steps[j - 1][0])
            starts.pop()
            continue
        starts.append(start)
    for (minutes, _, _, pool), start, begun_start in zip(steps, starts, begun, strict=True):
        if pool >= 0 and begun_start is None:
            pool_spans[pool].append((start, start + minutes))
    return starts


def _pool_gap(spans: list[tuple[int, int]], count: int, start: int, minutes: int) -> int:
    """The first moment from ``start`` at which one more of ``count`` things is free for ``minutes``."""
    while True:
        clash = [(a, b) for a, b in spans if a < start + minutes and start < b]
        points = [start, *(a for a, _ in clash if a > start)]
        if all(sum(a <= point < b for a, b in clash) < count for point in points):
            return start
        start = min(b for _, b in clash)


def _finish(tables: Tables, doughs: Doughs, placed: list[int]) -> None:
    """Put the steps among the busy hands, note when bulk proofs start, and count what waited too long."""
    for s, starts in enumerate(doughs.steps):
        steps, begun = tables.steps[s], tables.begun.steps[s]
        for j, ((minutes, _, most, pool), start) in enumerate(zip(steps, starts, strict=True)):
            if begun[j] is None and not tables.tutors[s]:
                for hand in tables.station_hands[s]:
                    put(doughs.starts[hand], doughs.ends[hand], start, minutes)
            elif begun[j] is None:
                _put_hands(tables, doughs, s, start, minutes)
            if pool >= 0:
                doughs.uses[pool].append((start + minutes, 1))
            if begun[j] is None:
                late = (
                    start - starts[j - 1] - steps[j - 1][0] - most
                    if j
                    else start - tables.first_latest[s]
                )
                doughs.over_wait += max(0, late)
        began = tables.problem.stations[s].bulk_began_min
        doughs.bulk_start[s] = starts[-1] + steps[-1][0] if steps else (began or 0)
    for e in placed:
        doughs.over_wait += max(0, doughs.events[e] - tables.latest[e])
    for n, shaped in enumerate(tables.shaped):
        pool, key = tables.lot_pool[n], tables.keys[n]
        if shaped is not None and pool >= 0:
            outs = [
                load.start_min + tables.bake[n] for load in tables.begun.loads if key in load.lots
            ]
            if outs:
                doughs.uses[pool].append((outs[0], tables.pieces[n]))
