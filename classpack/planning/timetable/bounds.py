"""How early the class could end at best, whatever the plan: two proofs a tutor can follow.

*The longest chain*: steps, rests, proofs, bake and cooling of one pair of hands, doing one thing at a time.
*The ovens' work*: places times minutes of all that must bake, spread evenly over all ovens.
"""

from __future__ import annotations

from math import ceil

from classpack.model.day_advice import Bound
from classpack.planning.timetable.tables import NEVER, Tables


def bounds(tables: Tables) -> tuple[Bound, ...]:
    """Every bound, latest first."""
    earliest = _earliest_shapes(tables)
    found = [*_chains(tables, earliest), _oven_work(tables, earliest), _events(tables)]
    return tuple(sorted(found, key=lambda bound: -bound.finish_min))


def fewest_loads(tables: Tables) -> int:
    """No plan has fewer loads than this: by places, and by products whose temperatures never meet."""
    open_lots = tables.open_lots
    if not open_lots:
        return len(tables.begun.loads)
    most = max(oven.places for oven in tables.problem.ovens)
    by_range: list[list[int]] = []
    for n in sorted(open_lots, key=lambda n: tables.high_c[n]):
        if by_range and tables.low_c[n] <= by_range[-1][0]:
            by_range[-1].append(n)
        else:
            by_range.append([tables.high_c[n], n])
    places = 0
    for product in sorted({tables.product[n] for n in open_lots}):
        lots = [n for n in open_lots if tables.product[n] == product]
        places += ceil(sum(tables.pieces[n] for n in lots) / max(1, max(tables.on_place[lots[0]])))
    return len(tables.begun.loads) + max(ceil(places / most), len(by_range))


def _earliest_shapes(T: Tables) -> list[int]:
    """The earliest minute at which each lot could be shaped, if its station were alone (a lot shaped already: when it was)."""
    ends: dict[tuple[int, int], int] = {}
    longest = max((len(steps) for steps in T.steps), default=0)
    event_end = [0] * len(T.event_min)
    for _ in range(longest + 2):
        for e, minutes in enumerate(T.event_min):
            begun = T.begun.events[e]
            after = max((ends.get(step, 0) for step in T.after[e]), default=0)
            event_end[e] = (begun if begun is not None else max(T.earliest[e], after)) + minutes
        for s, steps in enumerate(T.steps):
            end = 0
            for j, (minutes, least, _, _) in enumerate(steps):
                fixed = T.begun.steps[s][j]
                start = T.hands_from[s] if j == 0 else max(end + least, T.now)
                before = [
                    e
                    for e, guarded in enumerate(T.before)
                    if (s, j) in guarded and T.begun.events[e] is None
                ]
                all_before = [
                    e
                    for e, guarded in enumerate(T.before)
                    if any(t == s and k <= j for t, k in guarded) and T.begun.events[e] is None
                ]
                start = max([start, *(event_end[e] for e in before)])
                hands = sum(steps[k][0] for k in range(j) if T.begun.steps[s][k] is None)
                if j == 0 or T.begun.steps[s][0] is None:
                    start = max(
                        start,
                        T.hands_from[s] * (not all_before)
                        + hands
                        + sum(T.event_min[e] for e in all_before),
                    )
                end = (fixed if fixed is not None else start) + minutes
                ends[s, j] = end
    shapes = []
    for n, (s, _) in enumerate(T.keys):
        shaped = T.shaped[n]
        if shaped is not None:
            shapes.append(shaped)
            continue
        began = (
            ends[s, len(T.steps[s]) - 1]
            if T.steps[s]
            else (T.problem.stations[s].bulk_began_min or 0)
        )
        needs = T.needs[T.product[n]]
        shapes.append(
            max([began + T.bulk_least[s], T.hands_from[s], *(event_end[e] for e in needs)])
        )
    return shapes


def _chains(T: Tables, earliest: list[int]) -> list[Bound]:
    """One pair of hands shapes all its lots: the first no earlier than the earliest, each followed by its own tail."""
    found = []
    closing = T.problem.closing_min
    baked = {T.number[key]: load.start_min for load in T.begun.loads for key in load.lots}
    for s, hand in ((s, hand) for s, hands in enumerate(T.station_hands) for hand in hands):
        station = T.problem.stations[s]
        lots = [n for n, hands in enumerate(T.lot_hands) if hand in hands]
        fixed = [(baked[n] + T.bake[n] + T.cool[n], n) for n in lots if n in baked]
        for end, n in fixed:
            found.append(
                Bound("chain", closing + end, station.name, T.problem.products[T.product[n]].name)
            )
        for n in (n for n in lots if n not in baked and T.shaped[n] is not None):
            end = max(earliest[n] + T.shape[n] + T.proof_least[n], T.now) + T.bake[n] + T.cool[n]
            found.append(
                Bound("chain", closing + end, station.name, T.problem.products[T.product[n]].name)
            )
        rest = [n for n in lots if T.shaped[n] is None]
        tail = {n: T.proof_least[n] + T.bake[n] + T.cool[n] for n in rest}
        for last in rest:
            for first in rest:
                some = [n for n in rest if tail[n] >= tail[last] and earliest[n] >= earliest[first]]
                if some:
                    end = (
                        min(earliest[n] for n in some)
                        + sum(T.shape[n] for n in some)
                        + min(tail[n] for n in some)
                    )
                    found.append(
                        Bound(
                            "chain",
                            closing + end,
                            station.name,
                            T.problem.products[T.product[last]].name,
                        )
                    )
        if rest and T.begun.cleanups[s] is None:
            end = min(earliest[n] for n in rest) + sum(T.shape[n] for n in rest) + T.cleanup[s]
            found.append(Bound("chain", closing + end, station.name))
    return found


def _oven_work(T: Tables, earliest: list[int]) -> Bound:
    """Of every set of products: places x minutes, over all places from the first moment one of them can go in."""
    best = 0
    lots = T.open_lots
    ovens = [o for o in T.ovens if T.oven_until[o] == NEVER or T.oven_until[o] > T.now]
    products = sorted({T.product[n] for n in lots})
    if not ovens or not lots:
        return Bound("ovens", 0)
    gap = min(T.recover[o] for o in ovens)
    all_places = sum(T.problem.ovens[o].places for o in ovens)
    ready = {
        n: max(
            earliest[n] + T.shape[n] + T.proof_least[n], T.now, min(T.oven_from[o] for o in ovens)
        )
        for n in lots
    }
    for chosen in range(1, 1 << min(len(products), 8)):
        some = [n for n in lots if chosen >> products.index(T.product[n]) & 1]
        work = sum(
            T.pieces[n] * (T.bake[n] + gap) * 1000 // max(1, max(T.on_place[n])) for n in some
        )
        end = (
            min(ready[n] for n in some)
            + ceil(work / (1000 * all_places))
            - gap
            + min(T.cool[n] for n in some)
        )
        best = max(best, end)
    return Bound("ovens", best + T.problem.closing_min)


def _events(T: Tables) -> Bound:
    """All talks that have not begun, one after another."""
    left = [e for e in range(len(T.event_min)) if T.begun.events[e] is None]
    end = min((T.earliest[e] for e in left), default=0) + sum(T.event_min[e] for e in left)
    begun = [start + T.event_min[e] for e, start in enumerate(T.begun.events) if start is not None]
    cleaned = [
        start + T.cleanup[s] for s, start in enumerate(T.begun.cleanups) if start is not None
    ]
    return Bound("events", T.problem.closing_min + max([end, *begun, *cleaned]))
