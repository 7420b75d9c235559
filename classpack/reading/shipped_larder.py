"""The larder that ships with the package: a table of ingredients, traced to open datasets row by row.

``classpack/data/larder.csv`` holds one ingredient a line. ``source`` and ``source_id`` name the dataset and its row: USDA
SR28 (2015, public domain), USDA FoodData Central Foundation Foods (October 2024, public domain), the UK Composition of Foods
Integrated Dataset (2015, Crown copyright, Open Government Licence v3.0) and the Anses Ciqual table (2017, Licence Ouverte).
Storage lives are left empty, because no source with a clear licence was at hand.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from functools import cache
from pathlib import Path

from classpack.model.larder import (
    AISLES,
    KINDS,
    STORAGE,
    YEAST_FORMS,
    Ingredient,
    Larder,
    Nutrition,
    Part,
)
from classpack.reading.sections import Word, known

LARDER_FILE = Path(__file__).parent.parent / "data" / "larder.csv"

CREDITS = (
    "USDA National Nutrient Database for Standard Reference, release 28 (2015), and FoodData Central Foundation Foods "
    "(October 2024), US Department of Agriculture, Agricultural Research Service.",
    "Contains public sector information licensed under the Open Government Licence v3.0: Composition of Foods Integrated "
    "Dataset (2015), Public Health England.",
    "Anses. Ciqual French food composition table (2017), Licence Ouverte.",
)
"""What anything printed from these values must be able to say about where they come from."""


@cache
def package_larder() -> Larder:
    """The shipped larder, read once."""
    with LARDER_FILE.open(encoding="utf-8", newline="") as lines:
        rows = csv.reader(lines)
        names = next(rows)
        return Larder(
            tuple(_ingredient(dict(zip(names, row, strict=True))) for row in rows), AISLES
        )


def _one_of(text: str, choices: tuple[Word, ...]) -> Word:
    word = known(text, choices)
    if word is None:
        raise ValueError(f"{LARDER_FILE.name}: '{text}' is none of {', '.join(choices)}")
    return word


def _ingredient(row: dict[str, str]) -> Ingredient:
    if not row["allergens"]:
        raise ValueError(f"{LARDER_FILE.name}: {row['name']} has no allergens")
    allergens = frozenset() if row["allergens"] == "none" else frozenset(row["allergens"].split())
    return Ingredient(
        name=row["name"],
        kind=_one_of(row["kind"], KINDS),
        aisle=row["aisle"],
        allergens=allergens,
        label=row["label"],
        storage=_one_of(row["storage"], STORAGE),
        yeast_form=_one_of(row["yeast_form"], ("", *YEAST_FORMS)),
        g_per_ml=_number(row["g_per_ml"]),
        g_per_each=_number(row["g_per_each"]),
        water_percent=_number(row["water_percent"]),
        edible_percent=_number(row["edible_percent"]) or Fraction(100),
        keeps_days=int(row["keeps_days"]) if row["keeps_days"] else None,
        bought=row["bought"] != "no",
        check_pack=row["check_pack"],
        parts=tuple(_part(text) for text in row["parts"].split("; ")) if row["parts"] else (),
        nutrition=_nutrition(row),
        source=row["source"],
        source_id=row["source_id"],
        tags=frozenset(row["tags"].split()),
        label_us=row["label_us"],
        species=row["species"],
        may_list=frozenset(row["may_list"].split()),
        note=row["note"],
    )


def _nutrition(row: dict[str, str]) -> Nutrition | None:
    fat = _number(row["fat_g"])
    carbohydrate = _number(row["carbohydrate_g"])
    protein = _number(row["protein_g"])
    if fat is None or carbohydrate is None or protein is None:
        return None
    return Nutrition(
        fat,
        _number(row["saturates_g"]),
        carbohydrate,
        _number(row["sugars_g"]),
        _number(row["fibre_g"]),
        protein,
        _number(row["sodium_mg"]),
        f"{row['source']}, row {row['source_id']}",
    )


def _part(text: str) -> Part:
    name, _, allergens = text.partition("[")
    return Part(name, frozenset(allergens.rstrip("]").split()))


def _number(text: str) -> Fraction | None:
    """A plain decimal; quicker than ``Fraction(text)``, which counts with 260 rows of twelve."""
    if not text:
        return None
    whole, _, part = text.partition(".")
    return Fraction(int(whole + part), 10 ** len(part))
