"""The class day in a calendar, read back by the icalendar package."""

import datetime
import os

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.sheets.exports.calendar_text import CalendarEvent, calendar_text

DATE = datetime.date(2027, 3, 13)
DAY = CalendarEvent(
    DATE, 600, 840, "Bread class; one dough, four breads", "Bring an apron.\nDoors at 9:45", "Net Loft, Quay Lane", 60
)  # fmt: skip


def read_back(text):
    if os.environ.get("CI") != "true":
        pytest.importorskip("icalendar")
    from icalendar import Calendar

    return Calendar.from_ical(text)


def test_a_class_reads_back():
    calendar = read_back(calendar_text("Saturday twelve", [DAY], DATE))
    (event,) = calendar.walk("VEVENT")
    assert str(event["SUMMARY"]) == DAY.title
    assert str(event["DESCRIPTION"]) == DAY.text
    assert str(event["LOCATION"]) == DAY.place
    assert event.decoded("DTSTART") == datetime.datetime(2027, 3, 13, 10, 0)
    assert event.decoded("DTEND") == datetime.datetime(2027, 3, 13, 14, 0)
    (alarm,) = calendar.walk("VALARM")
    assert alarm.decoded("TRIGGER") == datetime.timedelta(hours=-1)


def test_what_rfc_5545_requires_is_there():
    text = calendar_text("Saturday twelve", [DAY], DATE)
    lines = text.split("\r\n")
    assert lines[:3] == ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//classpack//class day//EN"]
    assert lines[-2:] == ["END:VCALENDAR", ""]
    assert "DTSTAMP:20270313T000000Z" in lines  # required in VEVENT, section 3.6.1
    assert "\n" not in text.replace("\r\n", "")


def test_a_class_past_midnight_ends_the_next_day():
    night = CalendarEvent(DATE, 1260, 1500, "Night bake")
    (event,) = read_back(calendar_text("night", [night], DATE)).walk("VEVENT")
    assert event.decoded("DTEND") == datetime.datetime(2027, 3, 14, 1, 0)


def test_entries_have_identities_of_their_own_that_do_not_change():
    def uids(name):
        text = calendar_text(name, [DAY, DAY], DATE)
        return [line for line in text.split("\r\n") if line.startswith("UID:")]

    assert len(set(uids("a") + uids("b"))) == 4
    assert uids("a") == uids("a")


@given(
    title=st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=200),
    text=st.text(
        st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n"), max_size=300
    ),
)
def test_any_text_is_folded_and_comes_back(title, text):
    written = calendar_text("class", [CalendarEvent(DATE, 600, 660, title, text)], DATE)
    for line in written.split("\r\n"):
        assert len(line.encode("utf-8")) <= 75
    (event,) = read_back(written).walk("VEVENT")
    assert str(event["SUMMARY"]) == title
    assert str(event.get("DESCRIPTION", "")) == text
