"""The tutor's larder file: what it says, and how its mistakes are told."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.errors import LessonError
from classpack.model.larder import Larder, ShopPack
from classpack.quantities import Amount
from classpack.reading.larder_file import merged, package_larder, read_larder

FILE = "lessons/larder.yaml"


def problems(text: str) -> str:
    with pytest.raises(LessonError) as caught:
        read_larder(text, FILE)
    return str(caught.value)


def entry(*lines: str, name: str = "seeded mix") -> str:
    return f"ingredients:\n  {name}:\n" + "".join(f"    {line}\n" for line in lines)


def read_one(*lines: str, name: str = "seeded mix"):
    return read_larder(entry(*lines, name=name), FILE).ingredients[0]


def test_a_full_entry_is_read():
    larder = read_larder(
        """
larder: Hollow Lane kitchen
currency: GBP
aisles: [bakery, flour]
ingredients:
  seeded mix:
    kind: other
    aisle: bakery
    allergens: [sesame, oats]
    label: seed and oat mix
    storage: chilled
    keeps: 10 days
    tablespoon: 9 g
    water: 6 %
    trim: 10 %
    each: 40 g
    parts:
      sesame seeds: sesame
      oats: oats
      sunflower seeds: none
    packs: [500 g at 2.4, 1.5 kg at 6.10 at most 2, 3 kg]
    nutrition: {fat: 40 g, carbohydrate: 20 g, protein: 18 g, salt: 0.5 g}
    source: the back of the bag
    check the pack: mustard
    tags: animal
