"""What is weighed before the class: every tub, in an order that keeps allergens apart, on scales that can weigh it.

A tub holds one ingredient for one station, one seat, one dough or one preferment. The grams of a tub are the sum of what its
cards and station sheet say, so all tubs and the allowance together are the shopping need before trimming. Where the cards give one
ingredient in several amounts (for the dough, for the bench) it stands in one tub that says its parts; only what leaves the fridge at
different hours stands in tubs of its own, since nothing goes back. Water, starters and shares of a preferment are not tubs: they
are weighed when they are used.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from classpack.errors import Remark
from classpack.model.class_plan import MixUnit, StationPlan, Weighed
from classpack.model.kitchen import Kitchen
from classpack.planning.amounts.amount_parts import AmountPart, added_up, must_be_told, parts_of
from classpack.planning.amounts.on_the_scale import Weighing, weighed_in
from classpack.planning.needs.cross_contact import weigh_turns
from classpack.planning.safety.fridge import TUTOR, WHOLE_CLASS, lot_of
from classpack.planning.setting_up.groundwork import Groundwork
from classpack.quantities import plain

KINDS = ("station", "seat", "class", "preferment", "demonstration", "spare")
"""What a tub is for, in the order the tubs of one ingredient are listed."""


@dataclass(frozen=True, slots=True)
class TubShare:
    """The same amount for each of ``seats``; no seats: for everybody there together, as ``dough`` they mix or as it is.

    ``parts`` add up to it; empty where the whole tub serves one purpose.
    """

    seats: tuple[str, ...]
    grams: Fraction
    count: Fraction | None = None
    parts: tuple[AmountPart, ...] = ()
    dough: bool = False


@dataclass(frozen=True, slots=True)
class Tub:
    """One ingredient for one place. ``kind`` is one of :data:`KINDS`; ``where`` names the station, seat or dough.

    ``weighings`` add up to ``grams``; they are empty for counted things. ``pots`` is how many tubs of the kitchen's bowl
    size it fills. ``step_g`` is the step of the scale to use. ``shares`` say how it divides, or ``parts`` where it does not;
    parts are empty for one purpose. ``lot`` of ``lots`` is for what leaves the fridge at different hours.
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
    parts: tuple[AmountPart, ...] = ()
    lot: int = 1
    lots: int = 1


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


@dataclass(frozen=True, slots=True)
class _Taken:
    """A weighed line and the tub it is taken from: ``seats`` and ``people`` are whose it is, ``bread`` what it goes on (empty
    for dough, bench and bowl), ``lot`` of ``lots`` when it leaves the fridge."""

    kind: str
    where: str
    line: Weighed
    seats: tuple[str, ...] = ()
    people: tuple[int, ...] = ()
    bread: str = ""
    lot: int = 1
    lots: int = 1


def weigh_out(work: Groundwork) -> WeighOut:
    """The tubs of a class."""
    taken: dict[str, list[_Taken]] = {}
    for one in _taken(work):
        if work.larder.get(one.line.ingredient) is not None:
            taken.setdefault(one.line.ingredient, []).append(_in_its_lot(work, one))
    found = {name: _ingredient(work, name, some) for name, some in taken.items()}
    bought = frozenset(name for name in found if work.larder[name].bought)
    turns = tuple(
        Turn(turn.allergens, tuple(found[name] for name in turn.ingredients))
        for turn in weigh_turns(bought, work.larder)
    )
    return WeighOut(
        turns,
        tuple(one for name, one in found.items() if name not in bought),
        _shared_out(work),
        _remarks(work),
    )


def _taken(work: Groundwork) -> Iterable[_Taken]:
    """Every weighed line of the session with the tub it is taken from."""
    for station in work.stations:
        yield from _at_station(work, station)
    for unit in work.units:
        if unit.kind in ("class", "demonstration", "spare", "preferment"):
            for line in unit.lines:
                yield _Taken(unit.kind, unit.key, line, people=unit.people)
    for batch in work.batches:
        for portion in batch.portions:
            for line in portion.toppings:
                yield _Taken(batch.kind, batch.kind, line, bread=portion.variation)
        for line in batch.dusting:
            yield _Taken(batch.kind, batch.kind, line)
    for line in work.shared:
        yield _Taken("class", "", line, bread=line.bread)


def _at_station(work: Groundwork, station: StationPlan) -> Iterable[_Taken]:
    """What one station weighs; who works with tools of their own has tubs of their own too."""

    def taken(line: Weighed, people: tuple[int, ...] = (), bread: str = "") -> _Taken:
        seats = tuple(work.day.people[index].seat for index in people)
        own = len(people) == 1 and people[0] in work.own_tools
        kind, where = ("seat", seats[0]) if own else ("station", station.station.name)
        return _Taken(kind, where, line, seats, people, bread)

    for key in station.units:
        unit = work.unit(key)
        yield from (taken(line, unit.people) for line in unit.lines)
    for index in station.people:
        person = work.people[index]
        for portion in person.portions:
            for line in portion.toppings:
                yield taken(line, (index,), portion.variation)
        yield from (taken(line, (index,)) for line in person.dusting)
    yield from (taken(line, bread=line.bread) for line in station.shared)


