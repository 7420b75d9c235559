"""Preferments in every way the trade states them, read from a lesson's own YAML; and every mistake, word for word."""

from fractions import Fraction as F

import pytest

from classpack.errors import Problem
from classpack.model.formula import Formula, Preferment
from classpack.model.method import Placeholder
from classpack.planning.dough.preferments import final_lines, shares
from classpack.reading.formula_section import read_formula
from classpack.reading.preferment_section import read_preferments
from classpack.reading.sections import Section
from classpack.reading.shipped_larder import package_larder
from classpack.reading.yaml_lines import read_nodes

LARDER = package_larder()

DOUGH = """\
formula:
  strong white flour: 90 %
  strong wholemeal flour: 10 %
  water: 78 %
  fine salt: 2 %
  instant yeast: 0.3 %
  sunflower seeds: 10 %
preferments:
"""


def read(preferments: str) -> tuple[Formula, list[str]]:
    problems: list[Problem] = []
    section = Section(read_nodes(DOUGH + preferments, "l.yaml"), "the base dough", problems)
    lines = read_formula(section, LARDER).lines
    parts = read_preferments(section, lines, LARDER)
    return Formula("d", lines, parts), [str(one) for one in problems]


def only(preferments: str) -> Preferment:
    formula, problems = read(preferments)
    assert problems == []
    return formula.preferments[0]


LEVAIN = """\
  our levain:
    kind: levain
    {how}
    hydration: 80 %
    culture: 20 %
    ripens: 6-8 h
    at: 24 C
"""


@pytest.mark.parametrize(
    ("how", "stated_as", "percent"),
    [  # Forkish, Flour Water Salt Yeast (2012): 360 g levain at 80 % hydration in 1000 g flour is 20, 36 or 45 %
        ("pre-fermented flour: 20 %", "pre-fermented flour", 20),
        ("weight: 36 % of all the flour", "weight on all flour", 36),
        ("weight: 36 % of the flour", "weight on all flour", 36),
        ("weight: 45 % of the final flour", "weight on final flour", 45),
    ],
)
def test_the_three_published_ways_of_stating_a_levain_give_one_levain(how, stated_as, percent):
    levain = only(LEVAIN.format(how=how))
    assert [(x.ingredient, x.percent) for x in levain.lines] == [
        ("strong white flour", 20),
        ("water", 16),
    ]
    assert (levain.stated_as, levain.stated_percent) == (stated_as, percent)
    assert levain.culture_percent == 20


def test_two_preferments_and_a_soaker_leave_the_final_dough():
    formula, problems = read(
        LEVAIN.format(how="weight: 36 % of all the flour")
        + """\
  poolish:
    kind: poolish
    weight: 60 % of the final flour
    hydration: 100 %
    yeast: 0.2 %
    ripens: 12-16 h
    at: 20 C
  seed soaker:
    kind: soaker
    holds:
      strong wholemeal flour: 5 %
      sunflower seeds: 10 %
      water: 15 %
    ripens: 8-16 h
    at: 20 C
"""
    )
    assert problems == []
    levain, poolish, soaker = formula.preferments
    assert shares(formula, levain, LARDER).weight_on_all_flour == 36
    assert shares(formula, poolish, LARDER).weight_on_final_flour == 60
    assert soaker.total_percent == 30
    assert soaker.stated_as == "each line on all flour"
    final = {x.ingredient: x.percent for x in final_lines(formula)}
    assert "sunflower seeds" not in final
    inside = sum(x.percent for p in formula.preferments for x in p.lines if x.ingredient == "water")
    assert final["water"] + inside == 78


def test_how_it_is_mixed_names_its_own_ingredients():
    levain = only(
        LEVAIN.format(how="pre-fermented flour: 20 %")
        + '    text: "Stir {strong white flour} into {water}."\n'
    )
    assert levain.text == (
        "Stir ",
        Placeholder("strong white flour"),
        " into ",
        Placeholder("water"),
        ".",
    )


def test_what_else_is_in_it_is_of_its_own_flour():
    old_dough = only(
        """\
  old dough:
    kind: sponge
    pre-fermented flour: 25 %
    hydration: 60 %
    yeast: 0.4 %
    also in it:
      fine salt: 2 %
    ripens: 8-16 h
    at: 8 C
"""
    )
    assert [(x.ingredient, x.percent) for x in old_dough.lines] == [
        ("strong white flour", 25),
        ("water", 15),
        ("instant yeast", F(1, 10)),
        ("fine salt", F(1, 2)),
    ]