""",
        FILE,
    )
    (one,) = larder.ingredients
    assert (larder.currency, larder.aisles) == ("GBP", ("bakery", "flour"))
    assert one.allergens == {"sesame", "gluten:oats"}
    assert one.packs == (
        ShopPack(Amount(Fraction(500), "g"), 240),
        ShopPack(Amount(Fraction(1500), "g"), 610, 2),
        ShopPack(Amount(Fraction(3000), "g")),
    )
    assert one.g_per_ml == Fraction(9, 15)  # NIST metric tablespoon: 15 ml
    assert (one.edible_percent, one.keeps_days, one.g_per_each) == (90, 10, 40)
    assert [part.name for part in one.parts] == ["sesame seeds", "oats", "sunflower seeds"]
    assert one.nutrition is not None
    assert one.nutrition.sodium_mg == 200  # EU 1169/2011, Annex I: salt = sodium x 2.5
    assert one.spot is not None
    assert one.spot.line == 6


def test_an_ingredient_without_an_allergens_line_is_refused():
    assert problems("ingredients:\n  sesame:\n    aisle: nuts and seeds\n") == (
        "lessons/larder.yaml:2:3: sesame has no allergens line; "
        "write 'allergens: sesame', or 'none' if it carries none"
    )
    assert problems("ingredients:\n  stock cube:\n    aisle: baking\n") == (
        "lessons/larder.yaml:2:3: stock cube has no allergens line; "
        "write 'allergens: milk', or 'none' if it carries none"
    )


@given(
    name=st.sampled_from(("strong white flour", "butter", "a new thing", "water")),
    fields=st.lists(
        st.sampled_from(
            ("aisle: flour", "kind: other", "packs: [1 kg at 2.00]", "label: x", "trim: 5 %")
        ),
        unique=True,
    ),
)
def test_nothing_without_an_allergen_statement_can_be_read(name, fields):
    said = problems(entry(*fields, "storage: ambient", name=name))
    assert f"{name} has no allergens line" in said


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("nuts", "'nuts' does not say which; name each of: almond, hazelnut, walnut, cashew, pecan, brazil nut, pistachio, macadamia, pine nut"),
        ("gluten", "'gluten' does not say which; name each of: wheat, rye, barley, oat"),
        ("seasme", "no allergen 'seasme' is known; did you mean 'sesame'?"),
        ("[none, milk]", "seeded mix has 'none' beside other allergens; keep one of the two"),
        ("''", "seeded mix has an empty allergens line; write each allergen, or 'none' if it carries none"),
        ("Weizen", "no allergen 'weizen' is known; "),
    ],
)  # fmt: skip
def test_an_allergen_line_that_is_vague_or_unknown_is_refused(written, said):
    assert said in problems(entry(f"allergens: {written}"))


@pytest.mark.parametrize(
    ("packs", "said"),
    [
        ("[1.5 kg at 1,30]", "the price '1,30' has a comma; write decimals with a point, as in '1.30'"),
        ("['1.5 kg at 1,30']", "the price '1,30' has a comma; write decimals with a point, as in '1.30'"),
        ("[1 kg at 1.30, 1000 g at 1.40]", "a pack of seeded mix has two prices, 1.30 and 1.40; keep one of them"),
        ("[1 kg at 1.30, 1 kg]", "a pack of seeded mix has two prices, 1.30 and none; keep one of them"),
        ("[1 kg, 1 kg]", "a pack of seeded mix is given twice; keep one of them"),
        ("[1 kg at £1.30]", "the price is '£1.30'; write the number alone, as in '1.5 kg at 1.30'"),
        ("[1 kg at 1.305]", "the price '1.305' has parts of a coin; write whole coins, as in '1.30'"),
        ("[1 kg at 1.30 at most 0]", "the most packs are '0'; write a whole number, as in '1.5 kg at 1.30 at most 2'"),
        ("[1 bag at 1.30]", "the pack is '1 bag'; the units are mg g kg oz lb ml cl l tsp tbsp cup fl oz pint each, as in '1.5 kg at 1.30'"),
        ("[-1 kg at 1.30]", "the pack is '-1 kg'; it must be more than nothing, as in '1.5 kg at 1.30'"),
    ],
)  # fmt: skip
def test_a_pack_that_cannot_be_bought_is_refused(packs, said):
    assert said in problems(entry("allergens: none", f"packs: {packs}"))


def test_a_pack_of_nothing_is_told_at_its_place():
    assert problems(entry("allergens: none", "packs: [0 g at 1.30]")) == (
        "lessons/larder.yaml:4:13: the pack is '0 g'; it must be more than nothing, as in '1.5 kg at 1.30'"
    )


def test_prices_follow_the_currency():
    yen = "currency: JPY\n" + entry("allergens: none", "packs: [1 kg at 450]")
    assert read_larder(yen, FILE).ingredients[0].packs[0].price == 450  # ISO 4217: no minor unit
    dinar = "currency: KWD\n" + entry("allergens: none", "packs: [1 kg at 0.450]")
    assert read_larder(dinar, FILE).ingredients[0].packs[0].price == 450
    assert "has parts of a coin; write whole coins, as in '130'" in problems(
        "currency: JPY\n" + entry("allergens: none", "packs: [1 kg at 4.5]")
    )


def test_an_aisle_nobody_listed_is_refused():
    assert problems("aisles: [bakery]\n" + entry("allergens: none", "aisle: bakry")) == (
        "lessons/larder.yaml:5:12: 'aisle' is 'bakry'; did you mean 'bakery'?"
    )


def test_a_part_may_not_carry_more_than_its_ingredient_says():
    assert problems(entry("allergens: none", "parts:", "  whey powder: milk")) == (
        "lessons/larder.yaml:5:7: a part of seeded mix carries milk, and its allergens line does not; "
        "add 'milk' to the allergens line"
    )


def test_more_mistakes_are_told_at_once_in_file_order():
    said = problems(
        entry(
            "allergens: none",
            "trim: 100 %",
            "keeps: a while",
            "storge: chilled",
            "teaspoon: 3 g",
            "litre: 600 g",
            "tags: vegn",
        )
    ).splitlines()
    assert said == [
        "lessons/larder.yaml:3:5: seeded mix has more than one of 'teaspoon', 'tablespoon' and 'litre'; keep one of them",
        "lessons/larder.yaml:4:11: the trim leaves nothing; it must be below 100 %",
        "lessons/larder.yaml:5:12: it keeps 'a while'; write days, as in '14 days'",
        "lessons/larder.yaml:6:5: seeded mix has no field 'storge'; did you mean 'storage'?",
        "lessons/larder.yaml:9:11: no tag 'vegn' is known; choose from: animal, meat, pork, rennet, alcohol",
    ]


def test_an_own_entry_overrides_only_what_it_says():
    own = read_larder(entry("allergens: milk", "packs: [250 g at 2.10]", name="butter"), FILE)
    joined = merged(package_larder(), own)
    shipped, now = package_larder()["butter"], joined["butter"]
    assert now.packs == (ShopPack(Amount(Fraction(250), "g"), 210),)
    assert (now.aisle, now.nutrition, now.source_id) == (
        shipped.aisle,
        shipped.nutrition,
        shipped.source_id,
    )
    assert joined.names == package_larder().names


def test_an_own_entry_may_add_allergens_and_new_ingredients():
    own = read_larder(
        entry("allergens: [wheat, soya]", name="strong white flour")
        + "  hollow lane pickle:\n    allergens: mustard\n",
        FILE,
    )
    joined = merged(package_larder(), own)
    assert joined["strong white flour"].allergens == {"gluten:wheat", "soya"}
    assert joined["hollow lane pickle"].aisle == "other"


def test_an_own_entry_may_not_take_an_allergen_away():
    own = read_larder(entry("allergens: none", name="margarine"), FILE)
    with pytest.raises(LessonError) as caught:
        merged(package_larder(), own)
    assert str(caught.value) == (
        "lessons/larder.yaml:2:3: margarine is said not to carry milk, which it carries in the shipped larder; "
        "add milk, or give this product a name of its own"
    )


def test_a_volume_pack_needs_the_weight_of_a_litre():
    own = read_larder(entry("allergens: none", "packs: [500 ml at 3.00]"), FILE)
    with pytest.raises(LessonError) as caught:
        merged(package_larder(), own)
    assert str(caught.value) == (
        "lessons/larder.yaml:4:13: seeded mix is sold by volume and has no weight for it; "
        "add what a litre of it weighs, as in 'litre: 920 g'"
    )


def test_own_aisles_come_first_and_the_rest_follows():
    own = Larder((), ("flour", "bakery"))
    aisles = merged(package_larder(), own).aisles
    assert aisles[:2] == ("flour", "bakery")
    assert set(package_larder().aisles) <= set(aisles)
    assert len(aisles) == len(set(aisles))


def test_a_new_flour_must_say_that_it_counts_as_flour():
    own = read_larder(entry("allergens: wheat", name="hill farm flour"), FILE)
    with pytest.raises(LessonError) as caught:
        merged(package_larder(), own)
    assert str(caught.value) == (
        "lessons/larder.yaml:2:3: hill farm flour does not say what it is in a dough; "
        "write 'kind: flour', or 'kind: other' if it does not count as flour"
    )
    said = read_larder(entry("allergens: wheat", "kind: flour", name="hill farm flour"), FILE)
    assert merged(package_larder(), said)["hill farm flour"].kind == "flour"


def test_the_example_larder_fits_the_shipped_one():
    path = Path(__file__).parents[2] / "lessons" / "larder.yaml"
    own = read_larder(path.read_text("utf-8"), "lessons/larder.yaml")
    assert set(own.names) <= set(merged(package_larder(), own).names)


@given(
    data=st.lists(
        st.sampled_from(
            ("ingredients", ":", "\n", "  ", "    ", "butter", "allergens: milk", "packs: ", "[", "]", "1 kg at ",
             "1.30", "1,30", "0", "-", "½", "²", "at most ", "parts", "none", "nuts", "#", "{", "}", "'", "٣ kg")
        ),
        max_size=40,
    )
)  # fmt: skip
def test_any_text_is_read_or_refused_with_problems(data):
    text = "ingredients:\n  butter:\n    allergens: milk\n    " + "".join(data)
    problems, larder = (), Larder(())
    try:
        larder = read_larder(text, FILE)
    except LessonError as error:
        problems = error.problems
    assert all(one.wrong and one.right for one in problems)
    assert all("allergens" in one.given for one in larder.ingredients)
    assert bool(problems) != bool(larder.ingredients)
