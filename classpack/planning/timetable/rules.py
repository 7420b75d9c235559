"""The rules a day plan must keep, read straight from the model; nothing here knows how plans are made.

:func:`check_plan` says every broken rule in a sentence. What had begun before ``now_min`` cannot be changed any more: a rule
broken only among such things is not said, and their waits are not counted.

Too long a wait breaks no rule: it is counted (``day_waits``), and a plan must state the true count.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from classpack.model.day import DayPlan, DayProblem, Load
from classpack.planning.timetable.spans import BusySpan, DaySpans, change_min, pieces_per_place
from classpack.planning.timetable.waits import waits


def check_plan(problem: DayProblem, plan: DayPlan) -> tuple[str, ...]:
    """Every rule that ``plan`` breaks, each in a sentence; empty when it is sound."""
    misfit = tuple(_shape(problem, plan))
    if misfit:
        return misfit
    reading = DaySpans(problem, plan)
    return tuple(
        sentence
        for rule in (
            _past,
            _hands,
            _steps,
            _events,
            _doughs,
            _prepares,
            _loads,
            _ovens,
            _loader,
            _pools,
            _fridge,
            _sums,
        )
        for sentence in rule(reading)
    )


def _shape(problem: DayProblem, plan: DayPlan) -> Iterator[str]:
    """The plan has a start for everything, and every lot is in one load."""
    if len(plan.event_starts) != len(problem.events):
        yield f"the plan has {len(plan.event_starts)} events; the class has {len(problem.events)}"
    stations = len(problem.stations)
    if not (
        len(plan.step_starts)
        == len(plan.shape_starts)
        == len(plan.prepare_starts)
        == len(plan.cleanup_starts)
        == len(plan.cold_min)
        == stations
    ):
        yield f"the plan is not for {stations} stations"
        return
    for station, steps, shapes, prepares, colds in zip(
        problem.stations,
        plan.step_starts,
        plan.shape_starts,
        plan.prepare_starts,
        plan.cold_min,
        strict=True,
    ):
        if len(steps) != len(station.steps):
            yield f"{station.name} has {len(station.steps)} steps; the plan has {len(steps)}"
        if not len(shapes) == len(prepares) == len(colds) == len(station.lots):
            yield f"{station.name} has {len(station.lots)} lots; the plan has {len(shapes)}"
    baked = sorted(key for load in plan.loads for key in load.lots)
    for key in sorted(
        {(s, i) for s, station in enumerate(problem.stations) for i in range(len(station.lots))}
        ^ set(baked)
    ):
        known = key[0] < stations and key[1] < len(problem.stations[key[0]].lots)
        yield (
            f"{problem.stations[key[0]].lots[key[1]].product} of {problem.stations[key[0]].name} is in no load"
            if known
            else f"a load holds the lot {key}, which nobody makes"
        )
    for first, second in pairwise(baked):
        if first == second:
            yield f"{problem.stations[first[0]].lots[first[1]].product} of {problem.stations[first[0]].name} is in two loads"
    for load in plan.loads:
        if not 0 <= load.oven < len(problem.ovens):
            yield f"a load is in oven {load.oven}; there are {len(problem.ovens)} ovens"
        if not load.lots:
            yield "a load is empty"
    if list(plan.loads) != sorted(plan.loads, key=lambda load: (load.start_min, load.oven)):
        yield "the loads are not in the order of their starts"


def _past(reading: DaySpans) -> Iterator[str]:
    """What has begun stays as it was; nothing else starts before now."""
    plan, begun, now = reading.plan, reading.begun, reading.problem.now_min
    pairs = [
        *zip(plan.event_starts, begun.events, reading.events, strict=True),
        *(
            trio
            for s, spans in enumerate(reading.steps)
            for trio in zip(plan.step_starts[s], begun.steps[s], spans, strict=True)
        ),
        *(
            trio
            for s, spans in enumerate(reading.shapes)
            for trio in zip(plan.shape_starts[s], begun.shapes[s], spans, strict=True)
        ),
        *(
            trio
            for s, spans in enumerate(reading.prepares)
            for trio in zip(plan.prepare_starts[s], begun.prepares[s], spans, strict=True)
            if trio[2].end > trio[2].start
        ),
        *zip(plan.cleanup_starts, begun.cleanups, reading.cleanups, strict=True),
    ]
    for start, began, span in pairs:
        if began is not None and start != began:
            yield f"{span.name} began at minute {began}; the plan says {start}"
        if began is None and start < now:
            yield f"{span.name} is planned at minute {start}; it is already minute {now}"
    for s, station in enumerate(reading.problem.stations):
        for i, lot in enumerate(station.lots):
            chilled, chill = begun.chills[s][i], reading.chill_start((s, i))
            name = f"{lot.product} of {station.name}"
            if chilled is not None and chill != chilled:
                yield f"{name} is in the fridge since minute {chilled}; the plan says {chill}"
            if chilled is None and chill is not None and chill < now:
                yield f"{name} goes into the fridge at minute {chill}; it is already minute {now}"
    for load in begun.loads:
        if load not in plan.loads:
            yield f"{reading.load_name(load)} was begun; the plan has changed it"
    for load in plan.loads:
        if not reading.is_begun(load) and load.start_min < now:
            yield f"{reading.load_name(load)} is planned before minute {now}"


def _hands(reading: DaySpans) -> Iterator[str]:
    """Rule 1. A pair of hands does one thing at a time; nobody's hands work in an event; events one after another."""
    for s, station in enumerate(reading.problem.stations):
        hands = reading.hands(s)
        by_pair = reading.hands_by_pair(s)
        for (first, mine), (second, others) in combinations(by_pair, 2):
            if mine & others and _meet(first, second):
                yield f"{second.name} starts at minute {second.start}, before {first.name} ends at {first.end}"
        for span in hands:
            for event in reading.events:
                if _meet(span, event):
                    yield f"{span.name} is at minute {span.start} to {span.end}, during {event.name} ({event.start} to {event.end})"
            if not span.begun and span.start < station.hands_from_min:
                yield f"{span.name} starts at minute {span.start}; {station.name} is here from minute {station.hands_from_min}"
    for first, second in combinations(reading.events, 2):
        if _meet(first, second):
            yield f"{second.name} at minute {second.start} and {first.name} at {first.start} overlap"


