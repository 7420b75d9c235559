"""The tutor's run sheet: the day's chart, what to do before the class, and every minute of it with what to say and watch for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import MixUnit
from classpack.model.day_advice import DayVerdict, Remedy, RoomChange, WaitTooLong
from classpack.model.safety import FiredCaution
from classpack.planning.day.again import DayAgain
from classpack.planning.day.clock_change import Crossed
from classpack.planning.dough.proof_time import ProofTime
from classpack.planning.dough.water import (
    HOTTEST_WATER_C,
    WARM_WATER_C,
    Friction,
    StripRow,
    WaterAdvice,
)
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.briefing import Briefing
from classpack.sheets.day.chart import DayChart, day_charts
from classpack.sheets.day.fridge_rows import FromFridge, cold
from classpack.sheets.day.rows import RunRow, day_rows

OVEN_ROWS = ("switch on", "load", "take out")


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
    waits: tuple[WaitTooLong, ...]
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
    def guarded(self) -> RunRow | None:
        """The row the ovens' cautions stand before: the first at which one is hot or gets hot."""
        return next((row for row in self.rows if row.kind in OVEN_ROWS), None)


def run_sheet(plan: ClassPlan) -> RunSheet:
    """The run sheet, or what is left of it when the day was planned again."""
    again = plan.again
    now = again.happening.now_min if again else None
    return RunSheet(
        charts=day_charts(plan, now),
        verdict=plan.verdict,
        waits=plan.longest_waits,
        finish_min=plan.timed.clock(plan.timed.plan.finish_min),
        bound_min=plan.timed.clock(plan.verdict.latest_bound.finish_min),
        remedies=plan.remedies,
        room=plan.warmer_room,
        water=water(plan),
        crossed=plan.crossed,
        beforehand=beforehand(plan),
        cold=cold(plan),
        briefing=plan.briefing,
        guards=guards(plan),
        rows=day_rows(plan, now),
        proofs=plan.bulk_proofs,
        people=len(plan.people) - (len(again.gone) if again else 0),
        again=again,
    )


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
        rows=plan.water_strip,
        columns_c=tuple(cell.room_c for cell in plan.water_strip[0].cells),
    )


def beforehand(plan: ClassPlan) -> tuple[MixedBeforehand, ...]:
    """What is mixed before the class, at the times of the prep sheet."""
    shows = plan.clock.shows
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
        for one in plan.prep.preferments
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
