"""Names that fit no slip, told at the person's line: the smallest place a whole name is printed in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from classpack.errors import Problem
from classpack.pages.templates import Templates
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.setting_up.jobs import setting_up_jobs
from classpack.typeset.blocks import LayoutError
from classpack.typeset.layout import lay_out
from classpack.typeset.look import Look

TEMPLATE = "name_slips"


def long_names(
    plan: ClassPlan, templates: Templates, look: Look, shown: Mapping[str, object]
) -> list[Problem]:
    """A problem for each person whose slips cannot be set; none where all fit.

    Args:
        shown: what every template is given.
    """
    values = next(values for _, name, values in setting_up_jobs(plan) if name == TEMPLATE)
    slips = values["slips"]
    assert isinstance(slips, Sequence)

    def fit(some: Sequence[object]) -> bool:
        filled = templates.pages(f"pdf/{TEMPLATE}.xml", **shown, **(values | {"slips": some}))
        try:
            for sheet in filled:
                lay_out(sheet, look)
        except LayoutError:
            return False
        return True

    if fit(slips):
        return []
    return [
        Problem(
            person.spot,
            f"the name '{person.name}' fits on no name slip",
            "keep it shorter, write 'first names only: yes', or give larger 'labels'",
        )
        for person in plan.day.people
        if person.spot and not fit([slip for slip in slips if slip.seat == person.seat])
    ]
