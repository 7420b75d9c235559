"""What is really used at each station, and so which cautions of raw egg and chilled toppings somebody there meets.

A bread fires the cautions of its recipe and of everybody's swaps in it. Where all who make it at a station swapped the egg for milk,
nobody washes after egg. What is not known to come from an ingredient alone stays: words and stated triggers are never dropped by this.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from classpack.model.class_plan import StationPlan
from classpack.model.method import WAIT_STAGES, Step
from classpack.model.safety import FiredCaution
from classpack.planning.amounts.scaling import Scaled

HANDLED = frozenset({"egg", "perishable"})
"""Triggers of what hands do with an ingredient. Allergens are not among them: those are said to all who may meet them."""


def handled_at(
    weights: Scaled, ingredients: Mapping[str, frozenset[str]]
) -> dict[str, frozenset[str]]:
    """By station the triggers of everything anybody uses there; milk and egg count as perishable, wherever they go.

    Args:
        ingredients: the triggers each ingredient and preferment carries.
    """
    found = {}
    for station in weights.stations:
        triggers = frozenset[str]().union(
            *(ingredients.get(name, frozenset()) for name in _names(weights, station))
        )
        on_top = {"perishable"} if "perishable-on-top" in triggers else set()
        found[station.station.name] = triggers | on_top
    return found


def met_by(fired: FiredCaution, triggers: frozenset[str]) -> bool:
    """Whether a caution guards people who use what carries ``triggers``.

    Only what an ingredient brought is ever left out, and only where nobody uses one that carries the same.
    """
    caution = fired.caution
    return (
        caution.reserved
        or not HANDLED.issuperset(caution.triggers)
        or bool(triggers.intersection(caution.triggers))
        or all(why.kind != "ingredient" for why in fired.why)
    )


def not_met(
    steps: Sequence[Step], fired: Sequence[Sequence[FiredCaution]], triggers: frozenset[str]
) -> frozenset[str]:
    """The cautions of a whole method that nobody meets who uses what carries ``triggers``.

    What is told while a bread proves or bakes ("egg browns early") is no work with egg: it brings the caution only where no
    hands' step does.
    """
    every: dict[str, list[tuple[bool, FiredCaution]]] = {}
    for step, group in zip(steps, fired, strict=True):
        for one in group:
            every.setdefault(one.id, []).append((step.stage in WAIT_STAGES, one))
    return frozenset(
        name
        for name, told in every.items()
        if not any(
            met_by(one, triggers)
            for waits, one in told
            if not waits or all(other for other, _ in told)
        )
    )


def _names(weights: Scaled, station: StationPlan) -> Iterable[str]:
    """Every ingredient of a station's doughs, toppings, benches and shared pots; also those inside a preferment."""
    lines = [*station.weigh_out, *station.shared, *weights.shared]
    mixed = set(station.units)
    for index in station.people:
        person = weights.people[index]
        mixed.add(person.unit)
        lines += person.dusting
        for portion in person.portions:
            lines += portion.toppings
        yield from (change.into for change in person.version.changes)
    for unit in weights.units:
        if unit.key in mixed:
            lines += unit.lines
    names = {line.ingredient for line in lines}
    for unit in weights.units:
        if unit.kind == "preferment" and unit.key in names:
            names |= {line.ingredient for line in unit.lines}
    yield from sorted(names)
