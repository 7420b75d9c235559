"""What hangs at one station: who is here, what is weighed, the tools, the exact clock, cautions large."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import PersonPlan, StationPlan, Weighed
from classpack.model.lesson import Variation
from classpack.model.method import Step
from classpack.model.safety import FiredCaution
from classpack.model.timed_day import Entry
from classpack.planning.class_plan import ClassPlan
from classpack.planning.kit import Kit, kit_of
from classpack.sheets.recipe_card import Bread


@dataclass(frozen=True, slots=True)
class BenchPerson:
    """Somebody at the bench and what they make."""

    name: str
    seat: str
    breads: tuple[Bread, ...]


@dataclass(frozen=True, slots=True)
class Share:
    """The same grams (or count) of one ingredient for several seats or for one dough."""

    who: tuple[str, ...]
    grams: Fraction
    count: Fraction | None = None


@dataclass(frozen=True, slots=True)
class BenchRow:
    """One ingredient at the station: the total that is carried there, and how it divides."""

    ingredient: str
    grams: Fraction
    count: Fraction | None
    shares: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class BenchEntry:
    """One entry of the station's clock with what its step says and the cautions that guard it."""

    entry: Entry
    steps: tuple[Step, ...]
    bread: Variation | None
    seats: tuple[str, ...]
    cautions: tuple[FiredCaution, ...]
    ready_when: str = ""


@dataclass(frozen=True, slots=True)
class StationSheet:
    """One station's sheet. ``cautions`` are those moved here from the cards and those that hold all day."""

    name: str
    place: str
    people: tuple[BenchPerson, ...]
    rows: tuple[BenchRow, ...]
    kit: Kit
    clock: tuple[BenchEntry, ...]
    cautions: tuple[FiredCaution, ...]


def station_sheet(plan: ClassPlan, station: StationPlan) -> StationSheet:
    """The sheet of one station."""
    people = tuple(plan.people[index] for index in station.people)
    breads = dict.fromkeys(portion.variation for person in people for portion in person.portions)
    moved = [plan.placed(name).station for name in breads]
    return StationSheet(
        name=station.station.name,
        place=station.station.place,
        people=tuple(_person(plan, person) for person in people),
        rows=tuple(_row(plan, station, people, line) for line in station.weigh_out),
        kit=kit_of(plan.lesson, people),
        clock=_clock(plan, station),
        cautions=_each_once(moved),
    )


def _each_once(groups: Iterable[Iterable[FiredCaution]]) -> tuple[FiredCaution, ...]:
    found: dict[str, FiredCaution] = {}
    for group in groups:
        for one in group:
            found.setdefault(one.id, one)
    return tuple(found.values())


def _person(plan: ClassPlan, person: PersonPlan) -> BenchPerson:
    breads = tuple(Bread(plan.lesson.variation(one.variation), one) for one in person.portions)
    return BenchPerson(person.person.name, person.person.seat, breads)


def _row(
    plan: ClassPlan, station: StationPlan, people: tuple[PersonPlan, ...], total: Weighed
) -> BenchRow:
    """Where the total of one ingredient goes: whose bowl or whose topping pot."""
    amounts: list[tuple[str, Weighed]] = []
    for key in station.units:
        unit = plan.unit(key)
        who = (
            unit.key
            if unit.kind == "person"
            else ", ".join(plan.day.people[i].seat for i in unit.people)
        )
        amounts += [(who, line) for line in unit.lines if line.ingredient == total.ingredient]
    for person in people:
        lines = [line for portion in person.portions for line in portion.toppings]
        amounts += [
            (person.person.seat, line)
            for line in (*lines, *person.dusting)
            if line.ingredient == total.ingredient
        ]
    amounts += [("", line) for line in station.shared if line.ingredient == total.ingredient]
    by_who: dict[str, list[Weighed]] = {}
    for who, line in amounts:
        by_who.setdefault(who, []).append(line)
    groups: dict[tuple[Fraction, Fraction | None], list[str]] = {}
    for who, lines in by_who.items():
        counts = [line.count for line in lines if line.count is not None]
        count = sum(counts, Fraction(0)) if len(counts) == len(lines) else None
        groups.setdefault((sum((line.grams for line in lines), Fraction(0)), count), []).append(who)
    shares = tuple(Share(tuple(who), grams, count) for (grams, count), who in groups.items())
    return BenchRow(total.ingredient, total.grams, total.count, shares)


def _clock(plan: ClassPlan, station: StationPlan) -> tuple[BenchEntry, ...]:
    base = plan.lesson.base.method
    found = []
    for entry in plan.clocks.station(station.station.name):
        bread = plan.lesson.variation(entry.variation) if entry.variation else None
        steps = tuple(base[number] for number in entry.steps)
        if entry.kind == "event" and entry.what.startswith("show: "):
            bread, steps = shown(plan, entry.what.removeprefix("show: "))
        if bread and entry.kind == "shape":
            stages = [step.stage for step in bread.method]
            end = stages.index("final proof") if "final proof" in stages else stages.index("load")
            steps = bread.method[:end]
        elif bread and entry.kind != "event":
            steps = tuple(step for step in bread.method if step.stage == entry.kind)
        ready = next((step.ready_when for step in reversed(steps) if step.ready_when), "")
        seats = tuple(plan.day.people[index].seat for index in entry.people)
        found.append(BenchEntry(entry, steps, bread, seats, _guards(plan, bread, entry), ready))
    return tuple(found)


def shown(plan: ClassPlan, name: str) -> tuple[Variation | None, tuple[Step, ...]]:
    """What a demonstration shows: a bread by its name, or a step of the base dough by its number."""
    if any(bread.name == name for bread in plan.lesson.variations):
        return plan.lesson.variation(name), ()
    return None, (plan.lesson.base.method[int(name.split(" ", 1)[0]) - 1],)


def _guards(plan: ClassPlan, bread: Variation | None, entry: Entry) -> tuple[FiredCaution, ...]:
    """The reserved cautions stand before every loading and taking-out here too."""
    if bread is None or entry.kind not in ("load", "take out"):
        return ()
    placed = plan.placed(bread.name).before
    first = len(plan.lesson.base.method)
    for number, step in enumerate(bread.method):
        if step.stage == entry.kind:
            return tuple(one for one in placed[first + number] if one.caution.reserved)
    return ()
