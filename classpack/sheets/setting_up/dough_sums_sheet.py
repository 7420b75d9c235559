"""The working of one dough of the class, for the tutor's terminal and for a printed sheet to teach from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from classpack.model.class_plan import Change, MixUnit, Weighed
from classpack.model.formula import Formula
from classpack.planning.amounts.scaling import changed_formula, scale_for
from classpack.planning.dough.dough_sums import DoughSums, PieceSum, SumLine, WaterSum, dough_sums
from classpack.planning.dough.formulas import Hydration, hydration
from classpack.planning.dough.preferments import final_lines
from classpack.planning.dough.yeast import Sachets
from classpack.planning.plan.class_plan import ClassPlan
from classpack.quantities import rounded_to
from classpack.sheets.cards.preferment_note import PrefermentNote, preferment_notes, sachets_of


@dataclass(frozen=True, slots=True)
class SumsRow:
    """One ingredient: its baker's and true percentage, and grams in the total, in each preferment and in the final dough.

    ``kind`` is the larder's, or ``preferment``: then only the final dough holds it. A weight that is None is not in that column.
    """

    ingredient: str
    kind: str
    percent: Fraction | None
    true_percent: Fraction | None
    total_g: Fraction | None
    parts_g: tuple[Fraction | None, ...]
    final_g: Fraction | None


@dataclass(frozen=True, slots=True)
class SumsGroup:
    """The lines of the working about one thing: pieces, flour, weights, preferment, hydration, yeast, water or baked."""

    about: str
    lines: tuple[SumLine, ...]


@dataclass(frozen=True, slots=True)
class DoughSumsSheet:
    """The formula table and the working of ``unit``'s dough.

    ``columns`` are the preferments' names; without any the table has one column of grams. ``sums`` are all of a column.
    ``yeast_source`` is where the yeast factors come from; ``friction_said`` whether the class file gave the friction. ``sachets``
    are those near a weight of dried yeast in the bowl.
    """

    unit: MixUnit
    who: str
    pieces: tuple[tuple[int, str], ...]
    columns: tuple[str, ...]
    rows: tuple[SumsRow, ...]
    sums: SumsRow
    groups: tuple[SumsGroup, ...]
    hydration: Hydration
    notes: tuple[PrefermentNote, ...]
    yeast_source: str
    friction_said: bool
    sachets: tuple[tuple[Weighed, Sachets], ...]


def dough_sums_sheet(plan: ClassPlan) -> DoughSumsSheet:
    """The sums of the demonstration's dough, else of the first dough that is mixed."""
    unit = next((one for one in plan.units if one.kind == "demonstration"), plan.units[0])
    formula = changed_formula(plan.lesson.base.formula, _changes(plan, unit))
    pieces = tuple((count, _name(plan, name, count)) for name, count in unit.pieces)
    sums = _sums(plan, unit, formula)
    rows = _rows(plan, formula, sums, _flour_g(sums))
    return DoughSumsSheet(
        unit=unit,
        who=", ".join(plan.day.people[index].seat for index in unit.people) or unit.key,
        pieces=pieces,
        columns=tuple(one.name for one in formula.preferments),
        rows=rows,
        sums=_all_together(formula, rows),
        groups=tuple(
            SumsGroup(about, tuple(lines))
            for about, lines in groupby(sums.lines, key=lambda line: line.about)
        ),
        hydration=hydration(formula, plan.larder),
        notes=preferment_notes(plan),
        yeast_source=plan.dough.factors.source,
        friction_said=plan.dough.friction_said,
        sachets=tuple(
            (line, found) for line in unit.lines if (found := sachets_of(plan, line)) is not None
        ),
    )


def _changes(plan: ClassPlan, unit: MixUnit) -> Iterable[Change]:
    if unit.kind == "person":
        return plan.people[unit.people[0]].version.changes
    return plan.for_everyone


def _name(plan: ClassPlan, variation: str, count: int) -> str:
    bread = plan.lesson.variation(variation)
    return bread.one if count == 1 else bread.many


def _step_g(plan: ClassPlan, grams: Fraction) -> Fraction:
    return scale_for(grams, plan.kitchen.scales).step_g


def _sums(plan: ClassPlan, unit: MixUnit, formula: Formula) -> DoughSums:
    day, base = plan.day, plan.lesson.base
    water = None
    if day.flour_c is not None and day.room_c is not None:
        water = WaterSum(
            base.dough_c,
            day.flour_c,
            day.room_c,
            plan.dough.friction_c,
            plan.dough.preferment_c,
        )
    breads = [(plan.lesson.variation(name), count) for name, count in unit.pieces]
    return dough_sums(
        formula,
        plan.larder,
        [
            PieceSum(
                _name(plan, bread.name, count),
                count,
                bread.piece_dough_g,
                bread.bake.loss_percent,
            )
            for bread, count in breads
        ],
        base.left_percent,
        lambda grams: _step_g(plan, grams),
        water,
        plan.dough.factors,
    )


def _flour_g(sums: DoughSums) -> Fraction:
    """The flour behind the sums, exact: the columns are split from it."""
    values = (value for line in sums.lines if line.about == "flour" for value in line.values)
    return next(value.value for value in values if value.name == "flour")


def _rows(
    plan: ClassPlan, formula: Formula, sums: DoughSums, flour_g: Fraction
) -> tuple[SumsRow, ...]:
    """Each weight is rounded from its own exact value, as on the cards, so columns may differ by a step of the scale."""

    def weighed(percent: Fraction) -> Fraction | None:
        grams = percent * flour_g / 100
        return rounded_to(grams, _step_g(plan, grams)) if grams else None

    final = {line.ingredient: line.percent for line in final_lines(formula)}
    found = []
    for row in sums.rows:
        inside = tuple(
            sum((x.percent for x in one.lines if x.ingredient == row.ingredient), Fraction(0))
            for one in formula.preferments
        )
        found.append(
            SumsRow(
                row.ingredient,
                row.kind,
                row.percent,
                row.true_percent,
                row.grams,
                tuple(weighed(percent) for percent in inside),
                weighed(final.get(row.ingredient, Fraction(0))),
            )
        )
    nothing = tuple(None for _ in formula.preferments)
    found += [
        SumsRow(one.name, "preferment", None, None, None, nothing, weighed(one.total_percent))
        for one in formula.preferments
    ]
    return tuple(found)


def _all_together(formula: Formula, rows: tuple[SumsRow, ...]) -> SumsRow:
    def added(weights: Iterable[Fraction | None]) -> Fraction:
        return sum((grams for grams in weights if grams is not None), Fraction(0))

    return SumsRow(
        "",
        "sum",
        formula.total_percent,
        Fraction(100),
        added(row.total_g for row in rows),
        tuple(added(row.parts_g[n] for row in rows) for n in range(len(formula.preferments))),
        added(row.final_g for row in rows),
    )
