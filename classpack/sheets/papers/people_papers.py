"""The papers about people: the needs sheet (confidential), the register and the letter before the class (both shared)."""

from __future__ import annotations

from dataclasses import dataclass

from classpack.model.lesson import Variation
from classpack.model.needs import (
    BeforeYouCome,
    NeedsPlan,
    NeedsSheet,
    PersonNeeds,
    Question,
    RegisterRow,
    Seating,
)
from classpack.planning.needs.terms import LABELS
from classpack.planning.plan.class_plan import ClassPlan


@dataclass(frozen=True, slots=True)
class StationHolds:
    """What is at a station: (allergen in plain words, the ingredients that hold it)."""

    station: str
    holds: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Move:
    """One person takes another seat."""

    name: str
    seat: str
    to_seat: str


@dataclass(frozen=True, slots=True)
class NeedsPaper:
    """The confidential needs sheet. ``own_tools`` are seats; ``people`` those with a need, an open question or a decision.
    ``nothing_listed`` are breads that hold no allergen of the list."""

    sheet: NeedsSheet
    people: tuple[PersonNeeds, ...]
    stations: tuple[StationHolds, ...]
    own_tools: tuple[str, ...]
    moves: tuple[Move, ...]
    nothing_listed: tuple[str, ...]

    @property
    def seating(self) -> Seating:
        """The seating that is suggested."""
        return self.sheet.seating


@dataclass(frozen=True, slots=True)
class RegisterLine:
    """One line to sign. ``breads`` empty: this person watches."""

    name: str
    seat: str
    breads: tuple[Variation, ...]


@dataclass(frozen=True, slots=True)
class Register:
    """Who comes. ``to_ask`` are those nobody asked about allergies; ``questions`` are to be asked of each of them."""

    to_ask: tuple[RegisterLine, ...]
    rest: tuple[RegisterLine, ...]
    ask: bool
    questions: tuple[Question, ...]


@dataclass(frozen=True, slots=True)
class Letter:
    """The letter before the class: the same for everybody. ``in_the_room`` and ``may_contain`` are allergens in plain words."""

    facts: BeforeYouCome
    breads: tuple[Variation, ...]
    in_the_room: tuple[str, ...]
    may_contain: tuple[str, ...]
    questions: tuple[Question, ...]


def needs_paper(plan: ClassPlan, needs: NeedsPlan) -> NeedsPaper:
    """Everything a tutor must know about who must not have what."""
    people = plan.day.people
    return NeedsPaper(
        sheet=needs.sheet,
        people=needs.sheet.people,
        stations=tuple(
            StationHolds(
                one.station,
                tuple(
                    (
                        LABELS[allergen],
                        tuple(name for name, held in one.ingredients if allergen in held),
                    )
                    for allergen in one.allergens
                ),
            )
            for one in needs.stations
        ),
        own_tools=tuple(people[index].seat for index in sorted(needs.own_tools)),
        moves=tuple(
            Move(people[move.index].name, move.seat, move.to_seat)
            for move in needs.sheet.seating.moves
        ),
        nothing_listed=tuple(
            dict.fromkeys(
                portion.variation
                for person, lines in zip(plan.people, plan.contains, strict=True)
                for portion, line in zip(person.portions, lines, strict=False)
                if not line.names and not line.also
            )
        ),
    )


def register(plan: ClassPlan) -> Register:
    """The sign-in sheet: nothing about anybody's health, only who has not been asked yet."""

    def line(row: RegisterRow) -> RegisterLine:
        return RegisterLine(
            row.name, row.seat, tuple(plan.lesson.variation(name) for name in row.makes)
        )

    return Register(
        tuple(line(row) for row in plan.register if row.to_ask),
        tuple(line(row) for row in plan.register if not row.to_ask),
        plan.day.ask_at_the_door,
        plan.ask_everybody,
    )


def letter(plan: ClassPlan) -> Letter:
    """The letter: it comes from the lesson and the day alone."""
    facts = plan.letter
    return Letter(
        facts,
        tuple(plan.lesson.variation(name) for name in facts.breads),
        tuple(LABELS[one] for one in facts.in_the_room),
        tuple(LABELS[one] for one in facts.may_contain),
        plan.ask_everybody,
    )
