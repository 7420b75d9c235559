"""Kit and packing as one table, and the lock-up list: what goes into which box, and what is counted, switched off and locked."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.kit_list import TUTOR, KitLine
from classpack.planning.setting_up.weigh_out import Tub
from classpack.sheets.setting_up.name_slips import name_slips


@dataclass(frozen=True, slots=True)
class PackingTable:
    """What goes into the boxes of some ``places`` (stations, and the tutor last). A count stands in ``tools`` and ``vessels`` for
    each place of each line, 0 for none; ``scales`` have their step in grams, ``tubs`` are those that stand warm.
    ``summed``: the last columns say what the kitchen has and what is brought."""

    places: tuple[str, ...]
    tools: tuple[tuple[KitLine, tuple[int, ...]], ...]
    vessels: tuple[tuple[KitLine, tuple[int, ...]], ...]
    scales: tuple[tuple[Fraction, tuple[int, ...]], ...]
    tubs: tuple[int, ...]
    summed: bool


@dataclass(frozen=True, slots=True)
class KitAndPacking:
    """The sheet. ``cold`` are (ingredient, tubs) in the cold box; ``cards`` to ``slips`` count the papers."""

    places: tuple[str, ...]
    lines: tuple[KitLine, ...]
    scales: tuple[tuple[Fraction, Mapping[str, int]], ...]
    tubs: Mapping[str, int]
    cold: tuple[tuple[str, int], ...]
    cards: int
    stations: int
    labels: int
    slips: int

    def tables(self, most: int) -> tuple[PackingTable, ...]:
        """The places, at most ``most`` of them side by side."""
        return tuple(
            self._table(self.places[first : first + most], first + most >= len(self.places))
            for first in range(0, len(self.places), most)
        )

    def _table(self, places: tuple[str, ...], summed: bool) -> PackingTable:
        rows = [
            (line, tuple(dict(line.places).get(place, 0) for place in places))
            for line in self.lines
        ]
        rows = [(line, counts) for line, counts in rows if summed or any(counts)]
        return PackingTable(
            places,
            tuple(row for row in rows if not row[0].vessel),
            tuple(row for row in rows if row[0].vessel),
            tuple(
                (step_g, tuple(counts.get(place, 0) for place in places))
                for step_g, counts in self.scales
            ),
            tuple(self.tubs.get(place, 0) for place in places),
            summed,
        )


def kit_and_packing(plan: ClassPlan) -> KitAndPacking:
    """Every tool and every tub in one box: a station's, the tutor's or the cold one."""
    kept_cold = {*plan.prep.keep_cold, *plan.prep.that_morning}
    benches = [one for one in plan.stations if one.people]
    scales: dict[Fraction, dict[str, int]] = {}
    for bench in benches:
        for step_g, count in plan.scales_each(len(bench.people)):
            scales.setdefault(step_g, {})[bench.station.name] = count
    return KitAndPacking(
        (*(bench.station.name for bench in benches), TUTOR),
        plan.kit.lines,
        tuple(scales.items()),
        _warm(plan, kept_cold),
        _cold(plan.weighed.tubs, kept_cold),
        sum(1 for person in plan.people if person.portions),
        len(benches),
        plan.weighed.pots,
        len(name_slips(plan)),
    )


def _warm(plan: ClassPlan, kept_cold: Collection[str]) -> Mapping[str, int]:
    """How many tubs stand in the box of each place."""
    seats = {one.seat: one.station for one in plan.day.people}
    counts: dict[str, int] = {}
    for tub in plan.weighed.tubs:
        if tub.ingredient not in kept_cold:
            at = tub.where if tub.kind == "station" else seats.get(tub.where, TUTOR)
            counts[at] = counts.get(at, 0) + tub.pots
    return counts


def _cold(tubs: Iterable[Tub], kept_cold: Collection[str]) -> tuple[tuple[str, int], ...]:
    counts: dict[str, int] = {}
    for tub in tubs:
        if tub.ingredient in kept_cold:
            counts[tub.ingredient] = counts.get(tub.ingredient, 0) + tub.pots
    return tuple(counts.items())


@dataclass(frozen=True, slots=True)
class LockUp:
    """What is switched off, counted and locked. ``ovens`` are (name, circuit, gas); ``blades`` are tools that cut and how many
    were handed out; ``circuits`` those of the ovens; ``cold`` what is left in the fridge."""

    ovens: tuple[tuple[str, str, bool], ...]
    circuits: tuple[str, ...]
    gas: bool
    mixers: tuple[tuple[str, int], ...]
    blades: tuple[tuple[str, int], ...]
    thermometers: tuple[tuple[str, int], ...]
    scales: int
    sinks: int | None
    fridge: bool
    cold: tuple[str, ...]


def lock_up(plan: ClassPlan) -> LockUp:
    """The lock-up list of a kitchen after this class."""
    kitchen, kit = plan.kitchen, plan.kit
    ovens = tuple((oven.name, oven.circuit, oven.gas) for oven in kitchen.ovens)
    return LockUp(
        ovens,
        tuple(dict.fromkeys(circuit for _, circuit, _ in ovens if circuit)),
        kitchen.gas or any(gas for _, _, gas in ovens),
        tuple((mixer.name, mixer.count) for mixer in kitchen.mixers),
        tuple((line.name, line.total) for line in kit.lines if line.blade),
        tuple((line.name, line.total) for line in kit.lines if "thermometer" in line.name.lower()),
        sum(scale.count for scale in kitchen.scales),
        kitchen.sinks,
        kitchen.fridge_places > 0 or any(line.storage == "chilled" for line in plan.basket.lines),
        tuple(
            line.ingredient for line in plan.basket.lines if line.left and line.storage != "ambient"
        ),
    )
