"""From pieces to grams: every ingredient per student, per station, for the demonstration, the spare and the session.

Exact inside. Rounded once per mixing unit, to the step of the scale it is weighed on, so people who make the same get
the same grams, and every total is the sum of what is printed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from classpack.errors import Problem, Remark
from classpack.model.class_day import ClassDay, Making
from classpack.model.class_plan import (
    AmountNeeded,
    Batch,
    BatchKind,
    Change,
    MixUnit,
    NeedPart,
    PersonPlan,
    Portion,
    StationPlan,
    UnitKind,
    Version,
    Weighed,
)
from classpack.model.formula import Formula, FormulaLine, Preferment
from classpack.model.kitchen import Kitchen, Scale
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Lesson, Use, Variation
from classpack.planning.dough.formulas import flour_for_dough_g
from classpack.planning.dough.pieces import baked_g, with_left_behind_g
from classpack.planning.dough.preferments import final_lines
from classpack.planning.dough.yeast import least_weighable_g, ways_out
from classpack.quantities import plain, rounded_to

DISSOLVES = ("yeast", "salt", "sugar")
"""Kinds of ingredients that can be weighed once for all, stirred into the dough's water, and divided with it."""


@dataclass(frozen=True, slots=True)
class Scaled:
    """All weights of a session, and what the tutor should know about them."""

    units: tuple[MixUnit, ...]
    people: tuple[PersonPlan, ...]
    batches: tuple[Batch, ...]
    stations: tuple[StationPlan, ...]
    shared: tuple[Weighed, ...]
    needs: tuple[AmountNeeded, ...]
    remarks: tuple[Remark, ...]


def scale_for(grams: Fraction, scales: Sequence[Scale]) -> Scale:
    """The scale to use: one that weighs ``grams`` in one go and with 20 steps or more, else the finest.

    Of several, the coarsest up to whole grams; steps above a gram only where nothing finer carries the weight.
    """
    able = [one for one in scales if grams >= least_weighable_g(one.step_g)]
    if not able:
        return min(scales, key=lambda one: one.step_g)
    in_one_go = [one for one in able if grams <= one.capacity_g] or able
    whole_grams = [one for one in in_one_go if one.step_g <= 1]
    if whole_grams:
        return max(whole_grams, key=lambda one: one.step_g)
    return min(in_one_go, key=lambda one: one.step_g)


def changed_formula(formula: Formula, changes: Iterable[Change]) -> Formula:
    """The formula with base-dough changes made, in the total formula and in its preferments.

    What is swapped for an ingredient that is there already makes one line with it; what is left out has none.
    """
    wanted = {change.out: change for change in changes if not change.variation}

    def line(one: FormulaLine) -> FormulaLine:
        change = wanted.get(one.ingredient)
        if change is None:
            return one
        return replace(one, ingredient=change.into, percent=one.percent * change.ratio)

    def changed(lines: tuple[FormulaLine, ...]) -> tuple[FormulaLine, ...]:
        found: dict[str, FormulaLine] = {}
        for one in map(line, lines):
            before = found.get(one.ingredient)
            found[one.ingredient] = (
                replace(before, percent=before.percent + one.percent) if before else one
            )
        return tuple(one for name, one in found.items() if name)

    return replace(
        formula,
        lines=changed(formula.lines),
        preferments=tuple(replace(p, lines=changed(p.lines)) for p in formula.preferments),
    )


