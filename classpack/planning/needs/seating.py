"""A seating that keeps what people are allergic to away from their station, changing as few seats as possible.

It is a suggestion and an extra: nothing else in the plan relies on it. Seats are only exchanged, so every station keeps its
number of people. Up to four seats the search is complete (fewest people in conflict, then fewest seats changed); where
that is too much to try, or four do not settle it, single exchanges follow one another, the best first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations

from classpack.model.needs import Seating, SeatMove

MOST_SEATS = 4
MOST_WORK = 120_000
"""Seats looked at in all while searching: a class of twelve is searched completely, 500 people are not."""


@dataclass(frozen=True, slots=True)
class Sitting:
    """One person: their seat, what they use, and what must not be used beside them (ingredient names)."""

    index: int
    station: str
    seat: str
    uses: frozenset[str]
    keep_away: frozenset[str]


def in_conflict(sittings: Sequence[Sitting], stations: Sequence[str]) -> int:
    """How many people share a station with something to be kept away from them."""
    used: dict[str, list[frozenset[str]]] = {}
    for one, station in zip(sittings, stations, strict=True):
        used.setdefault(station, []).append(one.uses)
    return sum(
        1
        for one, station in zip(sittings, stations, strict=True)
        if one.keep_away and any(uses & one.keep_away for uses in used[station])
    )


def suggested_seating(sittings: Sequence[Sitting]) -> Seating:
    """The seats to change, if that helps anybody. A person's own ingredients are never in their ``keep_away``."""
    now = [one.station for one in sittings]
    before = in_conflict(sittings, now)
    if not before:
        return Seating((), 0, 0)
    order = _searched(sittings, now, before)
    after = in_conflict(sittings, [now[place] for place in order])
    if after >= before:
        return Seating((), before, before)
    moves = tuple(
        SeatMove(one.index, one.seat, sittings[order[n]].seat, sittings[order[n]].station)
        for n, one in enumerate(sittings)
        if order[n] != n
    )
    return Seating(moves, before, after)


def _searched(sittings: Sequence[Sitting], now: list[str], before: int) -> list[int]:
    """For each person the number of the sitting whose seat they take."""
    best, best_order = before, list(range(len(sittings)))
    people = _one_of_each_kind(sittings, MOST_SEATS)
    tries, most = 0, max(200, MOST_WORK // len(sittings))
    for count in range(2, MOST_SEATS + 1):
        for order in _orders(people, count, sittings):
            tries += 1
            if tries > most:
                return _one_by_one(sittings, now, people, best, best_order)
            found = in_conflict(sittings, [now[place] for place in order])
            if found < best:
                best, best_order = found, order
        if best == 0:
            break
    return best_order if best == 0 else _one_by_one(sittings, now, people, best, best_order)


def _one_of_each_kind(sittings: Sequence[Sitting], most: int) -> list[int]:
    """People worth trying: of those alike in everything at one station, only the first ``most``."""
    kinds: dict[tuple[str, frozenset[str], frozenset[str]], int] = {}
    found = []
    for number, one in enumerate(sittings):
        kind = (one.station, one.uses, one.keep_away)
        kinds[kind] = kinds.get(kind, 0) + 1
        if kinds[kind] <= most:
            found.append(number)
    return found


def _orders(people: Sequence[int], count: int, sittings: Sequence[Sitting]) -> Iterator[list[int]]:
    """Every way in which exactly ``count`` people take each other's seats, each going to another station."""
    for chosen in combinations(people, count):
        for taken in permutations(chosen):
            if all(
                sittings[a].station != sittings[b].station
                for a, b in zip(chosen, taken, strict=True)
            ):
                order = list(range(len(sittings)))
                for person, place in zip(chosen, taken, strict=True):
                    order[person] = place
                yield order


def _one_by_one(
    sittings: Sequence[Sitting], now: list[str], people: Sequence[int], best: int, order: list[int]
) -> list[int]:
    """Best single exchanges, one after another, from ``order`` on, as long as each helps."""
    tries, most = 0, max(400, 2 * MOST_WORK // len(sittings))
    while best:
        step: tuple[int, int] | None = None
        for a, b in combinations(people, 2):
            tries += 1
            if tries > most:
                return order
            if now[order[a]] == now[order[b]]:
                continue
            order[a], order[b] = order[b], order[a]
            found = in_conflict(sittings, [now[place] for place in order])
            if found < best:
                best, step = found, (a, b)
            order[a], order[b] = order[b], order[a]
        if step is None:
            return order
        a, b = step
        order[a], order[b] = order[b], order[a]
    return order
