"""Kit that the benches share and must take turns at: tins, mixers, scales."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from classpack.errors import Remark
from classpack.model.class_plan import MixUnit
from classpack.model.day import DayPool, DayStep
from classpack.model.kitchen import Kitchen
from classpack.model.lesson import Lesson, Variation
from classpack.planning.amounts.vessels import tin_for
from classpack.quantities import plain

MIXERS, SCALES = "mixers", "scales"
MIXED_STAGES = ("mix", "knead")
"""What a mixer does, where the lesson's dough is mixed by one."""
FLOUR_G = 1000
"""A scale that does not hold flour and its bowl is for yeast and salt; nobody waits at it: the project's choice."""


@dataclass(frozen=True, slots=True)
class Turns:
    """Mixers and scales of the class. ``goes`` by station, how often its mixing steps run one after another (1 where not named);
    a mixing or weighing step takes one of its pool where that is given."""

    mixers: DayPool | None
    by_machine: bool
    goes: tuple[tuple[str, int], ...]
    scales: DayPool | None
    remarks: tuple[Remark, ...]

    def at(self, station: str, step: DayStep, stage: str, machine_min: int) -> DayStep:
        """A base step as the station does it; ``machine_min``: how long a mixer takes over one dough."""
        if self.by_machine and stage in MIXED_STAGES:
            minutes = machine_min * dict(self.goes).get(station, 1)
            return replace(step, minutes=minutes, pool=self.mixers.name if self.mixers else None)
        if self.scales and stage == "weigh":
            return replace(step, pool=self.scales.name)
        return step


def tins_of(
    kitchen: Kitchen, made: Sequence[Variation]
) -> tuple[tuple[DayPool, ...], dict[str, str], tuple[Remark, ...]]:
    """The tins there are, which of them each bread takes, and what the kitchen has none of."""
    pools: dict[str, int] = {}
    pool_of: dict[str, str] = {}
    remarks = []
    for bread in made:
        wanted = bread.vessel.volume_ml
        if wanted is None:
            continue
        best = tin_for(bread, kitchen)
        if best:
            pools[best.name] = best.count
            pool_of[bread.name] = best.name
        else:
            remarks.append(
                Remark(
                    "kit",
                    f"The kitchen has no tin of about {plain(wanted)} ml for the {bread.many}: the plan takes it that enough are brought.",
                )
            )
    return tuple(DayPool(name, count) for name, count in pools.items()), pool_of, tuple(remarks)


def turns(
    lesson: Lesson, kitchen: Kitchen, units: Sequence[MixUnit], stations: Sequence[str]
) -> Turns:
    """Who takes turns at what. A kitchen without a mixer for a lesson that needs one has a pool of none: the planner says so.

    A dough that no mixer holds goes through the largest in parts. A class with fewer scales than benches takes turns at weighing.
    """
    scales = sum(one.count for one in kitchen.scales if one.capacity_g >= FLOUR_G)
    pool = DayPool(SCALES, scales) if 0 < scales < len(stations) else None
    if lesson.base.mixed_by != "mixer":
        return Turns(None, False, (), pool, ())
    doughs = [one for one in units if one.kind in ("person", "station", "class", "demonstration")]
    largest = max((one.dough_g for one in doughs), default=0)
    most = max((one.capacity_g for one in kitchen.mixers), default=0)
    used = [one for one in kitchen.mixers if one.capacity_g >= min(largest, most)]
    count = sum(one.count for one in used)
    if not used or not count:
        return Turns(DayPool(MIXERS, 0), True, (), pool, ())
    holds = min(one.capacity_g for one in used)
    remarks = [
        Remark(
            "kit",
            f"{_whose(one)} dough of {plain(one.dough_g, 0)} g is more than a mixer holds ({plain(holds, 0)} g): it is mixed in {ceil(one.dough_g / holds)} parts.",
        )
        for one in doughs
        if one.dough_g > holds
    ]
    whole = sum(ceil(one.dough_g / holds) for one in doughs if one.kind == "class")
    if whole:
        goes = tuple((name, ceil(whole / count)) for name in stations)
        return Turns(None, True, goes, pool, tuple(remarks))
    at_once = max(1, count // max(1, len(stations)))
    bowls = {
        name: sum(ceil(one.dough_g / holds) for one in doughs if _station(one) == name)
        for name in stations
    }
    goes = tuple((name, max(1, ceil(number / at_once))) for name, number in bowls.items())
    by_number: dict[int, list[str]] = {}
    for name, number in goes:
        by_number.setdefault(number, []).append(name)
    remarks += [
        Remark(
            "kit",
            f"{number} doughs or parts of one go through a mixer one after another at {', '.join(names)}: the first rests longer than the last.",
        )
        for number, names in sorted(by_number.items())
        if number > 1
    ]
    return Turns(DayPool(MIXERS, count // at_once), True, goes, pool, tuple(remarks))


def _station(unit: MixUnit) -> str:
    return "tutor" if unit.kind == "demonstration" else unit.station


def _whose(unit: MixUnit) -> str:
    if unit.kind == "class":
        return "The whole class's"
    if unit.kind == "demonstration":
        return "The tutor's own"
    return f"{unit.station if unit.kind == 'station' else unit.key}'s"
