"""The batch for home: round numbers, honest errors, the other yeasts."""

from fractions import Fraction as F

from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.formula import Formula, FormulaLine, Preferment
from classpack.model.larder import YEAST_FORMS, Ingredient, Larder
from classpack.planning.dough.home_batch import HomeBatch, home_batch, home_yeasts

CUP_ML = F("236.5882365")
LARDER = Larder(
    (
        Ingredient("flour", "flour", "dry", frozenset(), g_per_ml=F(137) / CUP_ML),
        Ingredient("rye", "flour", "dry", frozenset()),
        Ingredient("water", "water", "tap", frozenset(), g_per_ml=F(1)),
        Ingredient("salt", "salt", "dry", frozenset(), g_per_ml=F(292) / CUP_ML),
        Ingredient("olive oil", "fat", "dry", frozenset(), g_per_ml=F(216) / CUP_ML),
        *(
            Ingredient(form, "yeast", "dry", frozenset(), yeast_form=form, g_per_ml=F("0.8"))
            for form in YEAST_FORMS
        ),
    )
)


def most_error_percent(batch: HomeBatch) -> F:
    """The greatest error of all lines, above or below."""
    return max(abs(line.error_percent) for column in batch.columns for line in column.lines)


def dough(*parts: Preferment, **percents: object) -> Formula:
    lines = tuple(FormulaLine(n.replace("_", " "), F(str(p))) for n, p in percents.items())
    return Formula("x", lines, parts)


BASE = dough(flour=100, water=63, salt="1.8", instant="0.9", olive_oil=4)


def test_one_loaf_in_friendly_numbers():
    batch = home_batch(BASE, LARDER, 1, F(820), F(2))
    (column,) = batch.columns
    assert {line.ingredient: line.grams for line in column.lines} == {
        "flour": 500, "water": 315, "salt": 9, "instant": F("4.5"), "olive oil": 20,
    }  # fmt: skip
    assert batch.dough_g == F("848.5")
    assert batch.off == ()
    assert most_error_percent(batch) == 0


def test_spoons_and_cups_stand_beside_the_grams():
    (column,) = home_batch(BASE, LARDER, 1, F(820), F(2)).columns
    flour, _, salt, yeast, oil = column.lines
    assert flour.spoon is None
    assert flour.cup is not None
    assert flour.cup.count == F(11, 3)
    assert (flour.ounces.pounds, flour.ounces.ounces) == (1, F("1.75"))
    assert salt.spoon is not None
    assert (salt.spoon.count, salt.spoon.spoon_ml) == (F("1.5"), 5)
    assert yeast.spoon is not None
    assert (yeast.spoon.count, yeast.spoon.spoon_ml) == (1, 5)
    assert oil.spoon is not None
    assert (oil.spoon.count, oil.spoon.spoon_ml) == (F("1.5"), 15)


def test_the_other_yeasts_and_a_sachet_named():
    # common practice, no source: 20 g fresh yeast is 7 g dried, one sachet; 10 g fresh about half a sachet
    instant, fresh, active_dry = home_yeasts(F("6.5"), "instant", LARDER)
    assert (instant.form, instant.grams) == ("instant", F("6.5"))
    assert instant.sachets is not None
    assert instant.sachets.count == 1
    assert (fresh.form, fresh.grams, fresh.sachets, fresh.spoon) == ("fresh", 20, None, None)
    assert (active_dry.form, active_dry.grams) == ("active dry", F(8))
    half = home_yeasts(F(10), "fresh", LARDER)[2]
    assert half.form == "instant"
    assert half.sachets is not None
    assert half.sachets.count == F(1, 2)


def test_a_yeast_the_larder_lacks_has_no_name():
    few = Larder(tuple(one for one in LARDER.ingredients if one.yeast_form != "fresh"))
    assert [one.ingredient for one in home_yeasts(F(4), "instant", few)] == [
        "instant",
        "",
        "active dry",
    ]


def test_a_home_batch_with_a_poolish_keeps_its_columns():
    # proportions of bakemag.com no. 10807: 33 % pre-fermented
    poolish = Preferment(
        "poolish", "poolish", (FormulaLine("flour", F(33)), FormulaLine("water", F(33)), FormulaLine("instant", F("0.07"))),
        (F(720), F(960)), F(21),
    )  # fmt: skip
    batch = home_batch(
        dough(poolish, flour=100, water=67, salt=2, instant="1.1"), LARDER, 2, F(350), F(2)
    )
    assert [column.name for column in batch.columns] == ["poolish", "dough"]
    assert batch.dough_g >= 700
    assert {line.ingredient for line in batch.off} <= {"instant"}
    assert len(batch.yeasts) == 3
    assert batch.yeasts[0].grams == sum(
        line.grams
        for column in batch.columns
        for line in column.lines
        if line.ingredient == "instant"
    )


def test_what_a_kitchen_scale_cannot_keep_is_told():
    batch = home_batch(dough(flour=100, water=65, salt=2, instant="0.37"), LARDER, 4, F(90), F(2))
    assert [line.ingredient for line in batch.off] == ["instant"]
    assert most_error_percent(batch) == max(abs(line.error_percent) for line in batch.off) < 15


@settings(max_examples=40, deadline=None)
@given(
    st.integers(1, 12),
    st.integers(60, 1000),
    st.fractions(min_value=55, max_value=80, max_denominator=4),
    st.fractions(min_value=1, max_value=F(5, 2), max_denominator=10),
    st.fractions(min_value=F(1, 5), max_value=2, max_denominator=20),
)
def test_every_percentage_is_within_one_percent_or_told(pieces, piece_g, water, salt, yeast):
    formula = dough(flour=80, rye=20, water=water, salt=salt, instant=yeast)
    batch = home_batch(formula, LARDER, pieces, F(piece_g), F(2))
    for column in batch.columns:
        for line in column.lines:
            percent = line.grams * 100 / batch.flour_g
            assert percent == formula.percent(line.ingredient) * (1 + line.error_percent / 100)
            assert abs(line.error_percent) <= 1 or line in batch.off
    needed = pieces * piece_g / F("0.98")
    assert needed * F("0.97") <= batch.dough_g <= needed * F("1.09")
