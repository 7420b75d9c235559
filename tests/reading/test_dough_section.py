"""What a class file says about the dough of the day, and every mistake word for word."""

from fractions import Fraction as F

import pytest

from classpack.errors import Problem
from classpack.model.dough_day import DoughOrders, FlourSwitch, TinSwitch
from classpack.reading.dough_section import read_dough_orders
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import read_nodes

BREADS = ("tin loaf", "soft rolls")


def read(text: str) -> tuple[DoughOrders, list[str]]:
    problems: list[Problem] = []
    top = Section(read_nodes("class: x\n" + text, "day.yaml"), "the class day", problems)
    top.text("class")
    orders = read_dough_orders(top, BREADS)
    top.close()
    return orders, [str(one) for one in problems]


def test_nothing_said_changes_nothing():
    assert read("") == (DoughOrders(), [])


def test_everything_said():
    orders, problems = read(
        """\
yeast factors: {active dry: 0.42, instant: 1/3}
yeast amount: 80 %
flour change: {out: strong white flour, in: strong wholemeal flour, share: 30 %, more water: 2 %}
tins: {tin loaf: long tin}
dough sums: yes
"""
    )
    assert problems == []
    assert orders == DoughOrders(
        (("active dry", F(42, 100)), ("instant", F(1, 3))),
        F(80),
        FlourSwitch("strong white flour", "strong wholemeal flour", F(30), F(2)),
        (TinSwitch("tin loaf", "long tin"),),
        True,
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "yeast factors: {dry: 0.4}",
            "day.yaml:2:17: 'yeast factors' has 'dry'; choose from: active dry, instant",
        ),
        (
            "yeast factors: {instant: 33}",
            "day.yaml:2:26: instant is '33'; write the grams that do the work of 1 g fresh yeast, as in '0.4'; "
            "published factors go from 0.33 to 0.5",
        ),
        (
            "yeast amount: 2 %",
            "day.yaml:2:15: 'yeast amount' is '2 %'; it is a part of the lesson's yeast, from 10 % to 400 %, as in '80 %'",
        ),
        (
            "flour change: {out: rye flour, in: rye flour, share: 30 %}",
            "day.yaml:2:36: rye flour is changed for itself; name another flour",
        ),
        (
            "flour change: {out: rye flour, in: spelt flour, share: 0 %}",
            "day.yaml:2:56: the share is 0 %; it is a part of all the flour: more than 0 %, at most 100 %",
        ),
        (
            "flour change: {out: rye flour, share: 20 %}",
            "day.yaml:2:15: 'flour change' has no 'in'; write the flour that comes in, as in 'in: strong wholemeal flour'",
        ),
        (
            "flour change: {out: rye flour, in: spelt flour, share: 20 %, more water: 70 %}",
            "day.yaml:2:74: 'more water' is '70 %'; it is added to the water's percentage; at most 30 %",
        ),
        (
            "tins: {tin lofa: long tin}",
            "day.yaml:2:8: there is no bread 'tin lofa'; did you mean 'tin loaf'?",
        ),
        (
            "tins: {tin loaf: [a, b]}",
            "day.yaml:2:18: 'tin loaf' has no tin's name; write the name of one of the kitchen's tins, as in 'tin loaf: long tin'",
        ),
    ],
)
def test_each_mistake_is_said_where_it_stands(text, message):
    assert read(text)[1] == [message]
