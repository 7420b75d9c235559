"""What is weighed before the class: every tub, in an order that keeps allergens apart, on scales that can weigh it.

A tub holds one ingredient for one station, one seat, one dough or one preferment. The grams of a tub are the sum of what its
cards and station sheet say, so all tubs and the allowance together are the shopping need before trimming. Water, starters and
shares of a preferment are not tubs: they are weighed when they are used.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.errors import Remark
from classpack.model.class_plan import MixUnit, StationPlan, Weighed
from classpack.model.kitchen import Kitchen, Scale
from classpack.planning.class_plan import ClassPlan
from classpack.planning.cross_contact import weigh_turns
from classpack.planning.yeast import SCALE_STEPS_NEEDED
from classpack.quantities import plain

SCALE_SHARE = Fraction(9, 10)
"""How much of a scale's capacity one weighing uses; the rest carries the bowl (the project's choice)."""

KINDS = ("station", "seat", "class", "preferment", "demonstration", "spare")
"""What a tub is for, in the order the tubs of one ingredient are listed."""


@dataclass(frozen=True, slots=True)
class Weighing:
    """``times`` the same ``grams`` on the scale."""

    times: int
    grams: Fraction


@dataclass(frozen=True, slots=True)
class TubShare:
    """The same amount for each of ``seats``; no seats: for everybody there together."""

    seats: tuple[str, ...]
    grams: Fraction
    count: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Tub:
    """One ingredient for one place. ``kind`` is one of :data:`KINDS`; ``where`` names the station, seat or dough.

    ``weighings`` add up to ``grams``; they are empty for counted things. ``pots`` is how many tubs of the kitchen's bowl
    size it fills. ``step_g`` is the step of the scale to use.
    """

    ingredient: str
    kind: str
    where: str
    grams: Fraction
    count: Fraction | None
    step_g: Fraction
    weighings: tuple[Weighing, ...]
    pots: int
    shares: tuple[TubShare, ...]


@dataclass(frozen=True, slots=True)
class IngredientTubs:
    """All tubs of one ingredient. ``allowance_g`` stays in its pack; with it, ``total_g`` is the session's need."""

    ingredient: str
    allergens: tuple[str, ...]
    storage: str
    tubs: tuple[Tub, ...]
    grams: Fraction
    count: Fraction | None
    allowance_g: Fraction

    @property
    def total_g(self) -> Fraction:
        """What the session needs of it, before trimming."""
        return self.grams + self.allowance_g


@dataclass(frozen=True, slots=True)
class Turn:
    """Tubs weighed one after the other; then hands, scoop and scale are washed. Named by the allergens they hold."""

    allergens: tuple[str, ...]
    ingredients: tuple[IngredientTubs, ...]


@dataclass(frozen=True, slots=True)
class SharedOut:
    """A preferment, divided on the day: the grams each dough takes of it, and all that is mixed."""

    name: str
    shares: tuple[tuple[str, Fraction], ...]
    mixed_g: Fraction


@dataclass(frozen=True, slots=True)
class WeighOut:
    """Everything that is weighed. ``on_the_day`` is water and starter, weighed when it is used."""

    turns: tuple[Turn, ...]
    on_the_day: tuple[IngredientTubs, ...]
    preferments: tuple[SharedOut, ...]
    remarks: tuple[Remark, ...]

    @property
    def tubs(self) -> tuple[Tub, ...]:
        """All tubs in the order they are weighed."""
        return tuple(tub for turn in self.turns for one in turn.ingredients for tub in one.tubs)

    @property
    def pots(self) -> int:
        """How many vessels with a label stand on the benches."""
        return sum(tub.pots for tub in self.tubs)


def weigh_out(plan: ClassPlan) -> WeighOut:
    """The tubs of a class."""
    parts: dict[str, dict[tuple[str, str], list[tuple[tuple[str, ...], Weighed]]]] = {}
    for kind, where, seats, line in _parts(plan):
        if plan.larder.get(line.ingredient) is not None:
            places = parts.setdefault(line.ingredient, {})
            places.setdefault((kind, where), []).append((seats, line))
    found = {name: _ingredient(plan, name, places) for name, places in parts.items()}
    bought = frozenset(name for name in found if plan.larder[name].bought)
    turns = tuple(
        Turn(turn.allergens, tuple(found[name] for name in turn.ingredients))
        for turn in weigh_turns(bought, plan.larder)
    )
    return WeighOut(
        turns,
        tuple(one for name, one in found.items() if name not in bought),
        _shared_out(plan),
        _remarks(plan),
    )


