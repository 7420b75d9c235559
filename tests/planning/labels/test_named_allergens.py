"""In another language the tutor's own larder states what its names say."""

from __future__ import annotations

import datetime
from dataclasses import replace
from fractions import Fraction

import pytest

from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Ingredient, Larder
from classpack.places import own_folder
from classpack.planning.labels.ingredient_list import ingredient_list
from classpack.planning.labels.named_allergens import (
    packs_read,
    packs_read_remarks,
    unstated,
    with_packs_read,
)
from classpack.planning.needs.holdings import allergens_of
from classpack.reading.language_files import read_language
from classpack.reading.shipped_larder import package_larder

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


@pytest.mark.parametrize(
    ("name", "missing"),
    [
        ("walnut crunch", "walnuts"),
        ("sesame crisps", "sesame"),
        ("malt extract", "barley"),
        ("hummus", "sesame"),
        ("halva", "sesame"),
        ("mayonnaise", "eggs"),
        ("oat milk", "oats"),
        ("goat cheese crumble", "milk"),
        ("whey protein", "milk"),
        ("ghee", "milk"),
        ("Worcester sauce", "fish"),
        ("Weizenmehl", "wheat"),
        ("Ziegenkäse", "milk"),
    ],
)
def test_an_english_class_is_told_as_well_in_both_languages(name: str, missing: str) -> None:
    (problem,) = unstated(Larder((own(name),)), ENGLISH)[:1]
    assert f"'{name}' is called after " in problem.wrong
    assert missing in problem.wrong
    assert problem.right.endswith("say when you read it, as in 'read on the pack: 2026-11-20'")


def test_a_vague_name_asks_which() -> None:
    (problem,) = unstated(Larder((own("seeded mix"),)), ENGLISH)
    assert problem.wrong.startswith("'seeded mix' does not say which: 'seeded mix' may hold ")


def test_butter_beans_and_shipped_entries_are_left_alone() -> None:
    assert unstated(Larder((own("butter beans"),)), ENGLISH) == ()
    assert unstated(package_larder(), ENGLISH) == unstated(package_larder(), german()) == ()


def test_the_pack_read_on_a_stated_day_is_the_way_past_and_is_printed() -> None:
    read = replace(own("sesame crisps"), pack_read_on=datetime.date(2026, 11, 20))
    larder = Larder((read,))
    assert unstated(larder, ENGLISH) == ()
    (after,) = with_packs_read(larder, ENGLISH).ingredients
    assert after.check_pack == (
        "its pack was read on 2026-11-20 and lists no sesame; read it again when you buy"
    )
    assert [str(one) for one in packs_read_remarks(larder, frozenset({"sesame crisps"}))] == [
        "remark (allergens): sesame crisps: its pack was read on 2026-11-20 and lists no sesame; read it again when you buy."
    ]
    assert packs_read(larder, datetime.date(2026, 11, 21)) == ()
    (problem,) = packs_read(larder, datetime.date(2026, 11, 19))
    assert problem.wrong == "the pack of sesame crisps is read on 2026-11-20, after the class"


def test_a_pack_that_was_read_still_keeps_it_from_whoever_reacts_to_it() -> None:
    read = replace(own("sesame crisps"), pack_read_on=datetime.date(2026, 11, 20))
    assert "sesame" in allergens_of(read)
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
