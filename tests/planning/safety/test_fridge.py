"""The fridge's clock: one for every sheet, one for each station's tub."""

import json
from fractions import Fraction

import pytest

from classpack.class_files import read_sources
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.planning.safety.hygiene import OUT_MIN
from classpack.planning.setting_up.prep_ahead import prep_ahead
from classpack.planning.setting_up.weigh_out import weigh_out
from classpack.sheets.day.fridge_rows import by_minute, cold
from classpack.sheets.day.rows import day_rows
from classpack.sheets.exports.class_json import class_json
from classpack.sheets.setting_up.jobs import setting_up_jobs
from classpack.sheets.setting_up.prep import moment, prep_sheet
from classpack.sheets.setting_up.weigh_out import tub_labels
from classpack.sheets.stations.station_sheet import station_sheet
from tests.planning.made_up_classes import EVERY_CLASS, ROOT, shipped


def planned(folder) -> Planned:
    return plan_class(read_sources(folder / "day.yaml", ROOT / "templates"))


def edit(folder, name, *changes):
    path = folder / f"{name}.yaml"
    text = path.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, "utf-8")


# ---------------------------------------------------------------- every sheet says the same


def at_stations(plan):
    """What the station sheets tell: (station, ingredient, out, bin), read from their clocks."""
    found = set()
    for station in plan.stations:
        for head in station_sheet(plan, station).clock:
            for one in (head, *head.also):
                found |= {
                    (station.station.name, item.ingredient, item.out_min, item.bin_min)
                    for item in one.cold
                }
    return found


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_every_sheet_names_the_same_minutes_for_the_same_station(name):
    plan = shipped(name)
    prep = prep_sheet(plan)
    told = {
        (station, one.ingredient, one.out, one.bin) for one in prep.cold for station in one.stations
    }
    hygiene = {
        (one.station, item.ingredient, item.out_min, item.bin_min)
        for one in plan.safety.stations
        for item in one.cold
    }
    spoiling = {
        (one.station, item.ingredient, item.out_min, item.bin_min)
        for one in plan.safety.stations
        for item in one.cold
        if item.spoils
    }
    assert {(a, b, moment(plan, c), moment(plan, d)) for a, b, c, d in hygiene} <= told
    assert at_stations(plan) == {one for one in hygiene if one[0] != "tutor"}
    start = plan.timed.start_min
    assert {
        (station, one.ingredient, one.out_min - start)
        for one in cold(plan)
        for station in one.stations
    } == {one[:3] for one in hygiene}
    assert {
        (station, one.ingredient, one.out_min - start, one.bin_min - start)
        for one in cold(plan)
        for station in one.stations
        if one.bin_min is not None
    } == spoiling
    written = json.loads(class_json(plan))["before_the_class"]["out_of_the_fridge"]
    assert {
        (one["station"], one["ingredient"], one["out_min"], one["bin_min"]) for one in written
    } == {
        (
            one.station,
            one.ingredient,
            plan.day.start_min + one.out_min,
            plan.day.start_min + one.bin_min if one.spoils else None,
        )
        for one in plan.safety.fridge
    }  # fmt: skip


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_the_day_has_one_row_for_all_that_leaves_the_fridge_in_a_minute(name):
    plan = shipped(name)
    rows = [row for row in day_rows(plan) if row.kind == "fridge"]
    assert [(row.start_min, row.fridge) for row in rows] == list(by_minute(plan))
    assert len({row.start_min for row in rows}) == len(rows)
    assert [one for row in rows for one in row.fridge] == list(cold(plan))
    told = {(one.ingredient, station) for one in cold(plan) for station in one.stations}
    assert told >= {(one.ingredient, one.station) for one in plan.safety.fridge if one.station}


