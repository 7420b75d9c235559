"""The ingredient list of a product, in the form of one region, as we read its rules. Not checked for sale.

Rules and where they stand:
- order by weight as put in the bowl, water as what is left of it in the finished food, and left out when not above 5 %:
  Regulation (EU) No 1169/2011, Art. 18 and Annex VII part A (details from memory). Bread loses water in the oven, so water
  moves down. Australia and New Zealand: Food Standards Code, Standard 1.2.4, water under 5 % need not be listed.
- compound ingredients at their own weight with their parts in brackets: Annex VII part E (from memory).
- the amount in % of what the name stresses, weight at mixing over finished weight; above 100 % as grams for 100 g:
  Art. 22 and Annex VIII (from memory); AU/NZ Standard 1.2.10 counts moisture loss the same way.
- US: weight at mixing, what is 2 % or less last: 21 CFR 101.4(a). No rule for water lost in the oven was found.
- allergens emphasised wherever they stand: Art. 21(1)(b).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Ingredient, Part
from classpack.planning.labels.contains import (
    ContainsLine,
    LabelSpan,
    around,
    carried,
    contains_line,
    in_order,
    label_name,
    may_contain_line,
    named_spans,
    plain_text,
)
from classpack.quantities import plain

WATER_LEFT_OUT_PERCENT = Fraction(5)
US_LAST_PERCENT = Fraction(2)
NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class ListItem:
    """One entry. ``grams`` is the weight it is ordered by, ``percent`` of the finished food."""

    ingredients: tuple[str, ...]
    spans: tuple[LabelSpan, ...]
    grams: Fraction
    percent: Fraction

    @property
    def text(self) -> str:
        """The entry as plain text."""
        return plain_text(self.spans)


@dataclass(frozen=True, slots=True)
class IngredientList:
    """The list of one product. ``last`` are the US entries of 2 % or less. ``water_left_out`` says that water went in
    and does not stand in the list. ``contains`` is printed with the list in the US, AU and NZ and kept for cards elsewhere.
    ``to_copy`` names what the label must take from its own pack: UK flour, which is fortified by law.
    """

    region: str
    items: tuple[ListItem, ...]
    last: tuple[ListItem, ...]
    contains: ContainsLine
    may_contain: tuple[LabelSpan, ...] = ()
    water_left_out: bool = False
    to_copy: tuple[str, ...] = ()
    language: Language = field(default=ENGLISH, repr=False)

    @property
    def spans(self) -> tuple[LabelSpan, ...]:
        """``Ingredients: ...`` with everything that belongs on the label after it."""
        found = [*around(self.language.texts["ingredients"], _joined(self.items))]
        if self.last:
            last = around(self.language.texts["two percent or less"], _joined(self.last))
            found += [LabelSpan(" "), *last]
        if self.region in ("US", "AU", "NZ") and self.contains.names:
            lead = "contains" if self.region == "US" else "contains in Australia"
            names: list[LabelSpan] = []
            for name in self.contains.names:
                names += [LabelSpan(", ")] * bool(names) + [LabelSpan(name, True)]
            found += [LabelSpan(" "), *around(self.language.texts[lead], names)]
        if self.may_contain:
            found += [LabelSpan(" "), *self.may_contain]
        return tuple(found)

    @property
    def text(self) -> str:
        """The list as plain text; the capitals alone then carry the emphasis."""
        return plain_text(self.spans)


def ingredient_list(
    used: Sequence[tuple[Ingredient, Fraction]],
    finished_g: Fraction,
    region: str,
    stressed: Collection[str] = (),
    may_contain: Collection[str] = (),
    language: Language = ENGLISH,
) -> IngredientList:
    """The ingredient list of a food.

    Args:
        used: every ingredient with its grams as put in the bowl or on top, above 0; equal weights keep this order.
        finished_g: what the food weighs out of the oven, above 0.
        region: UK, EU, US, AU or NZ.
        stressed: names of ingredients that the product's name or picture stresses.
        may_contain: allergen ids of the tutor's own risk statement.
        language: what it is written in; names of ingredients are the larder's own.
    """
    groups: dict[
        tuple[str, frozenset[str], tuple[Part, ...]], list[tuple[Ingredient, Fraction]]
    ] = {}
    for one, grams in used:
        key = (_label(one, region), carried((one,)), one.parts)
        groups.setdefault(key, []).append((one, grams))
    others = sum((grams for one, grams in used if one.kind != "water"), Fraction(0))
    water_g = finished_g - others
    left_out = False
    items: list[ListItem] = []
    for (label, ids, parts), members in groups.items():
        grams = sum((grams for _, grams in members), Fraction(0))
        mixed_percent = 100 * grams / finished_g
        if region != "US" and members[0][0].kind == "water":
            if _may_be_left_out(100 * water_g / finished_g, region):
                left_out = True
                continue
            grams = water_g
        names = tuple(one.name for one, _ in members)
        asked = region != "US" and any(name in stressed for name in names)
        spans = _entry(
            label, ids, parts, members[0][0], region, mixed_percent if asked else None, language
        )
        items.append(ListItem(names, spans, grams, 100 * grams / finished_g))
    items.sort(key=lambda item: -item.grams)
    last: list[ListItem] = []
    if region == "US":
        last = [item for item in items if item.percent <= US_LAST_PERCENT]
        items = [item for item in items if item.percent > US_LAST_PERCENT]
        if items:
            items[0] = _capitalised(items[0])
    ingredients = [one for one, _ in used]
    return IngredientList(
        region,
        tuple(items),
        tuple(last),
        contains_line(ingredients, region),
        may_contain_line(may_contain, region, carried(ingredients), language),
        left_out,
        tuple(one.name for one in ingredients if region == "UK" and _fortified(one)),
        language,
    )


def amount_percent(percent: Fraction, language: Language = ENGLISH) -> str:
    """A stated amount: whole percent from 5 up, else one decimal, two under 0.1; as grams for 100 g above 100 %.

    >>> amount_percent(Fraction("9.27")).replace(NO_BREAK_SPACE, " "), amount_percent(Fraction(104))
    ('9 %', 'made with 104 g per 100 g')
    """
    if percent > 100:
        return language.text("made with", grams=plain(percent, 0))
    places = 0 if percent >= 5 else 1 if percent >= Fraction(1, 10) else 2
    return f"{language.number(plain(percent, places))}{NO_BREAK_SPACE}%"


def _may_be_left_out(percent: Fraction, region: str) -> bool:
    """EU and UK: water not above 5 %. AU and NZ: less than 5 %, Standard 1.2.4-3(2)(c)(iii)."""
    if region in ("AU", "NZ"):
        return percent < WATER_LEFT_OUT_PERCENT
    return percent <= WATER_LEFT_OUT_PERCENT


def _fortified(one: Ingredient) -> bool:
    """UK wheat flour other than wholemeal holds added calcium carbonate, iron, thiamin and niacin, from the end of 2026
    folic acid too (Bread and Flour Regulations 1998, Schedule 1, amended 2024): its pack lists them, this table does not.
    """
    whole = any(word in one.label.lower() for word in ("whole", "semolina", "bran", "germ"))
    return one.kind == "flour" and "gluten:wheat" in one.allergens and not whole


def _label(one: Ingredient, region: str) -> str:
    return (one.label_us if region == "US" else "") or one.label or one.name


def _entry(
    label: str,
    ids: frozenset[str],
    parts: tuple[Part, ...],
    one: Ingredient,
    region: str,
    percent: Fraction | None,
    language: Language,
) -> tuple[LabelSpan, ...]:
    """A name, its amount if asked, its parts, and last every allergen that none of these has named."""
    marked = _marked(ids, region)
    name, named = named_spans(label, marked, region, language)
    spans = list(name)
    if percent is not None:
        spans.append(LabelSpan(f" ({amount_percent(percent, language)})"))
    inside: list[LabelSpan] = []
    for number, part in enumerate(parts):
        part_spans, part_named = _part(part, region, language)
        inside += [LabelSpan(", ")] * (number > 0) + list(part_spans)
        named |= part_named
    for id in in_order(marked - named):
        if inside:
            inside.append(LabelSpan(", "))
        inside.append(_name_span(id, one, region, language))
    if inside:
        spans += [LabelSpan(" ("), *inside, LabelSpan(")")]
    return tuple(spans)


def _part(
    part: Part, region: str, language: Language
) -> tuple[tuple[LabelSpan, ...], frozenset[str]]:
    marked = _marked(part.allergens, region)
    name, named = named_spans(part.name, marked, region, language)
    spans = list(name)
    inside: list[LabelSpan] = []
    for below in part.parts:
        below_spans, below_named = _part(below, region, language)
        inside += [LabelSpan(", ")] * bool(inside) + list(below_spans)
        named |= below_named
    for id in in_order(marked - named):
        inside += [LabelSpan(", ")] * bool(inside) + [_name_span(id, None, region, language)]
    if inside:
        spans += [LabelSpan(" ("), *inside, LabelSpan(")")]
    return tuple(spans), named | marked


def _marked(ids: frozenset[str], region: str) -> frozenset[str]:
    """The allergens that a list names: those the region lists, and in the US sulphites too (21 CFR 101.100(a)(4), from memory)."""
    return frozenset(
        id for id in ids if label_name(id, region) or (region == "US" and id == "sulphites")
    )


def _name_span(id: str, one: Ingredient | None, region: str, language: Language) -> LabelSpan:
    if region != "US":
        return LabelSpan(language.label(id, region).upper(), True)
    if id == "sulphites":
        return LabelSpan("sulfites")
    if one is not None and one.species and id in ("fish", "crustaceans", "milk", "eggs"):
        return LabelSpan(one.species)
    return LabelSpan(label_name(id, region).lower())


def _capitalised(item: ListItem) -> ListItem:
    first, *rest = item.spans
    start = LabelSpan(first.text[:1].upper() + first.text[1:], first.emphasised)
    return ListItem(item.ingredients, (start, *rest), item.grams, item.percent)


def _joined(items: Sequence[ListItem]) -> list[LabelSpan]:
    found: list[LabelSpan] = []
    for number, item in enumerate(items):
        found += [LabelSpan(", ")] * (number > 0) + list(item.spans)
    return found
