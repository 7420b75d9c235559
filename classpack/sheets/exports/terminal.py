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
