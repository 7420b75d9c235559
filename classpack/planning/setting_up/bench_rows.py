"""The weighing table of one station: what is carried there of each ingredient, and whose bowl or topping pot it goes into."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import StationPlan, Weighed
from classpack.planning.amounts.amount_parts import AmountPart, added_up, must_be_told, parts_of
from classpack.planning.setting_up.groundwork import Groundwork


@dataclass(frozen=True, slots=True)
class SameGrams:
    """The same grams (or count) of one ingredient for several seats or for one dough.

    ``parts`` are its purposes with their amounts where the ingredient serves several (flour for the dough and for dusting), so
    that nobody weighs all of it into the bowl; empty where everybody's is for the same purpose.
    """

    who: tuple[str, ...]
    grams: Fraction
    count: Fraction | None = None
    parts: tuple[AmountPart, ...] = ()


@dataclass(frozen=True, slots=True)
class BenchRow:
    """One ingredient at the station: the total that is carried there, and how it divides."""

    ingredient: str
    grams: Fraction
    count: Fraction | None
    shares: tuple[SameGrams, ...]

    def share_of(self, who: str) -> SameGrams | None:
        """The share of one seat or dough, if it has one."""
        return next((share for share in self.shares if who in share.who), None)

    @property
    def purposes(self) -> tuple[tuple[str, str], ...]:
        """What it is for (purpose, bread), in the order of the shares' parts; empty when it is for one thing only."""
        return tuple(dict.fromkeys(part.what for share in self.shares for part in share.parts))


def bench_rows(work: Groundwork, station: StationPlan) -> tuple[BenchRow, ...]:
    """A row for each ingredient of a station, in the order of its weighing."""
    taken: dict[str, dict[str, list[tuple[str, Weighed]]]] = {}
    for who, bread, line in _taken(work, station):
        taken.setdefault(line.ingredient, {}).setdefault(who, []).append((bread, line))
    return tuple(_row(total, taken.get(total.ingredient, {})) for total in station.weigh_out)


def _taken(work: Groundwork, station: StationPlan) -> list[tuple[str, str, Weighed]]:
    """Every line weighed at a station: the seat or dough that takes it, the bread it goes on (empty for dough and bench)."""
    taken: list[tuple[str, str, Weighed]] = []
    for key in station.units:
        unit = work.unit(key)
        own = unit.kind == "person"
        who = unit.key if own else ", ".join(work.day.people[i].seat for i in unit.people)
        taken += [(who, "", line) for line in unit.lines]
    for person in (work.people[index] for index in station.people):
        seat = person.person.seat
        for portion in person.portions:
            taken += [(seat, portion.variation, line) for line in portion.toppings]
        taken += [(seat, "", line) for line in person.dusting]
    return [*taken, *((_sharers(work, station, line), line.bread, line) for line in station.shared)]


def _sharers(work: Groundwork, station: StationPlan, line: Weighed) -> str:
    """The seats that share a tub; empty for everybody who bakes there."""
    baking = [work.people[index] for index in station.people if work.people[index].portions]
    mine = [
        one.person.seat
        for one in baking
        if any(line.bread in ("", portion.variation) for portion in one.portions)
    ]
    return "" if len(mine) == len(baking) else ", ".join(mine)


def _row(total: Weighed, by_who: dict[str, list[tuple[str, Weighed]]]) -> BenchRow:
    told = must_be_told(parts_of(lines) for lines in by_who.values())
    groups: dict[tuple[Fraction, Fraction | None, tuple[AmountPart, ...]], list[str]] = {}
    for who, lines in by_who.items():
        grams, count = added_up(line for _, line in lines)
        groups.setdefault((grams, count, parts_of(lines) if told else ()), []).append(who)
    shares = tuple(
        SameGrams(tuple(who), grams, count, parts) for (grams, count, parts), who in groups.items()
    )
    return BenchRow(total.ingredient, total.grams, total.count, shares)
