"""The risk assessment's form: for each row what this class's plan and papers do already. Only what is planned or printed today is said."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from classpack.model.risk import BANDS
from classpack.model.safety import FiredCaution
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.risk import RiskRow

MOST_OPTIONS = 1
"""So many of the catalogue's controls are offered in a row, so that room is left to write."""
OWN_ROWS = 1
MOST_SENTENCES = 2
"""So many of the cautions on shared paper are quoted in a row; the papers themselves have them all."""


@dataclass(frozen=True, slots=True)
class PlannedControl:
    """One thing the pack does against a row's hazards. ``kind`` names its phrase; of ``count``, ``minutes`` and ``names`` it uses
    what it needs. ``minutes`` of kind ``loads`` are on the clock."""

    kind: str
    count: int = 0
    minutes: tuple[int, ...] = ()
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RiskFormRow:
    """A row with what is planned against it: ``controls`` of the plan, ``shared`` sentences on cards, stations and wall, ``yours``
    on the tutor's sheet, the most severe of them, and how many ``more`` there are. ``options`` are the catalogue's strongest controls, to think about: nothing says that they are done."""

    row: RiskRow
    controls: tuple[PlannedControl, ...]
    shared: tuple[str, ...]
    yours: tuple[str, ...]
    more: int
    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RiskForm:
    """The form's rows; ``own_rows`` are left for what only the tutor sees; ``bands`` as (lowest, highest, name)."""

    rows: tuple[RiskFormRow, ...]
    own_rows: int
    scale: int
    bands: tuple[tuple[int, int, str], ...]


def risk_form(plan: ClassPlan) -> RiskForm:
    """The risk assessment of a class."""
    met = {one.fired.id for one in plan.safety.met}
    yours = {one.id for one in plan.on_paper.tutor}
    rows = []
    for row in plan.safety.risk:
        said = [one for one in row.fired if one.id in met]  # what was turned off stands on no paper
        tutors = [one for one in said if one.id in yours]
        shared = _shorts(one for one in said if one not in tutors)
        rows.append(
            RiskFormRow(
                row,
                tuple(_PLANNED[row.group](plan)) if row.group in _PLANNED else (),
                shared[:MOST_SENTENCES],
                _shorts(iter(tutors)),
                len(shared[MOST_SENTENCES:]),
                tuple(
                    one.caution.controls[0]
                    for one in row.fired[:MOST_OPTIONS]
                    if one.caution.controls
                ),
            )
        )
    return RiskForm(tuple(rows), OWN_ROWS, plan.safety.scale, BANDS[plan.safety.scale])


def _shorts(cautions: Iterator[FiredCaution]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.caution.short for one in cautions))


def _oven(plan: ClassPlan) -> Iterator[PlannedControl]:
    loads = [
        one.start_min for _, entries in plan.clocks.ovens for one in entries if one.kind == "load"
    ]
    if loads:
        start = plan.day.start_min
        yield PlannedControl("loads", len(loads), (start + min(loads), start + max(loads)))
        yield PlannedControl("hot jobs", plan.safety.hot_jobs)
    if any(bread.bake.steam == "tutor pours" for bread in plan.made):
        yield PlannedControl("steam")


def _hot_things(plan: ClassPlan) -> Iterator[PlannedControl]:
    cut = [int(one.slice_min) for one in plan.safety.cooling]
    if cut:
        yield PlannedControl("cooled", minutes=(min(cut), max(cut)))


def _fire(plan: ClassPlan) -> Iterator[PlannedControl]:
    yield PlannedControl("locked", len(plan.kitchen.ovens))
    if plan.kitchen.gas or any(oven.gas for oven in plan.kitchen.ovens):
        yield PlannedControl("gas")


def _blades(plan: ClassPlan) -> Iterator[PlannedControl]:
    blades = sum(line.total for line in plan.kit.lines if line.blade)
    if blades:
        yield PlannedControl("blades", blades)


def _machines(plan: ClassPlan) -> Iterator[PlannedControl]:
    if plan.kitchen.mixers:
        yield PlannedControl("mixers", names=tuple(one.name for one in plan.kitchen.mixers))


def _dust(plan: ClassPlan) -> Iterator[PlannedControl]:
    if plan.lesson.base.mixed_by == "hand":
        yield PlannedControl("by hand")
    yield PlannedControl("wiped")


def _hands(plan: ClassPlan) -> Iterator[PlannedControl]:
    if plan.day.hand_washing_min:
        yield PlannedControl("washing", minutes=(int(plan.day.hand_washing_min),))
    again = sum(len(one.washing) for one in plan.safety.stations)
    if again:
        yield PlannedControl("washed again", again)


def _spoils(plan: ClassPlan) -> Iterator[PlannedControl]:
    chilled = sum(1 for one in plan.safety.fridge if one.spoils)
    if chilled:
        yield PlannedControl("chilled", chilled)
    core = tuple(bread.many for bread in plan.made if bread.bake.core_c)
    if core:
        yield PlannedControl("core", names=core)


def _allergens(plan: ClassPlan) -> Iterator[PlannedControl]:
    yield PlannedControl("named")
    if plan.day.ask_at_the_door:
        yield PlannedControl("asked")


def _help(plan: ClassPlan) -> Iterator[PlannedControl]:
    sheet = plan.safety.sheet
    known = (sheet.first_aider, sheet.first_aid_box, sheet.fire_exit, sheet.call.call)
    if any(known):
        yield PlannedControl("wall", names=tuple(one for one in known if one))
    if sheet.sinks:
        yield PlannedControl("tap")
    yield PlannedControl("accident form")


_PLANNED: Mapping[str, Callable[[ClassPlan], Iterator[PlannedControl]]] = {
    "oven": _oven,
    "hot things": _hot_things,
    "fire": _fire,
    "blades": _blades,
    "machines": _machines,
    "dust": _dust,
    "floor": lambda _: iter((PlannedControl("floor"),)),
    "hands": _hands,
    "spoils": _spoils,
    "allergens": _allergens,
    "help": _help,
}
"""What is planned, by the row's group; a group without an entry has its sentences alone."""
