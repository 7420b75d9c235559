"""Which cautions stand on whose paper. What a card has no room for stands at its station; what neither says, the tutor's sheet does."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from classpack.model.class_plan import PersonPlan, StationPlan
from classpack.model.safety import FiredCaution, severity_rank
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.bench_use import handled_at, met_by, not_met
from classpack.planning.safety.cautions import larder_triggers
from classpack.planning.safety.safety_sheet import AT_THE_DOOR
from classpack.sheets.cards.recipe_card import RecipeCard, recipe_card


def on_card(card: RecipeCard) -> frozenset[str]:
    """The cautions printed on a card."""
    steps = (step for part in card.parts for step in part.steps)
    return frozenset(
        one.id for group in (*(step.cautions for step in steps), card.after) for one in group
    )


def station_cautions(plan: ClassPlan, station: StationPlan) -> tuple[FiredCaution, ...]:
    """What hangs at a station: moved from the cards there, or fired and not on them, and what holds all day.

    What comes with raw egg or chilled toppings hangs only where somebody uses some: a bread fires it for everybody who makes it.
    """
    people = [plan.people[index] for index in station.people if plan.people[index].portions]
    if not people:
        return ()
    triggers = bench_triggers(plan, station)
    found: list[FiredCaution] = []
    for person in people:
        card = on_card(recipe_card(plan, person))
        for portion in person.portions:
            bread = plan.lesson.variation(portion.variation)
            fired = dict(plan.fired.fired)[bread.name]
            others = not_met((*plan.lesson.base.method, *bread.method), fired, triggers)
            mine = [*plan.placed(bread.name).station]
            mine += [one for group in fired for one in group if one.id not in card]
            found += [one for one in mine if one.id not in others]
            found += [
                one
                for one in dict(plan.fired.home)[bread.name]
                if one.id not in card and met_by(one, triggers)
            ]
    found += [
        one
        for one in plan.fired.whole_class
        if one.caution.place == "station" and not set(one.caution.triggers) <= AT_THE_DOOR
    ]
    return ranked(plan, (one for one in found if one.caution.audience != "tutor"))


def tutor_cautions(plan: ClassPlan) -> tuple[FiredCaution, ...]:
    """The tutor's own cautions, and everything that fired and stands on no card and at no station."""
    said: set[str] = set()
    for person in plan.people:
        if person.portions:
            said |= on_card(recipe_card(plan, person))
    for station in plan.stations:
        said |= {one.id for one in station_cautions(plan, station)}
    every = [met.fired for met in plan.safety.met]
    return ranked(
        plan, (one for one in every if one.caution.audience == "tutor" or one.id not in said)
    )


def bench_triggers(plan: ClassPlan, station: StationPlan) -> frozenset[str]:
    """The triggers of all that is used at a station."""
    ingredients = larder_triggers(plan.larder, plan.lesson.base.formula.preferments)
    return handled_at(plan.weights, ingredients)[station.station.name]


def fired_for(plan: ClassPlan, person: PersonPlan) -> tuple[FiredCaution, ...]:
    """All that fires in what one person makes, at the bench and at the end of the card."""
    steps, home = dict(plan.fired.fired), dict(plan.fired.home)
    found: list[FiredCaution] = []
    for portion in person.portions:
        found += [one for group in steps[portion.variation] for one in group]
        found += home[portion.variation]
    return tuple(found)


def ranked(plan: ClassPlan, cautions: Iterable[FiredCaution]) -> tuple[FiredCaution, ...]:
    """Each once with the word of the whole class, most severe first, then as the day meets them."""
    met: dict[str, int] = {one.fired.id: place for place, one in enumerate(plan.safety.met)}
    words: Sequence[FiredCaution] = [one.fired for one in plan.safety.met]
    found = {one.id: one for one in cautions}
    for one in words:
        if one.id in found:
            found[one.id] = one
    return tuple(
        sorted(
            found.values(),
            key=lambda one: (-severity_rank(one.severity), met.get(one.id, len(met))),
        )
    )
