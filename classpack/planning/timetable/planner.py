"""The plan of a class day: when each station does what, what goes into which oven, when everybody goes home.

:func:`plan_day` is the door. How it works: a plan follows from a few choices (``day_decoder``), which are built up and improved
(``day_search``) until a bound proves that nothing better exists (``day_bounds``), or the class fits well, or a fixed number of plans
has been tried. Every plan handed out has passed the rules (``day_rules``), which know nothing of all this.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from classpack.model.day import (
    Choices,
    DayPlan,
    DayProblem,
    Load,
    PlanReasons,
    Shortened,
    Window,
)
from classpack.planning.timetable.bounds import bounds, fewest_loads
from classpack.planning.timetable.decoder import Choice, Day, Decoder, Ease
from classpack.planning.timetable.faults import DayFault, day_faults
from classpack.planning.timetable.heat import with_wished_heats
from classpack.planning.timetable.reasons import plan_reasons
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.search import (
    Found,
    Search,
    build,
    improve_all,
    plain_choice,
    with_one_station_last,
)
from classpack.planning.timetable.shows import with_late_shows
from classpack.planning.timetable.tables import Tables

FULL = 13_000  # tried plans at most; a small class takes about 0.1 ms each
WHAT_IF = 6_000
MANY_LOTS = 60  # more than forty people bake in one go
CONTENT = 4_000  # tried plans after the first that fits
CALM_CONTENT = (
    300  # the same with longer proofs than the shortest, where fitting is all that counts
)
EASE_TRIES = 700  # tried plans at least for larger margins
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
        unhurried: proofs have their usual times while the hours allow, shortened are only those that must be, and once the class
            fits its margins are an aim; else proofs down to the shortest, as early an end as can be.
        start: a plan to start from, of this or of a slightly different problem; the answer is no worse if that one still holds.

    Raises:
        NoPlanError: with every fault found.
    """
    faults = day_faults(problem)
    if faults:
        raise NoPlanError(faults)
    effort = affordable(problem, effort)
    timed = problem
    plan: DayPlan | None
    if unhurried:
        plan, timed = _unhurried(problem, effort, start)
    else:
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
    if unhurried:
        plan = _eased(timed, plan, effort)
    return _checked(problem, replace(plan, shortened=shortened_proofs(problem, timed)))


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


Quarters = Mapping[str, int]
"""How far each proof's shortest is moved to its usual, in quarters: by product, the bulk proof under the empty name. 4: the usual."""


