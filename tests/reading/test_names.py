"""Names of one food: taken by region, asked where they may be several, never across foods or allergens."""

import csv

import pytest

from classpack.model.own_measures import OwnMeasures
from classpack.reading.larder_file import merged, read_larder
from classpack.reading.names import (
    NAMES_FILE,
    meaning_of,
    printed_names,
    understood,
)
from classpack.reading.shipped_larder import package_larder

LARDER = package_larder()
NEVER_OFF = frozenset(
    [
        "gluten-free",
        "dairy-free",
        "milk-free",
        "egg-free",
        "nut-free",
        "free",
        "free-from",
        "vegan",
        "plant",
        "plant-based",
        "lactose-free",
        "oat",
        "soy",
        "soya",
        "almond",
        "cashew",
        "hazelnut",
        "nut",
        "coconut",
        "rice",
        "peanut",
        "sesame",
        "goat's",
        "goat",
        "sheep's",
        "mock",
        "substitute",
    ]
)
"""Words that make another food of it: a found name must hold the same word, or nothing is offered."""

REGIONS = ("US", "UK", "IE", "AU", "NZ", "CA", "IN", "EU")
ROWS = list(csv.DictReader(NAMES_FILE.open(encoding="utf-8")))


@pytest.mark.parametrize(
    ("name", "region", "food"),
    [  # a UK-US glossary and an Australian label page (read), the rest from memory
        ("bread flour", "US", "strong white flour"),
        ("All-Purpose Flour", "US", "plain white flour"),
        ("whole wheat flour", "US", "wholemeal flour"),
        ("wholemeal plain flour", "AU", "wholemeal flour"),
        ("oat milk", "US", "oat drink"),
        ("fast-action yeast", "UK", "instant yeast"),
        ("Trockenhefe", "EU", "instant yeast"),
        ("tomato puree", "US", "tomato passata"),
        ("tomato purée", "UK", "tomato paste"),
        ("salt", "US", "fine salt"),
        ("garbanzo flour", "US", "chickpea flour"),
        ("dahi", "IN", "plain yogurt"),
    ],
)
def test_a_name_means_one_food_in_its_region(name, region, food):
    meaning = meaning_of(name, region, LARDER)
    assert meaning is not None
    assert (meaning.food, meaning.asks) == (food, False)


@pytest.mark.parametrize(
    ("name", "region"),
    [
        ("flour", "US"), ("yeast", "US"), ("oil", "UK"), ("vegetable oil", "US"), ("kosher salt", "US"),
        ("cornflour", "AU"), ("corn flour", "IN"), ("tomato puree", "AU"), ("cream", "UK"), ("nuts", "UK"),
        ("milk powder", "NZ"), ("Weizenmehl Type 550", "EU"), ("Mehl", "EU"), ("dried yeast", "UK"),
    ],
)  # fmt: skip
def test_a_name_of_several_foods_is_asked(name, region):
    assert meaning_of(name, region, LARDER).asks


@pytest.mark.parametrize(
    "name",
    [
        "dairy-free spread", "gluten-free flour", "vegan butter", "mock cream", "lactose-free milk", "almond extract",
        "ghee", "goat butter", "peanut oil", "",
    ],
)  # fmt: skip
def test_nothing_is_offered_for_what_is_another_food(name):
    assert understood(name, "US", LARDER)[0] is None
    assert understood(f"warm {name}", "US", LARDER)[0] is None


def test_words_of_state_come_off_and_stay_as_a_note():
    assert understood("melted unsalted butter", "US", LARDER)[0].food == "butter"
    assert understood("melted unsalted butter", "US", LARDER)[1] == "melted"
    assert understood("lukewarm oat milk", "US", LARDER)[0].food == "oat drink"


def test_no_synonym_crosses_a_word_that_makes_another_food():
    """Every word that never comes off stands in the food as well, or the food is its listed everyday name."""
    everyday = {"oat milk", "soy milk", "soya milk", "soymilk", "almond milk", "rice milk", "coconut milk"}  # fmt: skip
    for row in ROWS:
        words = set(row["name"].casefold().replace("-", " ").split()) & NEVER_OFF
        if row["name"] in everyday or row["name"] == "fat-free milk":
            continue
        for food in row["foods"].split("; "):
            kept = set(food.casefold().split())
            assert not words or words & kept or words <= {"soy", "goat"}, row


def test_each_name_belongs_to_one_entry_a_region():
    taken = [(row["name"].casefold(), region) for row in ROWS for region in row["regions"].split()]
    assert len(taken) == len(set(taken))
    for row in ROWS:
        for food in row["foods"].split("; "):
            assert LARDER.get(food) is not None, row


@pytest.mark.parametrize("region", REGIONS)
def test_what_a_region_prints_is_read_back_as_the_same_food(region):
    here = LARDER.called(printed_names(region))
    assert len(here.ingredients) == len(LARDER.ingredients)
    for one in LARDER.ingredients:
        printed = here.own_name(one.name)
        assert here[printed].allergens == one.allergens == here[one.name].allergens
        assert here.shipped_name(printed) == one.name
        back = meaning_of(printed, region, LARDER)
        assert back is not None
        assert back.food == one.name


def test_the_tutors_own_entry_comes_before_any_synonym():
    own = read_larder(
        "ingredients:\n  bread flour:\n    allergens: wheat\n    kind: flour\n", "l.yaml"
    )
    larder = merged(LARDER, own)
    assert meaning_of("bread flour", "US", larder).food == "bread flour"
    assert larder.called(printed_names("US"))["strong white flour"].name == "strong white flour"


def test_measures_of_the_tutor_are_read_from_their_larder():
    own = read_larder(
        "measures:\n  written in: US\n  cup: 240 ml\n  cup of flour: 132 g\n  tins: {2 lb tin: 1450 ml}\n",
        "l.yaml",
    )
    assert own.measures == OwnMeasures("US", 240, 132, {"2 lb tin": 1450})
    assert own.measures.household.pint_ml == LARDER.measures.written_for("US").household.pint_ml