class Scaler:
    """Sizes one class day. Holds the inputs; every method is a pure question about them."""

    def __init__(
        self,
        lesson: Lesson,
        day: ClassDay,
        kitchen: Kitchen,
        larder: Larder,
        for_all: tuple[Change, ...] = (),
    ) -> None:
        self.lesson = lesson
        self.day = day
        self.scales = kitchen.scales
        self.larder = larder
        self.for_all = for_all
        self.problems: list[Problem] = []

    # ------------------------------------------------------------ one weight

    def weighed(
        self, name: str, exact_g: Fraction, percent: Fraction | None = None, purpose: str = "dough"
    ) -> Weighed:
        """``exact_g`` on the scale it is weighed on. What is more than nothing never rounds to nothing."""
        step = scale_for(exact_g, self.scales).step_g
        grams = rounded_to(exact_g, step)
        return Weighed(
            name, exact_g, grams if grams > 0 else step, step, percent=percent, purpose=purpose
        )

    def used(
        self, use: Use, times: Fraction, changes: Sequence[Change], variation: str
    ) -> Weighed | None:
        """``times`` a use outside the formula, changes made; None when it is left out."""
        name, ratio, instead = use.ingredient, Fraction(1), ""
        for change in changes:
            if change.out == use.ingredient and change.variation == variation:
                name, ratio, instead = change.into, change.ratio, use.ingredient
        if not name:
            return None
        ingredient = self.larder[use.ingredient]
        value = use.amount.value * times
        each = self._grams_per(ingredient, use)
        if each is None:
            return None
        if use.amount.unit == "each" and not instead:
            grams = value * each
            return Weighed(
                name, grams, grams, Fraction(0), count=value, purpose=use.purpose, note=use.note
            )
        weighed = self.weighed(name, value * each * ratio, purpose=use.purpose)
        return replace(weighed, instead_of=instead, note=use.note)

    def _grams_per(self, ingredient: Ingredient, use: Use) -> Fraction | None:
        factor = {"g": Fraction(1), "ml": ingredient.g_per_ml, "each": ingredient.g_per_each}[
            use.amount.unit
        ]
        if factor is None and use.spot:
            unit = "a millilitre" if use.amount.unit == "ml" else "one"
            problem = Problem(
                use.spot,
                f"the larder does not say what {unit} of {ingredient.name} weighs",
                "write the amount in grams, or add it to your larder",
            )
            if problem not in self.problems:
                self.problems.append(problem)
        return factor

    # ------------------------------------------------------------ doughs

    def dough_lines(
        self, key: str, changes: Sequence[Change], dough_g: Fraction
    ) -> tuple[Weighed, ...]:
        """What goes into the bowl for ``dough_g``: the total formula less its preferments, then the preferments.

        A preferment that differs from everybody else's has the mixing unit's key in its name: it is mixed apart.
        """
        formula = changed_formula(self.lesson.base.formula, changes)
        flour_g = flour_for_dough_g(formula, dough_g)
        lines = [
            self.weighed(line.ingredient, flour_g * line.percent / 100, line.percent)
            for line in final_lines(formula)
        ]
        for one, usual in zip(formula.preferments, self.preferments(self.for_all), strict=True):
            percent = one.total_percent
            weighed = self.weighed(one.name, flour_g * percent / 100, percent)
            own = one.lines != usual.lines
            lines.append(
                replace(weighed, ingredient=f"{one.name} {key}", instead_of=one.name)
                if own
                else weighed
            )
        return tuple(lines)

    def preferments(self, changes: Sequence[Change]) -> tuple[Preferment, ...]:
        """The lesson's preferments with these changes made."""
        return changed_formula(self.lesson.base.formula, changes).preferments

    def unit(
        self,
        key: str,
        kind: UnitKind,
        station: str,
        people: tuple[int, ...],
        makings: Sequence[Making],
        changes: Sequence[Change],
    ) -> MixUnit:
        """One dough for all of ``makings``."""
        pieces: dict[str, int] = {}
        for making in makings:
            pieces[making.variation] = pieces.get(making.variation, 0) + making.pieces
        needed = sum(
            (self.lesson.variation(name).piece_dough_g * count for name, count in pieces.items()),
            Fraction(0),
        )
        lines = self.dough_lines(
            key, changes, with_left_behind_g(needed, self.lesson.base.left_percent)
        )
        return MixUnit(key, kind, station, people, lines, tuple(pieces.items()), needed)

    def portion(self, making: Making, changes: Sequence[Change]) -> Portion:
        """One person's share of one bread."""
        bread = self.lesson.variation(making.variation)
        trays = ceil(Fraction(making.pieces, bread.pieces_per_tray))
        times = {"piece": Fraction(making.pieces), "tray": Fraction(trays), "student": Fraction(1)}
        toppings = (
            self.used(use, times[use.per], changes, bread.name)
            for use in bread.uses
            if use.per in times
        )
        dough_g = bread.piece_dough_g * making.pieces
        return Portion(
            variation=bread.name,
            pieces=making.pieces,
            dough_g=dough_g,
            toppings=tuple(one for one in toppings if one),
            trays=trays,
            baked_piece_g=baked_piece_g(bread),
        )

    def dusting(self, changes: Sequence[Change]) -> tuple[Weighed, ...]:
        """What one student uses of flour and oil for bench and bowl."""
        found = (
            self.used(use, Fraction(1), changes, "")
            for use in self.lesson.base.uses
            if use.per == "student"
        )
        return tuple(one for one in found if one)

    def shared(
        self, per: str, makes: Iterable[str], changes: Sequence[Change]
    ) -> tuple[Weighed, ...]:
        """Uses counted per station or per class, once each, with the bread each belongs to."""
        breads = [self.lesson.variation(name) for name in dict.fromkeys(makes)]
        uses = [(use, "") for use in self.lesson.base.uses] + [
            (use, bread.name) for bread in breads for use in bread.uses
        ]
        found = [
            (name, self.used(use, Fraction(1), changes, name))
            for use, name in uses
            if use.per == per
        ]
        return tuple(replace(one, bread=name) for name, one in found if one)


