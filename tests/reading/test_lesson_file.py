"""A lesson file: what it gives, and what each slip is told as, word for word, at its place."""

from fractions import Fraction as F
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import LessonError
from classpack.model.lesson import Vessel
from classpack.reading.larder_file import package_larder
from classpack.reading.lesson_file import read_lesson

LARDER = package_larder()
DEMOS = Path(__file__).parent.parent.parent / "lessons"
FILE = "l.yaml"
LESSON = """\
lesson: Two breads
base:
  name: White dough
  formula:
    strong white flour: 100 %
    water: 63 %
    fine salt: 2 %
    instant yeast: 1 %
  dough temperature: 25 C
  left in the bowl: 2 %
  also used:
    fine semolina: 10 g per student
  method:
    - mix: "Stir {water} into {strong white flour}."
      hands: 4 min
    - bulk proof: 60 min
      window: 45-90 min
      text: Cover it.
      ready when: doubled
variations:
  tin loaf:
    piece: 820 g in a 2100 ml tin
    pieces: 1
    toppings:
      sesame seeds: 5 g per piece for topping, toasted
    method:
      - shape: "Roll it up, scatter {sesame seeds}."
        hands: 3 min
      - final proof: 45 min
        window: 35-65 min
        text: Cover it.
        ready when: risen
      - bake: 32 min at 230 C conventional
        loss: 12 %
        per shelf: 3
        load: Slide it in.
        take out: Lift it out.
        ready when: brown
    swaps:
      - out: sesame seeds
        in: poppy seeds
"""


def read(text: str = LESSON):
    return read_lesson(text, FILE, LARDER)


def said(old: str, new: str) -> str:
    """The problems after one change of the lesson."""
    assert LESSON.count(old) >= 1, old
    with pytest.raises(LessonError) as caught:
        read(LESSON.replace(old, new, 1))
    return str(caught.value)


def test_a_lesson_is_read_with_its_percentages_and_steps():
    lesson = read()
    assert [(line.ingredient, line.percent) for line in lesson.base.formula.lines] == [
        ("strong white flour", 100), ("water", 63), ("fine salt", 2), ("instant yeast", 1),
    ]  # fmt: skip
    (loaf,) = lesson.variations
    assert (loaf.many, loaf.piece_dough_g, loaf.home_pieces) == ("tin loaves", 820, 1)
    assert loaf.vessel == Vessel("tin", "tin", volume_ml=F(2100))
    assert [step.stage for step in loaf.method] == [
        "shape", "final proof", "load", "bake", "take out",
    ]  # fmt: skip
    assert (loaf.uses[0].per, loaf.uses[0].note) == ("piece", "toasted")
    assert (loaf.bake.minutes, loaf.bake.span_c) == (32, (230, 230))
    assert loaf.swaps[0].only_in == ("tin loaf",)


@pytest.mark.parametrize("name", ["one-dough.yaml", "wholemeal-and-honey.yaml"])
def test_the_demo_lessons_are_read(name):
    assert read_lesson((DEMOS / name).read_text("utf-8"), name, LARDER).variations


def test_weights_give_the_same_formula_as_percentages():
    weights = LESSON.replace("formula:", "weights:")
    for percent, weight in (
        ("100 %", "500 g"),
        ("63 %", "315 ml"),
        ("2 %", "10 g"),
        ("1 %", "5000 mg"),
    ):
        weights = weights.replace(f": {percent}", f": {weight}", 1)
    assert read(weights).base.formula == read().base.formula
    assert read(weights).base.reads == "weights"


@pytest.mark.parametrize(
    ("typed", "weight", "vessel"),
    [
        ("90 g", 90, Vessel("free")),
        ("1.2 kg in a 3 l pot", 1200, Vessel("tin", "pot", volume_ml=F(3000))),
        ("820 g in a 2100 ml loaf tin", 820, Vessel("tin", "tin", volume_ml=F(2100))),
        ("400 g on a 30 x 40 cm tray", 400, Vessel("tray", "30 × 40 cm", area_cm2=F(1200))),
        ("400 g on a 30 cm x 40 cm tray", 400, Vessel("tray", "30 × 40 cm", area_cm2=F(1200))),
    ],
)
def test_a_piece_says_where_it_goes(typed, weight, vessel):
    (loaf,) = read(LESSON.replace("820 g in a 2100 ml tin", typed)).variations
    assert (loaf.piece_dough_g, loaf.vessel) == (weight, vessel)


