"""Preferments against published three-column formulas; all columns add up to the total."""

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import Spot
from classpack.model.formula import (
    STATED_AS,
    Formula,
    FormulaLine,
    Preferment,
    Share,
    prefermented_percent,
    prefermented_percents,
)
from classpack.model.larder import Ingredient, Larder
from classpack.planning.dough.formulas import hydration
from classpack.planning.dough.preferments import (
    Column,
    build_g,
    final_lines,
    levain_of_g,
    own_lines,
    preferment,
    shares,
    split_g,
    split_problems,
    total_from_final,
)
from classpack.quantities import LB_G, US_CUP_ML

KINDS = {
    "flour": "flour rye wholewheat",
    "water": "water",
    "salt": "salt",
    "yeast": "yeast",
    "other": "oats",
}
LARDER = Larder(
    tuple(
        Ingredient(name, kind, "dry", frozenset())
        for kind, names in KINDS.items()
        for name in names.split()
    )
)
OVERNIGHT = (F(12 * 60), F(16 * 60))


def part(kind: str, **own: str) -> Preferment:
    """A preferment; ``share`` is its pre-fermented flour, the rest percent of its own flour."""
    share = F(own.pop("share"))
    lines = tuple(FormulaLine(name, F(p) * share / 100) for name, p in own.items())
    return Preferment(kind, kind, lines, OVERNIGHT, F(21))


def dough(*parts: Preferment, **percents: str) -> Formula:
    return Formula("x", tuple(FormulaLine(n, F(p)) for n, p in percents.items()), parts)


def grams(column: Column) -> dict[str, F]:
    return dict(column.weights)


def test_a_poolish_listed_as_an_ingredient_of_the_final_dough():
    # Baker's Percentage Tutorial, part 4, 2008: 2340 g; final-dough percentages 52, 1, 3 and 104 % poolish
    poolish = preferment(
        "poolish",
        "poolish",
        (F(104), "weight on final flour"),
        [("flour", F(100))],
        ("water", F(100)),
        [("yeast", F("0.06"))],
        ripe_min=OVERNIGHT,
        ripe_c=F(21),
    )
    final = [("flour", F(100)), ("water", F(52)), ("yeast", F(1)), ("salt", F(3))]
    total = total_from_final("baguette", final, [poolish], LARDER)
    split = split_g(total, F(1368))
    published = {"flour": (468, 900), "water": (468, 468), "yeast": ("0.3", 9), "salt": (0, 27)}
    for name, (before, after) in published.items():
        assert abs(grams(split.preferments[0]).get(name, F(0)) - F(before)) <= F("0.5")
        assert abs(grams(split.final).get(name, F(0)) - F(after)) <= F("0.5")
    assert abs(split.total.total_g - 2340) <= 1
    assert abs(shares(total, poolish, LARDER).prefermented_flour - F("34.2")) <= F("0.05")
    for name, overall in (("water", "68.42"), ("yeast", "0.68"), ("salt", "1.97")):
        assert abs(total.percent(name) - F(overall)) <= F("0.02")
    assert abs(total.total_percent - F("171.07")) <= F("0.05")


def test_french_bread_with_poolish_splits_as_printed():
    # bakemag.com no. 10807 (its misprinted percentages are flagged in test_formulas)
    total = dough(
        part("poolish", share="33", flour="100", water="100", yeast=str(F(7, 33))),
        flour="100", water="67", salt="2", yeast="1.1",
    )  # fmt: skip
    split = split_g(total, F(10_000))
    assert grams(split.preferments[0]) == {"flour": 3300, "water": 3300, "yeast": 7}
    assert grams(split.final) == {
        "flour": 6700,
        "water": 3400,
        "salt": 200,
        "yeast": 103,
        "poolish": 6607,
    }
    assert split.final.total_g == split.total.total_g == 17_010


def test_ciabatta_with_biga_splits_as_printed():
    # US mill professional sheet "ciabatta", 10 kg flour, pre-fermented flour 30 %
    total = dough(
        part("biga", share="30", flour="100", water="60", yeast="0.1"),
        flour="100", water="76", salt="2", yeast="1.2",
    )  # fmt: skip
    split = split_g(total, F(10_000))
    assert grams(split.preferments[0]) == {"flour": 3000, "water": 1800, "yeast": 3}
    assert grams(split.final) == {
        "flour": 7000,
        "water": 5800,
        "salt": 200,
        "yeast": 117,
        "biga": 4803,
    }
    assert split.total.total_g == split.final.total_g == 17_920
    assert sum(line.percent for line in own_lines(total.preferments[0], LARDER)) == F("160.1")


