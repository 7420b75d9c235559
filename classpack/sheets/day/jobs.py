"""The day's sheets as jobs of the pack: run sheet, oven doors, chart for the wall, and the two forms."""

from __future__ import annotations

import dataclasses
import re

from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.day.after_class import after_class
from classpack.sheets.day.chart import day_charts
from classpack.sheets.day.oven_sheet import oven_sheets
from classpack.sheets.day.run_sheet import run_sheet
from classpack.sheets.stations.station_sheet import BenchEntry, station_sheet

Job = tuple[str, str, dict[str, object]]


def timed_jobs(plan: ClassPlan) -> tuple[Job, ...]:
    """The tutor's and the ovens' sheets: what changes when the day is planned again."""
    now = plan.again.happening.now_min if plan.again else None
    jobs: list[Job] = [("run-sheet", "run_sheet", {"sheet": run_sheet(plan)})]
    doors = oven_sheets(plan, now)
    if doors:
        jobs.append(("oven-sheets", "oven_sheet", {"sheets": doors}))
    return tuple(jobs)


def again_day_jobs(plan: ClassPlan, now_min: int) -> tuple[Job, ...]:
    """The three timed sheets of the rest of the day: run sheet, ovens, stations.

    A station's is its clock alone: what it says of weighing, tools and cautions still hangs there.
    """
    jobs = list(timed_jobs(plan))
    now = now_min - plan.day.start_min
    for one in plan.stations:
        here = tuple(i for i in one.people if i not in plan.gone)
        if not here:
            continue
        sheet = station_sheet(plan, dataclasses.replace(one, people=here))
        left = dataclasses.replace(
            sheet, rows=(), columns=(), kit=(), cautions=(), clock=_left(sheet.clock, now)
        )
        jobs.append((f"stations/{file_name(one.station.name)}", "station_sheet", {"sheet": left}))
    return tuple(jobs)


def _left(clock: tuple[BenchEntry, ...], now: int) -> tuple[BenchEntry, ...]:
    """What of a clock is not over, lines of several things taken apart as far as needed."""
    found = []
    for entry in clock:
        on_line = [entry, *entry.also]
        left = [one for one in on_line if one.entry.end_min > now]
        if left:
            found.append(dataclasses.replace(left[0], also=tuple(left[1:])))
    return tuple(found)


def file_name(name: str) -> str:
    """A station as a file's name: letters, digits and hyphens only."""
    return re.sub(r"[^A-Za-z0-9-]+", "-", name).strip("-") or "x"


def day_jobs(plan: ClassPlan) -> tuple[Job, ...]:
    """Everything of the day: (file without its ending, template, values)."""
    return (
        *timed_jobs(plan),
        ("wall-chart", "wall_chart", {"charts": day_charts(plan)}),
        ("after-class", "after_class", {"sheet": after_class(plan)}),
    )
