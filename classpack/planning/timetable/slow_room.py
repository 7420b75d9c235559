"""A day as it goes in a real room: the plan's order is kept, hands are slower, an oven bakes longer, and everything comes later as it must.

Written apart from planner and rule checker: one walk through the plan's starts in their order, each no earlier than planned, than
what it follows, and than the hands, the loader, the oven and the kit it needs. Nobody plans anew.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from math import ceil

from classpack.model.day import DayPlan, DayProblem, Window
from classpack.model.day_advice import LotLimit, SlowRoom
from classpack.planning.timetable.warmer_room import lot_limits

SLOWER = Fraction(5, 4)
RESERVE_LEAST_MIN = 5
"""A dough with less than this before its wait is too long has no reserve: the project's choice."""


def lived_through(
    problem: DayProblem,
    plan: DayPlan,
    hands: Fraction = Fraction(1),
    bakes: dict[str, Fraction] | None = None,
    *,
    by_the_dough: bool = False,
) -> SlowRoom:
    """The plan lived through.

    Args:
        hands: how much longer everything takes that hands do (5/4: a quarter).
        bakes: by oven, how much longer a bake takes in it (23/20 stands for about 15 °C cold: common practice, no source).
        by_the_dough: a dough is taken as soon as its shortest proof is over; else it gets the time the plan gives it, up to the usual.
    """
    products = {product.name: product for product in problem.products}
    free: dict[object, int] = defaultdict(lambda: -(10**6))
    ended: dict[tuple[object, ...], int] = {}
    heat: dict[int, int] = {}
    over = 0

    def slower(minutes: int) -> int:
        return ceil(minutes * hands)

    def take(keys: list[object], start: int, minutes: int) -> int:
        start = max([start, *(free[key] for key in keys)])
        for key in keys:
            free[key] = start + minutes
        return start + minutes

    def needed(window: Window, planned: int) -> int:
        return window.least if by_the_dough else max(window.least, min(window.usual, planned))

    def mine(s: int, lot: int | None = None) -> list[object]:
        station = problem.stations[s]
        pairs = range(station.hands) if lot is None else station.lots[lot].hands
        hands_of: list[object] = [("hands", s, pair) for pair in pairs]
        return [*hands_of, "loader"] if station.tutors and not problem.assistants else hands_of

    everything: list[tuple[int, int, str, tuple[int, int]]] = []
    for e, start in enumerate(plan.event_starts):
        everything.append((start, 1, "event", (e, 0)))
    for s, station in enumerate(problem.stations):
        everything += [(start, 2, "step", (s, j)) for j, start in enumerate(plan.step_starts[s])]
        everything += [(start, 3, "shape", (s, i)) for i, start in enumerate(plan.shape_starts[s])]
        everything += [
            (start, 3, "prepare", (s, i))
            for i, start in enumerate(plan.prepare_starts[s])
            if station.lots[i].prepare_min
        ]
        everything.append((plan.cleanup_starts[s], 5, "clean", (s, 0)))
    everything += [(load.start_min, 4, "load", (k, 0)) for k, load in enumerate(plan.loads)]
    for planned, _, kind, (s, i) in sorted(everything):
        if kind == "event":
            event = problem.events[s]
            keys: list[object] = [
                ("hands", n, pair)
                for n, station in enumerate(problem.stations)
                for pair in range(station.hands)
            ]
            if event.needs_tutor and not problem.assistants:
                keys.append("loader")
            ended["event", s] = take(keys, planned, event.minutes)
        elif kind == "step":
            station = problem.stations[s]
            step, start = station.steps[i], planned
            if i:
                rest = planned - plan.step_starts[s][i - 1] - station.steps[i - 1].minutes
                start = max(start, ended["step", s, i - 1] + min(step.wait_least, rest))
            ended["step", s, i] = take(mine(s), start, slower(step.minutes))
        elif kind == "shape":
            station, lot = problem.stations[s], problem.stations[s].lots[i]
            steps = station.steps
            bulk_at = ended["step", s, len(steps) - 1] if steps else (station.bulk_began_min or 0)
            before = plan.step_starts[s][-1] + steps[-1].minutes if steps else bulk_at
            start = max(planned, bulk_at + needed(station.bulk, planned - before))
            ended["shape", s, i] = take(mine(s, i), start, slower(lot.shape_min))
            over += max(
                0, ended["shape", s, i] - slower(lot.shape_min) - bulk_at - station.bulk.most
            )
        elif kind == "prepare":
            lot = problem.stations[s].lots[i]
            proved = planned - plan.shape_starts[s][i] - lot.shape_min - plan.cold_min[s][i]
            start = ended["shape", s, i] + needed(products[lot.product].proof, proved)
            start = max(planned, start + plan.cold_min[s][i])
            ended["prepare", s, i] = take(mine(s, i), start, slower(lot.prepare_min))
        elif kind == "clean":
            ended["clean", s] = take(mine(s), planned, slower(problem.stations[s].cleanup_min))
        else:
            load = plan.loads[s]
            oven = problem.ovens[load.oven]
            start = max(planned, free["loader"], free["oven", load.oven])
            if load.oven in heat:
                change = load.oven_c - heat[load.oven]
                rate = oven.up_per_10_c if change > 0 else oven.down_per_10_c
                start = max(
                    start, ended["oven", load.oven] + ceil(Fraction(abs(change), 10) * rate)
                )
            for key in load.lots:
                lot = problem.stations[key[0]].lots[key[1]]
                cold = plan.cold_min[key[0]][key[1]]
                if lot.prepare_min:
                    start = max(start, ended["prepare", key[0], key[1]])
                else:
                    proved = planned - plan.shape_starts[key[0]][key[1]] - lot.shape_min - cold
                    proof = needed(products[lot.product].proof, proved)
                    start = max(start, ended["shape", key[0], key[1]] + proof + cold)
            free["loader"] = start + problem.loading_min
            longer = (bakes or {}).get(oven.name, Fraction(1))
            outs = []
            for key in load.lots:
                product = products[problem.stations[key[0]].lots[key[1]].product]
                lot = problem.stations[key[0]].lots[key[1]]
                out = start + ceil(product.bake_min * longer)
                outs.append(out)
                ended["cool", *key] = out + max(product.cool_min, problem.unloading_min)
                proof = start - ended["shape", *key] - plan.cold_min[key[0]][key[1]]
                over += max(0, proof - slower(lot.prepare_min) - product.proof.most)
            heat[load.oven], ended["oven", load.oven] = load.oven_c, max(outs)
            free["oven", load.oven] = max(outs) + problem.unloading_min + oven.between_loads_min
    lasting = [end for key, end in ended.items() if key[0] in ("event", "clean", "cool")]
    finish = max(lasting) + problem.closing_min
    return SlowRoom(finish, problem.class_min - finish, over)


def a_quarter_slower(problem: DayProblem, plan: DayPlan) -> SlowRoom:
    """The class as it goes if everybody's hands are a quarter slower and every dough gets the time the plan gives it, up to the usual."""
    return lived_through(problem, plan, SLOWER)


def without_reserve(problem: DayProblem, plan: DayPlan) -> tuple[LotLimit, ...]:
    """The students' lots that have hardly a minute more than planned in the bowl or on the bench, those too late already left out."""
    return tuple(
        one
        for one in lot_limits(problem, plan)
        if 0 <= min(one.shape_slack_min, one.load_slack_min) < RESERVE_LEAST_MIN
        and not problem.stations[one.station].tutors
    )
