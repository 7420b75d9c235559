"""The class day as calendar events: the class itself, what is mixed before it, what is weighed the day before."""

from __future__ import annotations

import datetime

from classpack.planning.plan.class_plan import ClassPlan
from classpack.quantities import plain
from classpack.sheets.exports.calendar_text import CalendarEvent, calendar_text
from classpack.sheets.setting_up.prep import DAY_MIN, moment

WEIGHING_FROM_MIN = 17 * 60
WEIGHING_MIN = 60
MIXING_MIN = 15
SET_UP_MIN = 60
"""Times the calendar proposes; whoever needs longer moves them (the project's choice)."""


def class_calendar(plan: ClassPlan) -> str:
    """The class and its preparation as iCalendar text. The stamp is the class's date, so that nothing depends on a clock."""
    day, language, prep = plan.day, plan.language, plan.prep
    events = []
    if prep.weigh_ahead:
        eve = day.date - datetime.timedelta(days=1)
        mixes = [moment(plan, one.mix_min) for one in prep.preferments]
        before = [at.minute - WEIGHING_MIN for at in mixes if at.date == eve]
        start = max(0, min([WEIGHING_FROM_MIN, *before]))
        events.append(
            CalendarEvent(
                eve,
                start,
                start + WEIGHING_MIN,
                language.text("calendar weigh", title=day.title),
                language.text("calendar weigh text", names=", ".join(prep.weigh_ahead)),
            )
        )
    for one in prep.preferments:
        at = moment(plan, one.mix_min)
        amounts = ", ".join(
            f"{language.number(plain(line.grams))} g {line.ingredient}" for line in one.lines
        )
        events.append(
            CalendarEvent(
                at.date,
                at.minute,
                at.minute + MIXING_MIN,
                language.text("calendar mix", name=one.name, title=day.title),
                language.text(
                    "calendar mix text",
                    amounts=amounts,
                    heat=language.number(plain(one.ripe_c)),
                ),
                alarm_min=10,
            )
        )
    events.append(_set_up(plan))
    events.append(
        CalendarEvent(
            day.date,
            day.start_min,
            day.end_min,
            day.title,
            language.text("calendar class text", lesson=plan.lesson.title, people=len(day.people)),
            plan.kitchen.address or plan.kitchen.name,
        )
    )
    return calendar_text(day.title, events, day.date)


def _set_up(plan: ClassPlan) -> CalendarEvent:
    """An hour before the class, at most back to midnight."""
    on = [entry.start_min for _, entries in plan.clocks.ovens for entry in entries]
    first_oven = plan.day.start_min + min(on, default=0)
    start = max(0, plan.day.start_min - SET_UP_MIN)
    clock = f"{first_oven // 60 % (DAY_MIN // 60):02d}:{first_oven % 60:02d}"
    return CalendarEvent(
        plan.day.date,
        start,
        max(plan.day.start_min, start + 1),
        plan.language.text("calendar set up", title=plan.day.title),
        plan.language.text("calendar set up text", clock=clock),
        plan.kitchen.address or plan.kitchen.name,
    )
