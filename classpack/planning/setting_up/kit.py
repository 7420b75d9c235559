"""How many of each tool: counted from who makes what.

A tool counted per student, station or class is used again for the next bread, so the greatest count holds; what is counted
per piece or tray stays with its bread until it is baked, so those add up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil

from classpack.model.class_plan import Batch, PersonPlan, Portion
from classpack.model.lesson import KitItem, Lesson

Kit = tuple[tuple[str, int], ...]


def kit_of(
    lesson: Lesson,
    people: Sequence[PersonPlan],
    per: Iterable[str] = ("student", "piece", "tray", "station"),
) -> Kit:
    """The tools of ``people`` at one station, by name in the lesson's order; each counted as its lesson line says."""
    wanted = frozenset(per)
    bakers = [person for person in people if person.portions]
    if not bakers:
        return ()
    counts: dict[str, Fraction] = {}
    shared: dict[str, Fraction] = {}
    for person in bakers:
        for name, count in _one(lesson, person.portions, wanted).items():
            counts[name] = counts.get(name, Fraction(0)) + count
    for portions in (person.portions for person in bakers):
        for item in _items(lesson, portions):
            if item.per == "station" and "station" in wanted:
                shared[item.name] = max(shared.get(item.name, Fraction(0)), item.count)
    for name, count in shared.items():
        counts[name] = counts.get(name, Fraction(0)) + count
    return tuple((name, ceil(count)) for name, count in counts.items())


def class_kit(lesson: Lesson, people: Sequence[PersonPlan], batches: Sequence[Batch]) -> Kit:
    """Tools there are one or more of for the whole class, and those of the demonstration and the spare."""
    counts: dict[str, Fraction] = {}
    portions = [portion for one in people for portion in one.portions]
    for item in _items(lesson, portions):
        if item.per == "class":
            counts[item.name] = max(counts.get(item.name, Fraction(0)), item.count)
    for batch in batches:
        if batch.kind == "demonstration":
            for name, count in _one(
                lesson, batch.portions, frozenset(("student", "piece", "tray"))
            ).items():
                counts[name] = counts.get(name, Fraction(0)) + count
    return tuple((name, ceil(count)) for name, count in counts.items())


def _items(lesson: Lesson, portions: Iterable[Portion]) -> tuple[KitItem, ...]:
    breads = dict.fromkeys(portion.variation for portion in portions)
    return (*lesson.base.kit, *(item for name in breads for item in lesson.variation(name).kit))


def _one(
    lesson: Lesson, portions: Sequence[Portion], wanted: frozenset[str]
) -> dict[str, Fraction]:
    """One person's tools."""
    counts: dict[str, Fraction] = {}
    for item in _items(lesson, portions):
        if item.per == "student" and "student" in wanted:
            counts[item.name] = max(counts.get(item.name, Fraction(0)), item.count)
    for portion in portions:
        for item in lesson.variation(portion.variation).kit:
            times = {"piece": portion.pieces, "tray": portion.trays}.get(item.per)
            if times is not None and item.per in wanted:
                counts[item.name] = counts.get(item.name, Fraction(0)) + item.count * times
    return counts