def test_a_round_has_the_area_of_its_circle():
    (pizza,) = read(LESSON.replace("820 g in a 2100 ml tin", "250 g as a 28 cm round")).variations
    assert pizza.vessel.area_cm2 is not None
    assert round(float(pizza.vessel.area_cm2), 1) == 615.8  # pi x 14 x 14


BASE = [
    ("lesson: Two breads\n", "", "1:1: the lesson has no 'lesson'; write the lesson's name, as in 'lesson: One dough, four breads'"),
    ("lesson: Two", "lessen: x\nlesson: Two", "1:1: the lesson has no field 'lessen'; did you mean 'lesson'?"),
    ("water: 63 %", "water: 63", "6:12: water is '63'; say of what, as in 'water: 63 %'"),
    ("water: 63 %", "water: 62,5 %", "6:12: '62,5' has a comma; write decimals with a point and thousands without a sign, as in '2.5' or '1200'"),
    ("water: 63 %", "water: -63 %", "6:12: water is '-63 %'; it must be more than nothing, as in '65 %'"),
    ("water: 63 %", "water: 0 %", "6:12: water is '0 %'; take the line away, or write more than nothing"),
    ("water: 63 %", "water: lots", "6:12: water is 'lots'; write a number and its unit, as in '65 %'"),
    ("water: 63 %", "water: [63 %]", "6:12: 'water' is a section or list; write one value"),
    ("flour: 100 %", "flour: 95 %", "5:5: the flours add up to 95; they must add up to 100"),
    ("flour: 100 %", "flour: 99.9999 %", "5:5: the flours add up to 99.9999; they must add up to 100"),
    ("strong white flour: 100 %", "strong whit flour: 100 %", "5:5: no ingredient 'strong whit flour' in the larder; did you mean 'strong white flour'?\nl.yaml:14:12: '{strong white flour}' names no ingredient of this bread; did you mean 'strong whit flour'?"),
    ("25 C", "250 C", "9:22: the dough temperature is '250 C'; it must lie between -30 C and 60 C; did you mean another unit?"),
    ("bowl: 2 %", "bowl: 60 %", "10:21: half the dough or more is left in the bowl; did you mean 2 %?"),
    ("10 g per student", "10 g per pupil", "12:20: fine semolina is per 'pupil'; choose from: piece, tray, student, station, class"),
    ("10 g per student", "10 g per piece", "12:5: fine semolina is counted per piece, which the base dough does not know; count it per student, station or class, or write it in each bread's 'also used'"),
    ("10 g per student", "10 g", "12:20: fine semolina is '10 g'; write how much and per what, as in '15 g per student for dusting'"),
    ("10 g per student", "10 g per student for show", "12:20: fine semolina is for 'show'; choose from: topping, filling, glaze, dusting, oiling"),
    ("{water}", "{watter}", "14:12: '{watter}' names no ingredient of this bread; did you mean 'water'?"),
    ("{water}", "{63 % water}", "14:12: '{63 % water}' names no ingredient of this bread; did you mean 'water'?"),
    ("{water}", "{water", "14:12: a brace stands alone; write an ingredient's name in braces, as in '{water}', or no brace"),
    ("{water}", "{fine salz}", "14:12: '{fine salz}' names no ingredient of this bread; did you mean 'fine salt'?"),
    ("{water}", "water}", "14:12: a brace stands alone; write an ingredient's name in braces, as in '{water}', or no brace"),
    ("hands: 4 min", "hands: 4", "15:14: 'hands' is '4'; write hours and minutes, as in '4 min' or '1 h 30 min'"),
    ("- mix: \"Stir", "- mixx: \"Stir", "14:7: the step 'mixx' of the base dough has no stage; did you mean 'mix'?"),
    ("- mix: \"Stir", "- knead: x\n      mix: \"Stir", "15:7: a step of the base dough is both 'knead' and 'mix'; make two steps of it"),
    ("    - bulk proof: 60 min\n      window: 45-90 min\n      text: Cover it.\n      ready when: doubled\n", "", "14:5: the base dough needs one bulk proof; write one step '- bulk proof: 60 min'"),
    ("bulk proof: 60 min", "bulk proof: 1:30", "16:19: 'bulk proof' is '1:30'; write hours and minutes, as in '45 min' or '1 h 30 min'"),
    ("window: 45-90 min", "window: 90-45 min", "17:15: the window is '90-45 min', the wrong way round; put the smaller first, as in '35-65 min'"),
    ("window: 45-90 min", "window: 70-90 min", "17:15: the window does not hold the bulk proof itself; the usual minutes must lie inside it"),
    ("      ready when: doubled\n", "", "16:7: the step 'bulk proof' of the base dough has no 'ready when'; say what to look for, as in 'ready when: doubled'"),
    ("      window: 45-90 min", "      windows: 45-90 min\n      window: 45-90 min", "17:7: the step 'bulk proof' of the base dough has no field 'windows'; did you mean 'window'?"),
]  # fmt: skip
BREADS = [
    ("820 g in", "2.2 kg in", "22:12: 2200 g of dough do not go into a tin of 2100 ml; a tin takes about a third of its millilitres in grams of dough"),
    ("820 g in a 2100 ml tin", "heavy", "22:12: 'piece' is 'heavy'; write the dough's weight and where it goes, as in '820 g in a 2100 ml tin', '400 g on a 30 x 40 cm tray', '250 g as a 28 cm round' or '90 g'"),
    ("820 g in a 2100 ml tin", "-820 g", "22:12: 'piece' is '-820 g'; write the dough's weight and where it goes, as in '820 g in a 2100 ml tin', '400 g on a 30 x 40 cm tray', '250 g as a 28 cm round' or '90 g'"),
    ("820 g in a 2100 ml tin", "0 g", "22:12: the piece is '0 g'; it must be more than nothing, as in '820 g'"),
    ("820 g in a 2100 ml tin", "820 kg", "22:12: 'piece' is '820 kg'; it must lie between 2 g and 20 kg"),
    ("in a 2100 ml tin", "in a long box", "22:12: the piece stands 'in a long box'; write 'in a 2100 ml tin', 'on a 30 x 40 cm tray', 'as a 28 cm round', or nothing"),
    ("pieces: 1", "pieces: 0", "23:13: 'pieces' is 0; it must lie between 1 and 100"),
    ("pieces: 1", "pieces: 99999999999", "23:13: 'pieces' is '99999999999'; write a whole number from 1 to 100"),
    ("pieces: 1", "pieces: 0230", "23:13: 'pieces' is '0230'; write a whole number from 1 to 100"),
    ("pieces: 1", "pieces: 1.5", "23:13: 'pieces' is '1.5'; write a whole number from 1 to 100"),
    ("      sesame seeds: 5 g", "      sesam seed: 1 g per piece\n      sesame seeds: 5 g", "25:7: no ingredient 'sesam seed' in the larder; did you mean 'sesame seeds'?"),
    ("{sesame seeds}", "{fine semolina} and {sesame sed}", "27:16: '{sesame sed}' names no ingredient of this bread; did you mean 'sesame seeds'?"),
    ("5 g per piece for topping, toasted", "1 each per station", "27:9: '{sesame seeds}' is counted per station, so no card can say how much; write its name without braces, or count it per student or piece"),
    ("- shape: \"Roll it up, scatter {sesame seeds}.\"", "- shape: {sesame seeds}", "27:16: 'shape' is not a text; put a sentence that starts with a brace in quotes"),
    ("32 min at 230 C conventional", "32 min", "33:15: 'bake' is '32 min'; write the time and the oven, as in '32 min at 230 C conventional'"),
    ("loss: 12 %", "loss: 120 %", "34:15: 'loss' is '120 %'; bread loses 5 % to 20 % in the oven; did you mean 12 %?"),
    ("loss: 12 %", "loss: 12 %\n        range: 240-250 C", "35:16: the range does not hold the bake's own temperature; the temperature of the bake must lie inside it"),
    ("loss: 12 %", "loss: 12 %\n        steam: lots", "35:16: 'steam' is 'lots'; choose from: none, lidded pot, bowl over, misted dough, built-in, tutor pours"),
    ("- final proof: 45 min", "- bench rest: 5 min\n        text: x\n      - final proof: 45 min\n        window: 35-65 min\n        text: x\n        ready when: y\n      - final proof: 45 min", "27:7: 'tin loaf' has two final proofs; keep one; call the other 'bench rest'"),
    ("      - bake: 32", "      - bake: 30 min at 230 C fan\n        loss: 12 %\n        per shelf: 1\n        load: x\n        take out: x\n        ready when: x\n      - bake: 32", "39:9: 'tin loaf' is baked twice; write one 'bake' step"),
    ("out: sesame seeds", "out: [sesame seeds]", "40:14: 'out' is not one ingredient; write one swap for each"),
    ("in: poppy seeds", "in: sesame seeds", "40:9: sesame seeds is swapped for itself; name another ingredient"),
    ("        in: poppy seeds\n", "", "40:9: the swap puts nothing in; write 'in: poppy seeds', or 'leave out: yes'"),
    ("in: poppy seeds", "in: poppy seeds\n        leave out: yes", "41:13: the swap puts something in and leaves it out; keep 'in' or 'leave out: yes'"),
    ("in: poppy seeds", "in: poppy seeds\n        ratio: 0", "42:16: the ratio is 0; write 'leave out: yes' instead"),
    ("    swaps:", "    named for: [honey]\n    swaps:", "39:17: 'honey' is no ingredient of this bread; choose from: sesame seeds, strong white flour, water, fine salt, instant yeast, fine semolina"),
    ("    swaps:", "    kit:\n      scraper: 1 each\n    swaps:", "40:16: scraper is '1 each'; write how many and per what, as in '1 per student', '2 per station', '1 for the class'"),
    ("  tin loaf:\n", "  rolls: nice\n  tin loaf:\n", "21:10: 'rolls' is not a section; write its fields below it, each as 'name: value'"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), BASE + BREADS)
