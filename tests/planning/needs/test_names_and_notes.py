"""A need in a name or a note stops at its line; people called after food do not."""

from __future__ import annotations

import pytest

from classpack.planning.needs.stated import people_problems
from tests.planning.needs.needs_cases import LARDER, day, person
from tests.planning.needs.test_other_allergies import GERMAN


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("Ana Novak (coeliac)", "coeliac"),
        ("Ana Novak, vegan", "vegan"),
        ("Ana Novak - peanut allergy", "allergy"),
        ("Ana Novak nuts", "nuts"),
        ("Ana Novak [milk]", "milk"),
        ("Ana Novak: no sesame", "sesame"),
        ("Ana Novak (peanut butter)", "butter"),
        ("Ana Novak / hummus", "hummus"),
        ("Ana (pregnant)", "pregnant"),
        ("Ana Novak (Erdnüsse)", "Erdnüsse"),
        ("Ana Novak (Zöliakie)", "zöliakie"),
        ("Ana Novak (poppy seeds)", "poppy seeds"),
    ],
)
def test_a_need_in_a_name_stops_at_its_line(name, word):
    assert [str(one) for one in people_problems(day(person(name=name)), LARDER, (), GERMAN)] == [
        f"day.yaml:11:1: a name holds '{word}', and names stand on paper that everybody sees; write the name alone, and what they "
        "must not have below 'needs:'"
    ]


@pytest.mark.parametrize(
    "name",
    ["Hazel Rye", "Salmon Butter", "Ada Lindqvist (blue apron)", "Žofia Hrubínová", "Anne-Marie de la Mare", "Smith, Hazel", "ada lindqvist",
     "hazel cod", "Olive Oates", "Jean-Luc d'Almond", "Nils von Malz"],
)  # fmt: skip
def test_people_called_after_food_are_welcome(name):
    assert people_problems(day(person(name=name)), LARDER, ()) == ()


def test_a_food_in_a_note_that_no_need_speaks_of_is_asked_about():
    who = person(needs="milk", note="and no walnuts either")
    assert [str(one) for one in people_problems(day(who), LARDER, ())] == [
        "day.yaml:11:1: a note says 'walnuts' (walnuts), and a note is read by people only; write it below 'needs:' too, or take it "
        "out of the note"
    ]
    for note in ("butter is worst", "two pens in a red pouch", "bring your own cup"):
        assert people_problems(day(person(needs="milk", note=note)), LARDER, ()) == ()


def test_an_empty_list_of_needs_is_a_blank():
    from classpack.reading.class_file import _read_needs
    from classpack.reading.yaml_lines import Fields, read_nodes

    node = read_nodes("needs: []", "c.yaml")
    assert isinstance(node, Fields)
    assert _read_needs(node.get("needs"), []) == ((), False)
