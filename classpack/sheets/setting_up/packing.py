"""The packing list by box, and the lock-up list: what comes along, and what is counted, switched off and locked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.kit_list import TUTOR, KitLine
from classpack.planning.setting_up.weigh_out import Tub
from classpack.sheets.setting_up.name_slips import name_slips


@dataclass(frozen=True, slots=True)
class Box:
    """One box. ``kind`` is ``station``, ``tutor`` or ``cold``; ``name`` the station. ``tools`` are (tool, count, is it brought);
    ``scales`` are (step, count); ``tubs`` are (ingredient, tubs) standing in it."""

    kind: str
    name: str
    tools: tuple[tuple[str, int, bool], ...]
    scales: tuple[tuple[Fraction, int], ...]
    tubs: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class PackingList:
    """All boxes, and the counts of the paper box: cards, station sheets, labels, slips."""

    boxes: tuple[Box, ...]
    cards: int
    stations: int
    labels: int
    slips: int


def packing_list(plan: ClassPlan) -> PackingList:
    """What goes into which box. A tool is brought when the kitchen has too few of it or does not say."""
    cold = {*plan.prep.keep_cold, *plan.prep.that_morning}
    tubs, kit = plan.weighed.tubs, plan.kit
    boxes = [
        Box(
            "station",
            station.station.name,
            _tools(kit.lines, station.station.name),
            plan.scales_each(len(station.people)),
            _tubs(
                tub
                for tub in tubs
                if _at(plan, tub) == station.station.name and tub.ingredient not in cold
            ),
        )
        for station in plan.stations
        if station.people
    ]
    boxes.append(
        Box(
            "tutor",
            "",
            _tools(kit.lines, TUTOR),
            (),
            _tubs(tub for tub in tubs if not _at(plan, tub) and tub.ingredient not in cold),
        )
    )
    boxes.append(Box("cold", "", (), (), _tubs(tub for tub in tubs if tub.ingredient in cold)))
    return PackingList(
        tuple(boxes),
        sum(1 for person in plan.people if person.portions),
        sum(1 for station in plan.stations if station.people),
        plan.weighed.pots,
        len(name_slips(plan)),
    )


def _at(plan: ClassPlan, tub: Tub) -> str:
    """The station a tub stands at, empty for the tutor's table."""
    if tub.kind == "station":
        return tub.where
    if tub.kind == "seat":
        return next(one.station for one in plan.day.people if one.seat == tub.where)
    return ""


def _tools(lines: Iterable[KitLine], place: str) -> tuple[tuple[str, int, bool], ...]:
    return tuple(
        (line.name, count, bool(line.short))
        for line in lines
        for name, count in line.places
        if name == place
    )


def _tubs(tubs: Iterable[Tub]) -> tuple[tuple[str, int], ...]:
    counts: dict[str, int] = {}
    for tub in tubs:
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
