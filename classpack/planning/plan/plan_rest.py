"""On the day: the rest of a class planned again."""

from __future__ import annotations

from dataclasses import replace

from classpack.errors import LessonError, Spot
from classpack.planning.day.again import Happening, day_again, happening_problems
from classpack.planning.day.clocks import day_clocks
from classpack.planning.day.problems import day_problems, endless
from classpack.planning.plan.plan_class import Planned, safety_of
from classpack.planning.safety.class_cautions import place_facts
from classpack.planning.timetable.planner import NoPlanError
from classpack.planning.timetable.verdict import explain

REST = "the rest of the day"


def plan_rest(planned: Planned, happening: Happening) -> Planned:
    """The class from ``happening`` on, whoever was gone in ``planned`` still gone.

    Raises:
        LessonError: a time, oven or seat that there is not, or a rest of the day that cannot be planned.
    """
    plan, day = planned.plan, planned.plan.day
    gone = plan.again.gone if plan.again else frozenset[str]()
    spot = day.spot or Spot(day.file, 1)
    problems = happening_problems(plan.timed, plan.people, happening, spot, gone)
    if problems:
        raise LessonError(problems)
    try:
        again = day_again(plan.timed, plan.people, happening, gone)
    except NoPlanError as error:
        raise LessonError(
            day_problems(error.faults, plan.lesson, day, plan.kitchen, REST)
        ) from None
    timed = again.timed
    if faults := endless(timed.plan):
        raise LessonError(day_problems(faults, plan.lesson, day, plan.kitchen, REST))
    clocks = day_clocks(plan.lesson, timed, plan.own_tools)
    facts = place_facts(plan.lesson, day, plan.kitchen, plan.larder)
    safety = safety_of(
        planned.sources, day, planned.needs, plan.as_made, facts, plan.fired, clocks, plan.weights
    )
    rest = replace(
        plan,
        timed=timed,
        clocks=clocks,
        safety=safety,
        verdict=explain(timed.setting.problem, timed.plan, happening.late_min),
        gone=frozenset(one.index for one in plan.people if one.person.seat in again.gone),
        again=again,
    )
    return replace(planned, plan=rest)
