"""The larder: ingredients, what they hold, and the packs they are sold in."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from classpack.errors import Spot
from classpack.quantities import Amount

KINDS = ("flour", "water", "salt", "yeast", "starter", "fat", "sugar", "milk", "egg", "other")
"""What an ingredient is in a dough. Flours make the 100 % of a formula; a starter is flour and water."""

YEAST_FORMS = ("fresh", "active dry", "instant")


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


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One ingredient. ``allergens`` are ids of :mod:`classpack.planning.allergens`, stated in the file, never guessed.

    ``label`` is its name in an ingredient list. ``g_per_ml`` and ``g_per_each`` turn spoons and counts into grams and
    are None when no source gives them. ``water_percent`` is the water inside it, per 100 g.
    ``edible_percent`` is what is left after trimming. ``source`` says where the values come from.
    """

    name: str
    kind: str
    aisle: str
    allergens: frozenset[str]
    label: str = ""
    storage: str = "ambient"
    yeast_form: str = ""
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
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Larder:
    """All ingredients by name, in file order; the tutor's own entries have replaced the package's."""

    ingredients: tuple[Ingredient, ...]
    aisles: tuple[str, ...] = ()
    _by_name: dict[str, Ingredient] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        self._by_name.update({one.name: one for one in self.ingredients})

    def get(self, name: str) -> Ingredient | None:
        """The ingredient called ``name``, or None."""
        return self._by_name.get(name)

    def __getitem__(self, name: str) -> Ingredient:
        return self._by_name[name]

    @property
    def names(self) -> tuple[str, ...]:
        """All names, in file order."""
        return tuple(self._by_name)
