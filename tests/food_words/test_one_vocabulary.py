"""The words by which needs, cautions and labels speak of allergens are all known to the one vocabulary, with the same meaning."""

from __future__ import annotations

import pytest
import yaml

from classpack.food_words import read_foods
from classpack.model.allergens import IDS, WORDS
from classpack.places import own_folder
from classpack.planning.needs.terms import LABELS, TERMS
from classpack.planning.safety.cautions import allergen_trigger
from classpack.reading.caution_file import package_catalogue

NO_FOOD = {"hazel", "yolky"}
"""A tree and a colour: understood where somebody says what they must not have or beside an egg, no food in a sentence."""


def test_needs():
    for word, need in TERMS.items():
        if need.kind == "allergy" and len(need.allergens) == 1 and word not in NO_FOOD | set(IDS):
            assert need.allergens <= read_foods(word).holds, word
    assert all({id} <= read_foods(label).holds for id, label in LABELS.items())


def test_labels_and_larder_rows():
    for word, id in WORDS.items():
        if word not in IDS:
            assert id in read_foods(word).holds, word


def test_german_labels():
    path = own_folder("templates") / "words/de/planning/allergens.yaml"
    for id, entry in yaml.safe_load(path.read_text("utf-8")).items():
        for word in (entry["name"], *entry["words"]):
            assert read_foods(word, "de").holds == {id}, word


@pytest.mark.parametrize("trigger", ["egg", "wheat-rye-barley", "nuts-seeds", "milk-egg-other"])
def test_cautions(trigger: str):
    words = next(one.words for one in package_catalogue().triggers if one.id == trigger)
    for word in set(words) - NO_FOOD:
        reading = read_foods(word)
        found = {allergen_trigger(id) for id in reading.holds | reading.may_hold}
        assert trigger in found or (trigger == "egg" and "eggs" in reading.holds), word