def test_each_slip_is_told_once_and_at_its_place(old, new, message):
    assert said(old, new) == f"{FILE}:{message}"


def test_a_lesson_without_its_base_or_breads_says_what_to_write():
    told = said(LESSON[LESSON.index("base:") :], "variations: {}\n")
    assert told == (
        "l.yaml:1:1: the lesson has no 'base'; write the base dough's section, 'base:'\n"
        "l.yaml:2:13: there is no variation; write at least one bread"
    )


def test_formula_and_weights_together_must_be_one():
    assert said("  formula:", "  weights:\n    strong white flour: 500 g\n  formula:").startswith(
        "l.yaml:5:5: both 'formula' and 'weights' are given; keep one: they must not disagree"
    )


def test_a_base_that_is_baked_is_told():
    bake = LESSON[LESSON.index("      - bake") : LESSON.index("    swaps")].replace("\n  ", "\n")[
        2:
    ]
    assert said("variations:", f"{bake}variations:") == (
        "l.yaml:14:5: the base dough is baked; write 'bake' in the variations"
    )


def test_several_slips_are_told_at_once_and_in_file_order():
    text = LESSON.replace("63 %", "63").replace("45-90", "90-45").replace("230 C conv", "23 C conv")
    with pytest.raises(LessonError) as caught:
        read(text.replace("pieces: 1", "pieces: none"))
    assert str(caught.value).splitlines() == [
        "l.yaml:6:12: water is '63'; say of what, as in 'water: 63 %'",
        "l.yaml:17:15: the window is '90-45 min', the wrong way round; put the smaller first, as in '35-65 min'",
        "l.yaml:23:13: 'pieces' is 'none'; write a whole number from 1 to 100",
        "l.yaml:33:15: the bake's oven is '23 C conventional'; bread is baked between 60 C and 500 C",
    ]


