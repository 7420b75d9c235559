"""What a language says outside templates: all of it, or an error that names what is missing."""

from __future__ import annotations

import pytest

from classpack.errors import LessonError
from classpack.model.allergens import IDS
from classpack.model.language import ENGLISH, TEXTS, places
from classpack.places import own_folder
from classpack.reading.language_files import read_language

FOLDER = own_folder("templates") / "words/de/planning"
TEXT = (FOLDER / "texts.yaml").read_text("utf-8")
ALLERGENS = (FOLDER / "allergens.yaml").read_text("utf-8")
NEEDS = ((FOLDER / "needs.yaml").read_text("utf-8"), "needs.yaml")


def refused(texts: str, allergens: str = ALLERGENS) -> list[str]:
    with pytest.raises(LessonError) as caught:
        read_language("de", ",", (texts, "texts.yaml"), (allergens, "allergens.yaml"), NEEDS)
    return [str(problem) for problem in caught.value.problems]


def test_german_says_everything_and_calls_every_allergen_by_its_name() -> None:
    german = read_language("de", ",", (TEXT, "texts.yaml"), (ALLERGENS, "allergens.yaml"), NEEDS)
    assert german.texts.keys() == TEXTS.keys()
    assert tuple(german.allergens) == IDS
    assert all(places(german.texts[key]) == places(TEXTS[key]) for key in TEXTS)
    for key in ("shopping columns", "weighing columns"):
        assert len(german.columns(key)) == len(ENGLISH.columns(key))
    assert german.number("1.5") == "1,5"


# Regulation (EU) No 1169/2011, Annex II, German version (OJ L 304, 22.11.2011): names from memory
@pytest.mark.parametrize(
    ("id", "name"),
    [
        ("gluten:wheat", "Weizen"),
        ("gluten:rye", "Roggen"),
        ("gluten:barley", "Gerste"),
        ("gluten:oats", "Hafer"),
        ("crustaceans", "Krebstiere"),
        ("eggs", "Eier"),
        ("fish", "Fisch"),
        ("peanuts", "Erdnüsse"),
        ("soya", "Soja"),
        ("milk", "Milch"),
        ("nuts:almond", "Mandeln"),
        ("nuts:cashew", "Kaschunüsse"),
        ("nuts:brazil", "Paranüsse"),
        ("celery", "Sellerie"),
        ("mustard", "Senf"),
        ("sesame", "Sesam"),
        ("sulphites", "Sulfite"),
        ("lupin", "Lupinen"),
        ("molluscs", "Weichtiere"),
    ],
)
def test_annex_two_in_german(id: str, name: str) -> None:
    german = read_language("de", ",", (TEXT, "texts.yaml"), (ALLERGENS, "allergens.yaml"), NEEDS)
    assert german.label(id, "EU") == german.allergen(id) == name


def test_an_english_name_of_an_allergen_finds_the_german_one() -> None:
    german = read_language("de", ",", (TEXT, "texts.yaml"), (ALLERGENS, "allergens.yaml"), NEEDS)
    assert german.allergen("wheat") == german.allergen("Wheat") == "Weizen"
    assert german.need("sesame") == "Sesam"
    assert german.need("no kiwi") == "no kiwi"
    assert german.label("celery", "US") == ""
    assert ENGLISH.allergen("gluten:wheat") == "wheat"
    assert ENGLISH.label("eggs", "US") == "Egg"


def test_a_missing_text_is_told_with_the_english_one() -> None:
    assert refused(TEXT.replace("made with:", "# made with:")) == [
        "texts.yaml:2:1: the texts has no 'made with'; write it, in English 'made with {grams} g per 100 g'"
    ]


def test_a_text_with_other_places_is_told() -> None:
    (problem,) = refused(TEXT.replace("mit {grams} g je 100 g", "mit {gramm} g je 100 g"))
    assert problem.endswith("'made with' has other places; write it with {grams}")


def test_a_missing_allergen_is_told() -> None:
    (problem,) = refused(
        TEXT, ALLERGENS.replace("fish: {", "fisch: {").replace("fisch: {name", "fish2: {name")
    )[:1]
    assert problem.endswith(
        "the allergens has no 'fish'; write its 'name' and 'words' below 'fish:'"
    )