def with_proofs(problem: DayProblem, quarters: Quarters) -> DayProblem:
    """The class with the shortest proofs moved towards the usual; what is not in ``quarters`` stays."""

    def moved(window: Window, name: str) -> Window:
        way = (window.usual - window.least) * quarters.get(name, 0)
        return replace(window, least=window.least + way // 4)

    return replace(
        problem,
        stations=tuple(replace(s, bulk=moved(s.bulk, "")) for s in problem.stations),
        products=tuple(replace(p, proof=moved(p.proof, p.name)) for p in problem.products),
    )


def as_calm_as(problem: DayProblem, plan: DayPlan) -> DayProblem:
    """``problem`` with proofs no shorter than ``plan`` allows: the usual, but for those it has shortened."""
    shortened = {one.what: one for one in plan.shortened}

    def kept(window: Window, name: str) -> Window:
        one = shortened.get(name)
        least = one.minutes * window.usual // one.usual_min if one else window.usual
        return replace(window, least=max(window.least, least))

    return replace(
        problem,
        stations=tuple(replace(s, bulk=kept(s.bulk, "")) for s in problem.stations),
        products=tuple(replace(p, proof=kept(p.proof, p.name)) for p in problem.products),
    )


def _unhurried(
    problem: DayProblem, effort: int, start: DayPlan | None
) -> tuple[DayPlan | None, DayProblem]:
    """A plan with the usual proofs while the hours allow, and the class it is a plan of.

    Where they do not, first the shortest proofs are planned; then one proof after another is brought back as near to its usual as the
    plan stays as good. The bulk proof comes last, as it is the one to shorten first: what a dough has not risen in the bowl it can
    still rise in its tin, and underproved loaves burst (common practice, no source).
    """
    names = [*_by_proof(problem), ""]
    calm = with_proofs(problem, dict.fromkeys(names, 4))
    usual: DayPlan | None = None
    if bounds(Tables(calm))[0].finish_min <= problem.class_min - RESERVE:
        usual = _plan(calm, effort // 11, start, content_after=CALM_CONTENT, reserve=RESERVE)
        if usual is not None and usual.fits and usual.spare_min >= RESERVE:
            return usual, calm
    plan = _plan(problem, effort, start)
    if plan is None:
        return None, problem
    quarters = dict.fromkeys(names, 0)
    reserve = max(0, min(RESERVE, plan.spare_min))
    for name in names:
        for more in (4, 2, 1):
            slower = with_proofs(problem, {**quarters, name: more})
            again = _plan(slower, effort // 40, plan, content_after=0, reserve=reserve, fresh=False)
            if again is not None and (
                again.over_wait_min <= plan.over_wait_min
                and again.over_proof_min <= plan.over_proof_min
                and again.finish_min <= max(plan.finish_min, problem.class_min - reserve)
            ):
                plan, quarters[name] = again, more
                break
    timed = with_proofs(problem, quarters)
    return replace(plan, usual_finish_min=usual.finish_min if usual else None, proven=False), timed


def _by_proof(problem: DayProblem) -> list[str]:
    """The products somebody still shapes, those with the longest final proof first."""
    made = {lot.product for station in problem.stations for lot in station.lots}
    return [
        one.name
        for one in sorted(problem.products, key=lambda one: (-one.proof.usual, one.name))
        if one.name in made
    ]


def shortened_proofs(problem: DayProblem, timed: DayProblem) -> tuple[Shortened, ...]:
    """The proofs that are shorter in ``timed`` than usual, the bulk proof first."""
    pairs = [
        ("", s.bulk, t.bulk)
        for s, t in zip(problem.stations, timed.stations, strict=True)
        if s.steps
    ]
    pairs += [
        (p.name, p.proof, q.proof) for p, q in zip(problem.products, timed.products, strict=True)
    ]
    return tuple(
        dict.fromkeys(
            Shortened(name, window.usual, least.least)
            for name, window, least in pairs
            if least.least < window.usual and name in {"", *_by_proof(problem)}
        )
    )


def _eased(timed: DayProblem, plan: DayPlan, effort: int) -> DayPlan:
    """``plan`` with larger margins, as far as it ends no later and needs no more loads; one in which something waits too long stays."""
    if plan.over_proof_min or plan.over_wait_min:
        return plan
    tables = Tables(timed)
    decoder = Decoder(tables, Ease(plan.finish_min))
    found = _found(decoder, plan)
    if found is None:
        return plan
    best = Search(decoder, 7, lambda day: day.tight == 0).improve(
        found, max(EASE_TRIES, effort // 16)
    )
    if best.day.over_wait or best.day.over_proof or best.day.finish > plan.finish_min:
        return plan
    return replace(_written(tables, best, plan.proven), usual_finish_min=plan.usual_finish_min)


def _plan(
    problem: DayProblem,
    effort: int,
    start: DayPlan | None,
    content_after: int = CONTENT,
    reserve: int = 0,
    *,
    fresh: bool = True,
) -> DayPlan | None:
    """The search: at most ``effort`` tries, and ``content_after`` after the first plan that fits with ``reserve`` minutes to spare.
    Not ``fresh``: only from ``start``."""
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
    if fresh or not starts:
        built = build(decoder, max(200, effort // 6))
        starts += [*built, *with_one_station_last(decoder, built)]
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
        shortened=(),
        usual_finish_min=None,
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
