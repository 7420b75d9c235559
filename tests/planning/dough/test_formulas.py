"""Baker's percentages against published formulas; what does not add up in print is flagged, not repeated."""

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.formula import Formula, FormulaLine
from classpack.model.larder import Ingredient, Larder
from classpack.model.printed_formula import PrintedFormula, PrintedLine, printed
from classpack.planning.dough.formulas import (
    RoundedWeights,
    Weights,
    flour_for_dough_g,
    hydration,
    misprints,
    percents_of,
    rounded_each,
    true_percents,
    weights_for_flour,
)
from classpack.quantities import NotUnderstood


def formula_from_weights(name: str, weights: list[tuple[str, F]], larder: Larder) -> Formula:
    """The formula of a dough written in weights. Raises as :func:`percents_of`."""
    return Formula(name, percents_of(weights, larder))


def dough_for_flour_g(formula: Formula, flour_g: F) -> F:
    """What the dough weighs that ``flour_g`` of flour (preferments included) makes."""
    return flour_g * formula.total_percent / 100


def weights_for_dough(formula: Formula, dough_g: F) -> Weights:
    """Grams of each line for ``dough_g`` of dough, not rounded; they add up to it exactly."""
    return weights_for_flour(formula, flour_for_dough_g(formula, dough_g))


def rounded_weights(weights: Weights, step_g: F) -> RoundedWeights:
    """Each weight on the nearest ``step_g``, halves up, each from its own exact value.

    Rounded from the exact value and never from rounded flour: the order of rounding alone can move a line by a gram.
    """
    return rounded_each(weights, lambda grams: step_g)


KINDS = {
    "flour": "flour white wholewheat semolina rye",
    "water": "water",
    "salt": "salt",
    "yeast": "yeast",
    "starter": "starter",
    "fat": "oil butter shortening",
    "sugar": "sugar honey",
    "milk": "cream",
    "other": "garlic gluten additives",
}
WATER = {"honey": F("18.6"), "starter": F(50), "butter": F(16), "cream": F(60)}


def one(name: str, kind: str) -> Ingredient:
    return Ingredient(name, kind, "dry", frozenset(), water_percent=WATER.get(name))


LARDER = Larder(tuple(one(name, kind) for kind, names in KINDS.items() for name in names.split()))


def dough(**percents: object) -> Formula:
    return Formula("test", tuple(FormulaLine(name, F(str(p))) for name, p in percents.items()))


def shown(weights: tuple[tuple[str, F], ...], places: str) -> dict[str, F]:
    return dict(rounded_weights(weights, F(places)).weights)


# ---------------------------------------------------------------- published formulas


def test_a_hand_out_pizza_dough_from_ounces_to_percentages():
    # "How to Work with a Formula Expressed in Baker's Percent", baking-school hand-out
    ounces = [
        ("flour", F(640)), ("salt", F("11.2")), ("sugar", F("12.8")), ("yeast", F("9.6")),
        ("oil", F("19.2")), ("water", F("371.2")),
    ]  # fmt: skip
    lines = percents_of(ounces, LARDER)
    assert [line.percent for line in lines] == [100, F("1.75"), 2, F("1.5"), 3, 58]
    assert dict(weights_for_flour(Formula("", lines), F(640))) == dict(ounces)
    assert Formula("", lines).total_percent == F("166.25")


def test_seventy_three_baguettes():
    # "Baker's percentage worksheet": 73 pieces of 390 g at 170 %
    formula = dough(flour=100, water=67, salt=2, yeast=1)
    flour = flour_for_dough_g(formula, F(73 * 390))
    assert F("16747.058") <= flour < F("16747.059")
    grams = dict(weights_for_dough(formula, F(28470)))
    assert F("11220.49") <= grams["water"] <= F("11220.53")
    assert abs(grams["salt"] - F("334.941")) < F("0.001")
    assert abs(grams["yeast"] - F("167.470")) < F("0.001")


def test_a_flour_blend_for_1400_g_rounds_each_line_from_its_exact_weight():
    # Baker's Percentage Tutorial, part 3, exercise 1, 2008. It prints 404 g white flour, half of the *rounded* 807 g;
    # from the exact flour it is 403 g.
    formula = dough(white=50, wholewheat=20, semolina=30, water=70, yeast="1.5", salt=2)
    grams = shown(weights_for_dough(formula, F(1400)), "1")
    assert list(grams.values()) == [403, 161, 242, 565, 12, 16]
    assert shown(weights_for_dough(formula, F(1400)), "0.01")["white"] == F("403.46")
    assert shown(weights_for_flour(formula, F(807)), "1")["white"] == 404


@pytest.mark.parametrize(
    ("flour_g", "white", "wholewheat", "starter", "salt"),
    [(500, 400, 100, 50, 10), (2000, 1600, 400, 200, 40)],
)
def test_a_home_formula_scaled_by_its_flour(flour_g, white, wholewheat, starter, salt):
    # The Sourdough Framework, ch. "Wheat sourdough", table of baker's math; starter is an ingredient, outside the 100 %
    formula = dough(white=80, wholewheat=20, water=60, starter=10, salt=2)
    assert dict(weights_for_flour(formula, F(flour_g))) == {
        "white": white, "wholewheat": wholewheat, "water": flour_g * F("0.6"), "starter": starter, "salt": salt,
    }  # fmt: skip


