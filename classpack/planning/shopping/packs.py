"""The cheapest set of packs that covers a need. Exact: a dynamic program over the amounts that packs can add up to.

Least money first, then least left over, then fewest packs, then more of the pack that stands first. No best purchase
holds a pack that could be put back, so amounts at or above the need are never added to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack on the shelf: ``size`` above 0 in grams or pieces, ``price`` in smallest coins or None, at most ``most``."""

    size: Fraction
    price: int | None = None
    most: int | None = None


@dataclass(frozen=True, slots=True)
class Purchase:
    """How many of each offer, in their order. ``pay`` is None when a pack in it has no price.

    ``left`` is what stays over; ``short`` what the shelf could not give, and then everything on it is bought.
    """

    counts: tuple[int, ...]
    pay: int | None
    left: Fraction
    short: Fraction = Fraction(0)

    @property
    def packs(self) -> int:
        """How many packs in all."""
        return sum(self.counts)


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to own some amount: smaller is better at equal amounts."""

    pay: int
    packs: int
    negative_counts: tuple[int, ...]

    def plus(self, index: int, price: int, times: int) -> _Way:
        counts = list(self.negative_counts)
        counts[index] -= times
        return _Way(self.pay + price * times, self.packs + times, tuple(counts))

    @property
    def rank(self) -> tuple[int, int, tuple[int, ...]]:
        return self.pay, self.packs, self.negative_counts


def best_packs(
    need: Fraction,
    offers: Sequence[Offer],
    stock: Fraction = Fraction(0),
    spare_per_1000: int = 0,
) -> Purchase:
    """The best purchase of ``offers`` so that it and ``stock`` cover ``need``.

    Args:
        need: grams or pieces, 0 or more.
        offers: in the order they are shown. Where some have a price and others none, only the priced ones are
            bought unless they do not suffice; where none has, the least is left over.
        stock: what is in hand, in the same measure.
        spare_per_1000: smallest coins that a kilogram (or thousand pieces) left over is held to cost.

    >>> best_packs(Fraction(3700), [Offer(Fraction(1000), 115), Offer(Fraction(1500), 150)], Fraction(450)).counts
    (2, 1)
    """
    missing = need - stock
    if missing <= 0:
        return Purchase((0,) * len(offers), 0, -missing)
    priced = [one.price is not None for one in offers]
    if any(priced) and not all(priced):
        reach = sum(
            (
                one.size * one.most
                for one in offers
                if one.price is not None and one.most is not None
            ),
            Fraction(0),
        )
        endless = any(one.price is not None and one.most is None for one in offers)
        if endless or reach >= missing:
            chosen = [one for one in offers if one.price is not None]
            found = best_packs(need, chosen, stock, spare_per_1000)
            counts = iter(found.counts)
            return Purchase(
                tuple(next(counts) if known else 0 for known in priced), found.pay, found.left
            )
    if all(one.most is not None for one in offers):
        reach = sum((one.size * (one.most or 0) for one in offers), Fraction(0))
        if reach < missing:
            counts_all = tuple(one.most or 0 for one in offers)
            return Purchase(counts_all, _pay(offers, counts_all), Fraction(0), missing - reach)
    return _search(missing, offers, spare_per_1000, all(priced))


def least_left(need: Fraction, offers: Sequence[Offer], stock: Fraction = Fraction(0)) -> Purchase:
    """The purchase that leaves least over; among those the cheapest, then the fewest packs."""
    missing = need - stock
    if missing <= 0 or not offers:
        return best_packs(need, offers, stock)
    # Left-over dearer than anything that could be saved on the packs: the order of aims is turned round.
    dear = 1000 * (
        1 + sum((one.price or 0) * (one.most or ceil(missing / one.size)) for one in offers)
    )
    unit = _common(offers)
    return best_packs(need, offers, stock, ceil(dear / unit))


def _pay(offers: Sequence[Offer], counts: Sequence[int]) -> int | None:
    total = 0
    for one, count in zip(offers, counts, strict=True):
        if count and one.price is None:
            return None
        total += count * (one.price or 0)
    return total


def _common(offers: Sequence[Offer]) -> Fraction:
    """The largest amount of which every size is a whole number of times."""
    common = Fraction(0)
    for one in offers:
        top, bottom = common, one.size
        while bottom:
            top, bottom = bottom, top % bottom
        common = top
    return common


def _search(
    missing: Fraction, offers: Sequence[Offer], spare_per_1000: int, priced: bool
) -> Purchase:
    unit = _common(offers)
    target = ceil(missing / unit)
    sizes = [int(one.size / unit) for one in offers]
    order = sorted(range(len(offers)), key=lambda n: (-sizes[n], n))
    ways: dict[int, _Way] = {0: _Way(0, 0, (0,) * len(offers))}
    for place, index in enumerate(order):
        one, size = offers[index], sizes[index]
        price = (one.price or 0) if priced else 0
        most = ceil(target / size) if one.most is None else min(one.most, ceil(target / size))
        final = place == len(order) - 1
        ways = _extended(ways, target, index, size, price, most, final)
    best: tuple[Fraction, int, int, tuple[int, ...]] | None = None
    for amount, way in ways.items():
        if amount >= target:
            left = amount * unit - missing
            worth = way.pay + left * spare_per_1000 / 1000
            rank = (worth, amount, way.packs, way.negative_counts)
            if best is None or rank < best:
                best = rank
    assert best is not None, "the shelf was found to suffice"
    counts = tuple(-count for count in best[3])
    return Purchase(counts, _pay(offers, counts), best[1] * unit - missing)


def _extended(
    ways: dict[int, _Way], target: int, index: int, size: int, price: int, most: int, final: bool
) -> dict[int, _Way]:
    """All ways after ``most`` of one more offer may be added. The last offer only has to close the gap."""
    grown = dict(ways)
    if final:
        for amount, way in ways.items():
            times = ceil((target - amount) / size) if amount < target else 0
            if 0 < times <= most:
                _keep(grown, amount + times * size, way.plus(index, price, times))
        return grown
    if most * size >= target:
        # Enough of it to count as endless: walk each chain of amounts that lie one pack apart.
        waiting = sorted(amount for amount in ways if amount < target)
        for start in waiting:
            amount, way = start, grown[start]
            while amount < target:
                amount += size
                way = way.plus(index, price, 1)
                before = grown.get(amount)
                if before is not None and before.rank <= way.rank:
                    break
                grown[amount] = way
        return grown
    for amount, way in ways.items():
        for times in range(1, most + 1):
            reached = amount + times * size
            _keep(grown, reached, way.plus(index, price, times))
            if reached >= target:
                break
    return grown


def _keep(ways: dict[int, _Way], amount: int, way: _Way) -> None:
    before = ways.get(amount)
    if before is None or way.rank < before.rank:
        ways[amount] = way
