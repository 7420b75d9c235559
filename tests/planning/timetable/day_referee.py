"""A referee for small classes: the rules of planning as a model for the CP-SAT solver of OR-tools, which proves its answers.

Written from the rules, apart from planner and checker. It knows no cold holding, no fixed past and no tutor's station.
"""

from __future__ import annotations

from typing import Any

from classpack.model.day import DayProblem


def best_of(
    problem: DayProblem, cp_model: Any, seconds: float, most_loads: int = 6
) -> tuple[int, int, int] | None:
    """(over-proof, finish, loads) of a proven best plan that keeps every longest wait; ``None`` if not proven in time."""
    model = cp_model.CpModel()
    horizon = 600
    number = {p.name: p for p in problem.products}
    students = range(len(problem.stations))
    events = [
        model.NewIntVar(e.earliest_min, horizon if e.latest_min is None else e.latest_min, e.name)
        for e in problem.events
    ]
    event_spans = [
        model.NewFixedSizeIntervalVar(v, e.minutes, e.name)
        for v, e in zip(events, problem.events, strict=True)
    ]
    model.AddNoOverlap(event_spans)
    ends: list[Any] = [v + e.minutes for v, e in zip(events, problem.events, strict=True)]
    pools: dict[str, list[tuple[Any, int]]] = {pool.name: [] for pool in problem.pools}
    lots: list[dict[str, Any]] = []
    over: list[Any] = []
    for s in students:
        station = problem.stations[s]
        everybody: list[Any] = list(event_spans)
        of_pair: list[list[Any]] = [[] for _ in range(station.hands)]
        end: Any = None
        for j, step in enumerate(station.steps):
            v = model.NewIntVar(station.hands_from_min, horizon, f"{s} {step.name}")
            if j == 0 and station.first_step_latest_min is not None:
                model.Add(v <= station.first_step_latest_min)
            if j:
                model.Add(v >= end + step.wait_least)
                if step.wait_most is not None:
                    model.Add(v <= end + step.wait_most)
            end = v + step.minutes
            span = model.NewFixedSizeIntervalVar(v, step.minutes, "")
            everybody.append(span)
            if step.pool:
                pools[step.pool].append((span, 1))
            for event, start in zip(problem.events, events, strict=True):
                if event.after_step == step.name:
                    model.Add(start >= end)
                if event.before_step == step.name:
                    model.Add(v >= start + event.minutes)
        bulk_start = end if station.steps else station.bulk_began_min
        cleanup = model.NewIntVar(0, horizon, "")
        for lot in station.lots:
            product = number[lot.product]
            v = model.NewIntVar(0, horizon, "")
            shaping = model.NewFixedSizeIntervalVar(v, lot.shape_min, "")
            for pair in lot.hands:
                of_pair[pair].append(shaping)
            model.Add(v >= bulk_start + station.bulk.least)
            model.Add(cleanup >= v + lot.shape_min)
            prepare = model.NewIntVar(0, horizon, "")
            for event, start in zip(problem.events, events, strict=True):
                if event.before_product == lot.product:
                    model.Add(v >= start + event.minutes)
            load_start = model.NewIntVar(0, horizon, "")
            model.Add(prepare >= v + lot.shape_min + product.proof.least)
            model.Add(load_start >= prepare + lot.prepare_min)
            model.Add(load_start <= prepare + lot.prepare_min + problem.prepared_most_min)
            if lot.prepare_min:
                preparing = model.NewFixedSizeIntervalVar(prepare, lot.prepare_min, "")
                for pair in lot.hands:
                    of_pair[pair].append(preparing)
                model.Add(cleanup >= prepare + lot.prepare_min)
            bulk_over, proof_over = model.NewIntVar(0, horizon, ""), model.NewIntVar(0, horizon, "")
            model.Add(bulk_over >= v - bulk_start - station.bulk.most)
            model.Add(
                proof_over >= load_start - v - lot.shape_min - lot.prepare_min - product.proof.most
            )
            over += [bulk_over, proof_over]
            ends.append(
                load_start + product.bake_min + max(product.cool_min, problem.unloading_min)
            )
            if product.pool:
                size = model.NewIntVar(0, horizon, "")
                out = load_start + product.bake_min
                pools[product.pool].append((model.NewIntervalVar(v, size, out, ""), lot.pieces))
            lots.append({"product": product, "pieces": lot.pieces, "start": load_start})
        if station.steps:
            model.Add(cleanup >= end)
        everybody.append(model.NewFixedSizeIntervalVar(cleanup, station.cleanup_min, ""))
        ends.append(cleanup + station.cleanup_min)
        for spans in of_pair:
            model.AddNoOverlap([*everybody, *spans])
    for pool in problem.pools:
        if pools[pool.name]:
            model.AddCumulative(
                [span for span, _ in pools[pool.name]], [n for _, n in pools[pool.name]], pool.count
            )
    used_loads = _loads(problem, model, lots, most_loads, horizon, event_spans)
    finish = model.NewIntVar(0, horizon + 100, "finish")
    for end in ends:
        model.Add(finish >= end + problem.closing_min)
    model.Minimize(sum(over) * 100_000 + finish * 50 + sum(used_loads))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    if solver.Solve(model) != cp_model.OPTIMAL:
        return None
    return (
        sum(solver.Value(v) for v in over),
        solver.Value(finish),
        sum(solver.Value(v) for v in used_loads),
    )