def _steps(reading: DaySpans) -> Iterator[str]:
    """Rule 2. Steps in their order, with at least their waits; the clean-up last."""
    for s, station in enumerate(reading.problem.stations):
        for step, before, span in zip(
            station.steps[1:], reading.steps[s], reading.steps[s][1:], strict=False
        ):
            if not span.begun and span.start - before.end < step.wait_least:
                yield f"{span.name} starts {span.start - before.end} minutes after {before.name}; at least {step.wait_least} must lie between"
        cleanup = reading.cleanups[s]
        prepares = [span for span in reading.prepares[s] if span.end > span.start]
        for span in [*reading.steps[s], *reading.shapes[s], *prepares]:
            if not cleanup.begun and cleanup.start < span.end:
                yield f"{cleanup.name} starts at minute {cleanup.start}, before {span.name} ends at {span.end}"


def _events(reading: DaySpans) -> Iterator[str]:
    """An event after its step, before its step or shaping, and not too early."""
    for event, span in zip(reading.problem.events, reading.events, strict=True):
        if not span.begun and span.start < event.earliest_min:
            yield f"{span.name} starts at minute {span.start}; not before {event.earliest_min}"
        for s, station in enumerate(reading.problem.stations):
            for step, done in zip(station.steps, reading.steps[s], strict=True):
                if station.tutors:
                    continue
                if step.name == event.after_step and not span.begun and span.start < done.end:
                    yield f"{span.name} starts at minute {span.start}, before {done.name} ends at {done.end}"
                if step.name == event.before_step and not done.begun and done.start < span.end:
                    yield f"{done.name} starts at minute {done.start}, before {span.name} ends at {span.end}"
            for lot, shaping in zip(station.lots, reading.shapes[s], strict=True):
                if (
                    lot.product == event.before_product
                    and not shaping.begun
                    and shaping.start < span.end
                ):
                    yield f"{shaping.name} starts at minute {shaping.start}, before {span.name} ends at {span.end}"


def _doughs(reading: DaySpans) -> Iterator[str]:
    """Rule 3. Bulk and final proof never shorter than the shortest."""
    for s, station in enumerate(reading.problem.stations):
        for i, (lot, shaping) in enumerate(zip(station.lots, reading.shapes[s], strict=True)):
            bulk = shaping.start - reading.bulk_start(s)
            if not shaping.begun and bulk < station.bulk.least:
                yield f"{shaping.name} starts after {bulk} minutes of bulk proof; it needs {station.bulk.least}"
            load, needed = reading.load_of[(s, i)], reading.product((s, i)).proof.least
            proof = reading.prepares[s][i].start - shaping.end - reading.plan.cold_min[s][i]
            begun = reading.is_begun(load) or reading.prepares[s][i].begun
            if not begun and proof < needed:
                yield f"{lot.product} of {station.name} has {proof} minutes of final proof; it needs {needed}"


