"""What an amount is for: nothing lost in parting it, nothing parted that is one."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.model.class_plan import Weighed
from classpack.model.lesson import PURPOSES
from classpack.planning.amounts.amount_parts import added_up, must_be_told, parts_of


def line(grams: int, purpose: str, count: int | None = None) -> Weighed:
    one = Weighed("oil", Fraction(grams), Fraction(grams), Fraction(1), purpose=purpose)
    return one if count is None else replace(one, count=Fraction(count))


LINES = st.lists(
    st.tuples(
        st.sampled_from(("", "loaf", "rolls")),
        st.builds(line, st.integers(1, 500), st.sampled_from(("dough", *PURPOSES))),
    ),
    max_size=8,
)


@given(LINES)
def test_parts_add_up_to_the_lines_and_each_is_for_something_else(lines):
    parts = parts_of(lines)
    assert sum(part.grams for part in parts) == added_up(one for _, one in lines)[0]
    assert len({part.what for part in parts}) == len(parts)
    for purpose in {one.purpose for _, one in lines}:
        told = [part for part in parts if part.purpose == purpose]
        assert len(told) == len({bread for bread, one in lines if one.purpose == purpose})


def test_a_bread_is_named_only_where_its_purpose_serves_several():
    apart = [
        ("loaf", line(5, "oiling")),
        ("tray", line(14, "oiling")),
        ("tray", line(27, "topping")),
    ]
    assert [(part.what, int(part.grams)) for part in parts_of(apart)] == [
        (("oiling", "loaf"), 5),
        (("oiling", "tray"), 14),
        (("topping", ""), 27),
    ]


def test_what_is_counted_is_counted_part_by_part():
    parts = parts_of([("", line(50, "filling", 1)), ("", line(100, "glaze", 2))])
    assert [part.count for part in parts] == [1, 2]


@pytest.mark.parametrize(
    ("amounts", "told"),
    [
        ([[("", line(450, "dough"))]], False),
        ([[("", line(450, "dough"))], [("", line(300, "dough"))]], False),
        ([[("", line(450, "dough")), ("", line(20, "dusting"))]], True),
        ([[("", line(900, "dough"))], [("", line(20, "dusting"))]], True),
        ([[("loaf", line(5, "oiling")), ("tray", line(14, "oiling"))]], True),
        ([[("loaf", line(5, "oiling"))], [("tray", line(14, "oiling"))]], False),
    ],
)
def test_purposes_are_told_where_a_sum_would_mislead(amounts, told):
    assert must_be_told(parts_of(lines) for lines in amounts) is told
