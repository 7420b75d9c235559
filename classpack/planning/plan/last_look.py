"""The last look before anything is printed: the computed plan against what everybody must not have."""

from __future__ import annotations

from collections.abc import Iterable

from classpack.errors import Problem, Spot
from classpack.model.class_plan import Portion, Weighed
from classpack.model.needs import NeedsPlan
from classpack.planning.needs.resolving import last_look
from classpack.planning.plan.class_plan import ClassPlan


def last_look_at_plan(plan: ClassPlan, needs: NeedsPlan) -> tuple[Problem, ...]:
    """Everything that cards, tubs and sheets are about to say is weighed, by :func:`classpack.planning.needs.resolving.last_look`.

    Call it when everything that changes ingredients has happened, yeast and flour of the shop among it.
    """
    units = {unit.key: unit for unit in plan.units}

    def dough(key: str) -> list[str]:
        found: list[str] = []
        for line in units[key].lines if key in units else ():
            inside = units.get(line.ingredient)
            found += dough(inside.key) if inside else [line.ingredient]
        return found

    def beside(portions: Iterable[Portion], dusting: Iterable[Weighed]) -> list[str]:
        lines = [line for portion in portions for line in portion.toppings]
        return [line.ingredient for line in (*lines, *dusting)]

    used: list[list[str]] = [[] for _ in needs.versions]
    for one in plan.people:
        used[one.index] = [*dough(one.unit), *beside(one.portions, one.dusting)]
        if one.portions:  # what their contains-line and label are written from, shared tubs with it
            made = plan.compositions[one.index]
            used[one.index] += [part.name for bread in made for part, _ in bread.everything]
    by_all = [line.ingredient for line in plan.shared]
    by_all += [line.ingredient for station in plan.stations for line in station.weigh_out]
    for batch in plan.batches:
        by_all += [*dough(batch.unit), *beside(batch.portions, batch.dusting)]
    return last_look(needs.sheet, plan.larder, used, by_all, Spot(plan.day.file, 1))
