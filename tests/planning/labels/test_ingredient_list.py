"""Ingredient lists: worked labels in three regions' forms, and laws over any list.

The worked loaves A to E were computed by hand from the rules named in ``classpack/planning/ingredient_list.py``.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.model.allergens import BY_ID, REGIONS
from classpack.model.larder import Ingredient, Part
from classpack.planning.labels.contains import listed
from classpack.planning.labels.ingredient_list import amount_percent, ingredient_list
from classpack.reading.larder_file import package_larder

LARDER = package_larder()


def used(**grams):
    return [(LARDER[name.replace("_", " ")], Fraction(value)) for name, value in grams.items()]


def text(used, finished, region, stressed=(), may_contain=()):
    found = ingredient_list(used, Fraction(finished), region, stressed, may_contain).text
    return found.replace("\N{NO-BREAK SPACE}", " ").removeprefix("Ingredients: ")


# dough 169, bake loss 12 %: finished 148.72, so water 39.72; yeast and salt weigh the same, so either may come first
TIN_LOAF = used(strong_white_flour=100, water=60, olive_oil=5, fresh_yeast=2, fine_salt=2)
BUN = used(
    strong_white_flour=500, egg=200, butter=125, whole_milk=100, caster_sugar=50, water=40, fresh_yeast=20, fine_salt=10
)  # fmt: skip
RYE = used(
    water=350, strong_white_flour=300, dark_rye_flour=200, walnuts=80, sesame_seeds=20, barley_malt_syrup=15,
    fine_salt=10, active_dry_yeast=6,
)  # fmt: skip
FOCACCIA = used(
    strong_white_flour=500, water=350, black_olives=100, olive_oil=50, fresh_yeast=10, fine_salt=10, rosemary=5
)  # fmt: skip


def test_label_a_a_plain_white_tin_loaf():
    assert text(TIN_LOAF, "148.72", "UK") == "WHEAT flour, water, olive oil, yeast, salt."
    assert text(TIN_LOAF, "148.72", "US") == (
        "Bread flour (wheat), water, olive oil. Contains 2% or less of: yeast, salt. Contains: Wheat."
    )
    assert text(TIN_LOAF, "148.72", "AU") == (
        "WHEAT flour, water, olive oil, yeast, salt. Contains wheat, gluten."
    )


def test_label_b_an_enriched_bun_loses_more_than_its_water():
    assert (
        text(BUN, "919.60", "EU") == "WHEAT flour, EGGS, butter (MILK), MILK, sugar, yeast, salt."
    )
    assert ingredient_list(BUN, Fraction("919.60"), "EU").water_left_out
    assert text(BUN, "919.60", "US").endswith("Contains: Wheat, Egg, Milk.")
    assert "water" in text(
        BUN, "919.60", "US"
    )  # no rule for water lost in the oven was found there


def test_label_b_with_salted_butter_names_the_salt_inside():
    salted = [
        (LARDER["salted butter"] if one.name == "butter" else one, grams) for one, grams in BUN
    ]
    assert "butter (MILK, salt)" in text(salted, "919.60", "UK")


def test_label_c_the_oven_moves_water_below_the_flour():
    assert text(RYE, "863.28", "UK", {"walnuts"}) == (
        "WHEAT flour, water, RYE flour, WALNUTS (9 %), SESAME seeds, BARLEY malt syrup, salt, yeast."
    )
    assert text(RYE, "863.28", "US").startswith(
        "Water, bread flour (wheat), rye flour, walnuts, sesame"
    )
    assert text(RYE, "863.28", "US").endswith("Contains: Wheat, Walnuts, Sesame.")
    assert text(RYE, "863.28", "NZ").endswith(
        "Contains wheat, rye, barley, gluten, walnut, sesame."
    )


def test_label_d_a_kitchen_that_also_uses_almonds():
    assert text(FOCACCIA, "881.50", "UK", {"black olives"}, ["nuts:almond"]) == (
        "WHEAT flour, water, olives (11 %), olive oil, yeast, salt, rosemary. May contain: ALMONDS."
    )


def test_label_e_a_swap_changes_what_is_named():
    def swapped(milk, butter):
        new = {"whole milk": milk, "butter": butter}
        return [(LARDER[new.get(one.name, one.name)], grams) for one, grams in BUN]

    soya = text(swapped("soya drink", "margarine"), "919.60", "UK")
    assert soya == (
        "WHEAT flour, EGGS, margarine (vegetable oils, water, MILK solids, salt, emulsifiers), SOYA drink, "
        "sugar, yeast, salt."
    )
    block = text(swapped("soya drink", "vegan baking block"), "919.60", "UK")
    assert (
        "MILK" not in block
    )  # its pack is to be read: shopping says which allergens it must not list
    assert "EGGS" in block
    assert "OAT drink" in text(swapped("oat drink", "vegan baking block"), "919.60", "UK")
    for region, name in (("UK", "ALMOND drink"), ("AU", "ALMOND drink"), ("US", "almond milk")):
        assert name in text(swapped("almond drink", "vegan baking block"), "919.60", region)


def test_added_water_is_named_only_above_five_percent():
    # Annex VII, part A, 1 (from memory): it need not be listed when it is not above 5 % of the finished product.
    loaf = used(strong_white_flour=95, water=20)
    assert "water" not in text(loaf, 100, "UK")
    assert "water" in text(
        loaf, 100, "NZ"
    )  # Standard 1.2.4-3(2)(c)(iii): less than 5 % of the food
    assert "water" not in text(loaf, Fraction("99.9"), "NZ")
    assert "water" in text(loaf, Fraction("100.1"), "UK")


def test_uk_flour_has_a_list_of_its_own_to_copy():
    # Bread and Flour Regulations 1998, Schedule 1: wheat flour other than wholemeal is fortified in the UK.
    loaf = used(strong_white_flour=60, wholemeal_flour=40, dark_rye_flour=10, water=60)
    assert ingredient_list(loaf, Fraction(150), "UK").to_copy == ("strong white flour",)
    assert ingredient_list(loaf, Fraction(150), "EU").to_copy == ()


def test_two_flours_with_one_label_are_one_entry():
    loaf = used(strong_white_flour=40, water=50, plain_white_flour=35, dark_rye_flour=60)
    assert text(loaf, 170, "UK").startswith("WHEAT flour, RYE flour, water")


def test_an_allergen_that_no_word_names_is_named_in_brackets():
    assert text([(LARDER["mozzarella"], Fraction(10))], 10, "UK") == "mozzarella (MILK)."
    assert (
        text([(LARDER["za'atar"], Fraction(10))], 10, "UK")
        == "za'atar (thyme, SESAME seeds, sumac, salt)."
    )
    assert text([(LARDER["anchovies"], Fraction(10))], 10, "UK") == (
        "anchovies in oil (anchovies (FISH), oil, salt)."
    )
    assert (
        text([(LARDER["dried apricots"], Fraction(10))], 10, "US") == "Dried apricots (sulfites)."
    )
    assert "soft goat" not in text([(LARDER["soft goat's cheese"], Fraction(10))], 10, "US")
    assert text([(LARDER["soft goat's cheese"], Fraction(10))], 10, "US") == (
        "Goat cheese (goat milk). Contains: Goat milk."
    )


def test_parts_of_parts_stay_in_their_brackets():
    cake = Ingredient(
        "filling", "other", "baking", frozenset({"milk", "soya"}), label="filling",
        parts=(Part("cream", frozenset({"milk"})), Part("chocolate", frozenset(), (Part("lecithin", frozenset({"soya"})),))),
    )  # fmt: skip
    assert (
        text([(cake, Fraction(1))], 1, "UK")
        == "filling (cream (MILK), chocolate (lecithin (SOYA)))."
    )


@pytest.mark.parametrize(
    ("percent", "shown"),
    [("9.27", "9 %"), ("11.34", "11 %"), ("4.96", "5 %"), ("2.31", "2.3 %"), ("0.04", "0.04 %"), ("100", "100 %"), ("104.4", "made with 104 g per 100 g")],
)  # fmt: skip
def test_amounts_of_what_the_name_stresses(percent, shown):
    assert amount_percent(Fraction(percent)).replace("\N{NO-BREAK SPACE}", " ") == shown


def test_the_us_puts_two_percent_or_less_last():
    # 21 CFR 101.4(a)
    loaf = used(strong_white_flour=90, water=60, fine_salt=2, honey=Fraction("2.1"))
    assert text(loaf, 100, "US") == (
        "Bread flour (wheat), water, honey. Contains 2% or less of: salt. Contains: Wheat."
    )


mixtures = st.lists(
    st.tuples(st.sampled_from(LARDER.names), st.integers(1, 500)),
    min_size=1,
    max_size=10,
    unique_by=lambda pair: pair[0],
).map(lambda pairs: [(LARDER[name], Fraction(grams)) for name, grams in pairs])


@given(mixture=mixtures, loss=st.integers(0, 25), region=st.sampled_from(REGIONS))
def test_every_listed_allergen_stands_out_in_the_list(mixture, loss, region):
    finished = sum(grams for _, grams in mixture) * Fraction(100 - loss, 100)
    found = ingredient_list(mixture, finished, region)
    items = (*found.items, *found.last)
    for one, _ in mixture:
        for id in one.allergens & listed(region):
            (item,) = [item for item in items if one.name in item.ingredients]
            if region == "US":
                words = (*BY_ID[id].words, one.species or "-")
                assert any(word in item.text.lower() for word in words)
            else:
                loud = " ".join(span.text.lower() for span in item.spans if span.emphasised)
                assert any(word in loud for word in BY_ID[id].words), (one.name, id)
    for span in found.spans:
        assert not (span.emphasised and region in ("UK", "EU") and span.text != span.text.upper())
    assert " free" not in found.text.lower().replace("free-range", "")
    assert "without" not in found.text


@given(mixture=mixtures, loss=st.integers(0, 25), region=st.sampled_from(REGIONS))
def test_weights_never_rise_along_the_list(mixture, loss, region):
    finished = sum(grams for _, grams in mixture) * Fraction(100 - loss, 100)
    found = ingredient_list(mixture, finished, region)
    weights = [item.grams for item in (*found.items, *found.last)]
    assert weights == sorted(weights, reverse=True)
    names = {name for item in (*found.items, *found.last) for name in item.ingredients}
    lost = {one.name for one, _ in mixture} - names
    assert all(LARDER[name].kind == "water" for name in lost)
    assert bool(lost) == found.water_left_out


def test_an_ingredient_shows_its_name_where_it_has_no_label():
    bare = replace(LARDER["rosemary"], label="")
    assert text([(bare, Fraction(1))], 1, "UK") == "rosemary."
