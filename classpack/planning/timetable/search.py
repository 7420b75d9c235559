"""Finding good choices: first built up lot by lot, then improved by small changes.

The improving is late acceptance (E. K. Burke and Y. Bykov, The late acceptance hill-climbing heuristic, European Journal of
Operational Research 258, 2017): a change is taken when it is no worse than what stood some steps ago. It ends after a fixed
number of tried plans, never by the clock, so the same class gets the same plan everywhere.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import islice, permutations

from classpack.planning.timetable.chance import Chance
from classpack.planning.timetable.decoder import Choice, Day, Decoder, Order

MEMORY = 60  # steps looked back in late acceptance
PATIENCE = 700  # steps without a better plan before worse ones are allowed again
STARTS = 5  # different starts tried for a short time each,
SHORT = Fraction(8, 100)  # this share of all tries
KICK = 40 * 10**7  # how much worse, in the score of a day: about twenty minutes of the finish


class Found:
    """A choice with the day it gives."""

    __slots__ = ("choice", "day")

    def __init__(self, choice: Choice, day: Day) -> None:
        self.choice, self.day = choice, day


def plain_choice(decoder: Decoder, order: Order) -> Choice:
    """No dough held back, every talk when it is first needed."""
    T = decoder.tables
    events = tuple((-1, 0) if e in T.dough_events else (0, 0) for e in range(len(T.event_min)))
    return Choice(order, (0,) * len(T.tutors), events, ())


def build(decoder: Decoder, most: int) -> list[Found]:
    """Complete choices, best first: for every order of products (at most so many that about ``most`` plans are tried).

    What has been shaped already comes first, as it may hold tins that others wait for.
    """
    T = decoder.tables
    products = list(dict.fromkeys(T.product[n] for n in T.open_lots))
    by_proof = sorted(
        products,
        key=lambda p: (
            -max(T.proof_least[n] + T.bake[n] + T.cool[n] for n in T.open_lots if T.product[n] == p)
        ),
    )
    found: list[Found] = []
    begun = decoder.tried
    for order in islice(permutations(by_proof), 720):
        for filling in (False, True):
            lots = sorted(
                T.open_lots, key=lambda n: (T.shaped[n] is None, order.index(T.product[n]), n)
            )
            one = _build_one(decoder, lots, filling)
            if one is not None:
                found.append(one)
        if decoder.tried - begun > most:
            break
    found.sort(key=lambda one: one.day.rank)
    return found


def _build_one(decoder: Decoder, lots: list[int], filling: bool) -> Found | None:
    """Lots one by one into the load that gives the best partial plan; ``filling``: into a begun load wherever one takes it."""
    T = decoder.tables
    best = _better(decoder, None, ())
    for n in lots:
        if best is None:
            return None
        order = best.choice.order
        best = None
        for place, (oven, members) in enumerate(order):
            more = tuple(sorted((*members, n)))
            if T.range_c(oven, more) is not None:
                best = _better(decoder, best, (*order[:place], (oven, more), *order[place + 1 :]))
        if best is None or not filling:
            for oven in T.ovens:
                if T.range_c(oven, (n,)) is not None:
                    best = _better(decoder, best, (*order, (oven, (n,))))
    return best


def _better(decoder: Decoder, best: Found | None, order: Order) -> Found | None:
    choice = plain_choice(decoder, order)
    day = decoder.decode(choice)
    if day is None or (best is not None and best.day.rank <= day.rank):
        return best
    return Found(choice, day)


def improve_all(
    decoder: Decoder, starts: list[Found], effort: int, stop: Callable[[Day], bool]
) -> Found:
    """The best found from ``starts`` (one or more) within ``effort`` tried plans: a short try of each, then the two best for long."""
    by_rank = {found.day.rank: found for found in starts}
    field = [by_rank[rank] for rank in sorted(by_rank)][:STARTS]
    first = decoder.tried
    seed = 0
    for share, width in ((SHORT, STARTS), (1, 2)):
        field.sort(key=lambda found: found.day.rank)
        field = field[:width]
        for place, one in enumerate(field):
            if stop(min(field, key=lambda found: found.day.rank).day):
                break
            left = effort - (decoder.tried - first)
            tries = int(effort * share) if share < 1 else left // (len(field) - place)
            seed += 1
            field[place] = Search(decoder, seed, stop).improve(one, tries)
    return min(field, key=lambda found: found.day.rank)


def station_last(decoder: Decoder, now: Found, s: int, minutes: int) -> Choice:
    """The choice of ``now`` with the dough of station ``s`` that much later, and its lots in the last loads that take them."""
    T, choice = decoder.tables, now.choice
    holds = list(choice.holds)
    holds[s] = now.day.doughs.bulk_start[s] - T.steps[s][-1][0] + minutes
    order: list[tuple[int, tuple[int, ...]]] = []
    moved: list[tuple[int, int]] = []
    for oven, lots in choice.order:
        mine = [n for n in lots if T.station[n] == s]
        if len(mine) < len(lots):
            order.append((oven, tuple(n for n in lots if T.station[n] != s)))
        moved += [(oven, n) for n in mine]
    for oven, n in moved:
        for place in range(len(order) - 1, max(-1, len(order) - 1 - 2 * len(T.ovens)), -1):
            to, there = order[place]
            more = tuple(sorted((*there, n)))
            if T.range_c(to, more) is not None:
                order[place] = (to, more)
                break
        else:
            order.append((oven, (n,)))
    early = tuple(n for n in choice.early if T.station[n] != s)
    return Choice(tuple(order), tuple(holds), choice.events, early)


def with_one_station_last(decoder: Decoder, starts: list[Found]) -> list[Found]:
    """The best few ways of the two best ``starts`` with one station some 20 to 35 minutes later and its lots last into the oven."""
    T = decoder.tables
    found = []
    for one in starts[:2]:
        for s, steps in enumerate(T.steps):
            for minutes in (20, 35) if steps else ():
                choice = station_last(decoder, one, s, minutes)
                day = decoder.decode(choice)
                if day is not None:
                    found.append(Found(choice, day))
    return sorted(found, key=lambda one: one.day.rank)[:3]


class Search:
    """Late acceptance from one start."""

    def __init__(self, decoder: Decoder, seed: int, stop: Callable[[Day], bool]) -> None:
        self.decoder, self.tables, self.stop = decoder, decoder.tables, stop
        self.chance = Chance(seed)

    def improve(self, start: Found, tries: int) -> Found:
        """The best choice found within ``tries`` tried plans, or the first that ``stop`` is content with."""
        best = now = start
        memory = [start.day.score] * MEMORY
        improved = 0
        for step in range(tries):
            if self.stop(best.day):
                break
            if (
                step - improved >= PATIENCE
            ):  # stuck: go on from the best with worse days allowed for a while
                improved, now = step, best
                memory = [best.day.score + (1 + self.chance.below(4)) * KICK] * MEMORY
            choice = self._change(now)
            day = None if choice is None else self.decoder.decode(choice)
            slot = step % MEMORY
            if (
                day is not None
                and choice is not None
                and day.score <= max(memory[slot], now.day.score)
            ):
                now = Found(choice, day)
                if day.rank < best.day.rank:
                    best, improved = now, step
            memory[slot] = min(memory[slot], now.day.score)
        return best

    def _change(self, now: Found) -> Choice | None:
        below = self.chance.below
        kind = below(104)
        choice, order = now.choice, now.choice.order
        if kind >= 100:
            return self._station_last(now)
        if kind < 30:
            changed = self._move_lot(order)
        elif kind < 45:
            changed = self._swap_lots(order)
        elif kind < 60:
            changed = self._move_load(order)
        elif kind < 68:
            changed = self._other_oven(order)
        elif kind < 74:
            changed = self._move_product(order)
        elif kind < 84:
            return self._move_event(choice)
        elif kind < 94:
            return self._hold(now)
        else:
            return self._early(choice)
        if changed is None:
            return None
        return Choice(changed, choice.holds, choice.events, choice.early)

    def _move_lot(self, order: Order) -> Order | None:
        below, T = self.chance.below, self.tables
        if not order:
            return None
        a = below(len(order))
        oven, members = order[a]
        n = members[below(len(members))]
        rest = tuple(m for m in members if m != n)
        loads = list(order)
        if rest:
            loads[a] = (oven, rest)
        else:
            del loads[a]
        if loads and below(100) < 65:
            b = below(len(loads))
            to, there = loads[b]
            more = tuple(sorted((*there, n)))
            if T.range_c(to, more) is None:
                return None
            loads[b] = (to, more)
        else:
            to = below(len(T.ovens))
            if T.range_c(to, (n,)) is None:
                return None
            loads.insert(below(len(loads) + 1), (to, (n,)))
        return tuple(loads)

    def _swap_lots(self, order: Order) -> Order | None:
        below, T = self.chance.below, self.tables
        if len(order) < 2:
            return None
        a, b = below(len(order)), below(len(order))
        if a == b:
            return None
        (oven_a, lots_a), (oven_b, lots_b) = order[a], order[b]
        n, m = lots_a[below(len(lots_a))], lots_b[below(len(lots_b))]
        new_a = tuple(sorted((*(k for k in lots_a if k != n), m)))
        new_b = tuple(sorted((*(k for k in lots_b if k != m), n)))
        if T.range_c(oven_a, new_a) is None or T.range_c(oven_b, new_b) is None:
            return None
        loads = list(order)
        loads[a], loads[b] = (oven_a, new_a), (oven_b, new_b)
        return tuple(loads)

    def _move_load(self, order: Order) -> Order | None:
        below = self.chance.below
        if len(order) < 2:
            return None
        loads = list(order)
        load = loads.pop(below(len(loads)))
        loads.insert(below(len(loads) + 1), load)
        return tuple(loads)

    def _other_oven(self, order: Order) -> Order | None:
        below, T = self.chance.below, self.tables
        if not order or len(T.ovens) < 2:
            return None
        a, to = below(len(order)), below(len(T.ovens))
        oven, members = order[a]
        loads = list(order)
        if to == oven:
            return None
        if below(2) and len(order) > 1:
            b = below(len(order))
            other, there = order[b]
            if T.range_c(other, members) is None or T.range_c(oven, there) is None:
                return None
            loads[a], loads[b] = (oven, there), (other, members)
        else:
            if T.range_c(to, members) is None:
                return None
            loads[a] = (to, members)
        return tuple(loads)

    def _move_product(self, order: Order) -> Order | None:
        """All loads with a product to the front, to the back, or to before another."""
        below, T = self.chance.below, self.tables
        if len(order) < 2:
            return None
        members = order[below(len(order))][1]
        product = T.product[members[below(len(members))]]
        chosen = [load for load in order if any(T.product[n] == product for n in load[1])]
        rest = [load for load in order if not any(T.product[n] == product for n in load[1])]
        place = below(len(rest) + 1)
        return tuple(rest[:place] + chosen + rest[place:])

    def _move_event(self, choice: Choice) -> Choice | None:
        below, T = self.chance.below, self.tables
        movable = T.floating + T.dough_events
        if not movable:
            return None
        e = movable[below(len(movable))]
        events = list(choice.events)
        latest = min(T.latest[e], T.earliest[e] + 180)
        minute = T.earliest[e] + below(max(1, latest - T.earliest[e] + 1))
        if e in T.dough_events:
            if T.latest[e] <= T.earliest[e]:
                return None
            events[e] = (-1, 0 if below(2) else T.earliest[e] + below(60))
        elif below(4) == 0:
            events[e] = (-1, minute)
        else:
            events[e] = (below(len(choice.order) + 1), 0 if below(3) else minute)
        return Choice(choice.order, choice.holds, tuple(events), choice.early)

    def _hold(self, now: Found) -> Choice | None:
        """Start bulk proofs later by what a dough waits too long, hold them less, or hold several alike."""
        below, T, day = self.chance.below, self.tables, now.day
        holds = list(now.choice.holds)
        made_here = [s for s, steps in enumerate(T.steps) if steps]
        if not made_here:
            return None
        last_start = {s: day.doughs.bulk_start[s] - T.steps[s][-1][0] for s in made_here}
        late = [(n, over) for n, over in day.late_bulks if T.steps[T.station[n]]]
        kind = below(8)
        if late and kind < 4:
            n, over = late[below(len(late))]
            s = T.station[n]
            holds[s] = last_start[s] + (over if below(2) else 1 + below(over))
        elif kind < 6:
            s = made_here[below(len(made_here))]
            way = below(3)
            if way == 0:
                holds[s] = 0
            elif way == 1:
                holds[s] = max(0, holds[s] - 1 - below(15))
            else:
                holds[s] = last_start[s] + 1 + below(15)
        elif (
            kind == 6
        ):  # several as late as the latest: talks after the last of them come no later for it
            like = max(last_start.values()) - below(20) * below(2)
            spared = made_here[below(len(made_here))] if below(2) else -1
            for s in made_here:
                if s != spared and below(4):
                    holds[s] = max(0, like)
        else:
            for s in made_here:
                holds[s] = max(0, holds[s] - 10) if below(2) else 0
        return Choice(now.choice.order, tuple(holds), now.choice.events, now.choice.early)

    def _station_last(self, now: Found) -> Choice | None:
        """One station a quarter of an hour to an hour later, its lots the last to bake: no way of small changes leads there."""
        below, T = self.chance.below, self.tables
        made_here = [s for s, steps in enumerate(T.steps) if steps]
        if not made_here:
            return None
        s = made_here[below(len(made_here))]
        return station_last(self.decoder, now, s, 15 + below(46))

    def _early(self, choice: Choice) -> Choice | None:
        """A lot is shaped before all others of its turn, or no longer."""
        below, T = self.chance.below, self.tables
        if choice.early and below(2):
            drop = choice.early[below(len(choice.early))]
            early = tuple(n for n in choice.early if n != drop)
        elif not T.open_lots:
            return None
        else:
            n = T.open_lots[below(len(T.open_lots))]
            rest = [m for m in choice.early if m != n]
            rest.insert(below(len(rest) + 1), n)
            early = tuple(rest)
        return Choice(choice.order, choice.holds, choice.events, early)
