"""The kitchen, measured: a form whose lines are the lines of a kitchen file, with what the file says already printed beside them."""

from __future__ import annotations

from dataclasses import dataclass

from classpack.model.kitchen import Kitchen, Oven
from classpack.planning.plan.class_plan import ClassPlan

BLANK_OVENS = 1
"""Room for an oven that the kitchen file does not know."""
CHECKED_C = (180, 230)
"""Dial settings at which an oven is measured: one for rolls and plaits, one for crusty bread."""


@dataclass(frozen=True, slots=True)
class KitchenSurvey:
    """The survey of one kitchen. ``tools`` are those this lesson needs, with how many the kitchen file says there are (None: not said)."""

    kitchen: Kitchen
    ovens: tuple[Oven, ...]
    blank_ovens: int
    checked_c: tuple[int, ...]
    tools: tuple[tuple[str, int | None], ...]


def kitchen_survey(plan: ClassPlan) -> KitchenSurvey:
    """The survey form of the class's kitchen."""
    counts = dict(plan.kitchen.counts)
    names: dict[str, None] = {}
    for kit in plan.bench_kit.values():
        names |= dict.fromkeys(name for name, _ in kit)
    for name in counts:
        names.setdefault(name)
    return KitchenSurvey(
        kitchen=plan.kitchen,
        ovens=plan.kitchen.ovens,
        blank_ovens=BLANK_OVENS,
        checked_c=CHECKED_C,
        tools=tuple((name, counts.get(name)) for name in names),
    )
