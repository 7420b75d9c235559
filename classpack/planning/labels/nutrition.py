"""Nutrition of a baked product, worked out from its ingredients: per 100 g as baked and per piece. Always an estimate.

Water lost in the oven is the only change counted; energy, fat, carbohydrate, protein and sodium go through the oven with the
rest (USDA Table of Nutrient Retention Factors, release 6, 2007, covers vitamins and minerals only). Sugars made and
fibre formed in the dough are not counted: shop bread shows more of both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.larder import Ingredient, Nutrition
from classpack.quantities import plain, rounded_to

SALT_FROM_SODIUM = Fraction(5, 2)
"""Salt is sodium times 2.5: Regulation (EU) No 1169/2011, Annex I."""

LEAST_COVERED_PERCENT = Fraction(98)
"""Below this share of the weight with known values no figures are shown (the project's choice)."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What some amount of the food holds. ``carbohydrate_g`` is without fibre. None is 'not known'."""

    energy_kj: Fraction
    energy_kcal: Fraction
    fat_g: Fraction
    saturates_g: Fraction | None
    carbohydrate_g: Fraction
    sugars_g: Fraction | None
    fibre_g: Fraction | None
    protein_g: Fraction
    sodium_mg: Fraction | None

    @property
    def salt_g(self) -> Fraction | None:
        """Grams of salt as European labels give it."""
        return None if self.sodium_mg is None else self.sodium_mg * SALT_FROM_SODIUM / 1000

    @property
    def calories_us(self) -> Fraction:
        """Kilocalories by 4-4-9 with the fibre among the carbohydrate: 21 CFR 101.9(c)(1) (from memory)."""
        return 4 * (self.carbohydrate_g + (self.fibre_g or 0)) + 4 * self.protein_g + 9 * self.fat_g


@dataclass(frozen=True, slots=True)
class NutritionEstimate:
    """An estimate, always. ``missing`` are ingredients without any values, ``lacking`` a value and the ingredients whose
    source does not give it; ``covered_percent`` is the share of the weight that has values. ``sources`` are to be named.
    """

    per_100g: Facts
    per_piece: Facts
    piece_g: Fraction
    missing: tuple[str, ...]
    lacking: tuple[tuple[str, tuple[str, ...]], ...]
    covered_percent: Fraction
    sources: tuple[str, ...]

    @property
    def shown(self) -> bool:
        """Is enough known to print it?"""
        return self.covered_percent >= LEAST_COVERED_PERCENT


@dataclass(frozen=True, slots=True)
class LabelRow:
    """One line of a nutrition table: ``key`` such as ``fat`` and the rounded value with its unit."""

    key: str
    text: str


def energy_kj(
    *,
    carbohydrate_g: Fraction = Fraction(0),
    protein_g: Fraction = Fraction(0),
    fat_g: Fraction = Fraction(0),
    fibre_g: Fraction = Fraction(0),
    alcohol_g: Fraction = Fraction(0),
    polyols_g: Fraction = Fraction(0),
    organic_acids_g: Fraction = Fraction(0),
) -> Fraction:
    """Energy in kilojoules by the factors of Regulation (EU) No 1169/2011, Annex XIV; ``carbohydrate_g`` without polyols."""
    return (
        17 * carbohydrate_g
        + 17 * protein_g
        + 37 * fat_g
        + 8 * fibre_g
        + 29 * alcohol_g
        + 10 * polyols_g
        + 13 * organic_acids_g
    )


def energy_kcal(
    *,
    carbohydrate_g: Fraction = Fraction(0),
    protein_g: Fraction = Fraction(0),
    fat_g: Fraction = Fraction(0),
    fibre_g: Fraction = Fraction(0),
    alcohol_g: Fraction = Fraction(0),
    polyols_g: Fraction = Fraction(0),
    organic_acids_g: Fraction = Fraction(0),
) -> Fraction:
    """Energy in kilocalories by the same annex's own factors, not from the kilojoules."""
    return (
        4 * carbohydrate_g
        + 4 * protein_g
        + 9 * fat_g
        + 2 * fibre_g
        + 7 * alcohol_g
        + Fraction(12, 5) * polyols_g
        + 3 * organic_acids_g
    )


def estimate(
    used: Sequence[tuple[Ingredient, Fraction]], finished_g: Fraction, piece_g: Fraction
) -> NutritionEstimate:
    """Nutrition of a food.

    Args:
        used: every ingredient with its grams as put in.
        finished_g: what all of it weighs out of the oven, above 0.
        piece_g: what one piece weighs out of the oven.

    A value that more than 2 % of the weight has no source for is None.
    """
    total_g = sum((grams for _, grams in used), Fraction(0))
    known = [(one.nutrition, grams) for one, grams in used if one.nutrition is not None]
    missing = tuple(dict.fromkeys(one.name for one, _ in used if one.nutrition is None))
    covered = (
        100 * sum((grams for _, grams in known), Fraction(0)) / total_g if total_g else Fraction(0)
    )
    lacking: list[tuple[str, tuple[str, ...]]] = []

    def summed(key: str) -> Fraction:
        return sum((grams * (_value(facts, key) or 0) / 100 for facts, grams in known), Fraction(0))

    def summed_if_known(key: str) -> Fraction | None:
        without = [
            (one.name, grams)
            for one, grams in used
            if one.nutrition is not None and _value(one.nutrition, key) is None
        ]
        if not without:
            return summed(key)
        lacking.append((key, tuple(dict.fromkeys(name for name, _ in without))))
        gap_g = sum((grams for _, grams in without), Fraction(0))
        return None if 100 * gap_g > (100 - LEAST_COVERED_PERCENT) * total_g else summed(key)

    saturates, sugars = summed_if_known("saturates"), summed_if_known("sugars")
    fibre, sodium = summed_if_known("fibre"), summed_if_known("sodium")
    fat, carbohydrate, protein = summed("fat"), summed("carbohydrate"), summed("protein")
    # Fibre is part of the energy even where too little is known of it to print it.
    fibre_for_energy = summed("fibre")
    energy = {
        "carbohydrate_g": carbohydrate,
        "protein_g": protein,
        "fat_g": fat,
        "fibre_g": fibre_for_energy,
        "alcohol_g": summed("alcohol"),
        "polyols_g": summed("polyols"),
        "organic_acids_g": summed("organic acids"),
    }
    whole = Facts(
        energy_kj(**energy),
        energy_kcal(**energy),
        fat,
        saturates,
        carbohydrate,
        sugars,
        fibre,
        protein,
        sodium,
    )
    sources = tuple(dict.fromkeys(facts.source.partition(", row")[0] for facts, _ in known))
    return NutritionEstimate(
        _share(whole, 100 / finished_g),
        _share(whole, piece_g / finished_g),
        piece_g,
        missing,
        tuple(lacking),
        covered,
        sources,
    )


def _value(facts: Nutrition, key: str) -> Fraction | None:
    return {
        "fat": facts.fat_g,
        "saturates": facts.saturates_g,
        "carbohydrate": facts.carbohydrate_g,
        "sugars": facts.sugars_g,
        "fibre": facts.fibre_g,
        "protein": facts.protein_g,
        "sodium": facts.sodium_mg,
        "alcohol": facts.alcohol_g,
        "polyols": facts.polyols_g,
        "organic acids": facts.organic_acids_g,
    }[key]


def _share(whole: Facts, share: Fraction) -> Facts:
    def part(value: Fraction | None) -> Fraction | None:
        return None if value is None else value * share

    return Facts(
        whole.energy_kj * share,
        whole.energy_kcal * share,
        whole.fat_g * share,
        part(whole.saturates_g),
        whole.carbohydrate_g * share,
        part(whole.sugars_g),
        part(whole.fibre_g),
        whole.protein_g * share,
        part(whole.sodium_mg),
    )


# ---------------------------------------------------------------- labels


def eu_rows(facts: Facts) -> tuple[LabelRow, ...]:
    """The table as the UK and EU order it, rounded; a value that is not known is left out of it.

    Rounding: European Commission, guidance on tolerances for nutrient values, December 2012, table of rounding (from memory).
    """
    rows = [
        LabelRow("energy", f"{plain(facts.energy_kj, 0)} kJ / {plain(facts.energy_kcal, 0)} kcal"),
        LabelRow("fat", eu_grams(facts.fat_g)),
    ]
    if facts.saturates_g is not None:
        rows.append(LabelRow("saturates", eu_grams(facts.saturates_g, nothing=Fraction(1, 10))))
    rows.append(LabelRow("carbohydrate", eu_grams(facts.carbohydrate_g)))
    if facts.sugars_g is not None:
        rows.append(LabelRow("sugars", eu_grams(facts.sugars_g)))
    if facts.fibre_g is not None:
        rows.append(LabelRow("fibre", eu_grams(facts.fibre_g)))
    rows.append(LabelRow("protein", eu_grams(facts.protein_g)))
    if facts.salt_g is not None:
        rows.append(LabelRow("salt", eu_salt(facts.salt_g)))
    return tuple(rows)


def eu_grams(grams: Fraction, nothing: Fraction = Fraction(1, 2)) -> str:
    """From 10 g to 1 g, below to 0.1 g, at or below ``nothing`` as ``<0.5 g``; exactly none is ``0 g``.

    >>> eu_grams(Fraction("47.29")), eu_grams(Fraction("4.504")), eu_grams(Fraction("0.2"))
    ('47 g', '4.5 g', '<0.5 g')
    """
    if grams == 0:
        return "0 g"
    if grams <= nothing:
        return f"<{plain(nothing, 1)} g"
    return f"{plain(grams, 0 if grams >= 10 else 1)} g"


def eu_salt(grams: Fraction) -> str:
    """From 1 g to 0.1 g, below to 0.01 g, 0.0125 g or less as ``<0.01 g``; exactly none is ``0 g``."""
    if grams == 0:
        return "0 g"
    if grams <= Fraction(125, 10_000):
        return "<0.01 g"
    return f"{plain(grams, 1 if grams >= 1 else 2)} g"


def au_rows(facts: Facts) -> tuple[LabelRow, ...]:
    """The panel of Australia and New Zealand: Food Standards Code, Standard 1.2.8, sections 6 and 7 (from memory): energy in
    kilojoules, sodium in milligrams, at most three significant figures. Fibre is not a line of its own unless claimed."""
    rows = [
        LabelRow("energy", f"{three_figures(facts.energy_kj)} kJ"),
        LabelRow("protein", f"{three_figures(facts.protein_g)} g"),
        LabelRow("fat", f"{three_figures(facts.fat_g)} g"),
    ]
    if facts.saturates_g is not None:
        rows.append(LabelRow("saturates", f"{three_figures(facts.saturates_g)} g"))
    rows.append(LabelRow("carbohydrate", f"{three_figures(facts.carbohydrate_g)} g"))
    if facts.sugars_g is not None:
        rows.append(LabelRow("sugars", f"{three_figures(facts.sugars_g)} g"))
    if facts.sodium_mg is not None:
        rows.append(LabelRow("sodium", f"{three_figures(facts.sodium_mg)} mg"))
    return tuple(rows)


def three_figures(value: Fraction) -> str:
    """At most three significant figures and one decimal.

    >>> three_figures(Fraction("1087.4")), three_figures(Fraction("8.46")), three_figures(Fraction("0.04"))
    ('1090', '8.5', '0')
    """
    if value >= 100:
        return plain(rounded_to(value, Fraction(10 ** (len(str(int(value))) - 3))))
    return plain(value, 1)


def us_rows(facts: Facts) -> tuple[LabelRow, ...]:
    """The values of one serving as US rules round them: 21 CFR 101.9(c); FDA, Guide to Nutrition Labeling, attachment 7."""
    rows = [
        LabelRow("calories", us_calories(facts.calories_us)),
        LabelRow("fat", us_fat(facts.fat_g)),
    ]
    if facts.saturates_g is not None:
        rows.append(LabelRow("saturates", us_fat(facts.saturates_g)))
    if facts.sodium_mg is not None:
        rows.append(LabelRow("sodium", us_sodium(facts.sodium_mg)))
    rows.append(LabelRow("carbohydrate", us_grams(facts.carbohydrate_g + (facts.fibre_g or 0))))
    if facts.fibre_g is not None:
        rows.append(LabelRow("fibre", us_grams(facts.fibre_g)))
    if facts.sugars_g is not None:
        rows.append(LabelRow("sugars", us_grams(facts.sugars_g)))
    rows.append(LabelRow("protein", us_grams(facts.protein_g)))
    return tuple(rows)


def us_calories(kcal: Fraction) -> str:
    """Under 5 none, to 50 the nearest 5, above the nearest 10."""
    if kcal < 5:
        return "0"
    return plain(rounded_to(kcal, Fraction(5 if kcal <= 50 else 10)))


def us_fat(grams: Fraction) -> str:
    """Under 0.5 g none, under 5 g the nearest half, from 5 g the nearest gram."""
    if grams < Fraction(1, 2):
        return "0 g"
    return f"{plain(rounded_to(grams, Fraction(1, 2) if grams < 5 else Fraction(1)))} g"


def us_sodium(milligrams: Fraction) -> str:
    """Under 5 mg none, to 140 mg the nearest 5, above the nearest 10."""
    if milligrams < 5:
        return "0 mg"
    return f"{plain(rounded_to(milligrams, Fraction(5 if milligrams <= 140 else 10)))} mg"


def us_grams(grams: Fraction) -> str:
    """Under 0.5 g none, under 1 g ``less than 1 g``, else the nearest gram."""
    if grams < Fraction(1, 2):
        return "0 g"
    return "less than 1 g" if grams < 1 else f"{plain(grams, 0)} g"
