"""The class plan: everything that is computed for one class day. Sheets only select from it and order it.

Nothing here is confidential: what a person must not have is handed on beside the plan, never inside it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from classpack.errors import Remark
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
from classpack.model.day_advice import DayVerdict
from classpack.model.formula import Formula
from classpack.model.kitchen import Kitchen
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson, Variation
from classpack.model.needs import RegisterRow
from classpack.model.safety import FiredCaution, Placed
from classpack.model.timed_day import DayClocks, TimedDay
from classpack.planning.amounts.dough_day import DoughAdvice
from classpack.planning.amounts.scaling import Scaled
from classpack.planning.dough.home_batch import HomeBatch
from classpack.planning.labels.contains import ContainsLine
from classpack.planning.safety.briefing import Briefing
from classpack.planning.safety.class_cautions import ClassCautions
from classpack.planning.safety.class_safety import ClassSafety
from classpack.planning.shopping.basket import ShoppingList


@dataclass(frozen=True, slots=True)
class ClassPlan:
    """Everything computed for a class day: the one value the sheets read.

    ``contains`` [person][portion] are the contains-lines of what each person makes; ``home`` a home batch
    of every bread, for each formula that somebody's dough has. ``own_tools`` are people who work with tools and tubs of
    their own; why is never said here. ``gone`` are people who are no longer there when the day is planned again. ``register`` says who comes, and who has not been asked about allergies yet.
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
    fired: ClassCautions
    safety: ClassSafety
    timed: TimedDay
    clocks: DayClocks
    verdict: DayVerdict
    basket: ShoppingList
    home: tuple[tuple[str, Formula, HomeBatch], ...]
    contains: tuple[tuple[ContainsLine, ...], ...]
    dough: DoughAdvice
    remarks: tuple[Remark, ...] = ()
    own_tools: frozenset[int] = frozenset()
    gone: frozenset[int] = frozenset()
    register: tuple[RegisterRow, ...] = ()
    language: Language = ENGLISH
    _units: dict[str, MixUnit] = field(default_factory=dict, compare=False, repr=False)

    @property
    def weights(self) -> Scaled:
        """All weights of the session, as they were scaled."""
        return Scaled(
            self.units, self.people, self.batches, self.stations, self.shared, self.needs, ()
        )

    def helpers(self, station: str, people: tuple[int, ...]) -> tuple[int, ...] | None:
        """Who does what ``people`` of a station cannot, all of them being gone; None while one of them is there."""
        if not people or not self.gone.issuperset(people):
            return None
        return tuple(
            one.index
            for one in self.people
            if one.person.station == station and one.index not in self.gone and one.portions
        )

    def __post_init__(self) -> None:
        self._units.update({unit.key: unit for unit in self.units})

    def unit(self, key: str) -> MixUnit:
        """The mixing unit called ``key``."""
        return self._units[key]

    def placed(self, variation: str) -> Placed:
        """Where the cautions of one bread are printed.

        Raises:
            KeyError: nobody makes it.
        """
        for name, placed in self.cautions:
            if name == variation:
                return placed
        raise KeyError(variation)

    @property
    def cautions(self) -> tuple[tuple[str, Placed], ...]:
        """Where the cautions of each bread are printed."""
        return self.fired.placed

    @property
    def whole_class(self) -> tuple[FiredCaution, ...]:
        """Cautions that hold whatever anybody makes."""
        return self.fired.whole_class

    @property
    def briefing(self) -> Briefing:
        """The two-minute safety talk."""
        return self.safety.briefing

    def home_batch(self, variation: str, formula: Formula) -> HomeBatch:
        """The home batch of a bread made from ``formula``.

        Raises:
            KeyError: nobody makes it so.
        """
        for name, other, batch in self.home:
            if name == variation and other == formula:
                return batch
        raise KeyError(variation)

    @property
    def made(self) -> tuple[Variation, ...]:
        """The variations somebody makes or the tutor demonstrates, in the lesson's order."""
        portions = [portion for person in self.people for portion in person.portions]
        portions += [portion for batch in self.batches for portion in batch.portions]
        used = {portion.variation for portion in portions}
        return tuple(one for one in self.lesson.variations if one.name in used)
