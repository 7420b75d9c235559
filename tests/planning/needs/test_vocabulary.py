"""The words of needs: the lists by their published names, everyday synonyms, and everything that is refused."""

from __future__ import annotations

import pytest

from classpack.errors import Spot
from classpack.model.allergens import IDS, WORDS
from classpack.model.class_day import MustNotHave
from classpack.model.diets import Diet
from classpack.planning.needs.terms import REGION_ALLERGENS, TERMS
from classpack.planning.needs.vocabulary import Vocabulary, list_for, vocabulary
from tests.planning.needs.needs_cases import LARDER

OTHERWISE = (
    "for any other food write 'allergy to' and its name in the larder, or define it under 'allergies:' in the class file, "
    "a diet under 'diets:'"
)
HERE = Spot("day.yaml", 4)
UK = Vocabulary("UK")


def understood(text: str, words: Vocabulary = UK, severity: str = "") -> list[str]:
    found, problems = words.understood(MustNotHave(text, severity), HERE)
    assert not problems, problems
    return [one.id for one in found]


def refused(text: str, words: Vocabulary = UK) -> str:
    _, problems = words.understood(MustNotHave(text), HERE)
    (problem,) = problems
    return f"{problem.wrong}; {problem.right}"


# Regulation (EU) No 1169/2011, Annex II, by its own headings; the UK kept the list (FSA technical guidance, August 2023).
ANNEX_II = {
    "wheat": ["gluten:wheat"], "spelt": ["gluten:wheat"], "khorasan": ["gluten:wheat"], "rye": ["gluten:rye"],
    "barley": ["gluten:barley"], "oats": ["gluten:oats"], "crustaceans": ["crustaceans"], "eggs": ["eggs"], "fish": ["fish"],
    "peanuts": ["peanuts"], "soybeans": ["soya"], "milk": ["milk"], "lactose": ["milk"], "almonds": ["nuts:almond"],
    "hazelnuts": ["nuts:hazelnut"], "walnuts": ["nuts:walnut"], "cashews": ["nuts:cashew"], "pecan nuts": ["nuts:pecan"],
    "Brazil nuts": ["nuts:brazil"], "pistachio nuts": ["nuts:pistachio"], "macadamia": ["nuts:macadamia"],
    "Queensland nuts": ["nuts:macadamia"], "celery": ["celery"], "mustard": ["mustard"], "sesame seeds": ["sesame"],
    "sulphur dioxide": ["sulphites"], "sulphites": ["sulphites"], "lupin": ["lupin"], "molluscs": ["molluscs"],
}  # fmt: skip
# FALCPA 2004 and FASTER Act 2021; FDA allergen guidance, edition 5, January 2025, names the nuts, pine nut among them.
US_NINE = {
    "milk": ["milk"], "egg": ["eggs"], "fish": ["fish"], "crustacean shellfish": ["crustaceans"], "tree nuts": ["tree nuts"],
    "peanuts": ["peanuts"], "wheat": ["gluten:wheat"], "soybeans": ["soya"], "sesame": ["sesame"], "pine nut": ["nuts:pine"],
    "filbert": ["nuts:hazelnut"],
}  # fmt: skip
# Food Standards Code (Australia and New Zealand), Standard 1.2.3 and Schedule 9.
ANZ = {
    "soy": ["soya"], "mollusc": ["molluscs"], "crustacean": ["crustaceans"], "lupin": ["lupin"], "pine nut": ["nuts:pine"],
    "Brazil nut": ["nuts:brazil"], "sulphites": ["sulphites"],
}  # fmt: skip


@pytest.mark.parametrize(("text", "ids"), [*ANNEX_II.items(), *US_NINE.items(), *ANZ.items()])
def test_every_name_of_the_published_lists_is_understood(text, ids):
    assert understood(text) == ids


def test_every_word_a_larder_may_use_is_understood_alike():
    for word, allergen in WORDS.items():
        if word in TERMS:
            assert TERMS[word].allergens == {allergen}, word


def test_each_region_lists_what_its_law_lists():
    assert (
        len(REGION_ALLERGENS["UK"]) == len(REGION_ALLERGENS["EU"]) == 12 + 4 + 8
    )  # 14 groups: cereals 4, nuts 8
    assert "nuts:pine" not in REGION_ALLERGENS["UK"]
    assert {"nuts:pine"} <= set(REGION_ALLERGENS["US"]) & set(REGION_ALLERGENS["AU"])
    assert not {"gluten:rye", "celery", "mustard", "lupin", "molluscs"} & set(
        REGION_ALLERGENS["US"]
    )
    assert not {"celery", "mustard"} & set(REGION_ALLERGENS["NZ"])
    assert all(not {"coconut", "chestnut"} & set(one) for one in REGION_ALLERGENS.values())


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("Dairy", ["milk"]),
        ("lactose intolerant", ["milk"]),
        ("egg-free", ["eggs"]),
        ("allergic to walnuts", ["nuts:walnut"]),
        ("no sesame", ["sesame"]),
        ("gluten", ["coeliac"]),
        ("Celiac disease", ["coeliac"]),
        ("milk, eggs and sesame", ["milk", "eggs", "sesame"]),
        ("milk/egg; soya", ["milk", "eggs", "soya"]),
        ("all nuts", ["all nuts"]),
        ("shellfish", ["shellfish"]),
        ("no pork or lard", ["no pork"]),
        ("plant-based", ["vegan"]),
        ("cow’s milk", ["milk"]),
        ("immunosuppressed", ["immune-weak"]),
    ],
)
def test_everyday_words_are_understood(text, ids):
    assert understood(text) == ids


