"""Why each thing of a plan starts when it does: the one thing it waited for, found by looking what ends just then."""

from __future__ import annotations

from classpack.model.day import DayPlan, DayProblem, Held, Load, PlanReasons
from classpack.planning.timetable.spans import DaySpans, change_min

CAUSES = {
    "begun": "it has already begun",
    "start": "it is the earliest it may be",
    "step": "{by} is done",
    "rest": "the rest after {by} is over",
    "bulk": "the bulk proof of {by} is long enough",
    "proof": "the final proof of {by} is long enough",
    "hands": "{by} is done and hands are free",
    "event": "everybody comes from '{by}'",
    "kit": "{by} are free again",
    "prepared": "{by} is done",
    "before": "it is wanted just before {by}",
    "oven": "{by} is free again",
    "heat": "{by} is hot",
    "loader": "whoever loads is free after {by}",
    "held": "it is held back so that nothing waits too long later",
}


def reason_text(held: Held) -> str:
    """Why, in words that can follow 'because'.

    >>> reason_text(Held("heat", "oven 2"))
    'oven 2 is hot'
    """
    return CAUSES[held.cause].format(by=held.by)


def plan_reasons(problem: DayProblem, plan: DayPlan) -> PlanReasons:
    """A cause for every start; ``by`` names the station, event, oven or pool waited for."""
    spans = DaySpans(problem, plan)
    return PlanReasons(
        events=tuple(_event(spans, e) for e in range(len(problem.events))),
        steps=tuple(
            tuple(_step(spans, s, j) for j in range(len(station.steps)))
            for s, station in enumerate(problem.stations)
        ),
        shapes=tuple(
            tuple(_shape(spans, s, i) for i in range(len(station.lots)))
            for s, station in enumerate(problem.stations)
        ),
        prepares=tuple(
            tuple(_prepare(spans, s, i) for i in range(len(station.lots)))
            for s, station in enumerate(problem.stations)
        ),
        cleanups=tuple(_cleanup(spans, s) for s in range(len(problem.stations))),
        loads=tuple(_load(spans, load) for load in plan.loads),
    )


def _first(start: int, candidates: list[tuple[int, Held]]) -> Held:
    """The first candidate that ends just at ``start``; else it was held back."""
    return next((held for minute, held in candidates if minute == start), Held("held"))


def _hands_and_events(spans: DaySpans, s: int, start: int) -> list[tuple[int, Held]]:
    ends = [(span.end, Held("hands", span.name)) for span in spans.hands(s) if span.start < start]
    return [*ends, *((span.end, Held("event", span.name.strip("'"))) for span in spans.events)]


def _kit(spans: DaySpans, pool: str | None) -> list[tuple[int, Held]]:
    if pool is None:
        return []
    found = []
    for s, station in enumerate(spans.problem.stations):
        found += [
            (span.end, Held("kit", pool))
            for step, span in zip(station.steps, spans.steps[s], strict=True)
            if step.pool == pool
        ]
        found += [
            (spans.out_min((s, i)), Held("kit", pool))
            for i, lot in enumerate(station.lots)
            if spans.products[lot.product].pool == pool
        ]
    return found


def _event(spans: DaySpans, e: int) -> Held:
    event, span = spans.problem.events[e], spans.events[e]
    if span.begun:
        return Held("begun")
    candidates = [(max(event.earliest_min, spans.problem.now_min), Held("start"))]
    for s, station in enumerate(spans.problem.stations):
        for step, done in zip(station.steps, spans.steps[s], strict=True):
            if step.name == event.after_step and not station.tutors:
                candidates.append((done.end, Held("step", done.name)))
    candidates += [
        (other.end, Held("event", other.name.strip("'")))
        for other in spans.events
        if other is not span
    ]
    for s in range(len(spans.problem.stations)):
        candidates += [(done.end, Held("hands", done.name)) for done in spans.hands(s)]
    if event.needs_tutor and not spans.problem.assistants:
        candidates += _loader_ends(spans, None)
    return _first(span.start, candidates)


