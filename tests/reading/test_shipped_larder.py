"""The shipped larder against the published rows it was made from, and against the allergen lists."""

from fractions import Fraction

import pytest

from classpack.model.allergens import BY_ID
from classpack.model.larder import AISLES, KINDS, STORAGE, TAGS, Part
from classpack.reading.larder_file import package_larder

LARDER = package_larder()


def test_every_row_is_complete_enough_to_be_used():
    assert len(LARDER.ingredients) >= 250
    assert len(LARDER.names) == len(LARDER.ingredients)
    for one in LARDER.ingredients:
        assert one.kind in KINDS, one.name
        assert one.aisle in AISLES, one.name
        assert one.storage in STORAGE, one.name
        assert one.tags <= set(TAGS), one.name
        assert one.allergens | one.may_list <= set(BY_ID), one.name
        assert not one.allergens & one.may_list, one.name
        assert one.source, one.name
        assert one.label, one.name
        assert 0 < one.edible_percent <= 100, one.name
        assert one.water_percent is None or 0 <= one.water_percent <= 100, one.name
        assert (one.kind == "yeast") == bool(one.yeast_form), one.name
        assert one.keeps_days is None  # no source with a clear licence


def everything(parts: tuple[Part, ...]) -> set[str]:
    return {id for part in parts for id in part.allergens | everything(part.parts)}


def test_what_a_part_carries_its_ingredient_states():
    for one in LARDER.ingredients:
        assert everything(one.parts) <= one.allergens, one.name


def test_water_and_starters_are_not_bought():
    assert [one.name for one in LARDER.ingredients if not one.bought] == [
        "water",
        "cold water",
        "ice",
        "sourdough starter",
        "rye sourdough starter",
    ]


@pytest.mark.parametrize(
    ("name", "row", "fat", "carbohydrate_by_difference", "fibre", "protein", "sodium", "water"),
    [  # USDA National Nutrient Database for Standard Reference, release 28 (2015), per 100 g
        ("strong white flour", "20083", "1.66", "72.53", "2.4", "11.98", "2", "13.36"),
        ("wholemeal flour", "20080", "2.50", "71.97", "10.7", "13.21", "2", "10.74"),
        ("dark rye flour", "20063", "2.22", "68.63", "23.8", "15.91", "2", "10.75"),
        ("fresh yeast", "18374", "1.90", "18.10", "8.1", "8.40", "30", "69.00"),
        ("active dry yeast", "18375", "7.61", "41.22", "26.9", "40.44", "51", "5.08"),
        ("fine salt", "02047", "0", "0", "0", "0", "38758", "0.20"),
        ("olive oil", "04053", "100", "0", "0", "0", "2", "0"),
        ("butter", "01145", "81.11", "0.06", "0", "0.85", "11", "17.94"),
        ("egg", "01123", "9.51", "0.72", "0", "12.56", "142", "76.15"),
        ("honey", "19296", "0", "82.40", "0.2", "0.30", "4", "17.10"),
        ("sesame seeds", "12023", "49.67", "23.45", "11.8", "17.73", "11", "4.69"),
    ],
)
def test_values_are_those_of_the_published_row(
    name, row, fat, carbohydrate_by_difference, fibre, protein, sodium, water
):
    one = LARDER[name]
    assert (one.source, one.source_id) == ("USDA SR28 (2015)", row)
    assert one.nutrition is not None
    assert one.nutrition.fat_g == Fraction(fat)
    # EU 1169/2011, Annex I: carbohydrate is what the body uses; SR28 counts fibre in.
    assert one.nutrition.carbohydrate_g == Fraction(carbohydrate_by_difference) - Fraction(fibre)
    assert one.nutrition.protein_g == Fraction(protein)
    assert one.nutrition.sodium_mg == Fraction(sodium)
    assert one.water_percent == Fraction(water)


@pytest.mark.parametrize(
    ("name", "spoon_ml", "grams"),
    [  # SR28 household weights; a US cup is 236.588 ml, its spoons 14.787 and 4.929 ml (from memory)
        ("plain white flour", "236.588", 125),
        (
            "strong white flour",
            "236.588",
            125,
        ),  # plain flour's row: 137 for bread flour is a way of filling the cup
        ("fine salt", "5", 6),  # the row's teaspoon; its cup of 292 g is not 48 of them
        ("olive oil", "236.588", 216),
        ("honey", "236.588", 339),
        ("dried oregano", "4.92892", 1),
    ],
)
def test_spoon_weights_are_those_of_the_published_row(name, spoon_ml, grams):
    one = LARDER[name]
    assert one.g_per_ml is not None
    assert abs(one.g_per_ml * Fraction(spoon_ml) - grams) < Fraction(grams, 1000)


@pytest.mark.parametrize("name", ["coarse salt", "flaky salt", "pearl sugar"])
def test_a_borrowed_row_lends_no_spoon_weight(name):
    assert LARDER[name].nutrition is not None
    assert LARDER[name].g_per_ml is None
    assert "values of" in LARDER[name].note


@pytest.mark.parametrize(
    ("name", "allergens"),
    [
        ("barley malt syrup", {"gluten:barley"}),
        ("barley malt flour", {"gluten:barley"}),
        ("wholegrain spelt flour", {"gluten:wheat"}),
        ("khorasan flour", {"gluten:wheat"}),
        ("semolina", {"gluten:wheat"}),
        ("vital wheat gluten", {"gluten:wheat"}),
        ("buckwheat flour", set()),
        ("pine nuts", {"nuts:pine"}),
        ("desiccated coconut", {"coconut"}),
        ("tinned coconut milk", {"coconut"}),
        ("celery salt", {"celery"}),
        ("dried apricots", {"sulphites"}),
        ("sesame oil", {"sesame"}),
        ("tahini", {"sesame"}),
        ("butter", {"milk"}),
        ("margarine", {"milk"}),
        ("oat drink", {"gluten:oats"}),
        ("soya drink", {"soya"}),
        ("basil pesto", {"milk", "nuts:cashew", "nuts:pine"}),
        ("lupin flour", {"lupin"}),
        ("anchovies", {"fish"}),
    ],
)
def test_the_traps_are_stated(name, allergens):
    assert LARDER[name].allergens == allergens


def test_a_vegan_block_says_what_its_pack_may_list():
    assert {"milk", "soya", "nuts:almond", "coconut"} <= LARDER["vegan baking block"].may_list


def test_a_spoon_of_dry_yeast_is_the_packers_chart():
    # a packer's chart (2010): 7 g to 2¼ tsp; USDA SR28 18375, file WEIGHT: 4 g to 1 tsp, which makes 9 g of the same packet
    for name in ("instant yeast", "active dry yeast"):
        assert abs(LARDER[name].g_per_ml * Fraction("2.25") * 5 - 7) < Fraction("0.01")
    assert "7 g for 2¼ tsp" in LARDER["active dry yeast"].note
