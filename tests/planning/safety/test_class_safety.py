"""A class's safety put together: minutes, hot jobs, remarks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.model.safety import RESERVED, TUTOR_STEAM
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned, plan_class
from tests.conftest import planned_demo

TEMPLATES = own_folder("templates")


@pytest.fixture(scope="module")
def twelve() -> Planned:
    return planned_demo("saturday-twelve")


def planned(folder: Path) -> Planned:
    return plan_class(read_sources(folder / "day.yaml", TEMPLATES))


def test_the_order_of_the_day_follows_the_clock(twelve: Planned) -> None:
    safety, clocks = twelve.plan.safety, twelve.plan.clocks
    minutes = {one.fired.id: one.minute for one in safety.met}
    assert [one.minute for one in safety.met] == sorted(minutes.values())
    loads = [e.start_min for _, entries in clocks.ovens for e in entries if e.kind == "load"]
    on = [e.start_min for _, entries in clocks.ovens for e in entries if e.kind == "switch on"]
    assert minutes["oven-door-steam"] == min(loads)
    assert minutes["hot-oven"] == max(0, min(on))
    everybody = (*clocks.stations, ("tutor", clocks.tutor))
    hands = [e for _, entries in everybody for e in entries if e.kind == "hands" and e.steps]
    assert minutes["flour-tip"] == min(e.start_min for e in hands)
    cleaning = [e.start_min for _, entries in clocks.stations for e in entries if e.kind == "clean"]
    assert minutes["flour-clean"] == min(cleaning)
    assert minutes["cool-before-bag"] == twelve.plan.day.end_min - twelve.plan.day.start_min


def test_the_talk_the_wall_and_the_papers_tell_the_same_hazards(twelve: Planned) -> None:
    safety = twelve.plan.safety
    known = {one.fired.id for one in safety.met}
    assert {line.caution for line in safety.briefing.lines if line.caution} <= known
    assert {one.fired.id for one in safety.sheet.hazards} <= known
    assert set(RESERVED) <= {one.fired.id for one in safety.sheet.hazards}
    assert {one.id for row in safety.risk for one in row.fired} <= known
    assert safety.briefing is twelve.plan.briefing


def test_the_wall_shows_more_than_one_kind_of_hazard_and_allergens_among_them(
    twelve: Planned,
) -> None:
    kinds = [one.fired.caution.hazard for one in twelve.plan.safety.sheet.hazards]
    assert {"heat", "allergen", "sharp"} <= set(kinds)
    assert len(set(kinds)) >= 4


def test_no_topping_is_out_of_the_fridge_for_more_than_two_hours(twelve: Planned) -> None:
    # Food Standards Australia New Zealand, 2-hour / 4-hour rule: the first limit
    for station in twelve.plan.safety.stations:
        loads = {
            e.start_min for e in twelve.plan.clocks.station(station.station) if e.kind == "load"
        }
        for item in station.cold:
            assert item.bin_min - item.out_min == 120
            assert all(item.out_min < used < item.bin_min for used in item.used_min)
            assert min(loads) <= item.bin_min
    every = [item for one in twelve.plan.safety.stations for item in one.cold]
    assert "rosemary" in {item.ingredient for item in every if not item.spoils}
    names = {item.ingredient for item in every if item.spoils}
    assert names == {"mozzarella", "whole milk", "egg"}


def test_hot_jobs_at_once_are_counted_and_remarked_on(class_folder: Path) -> None:
    path = class_folder / "kitchen.yaml"
    path.write_text(
        path.read_text("utf-8").replace(
            "  Left: {kind: conventional, shelves: 3, hottest: 250 C}\n",
            "  Left: {kind: conventional, shelves: 1, hottest: 250 C}\n"
            "  Right: {kind: conventional, shelves: 1, hottest: 250 C}\n",
        ),
        "utf-8",
    )
    safety = planned(class_folder).plan.safety
    clocks = planned(class_folder).plan.clocks
    doors = sorted(
        minute
        for _, entries in clocks.ovens
        for e in entries
        if e.kind == "load"
        for minute in (e.start_min, e.end_min)
    )
    together = max(sum(1 for other in doors if one <= other < one + 2) for one in doors)
    assert 1 <= safety.hot_jobs <= together
    text = f"{safety.hot_jobs} hot jobs run at once and there is one adult"
    assert (safety.hot_jobs > 1) == any(text in one.text for one in safety.remarks)


def test_where_the_tutor_pours_the_card_says_stand_back_and_never_pour(class_folder: Path) -> None:
    path = class_folder / "lesson.yaml"
    path.write_text(
        path.read_text("utf-8").replace(
            "        range: 220-240 C\n", "        range: 220-240 C\n        steam: tutor pours\n"
        ),
        "utf-8",
    )
    plan = planned(class_folder).plan
    loading = next(
        group
        for group, step in zip(
            plan.placed("tin loaf").before,
            (*plan.lesson.base.method, *plan.lesson.variation("tin loaf").method),
            strict=True,
        )
        if step.stage == "load"
    )
    assert {one.id for one in loading} == {*RESERVED, TUTOR_STEAM, "steam-glass"}
    assert [one.severity for one in loading] == ["WARNING", "WARNING", "WARNING", "CAUTION"]


def test_few_basins_and_a_caution_that_does_not_arise_are_remarked_on(class_folder: Path) -> None:
    for name, old, new in (
        ("kitchen", "country: GB", "country: GB\nsinks: 1"),
        ("day", "pace: 1.5", "pace: 1.5\ntimes: {hand washing: 1 min}"),
        (
            "lesson",
            "lesson: Two breads",
            "cautions on the station sheet: [boil-dough]\nlesson: Two breads",
        ),
    ):
        path = class_folder / f"{name}.yaml"
        path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")
    said = [str(one) for one in planned(class_folder).plan.remarks]
    assert (
        "remark (hygiene): 2 people wash their hands at one sink in 2 min; the plan has 1 min: write 'hand washing' below "
        "'times', or begin with the stations in turn." in said
    )
    assert (
        "remark (safety): The lesson turns off or moves 'boil-dough', which does not arise here."
        in said
    )
    assert (
        "remark (hygiene): The lesson does not say 'carry after and slice after' for the tin loaves: 20 min to carry and 60 min to "
        "slice are taken (common practice)." in said
    )


def test_a_catalogue_nobody_signed_is_not_reviewed_on_every_safety_paper(
    class_folder: Path,
) -> None:
    sources = read_sources(class_folder / "day.yaml", TEMPLATES)
    german = replace(sources, catalogue=replace(sources.catalogue, language="de"))
    assert plan_class(german).plan.safety.sheet.not_reviewed
    assert not plan_class(sources).plan.safety.sheet.not_reviewed
