"""The larder: ingredients, what they hold, and the packs they are sold in."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal, get_args

from classpack.errors import Spot
from classpack.model.own_measures import OwnMeasures
from classpack.quantities import Amount

IngredientKind = Literal[
    "flour", "water", "salt", "yeast", "starter", "fat", "sugar", "milk", "egg", "other"
]
KINDS: tuple[IngredientKind, ...] = get_args(IngredientKind)
"""What an ingredient is in a dough. Flours make the 100 % of a formula; a starter is flour and water."""

YeastForm = Literal["fresh", "active dry", "instant"]
YEAST_FORMS: tuple[YeastForm, ...] = get_args(YeastForm)
Storage = Literal["ambient", "chilled", "frozen"]
STORAGE: tuple[Storage, ...] = get_args(Storage)

AISLES = (
    "vegetables",
    "herbs and spices",
    "dairy and eggs",
    "cheese",
    "plant-based",
    "fish and meat",
    "flour",
    "leavening and salt",
    "sugars and syrups",
    "baking",
    "nuts and seeds",
    "dried fruit",
    "oils and vinegars",
    "tins and jars",
    "drinks",
    "other",
    "water",
)
"""The aisles of the shipped larder in a usual order of a shop; the tutor's own list goes first."""

TAGS = ("animal", "meat", "pork", "rennet", "alcohol")
"""What diets ask about. ``animal``: from an animal, so not vegan. ``meat``: flesh, fish, lard or gelatine. ``rennet``: a cheese
usually made with rennet of slaughtered animals. An ingredient may carry several."""


@dataclass(frozen=True, slots=True)
class Nutrition:
    """What 100 g hold. ``carbohydrate_g`` is without fibre (EU 1169/2011, Annex I); None is 'not in the source'."""

    fat_g: Fraction
    saturates_g: Fraction | None
    carbohydrate_g: Fraction
    sugars_g: Fraction | None
    fibre_g: Fraction | None
    protein_g: Fraction
    sodium_mg: Fraction | None
    source: str
    alcohol_g: Fraction = Fraction(0)
    polyols_g: Fraction = Fraction(0)
    organic_acids_g: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class ShopPack:
    """One pack as shops sell it. ``price`` in the smallest coin (pence, cents), None when not known."""

    size: Amount
    price: int | None = None
    most: int | None = None
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Part:
    """One ingredient inside a bought, compound ingredient (margarine, olives in brine)."""

    name: str
    allergens: frozenset[str] = frozenset()
    parts: tuple[Part, ...] = ()

    @property
    def carries(self) -> frozenset[str]:
        """What it and its own parts carry."""
        return self.allergens.union(*(one.carries for one in self.parts))


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One ingredient. ``allergens`` are ids of :mod:`classpack.model.allergens`, stated in the file, never guessed.

    ``label`` is its name in an ingredient list, ``label_us`` the one in the US where it differs; ``species`` names the
    fish, crustacean or animal where US law wants it. ``check_pack`` says what only the pack can tell and ``may_list`` holds
    the allergens that packs of it often list. ``g_per_ml`` and ``g_per_each`` turn spoons and counts into grams and
    are None when no source gives them. ``water_percent`` is the water inside it, per 100 g.
    ``edible_percent`` is what is left after trimming. ``source`` and ``source_id`` say where the values come from, ``note``
    what is odd about them, ``pack_read_on`` when the tutor read its pack, ``given`` which fields the tutor's own larder wrote.
    """

    name: str
    kind: IngredientKind
    aisle: str
    allergens: frozenset[str]
    label: str = ""
    storage: Storage = "ambient"
    yeast_form: YeastForm | Literal[""] = ""
    g_per_ml: Fraction | None = None
    g_per_each: Fraction | None = None
    water_percent: Fraction | None = None
    edible_percent: Fraction = Fraction(100)
    keeps_days: int | None = None
    bought: bool = True
    check_pack: str = ""
    parts: tuple[Part, ...] = ()
    packs: tuple[ShopPack, ...] = ()
    nutrition: Nutrition | None = None
    source: str = ""
    source_id: str = ""
    tags: frozenset[str] = frozenset()
    label_us: str = ""
    species: str = ""
    may_list: frozenset[str] = frozenset()
    note: str = ""
    pack_read_on: datetime.date | None = None
    given: frozenset[str] = field(default=frozenset(), compare=False)
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Larder:
    """All ingredients by name, in file order; the tutor's own entries have replaced the package's.

    ``aisles`` is the shop's order. ``currency`` is the ISO 4217 code the prices are in, empty when not said. ``measures`` is
    what the tutor has said about theirs. ``renamed`` holds what a region calls an entry, by its shipped name.
    """

    ingredients: tuple[Ingredient, ...]
    aisles: tuple[str, ...] = ()
    currency: str = ""
    measures: OwnMeasures = field(default_factory=OwnMeasures)
    renamed: Mapping[str, str] = field(default_factory=dict)
    _by_name: dict[str, Ingredient] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        self._by_name.update({one.name: one for one in self.ingredients})

    def get(self, name: str) -> Ingredient | None:
        """The ingredient called ``name``, or None."""
        return self._by_name.get(self.own_name(name))

    def __getitem__(self, name: str) -> Ingredient:
        return self._by_name[self.own_name(name)]

    def own_name(self, name: str) -> str:
        """What this larder calls the entry shipped as ``name``."""
        return self.renamed.get(name, name)

    def shipped_name(self, name: str) -> str:
        """The shipped name of the entry this larder calls ``name``."""
        return next((shipped for shipped, own in self.renamed.items() if own == name), name)

    def called(self, renamed: Mapping[str, str]) -> Larder:
        """The same larder with entries called otherwise; one whose new name is taken already keeps its own."""
        new = {
            old: name
            for old, name in renamed.items()
            if old in self._by_name and name not in self._by_name
        }
        entries = (replace(one, name=new.get(one.name, one.name)) for one in self.ingredients)
        return replace(self, ingredients=tuple(entries), renamed=new, _by_name={})

    @property
    def names(self) -> tuple[str, ...]:
        """All names, in file order."""
        return tuple(self._by_name)
