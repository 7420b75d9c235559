"""What really happened: a form whose lines are the lines of the next class, kitchen and lesson file."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.model.kitchen import Oven
from classpack.model.lesson import Variation
from classpack.model.method import WAIT_STAGES, Step
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.day.rows import day_rows


@dataclass(frozen=True, slots=True)
class PlannedMoment:
    """A moment of the day as planned, in minutes after midnight: what to note the real clock beside."""

    kind: str
    clock_min: int
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepAsked:
    """A step of the lesson: a tutor's ``hands_min``, or a wait, as the lesson file has it; the clock minutes the plan gave it."""

    bread: Variation | None
    step: Step
    waits: bool
    minutes: Fraction
    planned_min: int


@dataclass(frozen=True, slots=True)
class AfterClass:
    """The after-class form. ``stations`` get a line each for the dough's temperature; ``times`` are keys of the class file's ``times``."""

    stations: tuple[str, ...]
    ovens: tuple[Oven, ...]
    friction_c: Fraction
    times: tuple[tuple[str, Fraction], ...]
    moments: tuple[PlannedMoment, ...]
    steps: tuple[StepAsked, ...]

    @property
    def halves(self) -> tuple[tuple[StepAsked, ...], ...]:
        """The steps in two columns, parted where a bread begins."""
        middle = (len(self.steps) + 1) // 2
        while middle < len(self.steps) and self.steps[middle].bread == self.steps[middle - 1].bread:
            middle += 1
        return tuple(half for half in (self.steps[:middle], self.steps[middle:]) if half)


def after_class(plan: ClassPlan) -> AfterClass:
    """The form of one class day."""
    day = plan.day
    return AfterClass(
        stations=tuple(name for name, _ in plan.clocks.stations),
        ovens=plan.timed.setting.ovens,
        friction_c=plan.dough.friction_c,
        times=(
            ("welcome", day.welcome_min),
            ("safety talk", day.safety_min),
            ("hand washing", day.hand_washing_min),
            ("cleaning", day.clean_min),
            ("closing", day.closing_min),
            ("loading", day.loading_min),
            ("unloading", day.unloading_min),
        ),
        moments=tuple(_moments(plan)),
        steps=tuple(_steps(plan)),
    )


def _moments(plan: ClassPlan) -> list[PlannedMoment]:
    """First bench begins, last bench begins its first proof, each load in, the end."""
    found = []
    rows = day_rows(plan)
    for row in rows:
        if row.kind == "load":
            names = tuple(dict.fromkeys(lot.bread.many for lot in row.lots))
            found.append(PlannedMoment("load", row.start_min, (row.oven, *names)))
        elif row.kind == "bulk proof" or (row.kind == "step" and row.steps):
            if not any(one.kind == row.kind for one in found):
                found.append(PlannedMoment(row.kind, row.start_min))
        elif row.kind == "end":
            found.append(PlannedMoment("end", row.start_min))
    return found


def _steps(plan: ClassPlan) -> list[StepAsked]:
    """Every step that takes five minutes or more by the clock, or whose length the dough decides."""
    pace = plan.day.pace
    every: list[tuple[Variation | None, Step]] = [(None, step) for step in plan.lesson.base.method]
    every += [(bread, step) for bread in plan.made for step in bread.method]
    found = []
    for bread, step in every:
        waits = step.stage in WAIT_STAGES
        minutes = step.wait_min if waits else step.hands_min
        planned = ceil(minutes if waits else minutes * pace)
        if step.stage != "cool" and planned >= (10 if waits else 5):
            found.append(StepAsked(bread, step, waits, minutes, planned))
    return found
