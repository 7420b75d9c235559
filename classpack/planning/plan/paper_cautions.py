"""Which cautions stand on whose paper. What a card has no room for stands at its station; what neither says, the tutor's sheet does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from classpack.model.class_plan import PersonPlan, StationPlan
from classpack.model.safety import FiredCaution, severity_rank
from classpack.planning.safety.bench_use import handled_at, met_by, not_met
from classpack.planning.safety.cautions import larder_triggers, triggers_on_top
from classpack.planning.safety.class_cautions import ClassCautions
from classpack.planning.safety.safety_sheet import AT_THE_DOOR
from classpack.planning.setting_up.composition import Composition
from classpack.planning.setting_up.groundwork import Groundwork

FROM_INGREDIENTS = frozenset({"egg", "nuts-seeds", "milk-egg-other", "perishable"})
"""Triggers that come with an ingredient, whoever states them."""

BeforeSteps = tuple[tuple[FiredCaution, ...], ...]
"""The cautions that stand before each step of a method."""


@dataclass(frozen=True, slots=True)
class CardCautions:
    """The cautions on one person's card: before each step of the base dough, before those of each of their breads (in the order of
    their portions), and at its end."""

    base: BeforeSteps
    breads: tuple[BeforeSteps, ...]
    after: tuple[FiredCaution, ...]

    @property
    def ids(self) -> frozenset[str]:
        """Which are printed on it."""
        every = (*self.base, *(group for bread in self.breads for group in bread), self.after)
        return frozenset(one.id for group in every for one in group)


@dataclass(frozen=True, slots=True)
class PaperCautions:
    """``cards`` by person, empty for who bakes nothing; ``stations`` by name, ``tutor`` those of the tutor's sheet, most severe
    first."""

    cards: tuple[CardCautions, ...]
    stations: Mapping[str, tuple[FiredCaution, ...]]
    tutor: tuple[FiredCaution, ...]


def paper_cautions(
    work: Groundwork, fired: ClassCautions, compositions: Sequence[Sequence[Composition]]
) -> PaperCautions:
    """Where every caution of the class is printed.

    Args:
        compositions: by person, one for each of their portions.
    """
    cards = tuple(
        _on_card(work, fired, person, made)
        for person, made in zip(work.people, compositions, strict=True)
    )
    ingredients = larder_triggers(work.larder, work.lesson.base.formula.preferments)
    handled = handled_at(work.weights, ingredients)
    stations = {
        one.station.name: _at_station(work, fired, one, cards, handled[one.station.name])
        for one in work.stations
    }
    said = frozenset[str]().union(*(card.ids for card in cards))
    said |= {one.id for hung in stations.values() for one in hung}
    said |= {met.fired.id for met in work.safety.sheet.hazards}
    every = [met.fired for met in work.safety.met]
    tutor = [one for one in every if one.caution.audience == "tutor" or one.id not in said]
    return PaperCautions(cards, stations, _ranked(work, tutor))


def _on_card(
    work: Groundwork, fired: ClassCautions, person: PersonPlan, made: Iterable[Composition]
) -> CardCautions:
    """A caution already printed for an earlier bread is printed again: it is another product."""
    if not person.portions:
        return CardCautions((), (), ())
    uses = frozenset[str]().union(
        *(triggers_on_top(one) for bread in made for one, _ in bread.everything)
    )
    placed = [dict(fired.placed)[portion.variation] for portion in person.portions]
    first = len(work.lesson.base.method)
    after: dict[str, FiredCaution] = {}
    for where in placed:
        for one in where.at_home:
            after.setdefault(one.id, one)
    return CardCautions(
        tuple(_guarding(group, uses) for group in placed[0].before[:first]),
        tuple(tuple(_guarding(group, uses) for group in where.before[first:]) for where in placed),
        tuple(after.values()),
    )


def _guarding(cautions: Iterable[FiredCaution], uses: frozenset[str]) -> tuple[FiredCaution, ...]:
    """The cautions of a bread that guard somebody who ``uses`` these triggers: what only comes with an ingredient they use
    nothing like is for the others, and hangs at the station. What the step's own words say stays."""
    return tuple(
        one
        for one in cautions
        if one.caution.reserved
        or not FROM_INGREDIENTS.issuperset(one.caution.triggers)
        or uses.intersection(one.caution.triggers)
        or all(why.kind != "ingredient" for why in one.why)
    )


def _at_station(
    work: Groundwork,
    fired: ClassCautions,
    station: StationPlan,
    cards: Sequence[CardCautions],
    triggers: frozenset[str],
) -> tuple[FiredCaution, ...]:
    """What hangs at a station: moved from the cards there, or fired and not on them, and what holds all day.

    What comes with raw egg or chilled toppings hangs only where somebody uses some: a bread fires it for everybody who makes it.
    """
    people = [work.people[index] for index in station.people if work.people[index].portions]
    if not people:
        return ()
    steps, placed, home = dict(fired.fired), dict(fired.placed), dict(fired.home)
    hung: list[FiredCaution] = []
    for person in people:
        card = cards[person.index].ids
        for portion in person.portions:
            bread = work.lesson.variation(portion.variation)
            groups = steps[bread.name]
            others = not_met((*work.lesson.base.method, *bread.method), groups, triggers)
            own = [*placed[bread.name].station]
            own += [one for group in groups for one in group if one.id not in card]
            hung += [one for one in own if one.id not in others]
            hung += [
                one for one in home[bread.name] if one.id not in card and met_by(one, triggers)
            ]
    hung += [
        one
        for one in fired.whole_class
        if one.caution.place == "station" and not set(one.caution.triggers) <= AT_THE_DOOR
    ]
    shared = (
        one for one in hung if one.caution.audience != "tutor" and one.caution.place != "wall"
    )
    return _ranked(work, shared)


def _ranked(work: Groundwork, cautions: Iterable[FiredCaution]) -> tuple[FiredCaution, ...]:
    """Each once with the word of the whole class, most severe first, then as the day meets them."""
    met = {one.fired.id: place for place, one in enumerate(work.safety.met)}
    ranked = {one.id: one for one in cautions}
    ranked |= {one.fired.id: one.fired for one in work.safety.met if one.fired.id in ranked}
    return tuple(
        sorted(
            ranked.values(),
            key=lambda one: (-severity_rank(one.severity), met.get(one.id, len(met))),
        )
    )
