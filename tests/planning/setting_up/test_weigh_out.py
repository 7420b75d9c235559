"""Tubs: nothing is lost between cards, stations, tubs, needs and packs; allergens come last; small scales weigh twice."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from classpack.model.kitchen import Scale
from classpack.planning.amounts.on_the_scale import weighed_in
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.weigh_out import WeighOut, weigh_out
from tests.planning.made_up_classes import EVERY_CLASS, made_up, shipped


def every_line(plan: ClassPlan) -> dict[str, Fraction]:
    """What cards, demonstration, spare, stations and preferments say, added up by ingredient, found without the tubs."""
    lines = [line for unit in plan.units for line in unit.lines]
    for maker in (*plan.people, *plan.batches):
        lines += [line for portion in maker.portions for line in portion.toppings]
        lines += maker.dusting
    lines += [line for station in plan.stations for line in station.shared]
    lines += plan.shared
    sums: dict[str, Fraction] = {}
    for line in lines:
        if plan.larder.get(line.ingredient):
            sums[line.ingredient] = sums.get(line.ingredient, Fraction(0)) + line.grams
    return sums


def check_conservation(plan: ClassPlan) -> WeighOut:
    weighed = weigh_out(plan)
    rows = [one for turn in weighed.turns for one in turn.ingredients]
    rows += weighed.on_the_day
    said = every_line(plan)
    needs = {need.ingredient: need.grams for need in plan.needs}
    assert {one.ingredient for one in rows} == set(said) == set(needs)
    for one in rows:
        assert sum(tub.grams for tub in one.tubs) == one.grams == said[one.ingredient]
        assert one.total_g == needs[one.ingredient]
        for tub in one.tubs:
            if tub.count is None:
                assert sum(w.times * w.grams for w in tub.weighings) == tub.grams
            if tub.shares:
                shared = sum(share.grams * (len(share.seats) or 1) for share in tub.shares)
                assert shared == tub.grams
            for amount in (tub, *tub.shares):
                if amount.parts:
                    assert sum(part.grams for part in amount.parts) == amount.grams
                    if amount.count is not None:
                        assert sum(part.count for part in amount.parts) == amount.count
    for station in plan.stations:
        seats = {plan.day.people[index].seat for index in station.people}
        for line in station.weigh_out:
            if plan.larder.get(line.ingredient):
                tubs = [
                    tub
                    for one in rows
                    if one.ingredient == line.ingredient
                    for tub in one.tubs
                    if (tub.kind, tub.where) == ("station", station.station.name)
                    or (tub.kind == "seat" and tub.where in seats)
                ]
                assert sum(tub.grams for tub in tubs) == line.grams
    for line in plan.basket.lines:
        packs = sum(_size(plan, line, bought) * bought.count for bought in line.buy)
        if line.buy or not line.to_buy:
            assert packs + line.have - line.need == line.left - line.short
            assert line.left >= 0
        if line.unit == "g":
            assert line.used == needs[line.ingredient]
    return weighed


def _size(plan, line, bought):
    one = plan.larder[line.ingredient]
    size = bought.pack
    if size.unit == line.unit:
        return size.value
    if size.unit == "ml":
        return size.value * one.g_per_ml
    each = one.g_per_each * 100 / one.edible_percent
    return size.value / each if line.unit == "each" else size.value * each


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_nothing_is_lost_in_a_class_that_ships(name):
    check_conservation(shipped(name))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(made_up())
def test_nothing_is_lost_in_any_class(plan):
    check_conservation(plan)


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_what_carries_an_allergen_is_weighed_after_what_carries_none(name):
    turns = weigh_out(shipped(name)).turns
    assert turns[0].allergens == ()
    assert all(turn.allergens for turn in turns[1:])
    seeds = [number for number, turn in enumerate(turns) if "sesame" in turn.allergens]
    assert not seeds or seeds[0] >= len(turns) - len(seeds)


def test_who_has_tools_of_their_own_has_tubs_of_their_own():
    plan = replace(shipped("saturday-twelve"), own_tools=frozenset({1}))
    tubs = check_conservation(plan).tubs
    own = {tub.ingredient: tub.grams for tub in tubs if tub.where == "A2"}
    assert own["strong white flour"] == 470
    assert own["fine salt"] == 9
    bench = next(tub for tub in tubs if (tub.where, tub.ingredient) == ("A", "fine salt"))
    assert (bench.grams, bench.shares[0].seats) == (18, ("A1", "A3"))


def test_a_station_of_three_by_hand():
    """3 × 470 g of flour: 450 g in each dough (765.3 g of dough at 170 % is 450.2 g of flour) and 20 g to dust the bench."""
    tubs = weigh_out(shipped("saturday-twelve")).tubs
    flour = next(t for t in tubs if (t.ingredient, t.where) == ("strong white flour", "A"))
    (share,) = flour.shares
    assert (flour.grams, share.grams, share.seats) == (1410, 470, ("A1", "A2", "A3"))
    assert [(part.purpose, part.grams) for part in share.parts] == [("dough", 450), ("dusting", 20)]


def test_what_serves_one_purpose_has_no_parts():
    tubs = weigh_out(shipped("saturday-twelve")).tubs
    salt = next(t for t in tubs if (t.ingredient, t.where) == ("fine salt", "A"))
    assert salt.parts == salt.shares[0].parts == ()


def test_a_dough_for_a_station_is_told_from_the_flour_each_dusts_with():
    """Six people share two doughs; each dusts with 15 g."""
    tubs = weigh_out(shipped("wholemeal-six")).tubs
    flour = next(t for t in tubs if (t.ingredient, t.where) == ("strong wholemeal flour", "1"))
    assert [
        (share.seats, share.dough, [(part.purpose, part.grams) for part in share.parts])
        for share in flour.shares
    ] == [
        (("1-1", "1-2", "1-3"), False, [("dusting", 15)]),
        ((), True, [("dough", shipped("wholemeal-six").unit("station 1").grams(flour.ingredient))]),
    ]


FIVE_KG = Scale(Fraction(1), Fraction(5000))
FINE = Scale(Fraction(1, 10), Fraction(500))


@pytest.mark.parametrize(
    ("grams", "scales", "bowl", "step", "expected"),
    [
        ("14700", [FIVE_KG], None, "1", [(3, 4500), (1, 1200)]),
        ("40000", [FIVE_KG], None, "1", [(8, 4500), (1, 4000)]),
        ("39.6", [FINE, FIVE_KG], None, "0.1", [(1, "39.6")]),
        ("650.4", [FINE, FIVE_KG], None, "0.1", [(1, 450), (1, "200.4")]),
        ("3000", [FIVE_KG], "1400", "1", [(2, 1400), (1, 200)]),
        ("4505", [FIVE_KG], None, "1", [(1, 2253), (1, 2252)]),
        ("0.4", [FINE, FIVE_KG], None, "0.1", [(1, "0.4")]),
        ("4500", [FIVE_KG], None, "1", [(1, 4500)]),
    ],
)
def test_weighings_by_hand(grams, scales, bowl, step, expected):
    found = weighed_in(Fraction(grams), scales, Fraction(bowl) if bowl else None)
    assert found[0] == Fraction(step)
    assert [(one.times, one.grams) for one in found[1]] == [
        (times, Fraction(g)) for times, g in expected
    ]


@given(
    tenths=st.integers(1, 600_000),
    bowl=st.one_of(st.none(), st.integers(300, 5000)),
)
def test_weighings_add_up_and_fit_scale_and_bowl(tenths, bowl):
    grams = Fraction(tenths, 10)
    step, found = weighed_in(grams, [FINE, FIVE_KG], Fraction(bowl) if bowl else None)
    assert sum(one.times * one.grams for one in found) == grams
    most = min(Fraction(450) if step < 1 else Fraction(4500), Fraction(bowl or 5000))
    assert all(0 < one.grams <= most and one.grams % step == 0 for one in found)


def test_a_dough_that_no_bowl_holds_is_told():
    plan = shipped("wholemeal-six")
    small = replace(plan, kitchen=replace(plan.kitchen, bowl_capacity_g=Fraction(1500)))
    assert [str(remark) for remark in weigh_out(small).remarks] == [
        "remark (weighing): The dough for station 1 is 1959.3 g and a bowl holds 1500 g: mix it in 2 bowls, each with the "
        "same share of everything, or bring a larger bowl.",
        "remark (weighing): The dough for station 2 is 1959.3 g and a bowl holds 1500 g: mix it in 2 bowls, each with the "
        "same share of everything, or bring a larger bowl.",
        "remark (weighing): The sponge is 1679.1 g and a bowl holds 1500 g: mix it in 2 bowls, each with the same share of "
        "everything, or bring a larger bowl.",
    ]
