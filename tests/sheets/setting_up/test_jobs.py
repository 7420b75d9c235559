"""The sheets and files of setting up: tables read back, the calendar read back, labels and slips counted, boxes packed."""

import csv
import datetime
import io
from dataclasses import replace
from fractions import Fraction

import icalendar
import pytest

from classpack.planning.setting_up.kit_list import kit_list
from classpack.planning.setting_up.weigh_out import weigh_out
from classpack.sheets.setting_up.jobs import setting_up_jobs, setting_up_texts
from classpack.sheets.setting_up.name_slips import hottest_c, name_slips
from classpack.sheets.setting_up.packing import kit_and_packing, lock_up
from classpack.sheets.setting_up.prep import prep_sheet
from classpack.sheets.setting_up.weigh_out import tub_labels
from tests.planning.made_up_classes import CLASSES, shipped


@pytest.fixture(params=CLASSES)
def plan(request):
    return shipped(request.param)


def test_the_weigh_out_table_adds_up_to_the_needs(plan):
    text = setting_up_texts(plan)["weigh-out.csv"]
    rows = list(csv.DictReader(io.StringIO(text)))
    sums = {}
    for row in rows:
        assert row["for"] in (
            "station",
            "seat",
            "class",
            "preferment",
            "demonstration",
            "spare",
            "allowance",
        )
        sums[row["ingredient"]] = sums.get(row["ingredient"], Fraction(0)) + Fraction(row["grams"])
    for need in plan.needs:
        assert abs(sums[need.ingredient] - need.grams) <= Fraction(1, 1000)


def test_the_shopping_table_has_every_line_and_its_total(plan):
    rows = list(csv.reader(io.StringIO(setting_up_texts(plan)["shopping-list.csv"])))
    assert {row[1] for row in rows[1:-1]} == {line.ingredient for line in plan.basket.lines}
    costs = sum(Fraction(row[7]) for row in rows[1:-1] if row[7])
    assert costs == Fraction(rows[-1][7]) == Fraction(plan.basket.total, 100)


def test_the_calendar_holds_the_class_and_what_comes_before(plan):
    found = icalendar.Calendar.from_ical(setting_up_texts(plan)["class.ics"])
    events = {str(event["SUMMARY"]): event for event in found.walk("VEVENT")}
    start = datetime.datetime.combine(plan.day.date, datetime.time()) + datetime.timedelta(
        minutes=plan.day.start_min
    )
    assert events[plan.day.title].decoded("DTSTART") == start
    assert all(event.decoded("DTSTART") <= start for event in events.values())
    assert all(event.decoded("DTSTAMP").date() == plan.day.date for event in events.values())
    mixes = [name for name in events if name.startswith("Mix the ")]
    assert len(mixes) == sum(1 for unit in plan.units if unit.kind == "preferment")


def test_every_tub_has_its_label_in_the_order_of_weighing(plan):
    weighed = weigh_out(plan)
    labels = tub_labels(weighed)
    assert len(labels) == weighed.pots
    assert [label.tub for label in labels if label.part == 1] == list(weighed.tubs)
    for label in labels:
        assert bool(label.holds) == bool(plan.larder[label.tub.ingredient].allergens), (
            label.tub.ingredient
        )


def test_every_tin_and_tray_has_its_slip(plan):
    slips = name_slips(plan)
    for person in plan.people:
        mine = [slip for slip in slips if slip.seat == person.person.seat]
        assert len(mine) == sum(portion.trays for portion in person.portions)
    assert hottest_c(plan) in range(180, 260, 5)


def test_every_tool_and_tub_is_in_one_box(plan):
    weighed, kit = weigh_out(plan), kit_list(plan)
    sheet = kit_and_packing(plan)
    for most in (2, 6):
        tables = sheet.tables(most)
        tubs = sum(sum(table.tubs) for table in tables) + sum(count for _, count in sheet.cold)
        rows = [row for table in tables for row in (*table.tools, *table.vessels)]
        assert tubs == weighed.pots == sheet.labels
        assert sum(sum(counts) for _, counts in rows) == sum(line.total for line in kit.lines)
        assert [table.summed for table in tables] == [False] * (len(tables) - 1) + [True]


def test_everything_that_heats_and_cuts_is_on_the_lock_up_list(plan):
    found = lock_up(plan)
    assert [name for name, _, _ in found.ovens] == [oven.name for oven in plan.kitchen.ovens]
    assert found.gas == plan.kitchen.gas
    said = {name for name, _ in found.blades}
    assert said == {
        line.name for line in kit_list(plan).lines if "knife" in line.name or "blade" in line.name
    }


def test_a_preferment_mixed_the_day_before_stands_on_that_date():
    plan = shipped("wholemeal-six")
    (entry,) = prep_sheet(plan).preferments
    assert entry.at.date == plan.day.date
    assert (entry.at.minute // 60, entry.in_one_go) == (9, True)


def test_nutrition_is_a_sheet_only_when_it_is_asked_for(plan):
    names = [job[0] for job in setting_up_jobs(plan)]
    assert "nutrition" not in names
    asked = replace(plan, day=replace(plan.day, nutrition=True))
    assert "nutrition" in [job[0] for job in setting_up_jobs(asked)]


def test_an_amount_that_fills_several_tubs_says_what_stands_in_each():
    plan = shipped("wholemeal-six")
    small = replace(plan, kitchen=replace(plan.kitchen, bowl_capacity_g=Fraction(400)))
    labels = [
        label
        for label in tub_labels(weigh_out(small))
        if (label.tub.ingredient, label.tub.where) == ("strong white flour", "sponge")
    ]
    assert [(label.part, label.parts, label.grams) for label in labels] == [
        (1, 3, 400),
        (2, 3, 400),
        (3, 3, 214),
    ]
