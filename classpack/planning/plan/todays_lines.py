"""Cautions in today's words: which allergen it is, and whether it is really the last thing at one station.

"Contains an allergen" before milk, egg and butter alike tells nobody what to keep apart; "nuts and sesame last, at one station" is
printed only of a class whose plan does so, with its seats and its time. What is used decides, never anybody's health.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from classpack.model.class_plan import PersonPlan
from classpack.model.larder import Ingredient
from classpack.model.safety import STORE_FILLED, FiredCaution
from classpack.planning.day.step_minutes import made_by
from classpack.planning.labels.contains import in_order
from classpack.planning.safety.cautions import allergen_trigger

if TYPE_CHECKING:
    from classpack.planning.plan.class_plan import ClassPlan


def used_by(plan: ClassPlan, people: Iterable[PersonPlan]) -> dict[str, Ingredient]:
    """Every ingredient of what these people make, by its name."""
    return {
        one.name: one
        for person in people
        for made in plan.compositions[person.index]
        for one, _ in made.everything
    }


def in_todays_words(
    plan: ClassPlan,
    cautions: Iterable[FiredCaution],
    used: dict[str, Ingredient],
    people: Iterable[PersonPlan] = (),
) -> tuple[FiredCaution, ...]:
    """``cautions`` for ``people`` who use ``used``: those about allergens with their names, the one about filled bread with its clock."""
    indexes = {person.index for person in people}
    return tuple(
        _by_clock(plan, one, indexes) if one.id == STORE_FILLED else _named(plan, one, used)
        for one in cautions
    )


def _by_clock(plan: ClassPlan, fired: FiredCaution, people: set[int]) -> FiredCaution:
    """Two hours after the first of these people's filled bread leaves the oven."""
    by = [one.by_min for one in plan.safety.chilled if people & set(one.people)]
    if not by or not fired.caution.named:
        return fired
    return replace(fired, today=fired.caution.named.replace("{clock}", _clock(plan, min(by))))


def _clock(plan: ClassPlan, minute: int) -> str:
    hours, minutes = divmod(plan.timed.clock(minute), 60)
    return f"{hours % 24:02d}:{minutes:02d}"


def _named(plan: ClassPlan, fired: FiredCaution, used: dict[str, Ingredient]) -> FiredCaution:
    caution = fired.caution
    if not caution.named:
        return fired
    brought = {why.what for why in fired.why if why.kind == "ingredient"} & used.keys()
    ids = {
        allergen
        for name in brought
        for allergen in used[name].allergens
        if allergen_trigger(allergen) in caution.triggers
    }
    if not ids:
        return fired
    names = [plan.language.allergen(one) for one in in_order(ids)]
    said = ", ".join(dict.fromkeys(names))
    said = said[:1].upper() + said[1:]
    if caution.named_last:
        last = _last_of_all(plan, frozenset(caution.triggers))
        if last is not None:
            seats, clock = last
            line = caution.named_last.replace("{seats}", seats).replace("{clock}", clock)
            return replace(fired, today=line.replace("{names}", said))
    return replace(fired, today=caution.named.replace("{names}", said))


def _last_of_all(plan: ClassPlan, triggers: frozenset[str]) -> tuple[str, str] | None:
    """The seats that put such a thing on and the time, if one station alone does, after all other stations have topped theirs.

    None also where it is in a dough or shared by a station: then it is everywhere from the start.
    """
    users: dict[str, set[int]] = {}
    for person in plan.people:
        for portion in person.portions:
            if any(_carries(plan, line.ingredient, triggers) for line in portion.toppings):
                users.setdefault(person.person.station, set()).add(person.index)
    doughs = [line for unit in plan.units for line in unit.lines]
    everywhere = (*doughs, *plan.shared, *(one for s in plan.stations for one in s.shared))
    if len(users) != 1 or any(_carries(plan, one.ingredient, triggers) for one in everywhere):
        return None
    ((station, people),) = users.items()
    made = [
        one
        for name, entries in plan.clocks.stations
        for one in made_by(plan.lesson, plan.day, name, entries)
    ]
    mine = [one.topped_min for one in made if one.station == station and people & set(one.people)]
    others = [one.topped_min for one in made if one.station != station]
    demonstrated = any(
        _carries(plan, line.ingredient, triggers)
        for batch in plan.batches
        for portion in batch.portions
        for line in portion.toppings
    )
    if not mine or demonstrated or any(minute > min(mine) for minute in others):
        return None
    seats = " ".join(plan.day.people[index].seat for index in sorted(people))
    return seats, _clock(plan, min(mine))


def _carries(plan: ClassPlan, name: str, triggers: frozenset[str]) -> bool:
    one = plan.larder.get(name)
    return one is not None and any(allergen_trigger(a) in triggers for a in one.allergens)
