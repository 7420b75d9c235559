"""The night the clocks are moved: the published rules against the tz database, and what a class says of it word for word.

Outside sources: Directive 2000/84/EC, articles 2 and 3; Summer Time Order 2002 (SI 2002/262); 15 USC 260a; New Zealand Daylight Time
Order 2007; all of them as they are in the tz database (IANA), read with the standard library's ``zoneinfo``.
"""

from __future__ import annotations

import datetime
import io
import zoneinfo
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import icalendar
import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.class_files import read_sources
from classpack.model.class_day import ClassDay
from classpack.model.timed_day import DayClocks, Entry
from classpack.pages.pack_templates import pack_templates
from classpack.pages.templates import Templates
from classpack.places import own_folder
from classpack.planning.day.clock_change import (
    ClassClock,
    class_clock,
    class_crossed,
    clock_remarks,
)
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.safety.emergency import CALLS
from classpack.planning.setting_up.prep_ahead import preferment_times
from classpack.reading.clock_zones import clock_changes
from classpack.sheets.day.run_sheet import beforehand, run_sheet
from classpack.sheets.exports.class_json import class_json
from classpack.sheets.setting_up.jobs import setting_up_jobs, setting_up_texts
from classpack.sheets.setting_up.prep import moment
from classpack.workshop import print_pack, remarks_as_read

YEARS = range(2016, 2037)
UTC = datetime.UTC

ZONES = {
    ("UK", "GB"): "Europe/London",
    ("UK", ""): "Europe/London",
    ("EU", "IE"): "Europe/Dublin",
    ("EU", "PT"): "Europe/Lisbon",
    ("EU", "DE"): "Europe/Berlin",
    ("EU", "France"): "Europe/Paris",
    ("EU", "ES"): "Europe/Madrid",
    ("EU", "Sweden"): "Europe/Stockholm",
    ("EU", "PL"): "Europe/Warsaw",
    ("EU", ""): "Europe/Brussels",
    ("EU", "NO"): "Europe/Oslo",
    ("EU", "Switzerland"): "Europe/Zurich",
    ("EU", "FI"): "Europe/Helsinki",
    ("EU", "GR"): "Europe/Athens",
    ("EU", "RO"): "Europe/Bucharest",
    ("EU", "BG"): "Europe/Sofia",
    ("EU", "CY"): "Asia/Nicosia",
    ("US", "US"): "America/New_York",
    ("US", ""): "America/Los_Angeles",
    ("NZ", "New Zealand"): "Pacific/Auckland",
    ("NZ", ""): "Pacific/Auckland",
    ("AU", "AU"): "Australia/Sydney",
    ("AU", ""): "Australia/Hobart",
    ("AU", "Australia"): "Australia/Adelaide",
    ("US", "CA"): "America/Toronto",
    ("UK", "JP"): "Asia/Tokyo",
    ("EU", "IS"): "Atlantic/Reykjavik",
    ("UK", "ZA"): "Africa/Johannesburg",
    ("UK", "India"): "Asia/Kolkata",
    ("UK", "SG"): "Asia/Singapore",
    ("UK", "HK"): "Asia/Hong_Kong",
    ("UK", "KR"): "Asia/Seoul",
}


