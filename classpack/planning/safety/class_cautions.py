"""The cautions of a whole class: for every bread that is made, what fires and where it is printed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from classpack.errors import Problem, Remark, Spot
from classpack.model.class_day import ClassDay
from classpack.model.class_plan import Change
from classpack.model.kitchen import Kitchen
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson, Use, Variation
from classpack.model.safety import Catalogue, FiredCaution, Placed, PlaceFacts, TurnedOff
from classpack.planning.safety.cautions import (
    PAPER_C,
    fire_class,
    fire_home,
    fire_method,
    larder_triggers,
    step_words,
)
from classpack.planning.safety.checks import (
    LYE,
    answering,
    catalogue_problems,
    lye_problem,
    method_problems,
    step_problems,
)
from classpack.planning.safety.misspelt import misspelt
from classpack.planning.safety.places import left_on, place

PAPER = "paper-limit"


@dataclass(frozen=True, slots=True)
class ClassCautions:
    """What fired and where it is printed.

    ``placed`` by bread. ``fired`` by bread: for each step of the base dough and of the bread what it fires, those turned off
    left out; ``home`` by bread, at the end of the card. ``whole_class`` holds whatever anybody makes, those turned off left out.
    ``off`` are all that fired and were turned off; ``problems`` stop the pack, ``remarks`` are printed with it.
    """

    placed: tuple[tuple[str, Placed], ...]
    fired: tuple[tuple[str, tuple[tuple[FiredCaution, ...], ...]], ...]
    home: tuple[tuple[str, tuple[FiredCaution, ...]], ...]
    whole_class: tuple[FiredCaution, ...]
    off: tuple[TurnedOff, ...]
    problems: tuple[Problem, ...]
    remarks: tuple[Remark, ...] = ()


def place_facts(lesson: Lesson, day: ClassDay, kitchen: Kitchen, larder: Larder) -> PlaceFacts:
    """What of the kitchen, the class and the larder fires or raises cautions."""
    return PlaceFacts(
        gas=kitchen.gas,
        glass_door=any(oven.glass_door for oven in kitchen.ovens),
        floor_mixer=any(mixer.kind == "floor" for mixer in kitchen.mixers),
        built_in_steam=any(oven.built_in_steam for oven in kitchen.ovens),
        mixed_by=lesson.base.mixed_by,
        children=day.children or any(person.child for person in day.people),
        gluten_room=day.gluten_room is not None and not day.gluten_room.open,
        ingredients=larder_triggers(larder, lesson.base.formula.preferments),
    )


def class_cautions(
    lesson: Lesson,
    breads: Sequence[Variation],
    facts: PlaceFacts,
    catalogue: Catalogue,
    moved: Sequence[str] = (),
    own: Iterable[tuple[Change, ...]] = (),
    for_everyone: Sequence[Change] = (),
) -> ClassCautions:
    """Fire and place the cautions of every bread in ``breads``.

    Args:
        lesson: as everybody makes it, ``for_everyone`` made in it.
        moved: cautions the tutor wants on the station sheet. Turned-off ones are ``lesson.off`` with their reasons.
        own: each person's changes; what any of them puts into a bread adds its cautions to that bread.
    """
    used = _put_in(own, for_everyone)
    start = lesson.base.spot or Spot(lesson.file, 1)
    problems = list(catalogue_problems(lesson.off, moved, catalogue, start, lesson.caution_spots))
    placed = []
    every = []
    homes = []
    names: list[str] = []
    for bread in breads:
        steps = (*lesson.base.method, *bread.method)
        uses = (*lesson.base.uses, *bread.uses)
        dough = tuple(line.ingredient for line in lesson.base.formula.lines)
        swaps = tuple(
            pair for where, pairs in used.items() if where in ("", bread.name) for pair in pairs
        )
        fired = fire_method(steps, facts, catalogue, uses, swaps, dough)
        left = [answering(group, lesson.off) for group in fired]
        for step, group in zip(steps, left, strict=True):
            problems += step_problems(step, group, facts, catalogue)
        problems += method_problems(steps, left, catalogue)
        problems += _lye_used(lesson, uses, catalogue)
        held = (*dough, *(use.ingredient for use in bread.uses), *(new for _, new in swaps))
        names += held
        filled = [use.ingredient for use in bread.uses if use.purpose in ("topping", "filling")]
        filled += [new for out, new in swaps if out in filled]
        home = fire_home(held, facts, catalogue, filled, keeps=bool(bread.storage))
        shared = len(lesson.base.method)
        where = place(steps, fired, catalogue, home, lesson.off, moved, shared=shared)
        placed.append((bread.name, where))
        every.append((bread.name, tuple(_left(group, lesson.off) for group in fired)))
        homes.append((bread.name, _left(home, lesson.off)))
    whole = fire_class(facts, catalogue, dict.fromkeys(names))
    return ClassCautions(
        placed=tuple(placed),
        fired=tuple(every),
        home=tuple(homes),
        whole_class=_left(whole, lesson.off),
        off=_turned_off(whole, (where for _, where in placed), lesson.off),
        problems=tuple(dict.fromkeys(problems)),
        remarks=(*_remarks(lesson, breads, catalogue), *_on_paper(breads, every)),
    )


def _on_paper(
    breads: Iterable[Variation],
    fired: Iterable[tuple[str, tuple[tuple[FiredCaution, ...], ...]]],
) -> tuple[Remark, ...]:
    """Breads that bake on paper in an oven hotter than most papers are made for."""
    hot = {name for name, steps in fired for group in steps for one in group if one.id == PAPER}
    return tuple(
        Remark(
            "safety",
            f"The {bread.many} bake on paper at {int(bread.bake.heat.celsius)} °C; most baking papers are made for {PAPER_C} °C "
            "at most (common practice): read the box, or use semolina or an oiled tray.",
        )
        for bread in breads
        if bread.name in hot
    )


def _remarks(
    lesson: Lesson, breads: Iterable[Variation], catalogue: Catalogue
) -> tuple[Remark, ...]:
    """Words one letter off a hazard's, and how the dough is mixed where the lesson does not say."""
    found = []
    steps = (*lesson.base.method, *(step for bread in breads for step in bread.method))
    for step, slips in zip(steps, misspelt(map(step_words, steps), catalogue), strict=True):
        for word, meant in slips:
            spot = step.spot or Spot(lesson.file, 1)
            found.append(
                Remark(
                    "safety",
                    f"{spot}: '{word}' is one letter off '{meant}', so no caution knows it: mend it if it is a slip.",
                )
            )
    if not lesson.base.mixed_by_stated:
        found.append(
            Remark(
                "taken for granted",
                "The lesson does not say 'mixed by': taken as by hand, so no caution speaks of a mixer.",
            )
        )
    return tuple(dict.fromkeys(found))


