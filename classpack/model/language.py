"""What a language says where no template is asked: labels, tables, codes, calendars, and the names of allergens.

English stands here; every other language brings all of it in its own folder of words, so that nothing comes out English by
accident. What sheets say stands in ``templates/words/<language>/`` alone.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from classpack.model.allergens import ALLERGENS, BY_ID, label_name

TEXTS: Mapping[str, str] = {
    "ingredients": "Ingredients: {list}.",
    "two percent or less": "Contains 2% or less of: {list}.",
    "contains": "Contains: {list}.",
    "contains in Australia": "Contains {list}.",
    "may contain": "May contain: {list}.",
    "pack read": "its pack was read on {date}; read it again when you buy",
    "pack read lists no": "its pack was read on {date} and lists no {names}; read it again when you buy",
    "made with": "made with {grams} g per 100 g",
    "code proof": "{stage} {time}.",
    "code bulk proof": "bulk proof",
    "code final proof": "final proof",
    "code bake": "bake {time} at {conventional} C, fan {fan} C.",
    "hours": "h",
    "minutes": "min",
    "cell sign": ",",
    "shopping columns": "aisle, item, unit, need, have, buy, left over, cost, its pack must not list, check the pack",
    "shopping cupboard": "in the cupboard: check, do not buy",
    "shopping total": "total",
    "each": "each",
    "named animal": "",
    "named meat": "",
    "named pork": "",
    "named alcohol": "",
    "names that only sound so": "",
    "aisle vegetables": "vegetables",
    "aisle herbs and spices": "herbs and spices",
    "aisle dairy and eggs": "dairy and eggs",
    "aisle cheese": "cheese",
    "aisle plant-based": "plant-based",
    "aisle fish and meat": "fish and meat",
    "aisle flour": "flour",
    "aisle leavening and salt": "leavening and salt",
    "aisle sugars and syrups": "sugars and syrups",
    "aisle baking": "baking",
    "aisle nuts and seeds": "nuts and seeds",
    "aisle dried fruit": "dried fruit",
    "aisle oils and vinegars": "oils and vinegars",
    "aisle tins and jars": "tins and jars",
    "aisle drinks": "drinks",
    "aisle other": "other",
    "aisle water": "water",
    "weighing columns": "turn, holds, ingredient, for, place, grams, count, scale step g, divides as",
    "for station": "station",
    "for seat": "seat",
    "for class": "class",
    "for preferment": "preferment",
    "for demonstration": "demonstration",
    "for spare": "spare",
    "for allowance": "allowance",
    "shared by all": "all",
    "shared dough": "dough",
    "part dough": "{amount} for dough",
    "part topping": "{amount} on top",
    "part filling": "{amount} for filling",
    "part glaze": "{amount} to glaze",
    "part dusting": "{amount} for dusting",
    "part oiling": "{amount} for oiling",
    "part preferment": "{amount} for the preferment",
    "part of a bread": "{part} ({bread})",
    "fridge lot": "lot {lot} of {lots}",
    "calendar weigh": "Weigh out: {title}",
    "calendar weigh text": "Weigh and cover: {names}.",
    "calendar mix": "Mix the {name}: {title}",
    "calendar mix text": "{amounts}. Leave it at {heat} °C.",
    "calendar set up": "Set up: {title}",
    "calendar set up text": "Benches, tubs, kit. The first oven is switched on at {clock}.",
    "calendar class text": "{lesson}. {people} people.",
}
"""English, and the names of what every language must say. ``cell sign`` parts the cells of a table.

``named …`` are words (or parts of them) that give away what diets ask about; English has them with its needs. They do not count
inside ``names that only sound so``, where ``a > b`` says that an ``a`` is to be read as a ``b``.
"""

SPOKEN_NEEDS = (
    "none",
    "coeliac",
    "tree nuts",
    "all nuts",
    "shellfish",
    "milk",
    "vegan",
    "vegetarian",
    "no alcohol",
    "no pork",
    "pregnant",
    "immune-weak",
    "asthma",
)
"""Needs that a language other than English has its own words for; allergens have theirs already."""

_PLACE = re.compile(r"\{(\w+)\}")


def places(text: str) -> frozenset[str]:
    """The names in braces that are filled in.

    >>> sorted(places("{stage} {time}."))
    ['stage', 'time']
    """
    return frozenset(_PLACE.findall(text))


@dataclass(frozen=True, slots=True)
class AllergenWords:
    """An allergen in another language: its name on a label, and the parts of words (small letters) that name it already.

    What gives it away without naming it (``käse`` is milk) is for :mod:`classpack.food_words` to say.
    """

    name: str
    words: tuple[str, ...]


_SAID = {
    name.lower(): one.id
    for one in ALLERGENS
    for name in (one.id, one.eu, one.us, one.anz, one.everyday, *one.words)
    if name
}


@dataclass(frozen=True, slots=True)
class Language:
    """A language. ``allergens`` by id, all or (in English, where each region's law has its own names) none.

    ``decimal`` is the sign before decimals. ``needs`` are words that people write for what they must not
    have, by the English need they stand for (:data:`SPOKEN_NEEDS`).
    """

    code: str = "en"
    texts: Mapping[str, str] = field(default_factory=lambda: TEXTS)
    allergens: Mapping[str, AllergenWords] = field(default_factory=dict)
    decimal: str = "."
    needs: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def text(self, key: str, **values: object) -> str:
        """A text with its places filled in.

        Raises:
            KeyError: a value for one of them is missing.
        """
        given = {name: str(value) for name, value in values.items()}
        return _PLACE.sub(lambda match: given[match[1]], self.texts[key])

    def columns(self, key: str) -> tuple[str, ...]:
        """The heads of a table, or another list of words."""
        return tuple(name.strip() for name in self.texts[key].split(",") if name.strip())

    def without_lookalikes(self, names: str) -> str:
        """Names (small letters) with words that only sound like an allergen put right: buckwheat is no wheat."""
        for entry in self.columns("names that only sound so"):
            word, _, means = (part.strip() for part in entry.partition(">"))
            names = names.replace(word, f" {means} ")
        return names

    def number(self, shown: str) -> str:
        """A number that is shown with a decimal point, as this language writes it."""
        return shown.replace(".", self.decimal)

    def label(self, allergen: str, region: str) -> str:
        """What a label there calls the allergen; empty where the region's law does not list it."""
        name = label_name(allergen, region)
        return self.allergens[allergen].name if name and self.allergens else name

    def words(self, allergen: str) -> tuple[str, ...]:
        """What names an allergen already, longest first."""
        return self.allergens[allergen].words if self.allergens else BY_ID[allergen].words

    def allergen(self, said: str) -> str:
        """An allergen's everyday name, from its id or from any of its English names; ``gluten`` is what these regions add.

        Raises:
            KeyError: it is no allergen.
        """
        if not self.allergens:
            return BY_ID[said].everyday if said in BY_ID else said
        return self.allergens[_SAID[said.lower()]].name

    def aisle(self, name: str) -> str:
        """An aisle of the shipped larder by its name here; one that the tutor named as it was written."""
        return self.texts.get(f"aisle {name}", name)

    def need(self, said: str) -> str:
        """What somebody must not have: an allergen by its name here, anything else as it was written."""
        return self.allergen(said) if said.lower() in _SAID else said


ENGLISH = Language()