@pytest.mark.parametrize(
    ("name", "ingredient"),
    [
        ("wholemeal-six", "butter"),
        ("samstag-acht", "Frischhefe"),
        ("saturday-twelve", "rosemary"),
    ],
)
def test_what_is_only_better_cold_comes_out_on_every_sheet_and_is_binned_on_none(name, ingredient):
    plan = shipped(name)
    items = [one for one in plan.safety.fridge if one.ingredient.lower() == ingredient.lower()]
    assert items, {one.ingredient for one in plan.safety.fridge}
    assert not any(one.spoils for one in items)
    assert {one.bin_min for one in cold(plan) if one.ingredient.lower() == ingredient.lower()} == {
        None
    }
    stations = {one.station for one in items} - {"tutor", ""}
    assert stations <= {
        station for station, what, _, _ in at_stations(plan) if what == items[0].ingredient
    }


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_a_label_says_fridge_where_the_prep_sheet_keeps_it_cold(name):
    plan = shipped(name)
    weighed = weigh_out(plan)
    prep = prep_ahead(plan, weighed)
    labels = tub_labels(weighed, prep.that_morning)
    assert {one.tub.ingredient for one in labels if one.cold} == {
        *prep.keep_cold,
        *prep.that_morning,
    }
    printed = next(job for job in setting_up_jobs(plan) if job[0] == "labels/tub-labels")
    assert printed[2]["labels"] == labels


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_no_left_over_rounds_down_to_nothing(name):
    plan = shipped(name)
    prep = prep_ahead(plan, weigh_out(plan))
    sheet = prep_sheet(plan)
    listed = list(sheet.keep)
    assert all(one.amount >= 1 for one in listed if one.unit == "g")
    assert {one.ingredient for one in prep.left_overs if one.soon and one.amount >= 1} <= {
        one.ingredient for one in listed
    }


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_every_chilled_tub_has_a_clock_and_every_clock_its_tub(name):
    plan = shipped(name)
    tubs = set()
    for turn in weigh_out(plan).turns:
        for one in turn.ingredients:
            for tub in one.tubs:
                if one.storage != "ambient" and tub.kind not in ("spare", "preferment"):
                    station = {"demonstration": "tutor", "class": "", "station": tub.where}.get(
                        tub.kind
                    )
                    if station is None:
                        station = next(p.station for p in plan.day.people if p.seat == tub.where)
                    tubs.add((station, tub.ingredient, tub.lot, tub.lots))
    assert {(one.station, one.ingredient, one.lot, one.lots) for one in plan.safety.fridge} == tubs


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_a_station_goes_by_its_own_pieces(name):
    """Wanted while the station works with it, in its own oven load by the minute it is binned."""
    plan = shipped(name)
    for item in plan.safety.fridge:
        assert item.bin_min - item.out_min == OUT_MIN
        for use in item.uses:
            assert item.out_min <= use.minute
            if use.purpose != "dough":
                entries = (
                    plan.clocks.tutor
                    if use.station == "tutor"
                    else plan.clocks.station(use.station)
                )
                loads = {
                    one.start_min
                    for one in entries
                    if one.kind == "load" and (not use.bread or one.variation == use.bread)
                }
                assert use.done_min in loads


def test_two_stations_with_the_same_milk_have_two_clocks():
    """Rolls are brushed at stations C and D: each goes by its own tub, whether or not their loads fall together."""
    plan = shipped("saturday-twelve")
    milk = {one.station: one for one in plan.safety.fridge if one.ingredient == "whole milk"}
    assert set(milk) == {"C", "D"}
    for station, item in milk.items():
        (here,) = (
            one for one in plan.safety.station(station).cold if one.ingredient == "whole milk"
        )
        assert (here.out_min, here.bin_min) == (item.out_min, item.bin_min)
        assert {use.station for use in item.uses} == {station}
    assert {use.people for use in milk["D"].uses} == {(11,)}  # D3 alone makes rolls there


def test_the_demonstration_has_a_clock_of_its_own():
    plan = shipped("wholemeal-six")
    milk = {one.station: one for one in plan.safety.fridge if one.ingredient == "whole milk"}
    assert set(milk) == {"1", "2", "tutor"}
    assert all(one.dough_only for one in milk.values())
    assert "tutor" in {name for one in cold(plan) for name in one.stations}


# ---------------------------------------------------------------- the dough and the glaze hours apart


MILK_TWICE = (
    ("water: 63 %", "water: 43 %\n    whole milk: 20 %"),
    ("into {water}.", "into {water} and {whole milk}."),
    ("sesame seeds: 5 g per piece\n", "sesame seeds: 5 g per piece\n      whole milk: 2 g per piece for glaze\n"),
    ('"Dip in {sesame seeds}."', '"Brush with {whole milk}. Dip in {sesame seeds}."'),
    ("      - top:", "      - glaze:"),
)  # fmt: skip


def late_glaze(folder):
    """Rolls whose dough takes milk at the start and whose glaze is brushed on after the proof, more than two hours later."""
    edit(folder, "lesson", *MILK_TWICE, ("bulk proof: 60 min", "bulk proof: 150 min"),
         ("window: 45-90 min", "window: 120-180 min"))  # fmt: skip
    edit(folder, "day", ("end: 15:00", "end: 18:00"))
    return planned(folder).plan


def test_milk_for_the_dough_and_for_the_glaze_stands_in_two_tubs(class_folder):
    plan = late_glaze(class_folder)
    first, second = (one for one in plan.safety.fridge if one.ingredient == "whole milk")
    assert [(one.station, one.lot, one.lots) for one in (first, second)] == [
        ("A", 1, 2),
        ("A", 2, 2),
    ]
    assert (first.dough_only, second.dough_only) == (True, False)
    assert second.out_min > first.bin_min
    tubs = [tub for tub in weigh_out(plan).tubs if tub.ingredient == "whole milk"]
    assert [(tub.lot, tub.lots) for tub in tubs] == [(1, 2), (2, 2)]
    for tub, purpose in zip(tubs, ("dough", "glaze"), strict=True):
        assert {part.purpose for share in tub.shares for part in share.parts} == {purpose}
    need = next(one for one in plan.needs if one.ingredient == "whole milk")
    assert sum(tub.grams for tub in tubs) == need.grams
    assert tubs[1].grams == 16  # two people with four rolls each, 2 g a roll
    assert (
        "remark (hygiene): Bring whole milk out of the fridge in 2 lots at station A, each two hours at most."
        in [str(remark) for remark in plan.remarks]
    )


