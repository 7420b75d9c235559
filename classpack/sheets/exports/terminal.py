"""The plan as plain lines for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import partial

from classpack.model.class_plan import MixUnit
from classpack.model.timed_day import Entry
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.dough_table import DoughTable
from classpack.quantities import fahrenheit_from_celsius, plain, show_amount, show_clock


def show_lines(plan: ClassPlan, what: str = "") -> Iterator[str]:
    """Lines about ``amounts``, ``shopping`` or the ``day``, all three when ``what`` is empty; or the dough's ``sums``."""
    if what in ("", "amounts"):
        yield from _amounts(plan)
    if what in ("", "shopping"):
        yield from _shopping(plan)
    if what in ("", "day"):
        yield from _day(plan)
    if what == "sums":
        yield from _sums(plan.table, plan.dough.factors.source)


def _amounts(plan: ClassPlan) -> Iterator[str]:
    for unit in plan.units:
        who = (
            ", ".join(f"{plan.day.people[i].seat} {plan.day.people[i].name}" for i in unit.people)
            or unit.key
        )
        yield f"{who}: {plain(unit.dough_g)} g dough{_pieces(plan, unit)}"
        for line in unit.lines:
            percent = "" if line.percent is None else f"  {plain(line.percent, 2)} %"
            yield f"  {plain(line.grams):>9} g  {line.ingredient}{percent}"
        for index in unit.people:
            for portion in plan.people[index].portions:
                for line in portion.toppings:
                    yield f"  {plain(line.grams):>9} g  {line.ingredient}  (for the {portion.variation})"
    yield ""


def _pieces(plan: ClassPlan, unit: MixUnit) -> str:
    pieces = [
        f"{count} × {plain(plan.lesson.variation(name).piece_dough_g)} g {name}"
        for name, count in unit.pieces
    ]
    return f" for {', '.join(pieces)}" if pieces else ""


def _shopping(plan: ClassPlan) -> Iterator[str]:
    for aisle in plan.basket.aisles:
        yield aisle.name
        for line in aisle.lines:
            unit = "" if line.unit == "each" else " g"
            packs = (
                " + ".join(f"{bought.count} × {show_amount(bought.pack)}" for bought in line.buy)
                or "any pack"
            )
            yield f"  {line.ingredient}: need {plain(line.need, 1)}{unit}, have {plain(line.have, 1)}{unit}, buy {packs}, left {plain(line.left, 1)}{unit}"
    yield ""


def _day(plan: ClassPlan) -> Iterator[str]:
    start = plan.day.start_min
    halves = plan.day.place.halves if plan.day.place.clock == "12" else None
    clock = partial(show_clock, halves=halves)
    for name, entries in plan.clocks.stations:
        yield f"station {name}"
        for entry in entries:
            what = " ".join(
                word
                for word in (
                    entry.kind,
                    entry.what if entry.what != entry.kind else "",
                    entry.variation,
                )
                if word
            )
            pieces = f" × {entry.pieces}" if entry.pieces else ""
            oven = f" in {entry.oven}, dial {_dial(plan, entry)}" if entry.kind == "load" else ""
            yield f"  {clock(start + entry.start_min)}-{clock(start + entry.end_min)}  {what}{pieces}{oven}"
    yield plan.verdict.text


MOST_NEXT = 4
MOST_WAYS_OUT = 3
_DONE_BY_HANDS = ("event", "hands", "shape", "prepare", "load", "take out", "clean", "chill")


def again_lines(plan: ClassPlan) -> tuple[str, ...]:
    """What a tutor wants to know first in the room, in ten lines at most: now, next, what waits, what is not done by the end, ways out."""
    assert plan.again is not None, "only a day that is planned again has these lines"
    start = plan.day.start_min
    now = plan.again.happening.now_min - start
    halves = plan.day.place.halves if plan.day.place.clock == "12" else None

    def clock(minute: int) -> str:
        return show_clock(start + minute, halves=halves)

    every = [
        (entry, name)
        for name, entries in plan.clocks.stations
        for entry in entries
        if entry.kind in _DONE_BY_HANDS
    ]
    here = [
        f"{name} {_what(entry)} to {clock(entry.end_min)}"
        for entry, name in every
        if entry.start_min <= now < entry.end_min and entry.kind != "load"
    ]
    lines = [f"now {clock(now)}: {'; '.join(here) or 'nobody has anything in hand'}"]
    coming: dict[tuple[int, str], list[str]] = {}
    for entry, name in sorted(every, key=lambda one: (one[0].start_min, one[1])):
        if entry.start_min > now or (entry.start_min == now and entry.kind == "load"):
            names = coming.setdefault((entry.start_min, _what(entry)), [])
            names += [name] if name not in names else []
    for (minute, what), names in list(coming.items())[:MOST_NEXT]:
        who = "all" if len(names) == len(plan.clocks.stations) else ", ".join(names)
        lines.append(f"next {clock(minute)}: {who}: {what}")
    if plan.longest_waits:
        lines.append("; ".join(one.text for one in plan.longest_waits[:MOST_WAYS_OUT]))
    late = [
        f"{entry.variation} of {name} ({clock(entry.end_min)})"
        for entry, name in every
        if entry.kind == "load" and start + entry.end_min > plan.day.end_min
    ]
    if late:
        lines.append(f"not out of the oven by {clock(plan.day.end_min - start)}: {', '.join(late)}")
    return (*lines, *(one.text for one in plan.remedies[:MOST_WAYS_OUT]))


def _what(entry: Entry) -> str:
    if entry.kind == "load":
        return f"{entry.pieces} {entry.variation} into {entry.oven}"
    if entry.kind == "take out":
        return f"{entry.pieces} {entry.variation} out of {entry.oven}"
    return " ".join(
        dict.fromkeys(
            word
            for word in (
                entry.kind if entry.kind not in ("event", "hands") else "",
                entry.what,
                entry.variation,
            )
            if word
        )
    )


def _dial(plan: ClassPlan, entry: Entry) -> str:
    """The dial in that oven's own unit."""
    if any(one.fahrenheit for one in plan.kitchen.ovens if one.name == entry.oven):
        return f"{plain(fahrenheit_from_celsius(Fraction(entry.dial_c)), 0)} °F"
    return f"{plain(Fraction(entry.dial_c))} °C"


def _sums(table: DoughTable, yeast_source: str) -> Iterator[str]:
    pieces = ", ".join(f"{count} {name}" for count, name in table.pieces)
    yield f"the dough of {table.who}: {pieces}"
    heads = ("baker's %", "true %", "total g", *(f"{name} g" for name in table.columns))
    if table.columns:
        heads += ("final dough g",)
    wide = max(len(row.ingredient) for row in table.rows)
    yield "  ".join((" " * wide, *heads))
    for row in (*table.rows, table.sums):
        values = (row.percent, row.true_percent, row.total_g, *row.parts_g)
        if table.columns:
            values += (row.final_g,)
        cells = (
            ("" if value is None else plain(value, 2)).rjust(len(head))
            for value, head in zip(values, heads, strict=True)
        )
        yield "  ".join((row.ingredient.ljust(wide), *cells)).rstrip()
    for group in table.groups:
        yield ""
        for line in group.lines:
            yield line.says
    yield ""
    yield f"yeast factors: {yeast_source}"
