"""The plan of a class day: when each station does what, what goes into which oven, when everybody goes home.

:func:`plan_day` is the door. How it works: a plan follows from a few choices (``day_decoder``), which are built up and improved
(``day_search``) until a bound proves that nothing better exists (``day_bounds``), or the class fits well, or a fixed number of plans
has been tried. Every plan handed out has passed the rules (``day_rules``), which know nothing of all this.
"""

from __future__ import annotations

from dataclasses import replace

from classpack.model.day import (
    Choices,
    DayPlan,
    DayProblem,
    Load,
    PlanReasons,
    Window,
)
from classpack.planning.timetable.bounds import bounds, fewest_loads
from classpack.planning.timetable.decoder import Choice, Day, Decoder
from classpack.planning.timetable.faults import DayFault, day_faults
from classpack.planning.timetable.heat import with_wished_heats
from classpack.planning.timetable.reasons import plan_reasons
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.search import Found, build, improve_all, plain_choice
from classpack.planning.timetable.shows import with_late_shows
from classpack.planning.timetable.tables import Tables

FULL = 13_000  # tried plans at most; a small class takes about 0.1 ms each
WHAT_IF = 6_000
MANY_LOTS = 60  # more than forty people bake in one go
CONTENT = 1_200  # tried plans after the first that fits
CALM_CONTENT = (
    300  # the same with longer proofs than the shortest, where fitting is all that counts
)
RESERVE = (
    10  # minutes to spare before proofs are made longer than the shortest; the project's own choice
)


