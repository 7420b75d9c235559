"""A kitchen file: what it gives, and what each slip is told as."""

from fractions import Fraction as F
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import LessonError
from classpack.reading.kitchen_file import read_kitchen

DEMOS = Path(__file__).parent.parent.parent / "lessons"
KITCHEN = """\
kitchen: The Net Loft
ovens:
  big:
    kind: fan
    shelves: 3
    hottest: 250 C
    offset: +10 C
    circuit: east
circuits:
  east: 1
scales:
  - 1 g steps to 5 kg
  - 4 x 0.1 g steps to 500 g
tins:
  long tin: 12 of 2100 ml
trays:
  flat tray: 8 of 30 x 40 cm
mixers:
  bench mixer:
    kind: bench
    holds: 3 kg
tools:
  oven gloves: 4
bowls hold: 2 kg
sinks: 2
"""


def said(old: str, new: str) -> str:
    assert old in KITCHEN, old
    with pytest.raises(LessonError) as caught:
        read_kitchen(KITCHEN.replace(old, new, 1), "k.yaml")
    return str(caught.value)


def test_a_kitchen_is_read():
    kitchen = read_kitchen(KITCHEN, "k.yaml")
    (oven,) = kitchen.ovens
    assert (oven.kind, oven.places, oven.hottest_c, oven.offset_c, oven.offset_measured) == (
        "fan", 3, 250, 10, True,
    )  # fmt: skip
    assert [(scale.step_g, scale.capacity_g, scale.count) for scale in kitchen.scales] == [
        (F(1, 10), 500, 4), (1, 5000, 1),
    ]  # fmt: skip
    assert (kitchen.tins[0].volume_ml, kitchen.tins[0].count) == (2100, 12)
    assert (kitchen.trays[0].width_cm, kitchen.trays[0].depth_cm) == (30, 40)
    assert kitchen.counts == (("oven gloves", 4),)
    assert kitchen.bowl_capacity_g == 2000


@pytest.mark.parametrize("name", ["net-loft.yaml", "old-creamery.yaml"])
def test_the_demo_kitchens_are_read(name):
    assert read_kitchen((DEMOS / name).read_text("utf-8"), name).ovens


@pytest.mark.parametrize(
    ("typed", "offset_c"),
    [("+10 C", 10), ("-5 C", -5), ("−5 °C", -5), ("0 C", 0), ("+18 F", 10), ("-9F", -5)],
)
def test_an_offset_is_a_difference(typed, offset_c):
    kitchen = read_kitchen(KITCHEN.replace("+10 C", typed), "k.yaml")
    assert kitchen.ovens[0].offset_c == offset_c


def test_one_gas_oven_makes_a_gas_kitchen():
    assert not read_kitchen(KITCHEN, "k.yaml").gas
    assert read_kitchen(KITCHEN.replace("shelves: 3", "shelves: 3\n    gas: yes"), "k.yaml").gas


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("kitchen: The Net Loft\n", "", "1:1: the kitchen has no 'kitchen'; write the kitchen's name, as in 'kitchen: The Net Loft'"),
        ("kind: fan", "kind: Fann", "4:11: 'kind' is 'Fann'; did you mean 'fan'?"),
        ("    kind: fan\n", "", "4:5: oven big has no 'kind'; write 'kind: conventional', 'fan' or 'deck'"),
        ("shelves: 3", "shelves: 0", "5:14: 'shelves' is 0; it must lie between 1 and 40"),
        ("shelves: 3", "shelfs: 3\n    shelves: 3", "5:5: oven big has no field 'shelfs'; did you mean 'shelves'?"),
        ("250 C", "gas mark 9", "6:14: 'hottest' is 'gas mark 9'; write the highest mark on the dial, as in '250 C'"),
        ("250 C", "25 C", "6:14: 'hottest' is '25 C'; ovens for bread reach between 100 C and 500 C"),
        ("+10 C", "hot", "7:13: the offset is 'hot'; write how much hotter the oven is than its dial, as in '+10 C' or '-5 C'"),
        ("+10 C", "+80 C", "7:13: the offset is '+80 C'; it must lie between -40 C and 40 C; did you mean 8 C?"),
        ("circuit: east", "circuit: est", "3:3: oven big is on a circuit 'est' that is not in 'circuits'; did you mean 'east'?"),
        ("east: 1", "east: 0", "10:9: the circuit 'east' carries no oven; write how many may be on at once, as in '1'"),
        ("1 g steps to 5 kg", "digital", "12:5: a scale is 'digital'; write how many, its step and its most, as in '4 x 1 g steps to 5 kg'"),
        ("1 g steps to 5 kg", "10 g steps to 500 g", "12:5: a scale is '10 g steps to 500 g'; a kitchen scale weighs at least a hundred of its steps"),
        ("  - 1 g steps to 5 kg\n  - 4 x 0.1 g steps to 500 g\n", "  []\n", "12:3: there is no scale that can be read; write at least one, as in '4 x 1 g steps to 5 kg'"),
        ("12 of 2100 ml", "12", "15:13: long tin is '12'; write how many and the millilitres of water one holds, as in '12 of 2100 ml'"),
        ("12 of 2100 ml", "99999999999 of 2100 ml", "15:13: long tin is '99999999999 of 2100 ml'; write how many and the millilitres of water one holds, as in '12 of 2100 ml'"),
        ("12 of 2100 ml", "12 of 0 ml", "15:13: long tin is '0 ml'; it must be more than nothing, as in '2100 ml'"),
        ("8 of 30 x 40 cm", "8 of 30", "17:14: flat tray is '8 of 30'; write how many and their size, as in '8 of 30 x 40 cm'"),
        ("kind: bench", "kind: table", "20:11: 'kind' is 'table'; choose from: bench, floor"),
        ("oven gloves: 4", "oven gloves: 0230", "23:16: oven gloves is '0230'; write how many there are, from 0 to 9999"),
        ("oven gloves: 4", "oven gloves: four", "23:16: oven gloves is 'four'; write how many there are, from 0 to 9999"),
        ("sinks: 2", "gas: true", "25:6: 'gas' is 'true'; choose from: yes, no"),
        ("sinks: 2", "sinks: many", "25:8: 'sinks' is 'many'; write a whole number from 0 to 50"),
    ],
)  # fmt: skip
def test_each_slip_is_told_once_and_at_its_place(old, new, message):
    assert said(old, new) == f"k.yaml:{message}"


def test_a_kitchen_without_ovens_is_told():
    assert said(KITCHEN[KITCHEN.index("ovens") : KITCHEN.index("scales")], "ovens: {}\n") == (
        "k.yaml:2:8: there is no oven; write at least one, with its kind, shelves and hottest temperature"
    )


PUTS = st.sampled_from(
    ["", "0", "-", "x", ": ", "{", "99999999999", "1:30", "no", "[]", " of ", "1/0", "\t"]
)


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(KITCHEN)), st.integers(0, 25), PUTS)
def test_any_change_of_a_kitchen_is_read_or_told_inside_the_file(at, length, put):
    text = KITCHEN[:at] + put + KITCHEN[at + length :]
    try:
        kitchen = read_kitchen(text, "k.yaml")
    except LessonError as error:
        assert {problem.spot.file for problem in error.problems} == {"k.yaml"}  # noqa: PT017
    else:
        assert kitchen.scales
        assert kitchen.ovens
