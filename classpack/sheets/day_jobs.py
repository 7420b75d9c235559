"""The day's sheets as jobs of the pack: run sheet, oven doors, chart for the wall, and the two forms."""

from __future__ import annotations

from classpack.planning.class_plan import ClassPlan
from classpack.sheets.after_class import after_class
from classpack.sheets.day_chart import day_charts
from classpack.sheets.kitchen_survey import kitchen_survey
from classpack.sheets.oven_sheet import oven_sheets
from classpack.sheets.run_sheet import run_sheet

Job = tuple[str, str, dict[str, object]]


def timed_jobs(plan: ClassPlan) -> tuple[Job, ...]:
    """The tutor's and the ovens' sheets: what changes when the day is planned again."""
    jobs: list[Job] = [("run-sheet", "run_sheet", {"sheet": run_sheet(plan)})]
    doors = oven_sheets(plan)
    if doors:
        jobs.append(("oven-sheets", "oven_sheet", {"sheets": doors}))
    return tuple(jobs)


def day_jobs(plan: ClassPlan) -> tuple[Job, ...]:
    """Everything of the day: (file without its ending, template, values)."""
    return (
        *timed_jobs(plan),
        ("wall-chart", "wall_chart", {"charts": day_charts(plan)}),
        ("after-class", "after_class", {"sheet": after_class(plan)}),
        ("kitchen-survey", "kitchen_survey", {"survey": kitchen_survey(plan)}),
    )
