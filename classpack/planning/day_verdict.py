"""Whether a plan fits, and if not, why: the class as it is against the same class with ovens without limit."""

from __future__ import annotations

from dataclasses import replace

from classpack.model.day import DayPlan, DayProblem
from classpack.model.day_advice import DayVerdict
from classpack.planning.day_bounds import bounds
from classpack.planning.day_tables import Tables
from classpack.planning.day_waits import waits
from classpack.planning.timetable import WHAT_IF, plan_day, tries_for

NOISE_MIN = 10  # what a search of this size cannot tell from chance


def explain(problem: DayProblem, plan: DayPlan) -> DayVerdict:
    """The verdict on ``plan``; a class that does not fit is planned once more with ovens without limit."""
    too_long = waits(problem, plan)
    late = plan.spare_min < 0
    kind = {
        (False, False): "fits",
        (True, False): "late",
        (False, True): "waits",
        (True, True): "late and waits",
    }[late, bool(too_long)]
    bound = bounds(Tables(problem))[0]
    free: DayPlan | None = None
    share = 0
    if kind != "fits":
        free = plan_day(
            with_ovens_without_limit(problem),
            tries_for(problem, WHAT_IF),
            unhurried=False,
            start=plan,
        )
        gain = plan.finish_min - free.finish_min
        share = gain if gain >= NOISE_MIN or (gain > 0 and free.proven) else 0
    return DayVerdict(
        kind=kind,
        spare_min=plan.spare_min,
        waits=too_long,
        free_finish_min=free.finish_min if free else None,
        free_over_proof_min=free.over_proof_min if free else None,
        ovens_share_min=share,
        latest_bound=bound,
        proven=plan.proven,
        text=_text(
            plan,
            too_long_texts=[wait.text for wait in too_long],
            free=free,
            share=share,
            chain=_chain_words(problem),
        ),
    )


def with_ovens_without_limit(problem: DayProblem) -> DayProblem:
    """Two ovens for every product, each like the best there is but with room for everything. Only a test, never a promise."""
    best = max(problem.ovens, key=lambda oven: (oven.max_c, oven.places))
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


def _chain_words(problem: DayProblem) -> str:
    """Whose own steps, proofs and bake last longest, for the end of a sentence."""
    chain = next(
        (bound for bound in bounds(Tables(problem)) if bound.kind == "chain" and bound.product),
        None,
    )
    return (
        f"the {chain.product}'s own chain of steps, proofs, bake and cooling"
        if chain
        else "the steps themselves"
    )


def _text(
    plan: DayPlan, too_long_texts: list[str], free: DayPlan | None, share: int, chain: str
) -> str:
    if plan.spare_min < 0:
        said = [f"The class ends {-plan.spare_min} min late."]
    elif plan.spare_min == 0:
        said = [
            "The class fits to the minute."
            if not too_long_texts
            else "The class ends in time, to the minute."
        ]
    elif too_long_texts:
        said = [f"The class ends in time, with {plan.spare_min} min to spare."]
    else:
        said = [f"The class fits with {plan.spare_min} min to spare."]
    if too_long_texts:
        said.append(f"Too long: {'; '.join(too_long_texts)}.")
    if free is not None and plan.spare_min < 0:
        late = -plan.spare_min
        if share >= late:
            said.append("All of the lateness is the ovens'.")
        elif share:
            said.append(
                f"{share} min of the lateness are the ovens'; the other {late - share} are {chain}."
            )
        else:
            said.append(f"More ovens would not help: it is {chain}.")
    if free is not None and plan.over_proof_min - free.over_proof_min > 0:
        said.append(
            "With ovens without limit no dough would wait too long."
            if free.over_proof_min == 0
            else f"With ovens without limit doughs would still wait {free.over_proof_min} min too long."
        )
    return " ".join(said)