def _prepares(reading: DaySpans) -> Iterator[str]:
    """Topped and scored lots are ready when they go in, and do not stand long; where nothing is prepared, no start of its own."""
    most = reading.problem.prepared_most_min
    for s, station in enumerate(reading.problem.stations):
        for i, (lot, span) in enumerate(zip(station.lots, reading.prepares[s], strict=True)):
            load = reading.load_of[(s, i)]
            if span.begun and reading.is_begun(load):
                continue
            if not lot.prepare_min and span.start != load.start_min:
                yield f"{lot.product} of {station.name} needs no preparing; the plan gives it minute {span.start}"
            elif load.start_min < span.end:
                yield f"{lot.product} of {station.name} goes in at minute {load.start_min}, before {span.name} ends at {span.end}"
            elif load.start_min - span.end > most and not span.begun:
                yield f"{lot.product} of {station.name} stands {load.start_min - span.end} minutes after {span.name}; at most {most}"


def _loads(reading: DaySpans) -> Iterator[str]:
    """Rules 5 and 6. A load's places and its temperature."""
    for load in reading.plan.loads:
        if reading.is_begun(load):
            continue
        oven, name = reading.problem.ovens[load.oven], reading.load_name(load)
        pieces: dict[str, int] = {}
        for key in load.lots:
            pieces[reading.lot(key).product] = (
                pieces.get(reading.lot(key).product, 0) + reading.lot(key).pieces
            )
        places = 0
        for product_name, count in pieces.items():
            product = reading.products[product_name]
            on_place = pieces_per_place(product, oven)
            if on_place == 0:
                yield f"{name} holds {product_name}, which does not go into {oven.name}"
            else:
                places += -(-count // on_place)
            if not product.oven_low_c <= load.oven_c <= product.oven_high_c:
                yield f"{name} is at {load.oven_c} °C; {product_name} bakes at {product.oven_low_c} to {product.oven_high_c} °C"
        if places > oven.places:
            yield f"{name} takes {places} places; {oven.name} has {oven.places}"
        if load.oven_c > oven.max_c:
            yield f"{name} is at {load.oven_c} °C; {oven.name} reaches {oven.max_c} °C"
        end = reading.load_end(load)
        if load.start_min < oven.from_min:
            yield f"{name} is before {oven.name} may be used (minute {oven.from_min})"
        if oven.until_min is not None and end > oven.until_min:
            yield f"{name} ends at minute {end}; {oven.name} may be used until {oven.until_min}"


def _ovens(reading: DaySpans) -> Iterator[str]:
    """Rule 7. The first heat and its soak, and the time between the loads of an oven."""
    for number, oven in enumerate(reading.problem.ovens):
        before: Load | None = None
        for load in (load for load in reading.plan.loads if load.oven == number):
            if before is None:
                ready = change_min(oven, oven.start_c, load.oven_c) + oven.soak_min
                ready -= oven.on_before_min
            else:
                ready = reading.load_end(before) + max(
                    reading.problem.unloading_min + oven.between_loads_min,
                    change_min(oven, before.oven_c, load.oven_c),
                )
            if load.start_min < ready and not reading.is_begun(load):
                yield f"{reading.load_name(load)} starts before the oven is ready for it at minute {ready}"
            before = load


def _loader(reading: DaySpans) -> Iterator[str]:
    """Rule 8. One person loads and unloads, one thing at a time; it is the tutor when there is no assistant."""
    problem, spans = reading.problem, []
    for load in reading.plan.loads:
        name, begun = reading.load_name(load), reading.is_begun(load)
        spans.append(
            (BusySpan(load.start_min, load.start_min + problem.loading_min, name, begun), load)
        )
        for out in sorted({reading.out_min(key) for key in load.lots}):
            spans.append(
                (
                    BusySpan(
                        out,
                        out + problem.unloading_min,
                        f"what comes out of {problem.ovens[load.oven].name} at minute {out}",
                        begun,
                    ),
                    load,
                )
            )
    for (first, load), (second, other) in combinations(spans, 2):
        if load is not other and _meet(first, second):
            yield f"{first.name} and {second.name} need the loader at the same time"
    if problem.assistants:
        return
    busy = [
        span
        for event, span in zip(problem.events, reading.events, strict=True)
        if event.needs_tutor
    ]
    for s, station in enumerate(problem.stations):
        busy += reading.hands(s) if station.tutors else []
    for span, _ in spans:
        for other_span in busy:
            if _meet(span, other_span):
                yield f"{span.name} needs the tutor during {other_span.name}"


def _pools(reading: DaySpans) -> Iterator[str]:
    """Rules 2 and 9. Never more mixers, scales or tins in use than there are."""
    for pool in reading.problem.pools:
        uses: list[tuple[BusySpan, int]] = []
        for s, station in enumerate(reading.problem.stations):
            uses += [
                (span, 1)
                for step, span in zip(station.steps, reading.steps[s], strict=True)
                if step.pool == pool.name
            ]
            for i, (lot, span) in enumerate(zip(station.lots, reading.shapes[s], strict=True)):
                if reading.products[lot.product].pool == pool.name:
                    uses.append((span._replace(end=reading.out_min((s, i))), lot.pieces))
        yield from _over_use(uses, pool.count, pool.name)


def _fridge(reading: DaySpans) -> Iterator[str]:
    """Cold holding: only what may be held, not too long, and not more than goes in."""
    cold, uses = reading.problem.cold, []
    for s, station in enumerate(reading.problem.stations):
        for i, minutes in enumerate(reading.plan.cold_min[s]):
            product = reading.product((s, i))
            if minutes == 0:
                continue
            name = f"{product.name} of {station.name}"
            if cold is None or product.name not in cold.products:
                yield f"{name} is held cold; it may not be"
                continue
            in_it = reading.begun.chills[s][i] is not None
            if not in_it and minutes < cold.least_min:
                yield f"{name} is held cold for {minutes} minutes; at least {cold.least_min}"
            if not in_it and not 0 <= minutes <= cold.most_min:
                yield f"{name} is held cold for {minutes} minutes; at most {cold.most_min}"
            places = -(-station.lots[i].pieces // product.pieces_per_place)
            uses.append(
                (
                    BusySpan(
                        reading.prepares[s][i].start - minutes,
                        reading.prepares[s][i].start,
                        name,
                        in_it,
                    ),
                    places,
                )
            )
    if cold is not None:
        yield from _over_use(uses, cold.places, "fridge places")


def _sums(reading: DaySpans) -> Iterator[str]:
    """The counts a plan states are the true ones."""
    problem, plan = reading.problem, reading.plan
    doughs = ("bulk proof", "final proof")
    over_proof = sum(wait.over_min for wait in waits(problem, plan) if wait.what in doughs)
    over_wait = sum(wait.over_min for wait in waits(problem, plan) if wait.what not in doughs)
    ends = [span.end for span in [*reading.events, *reading.cleanups]]
    for key in reading.load_of:
        ends.append(
            reading.out_min(key) + max(reading.product(key).cool_min, problem.unloading_min)
        )
    finish = problem.closing_min + max(ends, default=0)
    for stated, true, name in (
        (plan.over_proof_min, over_proof, "minutes of over-proof"),
        (plan.over_wait_min, over_wait, "minutes of too long waits"),
        (plan.finish_min, finish, "as the minute of the finish"),
        (plan.spare_min, problem.class_min - finish, "spare minutes"),
    ):
        if stated != true:
            yield f"the plan states {stated} {name}; it is {true}"


def _meet(first: BusySpan, second: BusySpan) -> bool:
    """Two spans of some length overlap, and at least one of them can still be changed."""
    overlap = max(first.start, second.start) < min(first.end, second.end)
    return overlap and not (first.begun and second.begun)


def _over_use(uses: list[tuple[BusySpan, int]], count: int, name: str) -> Iterator[str]:
    """The first minute at which more than ``count`` are in use, if any of the users can still be changed."""
    for minute in sorted({span.start for span, _ in uses}):
        running = [(span, number) for span, number in uses if span.start <= minute < span.end]
        used = sum(number for _, number in running)
        if used > count and not all(span.begun for span, _ in running):
            yield f"at minute {minute} there are {used} {name} in use; there are {count}"
            return
