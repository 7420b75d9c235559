"""The class plan: everything that is computed for one class day. Sheets only select from it and order it.

What is dear or not always wanted is worked out when it is first asked for, and kept; so every sheet, ``check`` and ``class.json``
say the same. Nothing here is confidential: what a person must not have is handed on beside the plan, never inside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from classpack.errors import Remark
from classpack.model.class_plan import Change, StationPlan, Weighed
from classpack.model.day_advice import DayVerdict, Remedy, RoomChange, SlowRoom, WaitTooLong
from classpack.model.formula import Formula
from classpack.model.language import ENGLISH, Language
from classpack.model.lesson import Lesson, Variation
from classpack.model.needs import BeforeYouCome, Question, RegisterRow
from classpack.model.safety import FiredCaution, Placed
from classpack.model.timed_day import Entry, TimedDay
from classpack.planning.amounts.changed_lesson import changed_lesson, told_bread
from classpack.planning.amounts.dough_day import DoughAdvice
from classpack.planning.amounts.scaling import changed_formula
from classpack.planning.day.again import DayAgain
from classpack.planning.day.clock_change import ClassClock, Crossed, class_clock, class_crossed
from classpack.planning.day.step_minutes import prepared_min
from classpack.planning.dough.home_batch import HomeBatch, HomeYeast, home_batch, home_yeasts
from classpack.planning.dough.measures import OvenSettings, SpoonMeasure, in_spoons, oven_settings
from classpack.planning.dough.preferments import Shares, shares
from classpack.planning.dough.proof_time import ProofTime, Times, proof_time
from classpack.planning.dough.water import DEGREES, StripRow, strip
from classpack.planning.dough.yeast import SACHET_FORMS, Sachets, in_sachets
from classpack.planning.labels.contains import ContainsLine, contains_line
from classpack.planning.needs.needs_sheet import ask_everybody, before_you_come
from classpack.planning.plan.bread_facts import (
    BreadFacts,
    BreadNutrition,
    bread_facts,
    bread_nutrition,
)
from classpack.planning.plan.dough_table import DoughTable, dough_table
from classpack.planning.plan.paper_cautions import PaperCautions, paper_cautions
from classpack.planning.plan.todays_lines import in_todays_words, used_by
from classpack.planning.safety.briefing import Briefing
from classpack.planning.safety.class_cautions import ClassCautions
from classpack.planning.safety.frames import CautionFrame, frame_card
from classpack.planning.setting_up.bench_rows import BenchRow, bench_rows
from classpack.planning.setting_up.composition import (
    Composition,
    lesson_composition,
    person_compositions,
)
from classpack.planning.setting_up.costs import ClassCosts, class_costs
from classpack.planning.setting_up.groundwork import Groundwork
from classpack.planning.setting_up.kit import Kit, kit_of
from classpack.planning.setting_up.kit_list import KitList, kit_list, scales_each
from classpack.planning.setting_up.prep_ahead import PrepAhead, prep_ahead
from classpack.planning.setting_up.weigh_out import WeighOut, weigh_out
from classpack.planning.timetable.remedies import remedies
from classpack.planning.timetable.slow_room import a_quarter_slower, without_reserve
from classpack.planning.timetable.waits import longest_each
from classpack.planning.timetable.warmer_room import two_degrees

STRIP_C = DEGREES[1:6]
"""18 to 26 °C, the flours and rooms of a class; warmer ones are worked out by the rule beside the strip."""
MOST_REMEDIES = 5
NOT_ON_THE_DAY = ("start earlier", "more kit")
"""What no longer helps once the class has begun."""


@dataclass(frozen=True)
class ClassPlan(Groundwork):
    """Everything computed for a class day: the one value that sheets, terminal and exports read.

    ``fired`` are the cautions and where they are printed. ``gone`` are people who are no longer there when the day is planned
    ``again``. ``register`` says who comes, and who has not been asked about allergies yet. ``noticed`` are the remarks of planning;
    :attr:`remarks` has those of setting up as well.
    """

    fired: ClassCautions
    timed: TimedDay
    verdict: DayVerdict
    dough: DoughAdvice
    noticed: tuple[Remark, ...] = ()
    gone: frozenset[int] = frozenset()
    register: tuple[RegisterRow, ...] = ()
    language: Language = ENGLISH
    again: DayAgain | None = None

    # ------------------------------------------------------------ setting up and buying

    @cached_property
    def weighed(self) -> WeighOut:
        """Every tub."""
        return weigh_out(self)

    @cached_property
    def kit(self) -> KitList:
        """Tools, tins and trays against what the kitchen has."""
        return kit_list(self)

    @cached_property
    def prep(self) -> PrepAhead:
        """The work before and after the class."""
        return prep_ahead(self, self.weighed)

    @cached_property
    def costs(self) -> ClassCosts:
        """What bread, person and session cost."""
        return class_costs(self)

    @cached_property
    def bench_rows(self) -> Mapping[str, tuple[BenchRow, ...]]:
        """The weighing table of each station, by its name."""
        return {one.station.name: bench_rows(self, one) for one in self.stations}

    @cached_property
    def bench_kit(self) -> Mapping[str, Kit]:
        """The tools of each station, by its name; tins and trays are in :attr:`kit`."""
        return {
            one.station.name: kit_of(self.lesson, [self.people[index] for index in one.people])
            for one in self.stations
        }

    def scales_each(self, people: int) -> tuple[tuple[Fraction, int], ...]:
        """(step in grams, how many) of the scales that a station of so many people can have of its own."""
        return scales_each(self, people)

    @cached_property
    def remarks(self) -> tuple[Remark, ...]:
        """All that the tutor should know."""
        return (*self.noticed, *self.weighed.remarks, *self.kit.remarks, *self.prep.remarks)

    # ------------------------------------------------------------ what breads are made of

    @cached_property
    def compositions(self) -> tuple[tuple[Composition, ...], ...]:
        """Each person's breads, one for each portion."""
        return tuple(
            person_compositions(self, one.index) if one.portions else () for one in self.people
        )

    @cached_property
    def lesson_compositions(self) -> Mapping[str, Composition]:
        """One piece of every bread as everybody's version of the lesson has it."""
        return {bread.name: lesson_composition(self, bread.name) for bread in self.made}

    @cached_property
    def contains(self) -> tuple[tuple[ContainsLine, ...], ...]:
        """What each person's breads contain, from the very composition their labels are written from."""
        return tuple(
            tuple(
                contains_line([one for one, _ in made.everything], self.day.region)
                for made in breads
            )
            for breads in self.compositions
        )

    @cached_property
    def own_facts(self) -> tuple[tuple[BreadFacts, ...], ...]:
        """The label of each person's breads."""
        return tuple(tuple(self._facts(one) for one in made) for made in self.compositions)

    @cached_property
    def lesson_facts(self) -> Mapping[str, BreadFacts]:
        """The label of every bread as everybody's version of the lesson has it."""
        return {name: self._facts(made) for name, made in self.lesson_compositions.items()}

    def _facts(self, made: Composition) -> BreadFacts:
        day = self.day
        stressed = self.lesson.variation(made.variation).stressed
        return bread_facts(
            made, day.region, stressed, day.may_contain, self.language, day.nutrition
        )

    @cached_property
    def nutrition(self) -> tuple[BreadNutrition, ...]:
        """The estimate of every bread, as everybody's version of the lesson has it."""
        every = self.lesson_compositions.values()
        return tuple(bread_nutrition(one, self.day.region) for one in every)

    # ------------------------------------------------------------ the dough

    @cached_property
    def table(self) -> DoughTable:
        """The formula table of the demonstration's dough, else of the first dough that is mixed."""
        return dough_table(self, self.dough)

    @cached_property
    def preferment_shares(self) -> Mapping[str, Shares]:
        """Each preferment's percentages in the three conventions, by its name in the lesson."""
        formula = self.lesson.base.formula
        return {one.name: shares(formula, one, self.larder) for one in formula.preferments}

    @cached_property
    def water_strip(self) -> tuple[StripRow, ...]:
        """The water by flour and room, a preferment at the temperature it ripens at."""
        dough = self.dough
        wanted_c, more = self.lesson.base.dough_c, (dough.preferment_c, self.day.tap_c)
        return strip(wanted_c, dough.friction_c, STRIP_C, STRIP_C, *more)

    @cached_property
    def bulk_proofs(self) -> tuple[tuple[Fraction, ProofTime], ...]:
        """How long the bulk proof takes with the dough two degrees colder and two warmer than wanted."""
        step = next(one for one in self.lesson.base.method if one.stage == "bulk proof")
        low, high = step.window_min or (step.wait_min, step.wait_min)
        wanted = self.lesson.base.dough_c
        window = Times(low, step.wait_min, high)
        return tuple((wanted + d, proof_time(window, wanted, wanted + d)) for d in (-2, 2))

    def spoons(self, line: Weighed) -> SpoonMeasure | None:
        """The spoons of oil for a tin: nobody needs the scale for it."""
        if line.purpose != "oiling":
            return None
        return in_spoons(line.grams, self.larder[line.ingredient].g_per_ml)

    def sachets(self, line: Weighed) -> Sachets | None:
        """The sachets and half sachets that come near a weight of dried yeast, as the region's shops sell them; None else."""
        one = self.larder.get(line.ingredient)
        if one is None or one.yeast_form not in SACHET_FORMS:
            return None
        return in_sachets(line.grams, self.dough.sachet_g)

    # ------------------------------------------------------------ at home

    @cached_property
    def as_made(self) -> Lesson:
        """The lesson as everybody makes it."""
        return self.lesson_with(self.for_everyone)

    def lesson_with(self, changes: Sequence[Change]) -> Lesson:
        """The lesson with one person's changes in it."""
        key = tuple(changes)
        if key not in self._lessons:
            self._lessons[key] = changed_lesson(self.lesson, key)
        return self._lessons[key]

    def told_bread(self, variation: str, changes: Sequence[Change]) -> Variation:
        """A bread whose texts are as somebody with these changes makes it."""
        return told_bread(self.lesson.variation(variation), changes)

    @cached_property
    def _lessons(self) -> dict[tuple[Change, ...], Lesson]:
        return {}

    @cached_property
    def home(self) -> tuple[tuple[str, Formula, HomeBatch], ...]:
        """A home batch of every bread, once for each formula that somebody's dough has."""
        base, dough = self.lesson.base, self.dough
        breads = {bread.name: bread for bread in self.made}
        wanted = dict.fromkeys(
            (name, changed_formula(base.formula, self.for_everyone)) for name in breads
        )
        for person in self.people:
            formula = changed_formula(base.formula, person.version.changes)
            wanted |= dict.fromkeys((one.variation, formula) for one in person.portions)
        return tuple(
            (
                name,
                formula,
                home_batch(
                    formula,
                    self.larder,
                    breads[name].home_pieces,
                    breads[name].piece_dough_g,
                    base.left_percent,
                    dough.factors,
                    dough.sachet_g,
                ),
            )
            for name, formula in wanted
        )

    def home_batch(self, variation: str, formula: Formula) -> HomeBatch:
        """The home batch of a bread made from ``formula``.

        Raises:
            KeyError: nobody makes it so.
        """
        for name, other, batch in self.home:
            if name == variation and other == formula:
                return batch
        raise KeyError(variation)

    def home_yeasts(self, ingredient: str, grams: Fraction) -> tuple[HomeYeast, ...]:
        """A weight of yeast at home in every form that shops sell."""
        dough = self.dough
        return home_yeasts(grams, ingredient, self.larder, dough.factors, dough.sachet_g)

    @cached_property
    def home_ovens(self) -> Mapping[str, OvenSettings]:
        """The oven of each bread in four scales."""
        return {bread.name: oven_settings(bread.bake.heat) for bread in self.made}

    # ------------------------------------------------------------ cautions

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

    @cached_property
    def on_paper(self) -> PaperCautions:
        """Which cautions stand on whose paper."""
        return paper_cautions(self, self.fired, self.compositions)

    def framed(
        self, index: int, steps: Sequence[tuple[str, Sequence[FiredCaution]]]
    ) -> tuple[tuple[CautionFrame | None, ...], CautionFrame | None]:
        """The frame before each step of a person's card, and the one at its end, in today's words.

        Args:
            steps: each step's stage and its cautions, in the order they are printed.
        """
        person = self.people[index]
        used = used_by(self, (person,))
        return frame_card(
            [(stage, in_todays_words(self, cautions, used)) for stage, cautions in steps],
            in_todays_words(self, self.on_paper.cards[index].after, used, (person,)),
        )

    def hung(self, station: StationPlan) -> tuple[FiredCaution, ...]:
        """What hangs at a station, in today's words for the people there."""
        used = used_by(self, (self.people[index] for index in station.people))
        return in_todays_words(self, self.on_paper.stations[station.station.name], used)

    # ------------------------------------------------------------ the day

    @cached_property
    def remedies(self) -> tuple[Remedy, ...]:
        """What would make a class that does not fit better, best first; tried only then, for some seconds."""
        if self.timed.plan.fits:
            return ()
        tried = remedies(self.timed.setting.problem, self.timed.plan)
        useless = NOT_ON_THE_DAY if self.again else ()
        return tuple(one for one in tried if one.kind not in useless)[:MOST_REMEDIES]

    @cached_property
    def warmer_room(self) -> tuple[RoomChange, ...]:
        """The finish with doughs two degrees colder and two warmer; nothing once the class has begun."""
        return () if self.again else two_degrees(self.timed.setting.problem, self.timed.plan)

    @cached_property
    def slow_room(self) -> SlowRoom | None:
        """The end of the class if everybody is a quarter slower; nothing once the class has begun."""
        return None if self.again else a_quarter_slower(self.timed.setting.problem, self.timed.plan)

    @cached_property
    def without_reserve(self) -> tuple[tuple[str, str], ...]:
        """(station, bread) of the lots that have no reserve before they wait too long."""
        problem, setting = self.timed.setting.problem, self.timed.setting
        return tuple(
            dict.fromkeys(
                (setting.stations[one.station], setting.lots[one.station][one.lot].variation)
                for one in without_reserve(problem, self.timed.plan)
            )
        )

    @cached_property
    def longest_waits(self) -> tuple[WaitTooLong, ...]:
        """The doughs that wait too long, each kind of a bread at a station once, with the longest of its lots."""
        return longest_each(self.verdict.waits)

    @cached_property
    def clock(self) -> ClassClock:
        """The clock on the wall around the class."""
        return class_clock(self.day)

    @cached_property
    def crossed(self) -> Crossed | None:
        """What it does to the class that the clocks are moved in it."""
        return class_crossed(self.day)

    def prepared_min(self, prepare: Entry) -> tuple[int, ...]:
        """When each step of a ``prepare`` entry begins, in minutes from the start of the class."""
        entries = self.clocks.station(prepare.station)
        return prepared_min(self.lesson, self.day, prepare, entries)

    def helpers(self, station: str, people: tuple[int, ...]) -> tuple[int, ...] | None:
        """Who does what ``people`` of a station cannot, all of them being gone; None while one of them is there."""
        if not people or not self.gone.issuperset(people):
            return None
        return tuple(
            one.index
            for one in self.people
            if one.person.station == station and one.index not in self.gone and one.portions
        )

    # ------------------------------------------------------------ people

    @cached_property
    def letter(self) -> BeforeYouCome:
        """What the letter before the class says: the same for everybody."""
        return before_you_come(self.lesson, self.day, self.larder)

    @cached_property
    def ask_everybody(self) -> tuple[Question, ...]:
        """What is asked at booking and again at the door."""
        return ask_everybody(self.day)
