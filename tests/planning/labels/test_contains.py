"""The legal lists by their published names, and the contains-lines of every region."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.model.allergens import GROUPS, IDS, REGIONS, WORDS, allergen_id
from classpack.model.larder import Part
from classpack.planning.labels.contains import (
    contains_line,
    label_name,
    listed,
    may_contain_line,
    members,
    named_spans,
    plain_text,
)
from classpack.planning.labels.ingredient_list import ingredient_list
from classpack.reading.larder_file import package_larder

LARDER = package_larder()


def used(*names: str):
    return [LARDER[name] for name in names]


def test_the_eu_and_uk_list_is_annex_ii():
    # Regulation (EU) No 1169/2011, Annex II: fourteen groups, four cereals and eight nuts named singly.
    names = {label_name(id, "EU") for id in listed("EU")}
    assert names == {
        "wheat", "rye", "barley", "oats", "crustaceans", "eggs", "fish", "peanuts", "soya", "milk", "almonds",
        "hazelnuts", "walnuts", "cashews", "pecans", "Brazil nuts", "pistachios", "macadamia nuts", "celery", "mustard",
        "sesame", "sulphites", "lupin", "molluscs",
    }  # fmt: skip
    assert listed("UK") == listed(
        "EU"
    )  # FSA technical guidance part 1, August 2023, paragraphs 27-30
    heads = {id.partition(":")[0] for id in listed("EU")}
    assert len(heads) == 14


def test_the_us_list_has_nine_major_allergens():
    # FALCPA 2004, FASTER Act 2021 (sesame); tree nuts by FDA's guidance, edition 5, January 2025.
    heads = {id.partition(":")[0] for id in listed("US")}
    assert heads == {
        "milk", "eggs", "fish", "crustaceans", "nuts", "peanuts", "gluten", "soya", "sesame",
    }  # fmt: skip
    assert {id for id in listed("US") if id.startswith("gluten:")} == {"gluten:wheat"}
    assert "nuts:pine" in listed("US")
    assert not listed("US") & {"coconut", "chestnut", "celery", "mustard", "lupin", "molluscs"}


def test_the_australian_and_new_zealand_list_is_schedule_9():
    # Food Standards Code, Standard 1.2.3 and Schedule 9, names as FSANZ publishes them.
    assert {label_name(id, "AU") for id in listed("AU")} == {
        "wheat", "fish", "crustacean", "mollusc", "egg", "milk", "lupin", "peanut", "soy", "sesame", "almond",
        "Brazil nut", "cashew", "hazelnut", "macadamia", "pecan", "pistachio", "pine nut", "walnut", "barley", "oats",
        "rye", "sulphites",
    }  # fmt: skip
    assert listed("NZ") == listed("AU")


@pytest.mark.parametrize(
    ("names", "uk", "us", "au"),
    [
        (["strong white flour"], "Contains: wheat.", "Contains: Wheat.", "Contains wheat, gluten."),
        (["strong white flour", "egg", "butter", "whole milk"], "Contains: wheat, eggs, milk.", "Contains: Wheat, Egg, Milk.", "Contains wheat, gluten, egg, milk."),
        (["dark rye flour"], "Contains: rye.", "", "Contains rye, gluten."),
        (["barley malt syrup"], "Contains: barley.", "", "Contains barley, gluten."),
        (["wholegrain spelt flour"], "Contains: wheat.", "Contains: Wheat.", "Contains wheat, gluten."),
        (["pine nuts"], "", "Contains: Pine nuts.", "Contains pine nut."),
        (["desiccated coconut"], "", "", ""),
        (["celery salt"], "Contains: celery.", "", ""),
        (["dried apricots"], "Contains: sulphites.", "", "Contains sulphites."),
        (["sesame oil"], "Contains: sesame.", "Contains: Sesame.", "Contains sesame."),
        (["lupin flour"], "Contains: lupin.", "", "Contains lupin."),
        (["margarine"], "Contains: milk.", "Contains: Milk.", "Contains milk."),
        (["anchovies"], "Contains: fish.", "Contains: Anchovy.", "Contains fish."),
        (["soft goat's cheese"], "Contains: milk.", "Contains: Goat milk.", "Contains milk."),
        (["strong white flour", "dark rye flour", "walnuts", "sesame seeds", "barley malt syrup"], "Contains: wheat, rye, barley, walnuts, sesame.", "Contains: Wheat, Walnuts, Sesame.", "Contains wheat, rye, barley, gluten, walnut, sesame."),
    ],
)  # fmt: skip
def test_each_region_names_what_its_law_lists(names, uk, us, au):
    assert contains_line(used(*names), "UK").text == uk
    assert contains_line(used(*names), "EU").text == uk
    assert contains_line(used(*names), "US").text == us
    assert contains_line(used(*names), "AU").text == au
    assert contains_line(used(*names), "NZ").text == au


def test_what_a_region_does_not_list_is_kept_apart_and_not_lost():
    assert contains_line(used("dark rye flour", "pine nuts", "desiccated coconut"), "US").also == (
        "rye",
        "coconut",
    )
    assert contains_line(used("pine nuts"), "UK").also == ("Pine nuts",)


@given(names=st.lists(st.sampled_from(LARDER.names), max_size=8), region=st.sampled_from(REGIONS))
def test_every_allergen_is_named_and_nothing_else(names, region):
    ingredients = used(*names)
    carried = {id for one in ingredients for id in one.allergens}
    line = contains_line(ingredients, region)
    assert len(line.names) + len(line.also) >= len(carried)
    assert plain_text(line.spans) == line.text
    assert "free" not in line.text
    assert "no " not in line.text
    if not carried:
        assert line.text == ""


def test_a_may_contain_line_names_each_allergen_singly():
    # FSA technical guidance, August 2023: "may contain almonds", not "nuts".
    assert plain_text(may_contain_line(["nuts:almond"], "UK")) == "May contain: ALMONDS."
    assert (
        plain_text(may_contain_line(["sesame", "nuts:almond"], "US"))
        == "May contain: almonds, sesame."
    )
    assert may_contain_line(["sesame"], "UK", contained=["sesame"]) == ()
    assert may_contain_line([], "UK") == ()


@pytest.mark.parametrize(
    ("text", "ids", "shown"),
    [
        ("wheat flour", ["gluten:wheat"], "WHEAT flour"),
        ("buckwheat flour", ["gluten:wheat"], "buckwheat flour"),
        ("coconut milk", ["milk"], "coconut MILK"),
        ("coconut milk", [], "coconut milk"),
        ("eggplant", ["eggs"], "eggplant"),
        ("Brazil nuts", ["nuts:brazil"], "BRAZIL NUTS"),
        ("spelt (wheat) flour", ["gluten:wheat"], "spelt (WHEAT) flour"),
        ("buttermilk", ["milk"], "buttermilk"),
    ],
)
def test_only_whole_words_of_a_carried_allergen_stand_out(text, ids, shown):
    spans, named = named_spans(text, ids, "UK")
    assert plain_text(spans) == shown
    assert {span.text for span in spans if span.emphasised} == {
        word for word in ("WHEAT", "MILK", "BRAZIL NUTS") if word in shown
    }
    assert bool(named) == (shown != text)


def test_a_vague_word_is_no_allergen_but_a_group():
    assert allergen_id("nuts") is None
    assert members("nuts") == {id for id in IDS if id.startswith("nuts:")}
    assert "nuts:pine" in members("nuts")
    assert members("gluten") == {"gluten:wheat", "gluten:rye", "gluten:barley", "gluten:oats"}
    assert members("milk") == {"milk"}
    assert members("Nüsse") == frozenset()
    assert not set(GROUPS) & set(WORDS)


def test_every_word_leads_to_an_id():
    assert set(WORDS.values()) == set(IDS)
    assert allergen_id(" Spelt ") == "gluten:wheat"


def test_a_part_counts_even_where_its_ingredient_forgot_it():
    spread = replace(LARDER["rosemary"], parts=(Part("paste", frozenset(), (Part("tahini", frozenset({"sesame"})),)),))  # fmt: skip
    assert contains_line([spread], "UK").names == ("sesame",)
    assert "SESAME" in ingredient_list([(spread, Fraction(1))], Fraction(1), "UK").text
