"""Nutrition against published rows, published factors and published rounding."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.planning.labels.nutrition import (
    Facts,
    energy_kcal,
    energy_kj,
    estimate,
    eu_grams,
    eu_rows,
    eu_salt,
    us_calories,
    us_fat,
    us_grams,
    us_rows,
    us_sodium,
)
from classpack.reading.larder_file import package_larder

LARDER = package_larder()


def used(**grams):
    return [(LARDER[name.replace("_", " ")], Fraction(value)) for name, value in grams.items()]


TIN_LOAF = used(strong_white_flour=100, water=60, olive_oil=5, fine_salt=2, fresh_yeast=2)
BAKED = Fraction("148.72")  # 169 g of dough, bake loss 12 %


@pytest.mark.parametrize(
    ("nutrient", "kj", "kcal"),
    [  # Regulation (EU) No 1169/2011, Annex XIV
        ("carbohydrate_g", 17, "4"),
        ("polyols_g", 10, "2.4"),
        ("protein_g", 17, "4"),
        ("fat_g", 37, "9"),
        ("alcohol_g", 29, "7"),
        ("organic_acids_g", 13, "3"),
        ("fibre_g", 8, "2"),
    ],
)
def test_energy_factors_are_those_of_annex_xiv(nutrient, kj, kcal):
    assert energy_kj(**{nutrient: Fraction(1)}) == kj
    assert energy_kcal(**{nutrient: Fraction(1)}) == Fraction(kcal)


def test_the_plain_loaf_worked_by_hand():
    facts = estimate(TIN_LOAF, BAKED, Fraction(60)).per_100g
    shown = {key: round(float(getattr(facts, key)), 3) for key in ("fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "fibre_g", "protein_g", "salt_g")}  # fmt: skip
    assert shown == {
        "fat_g": 4.504, "saturates_g": 0.632, "carbohydrate_g": 47.290, "sugars_g": 0.208, "fibre_g": 1.723,
        "protein_g": 8.168, "salt_g": 1.312,
    }  # fmt: skip
    assert round(float(facts.energy_kj), 1) == 1123.2
    assert round(float(facts.energy_kcal), 1) == 265.8
    assert [row.text for row in eu_rows(facts)] == [
        "1123 kJ / 266 kcal", "4.5 g", "0.6 g", "47 g", "<0.5 g", "1.7 g", "8.2 g", "1.3 g",
    ]  # fmt: skip


def test_a_us_slice_of_it():
    slice_ = estimate(TIN_LOAF, BAKED, Fraction(60)).per_piece
    assert [(row.key, row.text) for row in us_rows(slice_)] == [
        ("calories", "160"),
        ("fat", "2.5 g"),
        ("saturates", "0 g"),
        ("sodium", "310 mg"),
        ("carbohydrate", "29 g"),
        ("fibre", "1 g"),
        ("sugars", "0 g"),
        ("protein", "5 g"),
    ]


@pytest.mark.parametrize(
    ("row", "kcal", "carbohydrate_with_fibre", "protein", "sodium", "fat"),
    [  # USDA SR28 (2015), per 100 g; 18071 is made with milk powder, so only its energy and protein are near
        ("18069 bread, white, commercially prepared", 266, "49.42", "8.85", 490, "3.33"),
    ],
)
def test_the_plain_loaf_is_close_to_the_published_white_bread(
    row, kcal, carbohydrate_with_fibre, protein, sodium, fat
):
    facts = estimate(TIN_LOAF, BAKED, Fraction(60)).per_100g
    assert facts.fibre_g is not None
    assert facts.sodium_mg is not None

    def off(value, published):
        return abs(value / Fraction(published) - 1)

    # 5 % on energy and carbohydrate, 10 % on protein and sodium; sugars and fibre form in the dough and are not compared
    assert off(facts.energy_kcal, kcal) < Fraction(5, 100)
    assert off(facts.carbohydrate_g + facts.fibre_g, carbohydrate_with_fibre) < Fraction(5, 100)
    assert off(facts.protein_g, protein) < Fraction(10, 100)
    assert off(facts.sodium_mg, sodium) < Fraction(10, 100)
    assert abs(facts.fat_g - Fraction(fat)) < Fraction(
        3, 2
    )  # EU tolerance guidance 2012: fat +-1.5 g under 10 g


@pytest.mark.parametrize(
    ("loss", "factor"), [(0, 1), (10, Fraction(10, 9)), (15, Fraction(20, 17))]
)
def test_water_lost_in_the_oven_concentrates_the_rest(loss, factor):
    raw = estimate(TIN_LOAF, Fraction(169), Fraction(100)).per_100g
    baked = estimate(TIN_LOAF, Fraction(169) * (100 - loss) / 100, Fraction(100)).per_100g
    assert baked.energy_kj == raw.energy_kj * factor
    assert baked.salt_g == raw.salt_g * factor


@pytest.mark.parametrize(
    ("grams", "shown"),
    [  # European Commission, guidance on tolerances, December 2012, rounding (from memory)
        ("47.29", "47 g"), ("10", "10 g"), ("9.94", "9.9 g"), ("9.95", "10 g"), ("4.504", "4.5 g"),
        ("0.5", "<0.5 g"), ("0.51", "0.5 g"), ("0.2", "<0.5 g"), ("0", "0 g"),
    ],
)  # fmt: skip
def test_european_rounding_of_grams(grams, shown):
    assert eu_grams(Fraction(grams)) == shown


@pytest.mark.parametrize(
    ("grams", "shown"),
    [("1.312", "1.3 g"), ("1", "1 g"), ("0.988", "0.99 g"), ("0.0126", "0.01 g"), ("0.0125", "<0.01 g"), ("0", "0 g")],
)  # fmt: skip
def test_european_rounding_of_salt(grams, shown):
    assert eu_salt(Fraction(grams)) == shown


def test_saturates_count_as_nothing_only_at_a_tenth():
    assert eu_grams(Fraction("0.1"), nothing=Fraction(1, 10)) == "<0.1 g"
    assert eu_grams(Fraction("0.38"), nothing=Fraction(1, 10)) == "0.4 g"


@pytest.mark.parametrize(
    ("rounded", "value", "shown"),
    [  # 21 CFR 101.9(c); FDA, Guide to Nutrition Labeling and Education Act requirements, attachment 7
        (us_calories, "4.9", "0"), (us_calories, "47", "45"), (us_calories, "50", "50"), (us_calories, "54", "50"),
        (us_calories, "161.6", "160"),
        (us_fat, "0.49", "0 g"), (us_fat, "2.7", "2.5 g"), (us_fat, "4.8", "5 g"), (us_fat, "5.4", "5 g"),
        (us_sodium, "4.9", "0 mg"), (us_sodium, "138", "140 mg"), (us_sodium, "314.8", "310 mg"),
        (us_grams, "0.4", "0 g"), (us_grams, "0.9", "less than 1 g"), (us_grams, "29.4", "29 g"),
    ],
)  # fmt: skip
def test_american_rounding(rounded, value, shown):
    assert rounded(Fraction(value)) == shown


def test_what_has_no_values_is_named_and_too_much_of_it_shows_nothing():
    little = [*TIN_LOAF, (LARDER["ascorbic acid"], Fraction(1, 10))]
    found = estimate(little, BAKED, Fraction(60))
    assert found.missing == ("ascorbic acid",)
    assert found.shown
    much = [*TIN_LOAF, (LARDER["marzipan"], Fraction(40))]
    found = estimate(much, BAKED, Fraction(60))
    assert found.missing == ("marzipan",)
    assert not found.shown


def test_a_value_that_the_source_lacks_is_not_printed_as_none():
    loaf = used(type_00_flour=100, water=62, fine_salt=2)
    found = estimate(loaf, Fraction(150), Fraction(60))
    assert dict(found.lacking)["saturates"] == ("type 00 flour",)
    assert found.per_100g.saturates_g is None
    assert "saturates" not in [row.key for row in eu_rows(found.per_100g)]


def test_the_sources_are_named():
    mixed = [*TIN_LOAF, (LARDER["type 00 flour"], Fraction(10))]
    assert estimate(mixed, BAKED, Fraction(60)).sources == (
        "USDA SR28 (2015)",
        "USDA FoodData Central Foundation Foods (October 2024)",
    )


@given(grams=st.lists(st.integers(1, 900), min_size=5, max_size=5), pieces=st.integers(1, 40))
def test_pieces_and_hundred_grams_say_the_same(grams, pieces):
    loaf = [(one, Fraction(g)) for (one, _), g in zip(TIN_LOAF, grams, strict=True)]
    finished = Fraction(sum(grams)) * Fraction(88, 100)
    found = estimate(loaf, finished, finished / pieces)
    per_100g, per_piece = found.per_100g, found.per_piece
    for key in Facts.__dataclass_fields__:
        assert getattr(per_piece, key) * pieces * 100 == getattr(per_100g, key) * finished


def test_american_calories_are_four_four_and_nine():
    """21 CFR 101.9(c)(1)(i)(B): 4, 4 and 9 kcal a gram of protein, total carbohydrate and fat (from memory); fibre is carbohydrate there."""
    facts = estimate(TIN_LOAF, BAKED, Fraction(60)).per_100g
    by_hand = 4 * (47.290 + 1.723) + 4 * 8.168 + 9 * 4.504  # the loaf worked by hand above
    assert abs(float(facts.calories_us) - by_hand) < 0.02
