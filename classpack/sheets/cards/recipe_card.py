"""What one student's card says, in the order it is printed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from classpack.model.allergens import BY_ID, label_name
from classpack.model.class_plan import (
    Change,
    MixUnit,
    PersonPlan,
    Portion,
    Weighed,
)
from classpack.model.lesson import Variation
from classpack.model.method import WAIT_STAGES, Step
from classpack.model.safety import FiredCaution
from classpack.model.timed_day import Entry
from classpack.planning.dough.measures import SpoonMeasure
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.frames import CautionFrame, FrameGroup
from classpack.quantities import OvenHeat
from classpack.sheets.cards.step_words import (
    Dose,
    Words,
    changes_named,
    step_said,
    without_said,
)


@dataclass(frozen=True, slots=True)
class CardBread:
    """One bread on the card: how many pieces of what, their dough and their weight baked."""

    variation: Variation
    portion: Portion

    @property
    def word(self) -> str:
        """Its name for this number of pieces."""
        return self.variation.one if self.portion.pieces == 1 else self.variation.many


@dataclass(frozen=True, slots=True)
class CardStep:
    """One step as this student reads it. ``minutes`` are at the class's pace, hands' minutes whole ones; ``line`` is hands, dough
    or oven.

    ``methods`` are the lesson's words for the changes this step made; ``skipped``: all it is about is left out of this bread.
    ``divide`` lists the pieces to cut, at the first dividing step they belong to. ``heat`` is set for a bake. ``about_min`` is
    the clock (minutes after midnight) of the few steps that show one, so that a card stays true when the day slips.
    ``cautions`` stand in one frame before the step, which is about ``frame``.
    """

    number: int
    stage: str
    head: str
    words: Words
    minutes: Fraction
    line: str
    ready_when: str
    cautions: tuple[FiredCaution, ...]
    divide: tuple[CardBread, ...] = ()
    heat: OvenHeat | None = None
    steam: str = "none"
    window_min: tuple[Fraction, Fraction] | None = None
    about_min: int | None = None
    methods: tuple[str, ...] = ()
    skipped: bool = False
    frame: FrameGroup | None = None


@dataclass(frozen=True, slots=True)
class CardPart:
    """The steps of the base dough (``bread`` None) or of one bread."""

    bread: CardBread | None
    steps: tuple[CardStep, ...]


@dataclass(frozen=True, slots=True)
class RecipeCard:
    """One student's card.

    ``mixed_for`` is how many share the dough (1: their own), ``sharers`` their seats, ``share_g`` this person's dough.
    ``contains`` pairs allergen names with the breads they hold for; breads with the same names stand together. ``may_contain``
    are allergen ids that may get in. ``own`` are the
    changes to tell at the top, with their method only where no step says it. ``water_c`` is the water for the dough (None: the
    class file gives no temperatures, or the water takes ice), ``poured`` what goes in at that heat. ``parts`` are in the order of the clock. ``own_tools`` asks for tools of one's own, and
    ``shelves`` says on which shelf (1 is the top one) each bread then stands; why is said nowhere.
    """

    name: str
    seat: str
    station: str
    place: str
    breads: tuple[CardBread, ...]
    unit: MixUnit | None
    mixed_for: int
    total_percent: Fraction
    toppings: tuple[tuple[Weighed, CardBread], ...]
    dusting: tuple[tuple[Weighed, SpoonMeasure | None], ...]
    own: tuple[Change, ...]
    changes: tuple[Change, ...]
    parts: tuple[CardPart, ...]
    after: tuple[FiredCaution, ...]
    contains: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]
    may_contain: tuple[str, ...]
    sharers: tuple[str, ...]
    share_g: Fraction
    water_c: Fraction | None = None
    poured: frozenset[str] = frozenset()
    own_tools: bool = False
    shelves: tuple[tuple[CardBread, int], ...] = ()
    bench_tubs: tuple[tuple[str, str], ...] = ()
    class_tubs: tuple[tuple[str, str], ...] = ()

    @property
    def every_caution(self) -> tuple[FiredCaution, ...]:
        """All that the card must print."""
        steps = [step for part in self.parts for step in part.steps]
        return (*(fired for step in steps for fired in step.cautions), *self.after)


def recipe_card(plan: ClassPlan, person: PersonPlan) -> RecipeCard:
    """The card of one person who bakes."""
    breads = tuple(
        CardBread(plan.told_bread(one.variation, person.version.changes), one)
        for one in person.portions
    )
    unit = plan.unit(person.unit) if person.unit else None
    bench = next(one for one in plan.stations if one.station.name == person.person.station)
    station = bench.station
    writer = _Writer(plan, person, unit.lines if unit else ())
    parts = [CardPart(None, writer.base(breads))]
    parts += [CardPart(bread, writer.bread(bread, breads)) for bread in writer.in_turn(breads)]
    steps = [step for part in parts for step in part.steps]
    framed, after = plan.framed(person.index, [(one.stage, one.cautions) for one in steps])
    frames = dict(zip((one.number for one in steps), framed, strict=True))
    return RecipeCard(
        name=person.person.name,
        seat=person.person.seat,
        station=station.name,
        place=station.place,
        breads=breads,
        unit=unit,
        mixed_for=len(unit.people) if unit else 0,
        total_percent=sum((line.percent or Fraction(0) for line in unit.lines), Fraction(0))
        if unit
        else Fraction(0),
        toppings=tuple(
            (line, bread)
            for bread in breads
            for line in bread.portion.toppings
            if line.purpose not in ("dusting", "oiling")
        ),
        dusting=_dusting(plan, person, breads),
        own=_own(plan, person, breads),
        changes=person.version.changes,
        parts=tuple(
            replace(part, steps=tuple(_framed(one, frames[one.number]) for one in part.steps))
            for part in parts
        ),
        after=after.cautions if after else (),
        contains=contains(plan, person, breads),
        may_contain=_may_contain(plan, person.index),
        sharers=tuple(plan.day.people[index].seat for index in unit.people) if unit else (),
        share_g=sum((one.dough_g for one in person.portions), Fraction(0)),
        water_c=water_c(plan),
        poured=poured(plan, unit.lines if unit else ()),
        own_tools=person.index in plan.own_tools,
        shelves=_own_shelves(plan, person, breads),
        bench_tubs=tubs(plan, bench.shared, [one.variation.name for one in breads]),
        class_tubs=tubs(plan, plan.shared, [one.variation.name for one in breads]),
    )


def tubs(
    plan: ClassPlan, shared: Iterable[Weighed], breads: Sequence[str]
) -> tuple[tuple[str, str], ...]:
    """The ingredients of shared tubs that these breads use, each with the bread it is for, in the words of many."""
    return tuple(
        dict.fromkeys(
            (line.ingredient, plan.lesson.variation(line.bread).many if line.bread else "")
            for line in shared
            if line.bread in ("", *breads)
        )
    )


def _framed(step: CardStep, frame: CautionFrame | None) -> CardStep:
    return replace(
        step,
        words=without_said(step.words, frame.cautions if frame else ()),
        cautions=frame.cautions if frame else (),
        frame=frame.group if frame else None,
    )


def cards(plan: ClassPlan) -> tuple[RecipeCard, ...]:
    """The cards of everybody who bakes, by station and seat."""
    return tuple(recipe_card(plan, person) for person in plan.people if person.portions)


def water_c(plan: ClassPlan) -> Fraction | None:
    """The water for the dough, None without temperatures in the class file or if part of it is ice."""
    advice = plan.dough.water
    return advice.use_c if advice is not None and not advice.ice_percent else None


def poured(plan: ClassPlan, lines: Iterable[Weighed]) -> frozenset[str]:
    """What of a dough is poured at the water's heat: the sum holds for the milk as well, or cold milk makes a cold dough."""
    if water_c(plan) is None:
        return frozenset()
    names = (line.ingredient for line in lines)
    known = ((name, plan.larder.get(name)) for name in names)
    return frozenset(
        name for name, one in known if one is not None and one.kind in ("water", "milk")
    )


