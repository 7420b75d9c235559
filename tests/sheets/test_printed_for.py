"""The last look reads what is printed: a text that names its reader's own allergen stops the pack, whoever let it through."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.errors import LessonError, Spot
from classpack.planning.needs.resolving import names_own_allergen
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.sheets import printed_for as sheet
from classpack.sheets.printed_for import printed_for
from classpack.workshop import raise_if_own_allergen_is_printed

LESSONS = Path(__file__).parents[2] / "lessons"
WHERE = Spot("day.yaml", 1)


@pytest.fixture(scope="module")
def planned() -> Planned:
    return plan_class(read_sources(LESSONS / "sunday-bookings.yaml", LESSONS.parent / "templates"))


def test_everything_printed_for_a_person_is_read(planned: Planned):
    everybody = [one.index for one in planned.plan.people if one.portions]
    found = printed_for(planned.plan, everybody)
    for index in everybody:
        sheets = {sheet for sheet, _ in found[index]}
        assert {"card", "card's home batch", "bag label"} <= sheets
        assert sheets & {"card's code", "take-home page"}
        label = next(text for name, text in found[index] if name == "bag label")
        assert label.startswith("Ingredients: ")
    own_tools = [index for index in everybody if index in planned.plan.own_tools]
    assert any("tub label" in dict(found[index]) for index in own_tools)


def test_nobody_of_the_shipped_class_meets_their_own_allergen(planned: Planned):
    bound = {one.index: one.needs for one in planned.needs.sheet.people if one.index >= 0}
    for index, texts in printed_for(planned.plan, bound).items():
        assert names_own_allergen(bound[index], texts, "en", WHERE) == ()


def test_a_word_that_slips_through_stops_the_pack(monkeypatch, planned: Planned):
    index, need = next(
        (one.index, need)
        for one in planned.needs.sheet.people
        for need in one.needs
        if one.index >= 0 and "milk" in need.allergens and planned.plan.people[one.index].portions
    )
    before = sheet.recipe_card

    def careless(plan, person):
        card = before(plan, person)
        if person.index != index:
            return card
        parts = tuple(
            replace(part, steps=tuple(replace(one, head="Butter it") for one in part.steps))
            for part in card.parts
        )
        return replace(card, parts=parts)

    monkeypatch.setattr(sheet, "recipe_card", careless)
    with pytest.raises(LessonError) as caught:
        raise_if_own_allergen_is_printed(planned)
    assert f"the need '{need.typed}' is not met: the card says 'butter'" in str(caught.value)
