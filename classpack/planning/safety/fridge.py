"""The fridge's clock: when everything chilled comes out, for which station, and when what is left of it is binned.

Every sheet that tells a minute of it reads this one list, so that a station, the tutor and whoever sets up go by the same clock. A tub
of one station is not the tub of another: each has its own two hours (:data:`classpack.planning.safety.hygiene.OUT_MIN`). Preferments and
the spare are not in it: those are weighed straight from the fridge, this stays there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from classpack.model.class_day import ClassDay
from classpack.model.class_plan import Portion, Weighed
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Lesson
from classpack.model.timed_day import DayClocks, Entry
from classpack.planning.amounts.scaling import Scaled
from classpack.planning.day.step_minutes import Made, made_by, station_entries
from classpack.planning.safety.cautions import triggers_on_top
from classpack.planning.safety.hygiene import ColdItem, ColdUse, cold_items

TUTOR = "tutor"
WHOLE_CLASS = ""
"""Whose tub it is, when it is no station's."""


@dataclass(frozen=True, slots=True)
class _Bench:
    """One station (or the tutor's) with its clock and its lots."""

    name: str
    entries: Sequence[Entry]
    lots: Sequence[Made]


def fridge_clock(
    lesson: Lesson, day: ClassDay, larder: Larder, clocks: DayClocks, weights: Scaled
) -> tuple[ColdItem, ...]:
    """Everything that leaves the fridge during the class, in the order of the day.

    Args:
        lesson: as it is made that day, with the changes that hold for everyone, so that its steps name what is used.
    """
    benches = [
        _Bench(name, entries, lots)
        for name, entries in station_entries(clocks)
        if (lots := made_by(lesson, day, name, entries))
    ]
    uses: dict[tuple[str, str], list[ColdUse]] = {}
    for bench in benches:
        for whose, line, use in _uses(lesson, weights, bench):
            one = larder.get(line.ingredient)
            if one is not None and one.bought and one.storage != "ambient":
                uses.setdefault((whose, line.ingredient), []).append(use)
    items = [
        item
        for (whose, name), some in uses.items()
        for item in cold_items(name, whose, some, spoils=_spoils(larder[name]))
    ]
    return tuple(sorted(items, key=lambda one: (one.out_min, one.ingredient, one.station)))


def _spoils(one: Ingredient) -> bool:
    """Whether it must not stand warm: fresh yeast, butter and herbs are only better cold."""
    return "perishable" in triggers_on_top(one)


def lot_of(
    items: Iterable[ColdItem],
    whose: str,
    line: Weighed,
    bread: str = "",
    people: tuple[int, ...] = (),
) -> tuple[int, int]:
    """Which lot of how many an amount belongs to; (1, 1) for what is not chilled.

    An amount that is wanted in two lots is weighed into the tub of the first.
    """
    mine = [one for one in items if (one.ingredient, one.station) == (line.ingredient, whose)]
    for one in mine:
        for use in one.uses:
            for_them = use.people == people or set(use.people) & set(people)
            if (use.purpose, use.bread) == (line.purpose, bread) and for_them:
                return one.lot, one.lots
    return 1, mine[0].lots if mine else 1


# ---------------------------------------------------------------- what uses it when


def _uses(lesson: Lesson, weights: Scaled, bench: _Bench) -> Iterable[tuple[str, Weighed, ColdUse]]:
    """Every weighed line that is used at a bench: whose tub it is from, the line, and when."""
    tutors = bench.name == TUTOR
    for unit in weights.units:
        if unit.kind == "class" and not tutors:
            whose = WHOLE_CLASS
        elif unit.kind in ("person", "station") and unit.station == bench.name:
            whose = bench.name
        elif unit.kind == "demonstration" and tutors:
            whose = TUTOR
        else:
            continue
        for line in unit.lines:
            for start, end in _mixed(lesson, bench, line):
                yield whose, line, ColdUse(start, end, bench.name, "dough", "", unit.people)
    for lot, people, portion in _portions(weights, bench):
        for line in portion.toppings:
            yield bench.name, line, _on(bench, lot, line, lot.bread.name, people)
    for people, dusting in _dusting(weights, bench):
        for line in dusting:
            lots = [one for one in bench.lots if not people or set(people) & set(one.people)]
            if lots:
                yield bench.name, line, _on(bench, lots[0], line, "", people)
    for whose, per, shared in _shared(weights, bench):
        for line in shared:
            for lot in _using(lesson, bench, line, per):
                yield whose, line, _on(bench, lot, line, "", ())


def _mixed(lesson: Lesson, bench: _Bench, line: Weighed) -> Iterable[tuple[int, int]]:
    """From when to when a line of the dough is handled: at the steps that name it, else as the dough is begun. After that it is
    dough."""
    hands = [one for one in bench.entries if one.kind == "hands" and one.steps]
    named = [
        one
        for one in hands
        if any(_names(lesson.base.method[number].ingredients, line) for number in one.steps)
    ]
    begun = named or hands[:1]
    if begun:
        yield begun[0].start_min, begun[-1].end_min


def _names(ingredients: Iterable[str], line: Weighed) -> bool:
    """Whether a step names what is weighed, or what it stands in for."""
    return bool({line.ingredient, line.instead_of} & set(ingredients))


def _on(bench: _Bench, lot: Made, line: Weighed, bread: str, people: tuple[int, ...]) -> ColdUse:
    """One line on the pieces of a lot: from the step that names it (else where toppings go on) to the oven."""
    named = (
        minute
        for step, minute in zip(lot.steps, lot.minutes, strict=True)
        if step in lot.bread.method and _names(step.ingredients, line)
    )
    minute = next(named, lot.topped_min)
    return ColdUse(minute, lot.loaded_min, bench.name, line.purpose, bread, people)


def _portions(weights: Scaled, bench: _Bench) -> Iterable[tuple[Made, tuple[int, ...], Portion]]:
    """Whose portion of each lot is made: the people's, or the tutor's."""
    for lot in bench.lots:
        bread = lot.bread.name
        for index in lot.people:
            for portion in weights.people[index].portions:
                if portion.variation == bread:
                    yield lot, (index,), portion
        if bench.name == TUTOR:
            for batch in weights.batches:
                for portion in batch.portions:
                    if (batch.kind, portion.variation) == ("demonstration", bread):
                        yield lot, (), portion


def _dusting(
    weights: Scaled, bench: _Bench
) -> Iterable[tuple[tuple[int, ...], tuple[Weighed, ...]]]:
    """What bench and bowl take, and whose it is."""
    if bench.name == TUTOR:
        yield from (((), one.dusting) for one in weights.batches if one.kind == "demonstration")
    else:
        people = {index for lot in bench.lots for index in lot.people}
        yield from (((index,), weights.people[index].dusting) for index in sorted(people))


def _shared(weights: Scaled, bench: _Bench) -> Iterable[tuple[str, str, tuple[Weighed, ...]]]:
    """What a station or the class has once for everybody: whose tub it is, per what it is counted, the lines."""
    for one in weights.stations:
        if one.station.name == bench.name:
            yield bench.name, "station", one.shared
    yield WHOLE_CLASS, "class", weights.shared


def _using(lesson: Lesson, bench: _Bench, line: Weighed, per: str) -> tuple[Made, ...]:
    """The lots that a shared line goes on: those of the breads that name it, else all of them."""
    mine = tuple(
        lot
        for lot in bench.lots
        if any(
            use.per == per and _names((use.ingredient,), line)
            for use in lesson.variation(lot.bread.name).uses
        )
    )
    return mine or tuple(bench.lots)