def _parts(plan: ClassPlan) -> Iterable[tuple[str, str, tuple[str, ...], Weighed]]:
    """Every weighed line of the session with the tub it comes from: kind, place, the seats it is for, the line."""
    for station in plan.stations:
        yield from _station_parts(plan, station)
    for unit in plan.units:
        if unit.kind == "class":
            yield from (("class", unit.key, (), line) for line in unit.lines)
        elif unit.kind in ("demonstration", "spare", "preferment"):
            yield from ((unit.kind, unit.key, (), line) for line in unit.lines)
    for batch in plan.batches:
        for line in (*(one for p in batch.portions for one in p.toppings), *batch.dusting):
            yield batch.kind, batch.kind, (), line
    for line in plan.shared:
        yield "class", "", (), line


def _station_parts(
    plan: ClassPlan, station: StationPlan
) -> Iterable[tuple[str, str, tuple[str, ...], Weighed]]:
    """What one station weighs; who works with tools of their own has tubs of their own too."""
    name = station.station.name

    def place(seats: tuple[str, ...], people: tuple[int, ...]) -> tuple[str, str]:
        own = len(people) == 1 and people[0] in plan.own_tools
        return ("seat", seats[0]) if own else ("station", name)

    for key in station.units:
        unit = plan.unit(key)
        seats = tuple(plan.day.people[index].seat for index in unit.people)
        yield from ((*place(seats, unit.people), seats, line) for line in unit.lines)
    for index in station.people:
        person = plan.people[index]
        seat = (person.person.seat,)
        toppings = [line for portion in person.portions for line in portion.toppings]
        for line in (*toppings, *person.dusting):
            yield (*place(seat, (index,)), seat, line)
    yield from (("station", name, (), line) for line in station.shared)


def _ingredient(
    plan: ClassPlan,
    name: str,
    places: dict[tuple[str, str], list[tuple[tuple[str, ...], Weighed]]],
) -> IngredientTubs:
    ordered = sorted(places.items(), key=lambda one: KINDS.index(one[0][0]))
    tubs = tuple(_tub(plan.kitchen, name, *place, lines) for place, lines in ordered)
    need = next(one for one in plan.needs if one.ingredient == name)
    allowance = sum((part.grams for part in need.parts if part.where == "allowance"), Fraction(0))
    counts = [tub.count for tub in tubs if tub.count is not None]
    return IngredientTubs(
        name,
        weigh_turns(frozenset((name,)), plan.larder)[0].allergens,
        plan.larder[name].storage,
        tubs,
        sum((tub.grams for tub in tubs), Fraction(0)),
        sum(counts, Fraction(0)) if len(counts) == len(tubs) else None,
        allowance,
    )


def _tub(
    kitchen: Kitchen,
    ingredient: str,
    kind: str,
    where: str,
    lines: Sequence[tuple[tuple[str, ...], Weighed]],
) -> Tub:
    grams = sum((line.grams for _, line in lines), Fraction(0))
    counts = [line.count for _, line in lines if line.count is not None]
    count = sum(counts, Fraction(0)) if len(counts) == len(lines) else None
    step_g, weighings = (
        weighed_in(grams, kitchen.scales, kitchen.bowl_capacity_g)
        if count is None
        else (Fraction(0), ())
    )
    pots = ceil(grams / kitchen.bowl_capacity_g) if kitchen.bowl_capacity_g else 1
    shares = () if kind == "seat" else _shares(lines)
    return Tub(ingredient, kind, where, grams, count, step_g, weighings, max(1, pots), shares)


