"""What would make a class fit: each change is planned anew, starting from the plan as it is, and named only when it really helps.

A local search cannot tell differences below about ten minutes from chance. So the unchanged class is planned anew in the same way
first, and a gain counts against that; it is named from ten minutes on, when the change makes the class fit, or when a bound
proves that without it no plan could end as early.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from classpack.model.day import Begun, Choices, DayPlan, DayProblem, DayStation
from classpack.model.day_advice import Remedy
from classpack.planning.timetable.bounds import bounds
from classpack.planning.timetable.faults import day_faults
from classpack.planning.timetable.planner import WHAT_IF, NoPlanError, plan_day, tries_for
from classpack.planning.timetable.tables import Tables
from classpack.planning.timetable.verdict import NOISE_MIN
from classpack.planning.timetable.warmer_room import with_doughs_warmer

KINDS = (
    "start earlier",
    "stagger",
    "one more oven",
    "dough beforehand",
    "hold cold",
    "without a product",
    "half without a product",
    "assistant",
    "no break",
    "warmer dough",
    "more kit",
)

Change = tuple[str, str, str, DayProblem]  # kind, what, words, the changed class


def remedies(problem: DayProblem, plan: DayPlan) -> tuple[Remedy, ...]:
    """What helps, best first; nothing when ``plan`` fits. Takes up to some seconds: a dozen plans."""
    if plan.fits:
        return ()
    changes = [change for change in _changes(problem, plan) if not day_faults(change[3])]
    effort = tries_for(problem, WHAT_IF) * 7 // max(7, len(changes) + 1)
    base = plan_day(problem, effort, unhurried=False, start=plan)
    bound = bounds(Tables(problem))[0].finish_min
    found = [_start_earlier(plan)] if plan.spare_min < 0 else []
    for kind, what, words, changed in changes:
        try:
            again = plan_day(
                changed, effort, unhurried=False, start=_start_for(changed, problem, base)
            )
        except NoPlanError:
            continue
        remedy = _remedy(kind, what, words, base, again, bound)
        if remedy is not None:
            found.append(remedy)
    return tuple(
        sorted(
            found,
            key=lambda r: (not r.fits, r.over_proof_min, r.finish_min, KINDS.index(r.kind), r.what),
        )
    )


def _remedy(
    kind: str, what: str, words: str, base: DayPlan, again: DayPlan, bound: int
) -> Remedy | None:
    """The remedy, if its gain is more than chance."""
    gain = base.finish_min - again.finish_min
    waited, waits = (
        base.over_proof_min + base.over_wait_min,
        again.over_proof_min + again.over_wait_min,
    )
    proven = again.finish_min < bound and waits <= waited
    makes_it_fit = again.fits and not base.fits
    better = waits < waited or (waits == waited and gain > 0)
    if not better or not (
        makes_it_fit
        or proven
        or waited - waits >= NOISE_MIN
        or (waits <= waited and gain >= NOISE_MIN)
    ):
        return None
    effects = []
    if again.fits:
        effects.append(
            "the class fits"
            + (f" with {again.spare_min} min to spare" if again.spare_min else " to the minute")
        )
    else:
        if gain:
            effects.append(f"it ends {abs(gain)} min {'earlier' if gain > 0 else 'later'}")
        if again.spare_min < 0:
            effects.append(f"still {-again.spare_min} min late")
        if waits < waited:
            effects.append(
                "no dough waits too long"
                if waits == 0
                else f"doughs wait {waits} min too long instead of {waited}"
            )
    return Remedy(
        kind,
        what,
        gain,
        waited - waits,
        again.finish_min,
        again.over_proof_min,
        again.fits,
        proven,
        f"{words}: {', '.join(effects)}.",
    )


def _start_earlier(plan: DayPlan) -> Remedy:
    """Needs no planning: everything moves."""
    minutes = (4 - plan.spare_min) // 5 * 5
    fits = plan.over_proof_min == 0 and plan.over_wait_min == 0
    end = "the class fits" if fits else "it ends in time, though doughs still wait too long"
    return Remedy(
        "start earlier",
        f"{minutes} min",
        minutes,
        0,
        plan.finish_min - minutes,
        plan.over_proof_min,
        fits,
        True,
        f"Start {minutes} min earlier: {end}.",
    )


def _changes(problem: DayProblem, plan: DayPlan) -> Iterator[Change]:
    """Every changed class worth planning."""
    limits = [s for s in problem.stations if s.first_step_latest_min is not None]
    if limits and (plan.over_proof_min or plan.over_wait_min):
        yield (
            "stagger",
            "",
            "Let stations begin later, one after another",
            replace(
                problem,
                stations=tuple(replace(s, first_step_latest_min=None) for s in problem.stations),
            ),
        )
    working = [
        oven for oven in problem.ovens if oven.until_min is None or oven.until_min > problem.now_min
    ]
    if working:
        best = max(working, key=lambda oven: (oven.max_c, oven.places))
        names = {best.name: f"{best.name} (a second)"}
        products = tuple(
            replace(
                p,
                places_differ=(
                    *p.places_differ,
                    *((names[n], k) for n, k in p.places_differ if n in names),
                ),
            )
            for p in problem.products
        )
        yield (
            "one more oven",
            best.name,
            f"One more oven like {best.name}",
            replace(
                problem,
                ovens=(*problem.ovens, replace(best, name=names[best.name])),
                products=products,
            ),
        )
    if problem.begun is None and any(s.steps for s in problem.stations if not s.tutors):
        yield (
            "dough beforehand",
            "",
            "Dough made beforehand by the tutor",
            dough_beforehand(problem),
        )
    yield from _cold(problem)
    yield from _fewer(problem)
    if problem.assistants == 0:
        yield "assistant", "", "An assistant at the ovens", replace(problem, assistants=1)
    if problem.begun is None and any(event.is_break for event in problem.events):
        yield (
            "no break",
            "",
            "No break",
            replace(problem, events=tuple(e for e in problem.events if not e.is_break)),
        )
    if problem.begun is None:
        yield (
            "warmer dough",
            "2 °C",
            "Doughs 2 °C warmer (rule of thumb)",
            with_doughs_warmer(problem, 2),
        )
    used = {lot_pool for p in problem.products for lot_pool in (p.pool,) if lot_pool}
    used |= {step.pool for station in problem.stations for step in station.steps if step.pool}
    for pool in problem.pools:
        if pool.name in used:
            yield (
                "more kit",
                pool.name,
                f"Enough {pool.name} for everybody",
                replace(
                    problem,
                    pools=tuple(replace(p, count=10**6) if p == pool else p for p in problem.pools),
                ),
            )


def dough_beforehand(problem: DayProblem) -> DayProblem:
    """The students' doughs mixed by the tutor, so that they are ready to shape once the first talks are over.

    The talks before later dough steps are left out, as nobody does these steps.
    """
    first = {station.steps[0].name for station in problem.stations if station.steps}
    events = tuple(e for e in problem.events if e.before_step is None or e.before_step in first)
    talks = sum(e.minutes for e in events if e.before_step in first) + max(
        (e.minutes for e in events if e.before_product), default=0
    )

    def made(station: DayStation) -> DayStation:
        if station.tutors or not station.steps:
            return station
        return replace(station, steps=(), bulk_began_min=min(0, talks - station.bulk.usual))

    return replace(
        problem,
        stations=tuple(made(station) for station in problem.stations),
        events=tuple(replace(e, after_step=None, before_step=None) for e in events),
    )


def _cold(problem: DayProblem) -> Iterator[Change]:
    cold = problem.cold
    if cold is None or cold.places <= 0 or cold.most_min <= 0:
        return
    for product in problem.products:
        if product.name not in cold.products:
            yield (
                "hold cold",
                product.name,
                f"Hold shaped {product.name} cold for up to {cold.most_min} min",
                replace(
                    problem,
                    cold=replace(cold, products=cold.products | {product.name}),
                ),
            )


def _fewer(problem: DayProblem) -> Iterator[Change]:
    """Without one product, everywhere or at every second station that makes it; no station is left with nothing."""
    for product in problem.products:
        makers = [
            s
            for s, station in enumerate(problem.stations)
            if len({lot.product for lot in station.lots}) > 1
            and any(lot.product == product.name for lot in station.lots)
            and not _touched(problem, s)
        ]
        for kind, some, words in (
            ("without a product", makers, f"No {product.name}"),
            (
                "half without a product",
                makers[1::2],
                f"{product.name.capitalize()} at every second station only",
            ),
        ):
            if some and (kind == "without a product" or len(makers) > 1):
                stations = tuple(
                    replace(
                        station,
                        lots=tuple(lot for lot in station.lots if lot.product != product.name),
                    )
                    if s in some
                    else station
                    for s, station in enumerate(problem.stations)
                )
                changed = replace(
                    problem, stations=stations, begun=_begun_without(problem, some, product.name)
                )
                yield kind, product.name, words, changed


def _begun_without(problem: DayProblem, some: Sequence[int], product: str) -> Begun | None:
    """What has begun, told of the stations as they are without ``product``; nothing of theirs is shaped yet."""
    if problem.begun is None:
        return None

    def kept(starts: tuple[tuple[int | None, ...], ...]) -> tuple[tuple[int | None, ...], ...]:
        return tuple(
            tuple(
                start
                for start, lot in zip(begun, station.lots, strict=True)
                if s not in some or lot.product != product
            )
            for s, (begun, station) in enumerate(zip(starts, problem.stations, strict=True))
        )

    return replace(
        problem.begun,
        shapes=kept(problem.begun.shapes),
        chills=kept(problem.begun.chills),
        prepares=kept(problem.begun.prepares),
    )


def _touched(problem: DayProblem, s: int) -> bool:
    """Something of the station has been shaped already, so its lots stay as they are."""
    return problem.begun is not None and any(start is not None for start in problem.begun.shapes[s])


def _start_for(changed: DayProblem, problem: DayProblem, plan: DayPlan) -> DayPlan:
    """``plan`` with its choices as they read in the changed class: lots and events that are gone are left out."""
    kept = {
        (s, i): (s, [k for k, lot in enumerate(before.lots) if lot in after.lots].index(i))
        for s, (before, after) in enumerate(zip(problem.stations, changed.stations, strict=True))
        for i, lot in enumerate(before.lots)
        if lot in after.lots
    }
    choices = plan.choices
    loads = tuple(
        (oven, tuple(kept[key] for key in lots if key in kept)) for oven, lots in choices.loads
    )
    by_name = {
        event.name: choice for event, choice in zip(problem.events, choices.events, strict=True)
    }
    return replace(
        plan,
        choices=Choices(
            loads=tuple(load for load in loads if load[1]),
            holds=choices.holds,
            events=tuple(by_name[event.name] for event in changed.events),
            early=tuple(kept[key] for key in choices.early if key in kept),
        ),
    )
