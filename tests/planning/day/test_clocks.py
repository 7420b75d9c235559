"""The plan told to stations, tutor and ovens agrees with the plan, and no shelf, hand or oven is used twice at once."""

from itertools import pairwise
from pathlib import Path

import pytest

from classpack.errors import LessonError, Problem
from classpack.model.class_plan import Version
from classpack.model.lesson import Lesson
from classpack.model.timed_day import DayClocks, Entry, TimedDay
from classpack.planning.amounts.scaling import scaled
from classpack.planning.day.clocks import ROUNDED_DOWN_TO, day_clocks
from classpack.planning.day.setting import day_setting, dial_c
from classpack.planning.timetable.planner import plan_day
from classpack.reading.class_file import KnownBread, open_class, read_class
from classpack.reading.kitchen_file import read_kitchen
from classpack.reading.larder_file import package_larder
from classpack.reading.lesson_file import read_lesson


def raise_all(problems: list[Problem]) -> None:
    """Raise every problem found so far, if there is any."""
    if problems:
        raise LessonError(problems)


LESSONS = Path(__file__).parents[3] / "lessons"
LARDER = package_larder()
DAYS = {
    "saturday-twelve": ("one-dough", "net-loft", ""),
    "wholemeal-six": ("wholemeal-and-honey", "old-creamery", ""),
    "one-to-one": ("one-dough", "net-loft", ""),
    # everybody makes rolls and pizza too, in a kitchen with one oven for all
    "crowded": ("one-dough", "net-loft", "makes: {soft rolls: 3, pizza: 1}"),
}


def timed_day(name: str) -> tuple[Lesson, TimedDay, DayClocks]:
    def text(file: str) -> str:
        return (LESSONS / f"{file}.yaml").read_text("utf-8")

    lesson_file, kitchen_file, makes = DAYS[name]
    lesson = read_lesson(text(lesson_file), lesson_file, LARDER)
    kitchen = read_kitchen(text(kitchen_file), kitchen_file)
    day_text = text("saturday-twelve" if makes else name)
    if makes:
        for bread in ("tin loaf", "tray bread"):
            day_text = day_text.replace(f"    makes: {bread}\n", f"    {makes}\n")
    top, _, problems = open_class(day_text, name)
    day = read_class(
        top, name, tuple(KnownBread(one.name, one.pieces) for one in lesson.variations)
    )
    raise_all(problems)
    makings = tuple(person.makes for person in day.people)
    result, _ = scaled(lesson, day, kitchen, LARDER, makings, (Version(),) * len(makings))
    setting = day_setting(lesson, day, kitchen, result.people, result.units)
    timed = TimedDay(setting, plan_day(setting.problem, 300), day.start_min)
    return lesson, timed, day_clocks(lesson, timed)


@pytest.fixture(scope="module", params=list(DAYS))
def told(request) -> tuple[Lesson, TimedDay, DayClocks]:
    return timed_day(request.param)


def all_of(clocks: DayClocks, kind: str) -> list[Entry]:
    return [entry for _, entries in clocks.stations for entry in entries if entry.kind == kind]


def test_every_list_is_in_the_order_of_its_minutes(told):
    _, _, clocks = told
    for entries in (clocks.tutor, *(entries for _, entries in (*clocks.stations, *clocks.ovens))):
        assert entries
        assert all(a.start_min <= b.start_min for a, b in pairwise(entries))
        assert all(entry.start_min <= entry.end_min for entry in entries)


def test_each_bread_is_told_from_shaping_to_cooling_without_a_gap(told):
    lesson, _, clocks = told
    for _, entries in clocks.stations:
        for shape in (entry for entry in entries if entry.kind == "shape"):
            same = [
                entry
                for entry in entries
                if (entry.variation, entry.lot) == (shape.variation, shape.lot)
            ]
            assert {(entry.people, entry.pieces) for entry in same} == {
                (shape.people, shape.pieces)
            }
            for proof in (entry for entry in same if entry.kind == "final proof"):
                assert proof.start_min == shape.end_min
                load = next(e for e in same if e.kind == "load")
                prepares = [e for e in same if e.kind == "prepare"]
                chills = [e for e in same if e.kind == "chill"]
                assert len(prepares) == bool(lesson.variation(shape.variation).before_load)
                after = [e.start_min for e in (*chills, *prepares, load)]
                assert proof.end_min == after[0]
                assert all(chill.end_min == after[1] for chill in chills)
                for prepare in prepares:
                    assert prepare.end_min <= load.start_min <= prepare.end_min + 10
                assert load.out_min == load.end_min
                assert load.minutes == lesson.variation(load.variation).bake.minutes
                assert any(e.kind == "take out" and e.start_min == load.end_min for e in same)
                assert any(e.kind == "cool" and e.start_min == load.end_min for e in same)
                assert load.people