def baked_piece_g(bread: Variation) -> Fraction:
    """What one piece of dough weighs baked, toppings apart."""
    return baked_g(bread.piece_dough_g, bread.bake.loss_percent)


def scaled(
    lesson: Lesson,
    day: ClassDay,
    kitchen: Kitchen,
    larder: Larder,
    makings: Sequence[tuple[Making, ...]],
    versions: Sequence[Version],
    for_all: tuple[Change, ...] = (),
    demonstrated: tuple[Change, ...] = (),
    alone: frozenset[int] = frozenset(),
) -> tuple[Scaled, tuple[Problem, ...]]:
    """All weights of the session.

    Args:
        makings: what each person makes in the end, in the order of ``day.people``; empty for who only watches.
        versions: all changes in each person's bread, those for everyone included.
        for_all: changes in the spare, in doughs and preferments that people share, and in what stations share.
        demonstrated: all changes in the demonstration.
        alone: people who mix a dough of their own although the others share one.
    """
    scaler = Scaler(lesson, day, kitchen, larder, for_all)
    batch_changes = {"demonstration": demonstrated, "spare": for_all}
    units = _units(scaler, makings, versions, batch_changes, alone)
    unit_of = {index: unit.key for unit in units for index in unit.people}
    people = tuple(
        PersonPlan(
            index=index,
            person=person,
            unit=unit_of.get(index, ""),
            portions=tuple(
                scaler.portion(making, versions[index].changes) for making in makings[index]
            ),
            dusting=scaler.dusting(versions[index].changes) if makings[index] else (),
            version=versions[index],
        )
        for index, person in enumerate(day.people)
    )
    batches = tuple(
        _batch(scaler, kind, wanted, batch_changes[kind]) for kind, wanted in _asked(day) if wanted
    )
    changes_of = {unit.key: batch_changes.get(unit.kind, for_all) for unit in units}
    changes_of |= {
        unit.key: versions[unit.people[0]].changes for unit in units if unit.kind == "person"
    }
    units += _preferment_units(scaler, units, changes_of)
    stations = tuple(
        _station(scaler, station.name, units, people, makings, day) for station in day.stations
    )
    everything = (*makings, day.demonstration, day.spare)
    shared = scaler.shared("class", [m.variation for made in everything for m in made], for_all)
    needs = _needs(units, people, batches, stations, shared, day.allowance_percent, larder)
    remarks = _remarks(units, people, batches, stations, shared, larder)
    result = Scaled(units, people, batches, stations, shared, needs, remarks)
    return result, tuple(scaler.problems)


def _asked(day: ClassDay) -> tuple[tuple[BatchKind, tuple[Making, ...]], ...]:
    """What is made besides the people's own bread."""
    return ("demonstration", day.demonstration), ("spare", day.spare)