HONEY_BREAD = [
    ("wholewheat", "70", "36.5"), ("yeast", "2.5", "1.3"), ("gluten", "8", "4.2"), ("additives", "1", "0.5"),
    ("water", "52", "27.1"), ("rye", "30", "15.7"), ("yeast", "1", "0.5"), ("shortening", "3", "1.6"),
    ("salt", "2", "1.0"), ("honey", "7.7", "4.0"), ("additives", "0.75", "0.4"), ("water", "13.7", "7.1"),
]  # fmt: skip


def test_true_percentages_of_a_trade_formula():
    # "Honey Whole Wheat Pan Bread", bakemag.com no. 10632 (the two pairs of additives added together; the second
    # wholemeal stands as 'rye' to keep the lines apart)
    formula = Formula("", tuple(FormulaLine(name, F(p)) for name, p, _ in HONEY_BREAD))
    assert formula.total_percent == F("191.65")
    for (name, true), (_, _, published) in zip(true_percents(formula), HONEY_BREAD, strict=True):
        assert abs(true - F(published)) <= F("0.1"), name
    assert sum(true for _, true in true_percents(formula)) == 100
    assert formula_from_weights("", true_percents(formula), LARDER).lines == formula.lines


def test_the_water_in_the_honey_counts():
    # same formula: "water calculated at 67 % total" = 52 + 13.7 + 18.6 % of 7.7 (no. 10923 gives the moisture)
    formula = Formula("", tuple(FormulaLine(name, F(p)) for name, p, _ in HONEY_BREAD))
    water = hydration(formula, LARDER)
    assert water.stated_percent == F("65.7")
    assert water.true_percent == F("67.1322")
    assert water.unknown == ("shortening",)


def test_what_hydration_is_it_really():
    # thefreshloaf.com 69688: flour 1000, water 750, levain 200 at 100 %: stated 75 %, truly 77.3 %
    weights = [("flour", F(1000)), ("water", F(750)), ("starter", F(200))]
    water = hydration(formula_from_weights("", weights, LARDER), LARDER)
    assert water.stated_percent == 75
    assert water.true_percent == F(850, 11)


def test_a_dozen_rolls_of_three_ounces():
    # "Using Baker's Math", mynebraskakitchen.com
    formula = dough(flour=70, semolina=30, water=65, sugar=2, salt=2, yeast=1)
    published = ["14.8", "6.4", "13.8", "0.42", "0.42", "0.21"]
    for (name, ounces), text in zip(weights_for_dough(formula, F(36)), published, strict=True):
        assert abs(ounces - F(text)) <= F("0.05"), name


def test_a_published_total_that_is_the_target_and_not_the_sum():
    # "Roasted garlic ciabatta", dawghousebakery.com: 2 x 600 g + 1 %; the rounded grams add up to 1211
    formula = dough(flour=100, water=81, cream="0.8", salt=2, yeast=1, oil=4, garlic=6)
    rounded = rounded_weights(weights_for_dough(formula, F(1212)), F(1))
    assert [int(grams) for _, grams in rounded.weights] == [622, 504, 5, 12, 6, 25, 37]
    assert (rounded.dough_g, rounded.off_g, rounded.most_off_g) == (1211, -1, F("3.5"))


# ---------------------------------------------------------------- misprints


def paper(text: str, unit: str = "kg") -> PrintedFormula:
    """Lines of 'name weight percent', a '-' where nothing is printed; flour lines start with 'flour'."""
    rows = [row.split() for row in text.strip().splitlines()]
    number = {"-": None}
    lines = tuple(
        PrintedLine(
            name,
            None if w in number else printed(w),
            None if p in number else printed(p),
            name.startswith("flour"),
        )
        for name, w, p in rows
        if name != "total"
    )
    totals = [(w, p) for name, w, p in rows if name == "total"] or [("-", "-")]
    weight, percent = (None if one in number else printed(one) for one in totals[0])
    return PrintedFormula(lines, weight, percent, unit)


def test_ten_times_the_yeast_in_a_professional_sheet_is_flagged():
    # "Slow rise baguettes", US mill professional sheet: fresh yeast printed 0.75 kg and 0.75 %
    (found,) = misprints(
        paper("flour 10 100\nwater 7 70\nsalt 0.2 2\nyeast 0.75 0.75\ntotal 17.275 172.75")
    )
    assert found.name == "yeast"
    assert found.wrong == (
        "yeast is printed 0.75 kg and 0.75 %, but 0.75 % of 10 kg flour is 0.075 kg"
    )
    assert found.right == "did you mean 0.075 kg? That gives the printed total"


