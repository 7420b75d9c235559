"""The formula table and the working of one dough of the class: what the tutor's terminal and a sheet to teach from show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from classpack.model.class_plan import Change, MixUnit
from classpack.model.formula import Formula
from classpack.planning.amounts.dough_day import DoughAdvice
from classpack.planning.amounts.scaling import changed_formula, scale_for
from classpack.planning.dough.dough_sums import DoughSums, PieceSum, SumLine, WaterSum, dough_sums
from classpack.planning.dough.formulas import Hydration, hydration
from classpack.planning.dough.preferments import final_lines
from classpack.planning.setting_up.groundwork import Groundwork
from classpack.quantities import rounded_to


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
class DoughTable:
    """The formula table and the working of ``unit``'s dough.

    ``columns`` are the preferments' names; without any the table has one column of grams. ``sums`` are all of a column.
    """

    unit: MixUnit
    who: str
    pieces: tuple[tuple[int, str], ...]
    columns: tuple[str, ...]
    rows: tuple[SumsRow, ...]
    sums: SumsRow
    groups: tuple[SumsGroup, ...]
    hydration: Hydration


def dough_table(work: Groundwork, dough: DoughAdvice) -> DoughTable:
    """The sums of the demonstration's dough, else of the first dough that is mixed."""
    unit = next((one for one in work.units if one.kind == "demonstration"), work.units[0])
    formula = changed_formula(work.lesson.base.formula, _changes(work, unit))
    sums = _sums(work, dough, unit, formula)
    rows = _rows(work, formula, sums, _flour_g(sums))
    return DoughTable(
        unit=unit,
        who=", ".join(work.day.people[index].seat for index in unit.people) or unit.key,
        pieces=tuple((count, _name(work, name, count)) for name, count in unit.pieces),
        columns=tuple(one.name for one in formula.preferments),
        rows=rows,
        sums=_all_together(formula, rows),
        groups=tuple(
            SumsGroup(about, tuple(lines))
            for about, lines in groupby(sums.lines, key=lambda line: line.about)
        ),
        hydration=hydration(formula, work.larder),
    )


def _changes(work: Groundwork, unit: MixUnit) -> Iterable[Change]:
    if unit.kind == "person":
        return work.people[unit.people[0]].version.changes
    return work.for_everyone


def _name(work: Groundwork, variation: str, count: int) -> str:
    bread = work.lesson.variation(variation)
    return bread.one if count == 1 else bread.many


def _step_g(work: Groundwork, grams: Fraction) -> Fraction:
    return scale_for(grams, work.kitchen.scales).step_g


def _sums(work: Groundwork, dough: DoughAdvice, unit: MixUnit, formula: Formula) -> DoughSums:
    day, base = work.day, work.lesson.base
    water = None
    if day.flour_c is not None and day.room_c is not None:
        water = WaterSum(
            base.dough_c,
            day.flour_c,
            day.room_c,
            dough.friction_c,
            dough.preferment_c,
        )
    breads = [(work.lesson.variation(name), count) for name, count in unit.pieces]
    return dough_sums(
        formula,
        work.larder,
        [
            PieceSum(
                _name(work, bread.name, count),
                count,
                bread.piece_dough_g,
                bread.bake.loss_percent,
            )
            for bread, count in breads
        ],
        base.left_percent,
        lambda grams: _step_g(work, grams),
        water,
        dough.factors,
    )


def _flour_g(sums: DoughSums) -> Fraction:
    """The flour behind the sums, exact: the columns are split from it."""
    values = (value for line in sums.lines if line.about == "flour" for value in line.values)
    return next(value.value for value in values if value.name == "flour")


def _rows(
    work: Groundwork, formula: Formula, sums: DoughSums, flour_g: Fraction
) -> tuple[SumsRow, ...]:
    """Each weight is rounded from its own exact value, as on the cards, so columns may differ by a step of the scale."""

    def weighed(percent: Fraction) -> Fraction | None:
        grams = percent * flour_g / 100
        return rounded_to(grams, _step_g(work, grams)) if grams else None

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