def _in_its_lot(work: Groundwork, one: _Taken) -> _Taken:
    """The same with the lot in which it leaves the fridge. Spare and preferments stay in it."""
    if one.kind in ("spare", "preferment"):
        return one
    station = {"demonstration": TUTOR, "class": WHOLE_CLASS, "station": one.where}.get(one.kind)
    if station is None:
        station = next(who.station for who in work.day.people if who.seat == one.where)
    lot, lots = lot_of(work.safety.fridge, station, one.line, one.bread, one.people)
    return replace(one, lot=lot, lots=lots)


def _ingredient(work: Groundwork, name: str, taken: Sequence[_Taken]) -> IngredientTubs:
    places: dict[tuple[str, str], list[_Taken]] = {}
    for one in taken:
        places.setdefault((one.kind, one.where), []).append(one)
    ordered = sorted(places.items(), key=lambda one: KINDS.index(one[0][0]))
    tubs = tuple(tub for place, some in ordered for tub in _tubs(work.kitchen, *place, some))
    need = next(one for one in work.needs if one.ingredient == name)
    allowance = sum((part.grams for part in need.parts if part.where == "allowance"), Fraction(0))
    counts = [tub.count for tub in tubs if tub.count is not None]
    return IngredientTubs(
        name,
        weigh_turns(frozenset((name,)), work.larder)[0].allergens,
        work.larder[name].storage,
        tubs,
        sum((tub.grams for tub in tubs), Fraction(0)),
        sum(counts, Fraction(0)) if len(counts) == len(tubs) else None,
        allowance,
    )


def _tubs(kitchen: Kitchen, kind: str, where: str, taken: Sequence[_Taken]) -> Iterable[Tub]:
    """The tubs of one ingredient at one place: one, or one for each lot in which it leaves the fridge."""
    told = must_be_told(parts for _, parts in _by_reader(taken))
    for lot in sorted({one.lot for one in taken}):
        mine = [one for one in taken if one.lot == lot]
        grams, count = added_up(one.line for one in mine)
        step_g, weighings = (
            weighed_in(grams, kitchen.scales, kitchen.bowl_capacity_g)
            if count is None
            else (Fraction(0), ())
        )
        pots = ceil(grams / kitchen.bowl_capacity_g) if kitchen.bowl_capacity_g else 1
        shares = _shares(mine, told) if kind == "station" else ()
        parts = parts_of((one.bread, one.line) for one in mine)
        yield Tub(
            mine[0].line.ingredient,
            kind,
            where,
            grams,
            count,
            step_g,
            weighings,
            max(1, pots),
            shares,
            parts if told and not shares else (),
            lot,
            mine[0].lots,
        )


def _by_reader(
    taken: Sequence[_Taken],
) -> tuple[tuple[tuple[_Taken, ...], tuple[AmountPart, ...]], ...]:
    """What a tub holds, by who takes it: the same seats for their dough together, or for everything else."""
    found: dict[tuple[tuple[str, ...], bool], list[_Taken]] = {}
    for one in taken:
        dough = len(one.seats) != 1 and one.line.purpose == "dough"
        found.setdefault((one.seats, dough), []).append(one)
    return tuple(
        (tuple(some), parts_of((one.bread, one.line) for one in some)) for some in found.values()
    )


def _shares(taken: Sequence[_Taken], told: bool) -> tuple[TubShare, ...]:
    """How a tub divides: whoever gets the same, for the same, stands together."""
    alone: dict[tuple[Fraction, Fraction | None, tuple[AmountPart, ...]], list[str]] = {}
    together = []
    for some, parts in _by_reader(taken):
        grams, count = added_up(one.line for one in some)
        said = parts if told else ()
        if len(some[0].seats) == 1:
            alone.setdefault((grams, count, said), []).append(some[0].seats[0])
        else:
            together.append(TubShare((), grams, count, said, some[0].line.purpose == "dough"))
    if not alone and len(together) == 1:
        return ()
    return (
        *(TubShare(tuple(seats), *amount) for amount, seats in alone.items()),
        *together,
    )


def _shared_out(work: Groundwork) -> tuple[SharedOut, ...]:
    found = []
    for preferment in (unit for unit in work.units if unit.kind == "preferment"):
        shares = tuple(
            (unit.key, unit.grams(preferment.key))
            for unit in work.units
            if unit.kind != "preferment" and unit.grams(preferment.key)
        )
        found.append(SharedOut(preferment.key, shares, preferment.dough_g))
    return tuple(found)


def _remarks(work: Groundwork) -> tuple[Remark, ...]:
    """Doughs that no bowl holds."""
    bowl_g = work.kitchen.bowl_capacity_g
    if bowl_g is None:
        return ()
    return tuple(
        Remark(
            "weighing",
            f"{_dough(unit)} is {plain(unit.dough_g)} g and a bowl holds {plain(bowl_g)} g: mix it in "
            f"{ceil(unit.dough_g / bowl_g)} bowls, each with the same share of everything, or bring a larger bowl.",
        )
        for unit in work.units
        if unit.dough_g > bowl_g
    )


def _dough(unit: MixUnit) -> str:
    if unit.kind == "preferment":
        return f"The {unit.key}"
    if unit.kind == "person":
        return f"The dough of {unit.key}"
    return "The dough for the class" if unit.kind == "class" else f"The dough for {unit.key}"
