"""At which minute of the day each step of a bread's method is done, at the station that does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_day import ClassDay
from classpack.model.lesson import Lesson, Variation
from classpack.model.method import WAIT_STAGES, Step
from classpack.model.safety import FiredCaution
from classpack.model.timed_day import DayClocks, Entry

LOT_KINDS = ("shape", "final proof", "prepare", "load", "take out")
TOPPED = ("top", "fill", "glaze")


@dataclass(frozen=True, slots=True)
class Made:
    """One lot at one station. ``steps`` are the base dough's and the bread's; ``minutes`` when each begins, from the start of
    the class. ``topped_min`` is when toppings go on, ``ready_min`` when hands are done with the lot, ``loaded_min`` when it is in the oven. The tutor's own batch is made at
    the station ``tutor``."""

    station: str
    bread: Variation
    people: tuple[int, ...]
    steps: tuple[Step, ...]
    minutes: tuple[int, ...]
    topped_min: int
    ready_min: int
    loaded_min: int


def station_entries(clocks: DayClocks) -> tuple[tuple[str, tuple[Entry, ...]], ...]:
    """Every station's entries, the tutor's own batch as the station ``tutor``."""
    own = tuple(one for one in clocks.tutor if one.station == "tutor")
    return (*clocks.stations, ("tutor", own)) if own else clocks.stations


def made_by(
    lesson: Lesson, day: ClassDay, station: str, entries: Sequence[Entry]
) -> tuple[Made, ...]:
    """The lots of one station with the minutes of their steps."""
    base = _base_minutes(lesson, entries)
    pace = Fraction(1) if station == "tutor" else day.pace
    lots: dict[int, dict[str, Entry]] = {}
    for entry in entries:
        if entry.variation and entry.kind in LOT_KINDS:
            lots.setdefault(entry.lot, {})[entry.kind] = entry
    found = []
    for lot in lots.values():
        bread = lesson.variation(lot["shape"].variation)
        own = _bread_minutes(bread, lot, pace)
        topped = [m for m, step in zip(own, bread.method, strict=True) if step.stage in TOPPED]
        found.append(
            Made(
                station=station,
                bread=bread,
                people=lot["shape"].people,
                steps=(*lesson.base.method, *bread.method),
                minutes=(*base, *own),
                topped_min=topped[0] if topped else lot["shape"].start_min,
                ready_min=lot.get("prepare", lot["shape"]).end_min,
                loaded_min=lot["load"].start_min,
            )
        )
    return tuple(found)


def prepared_min(
    lesson: Lesson, day: ClassDay, prepare: Entry, entries: Sequence[Entry]
) -> tuple[int, ...]:
    """When each step between the final proof and the oven of the lot that ``prepare`` is about begins."""
    lot = tuple(one for one in entries if one.lot == prepare.lot or not one.variation)
    (made,) = made_by(lesson, day, prepare.station, lot)
    stages = [step.stage for step in made.steps]
    return made.minutes[stages.index("final proof") + 1 : stages.index("load")]


def whole_class_minute(caution: FiredCaution, clocks: DayClocks) -> int | None:
    """When something that holds for the whole class begins: with the ovens or the cleaning, None when it holds all day."""
    reasons = {why.what for why in caution.why}
    if "ovens are used" in reasons:
        on = [e.start_min for _, entries in clocks.ovens for e in entries if e.kind == "switch on"]
        return max(0, min(on, default=0))
    if set(caution.caution.triggers) == {"cleaning"}:
        return min(
            (e.start_min for _, entries in clocks.stations for e in entries if e.kind == "clean"),
            default=0,
        )
    return None


def _base_minutes(lesson: Lesson, entries: Sequence[Entry]) -> tuple[int, ...]:
    """Each step of the base dough at the start of its entry; one without an entry at the start of the one before."""
    starts = {n: entry.start_min for entry in reversed(entries) for n in entry.steps}
    found: list[int] = []
    first = min(starts.values(), default=0)
    for number in range(len(lesson.base.method)):
        found.append(starts.get(number, found[-1] if found else first))
    return tuple(found)


def _bread_minutes(bread: Variation, lot: dict[str, Entry], pace: Fraction) -> tuple[int, ...]:
    stages = [step.stage for step in bread.method]
    load = stages.index("load")
    proof = len(bread.before_proof)
    prepared = load - len(bread.before_load)
    lengths = [
        step.wait_min if step.stage in WAIT_STAGES else step.hands_min * pace
        for step in bread.method
    ]
    found = []
    for number, stage in enumerate(stages):
        if number < proof:
            begun = lot["shape"].start_min + sum(lengths[:number], Fraction(0))
            minute = min(int(begun), lot["shape"].end_min)
        elif stage == "final proof":
            minute = lot["final proof"].start_min
        elif number < load:
            prepare = lot["prepare"]
            begun = prepare.start_min + sum(lengths[prepared:number], Fraction(0))
            minute = min(int(begun), prepare.end_min)
        elif stage in ("load", "bake"):
            minute = lot["load"].start_min
        else:
            out = lot["load"].out_min
            after = sum(
                lengths[stages.index("take out") + 1 : number] if "take out" in stages else (),
                Fraction(0),
            )
            minute = int(out + after)
        found.append(minute)
    return tuple(found)
