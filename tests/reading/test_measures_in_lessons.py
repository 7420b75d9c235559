"""Cups, ounces and pints in a lesson: grams with what they rest on; asked once where sources differ."""

from fractions import Fraction as F

import pytest

from classpack.errors import LessonError
from classpack.model.own_measures import OwnMeasures
from classpack.quantities import NotUnderstood
from classpack.reading.larder_file import merged, read_larder
from classpack.reading.lesson_file import read_lesson
from classpack.reading.names import printed_names
from classpack.reading.shipped_larder import package_larder
from classpack.reading.vessel_lines import parse_piece

LESSON = """\
lesson: Cups
written in: US
base:
  name: Dough
  weights:
    bread flour: 3 1/2 cups
    water: 1 1/4 cups
    salt: 1 1/2 tsp
    active dry yeast: 2 1/4 tsp
    melted butter: 2 oz
  dough temperature: 77 F
  left in the bowl: 2 %
  method:
    - mix: "Mix {bread flour}, {salt}, {water}, {melted butter} and {active dry yeast}."
      hands: 4 min
    - bulk proof: 1 1/2 hours
      window: 1 to 2 hours
      text: Cover.
      ready when: doubled
variations:
  rolls:
    piece: 3 oz
    pieces: 4
    method:
      - bake: 20 minutes at 375 F conventional
        loss: 12 %
        per shelf: 8
        load: In.
        take out: Out.
        ready when: golden
"""


def larder_with(text: str):
    return merged(package_larder(), read_larder(text, "own.yaml"))


def problems(text: str, larder=None) -> list[str]:
    with pytest.raises(LessonError) as caught:
        read_lesson(text, "l.yaml", larder or package_larder())
    return [str(one) for one in caught.value.problems]


def test_a_cup_of_flour_is_asked_once_with_its_sources():
    assert problems(LESSON) == [
        "l.yaml:6:5: a cup of strong white flour weighs 113 to 142 g by its sources; say once in your larder how you fill it, "
        "as in 'measures: {cup of flour: 125 g}' (white flour: 113 g sifted, 125 g spooned and levelled, 139 g scooped), "
        "or write grams"
    ]


def test_the_answer_in_the_larder_weighs_every_cup_and_says_so():
    lesson = read_lesson(LESSON, "l.yaml", larder_with("measures: {cup of flour: 120 g}\n"))
    percent = {line.ingredient: line.percent for line in lesson.base.formula.lines}
    flour = F(420)  # 3 1/2 cups at 120 g
    assert percent["strong white flour"] == 100
    # NIST Handbook 44 (from memory): a US cup is 236.588 ml; SR28: water 237 g a cup
    assert abs(percent["water"] * flour / 100 - F("296.25")) < F("0.01")
    assert percent["fine salt"] * flour / 100 == 9
    assert abs(percent["active dry yeast"] * flour / 100 - 7) < F("0.01")
    assert abs(percent["butter"] * flour / 100 - F("56.7")) < F("0.01")
    assert [text for _, text in lesson.measured] == [
        "strong white flour: 3 1/2 cups is 420 g, at 120 g a cup",
        "water: 1 1/4 cups is 296 g, at 237 g a cup",
        "fine salt: 1 1/2 tsp is 9 g, at 1.2 g a millilitre",
        "active dry yeast: 2 1/4 tsp is 7 g, at 0.62 g a millilitre",
        "butter: 2 oz is 57 g",
    ]
    assert lesson.read_as == (
        "bread flour is read as strong white flour",
        "salt is read as fine salt",
        "melted butter is read as butter",
    )
    assert lesson.variations[0].piece_dough_g == F("85.048569375")  # 3 oz


def test_a_metric_cup_is_asked_for_its_own_size():
    text = LESSON.replace("written in: US", "written in: AU")
    assert (
        "(white flour: 119 g sifted, 132 g spooned and levelled, 147 g scooped)"
        in problems(text)[0]
    )


def test_a_cup_of_no_region_is_asked():
    text = LESSON.replace("written in: US\n", "").replace("3 1/2 cups", "440 g")
    assert problems(text) == [
        "l.yaml:6:12: water is '1 1/4 cups'; a cup is 237 ml in the US, 250 ml in Australia and New Zealand, and either "
        "elsewhere; write 'US cup' or 'metric cup'"
    ]


def test_the_regions_names_are_printed():
    larder = larder_with("measures: {cup of flour: 120 g}\n").called(printed_names("US"))
    lesson = read_lesson(LESSON.replace("bread flour", "strong white flour"), "l.yaml", larder)
    assert lesson.base.formula.lines[0].ingredient == "bread flour"
    assert lesson.base.method[0].ingredients[0] == "bread flour"


def test_a_class_name_is_asked_with_its_foods_and_their_allergens():
    text = LESSON.replace("3 1/2 cups", "440 g").replace("bread flour", "flour")
    assert problems(text) == [
        "l.yaml:6:5: 'flour' may be several foods; write which: plain white flour (wheat), strong white flour (wheat), "
        "wholemeal flour (wheat), medium rye flour (rye), white rice flour (no allergen)"
    ]


def test_one_food_under_two_names_is_told():
    text = LESSON.replace("3 1/2 cups", "440 g").replace(
        "    salt:", "    warm water: 1 cup\n    salt:"
    )
    assert problems(text) == [
        "l.yaml:8:5: 'warm water' is water, which 'water' says already; write both amounts as one line"
    ]


