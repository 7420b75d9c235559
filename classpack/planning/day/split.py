"""Lots divided because no oven that is left takes them whole: shaped together as before, baked in two loads or more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from classpack.model.class_plan import PersonPlan
from classpack.model.day import Begun, DayLot, DayPlan, Load
from classpack.model.timed_day import DaySetting, LotMade, TimedDay
from classpack.planning.timetable.spans import DaySpans, pieces_per_place

Key = tuple[int, int]


def divided(
    timed: TimedDay, people: Sequence[PersonPlan], ovens_out: Sequence[str], stay: frozenset[Key]
) -> TimedDay:
    """The same day with every lot that the ovens left do not take whole in parts they do take.

    Args:
        stay: lots, as (station, lot), that are in an oven that works, or baked: they are left alone.
    """
    setting, plan = timed.setting, timed.plan
    problem = setting.problem
    ovens = [oven for oven in problem.ovens if oven.name not in ovens_out]
    products = DaySpans(problem, plan).products
    parts: dict[Key, list[LotMade]] = {}
    for s, lots in enumerate(setting.lots):
        for i, lot in enumerate(lots):
            product = products[lot.variation]
            most = max(
                (
                    pieces_per_place(product, oven) * oven.places
                    for oven in ovens
                    if oven.max_c >= product.oven_low_c
                ),
                default=0,
            )
            if (s, i) not in stay and 0 < most < lot.pieces:
                parts[s, i] = _parts(lot, most, people)
    return _with_parts(timed, parts) if parts else timed


def _parts(lot: LotMade, most: int, people: Sequence[PersonPlan]) -> list[LotMade]:
    """Person by person as far as that goes; one person's many pieces are divided too."""
    shares = [
        (
            index,
            sum(one.pieces for one in people[index].portions if one.variation == lot.variation),
        )
        for index in lot.people
    ]
    if sum(pieces for _, pieces in shares) != lot.pieces:
        count = ceil(lot.pieces / most)
        return [
            replace(lot, pieces=lot.pieces // count + (1 if n < lot.pieces % count else 0))
            for n in range(count)
        ]
    found: list[LotMade] = []
    group: list[int] = []
    held = 0
    for index, pieces in shares:
        if group and held + pieces > most:
            found.append(replace(lot, pieces=held, people=tuple(group)))
            group, held = [], 0
        while pieces > most:
            found.append(replace(lot, pieces=most, people=(index,)))
            pieces -= most
        if pieces:
            group.append(index)
            held += pieces
    if group:
        found.append(replace(lot, pieces=held, people=tuple(group)))
    return found


def _with_parts(timed: TimedDay, parts: dict[Key, list[LotMade]]) -> TimedDay:
    setting, plan = timed.setting, timed.plan
    new_keys: dict[Key, tuple[Key, ...]] = {}
    stations, made, shapes, prepares, cold = [], [], [], [], []
    for s, station in enumerate(setting.problem.stations):
        lots: list[DayLot] = []
        here: list[LotMade] = []
        starts: list[int] = []
        readied: list[int] = []
        fridge: list[int] = []
        for i, lot in enumerate(station.lots):
            pieces = parts.get((s, i), [setting.lots[s][i]])
            new_keys[s, i] = tuple((s, len(lots) + n) for n in range(len(pieces)))
            start, left = plan.shape_starts[s][i], lot.shape_min
            prepare_start, unprepared = plan.prepare_starts[s][i], lot.prepare_min
            for n, part in enumerate(pieces):
                more = len(pieces) - 1 - n
                minutes = min(max(1, left // (more + 1)), max(1, left - more))
                prepare_min = -(-unprepared // (more + 1))
                lots.append(
                    replace(lot, pieces=part.pieces, shape_min=minutes, prepare_min=prepare_min)
                )
                here.append(part)
                starts.append(start)
                readied.append(prepare_start)
                prepare_start, unprepared = prepare_start + prepare_min, unprepared - prepare_min
                fridge.append(plan.cold_min[s][i])
                start, left = start + minutes, left - minutes
        stations.append(replace(station, lots=tuple(lots)))
        made.append(tuple(here))
        shapes.append(tuple(starts))
        prepares.append(tuple(readied))
        cold.append(tuple(fridge))
    begun = setting.problem.begun
    problem = replace(
        setting.problem,
        stations=tuple(stations),
        begun=_with_begun(begun, new_keys, tuple(shapes), tuple(prepares)) if begun else None,
    )
    new_setting: DaySetting = replace(setting, problem=problem, lots=tuple(made))
    return replace(
        timed,
        setting=new_setting,
        plan=_with_keys(plan, new_keys, tuple(shapes), tuple(prepares), tuple(cold)),
    )


def _with_begun(
    begun: Begun,
    new_keys: dict[Key, tuple[Key, ...]],
    shapes: tuple[tuple[int, ...], ...],
    prepares: tuple[tuple[int, ...], ...],
) -> Begun:
    """What has begun, told of the parts: each part began where it lies within its lot."""

    def told(
        whole: tuple[tuple[int | None, ...], ...], parts: tuple[tuple[int, ...], ...]
    ) -> tuple[tuple[int | None, ...], ...]:
        found: list[list[int | None]] = [[None] * len(row) for row in parts]
        for (s, i), keys in new_keys.items():
            if whole[s][i] is not None:
                for _, new in keys:
                    found[s][new] = parts[s][new]
        return tuple(map(tuple, found))

    chills = tuple(
        tuple(row[i] for i in range(len(row)) for _ in new_keys[s, i])
        for s, row in enumerate(begun.chills)
    )
    loads = tuple(
        replace(load, lots=tuple(new for key in load.lots for new in new_keys[key]))
        for load in begun.loads
    )
    return replace(
        begun,
        shapes=told(begun.shapes, shapes),
        chills=chills,
        prepares=told(begun.prepares, prepares),
        loads=loads,
    )


def _with_keys(
    plan: DayPlan,
    new_keys: dict[Key, tuple[Key, ...]],
    shapes: tuple[tuple[int, ...], ...],
    prepares: tuple[tuple[int, ...], ...],
    cold: tuple[tuple[int, ...], ...],
) -> DayPlan:
    def spread(keys: tuple[Key, ...]) -> tuple[Key, ...]:
        return tuple(new for key in keys for new in new_keys[key])

    loads: tuple[Load, ...] = tuple(replace(load, lots=spread(load.lots)) for load in plan.loads)
    return replace(
        plan,
        shape_starts=shapes,
        prepare_starts=prepares,
        cold_min=cold,
        loads=loads,
        choices=replace(
            plan.choices,
            loads=tuple((oven, spread(lots)) for oven, lots in plan.choices.loads),
            early=spread(plan.choices.early),
        ),
    )
