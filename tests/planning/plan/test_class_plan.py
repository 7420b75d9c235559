"""The plan is whole: worked out once, and the same on every paper, for ``check`` and in ``class.json``."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.cli import main
from classpack.places import own_folder
from classpack.planning.day.again import Happening
from classpack.planning.plan.class_plan import MOST_REMEDIES, NOT_ON_THE_DAY, ClassPlan
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.planning.plan.plan_rest import plan_rest
from classpack.sheets.day.run_sheet import run_sheet
from classpack.sheets.exports.class_json import class_json
from tests.conftest import planned_demo


@pytest.fixture
def late(class_folder: Path) -> Path:
    """A class that ends before its bread is baked."""
    path = class_folder / "day.yaml"
    path.write_text(path.read_text("utf-8").replace("end: 15:00", "end: 12:45"), "utf-8")
    return path


def planned(path: Path) -> Planned:
    return plan_class(read_sources(path, own_folder("templates")))


def test_check_run_sheet_and_json_name_the_same_remedies(
    late: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = planned(late).plan
    assert not plan.timed.plan.fits
    assert plan.remedies
    assert len(plan.remedies) <= MOST_REMEDIES
    assert main(["check", str(late)]) == 0
    told = capsys.readouterr().out.splitlines()
    lines = [line.removeprefix("what would help: ") for line in told if "would help" in line]
    assert lines == [one.text for one in plan.remedies]
    assert run_sheet(plan).remedies == plan.remedies
    written = json.loads(class_json(plan))["day"]["remedies"]
    assert [one["text"] for one in written] == lines


def test_a_class_that_fits_is_told_no_remedy(class_folder: Path) -> None:
    assert planned(class_folder / "day.yaml").plan.remedies == ()


def test_what_no_longer_helps_is_not_told_on_the_day(late: Path) -> None:
    before = planned(late)
    rest = plan_rest(before, Happening(before.plan.day.start_min + 5)).plan
    assert rest.again is not None
    assert not {one.kind for one in rest.remedies} & set(NOT_ON_THE_DAY)
    assert rest.warmer_room == ()


def kept_fields() -> list[str]:
    """Everything a plan works out when it is first asked."""
    from functools import cached_property

    return [
        name
        for kind in ClassPlan.__mro__
        for name, value in vars(kind).items()
        if isinstance(value, cached_property) and not name.startswith("_")
    ]


@pytest.mark.parametrize("name", kept_fields())
def test_everything_is_worked_out_once(name: str) -> None:
    plan = planned_demo("one-to-one").plan
    assert getattr(plan, name) is getattr(plan, name)


def test_a_changed_plan_keeps_nothing_of_the_one_before() -> None:
    plan = planned_demo("one-to-one").plan
    assert plan.weighed.pots
    bare = dataclasses.replace(plan, units=(), stations=(), batches=(), shared=())
    assert bare.weighed.pots == 0


def test_the_same_files_give_the_same_plan(class_folder: Path) -> None:
    path = class_folder / "day.yaml"
    assert planned(path).plan == planned(path).plan


def test_every_caution_of_the_class_is_on_somebodys_paper() -> None:
    """What fires is on a card, at a station, on the wall or on the tutor's sheet: nothing is dropped between them."""
    plan = planned_demo("saturday-twelve").plan
    said = {name for card in plan.on_paper.cards for name in card.ids}
    said |= {one.id for hung in plan.on_paper.stations.values() for one in hung}
    said |= {one.id for one in plan.on_paper.tutor}
    said |= {met.fired.id for met in plan.safety.sheet.hazards}
    assert {met.fired.id for met in plan.safety.met} <= said


def test_safety_in_the_json_is_what_the_papers_print() -> None:
    plan = planned_demo("saturday-twelve").plan
    told = {one["id"]: one for one in json.loads(class_json(plan))["safety"]["cautions"]}
    for person, card in zip(plan.people, plan.on_paper.cards, strict=True):
        for name in card.ids & told.keys():
            assert person.person.seat in told[name]["cards"]
    for one in told.values():
        assert one["cards"] or one["stations"] or one["wall"] or one["tutor"], one["id"]
    for one in plan.on_paper.tutor:
        assert told[one.id]["tutor"]
