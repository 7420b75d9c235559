"""Labels for the bags that go home: one for each bag of each person's bread, listing what *their* bread is made of."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from classpack.planning.labels.ingredient_list import IngredientList
from classpack.planning.plan.bread_facts import BreadNutrition
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.cards.recipe_card import CardBread


@dataclass(frozen=True, slots=True)
class BagLabel:
    """One label, printed ``bags`` times: a bag for each tin or tray. ``nutrition`` is None unless the class file asks for it
    and enough is known. ``holds.to_copy`` names what must be copied from its own pack."""

    seat: str
    bread: CardBread
    bags: int
    holds: IngredientList
    made_on: datetime.date
    nutrition: BreadNutrition | None


def bag_labels(plan: ClassPlan) -> tuple[BagLabel, ...]:
    """The labels by station and seat. The demonstration and the spare are eaten or shared out, so they have none."""
    found = []
    for station in plan.stations:
        for index in station.people:
            person = plan.people[index]
            if not person.portions:
                continue
            for portion, facts in zip(person.portions, plan.own_facts[index], strict=True):
                bread = plan.told_bread(portion.variation, person.version.changes)
                nutrition = facts.nutrition
                found.append(
                    BagLabel(
                        person.person.seat,
                        CardBread(bread, portion),
                        portion.trays,
                        facts.holds,
                        plan.day.date,
                        nutrition if nutrition and nutrition.per_100g else None,
                    )
                )
    return tuple(found)