def test_tree_nuts_hold_pine_nuts_everywhere_and_all_nuts_hold_peanuts():
    for region in ("UK", "US", "NZ"):
        (need,), _ = Vocabulary(region).understood(MustNotHave("tree nuts"), HERE)
        assert "nuts:pine" in need.allergens
        assert "peanuts" not in need.allergens
    (need,), _ = UK.understood(MustNotHave("all nuts"), HERE)
    assert "peanuts" in need.allergens


@pytest.mark.parametrize(
    "severity", ["", "severe", "anaphylaxis", "carries two pens", "unknown", "moderate"]
)
def test_a_severity_that_is_not_clearly_mild_counts_as_severe(severity):
    (need,), _ = UK.understood(MustNotHave("milk", severity), HERE)
    assert need.severe


def test_a_mild_severity_is_believed():
    (need,), _ = UK.understood(MustNotHave("milk", "mild"), HERE)
    assert not need.severe


@pytest.mark.parametrize(
    "text", ["nuts", "nuts?", "Nut", "nut allergy", "allergic to nuts", "severe nut allergy"]
)
def test_nuts_asks_which(text):
    assert refused(text) == (
        f"the need '{text}' does not say which; ask which, and write 'tree nuts' (every one of them), each by name "
        "(almonds, walnuts ...), 'peanuts', or 'all nuts' for tree nuts and peanuts"
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "sesame?",
            "the need 'sesame?' is a question; ask, and write the need without the question mark, or 'none'",
        ),
        (
            "none, sesame",
            "the need 'none, sesame' says none and something else; ask again, and write either 'none' or what the person must not have",
        ),
        ("yes", "the need 'yes' does not say which; ask what it is, and write it"),
        (
            "halal",
            "the need 'halal' does not say which; ask what it means for them, and write 'no pork', 'no alcohol', or define a diet "
            "under 'diets:' in the class file",
        ),
        (
            "milk and seeds",
            "the need 'milk and seeds' ('seeds') does not say which; ask which, and write 'sesame' or 'mustard'; for another seed "
            "its name, as in 'poppy seeds'",
        ),
    ],
)
def test_what_is_not_clear_is_asked_about(text, message):
    assert refused(text) == message


@pytest.mark.parametrize(
    "text",
    [
        "Sesam", "Nüsse", "noix", "lait", "leche", "huevo", "frutta secca", "арахис", "σουσάμι", "sin gluten", "moss",
        "not allergic to anything but sesame", "no milk except butter", "no", "-", "n/a", "?", "sesame (not any more)",
        "=cmd|' /C calc'!A0", "x" * 300,
    ],
)  # fmt: skip
def test_another_language_and_every_unknown_word_is_refused_with_the_list(text):
    message = refused(text)
    if text != "?":
        assert " is not known here; " in message
        assert message.endswith(f"write it in English, as one of: {list_for('UK')}; {OTHERWISE}")
    assert UK.understood(MustNotHave(text), HERE)[1]


def test_a_near_word_is_offered_but_never_taken():
    assert "did you mean 'sesame'? If not, write it in English" in refused("sesamee")
    assert UK.understood(MustNotHave("sesamee"), HERE)[0] == ()


def test_a_tutors_own_diet_names_ingredients_allergens_and_tags():
    diet = Diet("no poppy", ("poppy seeds", "sesame", "alcohol"), HERE)
    words, problems = vocabulary("UK", [diet], LARDER, HERE)
    assert not problems
    (need,), _ = words.understood(MustNotHave("No poppy"), HERE)
    assert (need.kind, need.ingredients, need.allergens, need.tags) == (
        "diet",
        {"poppy seeds"},
        {"sesame"},
        {"alcohol"},
    )
    assert "no poppy" in refused("moss", words)


@pytest.mark.parametrize(
    ("diet", "message"),
    [
        (
            Diet("vegan", ("egg",)),
            "day.yaml:4:1: 'vegan' already means something; give it a name of its own, as in 'fruit free'",
        ),
        (
            Diet("lean", ()),
            "day.yaml:4:1: the diet 'lean' leaves nothing out; write 'without:' and a list of ingredients, allergens or tags",
        ),
        (
            Diet("lean", ("buter",)),
            "day.yaml:4:1: the diet 'lean' leaves out 'buter', which is nothing in the larder; did you mean 'butter'?",
        ),
    ],
)
def test_a_diet_that_says_nothing_or_too_much_is_a_problem(diet, message):
    _, problems = vocabulary("UK", [diet], LARDER, HERE)
    assert [str(one) for one in problems] == [message]


def test_every_allergen_id_has_a_word():
    assert all(TERMS[allergen].allergens == {allergen} for allergen in IDS)
