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
from functools import partial

from classpack.errors import LessonError, Problem, Spot
from classpack.food_words import read_name
from classpack.model.allergens import BY_ID as ALLERGEN
from classpack.model.larder import (
    AISLES,
    KINDS,
    STORAGE,
    TAGS,
    YEAST_FORMS,
    Ingredient,
    Larder,
)
from classpack.model.money import coin_places
from classpack.model.own_measures import OwnMeasures
from classpack.quantities import (
    HOUSEHOLDS,
    TBSP_ML,
    TSP_ML,
    NotUnderstood,
    parse_amount,
    parse_date,
    parse_grams,
    parse_percent,
    tidied,
)
from classpack.reading.allergen_lines import read_allergens, read_parts
from classpack.reading.pack_lines import parse_pack, read_nutrition, read_packs
from classpack.reading.sections import Section, nearest, parsed
from classpack.reading.shipped_larder import CREDITS, package_larder
from classpack.reading.yaml_lines import Fields, Node, Text, read_nodes

__all__ = ["CREDITS", "merged", "package_larder", "parse_pack", "read_larder"]

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
    measures = _measures(top)
    entries = top.fields("ingredients", "" if measures else "each ingredient below 'ingredients:'")
    known_aisles = (*aisles, *(one for one in AISLES if one not in aisles))
    found = [
        _ingredient(key, node, known_aisles, coin_places(currency), problems)
        for key, node in entries
    ]
    top.close()
    if problems:
        raise LessonError(problems)
    return Larder(
        tuple(one for one in found if one is not None), aisles, currency, measures or OwnMeasures()
    )


def _measures(top: Section) -> OwnMeasures | None:
    """What the tutor's cup, their flour in it and their tins hold, said once for all lessons."""
    section = top.section("measures", "'measures'")
    if section is None:
        return None
    written_in = section.choice("written in", HOUSEHOLDS)
    cup = section.read("cup", lambda t: _millilitres(t, "the cup", "240 ml", 100, 400))
    flour = section.read("cup of flour", _flour_cup)
    tins = {}
    for key, node in section.fields("tins"):
        name = tidied(key.value)
        ml = parsed(node, name, partial(_tin_millilitres, name), top.problems)
        if ml is not None:
            tins[name] = ml
    section.close()
    return OwnMeasures(written_in, cup, flour, tins)


def _millilitres(text: str, what: str, example: str, least: int, most: int) -> Fraction:
    amount = parse_amount(text, what, example)
    if amount.unit == "each" or not least <= amount.value <= most:
        raise NotUnderstood(
            f"{what} is '{text}'", f"fill it with water and weigh that, as in '{example}'"
        )
    return amount.value  # a gram of water is a millilitre


def _tin_millilitres(name: str, text: str) -> Fraction:
    return _millilitres(text, name, "1500 ml", 50, 20_000)


def _flour_cup(text: str) -> Fraction:
    grams = parse_grams(text, "'cup of flour'", "125 g")
    if not 90 <= grams <= 200:
        raise NotUnderstood(
            f"'cup of flour' is '{text}'",
            "a cup of white flour weighs 113 g sifted, 125 g spooned and 139 g scooped; weigh yours",
        )
    return grams


def merged(package: Larder, own: Larder) -> Larder:
    """``package`` with the tutor's ``own`` entries laid over it.

    An own entry with a shipped name replaces the fields it gives and keeps the rest. It may add allergens but not take one
    away: a product that carries less is another product and needs a name of its own. A new one may list what packs of its name
    commonly do, unless its pack was read. Shipped order first, then own order.

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
        elif one.pack_read_on is None:
            may = read_name(one.name).may_hold
            one = replace(one, may_list=(one.may_list | may) - one.allergens)
        if shipped is None and "kind" not in one.given and (word := _dough_word(one.name)):
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
    return Larder(tuple(joined.values()), aisles, own.currency or package.currency, own.measures)


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
    allergens = read_allergens(entry, key)
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
        parts=read_parts(entry, allergens),
        packs=read_packs(entry, places),
        nutrition=read_nutrition(entry),
        source=entry.text("source", default="the tutor's larder"),
        tags=frozenset(
            one.value for one in entry.texts("tags") if _known(one, TAGS, "tag", problems)
        ),
        label_us=entry.text("label in the US"),
        species=entry.text("species"),
        pack_read_on=entry.read("read on the pack", partial(parse_date, what="'read on the pack'")),
        given=frozenset(given | {"allergens"}),
        spot=key.spot,
    )
    if one.kind == "yeast" and "kind" in one.given and not one.yeast_form:
        forms = ", ".join(YEAST_FORMS)
        entry.problem(key.spot, f"{name} has no 'yeast form'", f"write one of: {forms}")
    entry.close()
    return one if allergens is not None else None


_FIELDS_OF: dict[str, tuple[str, ...]] = {
    "read on the pack": ("pack_read_on",),
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
