"""The class file's answers for a room without gluten: each slip at its line, in words."""

from __future__ import annotations

import datetime
from fractions import Fraction

import pytest

from classpack.model.gluten_room import GlutenRoom, may_be_claimed
from classpack.reading.gluten_room_section import read_gluten_room
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import read_nodes

DATE = datetime.date(2027, 3, 13)


def read(text: str, region: str = "UK") -> tuple[GlutenRoom | None, list[str]]:
    top = Section(read_nodes("without gluten:\n  " + text, "c.yaml"), "the class day", [])
    room = read_gluten_room(top, DATE, region)
    return room, [str(one) for one in top.problems]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "cleaned: yes",
            "2:12: 'cleaned' does not say who says so and when; write {answer: yes, by: Ines Marlow, on: 2027-03-12}, or no, or not known",
        ),
        (
            "cleaned: maybe",
            "2:12: 'cleaned' is 'maybe'; write {answer: yes, by: Ines Marlow, on: 2027-03-12}, or no, or not known",
        ),
        (
            "cleaned: {answer: yes, by: Ines Marlow}",
            "2:12: 'cleaned' has no 'on'; write the date, as in 'on: 2027-03-12'",
        ),
        (
            "cleaned: {answer: yes, on: 2027-03-12}",
            "2:12: 'cleaned' has no 'by'; write who says so, as in 'by: Ines Marlow'",
        ),
        (
            "cleaned: {answer: yes, by: Ines Marlow, on: 2027-03-14}",
            "2:47: 'cleaned' is dated 2027-03-14, after the class; write the day on which it was seen or done",
        ),
        (
            "swept: no",
            "2:3: 'without gluten' has no field 'swept'; choose from: bread tested, cleaned, no loose flour, nothing brought in, own "
            "tools, packs read, told in writing",
        ),
        (
            "bread tested: {answer: yes, laboratory: Field Lane, found: 25 mg/kg, on: 2027-03-01, says: Tested, signed: Ines Marlow}",
            "2:62: the test found 25 mg of gluten in a kilogram, which may not be called gluten-free (UK); write 'bread tested: no'; the "
            "place stays open, the claim does not",
        ),
        (
            "bread tested: {answer: yes, laboratory: Field Lane, found: little, on: 2027-03-01, says: Tested, signed: Ines Marlow}",
            "2:62: 'found' is 'little'; write it as in 'found: 5 mg/kg', or 'found: none found'",
        ),
    ],
)  # fmt: skip
def test_each_slip_is_told_at_its_place(text, message):
    assert read(text)[1] == [f"c.yaml:{message}"]


def test_a_test_that_opens_the_claim_is_kept_with_its_sentence_and_name():
    text = "bread tested: {answer: yes, laboratory: Field Lane, found: 20 ppm, on: 2027-03-01, says: Tested, signed: Ines Marlow}"
    room, problems = read(text)
    assert problems == []
    assert room is not None
    assert room.test is not None
    assert (room.test.found_mg_per_kg, room.test.signed) == (Fraction(20), "Ines Marlow")
    assert "may not be called gluten-free (US)" in read(text, "US")[1][0]


@pytest.mark.parametrize(
    ("found", "region", "may"),
    [(20, "EU", True), (21, "EU", False), (20, "US", False), (19, "US", True), (1, "AU", False), (None, "NZ", True)],
)  # fmt: skip
def test_the_limits_are_those_of_the_law(found, region, may):
    # Regulation (EU) No 828/2014, annex; 21 CFR 101.91 (from memory); Food Standards Code 1.2.7 (from memory)
    assert may_be_claimed(None if found is None else Fraction(found), region) == may
