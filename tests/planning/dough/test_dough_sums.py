"""The working shown: published sums come out line by line, and the sentences say the numbers they hold."""

from fractions import Fraction as F

from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.formula import Formula, FormulaLine, Preferment
from classpack.model.larder import YEAST_FORMS, Ingredient, Larder
from classpack.planning.dough.dough_sums import DoughSums, PieceSum, WaterSum, dough_sums

LARDER = Larder(
    (
        Ingredient("flour", "flour", "dry", frozenset()),
        Ingredient("water", "water", "tap", frozenset()),
        Ingredient("milk", "milk", "cold", frozenset(), water_percent=F(88)),
        Ingredient("honey", "sugar", "dry", frozenset()),
        Ingredient("salt", "salt", "dry", frozenset()),
        Ingredient("starter", "starter", "cold", frozenset(), water_percent=F(50)),
        *(Ingredient(f, "yeast", "dry", frozenset(), yeast_form=f) for f in YEAST_FORMS),
    )
)


def dough(*parts: Preferment, **percents: object) -> Formula:
    return Formula("dough", tuple(FormulaLine(n, F(str(p))) for n, p in percents.items()), parts)


def said(sums: DoughSums, about: str) -> list[str]:
    return [line.says for line in sums.lines if line.about == about]


def test_the_baguette_worksheet_on_the_board():
    # "Baker's percentage worksheet": 73 baguettes of 390 g; flour 28 470 / 1.70 = 16 747.06
    formula = dough(flour=100, water=67, salt=2, fresh=1)
    sums = dough_sums(formula, LARDER, [PieceSum("baguettes", 73, F(390), F(15))], F(0))
    assert said(sums, "pieces") == ["73 baguettes of 390 g: 73 × 390 = 28470 g"]
    assert said(sums, "flour") == [
        "all percentages: 100 + 67 + 2 + 1 = 170 %",
        "flour is 100 of them: 28470 ÷ 1.7 = 16747.1 g",
    ]
    assert said(sums, "weights") == [
        "flour: 16747.1 × 100 ÷ 100 = 16747.06 g, weighed 16747 g",
        "water: 16747.1 × 67 ÷ 100 = 11220.53 g, weighed 11221 g",
        "salt: 16747.1 × 2 ÷ 100 = 334.94 g, weighed 335 g",
        "fresh: 16747.1 × 1 ÷ 100 = 167.47 g, weighed 167 g",
        "as weighed the dough is 28470 g, 0 g more than wanted (half a step of the scale for each line is 2 g)",
    ]
    assert said(sums, "baked") == ["baguettes: 390 × 0.85 = 331.5 g baked, for a bake loss of 15 %"]
    assert said(sums, "yeast") == [
        "167 g fresh yeast as active dry: × 0.4 = 66.8 g (published factors give 58.5 to 83.5 g), "
        "and 100.2 g more water to weigh the same",
        "167 g fresh yeast as instant: × 0.33 = 55.1 g (published factors give 55.1 to 66.8 g), "
        "and 111.9 g more water to weigh the same",
    ]
    assert [(row.ingredient, row.percent, row.grams) for row in sums.rows[:2]] == [
        ("flour", 100, 16747), ("water", 67, 11221),
    ]  # fmt: skip


def test_several_breads_and_dough_left_in_the_bowl():
    formula = dough(flour=100, water=63, salt=2)
    pieces = [PieceSum("tin loaves", 2, F(820), F(12)), PieceSum("buns", 8, F(70), F(11))]
    sums = dough_sums(formula, LARDER, pieces, F(2))
    assert said(sums, "pieces") == [
        "2 tin loaves of 820 g: 2 × 820 = 1640 g",
        "8 buns of 70 g: 8 × 70 = 560 g",
        "together 1640 + 560 = 2200 g",
        "2 % stays in the bowl and on hands: 2200 ÷ 0.98 = 2244.9 g to mix",
    ]


def test_the_water_sum():
    # 3 and 4 factors as in Hamelman, Bread (2004), and SFBI course notes, 2009; the numbers are our own
    formula = dough(flour=100, water=63)
    three = WaterSum(F(25), F(20), F("20.5"), F(3))
    sums = dough_sums(formula, LARDER, [PieceSum("loaves", 1, F(500), F(12))], F(0), water=three)
    assert said(sums, "water") == [
        "water for a dough of 25 °C: 3 × 25 − 20 flour − 20.5 room − 3 friction = 31.5 °C"
    ]
    four = WaterSum(F(25), F(20), F(22), F(3), F(21))
    sums = dough_sums(formula, LARDER, [PieceSum("loaves", 1, F(500), F(12))], F(0), water=four)
    assert said(sums, "water") == [
        "water for a dough of 25 °C: 4 × 25 − 20 flour − 22 room − 21 preferment − 3 friction = 34 °C"
    ]


def test_a_levain_in_all_three_conventions():
    # Forkish, Flour Water Salt Yeast (2012): 20 % by the book, 36 % by weight, 45 % of the final mix
    levain = Preferment(
        "levain", "levain", (FormulaLine("flour", F(20)), FormulaLine("water", F(16))), (F(1), F(2)), F(21)
    )  # fmt: skip
    formula = dough(levain, flour=100, water=78, salt="2.1", instant="0.2")
    sums = dough_sums(formula, LARDER, [PieceSum("loaves", 1, F(1803), F(15))], F(0))
    assert said(sums, "preferment") == [
        "levain: flour 200 + water 160 = 360 g; it holds 20 % of all the flour (by weight it is 36 % of all the flour, "
        "45 % of the final dough's), hydration 80 %",
        "final dough: flour 800 + water 620 + salt 21 + instant 2 + levain 360 = 1803 g, the total formula again",
    ]


def test_hydration_with_water_inside():
    pieces = [PieceSum("buns", 8, F(70), F(11))]
    assert said(
        dough_sums(dough(flour=100, water=40, milk=25, honey=5), LARDER, pieces, F(0)), "hydration"
    ) == [
        "hydration: 40 water + 22 inside milk, eggs, fat or honey = 62 % (the water inside honey is not known)"
    ]
    # thefreshloaf.com 69688: 1000 / 750 / 200 g is 77.27 %
    assert said(
        dough_sums(dough(flour=100, water=75, starter=20), LARDER, pieces, F(0)), "hydration"
    ) == ["hydration: 75 water + 10 in the starter, over 100 + 10 flour = 77.27 %"]


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 40), st.integers(50, 1000), st.sampled_from([F(1), F(1, 10), F(5)]))
def test_the_table_adds_up_to_the_dough_it_names(count, grams, step):
    formula = dough(flour=100, water=63, salt="1.8", instant="0.9")
    sums = dough_sums(
        formula, LARDER, [PieceSum("loaves", count, F(grams), F(12))], F(2), lambda grams: step
    )
    assert sum(row.grams for row in sums.rows) == sums.dough_g
    assert sum(row.true_percent for row in sums.rows) == 100
    assert abs(sums.dough_g - count * grams / F("0.98")) <= 4 * step / 2
