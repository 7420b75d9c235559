"""What can be done before the class, and what must wait: weighing ahead, preferments, the fridge's clock, left-overs.

What keeps in the cupboard is weighed the day before and covered. What is chilled stays in the fridge until it is used and may stand
out two hours in all (:data:`classpack.planning.safety.hygiene.OUT_MIN`). A preferment is mixed so that it is ripe when the first dough takes
it and not over-ripe when the last one does. Minutes count from the start of the class; below 0 is before it.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from classpack.errors import Remark
from classpack.model.class_plan import Weighed
from classpack.model.larder import Ingredient
from classpack.model.lesson import Lesson
from classpack.model.timed_day import Entry
from classpack.planning.day.clock_change import ClassClock, Crossed, class_clock, mix_remark
from classpack.planning.safety.fridge import TUTOR
from classpack.planning.safety.hygiene import ColdItem
from classpack.planning.setting_up.groundwork import Groundwork
from classpack.planning.setting_up.weigh_out import WeighOut
from classpack.planning.shopping.basket import PERISHABLE_DAYS

BY_DAY_MIN = (6 * 60 + 30, 22 * 60)
"""From half past six to ten at night somebody can be asked to mix a preferment (the project's choice)."""
FREEZES = ("yeast", "fat", "milk")
"""Kinds of chilled left-overs that freeze: fresh yeast, butter, milk. With cheese and herbs: common practice, no source."""
FREEZING_AISLES = ("cheese", "herbs and spices")
DRY_KINDS = ("flour", "salt", "sugar", "yeast", "fat")
DRY_AISLES = (
    "flour",
    "leavening and salt",
    "sugars and syrups",
    "baking",
    "nuts and seeds",
    "dried fruit",
    "oils and vinegars",
    "herbs and spices",
)
"""What keeps in the cupboard may be weighed the day before only if it is dry, sugar or oil: an opened jar and cut vegetables
belong in the fridge (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PrefermentTime:
    """When a preferment is mixed. ``from_min`` to ``until_min`` is the span in which it is ripe for every dough; ``mix_min`` is
    near its middle and by day where it can be. ``first_min`` and ``last_min`` are the first and last use. ``culture_g`` is the mature culture a levain is
    started with, on top of ``lines``; 0 for others. ``out_min`` is when it leaves the fridge, where the lesson says so. A span that is empty has ``from_min`` after ``until_min``. ``crossed`` is what
    happens to it when the clocks are moved between mixing and first use.
    """

    name: str
    lines: tuple[Weighed, ...]
    mixed_g: Fraction
    ripe_min: tuple[Fraction, Fraction]
    ripe_c: Fraction
    mix_min: int
    from_min: int
    until_min: int
    first_min: int
    last_min: int
    culture_g: Fraction
    crossed: Crossed | None = None
    out_min: int | None = None


@dataclass(frozen=True, slots=True)
class LeftOver:
    """What is over after the class. ``use_by`` counts from the class day, where the larder says how long it keeps;
    ``soon`` is for what keeps less than two weeks or is chilled; ``freezes`` says that it may be frozen."""

    ingredient: str
    amount: Fraction
    unit: str
    storage: str
    use_by: datetime.date | None
    soon: bool
    freezes: bool


@dataclass(frozen=True, slots=True)
class PrepAhead:
    """``weigh_ahead`` are ingredients whose tubs are weighed the day before, ``keep_cold`` those of the fridge. ``that_morning``
    are jars to open and fresh things to cut: on the day, and in the fridge until they are used. ``cold`` is the fridge's clock
    (:func:`classpack.planning.safety.fridge.fridge_clock`)."""

    weigh_ahead: tuple[str, ...]
    that_morning: tuple[str, ...]
    keep_cold: tuple[str, ...]
    preferments: tuple[PrefermentTime, ...]
    cold: tuple[ColdItem, ...]
    left_overs: tuple[LeftOver, ...]
    remarks: tuple[Remark, ...]


def prep_ahead(work: Groundwork, weighed: WeighOut) -> PrepAhead:
    """The work before and after a planned class; ``weighed`` are its tubs."""
    ingredients = [one for turn in weighed.turns for one in turn.ingredients]
    cold_names = tuple(one.ingredient for one in ingredients if one.storage != "ambient")
    preferments = preferment_times(work)
    remarks = [_two_mixes(one) for one in preferments if one.from_min > one.until_min]
    remarks += [mix_remark(one.name, one.crossed, work.day) for one in preferments if one.crossed]
    warm = [work.larder[one.ingredient] for one in ingredients if one.storage == "ambient"]
    return PrepAhead(
        tuple(one.name for one in warm if _dry(one)),
        tuple(one.name for one in warm if not _dry(one)),
        cold_names,
        preferments,
        work.safety.fridge,
        tuple(_left_overs(work)),
        tuple(remarks),
    )


# ---------------------------------------------------------------- preferments


def _clocks(work: Groundwork) -> tuple[tuple[Entry, ...], ...]:
    own = tuple(entry for entry in work.clocks.tutor if entry.station == TUTOR)
    return (*(entries for _, entries in work.clocks.stations), own)


def _names(lesson: Lesson, entry: Entry, name: str) -> bool:
    return any(name in lesson.base.method[number].ingredients for number in entry.steps)


def preferment_times(work: Groundwork) -> tuple[PrefermentTime, ...]:
    """When each preferment and soaker of a planned class is mixed, in the plan's order."""
    return tuple(_preferments(work))


def _preferments(work: Groundwork) -> Iterable[PrefermentTime]:
    clock = class_clock(work.day)
    formulas = {one.name: one for one in work.lesson.base.formula.preferments}
    for unit in work.units:
        if unit.kind != "preferment":
            continue
        # A preferment that differs in somebody's dough has their seat behind its name.
        names = [name for name in formulas if f"{unit.key} ".startswith(f"{name} ")]
        one = formulas[max(names, key=len)]
        uses = [
            entry.start_min
            for entries in _clocks(work)
            for entry in entries
            if entry.kind == "hands" and _names(work.lesson, entry, one.name)
        ]
        if not uses:
            uses = [
                entry.start_min
                for entries in _clocks(work)
                for entry in entries
                if entry.kind == "hands" and entry.steps
            ]
        first, last = min(uses, default=0), max(uses, default=0)
        low, high = one.ripe_min
        earliest, latest = last - floor(high), first - ceil(low)
        flour_g = sum(
            (line.grams for line in unit.lines if work.larder[line.ingredient].kind == "flour"),
            Fraction(0),
        )
        mix_min = _mix_min(earliest, latest, clock)
        yield PrefermentTime(
            unit.key,
            unit.lines,
            unit.dough_g,
            one.ripe_min,
            one.ripe_c,
            mix_min,
            earliest,
            latest,
            first,
            last,
            flour_g * one.culture_percent / 100,
            clock.crossed(mix_min, first),
            first - ceil(one.out_before_min) if one.out_before_min else None,
        )


def _mix_min(earliest: int, latest: int, clock: ClassClock) -> int:
    """The five minutes nearest to the middle of the span, by day if any of it is by day; ``latest`` when the span is empty."""
    middle = (earliest + latest) // 2
    first = -((clock.start_min + earliest) // -5) * 5 - clock.start_min
    choices = range(first, latest + 1, 5)
    by_day = [
        one for one in choices if BY_DAY_MIN[0] <= clock.shows(one) % (24 * 60) <= BY_DAY_MIN[1]
    ]
    return min(by_day or choices, key=lambda one: abs(one - middle), default=latest)


def _two_mixes(one: PrefermentTime) -> Remark:
    return Remark(
        "prep",
        f"The {one.name} is used over {one.last_min - one.first_min} min, longer than it stays ripe: mix it in two goes, the second "
        f"{one.from_min - one.until_min} min after the first, or keep the second half of it in the fridge.",
    )


# ---------------------------------------------------------------- left-overs


def _left_overs(work: Groundwork) -> Iterable[LeftOver]:
    for line in work.basket.lines:
        if not line.left:
            continue
        one = work.larder[line.ingredient]
        use_by = (
            work.day.date + datetime.timedelta(days=line.keeps_days)
            if line.keeps_days is not None
            else None
        )
        # An opened jar and cut vegetables go into the fridge, whatever the shop's shelf was.
        storage = line.storage if line.storage != "ambient" or _dry(one) else "chilled"
        soon = storage != "ambient" or (
            line.keeps_days is not None and line.keeps_days <= PERISHABLE_DAYS
        )
        yield LeftOver(
            line.ingredient,
            line.left,
            line.unit,
            storage,
            use_by,
            soon,
            soon and _freezes(one),
        )


def _dry(one: Ingredient) -> bool:
    return one.kind in DRY_KINDS or one.aisle in DRY_AISLES


def _freezes(one: Ingredient) -> bool:
    return one.kind in FREEZES or one.aisle in FREEZING_AISLES