POOLISH = """\
  poolish:
    kind: poolish
    pre-fermented flour: 30 %
    hydration: 100 %
    yeast: 0.1 %
    ripens: 12-16 h
    at: 20 C
"""


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "pre-fermented flour: 30 %",
            "weight: 36 %",
            "l.yaml:11:13: the weight is '36 %'; say of which flour, as in '36 % of all the flour' "
            "or '45 % of the final flour'",
        ),
        (
            "    pre-fermented flour: 30 %\n",
            "",
            "l.yaml:10:5: the preferment 'poolish' has no 'pre-fermented flour'; write 'pre-fermented flour: 30 %', or its "
            "weight, as in 'weight: 36 % of all the flour' or 'weight: 45 % of the final flour'",
        ),
        (
            "pre-fermented flour: 30 %",
            "pre-fermented flour: 130 %",
            "l.yaml:11:26: the pre-fermented flour is '130 %'; it is a part of the whole flour: more than 0 %, at most 100 %",
        ),
        (
            "    yeast: 0.1 %\n",
            "",
            "l.yaml:9:3: nothing in poolish ferments; write its yeast or its ripe culture, of its own flour, as in "
            "'yeast: 0.1 %' or 'culture: 20 %'",
        ),
        (
            "hydration: 100 %",
            "hydration: 300 %",
            "l.yaml:9:3: poolish takes 90 % water, the whole formula has 78 %; a preferment is part of the formula, not added to it",
        ),
        (
            "kind: poolish",
            "kind: soaker",
            "l.yaml:9:3: the soaker poolish holds yeast; leave the yeast out or call it a sponge",
        ),
        (
            "    yeast: 0.1 %\n",
            "    yeast: 0.1 %\n    weight: 60 % of all the flour\n",
            "l.yaml:14:13: the preferment 'poolish' states both its weight and its flour; keep one: they must not disagree",
        ),
        (
            "    at: 20 C\n",
            "    at: 20 C\n    text: Stir {honey} in.\n",
            "l.yaml:16:11: '{honey}' names no ingredient of this bread; choose from: strong white flour, water, instant yeast",
        ),
        (
            "    yeast: 0.1 %\n",
            "    yeast: 0.1 %\n    holds: {water: 10 %}\n",
            "l.yaml:14:12: the poolish 'poolish' is written line by line; only a soaker is; "
            "write 'pre-fermented flour' and 'hydration' instead",
        ),
        (
            "  poolish:\n",
            "  water:\n",
            "l.yaml:9:3: the preferment 'water' has the name of an ingredient in the larder; "
            "give it one of its own, as in 'our water'",
        ),
    ],
)
def test_each_mistake_is_said_where_it_stands(old, new, message):
    assert old in POOLISH
    _, problems = read(POOLISH.replace(old, new))
    assert message in problems


def test_a_soaker_of_nothing():
    _, problems = read("  seeds:\n    kind: soaker\n    ripens: 8-12 h\n    at: 20 C\n")
    assert problems == [
        "l.yaml:10:5: the preferment 'seeds' has no 'holds'; write what is soaked, in percent of all the flour, "
        "as in 'holds:' and below it 'water: 12 %'"
    ]


def test_a_dry_soaker():
    _, problems = read(
        "  seeds:\n    kind: soaker\n    holds:\n      sunflower seeds: 10 %\n    ripens: 8-12 h\n    at: 20 C\n"
    )
    assert problems == [
        "l.yaml:12:7: the preferment 'seeds' has no water to soak in; add its water"
    ]


def test_all_the_flour_twice_over():
    both = POOLISH.replace("30 %", "70 %") + POOLISH.replace("30 %", "60 %").replace(
        "poolish:", "other:"
    )
    _, problems = read(both)
    assert problems[-1].endswith("a preferment is part of the formula, not added to it")


# ---------------------------------------------------------------- a total beside the formula


def stated(text: str) -> list[str]:
    problems: list[Problem] = []
    section = Section(read_nodes(text, "l.yaml"), "the base dough", problems)
    found = read_formula(section, LARDER)
    section.close()
    if not problems:
        assert found.stated is not None
        assert found.stated_spot is not None
    return [str(one) for one in problems]


def test_a_total_is_read_with_the_places_it_is_written_to():
    text = "weights:\n  strong white flour: 1.2 kg\n  water: 750 g\ntotal: 1.95 kg\n"
    section = Section(read_nodes(text, "l.yaml"), "the base dough", [])
    found = read_formula(section, LARDER).stated
    assert found is not None
    assert found.total_weight is not None
    assert (found.total_weight.value, found.total_weight.step) == (1950, 10)
    assert [x.weight.step for x in found.lines if x.weight] == [100, 1]


def test_a_total_of_the_wrong_kind():
    assert stated("formula:\n  strong white flour: 100 %\ntotal: 975 g\n") == [
        "l.yaml:3:8: the total is '975 g'; write a percentage, as in '170 %'"
    ]
    assert stated("weights:\n  strong white flour: 100 g\ntotal: 2 l\n") == [
        "l.yaml:3:8: the total is '2 l'; write it in grams, as in '975 g'"
    ]
