"""What the safety papers say: the wall's sheet, the tutor's sheet, the accident form."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from classpack.model.safety import FiredCaution, FirstAid, Settled, Source, TurnedOff
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import Planned
from classpack.planning.safety.class_safety import ClassSafety
from classpack.planning.safety.hygiene import ILL_HOURS
from classpack.planning.safety.safety_sheet import HealthWord, SafetySheet


@dataclass(frozen=True, slots=True)
class WallSheet:
    """The wall's sheet. ``gas`` is printed where the kitchen burns gas and the country has a number for it; ``shares``
    are widths for the front's first aids, ``more_aid`` is the back's in two columns: both even out the columns' heights."""

    safety: SafetySheet
    gas: str
    shares: tuple[int, ...]
    more_aid: tuple[tuple[FirstAid, ...], tuple[FirstAid, ...]]


@dataclass(frozen=True, slots=True)
class TutorSheet:
    """The tutor's safety sheet. ``cautions`` are theirs alone and all that stands on no card and at no station; ``memory`` is how
    many lines were not seen at their publisher; ``moved`` the cautions that the tutor moved to the station sheets."""

    safety: ClassSafety
    cautions: tuple[FiredCaution, ...]
    memory: int
    off: tuple[TurnedOff, ...]
    moved: tuple[str, ...]
    ill_hours: int


@dataclass(frozen=True, slots=True)
class VenueSheet:
    """Once for a kitchen: ``memory`` are lines to confirm with the venue and ``number`` its emergency number, if that is one;
    ``aids`` first aid from memory; where published rules differ; what all of it rests on."""

    memory: tuple[str, ...]
    number: str
    aids: tuple[FirstAid, ...]
    settled: tuple[Settled, ...]
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class AccidentForm:
    """An empty form; filled in it holds health data, so it lives apart from the pack and is destroyed by a date."""

    delete_by: datetime.date


def wall_sheet(plan: ClassPlan) -> WallSheet:
    """What hangs on the wall."""
    call = plan.safety.sheet.call
    burns_gas = plan.kitchen.gas or any(oven.gas for oven in plan.kitchen.ovens)
    gas = call.gas if burns_gas else ""
    sheet = plan.safety.sheet
    shares = tuple(110 + sum(map(len, aid.steps)) for aid in sheet.first_aid)
    return WallSheet(sheet, gas, shares, _two_columns(sheet.more_aid))


def _two_columns(
    aids: tuple[FirstAid, ...],
) -> tuple[tuple[FirstAid, ...], tuple[FirstAid, ...]]:
    """The first aids in their order, parted where the two halves are most alike in length."""
    lengths = [sum(len(step) + 30 for step in aid.steps) + 60 for aid in aids]
    cut = min(range(len(aids) + 1), key=lambda n: abs(sum(lengths[:n]) - sum(lengths[n:])))
    return aids[:cut], aids[cut:]


def tutor_sheet(plan: ClassPlan) -> TutorSheet:
    """The tutor's safety sheet."""
    safety = plan.safety
    lines = {one.fired.id: one.fired.caution.short for one in safety.met}
    cautions = plan.on_paper.tutor
    venue = venue_sheet(plan)
    return TutorSheet(
        safety=safety,
        cautions=cautions,
        memory=len(venue.memory) + len(venue.aids) + bool(venue.number),
        off=safety.off,
        moved=tuple(lines[name] for name in safety.moved if name in lines),
        ill_hours=ILL_HOURS,
    )


def venue_sheet(plan: ClassPlan) -> VenueSheet:
    """What to ask the venue once, and where it all comes from."""
    safety = plan.safety
    call = safety.sheet.call
    return VenueSheet(
        memory=tuple(dict.fromkeys(one.short for one in safety.tutor.confirm)),
        number=call.call if call.confirm else "",
        aids=safety.tutor.confirm_aid,
        settled=safety.tutor.settled,
        sources=safety.sources,
    )


def accident_form(plan: ClassPlan) -> AccidentForm:
    """The accident form of a class."""
    return AccidentForm(plan.safety.accident_until)


@dataclass(frozen=True, slots=True)
class MoreCare:
    """Cautions that weigh more for somebody who comes. Health data: confidential, and no shared sheet depends on it."""

    words: tuple[HealthWord, ...]
    delete_by: datetime.date


def more_care(planned: Planned) -> MoreCare:
    """Which cautions to take more seriously for the people of this class."""
    return MoreCare(planned.health_words, planned.needs.sheet.delete_by)
