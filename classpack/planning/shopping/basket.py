"""The shopping list of a session: what all needs together take, what is in hand, which packs to buy, what is left.

Needs are what is used, as weighed or counted. Trimming comes on top here: 500 g of peeled onion at 10 % trim is 556 g to
buy. Counted things are bought whole. Water and starters are not bought. Money is in whole smallest coins.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.errors import Problem, Remark, Spot
from classpack.model.class_day import Stock
from classpack.model.class_plan import AmountNeeded, NeedPart
from classpack.model.larder import Ingredient, Larder, ShopPack
from classpack.planning.shopping.packs import Offer, Purchase, best_packs, least_left
from classpack.quantities import Amount, plain

PERISHABLE_DAYS = 14
"""What keeps no longer, or is chilled, is worth buying closely (the project's choice)."""

CLOSER_COSTS_AT_MOST = Fraction(5, 4)
"""A purchase that leaves half or less is offered when it costs at most a quarter more (the project's choice)."""


@dataclass(frozen=True, slots=True)
class Bought:
    """So many of one pack. ``price`` is one pack's, in smallest coins, None when not known."""

    pack: Amount
    count: int
    price: int | None


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """One ingredient of the list. ``unit`` is ``g`` or ``each``, and every amount is in it.

    ``used`` is what the bread takes, ``trim`` what trimming adds, ``need`` both, for counted things rounded up to whole ones.
    ``have`` is in hand; ``to_buy`` is still missing, ``buy`` the packs for it, ``left`` what is over afterwards. ``left`` is
    exact: packs + have − need. ``cost`` is None when a pack has no price or no pack is known (then ``buy`` is empty).
    ``must_not_list`` are allergens that the pack bought for a swap must not carry. ``closer`` is a dearer purchase that
    leaves much less of something perishable.
    """

    ingredient: str
    aisle: str
    unit: str
    parts: tuple[NeedPart, ...]
    used: Fraction
    trim: Fraction
    need: Fraction
    have: Fraction
    to_buy: Fraction
    buy: tuple[Bought, ...]
    left: Fraction
    short: Fraction
    cost: int | None
    storage: str
    keeps_days: int | None
    check_pack: str = ""
    must_not_list: tuple[str, ...] = ()
    closer: tuple[Bought, ...] = ()
    closer_cost: int | None = None
    closer_left: Fraction | None = None

    @property
    def in_cupboard(self) -> bool:
        """Is enough in hand, so that it is checked and not bought?"""
        return self.to_buy == 0


@dataclass(frozen=True, slots=True)
class Aisle:
    """One aisle's lines, by name."""

    name: str
    lines: tuple[ShoppingLine, ...]

    @property
    def cost(self) -> int:
        """What its priced lines cost."""
        return sum(line.cost or 0 for line in self.lines)


@dataclass(frozen=True, slots=True)
class ShoppingList:
    """Everything to buy, by aisle in the shop's order. ``cupboard`` are lines with enough in hand; ``not_bought`` are
    needs such as water and starter. ``unpriced`` names what the total does not hold.
    """

    aisles: tuple[Aisle, ...]
    cupboard: tuple[ShoppingLine, ...]
    not_bought: tuple[AmountNeeded, ...]
    total: int
    unpriced: tuple[str, ...]
    packs: int
    problems: tuple[Problem, ...]
    remarks: tuple[Remark, ...]

    @property
    def lines(self) -> tuple[ShoppingLine, ...]:
        """All lines, those to buy first."""
        return (*(line for aisle in self.aisles for line in aisle.lines), *self.cupboard)


def shopping_list(
    needs: Sequence[AmountNeeded],
    larder: Larder,
    stock: Sequence[Stock] = (),
    must_not_list: Mapping[str, Collection[str]] | None = None,
    spare_per_kg: int = 0,
) -> ShoppingList:
    """The list for ``needs``, which already hold demonstration, swaps and allowance.

    Args:
        needs: one for each ingredient of ``larder``.
        stock: what is in the cupboard; several entries of one ingredient add up.
        must_not_list: by ingredient, the allergens its pack must not carry, because it is bought for a swap.
        spare_per_kg: smallest coins that a kilogram left over is held to cost.
    """
    problems: list[Problem] = []
    remarks: list[Remark] = []
    lines: list[ShoppingLine] = []
    not_bought: list[AmountNeeded] = []
    for need in needs:
        one = larder[need.ingredient]
        if not one.bought:
            not_bought.append(need)
            continue
        mine = [entry for entry in stock if entry.ingredient == need.ingredient]
        avoid = (must_not_list or {}).get(need.ingredient, ())
        line = _line(need, one, mine, avoid, spare_per_kg, problems)
        if line is not None:
            lines.append(line)
            remarks += _remarks(line)
    buying = [line for line in lines if not line.in_cupboard]
    listed = (*larder.aisles, *(line.aisle for line in buying if line.aisle not in larder.aisles))
    aisles = [
        Aisle(
            name,
            tuple(sorted((line for line in buying if line.aisle == name), key=_by_name)),
        )
        for name in dict.fromkeys(listed)
    ]
    unpriced = tuple(line.ingredient for line in sorted(buying, key=_by_name) if line.cost is None)
    if unpriced:
        remarks.append(
            Remark("buying", f"the total leaves out what has no price: {', '.join(unpriced)}")
        )
    return ShoppingList(
        tuple(aisle for aisle in aisles if aisle.lines),
        tuple(sorted((line for line in lines if line.in_cupboard), key=_by_name)),
        tuple(not_bought),
        sum(line.cost or 0 for line in buying),
        unpriced,
        sum(bought.count for line in buying for bought in line.buy),
        tuple(problems),
        tuple(remarks),
    )


def used_cost(line: ShoppingLine, one: Ingredient) -> Fraction | None:
    """What the need itself is worth in smallest coins, left-overs not counted: for the cost of a product or a head.

    Priced as bought, else (all of it in hand) as the pack that is cheapest for its size; None without any price.
    """
    counts = [
        (bought.price, _size(bought.pack, one, line.unit), bought.count) for bought in line.buy
    ]
    if counts and line.cost is not None:
        sizes = sum((size * count for _, size, count in counts if size), Fraction(0))
        return line.need * line.cost / sizes
    rates = [
        pack.price / size
        for pack in one.packs
        if pack.price is not None and (size := _size(pack.size, one, line.unit))
    ]
    return line.need * min(rates) if rates else None


# ---------------------------------------------------------------- one line


def _line(
    need: AmountNeeded,
    one: Ingredient,
    stock: Sequence[Stock],
    avoid: Collection[str],
    spare_per_kg: int,
    problems: list[Problem],
) -> ShoppingLine | None:
    unit = _unit(need, one)
    edible = one.edible_percent / 100
    if unit == "each":
        used = need.count if need.count is not None else _pieces(need.grams, one)
        if used is None:
            problems.append(_no_piece_weight(one, f"{plain(need.grams)} g of it are needed"))
            return None
        wanted, trim = Fraction(ceil(used)), Fraction(0)
    else:
        if need.count is not None and need.grams == 0:
            problems.append(_no_piece_weight(one, "its packs are weighed"))
            return None
        used = need.grams
        wanted = used / edible
        trim = wanted - used
    have = Fraction(0)
    for entry in stock:
        amount = _stocked(entry.amount, one, unit)
        if amount is None:
            problems.append(
                Problem(
                    entry.spot or one.spot or Spot("", 1),
                    f"the stock of {one.name} is in {entry.amount.unit}, its need in {unit}",
                    "give the stock in the same measure, or say in the larder what one weighs",
                )
            )
            return None
        have += amount
    offers: list[Offer] = []
    sold: list[ShopPack] = []
    for pack in one.packs:
        size = _size(pack.size, one, unit)
        if size is None:
            problems.append(_no_piece_weight(one, "its need is weighed"))
            return None
        offers.append(Offer(size, pack.price, pack.most))
        sold.append(pack)
    to_buy = max(Fraction(0), wanted - have)
    if not offers:
        left = max(Fraction(0), have - wanted)
        bought: tuple[Bought, ...] = ()
        cost = 0 if to_buy == 0 else None
        short = Fraction(0)
        closer = None
    else:
        purchase = best_packs(wanted, offers, have, spare_per_kg)
        left, short, cost = purchase.left, purchase.short, purchase.pay
        bought = _bought(purchase, sold)
        closer = _closer(wanted, offers, have, purchase) if _perishable(one) else None
    return ShoppingLine(
        one.name,
        one.aisle,
        unit,
        need.parts,
        used,
        trim,
        wanted,
        have,
        to_buy,
        bought,
        left,
        short,
        cost,
        one.storage,
        one.keeps_days,
        one.check_pack,
        tuple(sorted(avoid)),
        _bought(closer, sold) if closer else (),
        closer.pay if closer else None,
        closer.left if closer else None,
    )


def _unit(need: AmountNeeded, one: Ingredient) -> str:
    """Counted when every pack is counted, or when nothing is sold by weight and the need is counted."""
    if one.packs:
        return "each" if all(pack.size.unit == "each" for pack in one.packs) else "g"
    return "each" if need.count is not None else "g"


def _pieces(grams: Fraction, one: Ingredient) -> Fraction | None:
    """Whole pieces' worth of trimmed grams; ``g_per_each`` is the edible weight of one."""
    return None if one.g_per_each is None else grams / one.g_per_each


def _size(size: Amount, one: Ingredient, unit: str) -> Fraction | None:
    """What a pack holds in ``unit``, as bought."""
    if size.unit == unit:
        return size.value
    if unit == "each":
        return (
            None
            if one.g_per_each is None
            else size.value * one.edible_percent / 100 / one.g_per_each
        )
    if size.unit == "ml":
        return None if one.g_per_ml is None else size.value * one.g_per_ml
    return (
        None if one.g_per_each is None else size.value * one.g_per_each * 100 / one.edible_percent
    )


def _stocked(amount: Amount, one: Ingredient, unit: str) -> Fraction | None:
    if amount.unit == "ml" and unit == "each":
        return None
    size = _size(amount, one, unit)
    return Fraction(int(size)) if size is not None and unit == "each" else size


def _bought(purchase: Purchase, sold: Sequence[ShopPack]) -> tuple[Bought, ...]:
    return tuple(
        Bought(pack.size, count, pack.price)
        for pack, count in zip(sold, purchase.counts, strict=True)
        if count
    )


def _perishable(one: Ingredient) -> bool:
    return one.storage == "chilled" or (one.keeps_days or PERISHABLE_DAYS + 1) <= PERISHABLE_DAYS


def _closer(
    need: Fraction, offers: Sequence[Offer], have: Fraction, purchase: Purchase
) -> Purchase | None:
    """A dearer purchase that leaves half or less of what the cheapest leaves, if it does not cost much more."""
    if not purchase.pay or purchase.short or not purchase.left:
        return None
    other = least_left(need, offers, have)
    if other.pay is None or other.left * 2 > purchase.left:
        return None
    return other if purchase.pay < other.pay <= purchase.pay * CLOSER_COSTS_AT_MOST else None


def _no_piece_weight(one: Ingredient, why: str) -> Problem:
    return Problem(
        one.spot or Spot("", 1),
        f"{one.name} is sold by the piece and {why}",
        "add what one weighs trimmed, as in 'each: 84 g'",
    )


def _by_name(line: ShoppingLine) -> str:
    return line.ingredient.casefold()


def _remarks(line: ShoppingLine) -> list[Remark]:
    found: list[Remark] = []
    if line.short > 0:
        found.append(
            Remark(
                "buying",
                f"the packs of {line.ingredient} that may be bought give {_shown(line.short, line.unit)} too little",
            )
        )
    if line.closer and line.closer_left is not None:
        packs = " + ".join(
            f"{bought.count} × {plain(bought.pack.value)}{'' if bought.pack.unit == 'each' else ' ' + bought.pack.unit}"
            for bought in line.closer
        )
        found.append(
            Remark(
                "buying",
                f"{line.ingredient} keeps badly: {packs} would cost a little more and leave "
                f"{_shown(line.closer_left, line.unit)} instead of {_shown(line.left, line.unit)}",
            )
        )
    return found


def _shown(amount: Fraction, unit: str) -> str:
    return plain(amount, 0) if unit == "each" else f"{plain(amount, 0)} g"


def unknown_stock(stock: Iterable[Stock], larder: Larder) -> tuple[Problem, ...]:
    """What is in stock by a name that the larder does not have."""
    return tuple(
        Problem(
            one.spot,
            f"no ingredient '{one.ingredient}' in the larder",
            "take it off the stock, or add it to your larder",
        )
        for one in stock
        if larder.get(one.ingredient) is None and one.spot
    )
