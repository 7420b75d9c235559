"""What labels and pages say a bread is made of: its list of ingredients, and its nutrition as an estimate, never checked for sale."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.language import Language
from classpack.planning.labels.ingredient_list import IngredientList, ingredient_list
from classpack.planning.labels.nutrition import (
    LabelRow,
    NutritionEstimate,
    au_rows,
    estimate,
    eu_rows,
    us_rows,
)
from classpack.planning.setting_up.composition import Composition


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


@dataclass(frozen=True, slots=True)
class BreadFacts:
    """One bread for its label: what it ``holds`` by the law of the region, what a baked piece weighs, and its ``nutrition`` where the
    class file asks for it."""

    holds: IngredientList
    piece_g: Fraction
    nutrition: BreadNutrition | None


def bread_facts(
    made: Composition,
    region: str,
    stressed: Collection[str],
    may_contain: Collection[str],
    language: Language,
    nutrition: bool,
) -> BreadFacts:
    """The facts of one composition; the list of ingredients has everything that may be in or on it."""
    holds = ingredient_list(
        made.everything, made.finished_g, region, stressed, may_contain, language
    )
    return BreadFacts(holds, made.finished_g, bread_nutrition(made, region) if nutrition else None)


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