def test_milk_that_is_wanted_again_within_two_hours_stands_in_one_tub(class_folder):
    edit(class_folder, "lesson", *MILK_TWICE, ("bulk proof: 60 min", "bulk proof: 20 min"),
         ("window: 45-90 min", "window: 15-30 min"))  # fmt: skip
    plan = planned(class_folder).plan
    uses = [use for one in plan.safety.fridge for use in one.uses if one.ingredient == "whole milk"]
    assert {use.purpose for use in uses} == {"dough", "glaze"}
    items = [one for one in plan.safety.fridge if one.ingredient == "whole milk"]
    tubs = [tub for tub in weigh_out(plan).tubs if tub.ingredient == "whole milk"]
    assert len(items) == len(tubs) == 1
    ((bo, ada),) = [
        (
            next(share for share in tub.shares if "A2" in share.seats),
            next(share for share in tub.shares if "A1" in share.seats),
        )
        for tub in tubs
    ]
    for share in (bo, ada):
        assert [part.purpose for part in share.parts] == ["dough", "glaze"]
        assert share.parts[1].grams == 8


# ---------------------------------------------------------------- one tub for several


def test_a_glaze_for_the_whole_station_is_on_its_clock(class_folder):
    edit(
        class_folder, "lesson",
        ("sesame seeds: 5 g per piece\n", "sesame seeds: 5 g per piece\n      egg: 50 g per station for glaze\n"),
        ("      - top:", "      - glaze:"),
    )  # fmt: skip
    plan = planned(class_folder).plan
    (egg,) = (one for one in plan.safety.fridge if one.ingredient == "egg")
    assert egg.station == "A"
    assert {use.bread for use in egg.uses} == {""}
    rolls = next(
        one for one in plan.clocks.station("A") if one.kind == "load" and one.variation == "rolls"
    )
    assert {use.done_min for use in egg.uses} == {rolls.start_min}
    assert [one.ingredient for one in plan.safety.station("A").cold] == ["egg"]


def test_a_glaze_for_the_whole_class_has_one_clock_that_every_station_tells(class_folder):
    edit(
        class_folder, "lesson",
        ("sesame seeds: 5 g per piece\n", "sesame seeds: 5 g per piece\n      whole milk: 30 g per class for glaze\n"),
        ("      - top:", "      - glaze:"),
    )  # fmt: skip
    edit(
        class_folder, "day",
        ("stations: {A: window bench}", "stations: {A: window bench, B: long table}"),
        ("{name: Bo Tammaru, station: A,", "{name: Bo Tammaru, station: B,"),
    )  # fmt: skip
    plan = planned(class_folder).plan
    items = [one for one in plan.safety.fridge if one.ingredient == "whole milk"]
    assert {one.station for one in items} == {""}
    (item,) = items
    for station in ("A", "B"):
        (here,) = plan.safety.station(station).cold
        assert (here.out_min, here.bin_min) == (item.out_min, item.bin_min)
        assert {use.station for use in here.uses} == {station}
    (tub,) = (tub for tub in weigh_out(plan).tubs if tub.ingredient == "whole milk")
    assert (tub.kind, tub.where, tub.grams) == ("class", "", Fraction(30))
    (entry,) = prep_sheet(plan).cold
    assert entry.stations == ("",)


def test_a_soaker_leaves_the_fridge_at_a_minute_of_its_own_on_prep_sheet_and_run_sheet():
    """Its lesson takes it out 60 min before the first dough, which may be before the class."""
    plan = shipped("poolish-four")
    first = min(
        entry.start_min
        for entries in (*(some for _, some in plan.clocks.stations), plan.clocks.tutor)
        for entry in entries
        if any("seed soaker" in plan.lesson.base.method[n].ingredients for n in entry.steps)
    )
    minute = plan.timed.clock(first) - 60
    (row,) = (one for one in day_rows(plan) if one.kind == "fridge")
    assert [(one.ingredient, one.stations, one.bin_min) for one in row.fridge] == [
        ("seed soaker", (), None)
    ]
    assert row.start_min == minute < plan.day.start_min
    (entry,) = prep_sheet(plan).cold
    assert (entry.ingredient, entry.out.minute, entry.spoils) == ("seed soaker", minute, False)
