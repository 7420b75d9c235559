"""Numbers that no kitchen has are refused at their line; where a point or a nought has slipped, the reader asks."""

from __future__ import annotations

import importlib.resources
from fractions import Fraction

import pytest

from classpack.errors import LessonError
from classpack.model.countries import CODES, ISO_3166, NAMES, is_a_country
from classpack.reading import plausible
from classpack.reading.class_file import open_class, read_class
from classpack.reading.kitchen_file import read_kitchen
from classpack.reading.larder_file import package_larder
from classpack.reading.lesson_file import read_lesson
from tests.reading import test_class_file, test_kitchen_file, test_lesson_file


def said_of_kitchen(old: str, new: str) -> str:
    assert old in test_kitchen_file.KITCHEN
    with pytest.raises(LessonError) as caught:
        read_kitchen(test_kitchen_file.KITCHEN.replace(old, new, 1), "k.yaml")
    return str(caught.value)


ASKED_OF_KITCHENS = [
    ("sinks: 2", "sinks: 2\ncountry: Atlantis", "'country' is 'Atlantis', which is none; write its two letters by ISO 3166-1, as in 'GB', or its English name"),
    ("sinks: 2", "sinks: 2\ncountry: ZZ", "'country' is 'ZZ', which is none; write its two letters by ISO 3166-1, as in 'GB', or its English name"),
    ("sinks: 2", "sinks: 2\ncountry: GBnull", "'country' is 'GBnull', which is none; write its two letters by ISO 3166-1, as in 'GB', or its English name"),
    ("sinks: 2", "sinks: 2\nemergency number: call me", "'emergency number' is 'call me'; write the digits to dial and nothing else, as in '999' or '112'"),
    ("sinks: 2", "sinks: 2\nemergency number: 1", "'emergency number' is '1'; write the digits to dial and nothing else, as in '999' or '112'"),
    ("bowls hold: 2 kg", "bowls hold: 1 g", "'bowls hold' is '1 g'; it must lie between 200 g and 200 kg"),
    ("bowls hold: 2 kg", "bowls hold: 150 g", "'bowls hold' is '150 g'; it must lie between 200 g and 200 kg; did you mean 1500 g?"),
    ("+10 C", "+50 C", "the offset is '+50 C'; it must lie between -40 C and 40 C; did you mean 5 C?"),
    ("+10 C", "-100 C", "the offset is '-100 C'; it must lie between -40 C and 40 C; did you mean -10 C?"),
    ("12 of 2100 ml", "12 of 21000 ml", "long tin is '21000 ml'; it must lie between 40 ml and 12000 ml; did you mean 2100 ml?"),
    ("12 of 2100 ml", "1200 of 2100 ml", "there are 1200 of long tin; a kitchen has at most 500"),
    ("8 of 30 x 40 cm", "8 of 300 x 400 cm", "flat tray is '300 x 400 cm'; it must lie between 8 cm and 150 cm; did you mean 30 cm?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), ASKED_OF_KITCHENS)
def test_a_kitchen_nobody_has_is_asked_about(old: str, new: str, message: str) -> None:
    assert said_of_kitchen(old, new).partition(": ")[2] == message


ASKED_OF_LESSONS = [
    ("dough temperature: 25 C", "dough temperature: 0 C", "the dough temperature is '0 C'; it must lie between 10 C and 38 C"),
    ("dough temperature: 25 C", "dough temperature: 2.5 C", "the dough temperature is '2.5 C'; it must lie between 10 C and 38 C; did you mean 25 C?"),
    ("820 g in", "1 g in", "'piece' is '1 g'; it must lie between 2 g and 20 kg"),
    ("820 g in", "82 g in", "82 g of dough would cover the bottom of a tin of 2100 ml; did you mean 820 g? a tin takes about a third of its millilitres in grams of dough"),
    ("pieces: 1", "pieces: 500", "'pieces' is 500; it must lie between 1 and 100"),
    ("pieces: 1", "pieces: 40", "one student's share is 32.8 kg of dough; it is at most 20 kg"),
    ("32 min at 230 C conventional", "12 h at 230 C conventional", "the bake's time is '12 h'; it must lie between 1 min and 360 min; did you mean 72 min?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), ASKED_OF_LESSONS)
def test_a_lesson_nobody_bakes_is_asked_about(old: str, new: str, message: str) -> None:
    assert old in test_lesson_file.LESSON
    with pytest.raises(LessonError) as caught:
        read_lesson(test_lesson_file.LESSON.replace(old, new, 1), "l.yaml", package_larder())
    assert str(caught.value).partition(": ")[2] == message


ASKED_OF_CLASSES = [
    ("room temperature: 60 C", "the room temperature is '60 C'; it must lie between 5 C and 45 C"),
    ("room temperature: 2.1 C", "the room temperature is '2.1 C'; it must lie between 5 C and 45 C; did you mean 21 C?"),
    ("flour temperature: 60 C", "the flour temperature is '60 C'; it must lie between -20 C and 40 C; did you mean 6 C?"),
    ("tap water: 60 C", "the tap water is '60 C'; it must lie between 1 C and 35 C; did you mean 6 C?"),
    ("friction: 100 C", "the friction is '100 C'; it must lie between 0 C and 25 C; did you mean 10 C?"),
    ("friction: -3 C", "the friction is '-3 C'; it must lie between 0 C and 25 C"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "message"), ASKED_OF_CLASSES)
def test_a_class_nobody_holds_is_asked_about(line: str, message: str) -> None:
    text = test_class_file.DAY.replace("pace: 1.5", line, 1)
    top, _, problems = open_class(text, "c.yaml")
    read_class(top, "c.yaml", test_class_file.BREADS)
    assert [f"{one.wrong}; {one.right}" for one in problems if one.spot.line == 9] == [message]


@pytest.mark.parametrize(
    ("span", "said"),
    [
        ((10, 500), "bread is baked between 60 C and 500 C"),
        ((100, 400), "it spans at most 100, as in '220-240 C'"),
    ],
)
def test_a_range_no_bread_is_baked_in_is_refused(span: tuple[int, int], said: str) -> None:
    low, high = map(Fraction, span)
    with pytest.raises(plausible.NotUnderstood) as caught:
        plausible.bake_range((low, high), f"{low}-{high} C")
    assert caught.value.right == said


def test_the_countries_are_those_of_iso_3166() -> None:
    """ISO 3166-1 alpha-2, as iso3166.tab of the IANA time zone database lists it."""
    table = (importlib.resources.files("tzdata") / "zoneinfo" / "iso3166.tab").read_text("utf-8")
    rows = [line.split("\t") for line in table.splitlines() if not line.startswith("#")]
    assert dict(rows) == ISO_3166
    assert set(ISO_3166) >= CODES
    assert all(is_a_country(name) for name in NAMES)


@pytest.mark.parametrize("number", ["000", "999", "15", "112", "+44 20 7946 0000", "0800 111-999"])
def test_numbers_that_can_be_dialled_are_taken(number: str) -> None:
    assert plausible.emergency_number(number) == number
