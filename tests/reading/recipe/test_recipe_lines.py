"""Every line of ``tests/data/recipe_lines.yaml`` is read as written there: amount, food, grams with their spread, questions."""

from fractions import Fraction as F
from math import floor
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.quantities import parse_number
from classpack.reading.recipe.line_grammar import read_line
from classpack.reading.recipe.parts import QUESTIONS
from classpack.reading.shipped_larder import package_larder

LARDER = package_larder()
LINES = yaml.safe_load(
    (Path(__file__).parents[2] / "data" / "recipe_lines.yaml").read_text("utf-8")
)
REGION = {"DE": "EU"}


def read(line: str, region: str):
    return read_line(line, REGION.get(region, region), LARDER)


def shown(grams):
    """Grams as the table gives them: halves up, whole from 10 g, tenths below."""
    if grams is None:
        return None
    found = []
    for value in (grams.least_g, grams.taken_g, grams.most_g):
        if value is None:
            found.append(None)
        elif value >= 10:
            found.append(floor(value + F(1, 2)))
        else:
            found.append(floor(value * 10 + F(1, 2)) / 10)
    return found


@pytest.mark.parametrize("told", LINES, ids=[one["id"] for one in LINES])
def test_a_line_is_read_as_people_mean_it(told):
    got = read(told["line"], told["region"])
    kind = told.get("kind", "ingredient")
    assert got.kind == kind
    assert {question.key for question in got.asks} == set(told.get("asks", ()))
    assert got.percent == (F(told["percent"]) if "percent" in told else None)
    if kind == "ingredient":
        for field in ("amount", "to"):
            wanted = told.get(field)
            assert getattr(got, field) == (parse_number(wanted) if wanted else None)
        assert (got.unit, got.plus, got.second) == tuple(
            told.get(field, "") for field in ("unit", "plus", "second")
        )
        assert (got.by, got.purpose, got.note) == (
            told["by"], told["purpose"], told.get("note", ""),
        )  # fmt: skip
        assert got.food == told["ingredient"]
        assert shown(got.grams) == told["grams"]
        assert [(one.food, shown(one.grams)) for one in got.alternatives] == [
            (one["ingredient"], one["grams"]) for one in told.get("or", ())
        ]
        more = told.get("more", {})
        assert (got.more.purpose if got.more else None) == more.get("purpose")
        assert (shown(got.more.grams) if got.more else None) == more.get("grams")
    elif kind == "percent":
        assert got.food == told["ingredient"]
    elif kind == "heading":
        assert got.heading == (told["heading"]["part"], told["heading"]["is"])
    elif kind == "yield":
        made = told["yield"]
        assert (got.yields.pieces, got.yields.portions) == (
            made.get("pieces"),
            made.get("portions"),
        )
        assert got.yields.name == made.get("name", "")
        assert made.get("grams_each") in (None, round(got.yields.grams_each or 0))
        assert got.yields.about is made.get("about", False)
    elif kind == "equipment":
        tin = told["tin"]
        assert (got.tin.pieces, got.tin.ml, got.tin.trade) == (
            tin["pieces"], tin["ml"], tin.get("trade", ""),
        )  # fmt: skip
        assert list(got.tin.inches or ()) == tin.get("inches", [])
        assert got.tin.ml_offered == tin.get("ml_if_default", 1500)
    else:
        time, heat = told.get("time"), told.get("heat")
        assert (got.stage, got.note) == (told["stage"], told.get("note", ""))
        assert (got.time and (got.time.least_min, got.time.most_min, got.time.about)) == (
            time and (time["least"], time["most"], time.get("about", False))
        )
        assert (
            got.heat
            and (got.heat.written, round(float(got.heat.celsius), 1), got.heat.fan_c, got.heat.gas)
        ) == (heat and (heat["written"], heat["celsius"], heat.get("fan"), heat.get("gas")))


@pytest.mark.parametrize(
    ("line", "region", "grams"),
    [  # traps: each once read wrongly by somebody
        ("2 1/4 tsp active dry yeast", "US", [6.3, 7.0, 9.0]),  # a packet is 7 g, not 9.1
        ("2 tbsp olive oil", "US", [26, 27, 28]),
        ("2 tbsp olive oil", "AU", [34, 36, 38]),
        ("1/2 pint milk", "US", [244, 244, 244]),
        ("1.000 g Mehl", "DE", [1000, 1000, 1000]),
        ("1,000 g strong white flour", "UK", [1000, 1000, 1000]),
        ("1 cup plus 2 tablespoons water", "US", [261, 267, 273]),
        ("300 g 2 cups water", "US", [300, 300, 300]),
        ("zest of 1 lemon", "UK", [3, 6, 8]),
        ("25 g butter or 1 tbsp olive oil", "UK", [25, 25, 25]),
        ("1 kg (2 lb 3 oz) strong white flour", "UK", [992, 1000, 1000]),
    ],
)
def test_traps(line, region, grams):
    assert shown(read(line, region).grams) == grams


@pytest.mark.parametrize(
    ("line", "region", "kind", "asks"),
    [
        ("x" * 10_000, "UK", "unread", set()),
        ("a handful of walnuts", "UK", "ingredient", {"how much"}),
        ("-5 g salt", "UK", "ingredient", {"check"}),
        ("500 g gluten-free flour", "UK", "ingredient", {"food"}),
        ("2 tbsp dairy-free spread", "UK", "ingredient", {"food"}),
        ("yeast, 7 g", "UK", "ingredient", {"food", "how much"}),
        ("This is my favourite bread", "UK", "unread", set()),
        ("1 cup (150 g) bread flour", "US", "ingredient", {"check"}),
    ],
)
def test_what_is_no_plain_line_is_asked_or_listed(line, region, kind, asks):
    got = read(line, region)
    assert (got.kind, {question.key for question in got.asks}) == (kind, asks)


def test_markup_is_text():
    got = read("<b>500&nbsp;g</b> strong white flour<script>", "UK")
    assert (got.food, shown(got.grams)) == ("strong white flour", [500, 500, 500])


@settings(max_examples=150, deadline=None)
@given(
    st.text(alphabet="0123456789 /½¼.,()-–+%°CFgmlocupstbeayrwh&;<>{}:\"'\\#", max_size=70),
    st.sampled_from(["US", "UK", "AU", "EU"]),
)
def test_no_line_brings_the_reader_down(line, region):
    got = read(line, region)
    assert {question.key for question in got.asks} <= set(QUESTIONS)
    assert got.text == line
