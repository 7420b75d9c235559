"""What the setting up of a class is worked out from: everything that is settled before the first tub is weighed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from classpack.model.class_day import ClassDay
from classpack.model.class_plan import (
    AmountNeeded,
    Batch,
    Change,
    MixUnit,
    PersonPlan,
    StationPlan,
    Weighed,
)
from classpack.model.kitchen import Kitchen
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson, Variation
from classpack.model.timed_day import DayClocks
from classpack.planning.amounts.scaling import Scaled
from classpack.planning.safety.class_safety import ClassSafety
from classpack.planning.shopping.basket import ShoppingList


@dataclass(frozen=True)
class Groundwork:
    """Who makes what of how much, when, and what is bought for it.

    ``for_everyone`` are the changes in everybody's dough and breads; ``own_tools`` the people who work with tools and tubs of
    their own (why is never said here). No ``__slots__``: what is asked for once is kept.
    """

    lesson: Lesson
    day: ClassDay
    kitchen: Kitchen
    larder: Larder
    units: tuple[MixUnit, ...]
    people: tuple[PersonPlan, ...]
    batches: tuple[Batch, ...]
    stations: tuple[StationPlan, ...]
    shared: tuple[Weighed, ...]
    needs: tuple[AmountNeeded, ...]
    for_everyone: tuple[Change, ...]
    clocks: DayClocks
    safety: ClassSafety
    basket: ShoppingList
    own_tools: frozenset[int]

    @cached_property
    def weights(self) -> Scaled:
        """All weights of the session, as they were scaled."""
        return Scaled(
            self.units, self.people, self.batches, self.stations, self.shared, self.needs, ()
        )

    @cached_property
    def _units(self) -> dict[str, MixUnit]:
        return {unit.key: unit for unit in self.units}

    def unit(self, key: str) -> MixUnit:
        """The mixing unit called ``key``."""
        return self._units[key]

    @cached_property
    def made(self) -> tuple[Variation, ...]:
        """The variations somebody makes or the tutor demonstrates, in the lesson's order."""
        portions = [portion for person in self.people for portion in person.portions]
        portions += [portion for batch in self.batches for portion in batch.portions]
        used = {portion.variation for portion in portions}
        return tuple(one for one in self.lesson.variations if one.name in used)
