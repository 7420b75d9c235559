"""In another language the tutor's own larder states what its names say."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Ingredient, Larder
from classpack.places import own_folder
from classpack.planning.labels.ingredient_list import ingredient_list
from classpack.planning.labels.named_allergens import unstated
from classpack.reading.language_files import read_language

FOLDER = own_folder("templates") / "words/de/planning"


def german() -> Language:
    texts, allergens, needs = (
        (FOLDER / f"{name}.yaml").read_text("utf-8") for name in ("texts", "allergens", "needs")
    )
    return read_language(
        "de", ",", (texts, "texts.yaml"), (allergens, "allergens.yaml"), (needs, "needs.yaml")
    )


def own(name: str, allergens: tuple[str, ...] = (), tags: tuple[str, ...] = ()) -> Ingredient:
    return Ingredient(
        name,
        "other",
        "other",
        frozenset(allergens),
        name,
        tags=frozenset(tags),
        given=frozenset({"x"}),
    )


def told(one: Ingredient) -> list[str]:
    return [problem.wrong for problem in unstated(Larder((one,)), german())]


@pytest.mark.parametrize(
    ("name", "missing"),
    [
        ("Weizenmehl", "Weizen"),
        ("Dinkelvollkornmehl", "Weizen"),
        ("Haferflocken", "Hafer"),
        ("Walnusskerne", "Walnüsse"),
        ("Mandelbutter", "Mandeln"),
        ("Erdnussbutter", "Erdnüsse"),
        ("Sesamsaat", "Sesam"),
        ("Senfkörner", "Senf"),
    ],
)
def test_a_name_that_says_more_than_the_entry_is_told(name: str, missing: str) -> None:
    assert told(own(name)) == [f"'{name}' is called after {missing} and does not state it"]


def test_what_is_from_an_animal_says_so() -> None:
    assert told(own("Bergkäse", ("milk",), ("rennet",))) == [
        "'Bergkäse' is called 'käse' and does not say 'animal'"
    ]
    assert told(own("Schinkenwürfel")) == [
        "'Schinkenwürfel' is called 'schinken' and does not say 'animal'",
        "'Schinkenwürfel' is called 'schinken' and does not say 'meat'",
        "'Schinkenwürfel' is called 'schinken' and does not say 'pork'",
    ]


@pytest.mark.parametrize(
    "name", ["Buchweizenmehl", "Kokosraspel", "Reismilch", "Muskatnuss", "Kakaobutter"]
)
def test_what_only_sounds_like_it_is_left_alone(name: str) -> None:
    found = [wrong for wrong in told(own(name)) if "Kokosnuss" not in wrong]
    assert found == []


def test_english_and_shipped_entries_are_judged_elsewhere() -> None:
    assert unstated(Larder((own("Weizenmehl"),)), ENGLISH) == ()
    assert unstated(Larder((replace(own("Weizenmehl"), given=frozenset()),)), german()) == ()


def test_a_german_list_sets_the_allergen_apart_inside_the_word() -> None:
    """Regulation (EU) No 1169/2011, Art. 21(1)(b): set apart from the rest of the list."""
    used = [
        (own("Weizenmehl Type 550", ("gluten:wheat",)), Fraction(500)),
        (own("Bergkäse", ("milk",)), Fraction(80)),
        (own("Vollei", ("eggs",)), Fraction(40)),
    ]
    found = ingredient_list(used, Fraction(560), "EU", ("Bergkäse",), ("sesame",), german())
    assert found.text == (
        "Zutaten: WEIZENmehl Type 550, Bergkäse (14\N{NO-BREAK SPACE}%) (MILCH), VOLLEI. Kann enthalten: SESAM."
    )
    assert [span.text for span in found.spans if span.emphasised] == [
        "WEIZEN",
        "MILCH",
        "VOLLEI",
        "SESAM",
    ]


def test_an_egg_is_no_part_of_wheat() -> None:
    """German 'Ei' stands inside 'Weizen' and must not be taken for egg."""
    used = [(own("Weizenmehl", ("gluten:wheat", "eggs")), Fraction(500))]
    assert (
        ingredient_list(used, Fraction(500), "EU", language=german()).text
        == "Zutaten: WEIZENmehl (EIER)."
    )
