"""Published formulas raise no problem; slipped points, swaps and forgotten salt are told."""

from collections.abc import Iterable
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import Problem, Remark, Spot
from classpack.model.formula import Formula, FormulaLine, Preferment
from classpack.model.larder import Ingredient, Larder
from classpack.planning.dough.sanity import SALT, Objection, dough_objections, slipped_point


def as_problems(objections: Iterable[Objection], spot: Spot) -> tuple[Problem, ...]:
    """The problems among them, each at its own line or else at ``spot``."""
    return tuple(
        Problem(one.spot or spot, one.wrong, one.right)
        for one in objections
        if one.severity == "problem"
    )


def as_remarks(objections: Iterable[Objection]) -> tuple[Remark, ...]:
    """The remarks among them."""
    return tuple(
        Remark("dough", f"{one.wrong}; {one.right}")
        for one in objections
        if one.severity == "remark"
    )


LARDER = Larder(
    (
        *(Ingredient(name, "flour", "dry", frozenset()) for name in ("flour", "rye")),
        Ingredient("water", "water", "tap", frozenset()),
        Ingredient("milk", "milk", "cold", frozenset(), water_percent=F(88)),
        Ingredient("salt", "salt", "dry", frozenset()),
        Ingredient("oil", "fat", "dry", frozenset(), water_percent=F(0)),
        Ingredient("sugar", "sugar", "dry", frozenset(), water_percent=F(0)),
        Ingredient("starter", "starter", "cold", frozenset(), water_percent=F(50)),
        Ingredient("fresh", "yeast", "cold", frozenset(), yeast_form="fresh"),
        Ingredient("dry", "yeast", "dry", frozenset(), yeast_form="active dry"),
        Ingredient("instant", "yeast", "dry", frozenset(), yeast_form="instant"),
    )
)
SPOT = Spot("lessons/day.yaml", 9, 3)


def dough(*parts: Preferment, **percents: object) -> Formula:
    return Formula(
        "x", tuple(FormulaLine(n, F(str(p))) for n, p in {"flour": 100, **percents}.items()), parts
    )


def problems(formula: Formula) -> list[str]:
    return [str(one) for one in as_problems(dough_objections(formula, LARDER), SPOT)]


def remarks(formula: Formula) -> list[str]:
    return [str(one) for one in as_remarks(dough_objections(formula, LARDER))]


@pytest.mark.parametrize(
    "percents",
    [
        {"water": 58, "salt": "1.75", "sugar": 2, "fresh": "1.5", "oil": 3},  # baking-school hand-out, pizza
        {"water": 67, "salt": 2, "fresh": 1},  # baguette worksheet
        {"water": 70, "instant": "1.5", "salt": 2},  # Baker's Percentage Tutorial, part 3, 2008
        {"water": 65, "sugar": 2, "salt": 2, "instant": 1},  # mynebraskakitchen.com
        {"water": 81, "salt": 2, "instant": 1, "oil": 4},  # dawghousebakery.com, ciabatta
        {"water": 70, "salt": 2, "fresh": "0.75"},  # slow-rise baguettes, US mill sheet
        {"water": 67, "salt": 2, "instant": "1.1"},  # bakemag.com no. 10807
        {"water": 76, "salt": 2, "instant": "1.2"},  # ciabatta with biga, US mill sheet
        {"water": "56.3", "salt": "1.25", "sugar": "1.25", "oil": "1.25", "fresh": "0.625"},  # US Army, 1916
        {"water": "51.7", "salt": "1.9", "fresh": "0.7"},  # field bread, 1916
        {"water": 67, "salt": "1.95", "instant": "0.4", "oil": 2, "sugar": 2},  # pizza forum 19129
        {"water": 78, "salt": "2.1", "instant": "0.2", "starter": 36},  # Forkish (2012), as an ingredient
        {"water": 60, "salt": 2, "starter": 10},  # The Sourdough Framework, wheat sourdough
        {"water": 63, "salt": "1.8", "instant": "0.9", "oil": 4},  # a class's base dough
    ],
)  # fmt: skip
def test_published_breads_are_left_alone(percents):
    assert dough_objections(dough(**percents), LARDER) == ()


def test_odd_but_published_doughs_get_a_remark_and_no_problem():
    # USDA school yeast rolls (1988), 3.9 % active dry; AFRS bagel (2003), 41 % water by derived weights
    assert problems(dough(water=57, salt=2, dry="3.9", sugar=10, oil=8)) == []
    assert remarks(dough(water=57, salt=2, dry="3.9", sugar=10, oil=8)) == [
        "remark (dough): 3.9 % active dry yeast is more than usual: so much raises the dough before a class can shape it "
        "and tastes of yeast; did you mean 0.39 %? 0.12 to 2.8 % is usual"
    ]
    assert len(remarks(dough(water=41, salt=2, instant=1))) == 1
    assert problems(dough(water=41, salt=2, instant=1)) == []


