"""The shopping list: needs, trim, stock, packs, aisles, money."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.errors import Spot
from classpack.model.class_day import Stock
from classpack.model.class_plan import AmountNeeded, NeedPart
from classpack.model.larder import Larder, ShopPack
from classpack.planning.shopping.basket import Bought, shopping_list, used_cost
from classpack.quantities import Amount, parse_amount
from classpack.reading.larder_file import package_larder, parse_pack


def larder(**packs):
    """The shipped larder with packs added, ``strong_white_flour="1.5 kg at 1.30; 16 kg at 11.50"``."""
    base = package_larder()
    sold = {
        name.replace("_", " "): tuple(parse_pack(one)[0] for one in text.split("; "))
        for name, text in packs.items()
    }
    return Larder(
        tuple(replace(one, packs=sold.get(one.name, ())) for one in base.ingredients), base.aisles
    )


def need(name, grams, count=None):
    return AmountNeeded(
        name, (NeedPart("station A", Fraction(grams)),), None if count is None else Fraction(count)
    )


def in_hand(name, text):
    return Stock(name, parse_amount(text), Spot("lessons/day.yaml", 7))


def bought(line):
    return [(one.count, one.pack.value) for one in line.buy]


def test_one_line_worked_by_hand():
    found = shopping_list(
        [need("strong white flour", 13_600)],
        larder(strong_white_flour="1.5 kg at 1.30; 16 kg at 11.50"),
        [in_hand("strong white flour", "100 g")],
    )
    (line,) = found.lines
    assert (line.need, line.have, line.to_buy) == (13_600, 100, 13_500)
    assert bought(line) == [(1, 16_000)]
    assert (line.left, line.cost, found.total, found.packs) == (2500, 1150, 1150, 1)
    assert [aisle.name for aisle in found.aisles] == ["flour"]
    assert not found.problems
    assert not found.remarks


def test_an_onion_has_a_skin():
    # USDA SR28, row 11282: 10 % refuse, so 500 g peeled are 556 g as bought
    (line,) = shopping_list([need("onion", 500)], larder(onion="1 kg at 0.90")).lines
    assert line.need == Fraction(5000, 9)
    assert line.trim == Fraction(500, 9)
    assert line.used == 500
    assert line.left == 1000 - Fraction(5000, 9)


def test_counted_things_are_bought_whole():
    eggs = larder(egg="6 each at 1.70; 12 each at 3.10")
    (line,) = shopping_list([need("egg", 350, 7)], eggs).lines
    assert (line.unit, line.need, line.left, line.cost) == ("each", 7, 5, 310)
    assert bought(line) == [(1, 12)]


def test_eggs_needed_by_weight_are_counted_by_the_weight_of_one():
    # USDA SR28, row 01123: one large egg is 50 g without its shell
    (line,) = shopping_list([need("egg", 120)], larder(egg="6 each at 1.70")).lines
    assert (line.unit, line.used, line.need) == ("each", Fraction(12, 5), 3)


def test_half_a_lemon_for_each_of_three_is_two_lemons():
    (line,) = shopping_list([need("lemon", 126, "1.5")], larder(lemon="1 each at 0.35")).lines
    assert (line.need, line.cost) == (2, 70)


def test_oil_by_the_bottle_is_weighed_by_its_litre():
    # USDA SR28, row 04053: 216 g a US cup, so 913 g a litre
    (line,) = shopping_list(
        [need("olive oil", 900)], larder(olive_oil="500 ml at 5.20; 1 l at 9.40")
    ).lines
    assert bought(line) == [(1, 1000)]
    assert line.left == 13


def test_water_and_starter_are_not_bought():
    found = shopping_list([need("water", 5000), need("sourdough starter", 300)], larder())
    assert found.lines == ()
    assert [one.ingredient for one in found.not_bought] == ["water", "sourdough starter"]


def test_what_is_in_hand_is_checked_and_not_bought():
    found = shopping_list(
        [need("fine salt", 240)], larder(fine_salt="750 g at 0.65"), [in_hand("fine salt", "300 g")]
    )
    assert found.aisles == ()
    (line,) = found.cupboard
    assert (line.in_cupboard, line.buy, line.cost, line.left) == (True, (), 0, 60)
    assert found.total == 0


def test_several_stocks_of_one_thing_add_up():
    stock = [in_hand("fine salt", "100 g"), in_hand("fine salt", "50 g")]
    (line,) = shopping_list([need("fine salt", 240)], larder(), stock).lines
    assert (line.have, line.to_buy) == (150, 90)


def test_no_pack_and_no_price_still_says_what_to_buy():
    found = shopping_list(
        [need("rosemary", 13), need("semolina", 200), need("fine salt", 50)],
        larder(semolina="500 g", fine_salt="750 g at 0.65"),
    )
    lines = {line.ingredient: line for line in found.lines}
    assert lines["rosemary"].to_buy == 20  # USDA SR28, row 02063: 35 % of rosemary is stems
    assert lines["rosemary"].buy == ()
    assert lines["semolina"].buy == (Bought(Amount(Fraction(500), "g"), 1, None),)
    assert found.total == 65
    assert found.unpriced == ("rosemary", "semolina")
    assert [str(one) for one in found.remarks] == [
        "remark (buying): the total leaves out what has no price: rosemary, semolina"
    ]


def test_aisles_stand_in_the_shops_order_and_lines_by_name():
    base = larder()
    ours = replace(base, aisles=("oils and vinegars", *base.aisles))
    names = ("honey", "strong white flour", "dark rye flour", "olive oil")
    found = shopping_list([need(name, 100) for name in names], ours)
    assert [(aisle.name, [line.ingredient for line in aisle.lines]) for aisle in found.aisles] == [
        ("oils and vinegars", ["olive oil"]),
        ("flour", ["dark rye flour", "strong white flour"]),
        ("sugars and syrups", ["honey"]),
    ]


def test_a_closer_purchase_of_something_perishable_is_offered():
    milk = larder(whole_milk="568 ml at 0.90; 2 l at 1.75")
    found = shopping_list([need("whole milk", 1150)], milk)
    (line,) = found.lines
    assert bought(line) == [(1, 2000)]
    assert bought(replace(line, buy=line.closer)) == [(2, 568)]
    assert line.closer_cost == 180
    assert [str(one) for one in found.remarks] == [
        "remark (buying): whole milk keeps badly: 2 × 568 ml would cost a little more and leave 22 g instead of 913 g"
    ]


def test_nothing_closer_is_offered_for_what_keeps():
    flour = larder(strong_white_flour="1.5 kg at 1.30; 16 kg at 11.50")
    (line,) = shopping_list([need("strong white flour", 13_500)], flour).lines
    assert line.closer == ()


def test_the_pack_of_a_swap_says_what_it_must_not_list():
    (line,) = shopping_list(
        [need("vegan baking block", 90)], larder(), must_not_list={"vegan baking block": ["milk"]}
    ).lines
    assert line.must_not_list == ("milk",)
    assert line.check_pack == "milk, soya, nuts, coconut: read the pack"


def test_something_sold_by_the_piece_without_a_piece_weight_is_told():
    base = larder(rosemary="1 each at 0.80")
    ours = replace(base["rosemary"], spot=Spot("lessons/larder.yaml", 12, 3))
    found = shopping_list([need("rosemary", 20)], Larder((ours,), base.aisles))
    assert [str(one) for one in found.problems] == [
        "lessons/larder.yaml:12:3: rosemary is sold by the piece and 20 g of it are needed; "
        "add what one weighs trimmed, as in 'each: 84 g'"
    ]


def test_a_stock_in_another_measure_is_told():
    found = shopping_list([need("rosemary", 20)], larder(), [in_hand("rosemary", "2 each")])
    assert [str(one) for one in found.problems] == [
        "lessons/day.yaml:7:1: the stock of rosemary is in each, its need in g; "
        "give the stock in the same measure, or say in the larder what one weighs"
    ]


def test_a_shelf_that_runs_out_is_told():
    found = shopping_list([need("semolina", 1200)], larder(semolina="300 g at 0.90 at most 3"))
    assert [str(one) for one in found.remarks] == [
        "remark (buying): the packs of semolina that may be bought give 300 g too little"
    ]


@pytest.mark.parametrize(
    ("stock", "worth"),
    [
        ("1 g", Fraction(1300 * 130, 1500)),  # a bag of 1.5 kg is bought
        (
            "5 kg",
            Fraction(1300 * 1150, 16_000),
        ),  # nothing is bought: the cheapest pack for its size
    ],
)
def test_a_products_cost_counts_what_it_uses(stock, worth):
    flour = larder(strong_white_flour="1.5 kg at 1.30; 16 kg at 11.50")
    used = need("strong white flour", 1300)
    (line,) = shopping_list([used], flour, [in_hand("strong white flour", stock)]).lines
    assert used_cost(line, flour["strong white flour"]) == worth


@given(
    needs=st.lists(
        st.tuples(
            st.sampled_from(
                ("strong white flour", "onion", "egg", "butter", "olive oil", "fine salt")
            ),
            st.integers(1, 20_000),
        ),
        unique_by=lambda pair: pair[0],
        min_size=1,
    ),
    stock=st.integers(1, 3000),
)
def test_packs_and_stock_less_need_is_what_is_left(needs, stock):
    ours = larder(
        strong_white_flour="1.5 kg at 1.30; 16 kg at 11.50",
        onion="1 kg at 0.90",
        egg="6 each at 1.70; 12 each at 3.10",
        butter="250 g at 2.10; 500 g at 4.00",
        olive_oil="500 ml at 5.20; 1 l at 9.40",
    )
    found = shopping_list(
        [need(name, grams) for name, grams in needs],
        ours,
        [in_hand(name, f"{stock} g") for name, _ in needs],
    )
    assert not found.problems
    total = 0
    for line in found.lines:
        one = ours[line.ingredient]
        sizes = {"g": Fraction(1), "ml": one.g_per_ml, "each": Fraction(1)}
        packs = sum(
            bought.count * bought.pack.value * sizes[bought.pack.unit] for bought in line.buy
        )
        if one.packs:
            assert packs + line.have - line.need == line.left >= 0
            assert line.cost == sum(bought.count * bought.price for bought in line.buy)
        assert line.to_buy == max(0, line.need - line.have)
        total += line.cost or 0
    assert found.total == total


def test_a_pack_may_be_weighed_or_counted_of_one_thing():
    tomatoes = larder(tomato="1 each at 0.30; 1 kg at 1.80")
    (line,) = shopping_list([need("tomato", 1000)], tomatoes).lines
    # USDA SR28, row 11529: 123 g each, 9 % refuse; 1099 g to buy are a kilogram and one
    assert bought(line) == [(1, 1), (1, 1000)]
    assert ShopPack(Amount(Fraction(1), "each"), 30) in tomatoes["tomato"].packs
