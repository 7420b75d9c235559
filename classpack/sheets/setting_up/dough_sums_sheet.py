"""The working of one dough of the class as a printed sheet to teach from."""

from __future__ import annotations

from dataclasses import dataclass

from classpack.model.class_plan import Weighed
from classpack.planning.dough.yeast import Sachets
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.dough_table import DoughTable
from classpack.sheets.cards.preferment_note import PrefermentNote, preferment_notes


@dataclass(frozen=True, slots=True)
class DoughSumsSheet:
    """``table`` is the plan's.

    ``yeast_source`` is where the yeast factors come from; ``friction_said`` whether the class file gave the friction. ``sachets``
    are those near a weight of dried yeast in the bowl.
    """

    table: DoughTable
    notes: tuple[PrefermentNote, ...]
    yeast_source: str
    friction_said: bool
    sachets: tuple[tuple[Weighed, Sachets], ...]


def dough_sums_sheet(plan: ClassPlan) -> DoughSumsSheet:
    """The sums of the demonstration's dough, else of the first dough that is mixed."""
    lines = plan.table.unit.lines
    sachets = ((line, plan.sachets(line)) for line in lines)
    return DoughSumsSheet(
        table=plan.table,
        notes=preferment_notes(plan),
        yeast_source=plan.dough.factors.source,
        friction_said=plan.dough.friction_said,
        sachets=tuple((line, found) for line, found in sachets if found is not None),
    )