class NoPlanError(Exception):
    """The day cannot be planned at all; ``faults`` say why."""

    def __init__(self, faults: tuple[DayFault, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(map(str, faults)))


def plan_day(
    problem: DayProblem, effort: int = FULL, *, unhurried: bool = True, start: DayPlan | None = None
) -> DayPlan:
    """The best plan found for ``problem``.

    Args:
        effort: at most so many plans are tried (fewer when something is proven or the class fits).
        unhurried: if the class fits with the usual bulk and final proofs, or with some half or quarter of the way to them, that plan;
            else one with proofs down to the shortest.
        start: a plan to start from, of this or of a slightly different problem; the answer is no worse if that one still holds.

    Raises:
        NoPlanError: with every fault found.
    """
    faults = day_faults(problem)
    if faults:
        raise NoPlanError(faults)
    effort = affordable(problem, effort)
    if unhurried:
        for quarters in (4, 2, 1):
            calm = _calm_plan(problem, quarters, effort // 11, start)
            if calm is not None:
                return _checked(problem, calm)
    plan = _plan(problem, effort, start)
    if plan is None:
        raise NoPlanError(
            (
                DayFault(
                    ("ovens",),
                    "the ovens close before everything is baked",
                    "have one more oven, or let them be used longer",
                ),
            )
        )
    return _checked(problem, plan)


def tries_for(problem: DayProblem, effort: int) -> int:
    """As much of ``effort`` as the class is worth: a small one needs fewer tries, and a large one takes longer for each."""
    effort = affordable(problem, effort)
    lots = sum(len(station.lots) for station in problem.stations)
    enough = 800 + 450 * lots
    share = effort * 14 // max(1, lots + len(problem.stations) // 2)
    return min(effort, enough, max(effort // 8, share))


def affordable(problem: DayProblem, effort: int) -> int:
    """``effort``, less for more lots than :data:`MANY_LOTS`: a try of twice as many takes about four times as long."""
    lots = max(MANY_LOTS, sum(len(station.lots) for station in problem.stations))
    return effort * MANY_LOTS**2 // lots**2


def with_calm_proofs(problem: DayProblem, quarters: int) -> DayProblem:
    """The class with the shortest proofs moved ``quarters`` quarters of the way to the usual, 0 to 4."""

    def calm(window: Window) -> Window:
        return replace(window, least=window.least + (window.usual - window.least) * quarters // 4)

    return replace(
        problem,
        stations=tuple(replace(s, bulk=calm(s.bulk)) for s in problem.stations),
        products=tuple(replace(p, proof=calm(p.proof)) for p in problem.products),
    )


def _calm_plan(
    problem: DayProblem, quarters: int, effort: int, start: DayPlan | None
) -> DayPlan | None:
    """A plan with longer proofs than the shortest that fits with a reserve; ``None`` when there seems to be none."""
    calm = with_calm_proofs(problem, quarters)
    if bounds(Tables(calm))[0].finish_min > problem.class_min - RESERVE:
        return None
    plan = _plan(calm, effort, start, content_after=CALM_CONTENT, reserve=RESERVE)
    if plan is None or not plan.fits or plan.spare_min < RESERVE:
        return None
    return replace(plan, calm_quarters=quarters, proven=False)


def _plan(
    problem: DayProblem,
    effort: int,
    start: DayPlan | None,
    content_after: int = CONTENT,
    reserve: int = 0,
) -> DayPlan | None:
    """The search: at most ``effort`` tries, and ``content_after`` after the first plan that fits with ``reserve`` minutes to spare."""
    tables = Tables(problem)
    decoder = Decoder(tables)
    finish_bound = bounds(tables)[0].finish_min
    loads_bound = fewest_loads(tables) - len(tables.begun.loads)
    fitted_at: list[int] = []

    def content(day: Day) -> bool:
        if day.over_wait or day.over_proof:
            return False
        if day.finish <= finish_bound and len(day.loads) <= loads_bound + 1:
            return True
        if day.finish <= problem.class_min - reserve:
            fitted_at.append(decoder.tried) if not fitted_at else None
            return decoder.tried - fitted_at[0] >= content_after
        return False

    starts = (
        [found for found in (_found(decoder, start),) if found is not None]
        if start is not None
        else []
    )
    starts += build(decoder, max(200, effort // 6))
    if not starts:
        return None
    best = improve_all(decoder, starts, effort - decoder.tried, content)
    proven = best.day.over_wait == best.day.over_proof == 0 and best.day.finish <= finish_bound
    return _written(tables, best, proven)


def _found(decoder: Decoder, plan: DayPlan) -> Found | None:
    """The choices of a plan, fitted to this problem: lots that are gone are left out, new ones get loads of their own."""
    T = decoder.tables
    choices = plan.choices
    known = set(T.open_lots)
    order: list[tuple[int, tuple[int, ...]]] = []
    for oven, keys in choices.loads:
        lots = tuple(
            sorted(T.number[key] for key in keys if key in T.number and T.number[key] in known)
        )
        if lots and oven < len(T.ovens) and T.range_c(oven, lots) is not None:
            order.append((oven, lots))
            known -= set(lots)
    for n in sorted(known):
        ovens = [oven for oven in T.ovens if T.range_c(oven, (n,)) is not None]
        if not ovens:
            return None
        order.append((ovens[0], (n,)))
    plain = plain_choice(decoder, tuple(order))
    holds = choices.holds if len(choices.holds) == len(plain.holds) else plain.holds
    events = choices.events if len(choices.events) == len(plain.events) else plain.events
    early = tuple(T.number[key] for key in choices.early if key in T.number)
    best: Found | None = None
    for choice in (Choice(plain.order, holds, events, early), plain):
        day = decoder.decode(choice)
        if day is not None and (best is None or day.rank < best.day.rank):
            best = Found(choice, day)
    return best


def _written(tables: Tables, found: Found, proven: bool) -> DayPlan:
    """The day as a plan for reading."""
    problem, day, choice = tables.problem, found.day, found.choice
    loads = [
        Load(oven, start, c, tuple(tables.keys[n] for n in members))
        for (start, c, oven), (_, members) in zip(day.loads, choice.order, strict=True)
    ]
    return DayPlan(
        event_starts=tuple(day.events),
        step_starts=tuple(tuple(starts) for starts in day.doughs.steps),
        shape_starts=_by_station(tables, day.shapes),
        prepare_starts=_by_station(tables, day.prepares),
        cleanup_starts=tuple(day.cleanup),
        loads=tuple(
            sorted([*tables.begun.loads, *loads], key=lambda load: (load.start_min, load.oven))
        ),
        cold_min=_by_station(tables, day.cold),
        over_proof_min=day.over_proof,
        over_wait_min=day.over_wait,
        finish_min=day.finish,
        spare_min=problem.class_min - day.finish,
        proven=proven,
        calm_quarters=0,
        reasons=PlanReasons((), (), (), (), (), ()),
        choices=Choices(
            loads=tuple(
                (oven, tuple(tables.keys[n] for n in members)) for oven, members in choice.order
            ),
            holds=choice.holds,
            events=choice.events,
            early=tuple(tables.keys[n] for n in choice.early),
        ),
    )


def _by_station(tables: Tables, by_lot: list[int]) -> tuple[tuple[int, ...], ...]:
    return tuple(
        tuple(by_lot[tables.number[s, i]] for i in range(len(station.lots)))
        for s, station in enumerate(tables.problem.stations)
    )


def _checked(problem: DayProblem, plan: DayPlan) -> DayPlan:
    """The plan with its reasons, after the rules have had their say; a broken rule is a fault of this program."""
    broken = check_plan(problem, plan)
    if broken:
        raise AssertionError("the planner made a plan against the rules: " + "; ".join(broken))
    plan = with_late_shows(problem, with_wished_heats(problem, plan))
    return replace(plan, reasons=plan_reasons(problem, plan))