def test_twenty_percent_yeast_asks_for_the_point():
    assert problems(dough(water=65, salt=2, instant=20)) == [
        "lessons/day.yaml:9:3: 20 % instant yeast is far more than usual: so much raises the dough before a class can "
        "shape it and tastes of yeast; did you mean 0.2 % or 2 %? 0.1 to 2.2 % is usual"
    ]
    for form in ("fresh", "dry"):
        assert "did you mean 0.2 % or 2 %?" in problems(dough(water=65, salt=2, **{form: 20}))[0]


@pytest.mark.parametrize(
    ("name", "value", "asks"),
    [
        ("salt", "18", "did you mean 1.8 %?"),
        ("salt", "0.18", "did you mean 1.8 %?"),
        ("instant", "9", "did you mean 0.9 %?"),
        ("fresh", "15", "did you mean 1.5 %?"),
        ("water", "630", "did you mean 63 %?"),
        ("water", "6.3", "did you mean 63 %?"),
        ("oil", "400", "did you mean 4 %?"),
        ("sugar", "80", "did you mean 0.8 % or 8 %?"),
    ],
)
def test_a_slipped_point_is_a_problem(name, value, asks):
    percents = {"water": 63, "salt": "1.8", "instant": "0.9", name: value}
    if name == "fresh":
        del percents["instant"]
    found = problems(dough(**percents))
    assert len(found) == 1
    assert asks in found[0]


def test_ten_times_too_little_flour_is_told_once():
    # 100 g flour written for 1000 g: 630 g water, 18 g salt, 9 g yeast
    assert problems(dough(water=630, salt=18, instant=9)) == [
        "lessons/day.yaml:9:3: everything is ten times off the usual: water 630 %, salt 18 %, yeast 9 %; "
        "is the flour ten times too little?"
    ]
    assert "too much?" in problems(dough(water="6.3", salt="0.18", instant="0.09"))[0]


def test_salt_and_yeast_swapped():
    assert problems(dough(water=63, salt="0.9", instant="1.8")) == [
        "lessons/day.yaml:9:3: there is more yeast (1.8 %) than salt (0.9 %); "
        "are they swapped? Salt 1.8 % and yeast 0.9 % would be usual"
    ]
    assert (
        problems(dough(water=63, salt="0.9", fresh="1.8")) == []
    )  # fresh yeast often outweighs salt
    assert (
        problems(dough(water=50, salt="0.9", instant="1.8", sugar=12)) == []
    )  # so does dried in sweet doughs


def test_a_dough_without_salt_or_yeast_gets_a_remark():
    assert [one.split(":")[1].strip() for one in remarks(dough(water=63))] == [
        "there is no salt",
        "nothing in the formula raises the dough; add its yeast",
    ]
    assert problems(dough(water=63)) == []


def test_a_poolish_with_a_hundred_times_its_yeast():
    # bakemag.com no. 10807 prints 20 % yeast in its poolish; the weights say 0.2 %
    lines = (
        FormulaLine("flour", F(33)),
        FormulaLine("water", F(33)),
        FormulaLine("instant", F("6.6")),
    )
    poolish = Preferment("poolish", "poolish", lines, (F(720), F(960)), F(21))
    (found,) = problems(dough(poolish, water=67, salt=2, instant="1.1"))
    assert "20 % instant yeast in the poolish is far more than usual" in found
    assert "did you mean 0.2 % or 2 %?" in found


def test_water_in_milk_counts_and_sweet_doughs_may_have_less_salt():
    # Wihlfahrt: sweet doughs take a third of the salt
    assert (
        dough_objections(dough(milk=62, salt="0.6", instant="1.5", sugar=10, oil=10), LARDER) == ()
    )


def test_objections_stand_at_their_own_line():
    own = Spot("lessons/day.yaml", 12, 5)
    formula = Formula(
        "x",
        (FormulaLine("flour", F(100)), FormulaLine("water", F(63)), FormulaLine("salt", F(18), own),
         FormulaLine("instant", F(1))),
    )  # fmt: skip
    assert problems(formula)[0].startswith("lessons/day.yaml:12:5: 18 % salt")


@settings(max_examples=60, deadline=None)
@given(st.fractions(min_value=F(1, 1000), max_value=500, max_denominator=1000))
def test_what_may_have_been_meant_is_always_usual(value):
    for meant in slipped_point(value, SALT):
        assert SALT.least <= meant <= SALT.most
        assert meant in (value / 10, value / 100, value * 10)


@settings(max_examples=60, deadline=None)
@given(
    st.fractions(min_value=50, max_value=85, max_denominator=10),
    st.fractions(min_value=F(13, 10), max_value=F(5, 2), max_denominator=20),
    st.fractions(min_value=F(3, 10), max_value=F(13, 10), max_denominator=20),
)
def test_no_usual_bread_is_objected_to_and_a_tenfold_line_always_is(water, salt, yeast):
    assert dough_objections(dough(water=water, salt=salt, instant=yeast), LARDER) == ()
    assert problems(dough(water=water * 10, salt=salt, instant=yeast))
    assert problems(dough(water=water, salt=salt * 10, instant=yeast))
    assert dough_objections(dough(water=water, salt=salt, instant=yeast * 10), LARDER)
