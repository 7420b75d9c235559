"""Take-home pages: the facts of one to four batches, the class's own version, and nobody's name."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import pytest

from classpack.model.class_plan import Change
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.cards.home_panel import home_panel, page_name
from classpack.sheets.home.take_home import TakeHomePage, take_home_pages
from tests.conftest import DEMOS, planned_demo


@pytest.fixture(scope="module", params=DEMOS)
def plan(request: pytest.FixtureRequest) -> ClassPlan:
    return planned_demo(request.param).plan


def test_every_bread_that_is_made_has_a_page_under_its_name(plan: ClassPlan) -> None:
    pages = take_home_pages(plan)
    assert [page.bread.name for page in pages] == [bread.name for bread in plan.made]
    assert [page.file for page in pages] == [page_name(bread.name) for bread in plan.made]


def test_one_batch_is_the_batch_on_the_card(plan: ClassPlan) -> None:
    for page in take_home_pages(plan):
        panel = home_panel(plan, page.bread, plan.for_everyone)
        one = page.batches[0]
        assert one.pieces == panel.batch.pieces
        assert [(name, grams) for column in one.columns for name, grams in column.lines] == [
            (line.ingredient, line.grams) for column in panel.batch.columns for line in column.lines
        ]
        on_top = [
            (name, amount)
            for name, amount, purpose, _ in one.besides
            if purpose not in ("dusting", "oiling")
        ]
        assert on_top == list(panel.toppings)


def test_so_many_batches_are_so_many_times_one(plan: ClassPlan) -> None:
    for page in take_home_pages(plan):
        one = page.batches[0]
        for number, batch in enumerate(page.batches, 1):
            assert batch.number == number
            assert batch.pieces == number * one.pieces
            assert batch.dough_g == number * one.dough_g
            for column, first in zip(batch.columns, one.columns, strict=True):
                assert column.total_g == sum(grams for _, grams in column.lines)
                assert [grams for _, grams in column.lines] == [
                    number * grams for _, grams in first.lines
                ]


def test_the_method_is_the_base_dough_and_then_the_bread(plan: ClassPlan) -> None:
    for page in take_home_pages(plan):
        base = plan.lesson.base.method
        assert [step.number for step in page.steps] == list(range(1, len(page.steps) + 1))
        assert page.own_from == len(base) + 1
        assert [step.stage for step in page.steps] == [
            step.stage for step in (*base, *page.bread.method)
        ]


def test_a_hot_oven_never_opens_without_its_cautions(plan: ClassPlan) -> None:
    for page in take_home_pages(plan):
        for step in page.steps:
            if step.stage in ("load", "take out"):
                hazards = {fired.caution.hazard for fired in step.cautions}
                assert "heat" in hazards, (page.file, step.number)


def test_what_the_card_says_of_heat_and_blades_is_said_at_home_too(plan: ClassPlan) -> None:
    for page in take_home_pages(plan):
        said = {fired.id for step in page.steps for fired in step.cautions}
        card = {
            fired.id
            for group in plan.placed(page.bread.name).before
            for fired in group
            if fired.caution.hazard not in ("allergen", "people")
        }
        assert card <= said


def changed(plan: ClassPlan, change: Change) -> tuple[TakeHomePage, ...]:
    return take_home_pages(dataclasses.replace(plan, for_everyone=(change,)))


def test_what_is_changed_for_the_whole_class_is_changed_on_the_page() -> None:
    plan = planned_demo("saturday-twelve").plan
    pages = changed(plan, Change("sesame seeds", "", Fraction(1), variation="soft rolls"))
    rolls = next(page for page in pages if page.bread.name == "soft rolls")
    assert "sesame" not in str(rolls.batches).lower()
    assert "sesame" not in rolls.holds.text.lower()
    assert "sesame seeds" not in [
        part.name for step in rolls.steps for part in step.words if not isinstance(part, str)
    ]


def test_a_person_s_own_swap_is_on_no_page() -> None:
    plan = planned_demo("saturday-twelve").plan
    first = plan.people[6]
    version = dataclasses.replace(
        first.version,
        changes=(Change("sesame seeds", "poppy seeds", Fraction(1), variation="soft rolls"),),
    )
    people = tuple(
        dataclasses.replace(one, version=version) if one is first else one for one in plan.people
    )
    assert take_home_pages(dataclasses.replace(plan, people=people)) == take_home_pages(plan)


def test_nobody_is_named_on_a_page(plan: ClassPlan) -> None:
    text = repr(take_home_pages(plan))
    for person in plan.day.people:
        assert person.name not in text


def test_nutrition_stands_there_when_the_class_file_asks_for_it() -> None:
    plan = planned_demo("one-to-one").plan
    assert all(page.nutrition is None for page in take_home_pages(plan))
    asked = dataclasses.replace(plan, day=dataclasses.replace(plan.day, nutrition=True))
    assert all(page.nutrition and page.nutrition.per_100g for page in take_home_pages(asked))
