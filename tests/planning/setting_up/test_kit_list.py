"""Kit: counted from who makes what; tins and trays from when they are in use; what is short is told with ways out."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.model.kitchen import Tin, Tray
from classpack.planning.setting_up.kit_list import kit_list, most_at_once, vessel_for
from tests.planning.made_up_classes import CLASSES, shipped


def lines(plan):
    return {line.name: line for line in kit_list(plan).lines}


@pytest.mark.parametrize("name", CLASSES)
def test_the_kitchens_of_the_shipped_classes_have_everything(name):
    found = kit_list(shipped(name))
    assert not found.remarks
    for line in found.lines:
        assert line.at_once <= line.total == sum(count for _, count in line.places)


def test_a_class_counted_by_hand():
    """Twelve people and the tutor's demonstration; three tin loaves and the tutor's; three tray breads."""
    found = lines(shipped("saturday-twelve"))
    assert found["mixing bowl"].total == 13
    assert found["dough thermometer"].total == 4  # one a station
    assert found["small knife"].places == (("B", 3), ("D", 1))  # one each, one for the pizzas
    assert found["long tin"].places == (("A", 3), ("tutor", 1))
    assert found["deep tray"].at_once == 3
    assert found["water mister"].places == (("tutor", 1),)
    assert found["scoring blade"].blade
    assert not found["pastry brush"].blade


def test_a_shortfall_names_the_ways_out():
    plan = shipped("saturday-twelve")
    kitchen = replace(
        plan.kitchen,
        counts=(
            ("mixing bowl", 9),
            *(one for one in plan.kitchen.counts if one[0] != "mixing bowl"),
        ),
        tins=(Tin("long tin", Fraction(2500), 2),),
    )
    said = [str(remark) for remark in kit_list(replace(plan, kitchen=kitchen)).remarks]
    assert said == [
        "remark (kit): 13 × mixing bowl are in use at once and the kitchen has 9: bring 4 more, or let neighbours share one, "
        "washed in between.",
        "remark (kit): 4 × long tin are in use at once and the kitchen has 2: bring 2 more, use others of the same size, let 2 "
        "people make something else, or let this bread be made in two goes.",
    ]


def test_what_the_kitchen_does_not_list_is_told_once():
    plan = shipped("one-to-one")
    kitchen = replace(plan.kitchen, counts=tuple(c for c in plan.kitchen.counts if "b" not in c[0]))
    (remark,) = kit_list(replace(plan, kitchen=kitchen)).remarks
    assert remark.text.startswith(
        "The kitchen file does not say how many there are of: 1 × mixing bowl"
    )
    assert remark.text.endswith("Bring them, or add them below 'tools'.")


def test_trays_washed_between_two_bakes_count_once():
    assert most_at_once([(0, 60, 3), (60, 120, 3)]) == 3
    assert most_at_once([(0, 61, 3), (60, 120, 3)]) == 6
    assert most_at_once([]) == 0


@given(
    st.lists(
        st.tuples(st.integers(0, 50), st.integers(1, 30), st.integers(1, 5)),
        min_size=1,
        max_size=12,
    )
)
def test_the_most_at_once_is_that_of_the_busiest_minute(uses):
    spans = [(start, start + minutes, count) for start, minutes, count in uses]
    by_minute = [
        sum(count for start, end, count in spans if start <= minute < end) for minute in range(81)
    ]
    assert most_at_once(spans) == max(by_minute)


def test_a_bread_takes_the_tin_or_tray_that_fits():
    plan = shipped("saturday-twelve")
    loaf, flat, pizza = (plan.lesson.variation(n) for n in ("tin loaf", "tray bread", "pizza"))
    kitchen = replace(
        plan.kitchen,
        tins=(Tin("old tin", Fraction(2400), 3), Tin("new tin", Fraction(2510), 3)),
        trays=(
            Tray("small", Fraction(20), Fraction(30), 20),
            Tray("big", Fraction(40), Fraction(60), 4),
        ),
    )
    assert vessel_for(loaf, kitchen) == "new tin"
    assert vessel_for(flat, kitchen) == "tray of 25 × 35 cm"  # 875 cm²; neither tray is within 5 %
    assert vessel_for(pizza, kitchen) == "big"
    assert vessel_for(loaf, replace(kitchen, tins=())) == "tin of 2500 ml"
