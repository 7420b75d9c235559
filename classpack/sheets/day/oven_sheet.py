"""What hangs on each oven's door: when to switch it on, what goes in and comes out, from whom, on which shelf, at which dial."""

from __future__ import annotations

from dataclasses import dataclass

from classpack.model.kitchen import Oven
from classpack.model.safety import FiredCaution
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.day.rows import RunRow, day_rows, with_cues
from classpack.sheets.day.run_sheet import guards

AT_THE_DOOR = ("oven-fire",)
"""Cautions of the whole class that belong on the door as well."""
DOOR_KINDS = ("switch on", "load", "take out", "switch off")


@dataclass(frozen=True, slots=True)
class OvenSheet:
    """One oven's sheet. ``rows`` are its own rows of the day, in the order of the clock; ``loads`` how often it is filled."""

    oven: Oven
    rows: tuple[RunRow, ...]
    loads: int
    guards: tuple[FiredCaution, ...]


def oven_sheets(plan: ClassPlan, from_min: int | None = None) -> tuple[OvenSheet, ...]:
    """A sheet for each oven that bakes on the day, or after ``from_min`` (minutes after midnight)."""
    every = day_rows(plan, from_min)
    cautions = (
        *guards(plan),
        *(fired for fired in plan.whole_class if fired.id in AT_THE_DOOR),
    )
    found = []
    for oven in plan.timed.setting.ovens:
        mine = [one for one in every if one.oven == oven.name and one.kind in DOOR_KINDS]
        rows = tuple(with_cues(mine))
        if rows:
            loads = sum(1 for one in rows if one.kind == "load")
            found.append(OvenSheet(oven, rows, loads, cautions))
    return tuple(found)
