"""Allergies that no law lists, and needs in the class's own language."""

from __future__ import annotations

from dataclasses import replace

import pytest

from classpack.errors import Spot
from classpack.model.class_day import MustNotHave
from classpack.model.diets import Diet
from classpack.model.larder import Larder, Part
from classpack.model.needs import Question
from classpack.places import own_folder
from classpack.planning.needs.holdings import excluded_by
from classpack.planning.needs.resolving import resolve
from classpack.planning.needs.stated import people_problems
from classpack.planning.needs.terms import OTHER_ALLERGIES, TERMS
from classpack.planning.needs.vocabulary import vocabulary
from classpack.reading.language_files import read_language
from tests.planning.needs.needs_cases import (
    FILE,
    LARDER,
    bread,
    day,
    decide,
    ingredient,
    lesson,
    person,
    said,
    swap,
)

HERE = Spot(FILE, 4)
FOLDER = own_folder("templates") / "words/de/planning"
GERMAN = read_language(
    "de", ",", *(((FOLDER / f"{name}.yaml").read_text("utf-8"), name) for name in ("texts", "allergens", "needs"))
)  # fmt: skip
SEEDED = bread("roll", ["poppy seeds"], [swap("poppy seeds", "sunflower seeds")])


@pytest.mark.parametrize(
    "need", ["allergy to poppy seeds", "poppy seed allergy", "allergic to poppy", "poppy seeds"]
)
def test_an_allergy_to_poppy_seeds_is_one_like_any_other(need):
    plan = resolve(lesson(SEEDED), day(person(needs=need), person(number=2)), LARDER)
    assert [change.into for change in plan.versions[0].changes] == ["sunflower seeds"]
    assert plan.versions[1].changes == ()
    assert plan.own_tools == {0}
    (one,) = plan.sheet.people
    assert one.needs[0].severe
    assert Question("carry") in one.questions
    assert Question("changed", "poppy seeds") in one.questions


def test_an_allergy_that_nothing_solves_stops_and_names_the_food():
    where = lesson(bread("roll", ["honey"], stressed=["honey"]))
    assert "honey (honey) in the roll: the lesson has no swap for it" in said(where, day(person(needs="allergy to honey")))[0]  # fmt: skip
    assert "instant yeast (yeast) in the base dough" in said(lesson(), day(person(needs="yeast")))[0]  # fmt: skip


@pytest.mark.parametrize(
    ("need", "name"),
    [
        ("poppy seeds", "Mohnfüllung"),
        ("poppy seeds", "everything seasoning"),
        ("linseed", "flax egg"),
        ("maize", "coarse polenta"),
        ("maize", "Maisgrieß"),
        ("sunflower", "Sonnenblumenkerne"),
        ("chickpeas", "aquafaba"),
        ("kiwi", "dried kiwi"),
    ],
)
def test_its_words_are_found_in_names_of_both_languages(need, name):
    assert excluded_by(TERMS[need], ingredient(name)) == (need,)
    inside = replace(ingredient("topping"), parts=(Part(name, frozenset()),))
    assert excluded_by(TERMS[need], inside) == (need,)


@pytest.mark.parametrize(
    ("need", "name"), [("maize", "black peppercorns"), ("peas", "pearl sugar"), ("linseed", "kleine Rosinen")]
)  # fmt: skip
def test_words_that_only_sound_so_are_not_found(need, name):
    assert excluded_by(TERMS[need], ingredient(name)) == ()


def test_any_food_of_the_larder_may_be_named_and_a_food_with_an_allergen_asks_which():
    tomato = lesson(bread("roll", ["tomatoes", "apple juice"]))
    plan = resolve(tomato, day(person(needs="allergy to apple juice")), LARDER)
    assert [(one.out, one.into) for one in plan.versions[0].changes] == [("apple juice", "")]
    assert said(tomato, day(person(needs="peanut butter"))) == [
        "day.yaml:11:1: the need 'peanut butter' is a food, not an allergen; ask what it is in it, and write 'peanuts'"
    ]


def test_an_allergy_of_the_tutors_own_words_with_a_whole_class_choice():
    larder = Larder((*LARDER.ingredients, ingredient("red lentils"), ingredient("gram flour")))
    where = lesson(bread("roll", ["red lentils", "gram flour"]), bread("plain"))
    for whole in (False, True):
        own = Diet("pulses", ("gram flour",), HERE, ("lentil-",), True, whole)
        plan = resolve(where, day(person(needs="pulses"), person(number=2)), larder, (own,))
        assert [one.out for one in plan.versions[0].changes] == ["red lentils", "gram flour"]
        assert bool(plan.versions[1].changes) == whole


def test_an_own_allergy_that_says_too_little_is_a_problem():
    own = (
        Diet("pulses", ("grams flour",), HERE, (), True),
        Diet("milk", (), HERE, ("milk",), True),
    )
    assert [str(one) for one in vocabulary("UK", own, LARDER, HERE)[1]] == [
        "day.yaml:4:1: the allergy 'pulses' has no words; write 'words:' and every word that names the food, in each language on "
        "your packs",
        "day.yaml:4:1: the allergy 'pulses' is said to be also in 'grams flour', which is nothing in the larder; write its name as "
        "the larder has it, or take it away",
        "day.yaml:4:1: 'milk' already means something; give it a name of its own, as in 'fruit free'",
    ]


def test_a_decision_leaves_it_out_for_everyone():
    who = person(needs="allergy to poppy seeds", decision=decide("left out for everyone"))
    plan = resolve(lesson(SEEDED), day(who, person(number=2)), LARDER)
    assert [change.into for change in plan.for_everyone] == ["sunflower seeds"]


def test_every_other_allergy_has_a_word_on_the_needs_sheet():
    for code in ("en", "de"):
        words = (own_folder("templates") / f"words/{code}/people.yaml").read_text("utf-8")
        assert all(f"\n  {label}: " in words for label in OTHER_ALLERGIES)


# ---------------------------------------------------------------- the class's own language


@pytest.mark.parametrize(
    ("said_in_german", "need"),
    [
        ("Sesam", "sesame"),
        ("Sesamallergie", "sesame"),
        ("Allergie gegen Haselnüsse", "hazelnuts"),
        ("Erdnussallergie", "peanuts"),
        ("Laktoseintoleranz", "milk"),
        ("Weizenunverträglichkeit", "wheat"),
        ("Zöliakie", "coeliac"),
        ("glutenfrei", "coeliac"),
        ("vegetarisch", "vegetarian"),
        ("kein Schweinefleisch", "no pork or lard"),
        ("schwanger", "pregnant"),
        ("Mohn", "poppy seeds"),
        ("Allergie gegen Mohn", "poppy seeds"),
        ("milk", "milk"),
    ],
)
def test_needs_are_understood_in_german(said_in_german, need):
    words, _ = vocabulary("EU", (), LARDER, HERE, GERMAN)
    found, problems = words.understood(MustNotHave(said_in_german), HERE)
    assert (problems, [one.label for one in found]) == ((), [need])


def test_two_needs_in_one_german_cell_and_none():
    words, _ = vocabulary("EU", (), LARDER, HERE, GERMAN)
    found, _ = words.understood(MustNotHave("Milch und Eier"), HERE)
    assert [one.label for one in found] == ["milk", "eggs"]
    assert people_problems(day(person(needs="keine Allergien")), LARDER, (), GERMAN) == ()


def test_german_is_not_guessed_in_an_english_class():
    assert "not known here" in said(lesson(), day(person(needs="Sesam")))[0]