POOLISH = """\
  preferments:
    poolish:
      kind: poolish
      pre-fermented flour: 30 %
      hydration: 100 %
      yeast: 0.1 %
      ripens: 12-16 h
      at: 20 C
"""


def with_preferment(old: str = "", new: str = "") -> str:
    return LESSON.replace(
        "  dough temperature", POOLISH.replace(old, new, 1) + "  dough temperature"
    )


def test_a_preferment_is_part_of_the_total_formula():
    (poolish,) = read(with_preferment()).base.formula.preferments
    assert [(line.ingredient, line.percent) for line in poolish.lines] == [
        ("strong white flour", 30), ("water", 30), ("instant yeast", F(3, 100)),
    ]  # fmt: skip
    assert poolish.ripe_min == (720, 960)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("30 %", "70 %", "10:5: poolish takes 70 % water, the whole formula has 63 %; a preferment is part of the formula, not added to it"),
        ("30 %", "0 %", "12:28: the pre-fermented flour is '0 %'; it is a part of the whole flour: more than 0 %, at most 100 %"),
        ("30 %", "130 %", "12:28: the pre-fermented flour is '130 %'; it is a part of the whole flour: more than 0 %, at most 100 %"),
        ("yeast: 0.1 %", "yeast: 5 %", "10:5: poolish takes 1.5 % instant yeast, the whole formula has 1 %; a preferment is part of the formula, not added to it"),
        ("kind: poolish", "kind: polish", "11:13: 'kind' is 'polish'; did you mean 'poolish'?"),
        ("12-16 h", "16-12 h", "15:15: 'ripens' is '16-12 h', the wrong way round; put the smaller first, as in '12-16 h'"),
        ("    poolish:", "    sourdough starter:", "10:5: the preferment 'sourdough starter' has the name of an ingredient in the larder; give it one of its own, as in 'our sourdough starter'"),
        ("yeast: 0.1 %", "flours: {strong white flour: 90 %}", "14:15: the flours of the preferment do not add up to 100; they are percent of the preferment's own flour"),
    ],
)  # fmt: skip
def test_a_preferment_that_does_not_fit_its_formula_is_told(old, new, message):
    with pytest.raises(LessonError) as caught:
        read(with_preferment(old, new))
    assert str(caught.value) == f"{FILE}:{message}"


