"""A class day planned: from what the tutor's files say to everything that is printed."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from classpack.errors import LessonError, Problem, Remark, Spot
from classpack.model.class_day import ClassDay
from classpack.model.class_plan import Change, Version
from classpack.model.kitchen import Kitchen
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson
from classpack.model.needs import NeedsPlan
from classpack.model.safety import PlaceFacts
from classpack.model.timed_day import DayClocks, TimedDay
from classpack.planning.amounts.changed_lesson import changed_lesson
from classpack.planning.amounts.dough_day import dough_advice, factors_of, taught_lesson
from classpack.planning.amounts.scaling import Scaled, scaled
from classpack.planning.amounts.vessels import clearance_problems, vessel_findings
from classpack.planning.day.clock_change import by_one_clock, clock_remarks
from classpack.planning.day.clocks import day_clocks
from classpack.planning.day.problems import day_problems, endless, too_late
from classpack.planning.day.setting import day_setting
from classpack.planning.dough.sanity import dough_objections
from classpack.planning.dough.yeast import converted_g, yeast_in_form
from classpack.planning.labels.named_allergens import packs_read_remarks
from classpack.planning.needs.resolving import resolve, shareable
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.last_look import last_look_at_plan
from classpack.planning.plan.sources import Sources
from classpack.planning.safety.bench_use import handled_at
from classpack.planning.safety.class_cautions import ClassCautions, class_cautions, place_facts
from classpack.planning.safety.class_safety import ClassSafety, class_safety, group_problems
from classpack.planning.safety.fridge import fridge_clock
from classpack.planning.safety.safety_sheet import HealthWord, health_words
from classpack.planning.shopping.basket import shopping_list
from classpack.planning.timetable.planner import NoPlanError, plan_day
from classpack.planning.timetable.verdict import explain


@dataclass(frozen=True)
class Planned:
    """What was computed: the plan that sheets read; beside it what is confidential, and what it was planned from."""

    plan: ClassPlan
    needs: NeedsPlan = field(repr=False)
    sources: Sources = field(repr=False)

    @cached_property
    def health_words(self) -> tuple[HealthWord, ...]:
        """Cautions that weigh more for somebody who comes. Health data: for the confidential sheet alone."""
        fired = [one.fired for one in self.plan.safety.met]
        return health_words(fired, self.needs.sheet.health_groups)


def plan_class(sources: Sources) -> Planned:
    """Compute everything a class day needs.

    Raises:
        LessonError: with every problem of sums, allergens and heat, and with what no day plan can mend.
    """
    day, kitchen, larder = sources.day, sources.kitchen, sources.larder
    taught = taught_lesson(sources.lesson, day, kitchen, larder)
    lesson = taught.lesson
    problems: list[Problem] = [*taught.problems]
    remarks = [Remark("taken for granted", text) for text in day.assumed]
    remarks += [Remark("names", f"{text}.") for text in lesson.read_as]
    remarks += [Remark("measures", f"{text}.") for _, text in lesson.measured]
    if lesson.taken:
        said = "; ".join(dict.fromkeys(str(one) for one in lesson.taken))
        text = f"The lesson does not say, and what is usual is taken: {said}. 'check --write-defaults' writes it down."
        remarks.append(Remark("taken for granted", text))
    remarks += taught.remarks
    for objection in dough_objections(lesson.base.formula, larder):
        if objection.severity == "problem":
            spot = objection.spot or lesson.base.spot or Spot(lesson.file, 1)
            problems.append(Problem(spot, objection.wrong, objection.right))
        else:
            remarks.append(Remark("dough", f"{objection.wrong}; {objection.right}"))
    needs = resolve(
        lesson, day, larder, sources.diets, language=sources.language, own_words=sources.own_words
    )
    day = shareable(day)  # from here on nobody's needs are within reach of a sheet
    yeast = _yeast_changes(lesson, day, larder, problems)
    for_everyone = (*yeast, *needs.for_everyone)
    versions = tuple(Version((*yeast, *one.changes)) for one in needs.versions)
    scale, unweighable = scaled(
        lesson, day, kitchen, larder, needs.makings, versions,
        for_all=for_everyone, demonstrated=for_everyone, alone=needs.mixes_alone,
    )  # fmt: skip
    problems += unweighable
    made = {portion.variation for one in scale.people for portion in one.portions}
    made |= {portion.variation for one in scale.batches for portion in one.portions}
    breads = [one for one in lesson.variations if one.name in made]
    dough = dough_advice(lesson, day, kitchen, larder, breads, yeast)
    vessels = vessel_findings(breads, kitchen, day.spot or Spot(day.file, 1))
    problems += [*dough.problems, *vessels.problems]
    as_made = changed_lesson(lesson, for_everyone)
    facts = place_facts(lesson, day, kitchen, larder)
    cautions = class_cautions(
        as_made,
        [as_made.variation(one.name) for one in breads],
        facts,
        sources.catalogue,
        lesson.moved,
        [one.changes for one in versions],
        for_everyone,
    )
    problems += cautions.problems
    problems += group_problems(day, sum(needs.attends), facts.children)
    must_not_list = {check.ingredient: check.allergens for check in needs.buy_checks}
    basket = shopping_list(scale.needs, larder, day.stock, must_not_list)
    problems += basket.problems
    if problems:
        raise LessonError(problems)
    timed = _timed(lesson, day, kitchen, scale)
    clocks = day_clocks(lesson, timed, needs.own_tools)
    if too_high := clearance_problems(breads, kitchen, clocks):
        raise LessonError(too_high)
    safety = safety_of(sources, day, needs, as_made, facts, cautions, clocks, scale)
    plan = ClassPlan(
        lesson=lesson,
        day=day,
        kitchen=kitchen,
        larder=larder,
        units=scale.units,
        people=scale.people,
        batches=scale.batches,
        stations=scale.stations,
        shared=scale.shared,
        needs=scale.needs,
        for_everyone=for_everyone,
        fired=cautions,
        safety=safety,
        timed=timed,
        clocks=clocks,
        dough=dough,
        verdict=explain(timed.setting.problem, timed.plan),
        basket=basket,
        own_tools=needs.own_tools,
        language=sources.language,
        register=tuple(replace(row, name=day.people[row.index].name) for row in needs.register),
        noticed=(
            *remarks,
            *needs.remarks,
            *packs_read_remarks(larder, frozenset(one.ingredient for one in scale.needs)),
            *clock_remarks(day, clocks),
            *dough.remarks,
            *vessels.remarks,
            *scale.remarks,
            *timed.setting.remarks,
            *safety.remarks,
            *basket.remarks,
        ),
    )
    if unmet := last_look_at_plan(plan, needs):
        raise LessonError(unmet)
    return Planned(plan, needs, sources)


def safety_of(
    sources: Sources,
    day: ClassDay,
    needs: NeedsPlan,
    as_made: Lesson,
    facts: PlaceFacts,
    cautions: ClassCautions,
    clocks: DayClocks,
    scale: Scaled,
) -> ClassSafety:
    """Everything of safety that hangs on the day's clocks; ``as_made`` is the lesson as everybody makes it."""
    return class_safety(
        as_made,
        day,
        sources.kitchen,
        facts,
        cautions,
        sources.catalogue,
        clocks,
        fridge_clock(as_made, day, sources.larder, clocks, scale),
        handled_at(scale, facts.ingredients),
        sum(needs.attends),
        sources.risks,
    )


