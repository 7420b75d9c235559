"""What is offered for an unknown name: the same food or nothing, never one with an allergen the typed words do not say."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.cli import main
from classpack.food_words import food_words, read_name
from classpack.reading.same_food import found_by, offered
from classpack.reading.shipped_larder import package_larder

LARDER = package_larder()


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("olive oyl", "did you mean 'olive oil'?"),
        ("oat drnk", "did you mean 'oat drink'?"),
        ("cream chese", "did you mean 'cream cheese'?"),
        ("vegan butter", "the nearest is vegan baking block (read its pack); or write it into your own larder"),
        ("dairy-free butter", "the nearest is vegan baking block (read its pack); or write it into your own larder"),
        ("plant butter", "the nearest is vegan baking block (read its pack); or write it into your own larder"),
        ("vegan cheese", "the nearest is plant-based cheese (read its pack); or write it into your own larder"),
        ("almound", "the nearest is almonds (almonds); or write it into your own larder"),
        ("gluten-free flour", "nothing in the larder is this; write it into your own, as in 'gluten-free flour: {allergens: what its pack lists, or none}'"),
        ("soy cheese", "nothing in the larder is this; write it into your own, as in 'soy cheese: {allergens: [soya]}'"),
    ],
)  # fmt: skip
def test_what_is_offered(typed: str, right: str):
    assert offered(typed, LARDER) == right


def test_a_goat_is_no_oat():
    assert offered("goat drink", LARDER).startswith("nothing in the larder is this")


NAMES = sorted({row.word for row in food_words() if row.language == "en" and row.kind != "absent"})


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from(NAMES), st.sampled_from(["", "vegan ", "dairy-free ", "gluten-free ", "my "])
)
def test_nothing_is_offered_that_holds_more_than_the_typed_words_say(word: str, before: str):
    typed = before + word
    said = read_name(typed)
    right = offered(typed, LARDER)
    if said.words and (slip := re.match(r"did you mean '(.*)'\?", right)):
        assert LARDER[slip[1]].allergens == said.holds
    for one in LARDER.ingredients:
        if re.search(rf"(?:(?:is|are)|,) {re.escape(one.name)} \(", right):
            assert one.allergens <= said.holds


def test_a_food_is_found_by_a_word_and_by_its_other_names():
    assert [one.name for one in found_by("soy milk", LARDER)] == ["soya drink"]
    assert "salted butter" in [one.name for one in found_by("butter", LARDER)]


def test_find_needs_no_class_that_can_be_read(tmp_path, capsys):
    broken = tmp_path / "broken.yaml"
    broken.write_text("lesson: [", "utf-8")
    for before in ([], [str(broken)]):
        assert main(["show", *before, "--find", "tahini"]) == 0
        assert capsys.readouterr().out == "tahini (sesame)\n"
    assert main(["show", "--find", "vegan butter"]) == 0
    assert "vegan baking block" in capsys.readouterr().out
