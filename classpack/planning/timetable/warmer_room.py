"""A warmer or colder room: what it does to the proofs and to the finish, and how long each dough may wait.

Rule of thumb, from memory: dough time doubles for every ten degrees colder and halves for every ten warmer, around 24 °C. It is a
guide for two or three degrees, not a law; the sheet must say so.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from classpack.model.day import DayPlan, DayProblem, Window
from classpack.model.day_advice import LotLimit, RoomChange
from classpack.planning.timetable.planner import WHAT_IF, as_calm_as, plan_day, tries_for
from classpack.planning.timetable.spans import DaySpans

# 2 ** (n / 10) in thousandths, written out so that no machine's arithmetic matters
_THOUSANDTHS = (1000, 1072, 1149, 1231, 1320, 1414, 1516, 1625, 1741, 1866, 2000)


def proof_factor(warmer_c: int) -> Fraction:
    """By how much proofs grow (above 1) or shrink when the dough is ``warmer_c`` °C warmer (negative: colder), -10 to 10.

    >>> proof_factor(-2), proof_factor(10)
    (Fraction(1149, 1000), Fraction(1, 2))
    """
    factor = Fraction(_THOUSANDTHS[abs(warmer_c)], 1000)
    return factor if warmer_c < 0 else 1 / factor


def with_doughs_warmer(problem: DayProblem, warmer_c: int) -> DayProblem:
    """The same class with bulk and final proofs as for doughs ``warmer_c`` °C warmer (negative: colder), -10 to 10."""
    factor = proof_factor(warmer_c)

    def scaled(window: Window) -> Window:
        least = -(-window.least * factor.numerator // factor.denominator)
        most = max(least, window.most * factor.numerator // factor.denominator)
        return Window(least, min(max(round(window.usual * factor), least), most), most)

    return replace(
        problem,
        stations=tuple(replace(station, bulk=scaled(station.bulk)) for station in problem.stations),
        products=tuple(
            replace(product, proof=scaled(product.proof)) for product in problem.products
        ),
    )


def two_degrees(problem: DayProblem, plan: DayPlan) -> tuple[RoomChange, RoomChange]:
    """The finish if the doughs are 2 °C colder, and if they are 2 °C warmer, each planned anew from ``plan``."""
    return _room_change(problem, plan, -2), _room_change(problem, plan, 2)


def _room_change(problem: DayProblem, plan: DayPlan, warmer_c: int) -> RoomChange:
    changed = with_doughs_warmer(problem, warmer_c)
    changed = as_calm_as(changed, plan)  # compare like with like
    # begun from the plan as it is, little search is needed: only the proofs have changed
    again = plan_day(changed, tries_for(problem, WHAT_IF // 6), unhurried=False, start=plan)
    later = again.finish_min - plan.finish_min
    end = (
        "at the same time"
        if later == 0
        else f"{abs(later)} min {'later' if later > 0 else 'earlier'}"
    )
    waits = f", and doughs wait {again.over_proof_min} min too long" if again.over_proof_min else ""
    text = f"With doughs {abs(warmer_c)} °C {'warmer' if warmer_c > 0 else 'colder'} the class would end {end}{waits} (rule of thumb)."
    return RoomChange(warmer_c, again.finish_min, again.over_proof_min, again.spare_min, text)


def lot_limits(problem: DayProblem, plan: DayPlan) -> tuple[LotLimit, ...]:
    """How long each lot may wait, station by station: from the windows, other things staying as planned."""
    spans, limits = DaySpans(problem, plan), []
    for s, station in enumerate(problem.stations):
        for i, shaping in enumerate(spans.shapes[s]):
            shape_by = spans.bulk_start(s) + station.bulk.most
            load = spans.load_of[(s, i)]
            load_by = load.start_min - spans.proof_over_min((s, i))
            limits.append(
                LotLimit(
                    s, i, shape_by, shape_by - shaping.start, load_by, load_by - load.start_min
                )
            )
    return tuple(limits)