def test_the_sponge_of_1916():
    # Manual for Army Bakers (1916), pp. 49-50: 100 lb flour, 6 gal 3 qt water, of these 50 lb and 4 gal in the sponge
    water_lb = (US_CUP_ML * 16) * F("0.99997") / LB_G  # about 8.345 lb a gallon
    assert abs(water_lb - F("8.345")) < F("0.001")
    sponge = Preferment(
        "sponge", "sponge", (FormulaLine("flour", F(50)), FormulaLine("water", 4 * water_lb), FormulaLine("yeast", F(10, 16))),
        (F(300), F(300)), F(25),
    )  # fmt: skip
    total = Formula(
        "garrison",
        (
            FormulaLine("flour", F(100)), FormulaLine("water", F("6.75") * water_lb),
            FormulaLine("salt", F("1.25")), FormulaLine("yeast", F(10, 16)),
        ),
        (sponge,),
    )  # fmt: skip
    assert {x.ingredient: x.percent for x in final_lines(total)}["water"] == F("2.75") * water_lb
    assert shares(total, sponge, LARDER).prefermented_flour == 50
    assert abs(F(400) / F("6.75") - F("59.3")) < F("0.05")
    assert abs(hydration(total, LARDER).stated_percent - F("56.3")) < F("0.05")
    assert abs(total.total_percent + F("2.5") - F("160.7")) < F(
        "0.05"
    )  # with sugar and fat, 1 1/4 lb each


def test_a_levain_with_culture_kept_back():
    # Hamelman, Bread (2004), Vermont Sourdough with Increased Whole Grain, kg column
    levain = Preferment(
        "levain", "levain", (FormulaLine("flour", F(20)), FormulaLine("water", F(25))), OVERNIGHT, F(21), F(20)
    )  # fmt: skip
    total = dough(levain, flour="85", rye="15", water="65", salt="1.9")
    split = split_g(total, F(10_000))
    assert grams(split.final) == {
        "flour": 6500,
        "rye": 1500,
        "water": 4000,
        "salt": 190,
        "levain": 4500,
    }
    assert split.total.total_g == split.final.total_g == 16_690
    build, kept_back = build_g(levain, F(10_000), LARDER)
    assert grams(build) == {"flour": 2000, "water": 2500, "mature culture": 400}
    assert (build.total_g, kept_back, build.total_g - kept_back) == (4900, 400, 4500)
    assert shares(total, levain, LARDER).hydration == 125


def test_a_levain_stated_three_ways():
    # Forkish, Flour Water Salt Yeast (2012), overnight hybrid: 360 g, 20 % by the book, 36 % of the flour, 45 % of the final mix
    for stated, stated_as in zip(("20", "36", "45"), STATED_AS, strict=True):
        levain = preferment(
            "levain", "levain", (F(stated), stated_as), [("flour", F(80)), ("wholewheat", F(20))], ("water", F(80)),
            ripe_min=OVERNIGHT, ripe_c=F(21),
        )  # fmt: skip
        total = dough(levain, flour="90", wholewheat="10", water="78", salt="2.1", yeast="0.2")
        split = split_g(total, F(1000))
        assert grams(split.preferments[0]) == {"flour": 160, "wholewheat": 40, "water": 160}
        assert grams(split.final) == {
            "flour": 740, "wholewheat": 60, "water": 620, "salt": 21, "yeast": 2, "levain": 360,
        }  # fmt: skip
        assert split.total.total_g == split.final.total_g == 1803
        found = shares(total, levain, LARDER)
        assert (
            found.prefermented_flour,
            found.weight_on_all_flour,
            found.weight_on_final_flour,
        ) == (20, 36, 45)
        assert levain.stated_as == stated_as
    assert levain_of_g(F(1000) - 100, F(80)) == (
        500,
        400,
    )  # the build: 100 culture + 400 + 100 + 400 water


def test_levain_beside_the_flour_is_what_hydration_really():
    # thefreshloaf.com 69688: 1000 flour, 750 water, 200 of 100 % levain: 77.3 %
    levain = preferment(
        "levain", "levain", (F(20), "weight on final flour"), [("flour", F(100))], ("water", F(100)),
        ripe_min=OVERNIGHT, ripe_c=F(21),
    )  # fmt: skip
    total = total_from_final("x", [("flour", F(100)), ("water", F(75))], [levain], LARDER)
    assert hydration(total, LARDER).true_percent == F(850, 11)
    assert split_g(total, F(1100)).preferments[0].total_g == 200


