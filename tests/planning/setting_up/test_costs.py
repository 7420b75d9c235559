"""Costs: breads, demonstration, spare and allowance add up to what is used; what is used and left is what was paid for."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings

from classpack.errors import Spot
from classpack.planning.setting_up.costs import class_costs, with_currency
from tests.planning.made_up_classes import CLASSES, made_up, shipped


def check_sums(plan):
    costs = class_costs(plan)
    parts = sum(bread.all_coins for bread in costs.breads)
    assert parts + costs.demonstration + costs.spare + costs.allowance == costs.used
    if not costs.unpriced:
        assert costs.paid + costs.from_cupboard >= costs.used
    assert costs.head * costs.people == costs.used
    assert costs.head_paid * costs.people >= costs.paid
    return costs


@pytest.mark.parametrize("name", CLASSES)
def test_costs_of_a_class_that_ships_add_up(name):
    check_sums(shipped(name))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(made_up())
def test_costs_of_any_class_add_up(plan):
    check_sums(plan)


def test_a_loaf_by_hand():
    """The tin loaf of the Saturday class, in pence, at what its packs cost.

    Flour 470 g of a 1.5 kg bag at 145 p; oil 18 g and salt 9 g and yeast 4.5 g; 4.6 g of sunflower oil from the cupboard.
    """
    plan = shipped("saturday-twelve")
    loaf = next(one for one in class_costs(plan).breads if one.variation == "tin loaf")
    oil = plan.larder["olive oil"].g_per_ml
    sunflower = plan.larder["sunflower oil"].g_per_ml
    expected = (
        470 * Fraction(145, 1500)
        + 18 * 520 / (500 * oil)
        + 9 * Fraction(70, 750)
        + Fraction(45, 10) * 210 / 125
        + Fraction(46, 10) * 210 / (1000 * sunflower)
    )
    assert loaf.piece_coins == expected


def test_the_larders_currency_is_taken_when_the_class_says_none():
    plan = shipped("wholemeal-six")
    day, problems = with_currency(replace(plan.day, currency=""), plan.larder)
    assert (day.currency, problems) == ("EUR", ())


def test_prices_are_not_printed_with_another_currencys_sign():
    plan = shipped("wholemeal-six")
    day = replace(plan.day, currency="GBP")
    _, problems = with_currency(day, plan.larder, Spot("class.yaml", 9, 11))
    assert [str(problem) for problem in problems] == [
        "class.yaml:9:11: the class pays in GBP, the larder's prices are in EUR; write 'currency: EUR' in the class file, or "
        "prices in GBP in the larder"
    ]


def test_what_has_no_price_is_named_and_counts_nothing():
    plan = shipped("saturday-twelve")
    lines = []
    for aisle in plan.basket.aisles:
        lines.append(
            replace(
                aisle,
                lines=tuple(
                    replace(line, cost=None, buy=()) if line.ingredient == "mozzarella" else line
                    for line in aisle.lines
                ),
            )
        )
    larder = replace(
        plan.larder,
        ingredients=tuple(
            replace(one, packs=()) if one.name == "mozzarella" else one
            for one in plan.larder.ingredients
        ),
        _by_name={},
    )
    bare = replace(plan, basket=replace(plan.basket, aisles=tuple(lines)), larder=larder)
    assert class_costs(bare).unpriced == ("mozzarella",)
    assert class_costs(bare).used < class_costs(plan).used