def _yeast_changes(
    lesson: Lesson, day: ClassDay, larder: Larder, problems: list[Problem]
) -> tuple[Change, ...]:
    """The yeast the shop had, instead of the lesson's."""
    if not day.yeast_form:
        return ()
    changes = []
    for name in dict.fromkeys(line.ingredient for line in lesson.base.formula.lines):
        one = larder[name]
        if one.kind != "yeast" or one.yeast_form == day.yeast_form:
            continue
        into = yeast_in_form(name, larder, day.yeast_form)
        if into:
            factor = converted_g(Fraction(1), one.yeast_form, day.yeast_form, factors_of(day))
            changes.append(Change(name, into, factor))
        else:
            spot = day.spot or Spot(day.file, 1)
            wrong = f"the larder has no {day.yeast_form} yeast"
            problems.append(Problem(spot, wrong, "add one to your larder"))
    return tuple(changes)


def _timed(lesson: Lesson, day: ClassDay, kitchen: Kitchen, scale: Scaled) -> TimedDay:
    setting = day_setting(lesson, by_one_clock(day), kitchen, scale.people, scale.units)
    try:
        plan = plan_day(setting.problem)
    except NoPlanError as error:
        raise LessonError(day_problems(error.faults, lesson, day, kitchen)) from None
    if faults := endless(plan):
        raise LessonError(day_problems(faults, lesson, day, kitchen))
    if late := too_late(setting.problem, plan, day):
        raise LessonError(late)
    return TimedDay(setting, plan, day.start_min)
