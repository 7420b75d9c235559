"""Before and after the class, on a clock: weigh, mix the preferment, bring out of the fridge, bin, keep, freeze."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import Weighed
from classpack.planning.day.clock_change import Crossed
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.hygiene import ColdItem
from classpack.planning.setting_up.prep_ahead import LeftOver, PrefermentTime
from classpack.sheets.cards.preferment_note import PrefermentNote, preferment_notes

DAY_MIN = 24 * 60
LEAST_LEFT_G = 1
"""What is left is printed in whole grams, rounded down: less than this would be a row of 0 g."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A time of day on a date."""

    date: datetime.date
    minute: int


@dataclass(frozen=True, slots=True)
class PrefermentEntry:
    """When a preferment is mixed: ``at``, within ``earliest`` to ``latest``; what goes in; when it is used; how, in ``note``;
    what a change of clocks does to it, in ``crossed``."""

    name: str
    at: Moment
    earliest: Moment
    latest: Moment
    used: Moment
    lines: tuple[Weighed, ...]
    mixed_g: Fraction
    culture_g: Fraction
    ripe_c: Fraction
    in_one_go: bool
    note: PrefermentNote
    crossed: Crossed | None


@dataclass(frozen=True, slots=True)
class ColdEntry:
    """Something from the fridge: out at, in the oven or binned by, and when it is used.

    ``stations`` are those whose tubs of it go by the same clock, ``tutor`` and the empty name of the whole class among them; none
    for a soaker or preferment in one tub;
    ``dough_only``: it all goes into a dough, so that only what is left is binned; ``spoils``: it is binned at all.
    """

    ingredient: str
    stations: tuple[str, ...]
    lot: int
    lots: int
    out: Moment
    bin: Moment
    used: tuple[Moment, ...]
    dough_only: bool
    spoils: bool


@dataclass(frozen=True, slots=True)
class PrepSheet:
    """``day_before`` is its date. ``keep`` are left-overs that want using soon; what lasts in a cupboard needs no row."""

    day_before: datetime.date
    weigh_ahead: tuple[str, ...]
    that_morning: tuple[str, ...]
    keep_cold: tuple[str, ...]
    preferments: tuple[PrefermentEntry, ...]
    cold: tuple[ColdEntry, ...]
    keep: tuple[LeftOver, ...]


def moment(plan: ClassPlan, minute: int) -> Moment:
    """A minute counted from the start of the class as the date and the time of day a clock then shows."""
    days, of_day = divmod(plan.clock.shows(minute), DAY_MIN)
    return Moment(plan.day.date + datetime.timedelta(days=days), of_day)


def prep_sheet(plan: ClassPlan) -> PrepSheet:
    """The sheet of a planned class."""
    prep = plan.prep
    notes = {note.name: note for note in preferment_notes(plan)}
    left = [
        one for one in prep.left_overs if one.amount >= (LEAST_LEFT_G if one.unit == "g" else 0)
    ]
    return PrepSheet(
        plan.day.date - datetime.timedelta(days=1),
        prep.weigh_ahead,
        prep.that_morning,
        prep.keep_cold,
        tuple(_preferment(plan, one, notes[one.name]) for one in prep.preferments),
        tuple(
            sorted(
                (*_cold(plan, prep.cold), *_out(plan, prep.preferments)),
                key=lambda one: (one.out.date, one.out.minute),
            )
        ),
        tuple(one for one in left if one.soon),
    )


def _preferment(plan: ClassPlan, one: PrefermentTime, note: PrefermentNote) -> PrefermentEntry:
    return PrefermentEntry(
        one.name,
        moment(plan, one.mix_min),
        moment(plan, one.from_min),
        moment(plan, one.until_min),
        moment(plan, one.first_min),
        one.lines,
        one.mixed_g,
        one.culture_g,
        one.ripe_c,
        one.from_min <= one.until_min,
        note,
        one.crossed,
    )


def _out(plan: ClassPlan, preferments: Iterable[PrefermentTime]) -> Iterable[ColdEntry]:
    """What is mixed beforehand and leaves the fridge some time before it is used, one tub for everybody."""
    for one in preferments:
        if one.out_min is not None:
            out, used = moment(plan, one.out_min), moment(plan, one.first_min)
            yield ColdEntry(one.name, (), 1, 1, out, used, (used,), True, False)


def _cold(plan: ClassPlan, items: Iterable[ColdItem]) -> tuple[ColdEntry, ...]:
    """The fridge's clock; stations whose tubs leave it and are binned at the same minutes stand together."""
    found: dict[tuple[str, int, int, int, int, bool, bool], list[ColdItem]] = {}
    for one in items:
        clock = one.out_min, one.bin_min, one.lot, one.lots, one.dough_only, one.spoils
        found.setdefault((one.ingredient, *clock), []).append(one)
    return tuple(
        ColdEntry(
            name,
            tuple(one.station for one in same),
            lot,
            lots,
            moment(plan, out),
            moment(plan, by),
            tuple(moment(plan, at) for at in sorted({m for one in same for m in one.used_min})),
            dough,
            spoils,
        )
        for (name, out, by, lot, lots, dough, spoils), same in found.items()
    )
