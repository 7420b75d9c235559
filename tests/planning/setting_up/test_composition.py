"""What a piece is made of adds up to what it weighs, in every class that ships."""

import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.setting_up.composition import lesson_composition, person_compositions
from classpack.sheets.cards.recipe_card import recipe_card

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


# ---------------------------------------------------------------- a tub that a bench shares


@pytest.fixture(scope="module", params=["station", "class"])
def glazed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> ClassPlan:
    """The Saturday class; the plait's egg is counted out for each bench, or once for the class."""
    folder = tmp_path_factory.mktemp("glazed")
    for path in LESSONS.iterdir():
        shutil.copy(path, folder)
    lesson = folder / "one-dough.yaml"
    text = lesson.read_text("utf-8")
    text = text.replace("egg: 12 g per piece for glaze", f"egg: 40 g per {request.param} for glaze")
    lesson.write_text(text.replace("Beat {egg} in", "Beat the egg in"), "utf-8")
    day = folder / "saturday-twelve.yaml"
    return plan_class(read_sources(day, LESSONS.parent / "templates")).plan


def test_a_shared_glaze_is_in_the_breads_that_use_it_and_in_no_other(glazed: ClassPlan) -> None:
    for person in glazed.people:
        for made, line in zip(
            person_compositions(glazed, person.index), glazed.contains[person.index], strict=True
        ):
            plaited = made.variation == "plaited loaf"
            assert ("egg" in {one.name for one, _ in made.used}) == plaited
            assert ("eggs" in line.names) == plaited
    assert "egg" in {one.name for one, _ in lesson_composition(glazed, "plaited loaf").used}
    assert "egg" not in {one.name for one, _ in lesson_composition(glazed, "tin loaf").used}


def test_all_of_a_shared_glaze_is_divided_over_its_own_breads(glazed: ClassPlan) -> None:
    tubs = [line for station in glazed.stations for line in station.shared] + [*glazed.shared]
    in_the_breads = sum(
        grams * made.pieces
        for person in glazed.people
        for made in person_compositions(glazed, person.index)
        for one, grams in made.used
        if one.name == "egg"
    )
    assert in_the_breads == sum(line.grams for line in tubs if line.ingredient == "egg") > 0


def test_a_shared_glaze_is_named_on_the_card_of_whoever_uses_it(glazed: ClassPlan) -> None:
    for person in glazed.people:
        card = recipe_card(glazed, person)
        plaits = any(bread.variation.name == "plaited loaf" for bread in card.breads)
        named = [name for name, bread in (*card.bench_tubs, *card.class_tubs) if bread]
        assert named == (["egg"] if plaits else [])


def test_a_shared_glaze_is_told_to_the_seats_that_use_it(glazed: ClassPlan) -> None:
    for station in glazed.stations:
        plaits = [
            glazed.people[index].person.seat
            for index in station.people
            if any(one.variation == "plaited loaf" for one in glazed.people[index].portions)
        ]
        rows = [one for one in glazed.bench_rows[station.station.name] if one.ingredient == "egg"]
        told = [who for row in rows for share in row.shares for who in share.who]
        on_the_bench = any(line.ingredient == "egg" for line in station.shared)
        assert told == ([", ".join(plaits)] if on_the_bench else [])
