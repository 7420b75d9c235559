"""The allergen vocabulary: what may be written, what it is called, and which region's law lists it.

An id such as ``gluten:rye`` or ``nuts:walnut`` is what the files and the plan hold. Sources: Regulation (EU) No 1169/2011,
Annex II, kept by the UK (FSA technical guidance, August 2023); US Food Allergen Labeling and Consumer Protection Act 2004
with the FASTER Act 2021 and FDA's allergen guidance, edition 5, January 2025; Australia New Zealand Food Standards Code,
Standard 1.2.3 and Schedule 9. Three ids (pine nut, coconut, chestnut) are on fewer lists or on none and are still kept,
because people react to them.
"""

from __future__ import annotations

from dataclasses import dataclass

REGIONS = ("UK", "EU", "US", "AU", "NZ")


@dataclass(frozen=True, slots=True)
class Allergen:
    """One allergen. ``eu``, ``us``, ``anz`` are its names on a label there; empty where the law does not list it.

    ``group`` is its short heading; ``words`` are the words in an ingredient's name that already name it, longest first.
    """

    id: str
    group: str
    eu: str
    us: str
    anz: str
    words: tuple[str, ...]

    @property
    def everyday(self) -> str:
        """A name that everybody understands, whatever the region lists."""
        return self.eu or self.us or self.anz or self.words[0]


ALLERGENS = (
    Allergen("gluten:wheat", "cereals with gluten", "wheat", "Wheat", "wheat", ("wheat",)),
    Allergen("gluten:rye", "cereals with gluten", "rye", "", "rye", ("rye",)),
    Allergen("gluten:barley", "cereals with gluten", "barley", "", "barley", ("barley",)),
    Allergen("gluten:oats", "cereals with gluten", "oats", "", "oats", ("oats", "oat")),
    Allergen(
        "crustaceans",
        "crustaceans",
        "crustaceans",
        "Crustacean shellfish",
        "crustacean",
        ("crustaceans", "crustacean"),
    ),
    Allergen("eggs", "eggs", "eggs", "Egg", "egg", ("eggs", "egg")),
    Allergen("fish", "fish", "fish", "Fish", "fish", ("fish",)),
    Allergen("peanuts", "peanuts", "peanuts", "Peanuts", "peanut", ("peanuts", "peanut")),
    Allergen("soya", "soya", "soya", "Soy", "soy", ("soybeans", "soybean", "soya", "soy")),
    Allergen("milk", "milk", "milk", "Milk", "milk", ("milk",)),
    Allergen("nuts:almond", "nuts", "almonds", "Almonds", "almond", ("almonds", "almond")),
    Allergen(
        "nuts:hazelnut", "nuts", "hazelnuts", "Hazelnuts", "hazelnut", ("hazelnuts", "hazelnut")
    ),
    Allergen("nuts:walnut", "nuts", "walnuts", "Walnuts", "walnut", ("walnuts", "walnut")),
    Allergen("nuts:cashew", "nuts", "cashews", "Cashews", "cashew", ("cashews", "cashew")),
    Allergen("nuts:pecan", "nuts", "pecans", "Pecans", "pecan", ("pecans", "pecan")),
    Allergen(
        "nuts:brazil",
        "nuts",
        "Brazil nuts",
        "Brazil nuts",
        "Brazil nut",
        ("brazil nuts", "brazil nut"),
    ),
    Allergen(
        "nuts:pistachio",
        "nuts",
        "pistachios",
        "Pistachios",
        "pistachio",
        ("pistachios", "pistachio"),
    ),
    Allergen(
        "nuts:macadamia",
        "nuts",
        "macadamia nuts",
        "Macadamia nuts",
        "macadamia",
        ("macadamia nuts", "macadamia nut", "macadamias", "macadamia"),
    ),
    Allergen("nuts:pine", "nuts", "", "Pine nuts", "pine nut", ("pine nuts", "pine nut")),
    Allergen("celery", "celery", "celery", "", "", ("celery",)),
    Allergen("mustard", "mustard", "mustard", "", "", ("mustard",)),
    Allergen("sesame", "sesame", "sesame", "Sesame", "sesame", ("sesame",)),
    Allergen(
        "sulphites",
        "sulphites",
        "sulphites",
        "",
        "sulphites",
        ("sulphur dioxide", "sulphites", "sulphite"),
    ),
    Allergen("lupin", "lupin", "lupin", "", "lupin", ("lupin",)),
    Allergen("molluscs", "molluscs", "molluscs", "", "mollusc", ("molluscs", "mollusc")),
    Allergen("coconut", "other", "", "", "", ("coconut",)),
    Allergen("chestnut", "other", "", "", "", ("chestnuts", "chestnut")),
)
"""In the order in which a contains-line names them."""

BY_ID = {one.id: one for one in ALLERGENS}
IDS = tuple(BY_ID)

_OTHER_WORDS = {
    "spelt": "gluten:wheat",
    "khorasan": "gluten:wheat",
    "einkorn": "gluten:wheat",
    "emmer": "gluten:wheat",
    "durum": "gluten:wheat",
    "dairy": "milk",
    "lactose": "milk",
    "soybean oil": "soya",
    "crustacean shellfish": "crustaceans",
    "prawns": "crustaceans",
    "shrimp": "crustaceans",
    "pine kernels": "nuts:pine",
    "filberts": "nuts:hazelnut",
    "sulfites": "sulphites",
    "sulphur dioxide": "sulphites",
    "lupine": "lupin",
}
WORDS: dict[str, str] = {
    **{word: one.id for one in ALLERGENS for word in one.words},
    **_OTHER_WORDS,
    **{one: one for one in IDS},
}
"""Every word a tutor may write for an allergen, in lower case, and its id."""

GROUPS: dict[str, tuple[str, ...]] = {
    "nuts": tuple(one for one in IDS if one.startswith("nuts:")),
    "gluten": tuple(one for one in IDS if one.startswith("gluten:")),
}
"""Words for several allergens at once. On a label or in a larder they are too vague; the member must be named."""


def allergen_id(word: str) -> str | None:
    """The id for a word as a tutor writes it, or None.

    >>> allergen_id("Spelt"), allergen_id("walnut"), allergen_id("nuts")
    ('gluten:wheat', 'nuts:walnut', None)
    """
    return WORDS.get(word.strip().lower())


def listed(region: str) -> frozenset[str]:
    """The ids that ``region``'s law lists and a label there must name."""
    return frozenset(one.id for one in ALLERGENS if label_name(one.id, region))


def label_name(allergen: str, region: str) -> str:
    """What ``region``'s law calls the allergen, or an empty text where it does not list it."""
    one = BY_ID[allergen]
    return {"UK": one.eu, "EU": one.eu, "US": one.us, "AU": one.anz, "NZ": one.anz}[region]