def test_two_preferments_may_not_take_more_than_there_is():
    second = POOLISH.replace("  preferments:\n", "").replace("    poolish:", "    biga:")
    both = LESSON.replace(
        "  dough temperature", POOLISH + second.replace("30 %", "40 %") + "  dough temperature"
    )
    with pytest.raises(LessonError) as caught:
        read(both)
    assert str(caught.value) == (
        "l.yaml:17:5: biga takes 40 % water, the others leave 33 %; "
        "a preferment is part of the formula, not added to it"
    )


# ---------------------------------------------------------------- no text brings the reader down

CHANGES = st.sampled_from(
    ["", "-", "0", "99999999999", "{", "}", "[x]", "{a: b}", "no", "1:30", "½", "'", '"', " %", "\t", "ß", "x" * 300, ",", ": ", "\n", "°C", "1/0", "..."]
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(LESSON)), st.integers(0, 30), CHANGES)
def test_any_change_of_a_lesson_is_read_or_told_inside_the_file(at, length, put):
    text = LESSON[:at] + put + LESSON[at + length :]
    try:
        read(text)
    except LessonError as error:
        for problem in error.problems:
            assert problem.spot.file == FILE
            assert 1 <= problem.spot.line <= text.count("\n") + 1
            assert problem.wrong
            assert problem.right


VALUES = st.sampled_from(
    ["", "x", "5 g", "5 %", "0", "10 min", "230 C fan", "yes", "12-16 h", "mix"]
)
KEYS = st.sampled_from(
    ["lesson", "base", "name", "formula", "weights", "water", "strong white flour", "method", "mix", "bake", "rest", "variations", "piece", "pieces", "swaps", "out", "in", "faults", "talks", "preferments", "kind", "also used", "demonstration", "kit", "window"]
)  # fmt: skip


def written(tree, indent: int = 0) -> str:
    if isinstance(tree, str):
        return f" {tree}\n"
    pad = " " * indent
    if isinstance(tree, list):
        return "\n" + "".join(f"{pad}-{written(item, indent + 2)}" for item in tree)
    return "\n" + "".join(f"{pad}{key}:{written(value, indent + 2)}" for key, value in tree.items())


@settings(max_examples=150, deadline=None)
@given(
    st.dictionaries(
        KEYS,
        st.recursive(
            VALUES,
            lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=5),
            max_leaves=20,
        ),
        min_size=1,
        max_size=5,
    )
)
def test_a_tree_of_known_fields_without_sense_is_told(tree):
    with pytest.raises(LessonError) as caught:
        read(written(tree).lstrip("\n"))
    assert all(problem.spot.file == FILE for problem in caught.value.problems)
