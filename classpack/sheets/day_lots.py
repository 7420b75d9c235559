"""Whose bread: lots as the tutor's sheets and the oven doors name them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from classpack.model.lesson import Variation
from classpack.model.method import Step
from classpack.model.timed_day import Entry
from classpack.planning.class_plan import ClassPlan


@dataclass(frozen=True, slots=True)
class Owner:
    """A seat and the first name of who sits there: a door or a tutor needs no more."""

    seat: str
    name: str


@dataclass(frozen=True, slots=True)
class LotLine:
    """Pieces of one bread at one station: in an oven, coming out of it, or being shaped. Minutes after midnight.

    ``owners`` is empty for the tutor's own; ``whole_station``: everybody of the station who bakes at all. ``latest_min`` is the latest minute
    it may go into the oven.
    """

    station: str
    bread: Variation
    pieces: int
    owners: tuple[Owner, ...]
    whole_station: bool
    shelves: tuple[int, ...]
    out_min: int
    latest_min: int | None = None


def lot_line(plan: ClassPlan, entry: Entry, latest_min: int | None = None) -> LotLine:
    """The lot an entry is about."""
    everybody = {
        person.index
        for person in plan.people
        if person.person.station == entry.station and person.portions
    }
    return LotLine(
        station=entry.station,
        bread=plan.lesson.variation(entry.variation),
        pieces=entry.pieces,
        owners=tuple(owner(plan, index) for index in entry.people),
        whole_station=everybody == set(entry.people),
        shelves=entry.shelves,
        out_min=plan.timed.clock(entry.out_min),
        latest_min=None if latest_min is None else plan.timed.clock(latest_min),
    )


def owner(plan: ClassPlan, index: int) -> Owner:
    """A person as shared paper near the ovens names them."""
    person = plan.day.people[index]
    return Owner(person.seat, person.name.split(" ")[0])


def ready(bread: Variation, stage: str) -> str:
    """The cue of the last step of ``stage`` in a bread's own method, empty if it gives none."""
    return next(
        (s.ready_when for s in reversed(bread.method) if s.stage == stage and s.ready_when), ""
    )


def step_of(bread: Variation, stage: str) -> Step | None:
    """The first step of ``stage`` in a bread's own method."""
    return next((step for step in bread.method if step.stage == stage), None)


def by_bread(lots: Iterable[LotLine]) -> tuple[tuple[Variation, tuple[LotLine, ...]], ...]:
    """The lots of each bread together, in the order they first come."""
    found: dict[str, list[LotLine]] = {}
    for lot in lots:
        found.setdefault(lot.bread.name, []).append(lot)
    return tuple((lots_[0].bread, tuple(lots_)) for lots_ in found.values())
