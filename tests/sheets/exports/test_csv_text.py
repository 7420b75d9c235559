"""CSV that a spreadsheet opens right and cannot run: read back by Python's csv."""

import csv
from fractions import Fraction
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.model.class_plan import AmountNeeded, NeedPart
from classpack.model.language import ENGLISH
from classpack.model.larder import Larder
from classpack.planning.shopping.basket import shopping_list
from classpack.reading.larder_file import merged, package_larder, read_larder
from classpack.sheets.exports.csv_text import csv_text, shopping_rows

OWN = read_larder(
    """
ingredients:
  strong white flour: {allergens: wheat, packs: [1.5 kg at 1.30, 16 kg at 11.50]}
  egg: {allergens: egg, packs: [12 each at 3.10]}
  fine salt: {allergens: none, packs: [750 g at 0.65]}
""",
    "larder.yaml",
)


def read_back(text, delimiter=","):
    return list(csv.reader(text.splitlines(keepends=True), delimiter=delimiter))


def need(name, grams, count=None):
    return AmountNeeded(name, (NeedPart("station A", Fraction(grams)),), count)


def test_a_shopping_list_reads_back():
    larder: Larder = merged(package_larder(), OWN)
    found = shopping_list(
        [
            need("strong white flour", 13_500),
            need("egg", 350, Fraction(7)),
            need("saffron", Fraction("0.4")),
        ],
        larder,
        must_not_list={"egg": ["milk"]},
    )
    assert read_back(csv_text(shopping_rows(found, 2))) == [
        list(ENGLISH.columns("shopping columns")),
        ["herbs and spices", "saffron", "g", "0.4", "0", "0.4 g", "0", "", "", ""],
        ["dairy and eggs", "egg", "each", "7", "0", "1 × 12", "5", "3.1", "milk", ""],
        ["flour", "strong white flour", "g", "13500", "0", "1 × 16 kg", "2500", "11.5", "", ""],
        ["total", "", "", "", "", "", "", "14.6", "", ""],
    ]  # fmt: skip


def test_lines_end_as_rfc_4180_says():
    assert csv_text([["a", "b"], ["c", 1]]) == "a,b\r\nc,1\r\n"


def test_a_decimal_comma_goes_with_a_semicolon():
    assert csv_text([["flour", Fraction(3, 2)]], delimiter=";", decimal=",") == "flour;1,5\r\n"
    with pytest.raises(ValueError, match="decimal sign"):
        csv_text([["flour"]], delimiter=",", decimal=",")


@pytest.mark.parametrize(
    "text",
    ["=cmd|' /C calc'!A0", "+1", "-1+2", "@SUM(A1)", "\t=1", "  =1+1", "＝1", '=HYPERLINK("x")'],
)
def test_a_text_that_looks_like_a_formula_is_defused(text):
    # OWASP, CSV Injection: a cell must not begin with = + - @, tab or carriage return
    ((cell,),) = read_back(csv_text([[text]]))
    assert cell == f"'{text}"


def test_a_negative_number_stays_a_number():
    assert csv_text([[Fraction(-5, 2), -3]]) == "-2.5,-3\r\n"


@given(
    rows=st.lists(
        st.lists(
            st.text(
                st.characters(
                    exclude_categories=["Cs", "Cc", "Zl", "Zp"], include_characters='",;\n'
                ),
                min_size=1,
                max_size=12,
            ),
            min_size=1,
            max_size=4,
        ),
        max_size=4,
    ),
    delimiter=st.sampled_from(",;\t"),
)
def test_every_text_comes_back(rows, delimiter):
    found = csv.reader(StringIO(csv_text(rows, delimiter), newline=""), delimiter=delimiter)
    for got, row in zip(found, rows, strict=True):
        for cell, was in zip(got, row, strict=True):
            assert cell in (was, f"'{was}")
            assert not cell.startswith(("=", "+", "-", "@"))
