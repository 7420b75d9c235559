"""The tutor's own larder file: ingredients, their allergens, parts, weights and packs.

    larder: Hollow Lane kitchen
    currency: GBP
    aisles: [vegetables, dairy and eggs, flour]
    ingredients:
      strong white flour:
        allergens: wheat
        packs: [1.5 kg at 1.30, 16 kg at 11.50 at most 2]
      seeded mix:
        allergens: [sesame, oats]
        aisle: nuts and seeds
        parts:
          sesame seeds: sesame
          oats: oats
          sunflower seeds: none

An entry adds an ingredient, or overrides the shipped one of the same name field by field; only allergens must always be said
again, because they are those of the pack that was bought.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from classpack.errors import LessonError, Problem, Spot
from classpack.model.allergens import BY_ID as ALLERGEN
from classpack.model.allergens import GROUPS, WORDS, allergen_id
from classpack.model.larder import (
    AISLES,
    KINDS,
    STORAGE,
    TAGS,
    YEAST_FORMS,
    Ingredient,
    Larder,
    Nutrition,
    Part,
    ShopPack,
)
from classpack.model.money import coin_places
from classpack.quantities import (
    TBSP_ML,
    TSP_ML,
    NotUnderstood,
    parse_amount,
    parse_grams,
    parse_percent,
)
from classpack.reading.sections import Section, nearest
from classpack.reading.shipped_larder import CREDITS, package_larder
from classpack.reading.yaml_lines import Fields, Node, Text, read_nodes

__all__ = ["CREDITS", "merged", "package_larder", "parse_pack", "read_larder"]

PACK_EXAMPLE = "1.5 kg at 1.30"
_PACK = re.compile(r"(?P<size>.+?)(?:\s+at\s+(?P<price>[^a-z]*?))?(?:\s+at most\s+(?P<most>\S+))?")
_CURRENCY = re.compile(r"[A-Z]{3}")


def read_larder(text: str, file: str) -> Larder:
    """The larder file ``text``. ``file`` is its path as the tutor knows it.

    Raises:
        LessonError: with every problem in the file.
    """
    problems: list[Problem] = []
    top = Section(read_nodes(text, file), "the larder", problems, Spot(file, 1))
    top.text("larder")
    currency = top.text("currency")
    if currency and not _CURRENCY.fullmatch(currency):
        top.problem(
            top.spot_of("currency"),
            f"the currency is '{currency}'",
            "write its three letters, as in 'GBP', 'EUR' or 'USD'",
        )
    aisles = tuple(dict.fromkeys(one.value for one in top.texts("aisles")))
    entries = top.fields("ingredients", "each ingredient below 'ingredients:'")
    known_aisles = (*aisles, *(one for one in AISLES if one not in aisles))
    found = [
        _ingredient(key, node, known_aisles, coin_places(currency), problems)
        for key, node in entries
    ]
    top.close()
    if problems:
        raise LessonError(problems)
    return Larder(tuple(one for one in found if one is not None), aisles, currency)


def merged(package: Larder, own: Larder) -> Larder:
    """``package`` with the tutor's ``own`` entries laid over it.

    An own entry with a shipped name replaces the fields it gives and keeps the rest. It may add allergens but not take one
    away: a product that carries less is another product and needs a name of its own. Shipped order first, then own order.

    Raises:
        LessonError: an entry takes an allergen away, is sold by a measure that nothing turns into grams, or is a new flour,
            yeast or starter that does not say so.
    """
    problems: list[Problem] = []
    joined: dict[str, Ingredient] = {one.name: one for one in package.ingredients}
    for one in own.ingredients:
        shipped = joined.get(one.name)
        if shipped is not None:
            lost = [id for id in ALLERGEN if id in shipped.allergens - one.allergens]
            if lost:
                names = " and ".join(ALLERGEN[id].everyday for id in lost)
                problems.append(
                    Problem(
                        one.spot or Spot("", 1),
                        f"{one.name} is said not to carry {names}, which it carries in the shipped larder",
                        f"add {names}, or give this product a name of its own",
                    )
                )
            one = replace(
                shipped,
                **{name: getattr(one, name) for name in one.given},
                given=one.given,
                spot=one.spot,
            )
        elif "kind" not in one.given and (word := _dough_word(one.name)):
            problems.append(
                Problem(
                    one.spot or Spot("", 1),
                    f"{one.name} does not say what it is in a dough",
                    f"write 'kind: {word}', or 'kind: other' if it does not count as {word}",
                )
            )
        joined[one.name] = one
        for pack in one.packs:
            if pack.size.unit == "ml" and one.g_per_ml is None:
                problems.append(
                    Problem(
                        pack.spot or one.spot or Spot("", 1),
                        f"{one.name} is sold by volume and has no weight for it",
                        "add what a litre of it weighs, as in 'litre: 920 g'",
                    )
                )
    if problems:
        raise LessonError(problems)
    order = own.aisles or package.aisles
    aisles = (*order, *(one for one in package.aisles if one not in order))
    return Larder(tuple(joined.values()), aisles, own.currency or package.currency)


def _dough_word(name: str) -> str:
    """A kind that the name of a new ingredient speaks of, which no one should have to guess."""
    words = name.lower().split()
    return next((kind for kind in ("flour", "yeast", "starter") if kind in words), "")


# ---------------------------------------------------------------- one ingredient


def _ingredient(
    key: Text, node: Node, aisles: tuple[str, ...], places: int, problems: list[Problem]
) -> Ingredient | None:
    name = key.value
    if not isinstance(node, Fields):
        problems.append(
            Problem(
                key.spot,
                f"{name} is not a section",
                "write its fields below it, first 'allergens: ...'",
            )
        )
        return None
    entry = Section(node, name, problems)
    given = {field for key_, _ in node.fields for field in _FIELDS_OF.get(key_.value, ())}
    allergens = _allergens(entry, key)
    g_per_ml = _spoon(entry)
    edible = entry.read("trim", lambda text: 100 - parse_percent(text, "the trim", "10 %"))
    if edible is not None and edible <= 0:
        entry.problem(entry.spot_of("trim"), "the trim leaves nothing", "it must be below 100 %")
        edible = None
    one = Ingredient(
        name=name,
        kind=entry.choice("kind", KINDS, default="other"),
        aisle=entry.choice("aisle", aisles, default="other"),
        allergens=allergens or frozenset(),
        label=entry.text("label", default=name),
        storage=entry.choice("storage", STORAGE, default="ambient"),
        yeast_form=entry.choice("yeast form", YEAST_FORMS),
        g_per_ml=g_per_ml,
        g_per_each=entry.read("each", lambda text: parse_grams(text, "the piece", "50 g")),
        water_percent=entry.read("water", lambda text: _at_most_all(text, "the water", "16 %")),
        edible_percent=edible or Fraction(100),
        keeps_days=entry.read("keeps", _days),
        bought=entry.yes_no("bought", True),
        check_pack=entry.text("check the pack"),
        parts=_parts(entry, allergens),
        packs=_packs(entry, places),
        nutrition=_nutrition(entry),
        source=entry.text("source", default="the tutor's larder"),
        tags=frozenset(
            one.value for one in entry.texts("tags") if _known(one, TAGS, "tag", problems)
        ),
        label_us=entry.text("label in the US"),
        species=entry.text("species"),
        given=frozenset(given | {"allergens"}),
        spot=key.spot,
    )
    if one.kind == "yeast" and "kind" in one.given and not one.yeast_form:
        forms = ", ".join(YEAST_FORMS)
        entry.problem(key.spot, f"{name} has no 'yeast form'", f"write one of: {forms}")
    entry.close()
    return one if allergens is not None else None


_FIELDS_OF: dict[str, tuple[str, ...]] = {
    "kind": ("kind",),
    "aisle": ("aisle",),
    "allergens": ("allergens",),
    "label": ("label",),
    "label in the US": ("label_us",),
    "species": ("species",),
    "storage": ("storage",),
    "yeast form": ("yeast_form",),
    "teaspoon": ("g_per_ml",),
    "tablespoon": ("g_per_ml",),
    "litre": ("g_per_ml",),
    "each": ("g_per_each",),
    "water": ("water_percent",),
    "trim": ("edible_percent",),
    "keeps": ("keeps_days",),
    "bought": ("bought",),
    "check the pack": ("check_pack",),
    "parts": ("parts",),
    "packs": ("packs",),
    "nutrition": ("nutrition",),
    "source": ("source",),
    "tags": ("tags",),
}


def _known(one: Text, choices: tuple[str, ...], what: str, problems: list[Problem]) -> bool:
    if one.value in choices:
        return True
    problems.append(
        Problem(one.spot, f"no {what} '{one.value}' is known", nearest(one.value, choices))
    )
    return False


def _allergens(entry: Section, key: Text) -> frozenset[str] | None:
    """The stated allergens; None and a problem where nothing usable is stated."""
    if not entry.has("allergens"):
        entry.asked.add("allergens")
        word = next(
            (one for one in key.value.lower().split() if allergen_id(one)),
            "milk",
        )
        entry.problem(
            key.spot,
            f"{key.value} has no allergens line",
            f"write 'allergens: {word}', or 'none' if it carries none",
        )
        return None
    return _allergen_words(
        entry.texts("allergens"), entry.spot_of("allergens"), key.value, entry.problems
    )


def _allergen_words(
    texts: tuple[Text, ...], spot: Spot, name: str, problems: list[Problem]
) -> frozenset[str] | None:
    words = [
        (word.strip().lower(), text.spot)
        for text in texts
        for word in text.value.split(",")
        if word.strip()
    ]
    if not words:
        problems.append(
            Problem(
                spot,
                f"{name} has an empty allergens line",
                "write each allergen, or 'none' if it carries none",
            )
        )
        return None
    if [word for word, _ in words] == ["none"]:
        return frozenset()
    found: set[str] = set()
    good = True
    for word, spot in words:
        known = allergen_id(word)
        if known:
            found.add(known)
            continue
        good = False
        if word == "none":
            problems.append(
                Problem(spot, f"{name} has 'none' beside other allergens", "keep one of the two")
            )
        elif word in GROUPS:
            members = ", ".join(ALLERGEN[id].words[-1] for id in GROUPS[word])
            problems.append(
                Problem(spot, f"'{word}' does not say which", f"name each of: {members}")
            )
        else:
            problems.append(
                Problem(spot, f"no allergen '{word}' is known", nearest(word, ("none", *_CHOICES)))
            )
    return frozenset(found) if good else None


_CHOICES = tuple(word for word in WORDS if ":" not in word)


def _spoon(entry: Section) -> Fraction | None:
    """Grams a millilitre, from what one spoon or litre weighs."""
    found: list[Fraction] = []
    for name, ml in (("teaspoon", TSP_ML), ("tablespoon", TBSP_ML), ("litre", Fraction(1000))):
        grams = entry.read(name, lambda text: parse_grams(text, "the spoon weight", "3.1 g"))
        if grams is not None:
            found.append(grams / ml)
    if len(found) > 1:
        entry.problem(
            entry.spot,
            f"{entry.what} has more than one of 'teaspoon', 'tablespoon' and 'litre'",
            "keep one of them",
        )
    return found[0] if found else None


def _at_most_all(text: str, what: str, example: str) -> Fraction:
    percent = parse_percent(text, what, example)
    if percent > 100:
        raise NotUnderstood(f"{what} is '{text}'", "it cannot be above 100 %")
    return percent


def _days(text: str) -> int:
    match = re.fullmatch(r"([1-9]\d{0,3}) days?", text)
    if match is None:
        raise NotUnderstood(f"it keeps '{text}'", "write days, as in '14 days'")
    return int(match[1])


def _parts(entry: Section, allergens: frozenset[str] | None) -> tuple[Part, ...]:
    parts = _part_list(entry.fields("parts"), entry.problems)
    held: frozenset[str] = frozenset().union(*(all_allergens(one) for one in parts))
    if allergens is not None:
        for id in ALLERGEN:
            if id in held - allergens:
                name = ALLERGEN[id].everyday
                entry.problem(
                    entry.spot_of("parts"),
                    f"a part of {entry.what} carries {name}, and its allergens line does not",
                    f"add '{name}' to the allergens line",
                )
    return parts


def _part_list(fields: tuple[tuple[Text, Node], ...], problems: list[Problem]) -> tuple[Part, ...]:
    parts: list[Part] = []
    for key, node in fields:
        if isinstance(node, Fields):
            inner = Section(node, key.value, problems)
            held = _allergens(inner, key)
            below = _part_list(inner.fields("parts"), problems)
            inner.close()
            parts.append(Part(key.value, held or frozenset(), below))
        else:
            texts = (
                (node,)
                if isinstance(node, Text)
                else tuple(one for one in node.items if isinstance(one, Text))
            )
            held = _allergen_words(texts, node.spot, key.value, problems)
            parts.append(Part(key.value, held or frozenset()))
    return tuple(parts)


def all_allergens(part: Part) -> frozenset[str]:
    """What a part and its own parts carry."""
    return part.allergens.union(*(all_allergens(one) for one in part.parts))


# ---------------------------------------------------------------- packs


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


def _packs(entry: Section, places: int) -> tuple[ShopPack, ...]:
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


# ---------------------------------------------------------------- nutrition


def _nutrition(entry: Section) -> Nutrition | None:
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
