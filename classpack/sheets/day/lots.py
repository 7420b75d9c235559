"""Whose bread: lots as the tutor's sheets and the oven doors name them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from classpack.model.lesson import Variation
from classpack.model.timed_day import Entry
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.cards.recipe_card import own_shelf


@dataclass(frozen=True, slots=True)
class Owner:
    """A seat and the first name of who sits there: a door or a tutor needs no more.

    ``own_shelf`` is the shelf (1 is the top one) of a tray that nobody else's goes with, 0 for everybody else.
    """

    seat: str
    name: str
    own_shelf: int = 0


@dataclass(frozen=True, slots=True)
class LotLine:
    """Pieces of one bread at one station: in an oven, coming out of it, or being shaped. Minutes after midnight.

    ``owners`` is empty for the tutor's own; ``whole_station``: everybody of the station who bakes at all. ``latest_min`` is the latest minute
    it may go into the oven. ``helpers``: the seats that see to it when nobody of ``owners`` is there any more, none of them: the
    tutor; None while one is there.
    """

    station: str
    bread: Variation
    pieces: int
    owners: tuple[Owner, ...]
    whole_station: bool
    shelves: tuple[int, ...]
    out_min: int
    latest_min: int | None = None
    helpers: tuple[str, ...] | None = None


def lot_line(plan: ClassPlan, entry: Entry, latest_min: int | None = None) -> LotLine:
    """The lot an entry is about."""
    everybody = {
        person.index
        for person in plan.people
        if person.person.station == entry.station and person.portions
    }
    helpers = plan.helpers(entry.station, entry.people)
    return LotLine(
        station=entry.station,
        bread=plan.lesson.variation(entry.variation),
        pieces=entry.pieces,
        owners=tuple(owner(plan, index, entry) for index in entry.people),
        whole_station=everybody == set(entry.people),
        shelves=entry.shelves,
        out_min=plan.timed.clock(entry.out_min),
        latest_min=None if latest_min is None else plan.timed.clock(latest_min),
        helpers=None
        if helpers is None
        else tuple(plan.day.people[index].seat for index in helpers),
    )


def owner(plan: ClassPlan, index: int, entry: Entry) -> Owner:
    """A person as shared paper near the ovens names them."""
    person = plan.day.people[index]
    shelf = own_shelf(plan, entry, index) if index in plan.own_tools and entry.shelves else 0
    return Owner(person.seat, plan.day.first_name(person), shelf)


def ready(bread: Variation, stage: str) -> str:
    """The cue of the last step of ``stage`` in a bread's own method, empty if it gives none."""
    return next(
        (s.ready_when for s in reversed(bread.method) if s.stage == stage and s.ready_when), ""
    )


def by_bread(lots: Iterable[LotLine]) -> tuple[tuple[Variation, tuple[LotLine, ...]], ...]:
    """The lots of each bread together, in the order they first come."""
    found: dict[str, list[LotLine]] = {}
    for lot in lots:
        found.setdefault(lot.bread.name, []).append(lot)
    return tuple((lots_[0].bread, tuple(lots_)) for lots_ in found.values())
