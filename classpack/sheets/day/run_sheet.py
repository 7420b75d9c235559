"""The tutor's run sheet: the day's chart, what to do before the class, and every minute of it with what to say and watch for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import MixUnit
from classpack.model.day_advice import DayVerdict, Remedy, RoomChange, WaitTooLong
from classpack.model.safety import FiredCaution
from classpack.planning.day.again import DayAgain
from classpack.planning.day.clock_change import Crossed, class_clock, class_crossed
from classpack.planning.dough.proof_time import ProofTime, Times, proof_time
from classpack.planning.dough.water import (
    DEGREES,
    HOTTEST_WATER_C,
    WARM_WATER_C,
    Friction,
    StripRow,
    WaterAdvice,
    strip,
)
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.briefing import Briefing
from classpack.planning.setting_up.prep_ahead import preferment_times
from classpack.planning.timetable.remedies import remedies
from classpack.planning.timetable.waits import longest_each
from classpack.planning.timetable.warmer_room import two_degrees
from classpack.sheets.day.chart import DayChart, day_charts
from classpack.sheets.day.fridge_rows import FromFridge, cold
from classpack.sheets.day.rows import RunRow, day_rows

STRIP_C = DEGREES[1:6]
"""18 to 26 °C, the flours and rooms of a class; warmer ones are worked out by the rule beside the strip."""
MOST_REMEDIES = 5
OVEN_ROWS = ("switch on", "load", "take out")
NOT_ON_THE_DAY = ("start earlier", "more kit")
"""What no longer helps once the class has begun."""


@dataclass(frozen=True, slots=True)
class Water:
    """The water of this class's doughs.

    ``advice`` is for the temperatures the class file gives (None: it does not give both). ``friction_c`` is what was counted;
    ``measured`` says that it is the tutor's own figure and not ``usual``'s, a published one. ``preferment_c`` None: by three factors.
    """

    wanted_c: Fraction
    friction_c: Fraction
    measured: bool
    usual: Friction
    preferment_c: Fraction | None
    tap_c: Fraction | None
    advice: WaterAdvice | None
    rows: tuple[StripRow, ...]
    columns_c: tuple[Fraction, ...]
    warm_c: Fraction = WARM_WATER_C
    hottest_c: Fraction = HOTTEST_WATER_C


@dataclass(frozen=True, slots=True)
class MixedBeforehand:
    """A preferment to mix: which, how much of everything, and when, as a clock shows it (minutes after midnight of the class's day,
    below 0 a day before): at ``mix_min``, or between ``early_min`` and ``late_min``, for ``used_min``. A change of clocks is in ``crossed``."""

    unit: MixUnit
    mix_min: int
    early_min: int
    late_min: int
    used_min: int
    ripe_c: Fraction
    crossed: Crossed | None

    @property
    def days_before(self) -> int:
        """How many days before the class it is mixed: 0 on the day."""
        return -(self.mix_min // (24 * 60))


@dataclass(frozen=True, slots=True)
class RunSheet:
    """Everything on the run sheet; ``crossed``: the clocks are moved in the class. ``guards`` stand where the first oven is switched on. ``proofs`` say how long the bulk proof takes
    when the dough is colder or warmer than wanted, by degrees."""

    charts: tuple[DayChart, ...]
    verdict: DayVerdict
    finish_min: int
    bound_min: int
    remedies: tuple[Remedy, ...]
    room: tuple[RoomChange, ...]
    water: Water
    crossed: Crossed | None
    beforehand: tuple[MixedBeforehand, ...]
    cold: tuple[FromFridge, ...]
    briefing: Briefing
    guards: tuple[FiredCaution, ...]
    rows: tuple[RunRow, ...]
    proofs: tuple[tuple[Fraction, ProofTime], ...]
    people: int
    again: DayAgain | None = None

    @property
    def waits(self) -> tuple[WaitTooLong, ...]:
        """The doughs that wait too long, each kind of a bread at a station once, with the longest of its lots."""
        return longest_each(self.verdict.waits)

    @property
    def guarded(self) -> RunRow | None:
        """The row the ovens' cautions stand before: the first at which one is hot or gets hot."""
        return next((row for row in self.rows if row.kind in OVEN_ROWS), None)


def run_sheet(plan: ClassPlan, again: DayAgain | None = None) -> RunSheet:
    """The run sheet, or what is left of it when the day was planned ``again``. Takes some seconds for a class that is late, since what would help is tried by planning again."""
    problem, day_plan = plan.timed.setting.problem, plan.timed.plan
    now = again.happening.now_min if again else None
    return RunSheet(
        charts=day_charts(plan, now),
        verdict=plan.verdict,
        finish_min=plan.timed.clock(day_plan.finish_min),
        bound_min=plan.timed.clock(plan.verdict.latest_bound.finish_min),
        remedies=_remedies(plan, again is not None),
        room=() if again else two_degrees(problem, day_plan),
        water=water(plan),
        crossed=class_crossed(plan.day),
        beforehand=beforehand(plan),
        cold=cold(plan),
        briefing=plan.briefing,
        guards=guards(plan),
        rows=day_rows(plan, now),
        proofs=proofs(plan),
        people=len(plan.people) - (len(again.gone) if again else 0),
        again=again,
    )


def _remedies(plan: ClassPlan, begun: bool) -> tuple[Remedy, ...]:
    """What would make a class that does not fit better: tried only then."""
    if plan.timed.plan.fits:
        return ()
    found = remedies(plan.timed.setting.problem, plan.timed.plan)
    return tuple(one for one in found if not (begun and one.kind in NOT_ON_THE_DAY))[:MOST_REMEDIES]


def water(plan: ClassPlan) -> Water:
    """The water strip of the class; a preferment counts at the temperature it ripens at."""
    day, base = plan.day, plan.lesson.base
    dough = plan.dough
    return Water(
        wanted_c=base.dough_c,
        friction_c=dough.friction_c,
        measured=dough.friction_said,
        usual=dough.usual_friction,
        preferment_c=dough.preferment_c,
        tap_c=day.tap_c,
        advice=dough.water,
        rows=strip(base.dough_c, dough.friction_c, STRIP_C, STRIP_C, dough.preferment_c, day.tap_c),
        columns_c=STRIP_C,
    )


def beforehand(plan: ClassPlan) -> tuple[MixedBeforehand, ...]:
    """What is mixed before the class, at the times of the prep sheet."""
    shows = class_clock(plan.day).shows
    return tuple(
        MixedBeforehand(
            plan.unit(one.name),
            shows(one.mix_min),
            shows(one.from_min),
            shows(one.until_min),
            shows(one.first_min),
            one.ripe_c,
            one.crossed,
        )
        for one in preferment_times(plan)
    )


def guards(plan: ClassPlan) -> tuple[FiredCaution, ...]:
    """The cautions reserved for the ovens, each once."""
    found: dict[str, FiredCaution] = {}
    for _, placed in plan.cautions:
        for group in placed.before:
            for fired in group:
                if fired.caution.reserved:
                    found.setdefault(fired.id, fired)
    return tuple(found.values())


def proofs(plan: ClassPlan) -> tuple[tuple[Fraction, ProofTime], ...]:
    """How long the bulk proof takes with the dough two degrees colder and two warmer than wanted."""
    step = next(one for one in plan.lesson.base.method if one.stage == "bulk proof")
    low, high = step.window_min or (step.wait_min, step.wait_min)
    wanted = plan.lesson.base.dough_c
    window = Times(low, step.wait_min, high)
    return tuple((wanted + d, proof_time(window, wanted, wanted + d)) for d in (-2, 2))
