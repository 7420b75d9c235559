"""On the day: planning again from where the class stands, with what has begun left as it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

from classpack.model.day import (
    Begun,
    Choices,
    DayLot,
    DayOven,
    DayPlan,
    DayProblem,
    DayStation,
    Load,
)
from classpack.planning.timetable.planner import (
    WHAT_IF,
    plan_day,
    shortened_proofs,
    tries_for,
)
from classpack.planning.timetable.spans import DaySpans, change_min


@dataclass(frozen=True, slots=True)
class DayChanges:
    """What is different from the plan, at ``now``.

    ``late_min``: the class is so far behind: what the plan says for ``now - late_min`` happens now. Loads that are in the oven are not
    moved by it. ``ovens_out``: names of ovens that can no longer be used. ``lots_out``: (station, product) not made after all; what has
    been shaped stays. ``stations_out``: nobody is at these stations any more. ``pieces``: (station, product, new number of pieces).
    ``lots``: (station, which of its lots, new number of pieces; 0: not made after all). ``events_out``: talks or a break left out.
    """

    late_min: int = 0
    ovens_out: tuple[str, ...] = ()
    lots_out: tuple[tuple[str, str], ...] = ()
    stations_out: tuple[str, ...] = ()
    pieces: tuple[tuple[str, str, int], ...] = ()
    lots: tuple[tuple[str, int, int], ...] = ()
    events_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Replanned:
    """The class as it now is, its plan, and sentences the tutor must hear (bread in an oven that failed).

    ``lots_kept`` [station] are the numbers its lots had before, in the order of the lots they are now.
    """

    problem: DayProblem
    plan: DayPlan
    notes: tuple[str, ...]
    lots_kept: tuple[tuple[int, ...], ...] = ()


def replan(problem: DayProblem, plan: DayPlan, now_min: int, changes: DayChanges) -> Replanned:
    """A plan from minute ``now_min`` on. What had begun stays; nothing else starts earlier.

    Raises:
        timetable.NoPlanError: if what is left cannot be planned, for instance without any oven.
    """
    spans = DaySpans(problem, plan)
    reached = now_min - changes.late_min
    notes: list[str] = []
    in_ovens, baked, rescued = _loads_begun(spans, reached, now_min, changes, notes)

    def moved(start: int) -> int | None:
        return start + changes.late_min if start < reached else None

    stations, lots_kept, steps, shapes, chills, prepares = [], [], [], [], [], []
    for s, station in enumerate(problem.stations):
        begun_shapes = [
            start if (s, i) in baked else moved(start)
            for i, start in enumerate(plan.shape_starts[s])
        ]
        begun_chills = [
            None
            if chill is None or (s, i) in rescued  # not in the fridge any more either
            else chill
            if (s, i) in baked
            else moved(chill)
            for i, chill in enumerate(spans.chill_start((s, i)) for i in range(len(station.lots)))
        ]
        begun_prepares = [
            None if not lot.prepare_min else start if (s, i) in baked else moved(start)
            for i, (lot, start) in enumerate(zip(station.lots, plan.prepare_starts[s], strict=True))
        ]
        kept = [
            i
            for i, lot in enumerate(station.lots)
            if begun_shapes[i] is not None
            or not (
                station.name in changes.stations_out
                or (station.name, lot.product) in changes.lots_out
                or (station.name, i, 0) in changes.lots
            )
        ]
        begun_steps = [moved(start) for start in plan.step_starts[s]]
        lots = tuple(
            _with_pieces(station, i, changes)
            if begun_shapes[i] is None
            else replace(station.lots[i], bake_left_min=rescued[s, i])
            if (s, i) in rescued
            else station.lots[i]
            for i in kept
        )
        left = replace(station, lots=lots)
        if all(begun_shapes[i] is not None for i in kept) and (
            not kept or station.name in changes.stations_out
        ):
            done = sum(start is not None for start in begun_steps)
            left = replace(
                left,
                steps=station.steps[:done],
                bulk_began_min=station.bulk_began_min if done else now_min,
            )
            begun_steps = begun_steps[:done]
        stations.append(left)
        lots_kept.append(kept)
        steps.append(tuple(begun_steps))
        shapes.append(tuple(begun_shapes[i] for i in kept))
        chills.append(tuple(begun_chills[i] for i in kept))
        prepares.append(tuple(begun_prepares[i] for i in kept))
    new_key = {(s, i): (s, kept.index(i)) for s, kept in enumerate(lots_kept) for i in kept}
    events = [
        e
        for e, event in enumerate(problem.events)
        if event.name not in changes.events_out or plan.event_starts[e] < reached
    ]
    now = replace(
        problem,
        stations=tuple(stations),
        ovens=tuple(_oven_now(spans, o, now_min, changes) for o in range(len(problem.ovens))),
        events=tuple(problem.events[e] for e in events),
        now_min=now_min,
        begun=Begun(
            events=tuple(moved(plan.event_starts[e]) for e in events),
            steps=tuple(steps),
            shapes=tuple(shapes),
            chills=tuple(chills),
            prepares=tuple(prepares),
            cleanups=tuple(moved(start) for start in plan.cleanup_starts),
            loads=tuple(
                replace(load, lots=tuple(new_key[key] for key in load.lots)) for load in in_ovens
            ),
        ),
    )
    choices = plan.choices
    start = replace(
        plan,
        choices=Choices(
            loads=tuple(
                (oven, lots)
                for oven, lots in (
                    (oven, tuple(new_key[key] for key in lots if key in new_key))
                    for oven, lots in choices.loads
                )
                if lots
            ),
            holds=choices.holds,
            events=tuple(choices.events[e] for e in events),
            early=tuple(new_key[key] for key in choices.early if key in new_key),
        ),
    )
    return Replanned(
        now,
        plan_day(
            now,
            tries_for(now, WHAT_IF),
            unhurried=plan.shortened != shortened_proofs(problem, problem),
            start=start,
        ),
        tuple(notes),
        tuple(map(tuple, lots_kept)),
    )


def _loads_begun(
    spans: DaySpans, reached: int, now_min: int, changes: DayChanges, notes: list[str]
) -> tuple[list[Load], set[tuple[int, int]], dict[tuple[int, int], int]]:
    """The loads that have gone in and stay, their lots, and a failed oven's bread that is not done, with what is left of its bake."""
    stay, baked = [], set()
    rescued: dict[tuple[int, int], int] = {}
    for load in spans.plan.loads:
        oven = spans.problem.ovens[load.oven].name
        if load.start_min >= reached:
            continue
        if oven in changes.ovens_out and spans.load_end(load) > now_min:
            left = {key: spans.out_min(key) - now_min for key in load.lots}
            rescued |= {key: minutes for key, minutes in left.items() if minutes > 0}
            if done := tuple(key for key, minutes in left.items() if minutes <= 0):
                stay.append(replace(load, lots=done))
                baked |= set(done)
            names = ", ".join(
                f"{spans.lot(key).product} of {spans.problem.stations[key[0]].name}"
                for key in load.lots
                if key in rescued
            )
            notes.append(
                f"What is in {oven} ({names}) is not done and needs another oven at once; judge by eye whether it can be saved."
            )
            continue
        stay.append(load)
        baked |= set(load.lots)
    return stay, baked, rescued


def _oven_now(spans: DaySpans, number: int, now_min: int, changes: DayChanges) -> DayOven:
    """The oven as it is at ``now_min``: out of use, or switched on when the plan said, or not yet."""
    oven = spans.problem.ovens[number]
    if oven.name in changes.ovens_out:
        return replace(oven, until_min=now_min)
    first = next((load for load in spans.plan.loads if load.oven == number), None)
    switch_on = now_min
    if first is not None:
        heating = change_min(oven, oven.start_c, first.oven_c) + oven.soak_min
        switch_on = min(now_min, first.start_min - heating)
    return replace(oven, on_before_min=min(oven.on_before_min, -switch_on))


def _with_pieces(station: DayStation, number: int, changes: DayChanges) -> DayLot:
    lot = station.lots[number]
    by_product = {(name, product): count for name, product, count in changes.pieces}
    by_number = {(name, which): count for name, which, count in changes.lots}
    pieces = by_product.get((station.name, lot.product), lot.pieces)
    return replace(lot, pieces=by_number.get((station.name, number), pieces))
