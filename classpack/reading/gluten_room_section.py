"""The class file's ``without gluten``: seven answers about the room, each with who says so and when."""

from __future__ import annotations

import datetime
import re
from fractions import Fraction

from classpack.errors import Problem
from classpack.model.gluten_room import (
    ANSWERS,
    ROOM_QUESTIONS,
    BreadTest,
    GlutenRoom,
    RoomAnswer,
    RoomQuestion,
    may_be_claimed,
)
from classpack.quantities import NotUnderstood, parse_date, plain
from classpack.reading.sections import Section, known
from classpack.reading.yaml_lines import Fields, Text

_EXAMPLE = "{answer: yes, by: Ines Marlow, on: 2027-03-12}"
_EXAMPLE_TEST = (
    "{answer: yes, laboratory: Field Lane Laboratory, found: 5 mg/kg, on: 2027-03-01, says: "
    '"Tested gluten-free", signed: Ines Marlow}'
)


def read_gluten_room(top: Section, date: datetime.date, region: str) -> GlutenRoom | None:
    """The answers; None when the class file has no such section. What is missing stays open and is told where it matters.

    >>> from classpack.reading.yaml_lines import read_nodes
    >>> text = "without gluten: {cleaned: {answer: yes, by: Ines Marlow, on: 2027-03-12}, bread tested: no}"
    >>> top = Section(read_nodes(text, "day.yaml"), "the class day", [])
    >>> room = read_gluten_room(top, datetime.date(2027, 3, 13), "UK")
    >>> [(one.question, one.answer) for one in room.answers], room.open[:2]
    ([('cleaned', 'yes'), ('bread tested', 'no')], ('no loose flour', 'own tools'))
    """
    section = top.section("without gluten", "'without gluten'")
    if section is None:
        return None
    answers, test = [], None
    for question in ROOM_QUESTIONS:
        answer, inner = _answer(section, question, date)
        if answer is None:
            continue
        if inner is not None and question == "bread tested" and answer.answer == "yes":
            test = _test(inner, answer, region)
        if inner is not None:
            inner.close()
        answers.append(answer)
    section.close()
    return GlutenRoom(tuple(answers), test, section.spot)


def _answer(
    section: Section, question: RoomQuestion, date: datetime.date
) -> tuple[RoomAnswer | None, Section | None]:
    node = section.raw(question)
    if node is None:
        return None, None
    example = _EXAMPLE_TEST if question == "bread tested" else _EXAMPLE
    if isinstance(node, Text):
        answer = known(node.value, ANSWERS)
        if answer in ("no", "not known"):
            return RoomAnswer(question, answer, spot=node.spot), None
        wrong = "does not say who says so and when" if answer else f"is '{node.value[:40]}'"
        section.problem(node.spot, f"'{question}' {wrong}", f"write {example}, or no, or not known")
        return None, None
    inner = Section(node, f"'{question}'", section.problems)
    if not isinstance(node, Fields):
        return None, None
    answer = inner.choice("answer", ANSWERS, "'answer: yes', no or not known") or None
    sure = answer == "yes"
    on = inner.read("on", parse_date, "the date, as in 'on: 2027-03-12'" if sure else "")
    by = "" if question == "bread tested" else inner.text("by", "who says so, as in 'by: Ines Marlow'" if sure else "")  # fmt: skip
    if on is not None and on > date:
        inner.problem(
            inner.spot_of("on"),
            f"'{question}' is dated {on.isoformat()}, after the class",
            "write the day on which it was seen or done",
        )
    return (RoomAnswer(question, answer, by, on, node.spot) if answer else None), inner


def _test(inner: Section, answer: RoomAnswer, region: str) -> BreadTest | None:
    """The laboratory's result. One that opens no claim is a problem, so that nobody prints it as if it did."""
    laboratory = inner.text(
        "laboratory", "who tested it, as in 'laboratory: Field Lane Laboratory'"
    )
    found = inner.read("found", _mg_per_kg, "what was found, as in 'found: 5 mg/kg', or 'found: none found'")  # fmt: skip
    says = inner.text(
        "says", "your own sentence for the label, as in 'says: \"Tested gluten-free\"'"
    )
    signed = inner.text("signed", "your name under the claim, as in 'signed: Ines Marlow'")
    if found is None or answer.on is None:
        return None
    result = found[0]
    if not may_be_claimed(result, region):
        shown = plain(result or Fraction(0), 2)
        inner.problems.append(
            Problem(
                inner.spot_of("found"),
                f"the test found {shown} mg of gluten in a kilogram, which may not be called gluten-free ({region})",
                "write 'bread tested: no'; the place stays open, the claim does not",
            )
        )
        return None
    return BreadTest(laboratory, answer.on, result, says, signed)


def _mg_per_kg(text: str) -> tuple[Fraction | None]:
    if text == "none found":
        return (None,)
    match = re.fullmatch(r"(\d{1,6}(?:\.\d{1,3})?) ?(?:mg/kg|ppm)", text)
    if match is None:
        raise NotUnderstood(
            f"'found' is '{text[:40]}'", "write it as in 'found: 5 mg/kg', or 'found: none found'"
        )
    return (Fraction(match[1]),)