def _batch(
    scaler: Scaler, kind: BatchKind, wanted: tuple[Making, ...], changes: tuple[Change, ...]
) -> Batch:
    """The tutor demonstrates at a bench of their own, so what every station has is weighed for it too."""
    dusting = scaler.dusting(changes)
    if kind == "demonstration":
        dusting += scaler.shared("station", [making.variation for making in wanted], changes)
    return Batch(kind, kind, tuple(scaler.portion(making, changes) for making in wanted), dusting)


def _units(
    scaler: Scaler,
    makings: Sequence[tuple[Making, ...]],
    versions: Sequence[Version],
    batch_changes: Mapping[str, tuple[Change, ...]],
    alone: frozenset[int],
) -> tuple[MixUnit, ...]:
    day = scaler.day
    baking = [index for index in range(len(day.people)) if makings[index]]
    own = [i for i in baking if day.mixed_by == "each person" or i in alone]
    sharing = [i for i in baking if i not in own]
    units = [
        scaler.unit(
            day.people[i].seat,
            "person",
            day.people[i].station,
            (i,),
            makings[i],
            versions[i].changes,
        )
        for i in own
    ]
    if day.mixed_by == "each station":
        for station in day.stations:
            members = tuple(i for i in sharing if day.people[i].station == station.name)
            if members:
                wanted = [making for i in members for making in makings[i]]
                units.append(
                    scaler.unit(
                        f"station {station.name}",
                        "station",
                        station.name,
                        members,
                        wanted,
                        scaler.for_all,
                    )
                )
    elif sharing:
        wanted = [making for i in sharing for making in makings[i]]
        units.append(scaler.unit("class", "class", "", tuple(sharing), wanted, scaler.for_all))
    for kind, batch in _asked(day):
        if batch:
            units.append(scaler.unit(kind, kind, "", (), batch, batch_changes[kind]))
    return tuple(units)


def _preferment_units(
    scaler: Scaler, units: tuple[MixUnit, ...], changes_of: Mapping[str, tuple[Change, ...]]
) -> tuple[MixUnit, ...]:
    """Each preferment is mixed once for everybody: the sum of the shares on the cards, and what stays in the bowl.

    One that differs for somebody (a swap inside it) is mixed apart, under the name it has in their bowl.
    """
    found = []
    for number, one in enumerate(scaler.preferments(())):
        own = [(f"{one.name} {unit.key}", changes_of[unit.key]) for unit in units]
        for name, changes in ((one.name, scaler.for_all), *own):
            share = sum((unit.grams(name) for unit in units), Fraction(0))
            if share:
                found.append(
                    _preferment_unit(scaler, name, scaler.preferments(changes)[number], share)
                )
    return tuple(found)


def _preferment_unit(scaler: Scaler, name: str, one: Preferment, share_g: Fraction) -> MixUnit:
    mix_g = with_left_behind_g(share_g, scaler.lesson.base.left_percent)
    flours = [line.percent for line in one.lines if scaler.larder[line.ingredient].kind == "flour"]
    flour = sum(flours, Fraction(0))
    lines = tuple(
        scaler.weighed(
            line.ingredient,
            mix_g * line.percent / one.total_percent,
            line.percent / flour * 100 if flour else None,
            purpose="preferment",
        )
        for line in one.lines
    )
    return MixUnit(name, "preferment", "", (), lines, (), share_g)


def _station(
    scaler: Scaler,
    name: str,
    units: tuple[MixUnit, ...],
    people: tuple[PersonPlan, ...],
    makings: Sequence[tuple[Making, ...]],
    day: ClassDay,
) -> StationPlan:
    members = tuple(i for i, person in enumerate(day.people) if person.station == name)
    mine = tuple(unit for unit in units if unit.station == name)
    shared = (
        scaler.shared("station", [m.variation for i in members for m in makings[i]], scaler.for_all)
        if any(makings[i] for i in members)
        else ()
    )
    lines = [line for unit in mine for line in unit.lines]
    for i in members:
        lines += [line for portion in people[i].portions for line in portion.toppings]
        lines += people[i].dusting
    lines += shared
    return StationPlan(
        station=next(one for one in day.stations if one.name == name),
        people=members,
        units=tuple(unit.key for unit in mine),
        shared=shared,
        weigh_out=added(lines),
    )


