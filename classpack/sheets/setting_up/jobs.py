"""The sheets and files of setting up and buying, in the order they are used: what each is printed from."""

from __future__ import annotations

from classpack.model.money import coin_places
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.exports.class_calendar import class_calendar
from classpack.sheets.exports.csv_text import csv_text, shopping_rows
from classpack.sheets.setting_up.label_sheet import grid_of
from classpack.sheets.setting_up.name_slips import hottest_c, name_slips
from classpack.sheets.setting_up.packing import kit_and_packing, lock_up
from classpack.sheets.setting_up.prep import prep_sheet
from classpack.sheets.setting_up.weigh_out import tub_labels, weigh_rows, weigh_sheet

Job = tuple[str, str, dict[str, object]]
"""A sheet's file, its template and its values."""


def setting_up_jobs(plan: ClassPlan) -> tuple[Job, ...]:
    """Shopping, weighing, labels, kit and packing, lock-up, costs; nutrition when the class file asks for it."""
    jobs: list[Job] = [
        ("shopping-list", "shopping_list", {"basket": plan.basket, "costs": plan.costs}),
        ("before-and-after", "before_and_after", {"prep": prep_sheet(plan)}),
        ("weigh-out", "weigh_out", {"sheet": weigh_sheet(plan.weighed)}),
        ("kit-list", "kit_list", {"sheet": kit_and_packing(plan)}),
        ("lock-up-list", "lock_up_list", {"lock": lock_up(plan)}),
        ("costs", "costs", {"costs": plan.costs}),
    ]
    if plan.day.nutrition:
        jobs.append(("nutrition", "nutrition", {"breads": plan.nutrition}))
    jobs += [
        (
            "labels/tub-labels",
            "tub_labels",
            {
                "labels": tub_labels(plan.weighed, plan.prep.that_morning),
                "own": grid_of(plan.day, "tubs"),
            },
        ),
        (
            "labels/name-slips",
            "name_slips",
            {
                "slips": name_slips(plan),
                "own": grid_of(plan.day, "name slips"),
                "hottest_c": hottest_c(plan),
            },
        ),
    ]
    return tuple(jobs)


def setting_up_texts(plan: ClassPlan) -> dict[str, str]:
    """Tables for spreadsheets and the calendar, by file name."""
    language = plan.language
    shopping = shopping_rows(plan.basket, coin_places(plan.day.currency), language)
    written = language.texts["cell sign"], language.decimal
    return {
        "shopping-list.csv": csv_text(shopping, *written),
        "weigh-out.csv": csv_text(weigh_rows(plan), *written),
        "class.ics": class_calendar(plan),
    }
