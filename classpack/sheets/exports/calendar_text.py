"""The class day as an iCalendar text (RFC 5545) that phones and calendars take in.

No clock: the stamp is given by the caller, usually the day of the class, so the same class gives the same bytes. Times are
local time without a zone ("floating", RFC 5545, section 3.3.5, form 1): the class is at ten wherever the reader's
telephone thinks it is.
"""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

PRODUCT = "-//classpack//class day//EN"
_LONGEST_LINE = 75
"""Octets of a content line without its line break, RFC 5545, section 3.1."""


@dataclass(frozen=True, slots=True)
class CalendarEvent:
    """One entry. Times are minutes after midnight of ``date``; above 1440 is the next day. ``end_min`` after ``start_min``.

    ``alarm_min`` rings so many minutes before the start; None for none.
    """

    date: datetime.date
    start_min: int
    end_min: int
    title: str
    text: str = ""
    place: str = ""
    alarm_min: int | None = None


def calendar_text(name: str, events: Sequence[CalendarEvent], stamp: datetime.date) -> str:
    """All ``events`` as one calendar called ``name``, lines ended by CR LF and folded.

    Args:
        name: also what makes the entries' identities differ between classes.
        events: in any order; written in theirs.
        stamp: the date that stands for when the calendar was made (at 00:00 UTC).
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN"]
    lines.append(f"X-WR-CALNAME:{_escaped(name)}")
    for number, event in enumerate(events):
        lines += _event(name, number, event, stamp)
    lines.append("END:VCALENDAR")
    return "".join(_folded(line) + "\r\n" for line in lines)


def _event(name: str, number: int, event: CalendarEvent, stamp: datetime.date) -> list[str]:
    mark = f"{name}\n{event.date.isoformat()}\n{number}\n{event.title}"
    uid = hashlib.sha256(mark.encode("utf-8")).hexdigest()[:32]
    lines = [
        "BEGIN:VEVENT",
        f"UID:{uid}@classpack.invalid",
        f"DTSTAMP:{stamp:%Y%m%d}T000000Z",
        f"DTSTART:{_moment(event.date, event.start_min)}",
        f"DTEND:{_moment(event.date, event.end_min)}",
        f"SUMMARY:{_escaped(event.title)}",
    ]
    if event.text:
        lines.append(f"DESCRIPTION:{_escaped(event.text)}")
    if event.place:
        lines.append(f"LOCATION:{_escaped(event.place)}")
    if event.alarm_min is not None:
        lines += [
            "BEGIN:VALARM",
            "ACTION:DISPLAY",
            f"DESCRIPTION:{_escaped(event.title)}",
            f"TRIGGER:-PT{event.alarm_min}M",
            "END:VALARM",
        ]
    lines.append("END:VEVENT")
    return lines


def _moment(date: datetime.date, minutes: int) -> str:
    days, of_day = divmod(minutes, 24 * 60)
    return f"{date + datetime.timedelta(days=days):%Y%m%d}T{of_day // 60:02d}{of_day % 60:02d}00"


def _escaped(text: str) -> str:
    """A text value: backslash, semicolon, comma and line breaks escaped, other control signs dropped (section 3.3.11)."""
    for sign, escape in (
        ("\\", "\\\\"),
        (";", "\\;"),
        (",", "\\,"),
        ("\r\n", "\\n"),
        ("\n", "\\n"),
    ):
        text = text.replace(sign, escape)
    return "".join(sign for sign in text if sign >= " " and sign != "\x7f")


def _folded(line: str) -> str:
    """Broken after at most 75 octets, never inside a sign, the rest after a space."""
    parts: list[str] = []
    part, room = "", _LONGEST_LINE
    for sign in line:
        size = len(sign.encode("utf-8"))
        if size > room:
            parts.append(part)
            part, room = "", _LONGEST_LINE - 1
        part += sign
        room -= size
    return "\r\n ".join([*parts, part])
