"""Nutrition of the breads as facts that labels and pages print. Always an estimate, never checked for sale."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from classpack.planning.labels.nutrition import (
    LabelRow,
    NutritionEstimate,
    au_rows,
    estimate,
    eu_rows,
    us_rows,
)
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.composition import (
    Composition,
    lesson_composition,
)


@dataclass(frozen=True, slots=True)
class BreadNutrition:
    """One bread's estimate. Rows are rounded as the region rounds them and pair up: ``per_100g[n]`` and ``per_piece[n]`` are the
    same value. Both are empty when too little is known (``missing`` then says of what). ``piece_g`` is a baked piece.
    """

    variation: str
    region: str
    piece_g: Fraction
    per_100g: tuple[LabelRow, ...]
    per_piece: tuple[LabelRow, ...]
    missing: tuple[str, ...]
    sources: tuple[str, ...]


def class_nutrition(plan: ClassPlan) -> tuple[BreadNutrition, ...]:
    """Every bread that is made, as everybody's version of the lesson has it."""
    return tuple(
        bread_nutrition(lesson_composition(plan, bread.name), plan.day.region)
        for bread in plan.made
    )


def bread_nutrition(made: Composition, region: str) -> BreadNutrition:
    """The estimate of one composition. Oil for tins is counted as eaten, dusting flour is not: it mostly stays on the bench."""
    piece_g = made.finished_g + sum((grams for _, grams in made.oiled), Fraction(0))
    found = estimate((*made.used, *made.oiled), piece_g, piece_g)
    shown = found.shown
    return BreadNutrition(
        made.variation,
        region,
        piece_g,
        _rows(found, region, each=False) if shown else (),
        _rows(found, region, each=True) if shown else (),
        found.missing,
        found.sources,
    )


def _rows(found: NutritionEstimate, region: str, each: bool) -> tuple[LabelRow, ...]:
    facts = found.per_piece if each else found.per_100g
    if region == "US":
        return us_rows(facts)
    return au_rows(facts) if region in ("AU", "NZ") else eu_rows(facts)
