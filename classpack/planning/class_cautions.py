"""The cautions of a whole class: for every bread that is made, what fires and where it is printed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from classpack.errors import Problem, Spot
from classpack.model.class_day import ClassDay
from classpack.model.kitchen import Kitchen
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson, Variation
from classpack.model.safety import Catalogue, FiredCaution, Placed, PlaceFacts
from classpack.planning.caution_checks import catalogue_problems, step_problems
from classpack.planning.caution_places import left_on, place
from classpack.planning.cautions import fire_class, fire_home, fire_method, larder_triggers


@dataclass(frozen=True, slots=True)
class ClassCautions:
    """``placed`` by bread; ``whole_class`` holds whatever anybody makes; ``problems`` stop the pack."""

    placed: tuple[tuple[str, Placed], ...]
    whole_class: tuple[FiredCaution, ...]
    problems: tuple[Problem, ...]


def place_facts(lesson: Lesson, day: ClassDay, kitchen: Kitchen, larder: Larder) -> PlaceFacts:
    """What of the kitchen, the class and the larder fires or raises cautions."""
    return PlaceFacts(
        gas=kitchen.gas,
        glass_door=any(oven.glass_door for oven in kitchen.ovens),
        floor_mixer=any(mixer.kind == "floor" for mixer in kitchen.mixers),
        built_in_steam=any(oven.built_in_steam for oven in kitchen.ovens),
        mixed_by=lesson.base.mixed_by,
        children=day.children or any(person.child for person in day.people),
        ingredients=larder_triggers(larder, lesson.base.formula.preferments),
    )


def _preferment_triggers(lesson: Lesson, larder: Larder) -> dict[str, frozenset[str]]:
    """A preferment carries the triggers of everything in it."""
    known = larder_triggers(larder)
    return {
        one.name: frozenset().union(*(known[line.ingredient] for line in one.lines))
        for one in lesson.base.formula.preferments
    }


def class_cautions(
    lesson: Lesson,
    breads: Iterable[Variation],
    facts: PlaceFacts,
    catalogue: Catalogue,
    moved: Sequence[str] = (),
) -> ClassCautions:
    """Fire and place the cautions of every bread in ``breads``.

    ``moved`` are cautions the tutor wants on the station sheet. Turned-off ones are ``lesson.off`` with their reasons.
    """
    problems = list(
        catalogue_problems(lesson.off, moved, catalogue, lesson.base.spot or Spot(lesson.file, 1))
    )
    placed = []
    names: list[str] = []
    for bread in breads:
        steps = (*lesson.base.method, *bread.method)
        uses = (*lesson.base.uses, *bread.uses)
        dough = tuple(line.ingredient for line in lesson.base.formula.lines)
        swaps = tuple((swap.out, swap.into) for swap in (*lesson.swaps, *bread.swaps))
        fired = fire_method(steps, facts, catalogue, uses, swaps, dough)
        for step, group in zip(steps, fired, strict=True):
            problems += step_problems(step, left_on(group, lesson.off), facts, catalogue)
        held = (*dough, *(use.ingredient for use in bread.uses))
        names += held
        filled = [use.ingredient for use in bread.uses if use.purpose in ("topping", "filling")]
        home = fire_home(held, facts, catalogue, filled)
        placed.append((bread.name, place(steps, fired, catalogue, home, lesson.off, moved)))
    whole = fire_class(facts, catalogue, dict.fromkeys(names))
    return ClassCautions(tuple(placed), whole, tuple(dict.fromkeys(problems)))
