"""The sheets and files of setting up and buying, in the order they are used: what each is printed from."""

from __future__ import annotations

from classpack.errors import Remark
from classpack.model.money import coin_places
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.costs import class_costs
from classpack.planning.setting_up.kit_list import kit_list
from classpack.planning.setting_up.prep_ahead import prep_ahead
from classpack.planning.setting_up.weigh_out import weigh_out
from classpack.sheets.exports.class_calendar import class_calendar
from classpack.sheets.exports.csv_text import csv_text, shopping_rows
from classpack.sheets.home.nutrition import class_nutrition
from classpack.sheets.setting_up.label_sheet import grid_of
from classpack.sheets.setting_up.name_slips import hottest_c, name_slips
from classpack.sheets.setting_up.packing import lock_up, packing_list
from classpack.sheets.setting_up.prep import prep_sheet
from classpack.sheets.setting_up.weigh_out import tub_labels, weigh_rows, weigh_sheet

Job = tuple[str, str, dict[str, object]]
"""A sheet's file, its template and its values."""


def setting_up_jobs(plan: ClassPlan) -> tuple[Job, ...]:
    """Shopping, weighing, labels, kit, packing, lock-up, costs; nutrition when the class file asks for it."""
    weighed, kit = weigh_out(plan), kit_list(plan)
    prep = prep_ahead(plan, weighed)
    costs = class_costs(plan)
    jobs: list[Job] = [
        ("shopping-list", "shopping_list", {"basket": plan.basket, "costs": costs}),
        ("before-and-after", "before_and_after", {"prep": prep_sheet(plan, prep)}),
        ("weigh-out", "weigh_out", {"sheet": weigh_sheet(weighed)}),
        ("kit-list", "kit_list", {"kit": kit}),
        ("packing-list", "packing_list", {"packing": packing_list(plan, weighed, kit, prep)}),
        ("lock-up-list", "lock_up_list", {"lock": lock_up(plan, kit)}),
        ("costs", "costs", {"costs": costs}),
    ]
    if plan.day.nutrition:
        jobs.append(("nutrition", "nutrition", {"breads": class_nutrition(plan)}))
    jobs += [
        (
            "labels/tub-labels",
            "tub_labels",
            {"labels": tub_labels(weighed, prep.that_morning), "own": grid_of(plan.day, "tubs")},
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
    weighed, language = weigh_out(plan), plan.language
    shopping = shopping_rows(plan.basket, coin_places(plan.day.currency), language)
    written = language.texts["cell sign"], language.decimal
    return {
        "shopping-list.csv": csv_text(shopping, *written),
        "weigh-out.csv": csv_text(weigh_rows(plan, weighed), *written),
        "class.ics": class_calendar(plan, prep_ahead(plan, weighed)),
    }


def setting_up_remarks(plan: ClassPlan) -> tuple[Remark, ...]:
    """What the tutor should know of bowls, kit and the fridge."""
    weighed = weigh_out(plan)
    return (*weighed.remarks, *kit_list(plan).remarks, *prep_ahead(plan, weighed).remarks)