def test_every_minute_in_the_fridge_is_told(told):
    _, timed, clocks = told
    planned = sum(minutes for row in timed.plan.cold_min for minutes in row)
    own = [("tutor", tuple(one for one in clocks.tutor if one.station == "tutor"))]
    told_min = sum(
        entry.minutes
        for _, entries in (*clocks.stations, *own)
        for entry in entries
        if entry.kind == "chill"
    )
    assert told_min == planned


def test_nobody_is_wanted_in_two_places(told):
    _, _, clocks = told
    for _, entries in clocks.stations:
        for person in {index for entry in entries for index in entry.people}:
            busy = [
                entry
                for entry in entries
                if entry.kind in ("event", "hands", "shape", "prepare", "clean")
                and entry.minutes
                and (person in entry.people or not entry.people)
            ]
            assert all(a.end_min <= b.start_min for a, b in pairwise(busy))


def test_every_piece_that_is_planned_is_loaded_once(told):
    _, timed, clocks = told
    planned = sum(made.pieces for lots in timed.setting.lots for made in lots)
    loaded = sum(
        entry.pieces for _, entries in clocks.ovens for entry in entries if entry.kind == "load"
    )
    assert loaded == planned


def test_no_two_breads_stand_on_one_shelf_unless_it_holds_both(told):
    lesson, timed, clocks = told
    for oven, (_, entries) in zip(timed.setting.ovens, clocks.ovens, strict=True):
        loads = [entry for entry in entries if entry.kind == "load"]
        for start in {entry.start_min for entry in loads}:
            together = [entry for entry in loads if entry.start_min == start]
            on: dict[int, set[str]] = {}
            for entry in together:
                assert entry.shelves
                assert set(entry.shelves) <= set(range(1, oven.places + 1))
                for shelf in entry.shelves:
                    on.setdefault(shelf, set()).add(entry.variation)
            assert all(len(names) == 1 for names in on.values())
            for name in {entry.variation for entry in together}:
                pieces = sum(entry.pieces for entry in together if entry.variation == name)
                shelves = {
                    s for entry in together if entry.variation == name for s in entry.shelves
                }
                assert pieces <= len(shelves) * lesson.variation(name).bake.pieces_per_shelf


def test_an_oven_is_hot_before_its_first_load_and_holds_one_load_at_a_time(told):
    _, timed, clocks = told
    problem = timed.setting.problem
    for number, (oven, (_, entries)) in enumerate(
        zip(timed.setting.ovens, clocks.ovens, strict=True)
    ):
        planned = sorted(
            (load for load in timed.plan.loads if load.oven == number),
            key=lambda load: load.start_min,
        )
        if not planned:
            assert not entries
            continue
        on = entries[0]
        assert (on.kind, on.end_min) == ("switch on", planned[0].start_min)
        assert on.start_min % ROUNDED_DOWN_TO == 0
        tens = (planned[0].oven_c - problem.ovens[number].start_c) / 10
        assert on.minutes >= tens * problem.ovens[number].up_per_10_c
        for load in planned:
            here = [e for e in entries if e.kind == "load" and e.start_min == load.start_min]
            assert {e.dial_c for e in here} == {int(dial_c(oven, load.oven_c))}
            assert all(e.dial_c <= oven.hottest_c for e in here)
        ends = [
            max(e.end_min for e in entries if e.kind == "load" and e.start_min == load.start_min)
            for load in planned
        ]
        assert all(end <= load.start_min for end, load in zip(ends, planned[1:], strict=False))


def test_the_tutor_is_told_every_load_and_every_taking_out(told):
    _, _, clocks = told
    loads = [entry for _, entries in clocks.ovens for entry in entries if entry.kind == "load"]
    assert {e for e in clocks.tutor if e.kind == "load"} >= set(loads)
    outs = {
        (e.start_min, e.oven, e.variation, e.station) for e in clocks.tutor if e.kind == "take out"
    }
    assert outs == {(e.end_min, e.oven, e.variation, e.station) for e in loads}


def test_no_dough_waits_longer_than_its_most_unless_the_plan_says_so(told):
    _, timed, clocks = told
    over = 0
    for kind in ("bulk proof", "final proof"):
        for entry in all_of(clocks, kind):
            assert entry.latest_min is not None
            over += max(0, entry.end_min - entry.latest_min)
    assert over <= timed.plan.over_proof_min