def _shares(lines: Sequence[tuple[tuple[str, ...], Weighed]]) -> tuple[TubShare, ...]:
    """How a tub divides: whoever gets the same stands together."""
    by_who: dict[tuple[str, ...], list[Weighed]] = {}
    for seats, line in lines:
        by_who.setdefault(seats, []).append(line)
    alone: dict[tuple[Fraction, Fraction | None], list[str]] = {}
    together = []
    for seats, some in by_who.items():
        grams = sum((line.grams for line in some), Fraction(0))
        counts = [line.count for line in some if line.count is not None]
        count = sum(counts, Fraction(0)) if len(counts) == len(some) else None
        if len(seats) == 1:
            alone.setdefault((grams, count), []).append(seats[0])
        else:
            together.append(TubShare((), grams, count))
    if not alone and len(together) == 1:
        return ()
    return (
        *(TubShare(tuple(seats), *amount) for amount, seats in alone.items()),
        *together,
    )


def weighed_in(
    grams: Fraction, scales: Sequence[Scale], bowl_g: Fraction | None = None
) -> tuple[Fraction, tuple[Weighing, ...]]:
    """The step of the scale to use for ``grams`` (above 0), and its weighings when scale or bowl is too small for one.

    The scale is one whose step divides the amount and that has 20 steps or more in it; of those the one that takes fewest
    weighings, then the coarsest.

    >>> step, found = weighed_in(Fraction(14700), [Scale(Fraction(1), Fraction(5000))])
    >>> [(one.times, int(one.grams)) for one in found]
    [(3, 4500), (1, 1200)]
    """
    exact = [one for one in scales if grams % one.step_g == 0]
    well = [one for one in exact if grams >= SCALE_STEPS_NEEDED * one.step_g]
    if well:
        scale = min(well, key=lambda one: (ceil(grams / _most_g(one, bowl_g)), -one.step_g))
    else:
        scale = min(exact or scales, key=lambda one: one.step_g)
    return scale.step_g, _weighings(grams, scale, bowl_g)


def _most_g(scale: Scale, bowl_g: Fraction | None) -> Fraction:
    """The most one weighing takes, on the scale's step."""
    most = scale.capacity_g * SCALE_SHARE
    if bowl_g is not None:
        most = min(most, bowl_g)
    return max(most // scale.step_g, 1) * scale.step_g


def _weighings(grams: Fraction, scale: Scale, bowl_g: Fraction | None) -> tuple[Weighing, ...]:
    full_g = _most_g(scale, bowl_g)
    times, rest = int(grams // full_g), grams % full_g
    if not rest:
        return (Weighing(times, full_g),)
    if not times:
        return (Weighing(1, rest),)
    if rest >= SCALE_STEPS_NEEDED * scale.step_g:
        return (Weighing(times, full_g), Weighing(1, rest))
    # So small a rest cannot be weighed well: the last full weighing gives it half.
    last = (full_g + rest) / 2 // scale.step_g * scale.step_g
    ends = (Weighing(1, full_g + rest - last), Weighing(1, last))
    return ends if times == 1 else (Weighing(times - 1, full_g), *ends)


def _shared_out(plan: ClassPlan) -> tuple[SharedOut, ...]:
    found = []
    for preferment in (unit for unit in plan.units if unit.kind == "preferment"):
        shares = tuple(
            (unit.key, unit.grams(preferment.key))
            for unit in plan.units
            if unit.kind != "preferment" and unit.grams(preferment.key)
        )
        found.append(SharedOut(preferment.key, shares, preferment.dough_g))
    return tuple(found)


def _remarks(plan: ClassPlan) -> tuple[Remark, ...]:
    """Doughs that no bowl holds."""
    bowl_g = plan.kitchen.bowl_capacity_g
    if bowl_g is None:
        return ()
    return tuple(
        Remark(
            "weighing",
            f"{_dough(unit)} is {plain(unit.dough_g)} g and a bowl holds {plain(bowl_g)} g: mix it in "
            f"{ceil(unit.dough_g / bowl_g)} bowls, each with the same share of everything, or bring a larger bowl.",
        )
        for unit in plan.units
        if unit.dough_g > bowl_g
    )


def _dough(unit: MixUnit) -> str:
    if unit.kind == "preferment":
        return f"The {unit.key}"
    if unit.kind == "person":
        return f"The dough of {unit.key}"
    return "The dough for the class" if unit.kind == "class" else f"The dough for {unit.key}"
