"""Name slips: one for each tin, tray and bowl, with the seat that every sheet knows it by."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.cards.recipe_card import CardBread


@dataclass(frozen=True, slots=True)
class NameSlip:
    """One slip: the first of a person's lies on their bowl first and moves to the tin. ``name`` and ``seat`` are empty for the
    tutor's batches; ``kind`` is then ``demonstration`` or ``spare``. ``part`` of ``parts`` counts a person's vessels of one bread.
    """

    seat: str
    name: str
    kind: str
    bread: CardBread
    part: int
    parts: int


def name_slips(plan: ClassPlan) -> tuple[NameSlip, ...]:
    """The slips by station and seat, then those of the demonstration and the spare."""
    slips = [
        NameSlip(
            person.person.seat,
            person.person.name,
            "",
            CardBread(bread, portion),
            part,
            parts,
        )
        for station in plan.stations
        for person in (plan.people[index] for index in station.people)
        for portion in person.portions
        for bread, parts in ((plan.lesson.variation(portion.variation), portion.trays),)
        for part in range(1, parts + 1)
    ]
    slips += [
        NameSlip("", "", batch.kind, CardBread(bread, portion), part, portion.trays)
        for batch in plan.batches
        for portion in batch.portions
        for bread in (plan.lesson.variation(portion.variation),)
        for part in range(1, portion.trays + 1)
    ]
    return tuple(slips)


def hottest_c(plan: ClassPlan) -> Fraction | int:
    """The hottest dial any oven is turned to: what a slip that goes into an oven must stand."""
    dials = [entry.dial_c for _, entries in plan.clocks.ovens for entry in entries]
    return max(dials, default=0)
