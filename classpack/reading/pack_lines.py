"""What stands on a pack: its size and price, and its nutrition table."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from classpack.model.larder import Nutrition, ShopPack
from classpack.quantities import NotUnderstood, parse_amount, parse_grams
from classpack.reading.sections import Section

PACK_EXAMPLE = "1.5 kg at 1.30"
_PACK = re.compile(r"(?P<size>.+?)(?:\s+at\s+(?P<price>[^a-z]*?))?(?:\s+at most\s+(?P<most>\S+))?")


def parse_pack(text: str, places: int = 2) -> tuple[ShopPack, str]:
    """A pack as written, ``1.5 kg at 1.30 at most 2``, and its price as typed. ``places`` are the decimals of a price.

    >>> parse_pack("1.5 kg at 1.30")[0].price
    130
    """
    match = _PACK.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(f"the pack is '{text}'", f"write it as in '{PACK_EXAMPLE}'")
    size = parse_amount(match["size"], "the pack", PACK_EXAMPLE)
    typed = match["price"]
    most = match["most"]
    if most is not None and not re.fullmatch(r"[1-9]\d{0,3}", most):
        raise NotUnderstood(
            f"the most packs are '{most}'",
            f"write a whole number, as in '{PACK_EXAMPLE} at most 2'",
        )
    price = None if typed is None else _price(typed, places)
    return ShopPack(size, price, int(most) if most else None), typed or ""


def _price(typed: str, places: int) -> int:
    example = f"1.{'30'.ljust(places, '0')[:places]}" if places else "130"
    if "," in typed:
        raise NotUnderstood(
            f"the price '{typed}' has a comma", f"write decimals with a point, as in '{example}'"
        )
    if not re.fullmatch(r"\d{1,7}(?:\.\d+)?", typed):
        raise NotUnderstood(
            f"the price is '{typed}'", f"write the number alone, as in '{PACK_EXAMPLE}'"
        )
    whole, _, part = typed.partition(".")
    if len(part) > places:
        raise NotUnderstood(
            f"the price '{typed}' has parts of a coin", f"write whole coins, as in '{example}'"
        )
    return int(whole + part.ljust(places, "0"))


def read_packs(entry: Section, places: int) -> tuple[ShopPack, ...]:
    packs: list[ShopPack] = []
    prices: dict[object, str] = {}
    texts = entry.texts("packs")
    for before, text in zip((None, *texts), texts, strict=False):
        if before and re.fullmatch(r"\d{1,3}", text.value) and re.search(r" at \d+$", before.value):
            # a comma price in a list in brackets has become two entries
            typed = f"{before.value.rpartition(' at ')[2]},{text.value}"
            entry.problem(
                text.spot,
                f"the price '{typed}' has a comma",
                f"write decimals with a point, as in '{typed.replace(',', '.')}'",
            )
            continue
        try:
            pack, typed = parse_pack(text.value, places)
        except NotUnderstood as error:
            entry.problem(text.spot, error.wrong, error.right)
            continue
        if pack.size in prices:
            first = prices[pack.size]
            said = (
                f"a pack of {entry.what} has two prices, {first or 'none'} and {typed or 'none'}"
                if first != typed
                else f"a pack of {entry.what} is given twice"
            )
            entry.problem(text.spot, said, "keep one of them")
            continue
        prices[pack.size] = typed
        packs.append(replace(pack, spot=text.spot))
    return tuple(packs)


def read_nutrition(entry: Section) -> Nutrition | None:
    """Values per 100 g as a European pack prints them: carbohydrate without fibre, salt in grams."""
    table = entry.section("nutrition", f"the nutrition of {entry.what}")
    if table is None:
        return None

    def grams(name: str, needed: bool = False) -> Fraction | None:
        return table.read(
            name, lambda text: _gram_value(text, name), "it, as in '3.5 g'" if needed else ""
        )

    fat, carbohydrate = grams("fat", True), grams("carbohydrate", True)
    protein = grams("protein", True)
    saturates, sugars, fibre, salt = (
        grams("saturates"),
        grams("sugars"),
        grams("fibre"),
        grams("salt"),
    )
    table.close()
    if fat is None or carbohydrate is None or protein is None:
        return None
    if fat + carbohydrate + protein + (fibre or 0) > 100:
        table.problem(
            table.spot,
            f"the nutrition of {entry.what} adds up to more than 100 g",
            "write what 100 g of it hold",
        )
    # EU 1169/2011, Annex I: salt = sodium x 2.5
    sodium_mg = None if salt is None else salt * 1000 / Fraction(5, 2)
    return Nutrition(
        fat, saturates, carbohydrate, sugars, fibre, protein, sodium_mg, f"the pack of {entry.what}"
    )


def _gram_value(text: str, name: str) -> Fraction:
    if text in ("0", "0 g"):
        return Fraction(0)
    value = parse_grams(text, name, "3.5 g")
    if value > 100:
        raise NotUnderstood(f"{name} is '{text}'", "write what 100 g of it hold")
    return value