def added(lines: Iterable[Weighed]) -> tuple[Weighed, ...]:
    """One line an ingredient: the sum of the printed grams (and counts), in the order they first stand."""
    sums: dict[str, Weighed] = {}
    for line in lines:
        before = sums.get(line.ingredient)
        if before is None:
            sums[line.ingredient] = replace(line, percent=None, instead_of="", note="", bread="")
            continue
        counted = None if before.count is None or line.count is None else before.count + line.count
        sums[line.ingredient] = replace(
            before,
            exact_g=before.exact_g + line.exact_g,
            grams=before.grams + line.grams,
            step_g=max(before.step_g, line.step_g),
            count=counted,
            purpose=before.purpose if before.purpose == line.purpose else "several",
        )
    return tuple(sums.values())


def _needs(
    units: tuple[MixUnit, ...],
    people: tuple[PersonPlan, ...],
    batches: tuple[Batch, ...],
    stations: tuple[StationPlan, ...],
    shared: tuple[Weighed, ...],
    allowance_percent: Fraction,
    larder: Larder,
) -> tuple[AmountNeeded, ...]:
    parts: dict[str, dict[str, Fraction]] = {}
    counts: dict[str, Fraction | None] = {}

    def note(where: str, lines: Iterable[Weighed]) -> None:
        for line in lines:
            if larder.get(line.ingredient) is None:
                continue  # a preferment's share: its ingredients are counted where it is mixed
            place = parts.setdefault(line.ingredient, {})
            place[where] = place.get(where, Fraction(0)) + line.grams
            before = counts.get(line.ingredient, Fraction(0))
            counts[line.ingredient] = (
                None if before is None or line.count is None else before + line.count
            )

    for station in stations:
        note(f"station {station.station.name}", station.weigh_out)
    for unit in units:
        if unit.kind in ("demonstration", "spare", "preferment"):
            note(unit.key, unit.lines)
        elif unit.kind == "class":
            note("one dough for the class", unit.lines)
    for batch in batches:
        note(batch.kind, [line for portion in batch.portions for line in portion.toppings])
        note(batch.kind, batch.dusting)
    note("whole class", shared)
    if allowance_percent:
        for name, places in parts.items():
            extra = sum(places.values(), Fraction(0)) * allowance_percent / 100
            count = counts[name]
            if count is None:
                extra = rounded_to(extra, Fraction(1)) or Fraction(1)
            places["allowance"] = extra
            counts[name] = None if count is None else count * (1 + allowance_percent / 100)
    return tuple(
        AmountNeeded(
            name, tuple(NeedPart(where, grams) for where, grams in places.items()), counts[name]
        )
        for name, places in parts.items()
    )


def _remarks(
    units: tuple[MixUnit, ...],
    people: tuple[PersonPlan, ...],
    batches: tuple[Batch, ...],
    stations: tuple[StationPlan, ...],
    shared: tuple[Weighed, ...],
    larder: Larder,
) -> tuple[Remark, ...]:
    coarse: dict[str, Weighed] = {}
    lines = [line for unit in units for line in unit.lines]
    lines += [line for person in people for portion in person.portions for line in portion.toppings]
    lines += [line for batch in batches for portion in batch.portions for line in portion.toppings]
    lines += [line for station in stations for line in station.shared]
    lines += shared
    for line in lines:
        if line.coarse and line.purpose not in ("dusting", "oiling"):
            least = coarse.get(line.ingredient, line)
            coarse[line.ingredient] = min(least, line, key=lambda one: one.grams)
    return tuple(_coarse_remark(line, larder) for line in coarse.values())


def _coarse_remark(line: Weighed, larder: Larder) -> Remark:
    """An amount under 20 steps of its scale, and the ways out."""
    one = larder.get(line.ingredient)
    ways = ways_out(
        line.grams, line.step_g, one.g_per_ml if one else None, bool(one and one.kind in DISSOLVES)
    )
    said = ways.sentence(line.ingredient) if ways else f"{plain(line.grams)} g {line.ingredient}"
    return Remark("weighing", said)
