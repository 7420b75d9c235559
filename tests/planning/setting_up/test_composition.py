"""What a piece is made of adds up to what it weighs, in every class that ships."""

from fractions import Fraction
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.setting_up.composition import lesson_composition, person_compositions

LESSONS = Path(__file__).parents[3] / "lessons"
CLASSES = ("saturday-twelve", "wholemeal-six", "one-to-one")


@pytest.fixture(scope="module", params=CLASSES)
def plan(request: pytest.FixtureRequest) -> ClassPlan:
    return plan_class(
        read_sources(LESSONS / f"{request.param}.yaml", LESSONS.parent / "templates")
    ).plan


def test_a_piece_weighs_its_dough_and_its_toppings(plan: ClassPlan) -> None:
    for person in plan.people:
        for portion, made in zip(
            person.portions, person_compositions(plan, person.index), strict=True
        ):
            on_top = sum(
                line.grams for line in portion.toppings if line.purpose not in ("dusting", "oiling")
            )
            piece_g = plan.lesson.variation(portion.variation).piece_dough_g
            assert made.mixed_g == piece_g + Fraction(on_top) / portion.pieces
            assert made.finished_g == portion.baked_piece_g + Fraction(on_top) / portion.pieces


def test_everything_a_persons_card_names_is_in_the_bread(plan: ClassPlan) -> None:
    """Labels fail closed: nothing weighed for a person, dusting and oiling with it, is missing."""
    for person in plan.people:
        found = {
            one.name
            for made in person_compositions(plan, person.index)
            for one, _ in made.everything
        }
        lines = [line for portion in person.portions for line in portion.toppings]
        unit_lines = plan.unit(person.unit).lines if person.unit else ()
        preferments = {unit.key: unit for unit in plan.units if unit.kind == "preferment"}
        for line in (*lines, *person.dusting, *unit_lines):
            if line.ingredient in preferments:
                assert found >= {one.ingredient for one in preferments[line.ingredient].lines}
            else:
                assert line.ingredient in found


def test_a_loaf_by_hand() -> None:
    """750 g of dough at 100 + 63 + 4 + 2 + 1 = 170 %: 441.2 g flour, 277.9 g water; 12 % lost leaves 660 g."""
    plan = plan_class(
        read_sources(LESSONS / "saturday-twelve.yaml", LESSONS.parent / "templates")
    ).plan
    loaf = lesson_composition(plan, "tin loaf")
    grams = {one.name: round(float(value), 1) for one, value in loaf.used}
    assert grams["strong white flour"] == 441.2
    assert grams["water"] == 277.9
    assert loaf.finished_g == 660
    assert [one.name for one, _ in loaf.touched] == ["sunflower oil", "strong white flour"]
