"""Whether a plan fits, and if not, why: the class as it is against the same class with ovens without limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from classpack.model.day import DayPlan, DayProblem
from classpack.model.day_advice import DayVerdict, WaitTooLong
from classpack.planning.timetable.bounds import bounds
from classpack.planning.timetable.planner import MANY_LOTS, WHAT_IF, plan_day, tries_for
from classpack.planning.timetable.tables import Tables
from classpack.planning.timetable.waits import longest_each, waits

MOST_SAID = 6  # waits named one by one in the verdict
NOISE_MIN = 10  # what a search of this size cannot tell from chance


def explain(problem: DayProblem, plan: DayPlan, behind_min: int = 0) -> DayVerdict:
    """The verdict on ``plan``, ``behind_min`` of whose lateness are a delay that has already happened; a class that does not fit is planned once or twice more, with ovens (and kit) without limit."""
    too_long = waits(problem, plan)
    late = plan.spare_min < 0
    kind = {
        (False, False): "fits",
        (True, False): "late",
        (False, True): "waits",
        (True, True): "late and waits",
    }[late, bool(too_long)]
    all_bounds = bounds(Tables(problem))
    chain = next(
        (bound for bound in all_bounds if bound.kind == "chain" and bound.product), all_bounds[0]
    )
    free: DayPlan | None = None
    shares: tuple[tuple[str, int], ...] = ()
    if kind != "fits":
        without_limit = with_ovens_without_limit(problem)
        free = plan_day(without_limit, tries_for(problem, WHAT_IF), unhurried=False, start=plan)
        shares = ()
        if late:
            delay = min(-plan.spare_min, behind_min)
            shares = (
                *((("delay", delay),) if delay else ()),
                *_shares(problem, plan, without_limit, free, chain.finish_min, delay),
            )
    return DayVerdict(
        kind=kind,
        spare_min=plan.spare_min,
        waits=too_long,
        free_finish_min=free.finish_min if free else None,
        free_over_proof_min=free.over_proof_min if free else None,
        shares=shares,
        latest_bound=all_bounds[0],
        proven=plan.proven,
        text=_text(
            problem,
            plan,
            _worst(too_long),
            free,
            _share_words(problem, shares, chain.product) if shares else "",
        ),
    )


def _shares(
    problem: DayProblem,
    plan: DayPlan,
    without_limit: DayProblem,
    free: DayPlan,
    chain_finish_min: int,
    delay: int,
) -> tuple[tuple[str, int], ...]:
    """What the lateness beyond the delay is made of, in the order ovens, kit, chain, hands; only parts above 0.

    What is left over is said to be the hands' only where the search is far enough: not in a class of more than MANY_LOTS lots.
    """
    left = -plan.spare_min - delay
    ovens = min(left, _gain(plan, free))
    chain = min(left - ovens, max(0, chain_finish_min - problem.class_min))
    left -= ovens + chain
    kit = 0
    if left >= NOISE_MIN and problem.pools:
        enough = replace(
            without_limit, pools=tuple(replace(pool, count=10**6) for pool in problem.pools)
        )
        kit = min(
            left,
            _gain(free, plan_day(enough, tries_for(problem, WHAT_IF), unhurried=False, start=free)),
        )
    rest = "hands" if _searched(problem) else "unknown"
    parts = (("ovens", ovens), ("kit", kit), ("chain", chain), (rest, left - kit))
    return tuple((cause, minutes) for cause, minutes in parts if minutes > 0)


def _searched(problem: DayProblem) -> bool:
    """Small enough that the search knows what it says."""
    return sum(len(station.lots) for station in problem.stations) <= MANY_LOTS


def _gain(before: DayPlan, after: DayPlan) -> int:
    """Minutes by which ``after`` ends earlier, if that is more than chance."""
    gain = before.finish_min - after.finish_min
    return gain if gain >= NOISE_MIN or (gain > 0 and after.proven) else 0


def with_ovens_without_limit(problem: DayProblem) -> DayProblem:
    """Two ovens for every product, each like the best there is but with room for everything. Only a test, never a promise."""
    working = [o for o in problem.ovens if o.until_min is None or o.until_min > problem.now_min]
    best = max(working or problem.ovens, key=lambda oven: (oven.max_c, oven.places))
    pieces = sum(lot.pieces for station in problem.stations for lot in station.lots)
    more = tuple(
        replace(
            best,
            name=f"oven without limit {number + 1}",
            places=max(best.places, pieces),
            from_min=0,
            until_min=None,
        )
        for number in range(2 * len(problem.products))
    )
    products = tuple(
        replace(
            product,
            places_differ=tuple(
                (name, on_place) for name, on_place in product.places_differ if on_place
            ),
        )
        for product in problem.products
    )
    return replace(problem, ovens=(*problem.ovens, *more), products=products)


def _worst(too_long: Sequence[WaitTooLong]) -> list[str]:
    """The longest wait of each kind and name; where there are very many, the longest of all and how many more."""
    said = longest_each(too_long)
    if len(said) <= MOST_SAID:
        return [wait.text for wait in said]
    kept = sorted(said, key=lambda wait: -wait.over_min)[: MOST_SAID - 1]
    return [
        *(wait.text for wait in said if wait in kept),
        f"{len(said) - len(kept)} more wait too long, none of them longer",
    ]


def _text(
    problem: DayProblem, plan: DayPlan, too_long: list[str], free: DayPlan | None, shares: str
) -> str:
    searched = _searched(problem)
    if plan.spare_min < 0:
        said = [f"The class ends {-plan.spare_min} min late: {shares}."]
    elif plan.spare_min == 0:
        said = [
            "The class fits to the minute."
            if not too_long
            else "The class ends in time, to the minute."
        ]
    elif too_long:
        said = [f"The class ends in time, with {plan.spare_min} min to spare."]
    else:
        said = [f"The class fits with {plan.spare_min} min to spare."]
    if plan.shortened:
        said.append(f"{_shortened_words(plan)}.")
    if too_long:
        words = "; ".join(too_long)
        said.append(f"{words[0].upper()}{words[1:]}.")
    if (
        free is not None
        and plan.over_proof_min > free.over_proof_min
        and (searched or free.over_proof_min == 0)
    ):
        said.append(
            "With ovens without limit no dough would wait too long."
            if free.over_proof_min == 0
            else f"With ovens without limit doughs would still wait {free.over_proof_min} min too long in all, instead of {plan.over_proof_min}."
        )
    return " ".join(said)


def _shortened_words(plan: DayPlan) -> str:
    """Which proofs may be shorter than the recipe's, and what for."""
    proofs = [
        f"{f'final proof of the {one.what}' if one.what else 'first proof'} {one.usual_min} to {one.minutes} min"
        for one in plan.shortened
    ]
    return "Shortened to fit the hours: " + ", ".join(proofs)


def _share_words(
    problem: DayProblem, shares: tuple[tuple[str, int], ...], chain_product: str
) -> str:
    """As in '48 min are the ovens', the other 20 are the tin loaf's own steps, proofs, bake and cooling'."""
    own = "'" if chain_product.endswith("s") else "'s"
    words = {
        "ovens": "the ovens'",
        "kit": f"for want of {' and '.join(pool.name for pool in problem.pools)}",
        "chain": f"the {chain_product}{own} own steps, proofs, bake and cooling",
        "hands": "hands and talks that wait for each other",
        "delay": "the delay there is already",
        "unknown": "not searched far enough to say",
    }
    if len(shares) == 1:
        return f"all of it is {words[shares[0][0]]}"
    (first, minutes), *middle = shares[:-1]
    last, rest = shares[-1]
    parts = [
        f"{minutes} min are {words[first]}",
        *(f"{count} are {words[cause]}" for cause, count in middle),
    ]
    return ", ".join([*parts, f"the other {rest} are {words[last]}"])