def _own(plan: ClassPlan, person: PersonPlan, breads: Sequence[CardBread]) -> tuple[Change, ...]:
    """The changes to tell at the top: what this person uses instead, and a method that no step has room for."""
    changes = person.version.changes
    told = [one for step in plan.lesson.base.method for one in changes_named(step, changes)]
    for bread in breads:
        for step in bread.variation.method:
            told += changes_named(step, changes, bread.variation.name)
    found = (replace(one, method="") if one in told else one for one in changes)
    everybodys = {(one.variation, one.out, one.into) for one in plan.for_everyone}
    return tuple(
        one
        for one in found
        if one.method or (one.into and (one.variation, one.out, one.into) not in everybodys)
    )


def _own_shelves(
    plan: ClassPlan, person: PersonPlan, breads: Iterable[CardBread]
) -> tuple[tuple[CardBread, int], ...]:
    """Where the tray of somebody with tools of their own stands; empty for everybody else."""
    if person.index not in plan.own_tools:
        return ()
    found = []
    for bread in breads:
        for entry in plan.clocks.station(person.person.station):
            mine = entry.kind == "load" and entry.variation == bread.variation.name
            if mine and person.index in entry.people and entry.shelves:
                found.append((bread, own_shelf(plan, entry, person.index)))
                break
    return tuple(found)