def moved(zone: zoneinfo.ZoneInfo, year: int) -> list[tuple[datetime.date, int, int]]:
    """When a zone's clocks are moved: the local date and minute by the clock before, and by how many minutes."""
    found = []
    step = datetime.timedelta(minutes=30)
    first = datetime.datetime(year, 1, 2, tzinfo=UTC)
    for day in (first + datetime.timedelta(days=n) for n in range(364)):
        if day.astimezone(zone).utcoffset() == (day + 48 * step).astimezone(zone).utcoffset():
            continue
        for before in (day + n * step for n in range(48)):
            by = (before + step).astimezone(zone).utcoffset() - before.astimezone(zone).utcoffset()
            if by:
                local = before.astimezone(zone).replace(tzinfo=None) + step
                minute = local.hour * 60 + local.minute
                found.append((local.date(), minute, by // datetime.timedelta(minutes=1)))
    return found


@pytest.mark.parametrize("place", ZONES, ids=map(" ".join, ZONES))
def test_the_rules_are_those_of_the_tz_database_for_twenty_years(place: tuple[str, str]) -> None:
    zone = zoneinfo.ZoneInfo(ZONES[place])
    for year in YEARS:
        found = [(one.date, one.at_min, one.by_min) for one in clock_changes(*place, year)]
        assert found == moved(zone, year), year


def sunday(year: int, month: int, which: int) -> datetime.date:
    """The first, second ... Sunday of a month, or with -1 its last."""
    days = (datetime.date(year, month, 1) + datetime.timedelta(days=n) for n in range(31))
    return [day for day in days if day.month == month and day.weekday() == 6][which - (which > 0)]


@pytest.mark.parametrize("year", YEARS)
def test_the_changes_are_those_the_law_names(year: int) -> None:
    """Summer Time Order 2002 (SI 2002/262); Directive 2000/84/EC, articles 2 and 3: 1:00 GMT; 15 USC 260a: 2:00; New Zealand
    Daylight Time Order 2007: 2:00 and 3:00. The hours are those of the clock before it is moved."""
    laws = {
        ("UK", "GB"): [(sunday(year, 3, -1), 60, 60), (sunday(year, 10, -1), 120, -60)],
        ("EU", "DE"): [(sunday(year, 3, -1), 120, 60), (sunday(year, 10, -1), 180, -60)],
        ("EU", "FI"): [(sunday(year, 3, -1), 180, 60), (sunday(year, 10, -1), 240, -60)],
        ("US", "US"): [(sunday(year, 3, 2), 120, 60), (sunday(year, 11, 1), 120, -60)],
        ("NZ", "NZ"): [(sunday(year, 4, 1), 180, -60), (sunday(year, 9, -1), 120, 60)],
    }
    for place, moves in laws.items():
        found = [(one.date, one.at_min, one.by_min) for one in clock_changes(*place, year)]
        assert found == moves, place


@pytest.mark.parametrize(
    "zone", ["Australia/Brisbane", "Australia/Perth", "Australia/Darwin", "Pacific/Honolulu", "America/Phoenix"]
)  # fmt: skip
def test_the_states_that_are_named_as_left_out_do_leave_their_clocks_alone(zone: str) -> None:
    assert all(moved(zoneinfo.ZoneInfo(zone), year) == [] for year in YEARS)


def test_every_country_with_an_emergency_number_has_its_rule() -> None:
    """A country that a kitchen file may name is never taken for the region's."""
    still = {code for code in CALLS if not clock_changes("UK", code, 2027)}
    assert still == {"HK", "IN", "IS", "JP", "KR", "SG", "ZA"}
    for code in CALLS:
        assert clock_changes("UK", code, 2027) == clock_changes("AU", code, 2027), code


def test_a_country_nobody_knows_is_taken_by_the_region() -> None:
    assert clock_changes("NZ", "Atlantis", 2027) == clock_changes("NZ", "NZ", 2027) != ()


def test_nothing_is_reckoned_where_a_state_decides() -> None:
    assert {one.limits for one in clock_changes("AU", "", 2027)} == {"AU"}
    assert not any(one.sure for one in clock_changes("AU", "", 2027))
    assert not any(one.sure for one in clock_changes("US", "Canada", 2027))
    assert all(one.sure for one in clock_changes("US", "", 2027))


# ---------------------------------------------------------------- around a class


def a_day(
    date: str, start_min: int = 600, end_min: int = 900, region: str = "UK", country: str = "GB"
) -> ClassDay:
    on = datetime.date.fromisoformat(date)
    return ClassDay(
        "Bread", "day.yaml", on, start_min, end_min, (), (), region=region,
        clock_changes=clock_changes(region, country, on.year),
    )  # fmt: skip


NO_CLOCKS = DayClocks((), (), ())
SURE = [(place, zone) for place, zone in ZONES.items() if not {"AU", "CA"} & {*place}]
SURE = [one for one in SURE if one[0][1] != "Australia"]


@settings(max_examples=150, deadline=None)
@given(
    place=st.sampled_from(SURE),
    forward=st.booleans(),
    days=st.integers(0, 3),
    start=st.integers(4 * 60 + 5, 22 * 60),
    before=st.integers(0, 60 * 60),
)
def test_a_time_before_the_class_is_what_clocks_show_then(place, forward, days, start, before):
    """Against zoneinfo: so many real minutes before the class. Of the hour that comes twice only the clock is compared."""
    (region, country), name = place
    zone = zoneinfo.ZoneInfo(name)
    changes = clock_changes(region, country, 2027)
    date = (
        next(one.date for one in changes if (one.by_min > 0) == forward)
        if changes
        else datetime.date(2027, 3, 28)
    ) + datetime.timedelta(days=days)
    day = a_day(str(date), start, start + 240, region, country)
    midnight = datetime.datetime.combine(date, datetime.time())
    real = (midnight + datetime.timedelta(minutes=start)).replace(tzinfo=zone).astimezone(UTC)
    local = (real - datetime.timedelta(minutes=before)).astimezone(zone).replace(tzinfo=None)
    shown = class_clock(day).shows(-before)
    assert midnight + datetime.timedelta(minutes=shown) == local


@pytest.mark.parametrize(
    ("date", "start", "end", "real"),
    [
        ("2027-03-27", 22 * 60, 28 * 60, 5 * 60),  # 22:00 to 04:00 over 01:00
        ("2027-10-30", 22 * 60, 28 * 60, 7 * 60),
        ("2027-03-27", 22 * 60, 25 * 60, None),  # ends as the clocks are moved
        ("2027-03-27", 22 * 60, 26 * 60, 3 * 60),
        ("2027-10-30", 22 * 60, 25 * 60 + 30, None),  # 01:30 for the first time
        ("2027-10-30", 22 * 60, 26 * 60, 5 * 60),  # 02:00 comes once, after both
        ("2027-03-28", 30, 5 * 60, 3 * 60 + 30),  # starts half an hour before
        ("2027-03-28", 10 * 60, 15 * 60, None),
        ("2027-03-26", 22 * 60, 28 * 60, None),
    ],
)
def test_a_class_over_the_change_takes_the_minutes_there_are(date, start, end, real):
    """Against zoneinfo, London: the real time between the two clocks."""
    zone = zoneinfo.ZoneInfo("Europe/London")
    midnight = datetime.datetime.combine(datetime.date.fromisoformat(date), datetime.time())
    first, last = (
        (midnight + datetime.timedelta(minutes=one)).replace(tzinfo=zone).astimezone(UTC)
        for one in (start, end)
    )
    found = class_crossed(a_day(date, start, end))
    assert (found.real_min if found else None) == real
    assert last - first == datetime.timedelta(minutes=end - start if real is None else real)


def said(day: ClassDay, country: str = "GB", clocks: DayClocks = NO_CLOCKS) -> list[str]:
    day = replace(day, clock_changes=clock_changes(day.region, country, day.date.year))
    return [str(one) for one in clock_remarks(day, clocks)]


def test_a_class_over_the_change_is_told_so() -> None:
    assert said(a_day("2027-03-27", 22 * 60, 28 * 60)) == [
        "remark (clocks): The clocks go forward at 01:00 on 2027-03-28, during the class: from 22:00 to 04:00 is 5 h, and so it is "
        "planned. Every printed time goes by a clock that nobody moves: keep one so. It shows 03:00 at the end of the class."
    ]
    assert said(a_day("2027-11-06", 22 * 60, 28 * 60, "US"), "US") == [
        "remark (clocks): The clocks go back at 02:00 on 2027-11-07, but not in Hawaii and most of Arizona, during the class: from 22:00 "
        "to 04:00 is 7 h, and so it is planned. Every printed time goes by a clock that nobody moves: keep one so. It shows 05:00 at "
        "the end of the class."
    ]
    assert said(a_day("2027-10-02", 22 * 60, 28 * 60, "AU"), "AU") == [
        "remark (clocks): The clocks go forward at 02:00 on 2027-10-03, but not in Queensland, Western Australia and the Northern "
        "Territory: where they do, the class from 22:00 to 04:00 is 5 h, and the plan takes it for 6 h; go by a clock that nobody moves."
    ]


def test_a_start_or_end_that_no_clock_shows_is_told() -> None:
    assert said(a_day("2027-03-28", 90, 300)) == [
        "remark (clocks): The clocks go forward at 01:00 on 2027-03-28, from 01:00 to 02:00, and the class starts at 01:30, which there "
        "is not; write another time."
    ]
    assert said(a_day("2027-10-30", 22 * 60, 25 * 60 + 30)) == [
        "remark (clocks): The clocks go back at 02:00 on 2027-10-31, and the class ends at 01:30, which comes twice; the first is meant."
    ]


def test_ovens_that_go_on_before_the_change_are_told() -> None:
    on = Entry("switch on", -30, 0, oven="left")
    clocks = DayClocks((), (), (("left", (on,)),))
    assert said(a_day("2027-03-28", 135, 400), clocks=clocks) == [
        "remark (clocks): The clocks go forward at 01:00 on 2027-03-28: when the first oven goes on the clock shows 00:45, not 01:45 as "
        "the sheets say."
    ]
    assert said(a_day("2027-03-28", 180, 400), clocks=clocks) == []


def test_a_class_on_any_other_day_says_nothing() -> None:
    assert said(a_day("2027-03-28")) == []
    assert said(a_day("2027-03-27")) == []
    assert said(a_day("2027-03-13", 22 * 60, 28 * 60)) == []
    assert said(a_day("2027-03-27", 22 * 60, 28 * 60), "Japan") == []


# ---------------------------------------------------------------- what stands overnight


def overnight(tmp_path: Path, *changes: tuple[str, str], kitchen: tuple[str, str] = ("", "")) -> ClassPlan:  # fmt: skip
    """The class with a poolish and a soaker, on the night of the change."""
    for name in ("poolish-four", "poolish-and-seeds", "net-loft", "larder"):
        text = (own_folder("lessons") / f"{name}.yaml").read_text("utf-8")
        for old, new in changes if name == "poolish-four" else ():
            assert old in text
            text = text.replace(old, new)
        if name == "net-loft":
            text = text.replace(*kitchen) if kitchen[0] else text
        (tmp_path / f"{name}.yaml").write_text(text, "utf-8")
    sources = read_sources(tmp_path / "poolish-four.yaml", own_folder("templates"))
    return plan_class(sources).plan


USUAL, FORWARD, BACK = "2027-05-22", "2027-03-28", "2027-10-31"


def remarks(plan: ClassPlan) -> list[str]:
    return [str(one) for one in remarks_as_read(plan) if one.about == "clocks"]


def test_a_poolish_that_stands_through_the_night_has_its_real_hours(tmp_path: Path) -> None:
    """The times to set it move with the clocks, so that it is as ripe as on any other day."""
    usual, forward, back = (
        overnight(tmp_path, (USUAL, date)) for date in (USUAL, FORWARD, BACK)
    )  # fmt: skip
    assert remarks(usual) == []
    assert remarks(forward)[0] == (
        "remark (clocks): The clocks go forward at 01:00 on 2027-03-28: the poolish set at 19:20 on 2027-03-27 has 13 h 59 min until "
        "10:19, an hour less than the clock says; the times to set it count with that."
    )
    assert remarks(back)[1] == (
        "remark (clocks): The clocks go back at 02:00 on 2027-10-31: the seed soaker set at 21:20 on 2027-10-30 has 13 h 59 min until "
        "10:19, an hour more than the clock says; the times to set it count with that."
    )
    for plan in (usual, forward, back):
        zone = zoneinfo.ZoneInfo("Europe/London")
        for one in preferment_times(plan):
            low, high = one.ripe_min
            for minute in (one.from_min, one.mix_min, one.until_min):
                begun, used = (
                    (datetime.datetime.combine(at.date, datetime.time()) + datetime.timedelta(minutes=at.minute))
                    .replace(tzinfo=zone).astimezone(UTC)
                    for at in (moment(plan, minute), moment(plan, one.first_min))
                )  # fmt: skip
                real = Fraction((used - begun) // datetime.timedelta(minutes=1))
                assert low <= real <= high, one.name


def test_every_sheet_and_file_has_the_same_time(tmp_path: Path) -> None:
    plan = overnight(tmp_path, (USUAL, FORWARD))
    on_run = {one.unit.key: one for one in beforehand(plan)}
    assert (on_run["poolish"].mix_min, on_run["poolish"].days_before) == (19 * 60 + 20 - 24 * 60, 1)
    (prep,) = (values["prep"] for name, _, values in setting_up_jobs(plan) if name == "before-and-after")  # fmt: skip
    calendar = icalendar.Calendar.from_ical(setting_up_texts(plan)["class.ics"])
    mixes = {
        str(event["SUMMARY"]).split(":")[0]: event.decoded("DTSTART")
        for event in calendar.walk("VEVENT")
    }
    for entry in prep.preferments:
        one = on_run[entry.name]
        assert entry.at.minute == one.mix_min + 24 * 60
        assert entry.crossed == one.crossed is not None
        assert entry.earliest.minute == one.early_min + 24 * 60
        assert mixes[f"Mix the {entry.name}"] == datetime.datetime(2027, 3, 27, 19, 20)
        assert f'"mix_min": {one.mix_min}' in class_json(plan)


def test_where_a_state_decides_the_times_stay_and_both_are_told(tmp_path: Path) -> None:
    plan = overnight(
        tmp_path, (USUAL, "2027-10-03"), ("region: UK", "region: AU"), kitchen=("country: GB", "country: AU")
    )  # fmt: skip
    assert remarks(plan)[0] == (
        "remark (clocks): The clocks go forward at 2:00 am on 2027-10-03, but not in Queensland, Western Australia and the Northern "
        "Territory: where they do, the poolish set at 8:20 pm on 2027-10-02 has 12 h 59 min until 10:19 am, an hour less than the clock "
        "says; set it an hour earlier there."
    )


def test_in_the_united_states_the_states_left_out_are_told(tmp_path: Path) -> None:
    plan = overnight(
        tmp_path, (USUAL, "2027-03-14"), ("region: UK", "region: US"), kitchen=("country: GB", "country: US")
    )  # fmt: skip
    assert remarks(plan)[0] == (
        "remark (clocks): The clocks go forward at 2:00 AM on 2027-03-14, but not in Hawaii and most of Arizona: the poolish set at 7:20 PM "
        "on 2027-03-13 has 13 h 59 min until 10:19 AM, an hour less than the clock says; the times to set it count with that, so set it an "
        "hour later where they do not."
    )


def test_a_country_without_a_change_says_nothing(tmp_path: Path) -> None:
    assert remarks(overnight(tmp_path, (USUAL, FORWARD), kitchen=("country: GB", "country: JP"))) == []  # fmt: skip


def test_a_class_through_the_change_is_planned_for_its_real_hours(tmp_path: Path) -> None:
    """22:00 to 03:45 is 4 h 45 min that night, as from 10:00 to 14:45 on any other."""
    times = (("start: 10:00", "start: 22:00"), ("end: 14:45", "end: 03:45"))
    plan = overnight(tmp_path, (USUAL, "2027-03-27"), *times)
    assert plan.timed.setting.problem.class_min == 285
    (said_once,) = remarks(plan)
    assert "from 22:00 to 03:45 is 4 h 45 min, and so it is planned" in said_once
    assert plan.day.end_min == 27 * 60 + 45


@pytest.mark.parametrize(
    ("date", "region", "language", "sentence"),
    [
        (FORWARD, "UK", "en", "The clocks go forward on Sunday 28 March at 01:00: from 19:20 to 10:19 is 13 h 59 min, an hour less than the clock says, and the times here count with that."),
        ("2027-11-07", "US", "en", "The clocks go back on Sunday, November 7 at 2:00 AM, but not in Hawaii and most of Arizona: from 9:20 PM to 10:19 AM is 13 h 59 min, an hour more than the clock says, and the times here count with that. Where they do not, an hour earlier."),
        (BACK, "EU", "de", "Am Sonntag, 31. Oktober um 03:00 Uhr werden die Uhren eine Stunde zurückgestellt, nach mitteleuropäischer Zeit: Von 21:20 bis 10:19 Uhr sind es 13 Std. 59 min, eine Stunde mehr als nach der Uhr; die Zeiten hier rechnen damit."),
    ],
)  # fmt: skip
def test_run_sheet_and_prep_sheet_print_it(date, region, language, sentence, tmp_path):
    plan = overnight(tmp_path, (USUAL, date), ("region: UK", f"region: {region}"), kitchen=("country: GB\n", ""))  # fmt: skip
    templates = pack_templates(
        own_folder("templates"), replace(plan.day, language=language), plan.kitchen
    )
    for name, values in (
        ("before_and_after", {n: v for n, _, v in setting_up_jobs(plan)}["before-and-after"]),
        ("run_sheet", {"sheet": run_sheet(plan)}),
    ):
        words = words_of(templates, plan, name, values)
        assert words.count(sentence) == 2, name  # of the poolish and of the soaker
        assert "{" not in words


def words_of(templates: Templates, plan: ClassPlan, name: str, values: dict) -> str:
    shown = {"plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen, "paper": "A4"}  # fmt: skip
    sheets = templates.pages(f"pdf/{name}.xml", **shown, **values)
    return " ".join(" ".join(sheet.element.words() for sheet in sheets).split())


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_change_there_is_has_its_phrases_for_a_mix_and_for_the_class(language, tmp_path):
    plan = overnight(tmp_path)
    templates = pack_templates(
        own_folder("templates"), replace(plan.day, language=language), plan.kitchen
    )
    sheet = run_sheet(plan)
    for region, country in (("UK", ""), ("EU", ""), ("US", ""), ("AU", ""), ("US", "CA")):
        for change in clock_changes(region, country, 2027):
            crossed = ClassClock(600, change, -500).crossed(-900, 20)
            before = tuple(replace(one, crossed=crossed) for one in sheet.beforehand)
            changed = replace(sheet, beforehand=before, crossed=crossed)
            words = words_of(templates, plan, "run_sheet", {"sheet": changed})
            assert words.count("Hawaii") == (3 if change.limits == "US" else 0)
            assert words.count("Queensland") == (3 if change.limits == "AU" else 0)
            assert words.count({"en": "every province", "de": "jeder Provinz"}[language]) == (
                3 if change.limits == "CA" else 0
            )
            way = {"en": ("go back", "go forward"), "de": ("zurückgestellt", "vorgestellt")}[
                language
            ]
            assert words.count(way[change.by_min > 0]) == 3


def test_nothing_is_printed_on_any_other_night(tmp_path: Path) -> None:
    plan = overnight(tmp_path)
    assert not [one for one in plan.remarks if one.about == "clocks"]
    sheet = run_sheet(plan)
    assert sheet.crossed is None
    assert {one.crossed for one in sheet.beforehand} == {None}


def test_the_whole_pack_is_printed_for_that_night(tmp_path: Path) -> None:
    overnight(tmp_path, (USUAL, FORWARD))
    sources = read_sources(tmp_path / "poolish-four.yaml", own_folder("templates"))
    files = print_pack(plan_class(sources), "A4", own_folder("templates")).files
    for name in ("run-sheet.pdf", "before-and-after.pdf"):
        text = " ".join(
            page.extract_text() for page in pypdf.PdfReader(io.BytesIO(files[name])).pages
        )
        assert " ".join(text.split()).count("The clocks go forward on Sunday 28 March") == 2
