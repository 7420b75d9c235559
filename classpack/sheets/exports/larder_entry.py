"""One ingredient of the larder, value by value, with where each value comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.allergens import BY_ID, IDS
from classpack.model.larder import Ingredient
from classpack.model.money import coin_places
from classpack.quantities import TSP_ML, plain, show_amount

OWN = "your larder"
LONG_VALUE = 40
"""A longer value does not push the origins of all others aside."""


@dataclass(frozen=True, slots=True)
class EntryLine:
    """``name`` of the value, the value with its unit, and its origin."""

    name: str
    value: str
    origin: str


def entry_text(one: Ingredient, currency: str = "") -> Iterator[str]:
    """The entry as lines for the terminal: each value with its origin beneath one another. Prices are in ``currency``."""
    lines = entry_lines(one, currency)
    wide = max(len(line.name) for line in lines)
    widest = max(len(line.value) for line in lines if len(line.value) <= LONG_VALUE)
    yield one.name
    for line in lines:
        yield f"  {line.name:<{wide}}  {line.value:<{widest}}  ({line.origin})"


def entry_lines(one: Ingredient, currency: str = "") -> tuple[EntryLine, ...]:
    """What the larder knows of an ingredient; values that nobody gives are left out.

    ``currency`` is the three letters its prices are in. What a larder states as 'none' is said as 'none stated'.
    """
    shipped = f"{one.source}, row {one.source_id}" if one.source_id else one.source
    judged = "set for the shipped larder"

    def origin(field: str, else_: str) -> str:
        return OWN if field in one.given else else_

    carried = ", ".join(BY_ID[id].everyday for id in IDS if id in one.allergens) or "none stated"
    lines = [
        EntryLine("kind", one.kind, origin("kind", judged)),
        EntryLine("aisle", one.aisle, origin("aisle", judged)),
        EntryLine("allergens", carried, origin("allergens", judged)),
        EntryLine("on a label", one.label or one.name, origin("label", judged)),
        EntryLine("storage", one.storage, origin("storage", judged)),
    ]
    may = ", ".join(BY_ID[id].everyday for id in IDS if id in one.may_list)
    if may or one.check_pack:
        lines.append(
            EntryLine("check its pack", one.check_pack or may, origin("check_pack", judged))
        )
    if one.parts:
        parts = ", ".join(part.name for part in one.parts)
        lines.append(EntryLine("parts", parts, origin("parts", judged)))
    for name, field, value in (
        ("a teaspoon", "g_per_ml", None if one.g_per_ml is None else one.g_per_ml * TSP_ML),
        ("one weighs", "g_per_each", one.g_per_each),
    ):
        if value is not None:
            lines.append(EntryLine(name, f"{plain(value, 2)} g", origin(field, shipped)))
    if one.water_percent is not None:
        water = f"{plain(one.water_percent, 1)} %"
        lines.append(EntryLine("water in it", water, origin("water_percent", shipped)))
    if one.edible_percent != 100:
        trim = f"{plain(100 - one.edible_percent, 1)} %"
        lines.append(EntryLine("trim", trim, origin("edible_percent", shipped)))
    if one.keeps_days is not None:
        lines.append(EntryLine("keeps", f"{one.keeps_days} days", origin("keeps_days", shipped)))
    if one.nutrition is not None:
        facts = one.nutrition
        for name, grams in (
            ("fat", facts.fat_g),
            ("saturates", facts.saturates_g),
            ("carbohydrate, no fibre", facts.carbohydrate_g),
            ("sugars", facts.sugars_g),
            ("fibre", facts.fibre_g),
            ("protein", facts.protein_g),
            ("sodium", None if facts.sodium_mg is None else facts.sodium_mg / 1000),
        ):
            if grams is not None:
                lines.append(
                    EntryLine(f"{name} in 100 g", f"{plain(Fraction(grams), 3)} g", facts.source)
                )
    for pack in one.packs:
        said = "no price" if pack.price is None else _money(pack.price, currency)
        most = "" if pack.most is None else f", at most {pack.most}"
        lines.append(EntryLine("pack", f"{show_amount(pack.size)}, {said}{most}", OWN))
    if one.note:
        lines.append(EntryLine("note", one.note, shipped))
    return tuple(lines)


def _money(coins: int, currency: str) -> str:
    places = coin_places(currency)
    whole, part = divmod(coins, 10**places)
    amount = f"{whole}.{part:0{places}d}" if places else f"{whole}"
    return f"{currency} {amount}".strip()
