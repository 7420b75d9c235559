"""The lesson's dough as it is made on one day: checked, with the class file's changes in it, and what the day does to it.

The dough of the day is made into the lesson first, so that everything after it (swaps, weights, shopping, cards) follows.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from classpack.errors import Problem, Remark, Spot
from classpack.model.class_day import ClassDay
from classpack.model.class_plan import Change
from classpack.model.dough_day import FlourSwitch, TinSwitch
from classpack.model.formula import Formula, FormulaLine, Preferment
from classpack.model.kitchen import Kitchen
from classpack.model.larder import Larder
from classpack.model.lesson import BaseDough, Lesson, Variation
from classpack.model.method import Placeholder, Step
from classpack.planning.amounts.flour_change import with_flour
from classpack.planning.dough.formulas import flour_percent, misprints
from classpack.planning.dough.pieces import transferred_g
from classpack.planning.dough.preferments import split_problems
from classpack.planning.dough.proof_time import ProofTime, Times, proof_time
from classpack.planning.dough.water import (
    HOTTEST_WATER_C,
    Friction,
    WaterAdvice,
    dough_problem,
    friction_of,
    water_advice,
)
from classpack.planning.dough.yeast import (
    HAMELMAN,
    YeastFactors,
    converted_g,
    converted_spread_g,
    sachet_of,
)
from classpack.quantities import NotUnderstood, plain, rounded_to

PIECE_STEP_G = Fraction(5)
"""A piece moved to another tin is rounded to what a class weighs by hand."""
SAME_ROOM_K = 2
"""A room this near the wanted dough changes no proof worth telling (the project's choice)."""


@dataclass(frozen=True, slots=True)
class TaughtLesson:
    """The lesson as it is taught that day, with what stops it and what the tutor should know."""

    lesson: Lesson
    problems: tuple[Problem, ...]
    remarks: tuple[Remark, ...]


def taught_lesson(lesson: Lesson, day: ClassDay, kitchen: Kitchen, larder: Larder) -> TaughtLesson:
    """The lesson with the day's flour, yeast amount and tins in it."""
    problems = [*_stated_problems(lesson)]
    where = lesson.base.spot or Spot(lesson.file, 1)
    problems += [one for one in (dough_problem(lesson.base.dough_c, where),) if one]
    remarks: list[Remark] = []
    orders = day.dough
    if orders.flour:
        lesson = _with_other_flour(lesson, orders.flour, day, larder, problems, remarks)
    if orders.yeast_percent != 100:
        ratio = orders.yeast_percent / 100
        lesson = _with_formula(lesson, _with_more_yeast(lesson.base.formula, ratio, larder))
        remarks.append(
            Remark(
                "dough",
                f"all doughs have {plain(orders.yeast_percent)} % of the lesson's yeast, as the class file says",
            )
        )
    for switch in orders.tins:
        lesson = _with_tin(lesson, switch, day, kitchen, problems, remarks)
    problems += split_problems(lesson.base.formula, larder, where)
    return TaughtLesson(lesson, tuple(problems), tuple(remarks))


def _with_formula(lesson: Lesson, formula: Formula) -> Lesson:
    return replace(lesson, base=replace(lesson.base, formula=formula))


def _stated_problems(lesson: Lesson) -> list[Problem]:
    """What does not add up to the total that stands beside the formula."""
    base = lesson.base
    if base.stated is None or base.stated_spot is None:
        return []
    places = {line.ingredient: line.spot for line in base.formula.lines}
    return [
        Problem(places.get(one.name) or base.stated_spot, one.wrong, one.right)
        for one in misprints(base.stated)
    ]


# ---------------------------------------------------------------- flour, yeast, tins


def _with_other_flour(
    lesson: Lesson,
    switch: FlourSwitch,
    day: ClassDay,
    larder: Larder,
    problems: list[Problem],
    remarks: list[Remark],
) -> Lesson:
    spot = switch.spot or Spot(day.file, 1)
    missing = [name for name in (switch.out, switch.into) if larder.get(name) is None]
    if missing:
        problems.append(
            Problem(
                spot,
                f"no ingredient '{missing[0]}' in the larder",
                "name a flour of the larder, or add it to your own",
            )
        )
        return lesson
    try:
        change = with_flour(lesson.base.formula, larder, switch.out, switch.into, switch.percent)
    except NotUnderstood as error:
        problems.append(Problem(spot, error.wrong, error.right))
        return lesson
    remarks.append(Remark("dough", f"{switch.into} for {switch.out}: {change.says}"))
    formula = change.formula
    if switch.more_water:
        formula = replace(formula, lines=_with_more_water(formula, switch.more_water, larder))
        remarks.append(
            Remark(
                "dough",
                f"{plain(switch.more_water)} points of water are added for it, as the class file says",
            )
        )
    stays = any(line.ingredient == switch.out for line in formula.lines)
    method = tuple(_with_flour_told(step, switch, stays) for step in lesson.base.method)
    return replace(lesson, base=replace(lesson.base, formula=formula, method=method))


def _with_more_water(formula: Formula, points: Fraction, larder: Larder) -> tuple[FormulaLine, ...]:
    waters = [n for n, line in enumerate(formula.lines) if larder[line.ingredient].kind == "water"]
    return tuple(
        replace(line, percent=line.percent + points) if n in waters[:1] else line
        for n, line in enumerate(formula.lines)
    )


def _with_flour_told(step: Step, switch: FlourSwitch, stays: bool) -> Step:
    """The step with the new flour's amount beside the old one's, or in its place when none of that is left."""
    new: tuple[str | Placeholder, ...] = (Placeholder(switch.into),)
    text: list[str | Placeholder] = []
    for part in step.text:
        if part != Placeholder(switch.out):
            text.append(part)
        else:
            text += (part, " + ", *new) if stays else new
    return replace(step, text=tuple(text))


def _with_more_yeast(formula: Formula, ratio: Fraction, larder: Larder) -> Formula:
    def lines(before: tuple[FormulaLine, ...]) -> tuple[FormulaLine, ...]:
        return tuple(
            replace(line, percent=line.percent * ratio)
            if larder[line.ingredient].kind == "yeast"
            else line
            for line in before
        )

    parts = tuple(replace(one, lines=lines(one.lines)) for one in formula.preferments)
    return replace(formula, lines=lines(formula.lines), preferments=parts)


def _with_tin(
    lesson: Lesson,
    switch: TinSwitch,
    day: ClassDay,
    kitchen: Kitchen,
    problems: list[Problem],
    remarks: list[Remark],
) -> Lesson:
    spot = switch.spot or Spot(day.file, 1)
    bread = lesson.variation(switch.variation)
    tin = next((one for one in kitchen.tins if one.name == switch.tin), None)
    if tin is None:
        have = ", ".join(one.name for one in kitchen.tins)
        right = f"choose from: {have}" if have else "add it to the kitchen's tins"
        problems.append(Problem(spot, f"the kitchen has no tin called '{switch.tin}'", right))
        return lesson
    if bread.vessel.volume_ml is None:
        problems.append(
            Problem(
                spot,
                f"{bread.name} is not baked in a tin",
                "take it out of 'tins'; only a bread whose lesson names its tin's millilitres can change it",
            )
        )
        return lesson
    exact = transferred_g(bread.piece_dough_g, bread.vessel.volume_ml, tin.volume_ml)
    dough_g = max(rounded_to(exact, PIECE_STEP_G), PIECE_STEP_G)
    changed = replace(
        bread, piece_dough_g=dough_g, vessel=replace(bread.vessel, volume_ml=tin.volume_ml)
    )
    remarks.append(
        Remark(
            "dough",
            f"{bread.name}: {plain(dough_g)} g of dough in the {tin.name} of {plain(tin.volume_ml)} ml, as full as "
            f"{plain(bread.piece_dough_g)} g in {plain(bread.vessel.volume_ml)} ml; a bigger loaf bakes longer, so go by its inside",
        )
    )
    variations = tuple(changed if one.name == bread.name else one for one in lesson.variations)
    return replace(lesson, variations=variations)


# ---------------------------------------------------------------- the day's temperatures and yeast


@dataclass(frozen=True, slots=True)
class ProofAdvice:
    """One proof of the day: ``variation`` is empty for the base dough's. ``stated`` are the lesson's minutes at ``meant_c``."""

    variation: str
    stage: str
    stated: Times
    meant_c: Fraction
    time: ProofTime
    ready_when: str


@dataclass(frozen=True, slots=True)
class DoughAdvice:
    """What the day does to the dough. ``water`` and ``proofs`` need the day's temperatures; None and empty without them.

    ``friction_c`` is counted for the whole sum; ``friction_said`` tells whether the class file gave it, ``usual_friction`` is
    the published one. ``preferment_c`` is None where no preferment ferments.
    """

    factors: YeastFactors
    sachet_g: Fraction
    friction_c: Fraction
    friction_said: bool
    usual_friction: Friction
    preferment_c: Fraction | None
    water: WaterAdvice | None
    proofs: tuple[ProofAdvice, ...]
    problems: tuple[Problem, ...]
    remarks: tuple[Remark, ...]


def factors_of(day: ClassDay) -> YeastFactors:
    """Hamelman's factors, with those the class file gives in their place."""
    given = dict(day.dough.yeast_factors)
    if not given:
        return HAMELMAN
    return YeastFactors(
        given.get("active dry", HAMELMAN.active_dry),
        given.get("instant", HAMELMAN.instant),
        "the class file",
    )


def dough_advice(
    lesson: Lesson,
    day: ClassDay,
    kitchen: Kitchen,
    larder: Larder,
    breads: Iterable[Variation],
    yeast: Iterable[Change],
) -> DoughAdvice:
    """Water, proofs and yeast of the day, for the ``breads`` that are made; ``yeast`` are the changes of its form."""
    base = lesson.base
    usual = _usual_friction(base, kitchen)
    friction = usual.usual_c if day.friction_c is None else day.friction_c
    preferment_c = _preferment_c(base.formula.preferments, larder)
    water = _water(base, day, friction, preferment_c)
    proofs = _proofs(base, day, breads)
    factors = factors_of(day)
    remarks = [*_yeast_remarks(yeast, larder, factors)]
    problems: tuple[Problem, ...] = ()
    if water and water.needed_c > HOTTEST_WATER_C:
        remark = water.remarks[0]
        problems = (
            Problem(
                day.spot or Spot(day.file, 1),
                remark.text.partition(";")[0],
                remark.text.partition(";")[2].strip(),
            ),
        )
    elif water:
        remarks += (*water.remarks, *_milk_remarks(base.formula, larder))
    remarks += _proof_remarks(proofs, day, base)
    return DoughAdvice(
        factors,
        sachet_of(day.region),
        friction,
        day.friction_c is not None,
        usual,
        preferment_c,
        water,
        proofs,
        problems,
        tuple(remarks),
    )


def _milk_remarks(formula: Formula, larder: Larder) -> tuple[Remark, ...]:
    milks = [line.ingredient for line in formula.lines if larder[line.ingredient].kind == "milk"]
    if not milks:
        return ()
    said = f"The sum for the water's heat holds for {' and '.join(dict.fromkeys(milks))} as well: warm it just before it goes in, and keep it cold until then."
    return (Remark("water", said),)


def _usual_friction(base: BaseDough, kitchen: Kitchen) -> Friction:
    if base.mixed_by == "hand":
        return friction_of("hand")
    return friction_of(kitchen.mixers[0].kind if kitchen.mixers else "bench")


def _preferment_c(parts: tuple[Preferment, ...], larder: Larder) -> Fraction | None:
    """The temperature of what is pre-fermented, by weight where there are several; a soaker counts as the room."""
    found = [one for one in parts if one.kind != "soaker" and flour_percent(one.lines, larder)]
    whole = sum((one.total_percent for one in found), Fraction(0))
    if not whole:
        return None
    return sum((one.ripe_c * one.total_percent for one in found), Fraction(0)) / whole


def _water(
    base: BaseDough, day: ClassDay, friction_c: Fraction, preferment_c: Fraction | None
) -> WaterAdvice | None:
    if day.room_c is None or day.flour_c is None:
        return None
    return water_advice(base.dough_c, day.flour_c, day.room_c, friction_c, preferment_c, day.tap_c)


def _proofs(base: BaseDough, day: ClassDay, breads: Iterable[Variation]) -> tuple[ProofAdvice, ...]:
    if day.room_c is None:
        return ()
    steps = [("", step) for step in base.method if step.stage == "bulk proof"]
    steps += [
        (bread.name, step)
        for bread in breads
        for step in bread.method
        if step.stage == "final proof"
    ]
    ratio = day.dough.yeast_percent / 100
    found = []
    for name, step in steps:
        low, high = step.window_min or (step.wait_min, step.wait_min)
        stated = Times(low, step.wait_min, high)
        time = proof_time(stated, base.dough_c, day.room_c, ratio)
        found.append(ProofAdvice(name, step.stage, stated, base.dough_c, time, step.ready_when))
    return tuple(found)


def _yeast_remarks(
    changes: Iterable[Change], larder: Larder, factors: YeastFactors
) -> list[Remark]:
    found = []
    for change in changes:
        have, want = (larder[name].yeast_form for name in (change.out, change.into))
        if have == want:
            continue
        ratio = converted_g(Fraction(1), have, want, factors)
        low, high = converted_spread_g(Fraction(1), have, want)
        found.append(
            Remark(
                "yeast",
                f"{change.into} instead of {change.out}: {plain(ratio, 2)} g for each gram ({factors.source}); "
                f"published factors give {plain(low, 2)} to {plain(high, 2)} g",
            )
        )
    return found


def _proof_remarks(proofs: tuple[ProofAdvice, ...], day: ClassDay, base: BaseDough) -> list[Remark]:
    if day.room_c is None:
        return []
    if abs(day.room_c - base.dough_c) < SAME_ROOM_K and day.dough.yeast_percent == 100:
        return []
    found = []
    first = [one for one in proofs if not one.variation]
    final = [one for one in proofs if one.variation]
    why = f"with the dough at {plain(base.dough_c)} °C and the lesson's yeast"
    for one in first:
        found.append(
            Remark(
                "proof",
                f"the first proof of {_span(one.stated)} is meant {why}; {_takes(one, day.room_c)}; "
                f"look for: {one.ready_when} ({one.time.support})",
            )
        )
    if final:
        said = ", ".join(
            f"{one.variation} {plain(one.stated.usual)} min to {_minutes(one.time)}"
            for one in final
        )
        found.append(
            Remark(
                "proof",
                f"the final proofs change in the same way, {said}; go by the 'ready when' of each",
            )
        )
    return found


def _span(times: Times) -> str:
    return f"{plain(times.usual)} min ({plain(times.least)} to {plain(times.most)})"


def _takes(one: ProofAdvice, room_c: Fraction) -> str:
    if one.time.minutes is None:
        return one.time.says
    return f"should it come to the room's {plain(room_c)} °C, it may take {one.time.says}"


def _minutes(time: ProofTime) -> str:
    if time.minutes is None:
        return "no minutes that can be told"
    usual, least, most = (
        plain(one, 0) for one in (time.minutes.usual, time.minutes.least, time.minutes.most)
    )
    return f"about {usual} ({least} to {most})"