def test_a_hundred_times_the_yeast_in_a_poolish_column_is_flagged():
    # bakemag.com no. 10807: the poolish column prints yeast 20 % and 220 % in all; the weights add up
    found = misprints(paper("flour 3.300 100\nwater 3.300 100\nyeast 0.007 20\ntotal 6.607 220"))
    assert [one.name for one in found] == ["yeast", "total"]
    assert found[0].wrong == (
        "yeast is printed 0.007 kg and 20 %, but 20 % of 3.3 kg flour is 0.66 kg"
    )
    assert found[0].right == "did you mean 0.2 %?"
    assert found[1].wrong == "the total is printed 220 %"
    assert found[1].right == "percentages with that mended add up to 200.2 %"


@pytest.mark.parametrize(
    "text",
    [
        # bakemag.com no. 10807, overall and final dough
        "flour 10.000 100\nwater 6.700 67\nsalt 0.200 2\nyeast 0.110 1.1\ntotal 17.010 170.1",
        "flour 6.700 -\nwater 3.400 -\nsalt 0.200 -\nyeast 0.103 -\npoolish 6.607 -\ntotal 17.010 -",
        # "Ciabatta with biga", US mill professional sheet: overall, biga
        "flour 10 100\nwater 7.6 76\nsalt 0.2 2\nyeast 0.12 1.2\ntotal 17.92 179.2",
        "flour 3 100\nwater 1.8 60\nyeast 0.003 0.1\ntotal 4.803 160.1",
        # Hamelman, Bread (2004), Vermont Sourdough with Increased Whole Grain, kg
        "flour 8.5 85\nflour-rye 1.5 15\nwater 6.5 65\nsalt 0.19 1.9\ntotal 16.69 166.9",
        # "Roasted garlic ciabatta": 1 g short, within the rounding of seven lines
        "flour 622 100\nwater 504 81\ncream 5 0.8\nsalt 12 2\nyeast 6 1\noil 25 4\ngarlic 37 6\ntotal 1212 194.8",
        # Baker's Percentage Tutorial, part 3, 2008, with its 404 g
        "flour-a 404 50\nflour-b 161 20\nflour-c 242 30\nwater 565 70\nyeast 12 1.5\nsalt 16 2\ntotal 1400 173.5",
    ],
)
def test_formulas_that_add_up_within_their_rounding_are_left_alone(text):
    assert misprints(paper(text)) == ()


def test_a_total_that_is_no_sum_and_flours_that_are_not_100_are_flagged():
    found = misprints(paper("flour 900 90\nwater 650 65\ntotal 1560 155", "g"))
    assert [(one.name, one.wrong) for one in found] == [
        ("water", "water is printed 650 g and 65 %, but 65 % of 900 g flour is 585 g"),
        ("total", "the total is printed 1560 g"),
        ("total", "the total is printed 155 %"),
        ("flour", "the flours add up to 90"),
    ]


# ---------------------------------------------------------------- problems


def test_a_dough_without_flour_has_no_percentages():
    with pytest.raises(NotUnderstood, match="no line of the formula is flour"):
        percents_of([("water", F(100))], LARDER)


# ---------------------------------------------------------------- laws

some_percent = st.fractions(min_value=F(1, 100), max_value=90, max_denominator=1000)
some_grams = st.fractions(min_value=1, max_value=50_000, max_denominator=1000)


@st.composite
def formulas(draw):
    white = draw(st.integers(1, 100))
    rest = draw(
        st.dictionaries(st.sampled_from(["water", "salt", "yeast", "oil", "sugar"]), some_percent)
    )
    return dough(white=white, wholewheat=100 - white, **rest)


@settings(max_examples=60, deadline=None)
@given(formulas(), some_grams)
def test_dough_to_flour_to_dough_is_exact(formula, grams):
    assert dough_for_flour_g(formula, flour_for_dough_g(formula, grams)) == grams
    assert sum(g for _, g in weights_for_dough(formula, grams)) == grams
    assert percents_of(weights_for_dough(formula, grams), LARDER) == formula.lines


@settings(max_examples=60, deadline=None)
@given(formulas(), some_grams, st.sampled_from([F(1), F(1, 10), F(5), F(1, 100)]))
def test_rounding_moves_the_dough_by_at_most_half_a_step_a_line(formula, grams, step):
    rounded = rounded_weights(weights_for_dough(formula, grams), step)
    assert rounded.dough_g - grams == rounded.off_g
    assert abs(rounded.off_g) <= rounded.most_off_g == len(formula.lines) * step / 2


@settings(max_examples=40, deadline=None)
@given(formulas(), st.integers(1, 40), some_grams)
def test_twice_the_people_need_twice_of_everything(formula, people, piece_g):
    single = weights_for_dough(formula, people * piece_g)
    double = weights_for_dough(formula, 2 * people * piece_g)
    assert double == tuple((name, 2 * grams) for name, grams in single)


@settings(max_examples=40, deadline=None)
@given(formulas())
def test_true_percentages_go_there_and_back(formula):
    assert formula_from_weights("", true_percents(formula), LARDER).lines == formula.lines