@pytest.mark.parametrize(
    ("where", "ml", "told"),
    [
        ("in a 2100 ml tin", 2100, ""),
        ("in a 9 x 5 x 3 inch loaf pan", 1947, "a tin of 9 x 5 x 3 inch holds 1947 ml, computed: its box less 12 % for the slope; water on a scale tells better"),
        ("in an 8 1/2 x 4 1/2 x 2 3/4 in tin", 1517, "a tin of 8 1/2 x 4 1/2 x 2 3/4 in holds 1517 ml, computed: its box less 12 % for the slope; water on a scale tells better"),
        ("in a 13 x 4 x 4 in pan with a lid", 3306, "a tin of 13 x 4 x 4 in holds 3306 ml, computed: its box less 3 % for upright sides; water on a scale tells better"),
        ("in a 25 x 11 x 7.5 cm tin", 1815, "a tin of 25 x 11 x 7.5 cm holds 1815 ml, computed: its box less 12 % for the slope; water on a scale tells better"),
        ("in a 2 lb tin", 1450, ""),
    ],
)  # fmt: skip
def test_tins_by_volume_sides_or_a_name_measured_once(where, ml, told):
    # pan makers' pages (US trade sizes) and the Pullman tin's stated 14 cups, 3312 ml
    own = OwnMeasures(tins_ml={"2 lb tin": F(1450)})
    weight, vessel, computed = parse_piece(f"1 3/4 lb {where}", own)
    assert abs(weight - F("793.79")) < F("0.01")
    assert (vessel.kind, vessel.name) == ("tin", "tin")
    assert abs(vessel.volume_ml - ml) <= 1
    assert computed == told


@pytest.mark.parametrize(
    ("piece", "message"),
    [
        ("820 g in a 2 lb tin", "the tin is '2 lb', which is no volume: tins sold so hold 1100 to 3400 ml; fill it with water on the scale, grams are millilitres, and say once in your larder 'measures: {tins: {2 lb tin: 1500 ml}}', or write it here, as in '1500 ml'"),
        ("820 g in a 9x5-inch loaf pan", "the tin is '9x5-inch', without its depth; write all three, as in '9 x 5 x 3 in' (about 1947 ml), or fill it with water on the scale: grams are millilitres"),
        ("820 g in a 9 x 5 x 3 tin", "the tin is '9 x 5 x 3'; say of what, as in '9 x 5 x 3 cm' or '9 x 5 x 3 in'"),
        ("a handful", "'piece' is 'a handful'; write the dough's weight and where it goes, as in '820 g in a 2100 ml tin', '400 g on a 30 x 40 cm tray', '250 g as a 28 cm round' or '90 g'"),
    ],
)  # fmt: skip
def test_a_tin_that_says_no_volume_is_asked(piece, message):
    with pytest.raises(NotUnderstood) as caught:
        parse_piece(piece, OwnMeasures())
    assert str(caught.value) == message


def test_trays_and_rounds_in_inches():
    weight, tray, _ = parse_piece("1 lb 2 oz on an 18 x 13 in sheet pan", OwnMeasures())
    assert (tray.kind, tray.name, tray.area_cm2) == ("tray", "18 × 13 in", 18 * 13 * F("2.54") ** 2)
    assert abs(weight - F("510.29")) < F("0.01")
    _, disc, _ = parse_piece("9 oz as a 12-inch round", OwnMeasures())
    assert (disc.kind, disc.name) == ("round", "12 in")


# ---------------------------------------------------------------- an ingredient of the dough named again


def test_what_the_dough_has_used_up_is_asked_for_when_a_bread_names_it_again():
    text = LESSON.replace("3 1/2 cups", "440 g").replace(
        "    method:\n      - bake",
        '    method:\n      - glaze: "Brush with {melted butter}."\n        hands: 1 min\n      - bake',
    )
    assert problems(text) == [
        "l.yaml:25:9: '{butter}' is in the dough already, and the dough's steps have used it up; say how much more, as in "
        "'also used:' and below it 'butter: 10 g per piece for glaze', or write its name without braces"
    ]
    more = text.replace(
        "    pieces: 4\n", "    pieces: 4\n    also used:\n      butter: 5 g per piece for glaze\n"
    )
    assert (
        read_lesson(more, "l.yaml", package_larder()).variations[0].uses[0].ingredient == "butter"
    )


def test_a_piece_may_be_sold_by_its_baked_weight():
    # dough = baked / (1 - loss): 800 g at 12 % are 909.1 g, on the next whole gram (Gisslen, "Scaling", as quoted)
    text = LESSON.replace("3 1/2 cups", "440 g").replace(
        "piece: 3 oz", "sold at: 800 g in a 2100 ml tin"
    )
    lesson = read_lesson(text, "l.yaml", package_larder())
    bread = lesson.variations[0]
    assert (bread.piece_dough_g, bread.vessel.volume_ml) == (910, 2100)
    assert lesson.measured[-1][1] == (
        "rolls: sold at 800 g is 910 g of dough, 12 % lost in the oven"
    )
    both = text.replace("    sold at", "    piece: 90 g\n    sold at")
    assert problems(both) == [
        "l.yaml:22:12: 'rolls' has both 'piece' and 'sold at'; keep one: the dough of a piece, or what it weighs baked"
    ]


def test_the_cards_back_says_what_was_measured():
    lesson = read_lesson(LESSON, "l.yaml", larder_with("measures: {cup of flour: 120 g}\n"))
    assert lesson.measured[0][0] == "strong white flour 420 g = 3 1/2 cups (120 g)"