def _step(spans: DaySpans, s: int, j: int) -> Held:
    station, span = spans.problem.stations[s], spans.steps[s][j]
    step = station.steps[j]
    if span.begun:
        return Held("begun")
    candidates = []
    if j:
        before = spans.steps[s][j - 1]
        candidates.append(
            (before.end + step.wait_least, Held("rest" if step.wait_least else "step", before.name))
        )
    candidates.append((max(station.hands_from_min, spans.problem.now_min), Held("start")))
    candidates += _hands_and_events(spans, s, span.start)
    return _first(span.start, candidates + _kit(spans, step.pool))


def _shape(spans: DaySpans, s: int, i: int) -> Held:
    station, span = spans.problem.stations[s], spans.shapes[s][i]
    if span.begun:
        return Held("begun")
    candidates = [(spans.bulk_start(s) + station.bulk.least, Held("bulk", station.name))]
    candidates += _hands_and_events(spans, s, span.start)
    candidates.append((max(station.hands_from_min, spans.problem.now_min), Held("start")))
    return _first(span.start, candidates + _kit(spans, spans.product((s, i)).pool))


def _prepare(spans: DaySpans, s: int, i: int) -> Held:
    """It is done as late as it can be: just before its load, or before what its hands do until then."""
    span, load = spans.prepares[s][i], spans.load_of[(s, i)]
    if span.begun:
        return Held("begun")
    after = [*spans.hands(s), *spans.events]
    name = next((other.name for other in after if other.start == span.end), "")
    if span.end == load.start_min or not name:
        name = spans.load_name(load)
    return Held("before", name)


def _cleanup(spans: DaySpans, s: int) -> Held:
    span = spans.cleanups[s]
    if span.begun:
        return Held("begun")
    candidates = _hands_and_events(spans, s, span.start)
    candidates.append(
        (max(spans.problem.stations[s].hands_from_min, spans.problem.now_min), Held("start"))
    )
    return _first(span.start, candidates)


def _loader_ends(spans: DaySpans, besides: Load | None) -> list[tuple[int, Held]]:
    problem, found = spans.problem, []
    for load in spans.plan.loads:
        if load is not besides:
            oven = problem.ovens[load.oven].name
            found.append((load.start_min + problem.loading_min, Held("loader", oven)))
            found += [
                (spans.out_min(key) + problem.unloading_min, Held("loader", oven))
                for key in load.lots
            ]
    return found


def _load(spans: DaySpans, load: Load) -> Held:
    problem, oven = spans.problem, spans.problem.ovens[load.oven]
    if spans.is_begun(load):
        return Held("begun")
    start = load.start_min
    candidates = [
        (
            spans.shapes[s][i].end
            + spans.product((s, i)).proof.least
            + spans.lot((s, i)).prepare_min,
            Held("proof", f"{spans.lot((s, i)).product} of {problem.stations[s].name}"),
        )
        for s, i in load.lots
    ]
    before = [
        other for other in spans.plan.loads if other.oven == load.oven and other.start_min < start
    ]
    if before:
        end, change = spans.load_end(before[-1]), change_min(oven, before[-1].oven_c, load.oven_c)
        candidates.append(
            (end + problem.unloading_min + oven.between_loads_min, Held("oven", oven.name))
        )
        candidates.append((end + change, Held("heat", oven.name)))
    else:
        candidates.append(
            (
                change_min(oven, oven.start_c, load.oven_c) + oven.first_ready_min,
                Held("heat", oven.name),
            )
        )
    candidates.append((max(oven.from_min, problem.now_min), Held("oven", oven.name)))
    candidates += _loader_ends(spans, load)
    outs = {spans.bake_min(key) for key in load.lots} if problem.unloading_min else set()
    for end, held in _loader_ends(
        spans, load
    ):  # it waited so that its coming out finds somebody free
        candidates += [(end - bake, held) for bake in outs]
    if not problem.assistants:
        for event, span in zip(problem.events, spans.events, strict=True):
            if event.needs_tutor:
                candidates += [
                    (span.end - bake, Held("event", event.name)) for bake in (0, *sorted(outs))
                ]
    candidates += [  # it waited for hands that prepare its bread
        (span.end, Held("prepared", span.name))
        for s, i in load.lots
        for span in (spans.prepares[s][i],)
        if span.end > span.start
    ]
    return _first(start, candidates)
