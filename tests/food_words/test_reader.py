"""What a sentence names: worked examples, every row of the list, and laws over the words of the list.

The examples are this project's own, built on the lists of charities and agencies that ``food-words.csv`` names row by row.
"""

from __future__ import annotations

from time import perf_counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.food_words import food_words, read_foods
from classpack.model.allergens import IDS
from classpack.planning.needs.holdings import stated_allergens
from classpack.reading.shipped_larder import package_larder

FOODS = [row for row in food_words() if row.kind in ("food", "recipe", "lookalike", "vague")]
NAMING = [row for row in FOODS if row.holds and row.language == "en"]

NAMES = [
    ("Spread with peanut butter.", "peanuts"),
    ("Brush with the beaten yolks.", "eggs"),
    ("Finish with za'atar and crème fraîche.", "sesame milk"),
    ("Stir in coconut milk.", "coconut"),
    ("Add the cream of tartar.", ""),
    ("Rub in the cocoa butter.", ""),
    ("Mash the butter beans.", ""),
    ("Dust the bench with flour.", ""),
    ("Whisk an egg with a splash of milk and paint the buns.", "eggs milk"),
    ("Brush with oat drink instead of milk.", "gluten:oats"),
    ("Leave the top plain, without egg or milk.", ""),
    ("Brush with almond milk or water instead.", "nuts:almond"),
    ("Use gluten-free flour for dusting.", ""),
    ("Stir the gluten-free oats into the water.", "gluten:oats"),
    ("Fold in dairy-free chocolate chips.", "soya"),
    ("Crumble the vegan feta on top.", ""),
    ("Good with hazelnut spread next day.", "nuts:hazelnut milk soya"),
    ("Lovely toasted with butter.", "milk"),
    ("The dough should be as soft as butter.", ""),
    ("Butter the tin.", "milk"),
    ("Cream the margarine and sugar.", "milk"),
    ("hummus", "sesame"),
    ("butter beans", ""),
    ("Put peanutbutter on one half and oatmilk on the other.", "peanuts gluten:oats"),
    ("Pistachio butter, cashew drink", "nuts:pistachio nuts:cashew"),
    ("A spoon of garlic butter", "milk"),
    ("gluten-free semolina", "gluten:wheat"),
    ("gluten-free wheat starch", "gluten:wheat"),
    ("nut-free almond paste", "nuts:almond"),
    ("without egg and milk", "milk"),
    ("Without eggs, brush with milk.", "milk"),
    ("Do not add milk. Skip the butter if you like.", "milk"),
    ("ＢＵＴＴＥＲ and al\u00admonds", "milk nuts:almond"),
    ("Mix {butter} with water", ""),
    ("peanut, butter", "peanuts milk"),
    ("Crumble {feta} on top. Cream {butter} and sugar.", ""),
    ("Scatter the crumble over.", "gluten:wheat milk"),
    ("Peel {almonds} butter", "milk"),
]
NAMES_IN_GERMAN = [
    ("Mit Erdnussbutter bestreichen.", "peanuts"),
    ("Muskatnuss und Kakaobutter zugeben.", ""),
    ("Mit Haferdrink statt Milch bestreichen.", "gluten:oats"),
    ("Ohne Ei oder Milch.", ""),
    ("Ohne Ei und Milch.", "milk"),
    ("Ziegenkäse und Walnussbrösel", "milk nuts:walnut gluten:wheat"),
    ("Cashewmilch", "nuts:cashew"),
    ("Das ist ein Genuss, mit Schmalz.", ""),
    ("So weich wie Butter.", ""),
    ("Mohnsaat und Walnusskerne", "nuts:walnut"),
    ("Weizen und Eistreiche", "gluten:wheat eggs"),
]  # fmt: skip


@pytest.mark.parametrize(("sentence", "ids"), NAMES)
def test_what_an_english_sentence_names(sentence: str, ids: str):
    assert read_foods(sentence).holds == set(ids.split())


@pytest.mark.parametrize(("sentence", "ids"), NAMES_IN_GERMAN)
def test_what_a_german_sentence_names(sentence: str, ids: str):
    assert read_foods(sentence, "de").holds == set(ids.split())


@pytest.mark.parametrize(
    ("sentence", "asks"),
    [
        ("Scatter the nuts over.", "nuts"),
        ("Serve with or without nuts.", "nuts"),
        ("Use gluten-free flour for dusting.", "name"),
        ("Brush the buns with the glaze.", "glaze"),
    ],
)
def test_a_vague_word_asks_which(sentence: str, asks: str):
    assert asks in [food.asks for food in read_foods(sentence).foods]


def test_a_claim_makes_a_question_of_what_it_is_about():
    feta = read_foods("Crumble the vegan feta on top.")
    assert (feta.may_hold, feta.choices, feta.claims) == ({"milk"}, ("vegan",), ())
    assert "milk" in read_foods("Fold in dairy-free chocolate chips.").may_hold
    assert read_foods("Gluten-free seeded rolls").claims == ("gluten-free",)
    assert read_foods("lactose-free butter").holds == {"milk"}


def test_every_word_and_form_alone_gives_its_own_row():
    for row in FOODS:
        for spelling in row.spellings:
            before = "the " if "verb" in row.flags else ""
            found = read_foods(before + spelling, row.language)
            assert found.holds == row.holds, spelling
            assert found.may_hold == row.may_hold - row.holds, spelling


def test_every_ingredient_of_the_larder_is_named_by_its_bare_name():
    for one in package_larder().ingredients:
        named = read_foods(f"Then stir in the {one.name} by hand.").holds
        assert named == stated_allergens(one), one.name


def test_the_list_is_whole():
    assert all(row.holds | row.may_hold | row.is_no <= set(IDS) for row in food_words())
    assert all(row.source for row in food_words())
    assert all(not row.is_no & row.holds for row in FOODS)
    assert set(IDS) == frozenset().union(*(row.holds for row in food_words()))


@given(st.sampled_from(NAMING), st.sampled_from(["Bake", "then rest", "for 5 min", "well", "not"]))
def test_other_words_around_a_food_take_nothing_away(row, other):
    assert row.holds <= read_foods(f"{other} {row.word} {other}").holds


@given(st.sampled_from(NAMING), st.sampled_from(NAMING))
def test_two_foods_in_two_sentences_are_both_named(one, other):
    assert read_foods(f"Take {one.word}. Take {other.word}.").holds == one.holds | other.holds


@given(
    st.sampled_from(["not", "do not use", "never", "skip the", "leave out the", "optional", "sugar-free"]),
    st.sampled_from(NAMING),
)  # fmt: skip
def test_what_is_no_negator_takes_nothing_away(words, row):
    assert row.holds <= read_foods(f"{words} {row.word}").holds


@given(st.text(max_size=80), st.sampled_from(["en", "de"]))
def test_any_text_can_be_read(text, language):
    read_foods(text, language)


def test_a_thousand_sentences_take_no_time():
    read_foods("warm up"), read_foods("warm up", "de")
    started = perf_counter()
    for number in range(1000):
        read_foods(f"Brush the {number} rolls with milk, scatter the seeds over and bake them.")
    assert perf_counter() - started < 1