def _loads(
    problem: DayProblem,
    model: Any,
    lots: list[dict[str, Any]],
    most: int,
    horizon: int,
    events: list[Any],
) -> list[Any]:
    """Loads of every oven: what is in them, when, how hot; and the one person who loads. Returns which are used."""
    used_all, member_of = [], [[] for _ in lots]
    loader = (
        []
        if problem.assistants
        else [span for span, e in zip(events, problem.events, strict=True) if e.needs_tutor]
    )
    for oven in problem.ovens:
        before: dict[str, Any] | None = None
        for _ in range(min(most, len(lots))):
            used = model.NewBoolVar("")
            start, end = model.NewIntVar(0, horizon, ""), model.NewIntVar(0, horizon, "")
            heat = model.NewIntVar(0, oven.max_c, "")
            members = [model.NewBoolVar("") for _ in lots]
            model.AddMaxEquality(used, members)
            model.Add(
                10 * (start + oven.on_before_min) >= oven.up_per_10_c * (heat - oven.start_c)
            ).OnlyEnforceIf(used)
            places = []
            for name in dict.fromkeys(lot["product"].name for lot in lots):
                some = [n for n, lot in enumerate(lots) if lot["product"].name == name]
                product = lots[some[0]]["product"]
                count = model.NewIntVar(0, oven.places, "")
                model.Add(
                    count * product.pieces_per_place
                    >= sum(lots[n]["pieces"] * members[n] for n in some)
                )
                places.append(count)
            model.Add(sum(places) <= oven.places)
            outs: dict[int, Any] = {}
            for n, (lot, member) in enumerate(zip(lots, members, strict=True)):
                member_of[n].append(member)
                product = lot["product"]
                model.Add(lot["start"] == start).OnlyEnforceIf(member)
                model.Add(end >= start + product.bake_min).OnlyEnforceIf(member)
                model.Add(heat >= product.oven_low_c).OnlyEnforceIf(member)
                model.Add(heat <= product.oven_high_c).OnlyEnforceIf(member)
                outs.setdefault(product.bake_min, []).append(member)
            loader.append(
                model.NewOptionalFixedSizeIntervalVar(start, problem.loading_min, used, "")
            )
            if problem.unloading_min:
                for bake, some in outs.items():
                    present = model.NewBoolVar("")
                    model.AddMaxEquality(present, some)
                    loader.append(
                        model.NewOptionalFixedSizeIntervalVar(
                            start + bake, problem.unloading_min, present, ""
                        )
                    )
            if before is not None:
                model.AddImplication(used, before["used"])
                gap = problem.unloading_min + oven.between_loads_min
                model.Add(start >= before["end"] + gap).OnlyEnforceIf(used)
                model.Add(
                    10 * (start - before["end"]) >= oven.up_per_10_c * (heat - before["heat"])
                ).OnlyEnforceIf(used)
                model.Add(
                    10 * (start - before["end"]) >= oven.down_per_10_c * (before["heat"] - heat)
                ).OnlyEnforceIf(used)
            before = {"used": used, "end": end, "heat": heat}
            used_all.append(used)
    for members in member_of:
        model.AddExactlyOne(members)
    model.AddNoOverlap(loader)
    return used_all
