"""Cautions of raw egg hang where somebody uses egg, and nowhere else; in doubt they stay."""

import shutil
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.model.method import Placeholder, Step
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.safety.bench_use import met_by, not_met
from classpack.planning.safety.cautions import fire_method
from classpack.sheets.stations.station_sheet import station_sheet
from tests.planning.made_up_classes import EVERY_CLASS, ROOT, shipped
from tests.planning.safety.test_hygiene import CATALOGUE, FACTS


def uses_egg(plan: ClassPlan, people: tuple[int, ...]) -> bool:
    """Read from the amounts themselves: bowls, toppings, bench."""
    lines = []
    for index in people:
        person = plan.people[index]
        lines += [*person.dusting, *(one for made in person.portions for one in made.toppings)]
        lines += plan.unit(person.unit).lines if person.portions else ()
    known = [plan.larder.get(line.ingredient) for line in lines]
    return any(one is not None and one.kind == "egg" for one in known)


def told(plan: ClassPlan, name: str) -> tuple[bool, bool]:
    """Does a station wash after egg, and does the caution hang there?"""
    washes = [one for one in plan.safety.station(name).washing if one.why == "after raw egg"]
    return bool(washes), "raw-egg" in {one.id for one in plan.on_paper.stations[name]}


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_a_station_washes_after_egg_when_somebody_there_uses_egg(name: str) -> None:
    plan = shipped(name)
    for station in plan.stations:
        washes, _ = told(plan, station.station.name)
        assert washes == uses_egg(plan, station.people), station.station.name


def test_where_the_only_plait_is_brushed_with_milk_no_egg_is_told() -> None:
    plan = shipped("sunday-bookings")
    assert told(plan, "C") == (False, False)
    assert told(plan, "B")[0]
    assert "raw-egg" in {one.fired.id for one in plan.safety.met}


def test_one_neighbour_with_egg_is_enough_to_tell_the_whole_station(tmp_path: Path) -> None:
    folder = tmp_path / "lessons"
    shutil.copytree(ROOT / "lessons", folder)
    bookings = folder / "bookings-twelve.csv"
    text = bookings.read_text("utf-8")
    assert "Ruaridh MacIlwraith;B;plaited loaf" in text
    bookings.write_text(text.replace("Ruaridh MacIlwraith;B;", "Ruaridh MacIlwraith;C;"), "utf-8")
    plan = plan_class(read_sources(folder / "sunday-bookings.yaml", ROOT / "templates")).plan
    assert told(plan, "C")[0]
    assert told(plan, "B") == (False, False)


GLAZED = (
    Step("glaze", ("Brush it with ", Placeholder("egg"))),
    Step("bake", ("Egg browns early.",)),
)


def test_words_told_while_it_bakes_are_no_work_with_egg() -> None:
    fired = fire_method(GLAZED, FACTS, CATALOGUE)
    assert "raw-egg" in {one.id for one in fired[1]}
    assert "raw-egg" in not_met(GLAZED, fired, frozenset({"milk-egg-other"}))
    assert "raw-egg" not in not_met(GLAZED, fired, frozenset({"egg"}))


def test_egg_that_only_the_words_know_of_is_never_left_out() -> None:
    for method in ((Step("glaze", ("Beat an egg and brush it on.",)),), GLAZED[1:]):
        fired = fire_method(method, FACTS, CATALOGUE)
        assert any(one.id == "raw-egg" for group in fired for one in group)
        assert "raw-egg" not in not_met(method, fired, frozenset())


def test_allergens_are_never_left_out_by_what_a_station_uses() -> None:
    every = [one for group in fire_method(GLAZED, FACTS, CATALOGUE) for one in group]
    dropped = {one.id for one in every if not met_by(one, frozenset())}
    assert all(
        {"egg", "perishable"} >= set(one.caution.triggers) for one in every if one.id in dropped
    )


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_hands_are_washed_after_the_glaze_and_before_the_oven_is_opened(name: str) -> None:
    plan = shipped(name)
    for station in plan.stations:
        for row in station_sheet(plan, station).clock:
            for _, why in row.wash:
                assert not (why == "after raw egg" and row.entry.kind in ("load", "take out"))
                if why == "after raw egg":
                    assert any("egg" in step.ingredients for step in row.steps), row.entry