def _lye_used(lesson: Lesson, uses: Iterable[Use], catalogue: Catalogue) -> tuple[Problem, ...]:
    """Lye among what is used beside the dough, although no step says its name."""
    start = lesson.base.spot or Spot(lesson.file, 1)
    return tuple(
        lye_problem(use.spot or start, use.ingredient)
        for use in uses
        if any(hit.id == LYE for hit, _ in catalogue.hits(use.ingredient))
    )


def _put_in(
    own: Iterable[tuple[Change, ...]], for_everyone: Sequence[Change]
) -> dict[str, tuple[tuple[str, str], ...]]:
    """What single people put in, as (what stands there for the others, what they use), by bread; ``""`` is the base dough.

    Every change counts from the lesson as written, so what everybody has swapped already stands under its new name.
    """
    everybody = {(one.variation, one.out): one.into for one in for_everyone}
    found: dict[str, dict[tuple[str, str], None]] = {}
    for changes in own:
        for one in changes:
            if one.into and one not in for_everyone:
                now = everybody.get((one.variation, one.out)) or one.out
                found.setdefault(one.variation, {})[now, one.into] = None
    return {where: tuple(pairs) for where, pairs in found.items()}


def _left(
    fired: Sequence[FiredCaution], off: Sequence[tuple[str, str]]
) -> tuple[FiredCaution, ...]:
    """What is printed of ``fired``; the tutor's own cautions are never turned off."""
    left = {one.id for one in left_on(fired, off)}
    return tuple(one for one in fired if one.id in left or one.caution.audience == "tutor")


def _turned_off(
    whole: Sequence[FiredCaution], placed: Iterable[Placed], off: Sequence[tuple[str, str]]
) -> tuple[TurnedOff, ...]:
    """Every caution of the class that was turned off, once, with its reason."""
    reasons = dict(off)
    left = {one.id for one in _left(whole, off)}
    found = {one.id: TurnedOff(one, reasons[one.id]) for one in whole if one.id not in left}
    for where in placed:
        for turned in where.off:
            found.setdefault(turned.fired.id, turned)
    return tuple(found.values())