def test_a_preferment_and_a_soaker_at_once():
    # pizza forum 19129: 196.25 g flour, 131.49 water; 10 % of all flour pre-fermented with as much water; soaker of
    # 85.05 g each is half of the dough; 101.39 flour and 36.63 water are left
    flour = F("196.25")
    total = dough(
        Preferment("starter", "poolish", (FormulaLine("flour", F(5)), FormulaLine("water", F(5))), OVERNIGHT, F(21)),
        Preferment(
            "soaker", "soaker",
            (FormulaLine("flour", F("85.05") * 100 / flour), FormulaLine("water", F("85.05") * 100 / flour)), OVERNIGHT, F(21),
        ),
        flour="100", water="67",
    )  # fmt: skip
    split = split_g(total, flour)
    assert abs(grams(split.preferments[0])["flour"] - F("9.81")) <= F("0.01")
    assert abs(grams(split.final)["flour"] - F("101.39")) <= F("0.01")
    assert abs(grams(split.final)["water"] - F("36.63")) <= F("0.01")
    assert split_problems(total, LARDER, Spot("a", 1)) == ()


def test_a_preferment_is_part_of_the_formula():
    wrong = dough(
        part("poolish", share="40", flour="100", water="200", yeast="0.1"),
        part("soaker", share="1", oats="100", yeast="1"),
        Preferment("wet", "sponge", (FormulaLine("water", F(1)),), OVERNIGHT, F(21)),
        flour="100", water="65", oats="1", yeast="1",
    )  # fmt: skip
    assert [str(one) for one in split_problems(wrong, LARDER, Spot("l.yaml", 4))] == [
        "l.yaml:4:1: the preferments take 80 % water, the whole formula has 65 %; "
        "a preferment is part of the formula; take less in it or write more in the formula",
        "l.yaml:4:1: the soaker soaker holds yeast; leave the yeast out or call it a sponge",
        "l.yaml:4:1: the preferments take 81 % water, the whole formula has 65 %; "
        "a preferment is part of the formula; take less in it or write more in the formula",
        "l.yaml:4:1: wet holds no flour; a preferment ferments flour; is it a soaker?",
    ]


def test_an_unknown_convention_is_refused():
    with pytest.raises(ValueError, match="is none of"):
        prefermented_percent(F(20), "baker's luck", F(100))


share = st.fractions(min_value=1, max_value=50, max_denominator=20)
small = st.fractions(min_value=0, max_value=1, max_denominator=50)


@settings(max_examples=60, deadline=None)
@given(
    share,
    share,
    st.fractions(min_value=50, max_value=125, max_denominator=8),
    small,
    st.integers(1, 30_000),
)
def test_every_ingredient_is_conserved(first, second, wet, yeast, flour_g):
    total = dough(
        part("poolish", share=str(first), flour="100", water=str(wet), yeast=str(yeast)),
        part("soaker", share=str(second / 2), rye="100", water=str(wet)),
        flour="70", rye="30", water="130", salt="2", yeast="1.5",
    )  # fmt: skip
    split = split_g(total, F(flour_g))
    assert split.total.total_g == split.final.total_g
    for name, whole in split.total.weights:
        apart = sum(grams(one).get(name, F(0)) for one in (*split.preferments, split.final))
        assert apart == whole


@settings(max_examples=50, deadline=None)
@given(
    share, st.fractions(min_value=40, max_value=150, max_denominator=8), st.sampled_from(STATED_AS)
)
def test_stated_and_read_back(percent, wet, stated_as):
    one = preferment(
        "l", "levain", (percent, stated_as), [("flour", F(100))], ("water", wet), ripe_min=OVERNIGHT, ripe_c=F(21)
    )  # fmt: skip
    found = shares(dough(one, flour="100", water="200"), one, LARDER)
    said = (found.prefermented_flour, found.weight_on_all_flour, found.weight_on_final_flour)
    assert said[STATED_AS.index(stated_as)] == percent
    assert found.hydration == wet


def test_two_preferments_both_stated_on_the_final_flour():
    # worked by hand: 100 flour, 20 in a levain of 40 (hydration 100 %), 30 in a poolish of 60; final flour 50
    stated = [Share(F(80), STATED_AS[2], F(200)), Share(F(120), STATED_AS[2], F(200))]
    assert prefermented_percents(stated) == (F(20), F(30))


def test_flour_in_a_soaker_is_no_final_flour():
    # 100 flour, 10 in a soaker, 20 in a levain of 36: 36 on a final flour of 70
    stated = [Share(F(3600, 70), STATED_AS[2], F(180))]
    assert prefermented_percents(stated, F(10)) == (F(20),)


def test_conventions_may_be_mixed():
    stated = [Share(F(20), STATED_AS[0], F(180)), Share(F(90), STATED_AS[1], F(300))]
    assert prefermented_percents(stated) == (F(20), F(30))
