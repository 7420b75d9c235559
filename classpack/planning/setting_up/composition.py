"""What one baked piece is made of: its share of the dough with preferments resolved, and what goes on top.

For ingredient lists, nutrition and costs. Dough is counted as the formula has it, toppings as they are weighed. The oven takes
``bake loss`` of the dough's weight; toppings are held to keep theirs, because no lesson says what they lose. Dusting flour and
oil for tins touch the bread: nobody knows how much of them stays on it, so they stand apart in ``touched``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_day import Making
from classpack.model.class_plan import Change, Portion, Weighed
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Lesson
from classpack.planning.amounts.scaling import Scaler, changed_formula
from classpack.planning.setting_up.groundwork import Groundwork

Used = tuple[tuple[Ingredient, Fraction], ...]
"""Ingredients with the grams of them, each once, as put in the bowl or on top."""

ON_THE_WAY = ("dusting", "oiling")
"""Purposes of what touches the bread and partly stays on bench and tin."""


@dataclass(frozen=True, slots=True)
class Composition:
    """One piece of one person's bread. ``used`` is dough and toppings, ``touched`` dusting and oiling (``oiled`` is the
    oiling alone), all in grams a piece.

    ``finished_g`` is what the piece weighs baked, toppings with it, dusting and oiling apart.
    """

    variation: str
    pieces: int
    used: Used
    touched: Used
    finished_g: Fraction
    oiled: Used = ()

    @property
    def everything(self) -> Used:
        """All that may be in or on the bread: for ingredient lists and allergens, which fail closed."""
        return _added((*self.used, *self.touched))

    @property
    def mixed_g(self) -> Fraction:
        """What the piece weighed before the oven, dusting and oiling apart."""
        return sum((grams for _, grams in self.used), Fraction(0))


def composition(
    lesson: Lesson,
    larder: Larder,
    portion: Portion,
    changes: Sequence[Change],
    touched: Iterable[tuple[Weighed, Fraction]] = (),
) -> Composition:
    """One piece of ``portion``.

    Args:
        portion: pieces of one bread with its toppings as weighed, 1 piece or more.
        changes: all changes in this bread, those for everyone included.
        touched: what else touches it, each with the share of it (0 to 1) that falls to one piece.
    """
    formula = changed_formula(lesson.base.formula, changes)
    bread = lesson.variation(portion.variation)
    used = [
        (
            larder[line.ingredient],
            bread.piece_dough_g * line.percent / formula.total_percent,
        )
        for line in formula.lines
        if line.ingredient and line.percent
    ]
    on_the_way: list[tuple[Ingredient, Fraction]] = []
    oiled: list[tuple[Ingredient, Fraction]] = []
    on_top = Fraction(0)
    each = Fraction(1, portion.pieces)
    lines = [(line, each) for line in portion.toppings]
    for line, share in (*lines, *touched):
        entry = (larder[line.ingredient], line.grams * share)
        if line.purpose in ON_THE_WAY:
            on_the_way.append(entry)
            if line.purpose == "oiling":
                oiled.append(entry)
        else:
            used.append(entry)
            on_top += entry[1]
    return Composition(
        bread.name,
        portion.pieces,
        _added(used),
        _added(on_the_way),
        portion.baked_piece_g + on_top,
        _added(oiled),
    )


def person_compositions(work: Groundwork, index: int) -> tuple[Composition, ...]:
    """One for each portion of the person ``index``, with their changes and their share of what their station shares.

    A tub that a bench or the class shares for one bread goes into that bread alone, over the pieces of it.
    """
    person = work.people[index]
    own_g = sum((portion.dough_g for portion in person.portions), Fraction(0))
    station = next(one for one in work.stations if one.station.name == person.person.station)
    shared = [(line, station.people) for line in station.shared]
    shared += [(line, tuple(range(len(work.people)))) for line in work.shared]
    found = []
    for portion in person.portions:
        piece_g = portion.dough_g / portion.pieces
        touched = [(line, piece_g / own_g) for line in person.dusting]
        touched += [
            (line, piece_g / _dough_g(work, people, line.bread))
            for line, people in shared
            if line.bread in ("", portion.variation)
        ]
        found.append(
            composition(work.lesson, work.larder, portion, person.version.changes, touched)
        )
    return tuple(found)


def lesson_composition(work: Groundwork, variation: str) -> Composition:
    """One piece as everybody's version of the lesson has it, for a bread's web page or a product's costs."""
    bread = work.lesson.variation(variation)
    scaler = Scaler(work.lesson, work.day, work.kitchen, work.larder, work.for_everyone)
    portion = scaler.portion(Making(bread.name, bread.pieces), work.for_everyone)
    each = Fraction(1, bread.pieces)
    touched = [(line, each) for line in scaler.dusting(work.for_everyone)]
    everybody = tuple(range(len(work.people)))
    tubs = [line for station in work.stations for line in station.shared]
    touched += [
        (line, portion.dough_g / portion.pieces / all_g)
        for line in (*tubs, *work.shared)
        if line.bread in ("", bread.name) and (all_g := _dough_g(work, everybody, line.bread))
    ]
    if not _dough_g(work, everybody, bread.name):  # only shown: what one bench would be given
        for per in ("station", "class"):
            own = scaler.shared(per, [bread.name], work.for_everyone)
            touched += [(line, each) for line in own if line.bread]
    return composition(work.lesson, work.larder, portion, work.for_everyone, touched)


def _dough_g(work: Groundwork, people: Iterable[int], bread: str) -> Fraction:
    """The dough of one bread, or (empty) of all of them."""
    portions = (portion for index in people for portion in work.people[index].portions)
    return sum((one.dough_g for one in portions if bread in ("", one.variation)), Fraction(0))


def _added(used: Iterable[tuple[Ingredient, Fraction]]) -> Used:
    sums: dict[str, tuple[Ingredient, Fraction]] = {}
    for one, grams in used:
        before = sums.get(one.name)
        sums[one.name] = (one, grams if before is None else before[1] + grams)
    return tuple(sums.values())