def own_shelf(plan: ClassPlan, load: Entry, index: int) -> int:
    """The shelf of one of the people with tools of their own in a load: they fill its shelves from the top."""
    before = 0
    for other in load.people:
        if other == index:
            break
        if other in plan.own_tools:
            before += sum(
                portion.pieces
                for portion in plan.people[other].portions
                if portion.variation == load.variation
            )
    per_shelf = plan.lesson.variation(load.variation).bake.pieces_per_shelf
    return min(load.shelves[0] + before // per_shelf, load.shelves[-1])


def _dusting(
    plan: ClassPlan, person: PersonPlan, breads: Iterable[CardBread]
) -> tuple[tuple[Weighed, SpoonMeasure | None], ...]:
    """What only the bench and the tin take, with its spoons where it is oil."""
    lines = [*person.dusting]
    lines += [
        line
        for bread in breads
        for line in bread.portion.toppings
        if line.purpose in ("dusting", "oiling")
    ]
    return tuple((line, plan.spoons(line)) for line in lines)


def contains(
    plan: ClassPlan, person: PersonPlan, breads: Sequence[CardBread]
) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    """What a person's breads contain, by the names of the region's law; breads with the same names stand together."""
    found: dict[tuple[str, ...], list[str]] = {}
    for bread, line in zip(breads, plan.contains[person.index], strict=True):
        found.setdefault((*line.names, *line.also), []).append(bread.word)
    return tuple((names, tuple(words)) for names, words in found.items() if names)


def _may_contain(plan: ClassPlan, index: int) -> tuple[str, ...]:
    """Ids of the tutor's own statement of risk, without what all of this person's breads hold anyway."""
    lines = plan.contains[index]

    def held(allergen: str) -> bool:
        names = {label_name(allergen, plan.day.region), BY_ID[allergen].everyday}
        return all(names.intersection((*line.names, *line.also)) for line in lines)

    return tuple(one for one in plan.day.may_contain if not held(one))


def _after_proof(bread: Variation) -> int:
    """The number of the first step after the final proof."""
    return [step.stage for step in bread.method].index("final proof") + 1


class _Writer:
    """Numbers the steps of a card and fills in its amounts."""

    def __init__(
        self,
        plan: ClassPlan,
        person: PersonPlan,
        dough: Sequence[Weighed],
    ) -> None:
        self.plan = plan
        self.person = person
        self.changes = person.version.changes
        self.dough = dough
        self.dusting = person.dusting
        self.number = 0
        self.told: list[Change] = []
        self.cautions = plan.on_paper.cards[person.index]
        self.divides_in_base = any(step.stage == "divide" for step in plan.lesson.base.method)
        self.clock = plan.clocks.station(person.person.station)

    def base_about(self, number: int, step: Step) -> int | None:
        """When the dough is begun and when it is left to prove."""
        if number and step.stage != "bulk proof":
            return None
        return next(
            (self.plan.timed.clock(one.start_min) for one in self.clock if number in one.steps),
            None,
        )

    def bread_about(self, bread: CardBread, number: int, step: Step) -> int | None:
        """When the bread is begun, when it is taken up again after its final proof, and when it is loaded."""
        topped = bread.variation.before_load
        if number and step.stage == "load":
            kind = "load"
        elif number and topped and number == _after_proof(bread.variation):
            kind = "prepare"
        elif number:
            return None
        else:
            kind = "shape"
        for one in self.clock:
            if (
                one.kind == kind
                and one.variation == bread.variation.name
                and self.person.index in one.people
            ):
                return self.plan.timed.clock(one.start_min)
        return None

    def in_turn(self, breads: Iterable[CardBread]) -> list[CardBread]:
        """Breads in the order in which this person begins them."""
        return sorted(breads, key=lambda one: self.begun(one) or 0)

    def begun(self, bread: CardBread) -> int | None:
        """When this person begins a bread, in minutes after midnight."""
        return next(
            (
                self.plan.timed.clock(one.start_min)
                for one in self.clock
                if one.kind == "shape"
                and one.variation == bread.variation.name
                and self.person.index in one.people
            ),
            None,
        )

    def base(self, breads: tuple[CardBread, ...]) -> tuple[CardStep, ...]:
        """The base dough's steps; the first dividing step tells every piece."""
        steps = []
        divide = breads
        placed = self.cautions.base
        for number, step in enumerate(self.plan.lesson.base.method):
            cautions = placed[number] if number < len(placed) else ()
            mine = divide if step.stage == "divide" else ()
            about = self.base_about(number, step)
            steps.append(self.step(step, (*self.dough, *self.dusting), "", cautions, mine, about))
            divide = () if mine else divide
        return tuple(steps)

    def bread(self, bread: CardBread, breads: tuple[CardBread, ...]) -> tuple[CardStep, ...]:
        """One bread's own steps. A caution already printed for an earlier bread is printed again: it is another product."""
        name = bread.variation.name
        before = self.cautions.breads[breads.index(bread)]
        lines = (*bread.portion.toppings, *self.dusting, *self.dough)
        divide: tuple[CardBread, ...] = () if self.divides_in_base else (bread,)
        steps = []
        for number, (step, cautions) in enumerate(zip(bread.variation.method, before, strict=True)):
            mine = divide if step.stage == "divide" else ()
            about = self.bread_about(bread, number, step)
            steps.append(self.step(step, lines, name, cautions, mine, about))
            divide = () if mine else divide
        return tuple(steps)

    def spooned(self, part: str | Dose, lines: Iterable[Weighed]) -> str | Dose:
        """A dose of oil for a tin with its spoons."""
        if isinstance(part, str) or part.grams is None:
            return part
        mine = (line for line in lines if (line.ingredient, line.grams) == (part.name, part.grams))
        return replace(
            part, spoons=next((found for line in mine if (found := self.plan.spoons(line))), None)
        )

    def step(
        self,
        step: Step,
        lines: Sequence[Weighed],
        variation: str,
        cautions: tuple[FiredCaution, ...],
        divide: tuple[CardBread, ...],
        about_min: int | None,
    ) -> CardStep:
        """One step, numbered."""
        self.number += 1
        waits = step.stage in WAIT_STAGES
        day = self.plan.day
        own = {"load": day.loading_min, "take out": day.unloading_min}
        said = step_said(step, lines, self.changes, variation, self.told)
        self.told += changes_named(step, self.changes, variation)
        return CardStep(
            number=self.number,
            stage=step.stage,
            head=step.head,
            words=tuple(self.spooned(one, lines) for one in said.words),
            minutes=step.wait_min
            if waits
            else Fraction(ceil(own.get(step.stage, step.hands_min * day.pace))),
            line="oven" if step.stage == "bake" else "dough" if waits else "hands",
            ready_when="" if step.stage == "take out" or said.skipped else step.ready_when,
            cautions=cautions,
            divide=divide,
            heat=step.heat,
            steam=step.steam,
            window_min=step.window_min,
            about_min=about_min,
            methods=said.methods,
            skipped=said.skipped,
        )
