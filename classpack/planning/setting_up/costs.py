"""What the class costs: for each bread, for a person, for the session. Money is exact, in smallest coins.

An ingredient costs what was paid for it, shared by weight over everything it was weighed for; left-overs are not charged to the bread
but told apart. What comes from the cupboard is charged as its cheapest pack. A dough shared by several breads is divided by
the dough they take, and so are dusting flour, oil and preferments.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from classpack.errors import Problem, Spot
from classpack.model.class_day import ClassDay
from classpack.model.class_plan import Batch, MixUnit, PersonPlan, Portion, Weighed
from classpack.model.larder import Larder
from classpack.planning.setting_up.groundwork import Groundwork
from classpack.planning.shopping.basket import used_cost

Key = tuple[str, str]
"""Where a cost falls: ``("bread", its name)``, ``("demonstration", "")``, ``("spare", "")`` or ``("allowance", "")``."""


@dataclass(frozen=True, slots=True)
class BreadCost:
    """What the class's pieces of one bread cost: ``all_coins`` together, ``piece_coins`` each."""

    variation: str
    pieces: int
    all_coins: Fraction
    piece_coins: Fraction


@dataclass(frozen=True, slots=True)
class ClassCosts:
    """The costs of a session in smallest coins of ``currency``.

    ``used`` is what is eaten, demonstrated and kept spare: breads, demonstration, spare and allowance add up to it. ``paid`` is what
    the shop takes; ``left_over`` what of it and of the cupboard is worth keeping afterwards. ``head`` is ``used``, ``head_paid``
    is ``paid`` over the people. ``unpriced`` names what none of this holds.
    """

    currency: str
    breads: tuple[BreadCost, ...]
    demonstration: Fraction
    spare: Fraction
    allowance: Fraction
    used: Fraction
    paid: int
    from_cupboard: Fraction
    left_over: Fraction
    people: int
    unpriced: tuple[str, ...]

    @property
    def head(self) -> Fraction:
        """What one person's class uses up, demonstration and spare with it."""
        return self.used / self.people

    @property
    def head_paid(self) -> int:
        """What the shop takes for one person, rounded up so that the people together pay it."""
        return -(-self.paid // self.people)


def class_costs(work: Groundwork) -> ClassCosts:
    """The costs of a planned class with one person or more."""
    rates, unpriced, values = _rates(work)
    sums: dict[Key, Fraction] = {}

    def charge(key: Key, lines: Iterable[tuple[Weighed, Fraction]]) -> None:
        for line, share in lines:
            coins = rates.get(line.ingredient, Fraction(0)) * line.grams * share
            sums[key] = sums.get(key, Fraction(0)) + coins

    makers: list[tuple[PersonPlan | Batch, str]] = [(one, "") for one in work.people]
    makers += [(one, one.kind) for one in work.batches]
    for maker, kind in makers:
        for portion, key in _keyed(maker.portions, kind):
            charge(key, [(line, Fraction(1)) for line in portion.toppings])
            charge(key, [(line, _share(portion, maker.portions)) for line in maker.dusting])
    for unit in work.units:
        for key, share in _of_unit(work, unit):
            charge(key, [(line, share) for line in unit.lines])
    for station in work.stations:
        everyone = [p for index in station.people for p in work.people[index].portions]
        for portion, key in _keyed(everyone, ""):
            charge(key, _of_tubs(portion, everyone, station.shared))
    everyone = [p for person in work.people for p in person.portions]
    for portion, key in _keyed(everyone, ""):
        charge(key, _of_tubs(portion, everyone, work.shared))
    for need in work.needs:
        for part in need.parts:
            if part.where == "allowance":
                coins = rates.get(need.ingredient, Fraction(0)) * part.grams
                sums[("allowance", "")] = sums.get(("allowance", ""), Fraction(0)) + coins
    return _told(work, sums, unpriced, values)


def _told(
    work: Groundwork,
    sums: Mapping[Key, Fraction],
    unpriced: tuple[str, ...],
    values: tuple[Fraction, Fraction],
) -> ClassCosts:
    breads = []
    for bread in work.made:
        pieces = sum(
            portion.pieces
            for person in work.people
            for portion in person.portions
            if portion.variation == bread.name
        )
        if pieces:
            coins = sums.get(("bread", bread.name), Fraction(0))
            breads.append(BreadCost(bread.name, pieces, coins, coins / pieces))
    return ClassCosts(
        currency=work.day.currency,
        breads=tuple(breads),
        demonstration=sums.get(("demonstration", ""), Fraction(0)),
        spare=sums.get(("spare", ""), Fraction(0)),
        allowance=sums.get(("allowance", ""), Fraction(0)),
        used=sum(sums.values(), Fraction(0)),
        paid=work.basket.total,
        from_cupboard=values[0],
        left_over=values[1],
        people=len(work.people),
        unpriced=unpriced,
    )


def _rates(
    work: Groundwork,
) -> tuple[dict[str, Fraction], tuple[str, ...], tuple[Fraction, Fraction]]:
    """Coins a gram as weighed, trimming included; what has no price; the worth of the cupboard's share and of left-overs."""
    rates: dict[str, Fraction] = {}
    unpriced = []
    cupboard = left = Fraction(0)
    needs = {need.ingredient: need.grams for need in work.needs}
    for line in work.basket.lines:
        coins = used_cost(line, work.larder[line.ingredient])
        grams = needs[line.ingredient]
        if coins is None or not grams or not line.need:
            unpriced.append(line.ingredient)
            continue
        rates[line.ingredient] = coins / grams
        per_unit = coins / line.need
        cupboard += per_unit * min(line.have, line.need)
        left += per_unit * line.left
    return rates, tuple(unpriced), (cupboard, left)


def _keyed(portions: Iterable[Portion], kind: str) -> Iterable[tuple[Portion, Key]]:
    for portion in portions:
        yield portion, ((kind, "") if kind else ("bread", portion.variation))


def _of_tubs(
    portion: Portion, among: Sequence[Portion], shared: Iterable[Weighed]
) -> list[tuple[Weighed, Fraction]]:
    """Its share of each shared tub that its bread uses."""
    return [
        (line, _share(portion, [one for one in among if line.bread in ("", one.variation)]))
        for line in shared
        if line.bread in ("", portion.variation)
    ]


def _share(portion: Portion, among: Iterable[Portion]) -> Fraction:
    return portion.dough_g / sum((one.dough_g for one in among), Fraction(0))


def _of_unit(work: Groundwork, unit: MixUnit) -> Iterable[tuple[Key, Fraction]]:
    """To which breads a dough goes, as shares that add up to 1; a preferment follows the doughs that take it."""
    if unit.kind in ("demonstration", "spare"):
        yield (unit.kind, ""), Fraction(1)
    elif unit.kind == "preferment":
        takers = [(one, one.grams(unit.key)) for one in work.units if one.grams(unit.key)]
        all_g = sum((grams for _, grams in takers), Fraction(0))
        for taker, grams in takers:
            for key, share in _of_unit(work, taker):
                yield key, share * grams / all_g
    else:
        for name, pieces in unit.pieces:
            dough_g = work.lesson.variation(name).piece_dough_g * pieces
            yield ("bread", name), dough_g / unit.needed_g


def with_currency(
    day: ClassDay, larder: Larder, spot: Spot | None = None
) -> tuple[ClassDay, tuple[Problem, ...]]:
    """The day with its currency: the one written, else the larder's, else the region's. Two that differ are a problem: prices of one
    would be printed with the sign of the other."""
    currency = day.currency or larder.currency or day.place.currency
    day = replace(day, currency=currency)
    if larder.currency in ("", currency):
        return day, ()
    problem = Problem(
        spot or day.spot or Spot(day.file, 1),
        f"the class pays in {currency}, the larder's prices are in {larder.currency}",
        f"write 'currency: {larder.currency}' in the class file, or prices in {currency} in the larder",
    )
    return day, (problem,)
