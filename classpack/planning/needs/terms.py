"""The words people use for what they must not have, and what each stands for.

Synonyms are common practice, no source. No word stands for two things; a word that could is in ``ASKS_WHICH``.
"""

from __future__ import annotations

from collections.abc import Mapping

from classpack.model.allergens import ALLERGENS, GROUPS, IDS, REGIONS, listed
from classpack.model.larder import TAGS
from classpack.model.needs import StatedNeed

CEREALS = GROUPS["gluten"]
NUTS = GROUPS["nuts"]
"""All tree nuts of any of the lists. Whoever says 'tree nuts' is kept from pine nuts too, also where no law lists them."""

REGION_ALLERGENS: Mapping[str, tuple[str, ...]] = {
    region: tuple(one for one in IDS if one in listed(region)) for region in REGIONS
}
LABELS: Mapping[str, str] = {
    one.id: one.everyday if one.everyday.startswith("Brazil") else one.everyday.lower()
    for one in ALLERGENS
}
"""Every allergen id an ingredient may carry, with the word a person would say."""

WHOLE_CLASS = frozenset({*NUTS, "peanuts", "sesame"})
"""Allergies that take the ingredient out for the whole class: seeds and nut crumbs travel (project's choice)."""

_SYNONYMS: Mapping[str, tuple[str, ...]] = {
    "gluten:wheat": (
        "spelt",
        "durum",
        "durum wheat",
        "khorasan",
        "emmer",
        "einkorn",
        "farro",
        "semolina",
        "seitan",
        "bulgur",
        "couscous",
    ),
    "gluten:rye": (),
    "gluten:barley": ("malt", "barley malt"),
    "gluten:oats": ("oat", "oatmeal"),
    "crustaceans": (
        "crustacean",
        "crustacean shellfish",
        "prawn",
        "prawns",
        "shrimp",
        "shrimps",
        "crab",
        "lobster",
    ),
    "eggs": ("egg", "egg white", "egg whites", "egg yolk", "hen's eggs", "albumen"),
    "fish": ("anchovy", "anchovies", "tuna", "salmon", "cod"),
    "peanuts": ("peanut", "groundnut", "groundnuts", "ground nuts", "monkey nuts", "arachis"),
    "soya": ("soy", "soybean", "soybeans", "soya bean", "soya beans", "tofu"),
    "milk": (
        "dairy",
        "lactose",
        "cow's milk",
        "cows milk",
        "milk protein",
        "butter",
        "cheese",
        "cream",
        "yogurt",
        "yoghurt",
        "whey",
        "casein",
        "goat's milk",
        "sheep's milk",
        "ghee",
        "milk products",
        "dairy products",
    ),
    "nuts:almond": ("almond", "marzipan"),
    "nuts:hazelnut": ("hazelnut", "hazel", "filbert", "filberts", "cobnut", "cobnuts"),
    "nuts:walnut": ("walnut",),
    "nuts:cashew": ("cashew", "cashew nuts"),
    "nuts:pecan": ("pecan", "pecan nuts"),
    "nuts:brazil": ("brazil nut", "brazils"),
    "nuts:pistachio": ("pistachio", "pistachio nuts"),
    "nuts:macadamia": ("macadamia", "macadamias", "macadamia nut", "queensland nuts"),
    "nuts:pine": ("pine nut", "pine kernel", "pine kernels", "pignoli"),
    "celery": ("celeriac", "celery seed", "celery seeds", "celery salt"),
    "mustard": ("mustard seed", "mustard seeds"),
    "sesame": ("sesame seed", "sesame seeds", "sesame oil", "tahini", "gingelly", "benne"),
    "sulphites": (
        "sulphite",
        "sulfite",
        "sulfites",
        "sulphur dioxide",
        "sulfur dioxide",
        "so2",
        "metabisulphite",
    ),
    "lupin": ("lupine", "lupins", "lupin flour"),
    "molluscs": (
        "mollusc",
        "mollusk",
        "mollusks",
        "mussels",
        "clams",
        "oysters",
        "scallops",
        "squid",
        "octopus",
    ),
    "coconut": ("coconuts",),
    "chestnut": ("chestnut",),
}

_GROUPS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "tree nuts": ("tree nuts", NUTS),
    "tree nut": ("tree nuts", NUTS),
    "treenuts": ("tree nuts", NUTS),
    "all tree nuts": ("tree nuts", NUTS),
    "all nuts": ("all nuts", (*NUTS, "peanuts")),
    "tree nuts and peanuts": ("all nuts", (*NUTS, "peanuts")),
    "nuts and peanuts": ("all nuts", (*NUTS, "peanuts")),
    "peanuts and tree nuts": ("all nuts", (*NUTS, "peanuts")),
    "shellfish": ("shellfish", ("crustaceans", "molluscs")),
    "seafood": ("seafood", ("fish", "crustaceans", "molluscs")),
    "triticale": ("triticale", ("gluten:wheat", "gluten:rye")),
}
"""Words for several allergens at once; the wider reading is taken."""

_COELIAC = (
    "coeliac",
    "celiac",
    "coeliac disease",
    "celiac disease",
    "gluten",
    "gluten sensitivity",
    "wheat and gluten",
)
"""'gluten' is read as strictly as coeliac disease: every gluten cereal, oats among them."""

WHICH: Mapping[str, str] = {
    "nuts": "ask which, and write 'tree nuts' (every one of them), each by name (almonds, walnuts ...), 'peanuts', or 'all nuts' for "
    "tree nuts and peanuts",
    "seeds": "ask which, and write 'sesame' or 'mustard'; for another seed its name, as in 'poppy seeds'",
    "cereals": "ask which, and write 'coeliac', or each cereal: wheat, rye, barley, oats",
    "halal": "ask what it means for them, and write 'no pork', 'no alcohol', or define a diet under 'diets:' in the class file",
    "kosher": "ask what it means for them, and define a diet under 'diets:' in the class file",
    "something": "ask what it is, and write it",
}
ASKS_WHICH: Mapping[str, str] = {
    "nuts": "nuts", "nut": "nuts", "nut allergies": "nuts", "some nuts": "nuts", "seeds": "seeds", "seed": "seeds",
    "cereals": "cereals", "grains": "cereals", "flour": "cereals", "bread": "cereals", "halal": "halal",
    "kosher": "kosher", "yes": "something", "y": "something", "allergy": "something", "allergies": "something",
    "food allergy": "something", "food allergies": "something", "diet": "something", "other": "something", "intolerance": "something",
}  # fmt: skip

NONE_WORDS = ("none", "no needs", "no allergies", "no known allergies", "nothing")
"""What says that somebody was asked and has no needs. Anything shorter ('no', '-', 'n/a') may mean something else."""

_MEAT_WORDS = frozenset(
    [
        "lard",
        "tallow",
        "suet",
        "dripping",
        "pork",
        "bacon",
        "ham",
        "pancetta",
        "prosciutto",
        "salami",
        "chorizo",
        "lardons",
        "gelatine",
        "gelatin",
        "beef",
        "chicken",
        "lamb",
        "duck",
        "goose",
        "turkey",
        "sausage",
        "nduja",
        "speck",
        "guanciale",
    ]
)
_PORK_WORDS = frozenset(
    [
        "lard",
        "pork",
        "bacon",
        "ham",
        "pancetta",
        "prosciutto",
        "salami",
        "chorizo",
        "lardons",
        "gelatine",
        "gelatin",
        "nduja",
        "speck",
        "guanciale",
    ]
)
_ALCOHOL_WORDS = frozenset(
    [
        "rum",
        "brandy",
        "beer",
        "ale",
        "stout",
        "lager",
        "whisky",
        "whiskey",
        "cognac",
        "liqueur",
        "kirsch",
        "vodka",
        "gin",
        "sherry",
        "port",
        "marsala",
        "prosecco",
    ]
)
_ANIMALS = frozenset({"milk", "eggs", "fish", "crustaceans", "molluscs"})

DIETS = (
    StatedNeed(
        "",
        "vegan",
        "vegan",
        "diet",
        _ANIMALS,
        frozenset({"animal", "meat", "pork", "rennet"}),
        frozenset(),
        _MEAT_WORDS | {"honey"},
        severe=False,
    ),
    StatedNeed(
        "",
        "vegetarian",
        "vegetarian",
        "diet",
        frozenset({"fish", "crustaceans", "molluscs"}),
        frozenset({"meat", "pork", "rennet"}),
        frozenset(),
        _MEAT_WORDS,
        severe=False,
    ),
    StatedNeed(
        "",
        "no alcohol",
        "no alcohol",
        "diet",
        frozenset(),
        frozenset({"alcohol"}),
        frozenset(),
        _ALCOHOL_WORDS,
        severe=False,
    ),
    StatedNeed(
        "",
        "no pork",
        "no pork or lard",
        "diet",
        frozenset(),
        frozenset({"pork"}),
        frozenset(),
        _PORK_WORDS,
        severe=False,
    ),
)
_DIET_WORDS: Mapping[str, str] = {
    "vegan": "vegan", "plant based": "vegan", "plant-based": "vegan", "vegetarian": "vegetarian", "veggie": "vegetarian",
    "no meat": "vegetarian", "no alcohol": "no alcohol", "alcohol": "no alcohol", "no pork": "no pork", "no lard": "no pork",
    "no pork or lard": "no pork", "no lard or pork": "no pork", "pork": "no pork", "lard": "no pork",
}  # fmt: skip
STATES: Mapping[str, str] = {
    "pregnant": "pregnant",
    "immune-weak": "weak immunity",
    "has-asthma": "asthma",
}
_STATE_WORDS: Mapping[str, str] = {
    "pregnant": "pregnant", "pregnancy": "pregnant", "expecting a baby": "pregnant", "immune-weak": "immune-weak",
    "weak immunity": "immune-weak", "weak immune system": "immune-weak", "weakened immune system": "immune-weak",
    "immunosuppressed": "immune-weak", "immunocompromised": "immune-weak", "immune suppressed": "immune-weak",
    "low immunity": "immune-weak", "asthma": "has-asthma", "asthmatic": "has-asthma", "has asthma": "has-asthma",
}  # fmt: skip
DIET_TAGS = TAGS
"""What the larder may mark an ingredient with."""

MILD = ("mild", "slight", "intolerance", "intolerant", "preference", "not severe")
"""Severities that are not counted as severe. Anything else, nothing at all included, is."""


_SEED_MIXES = (
    "seed mix",
    "seeded mix",
    "mixed seeds",
    "seeds mix",
    "everything seasoning",
    "everything bagel",
    "saatenmischung",
    "saatenmix",
    "körnermischung",
    "körnermix",
)
OTHER_ALLERGIES: Mapping[str, tuple[str, ...]] = {
    "poppy seeds": ("poppy", "poppy seed", "poppyseed", "poppyseeds", "mohn-", "-mohn", *_SEED_MIXES),
    "sunflower": ("sunflower", "sunflowers", "sunflower seeds", "sonnenblumen-", *_SEED_MIXES),
    "linseed": ("linseed", "linseeds", "flax", "flaxseed", "flaxseeds", "flax seed", "flax seeds", "leinsamen-", "leinsaat-", "leinöl", *_SEED_MIXES),
    "maize": ("maize", "corn", "sweetcorn", "cornflour", "cornmeal", "cornstarch", "polenta", "masa", "grits", "popcorn", "mais-"),
    "chickpeas": ("chickpea", "gram flour", "besan", "hummus", "houmous", "aquafaba", "falafel", "kichererbsen-", "kichererbse"),
    "lentils": ("lentil", "dal", "dhal", "linse", "linsen-"),
    "peas": ("pea", "pea protein", "pea flour", "erbse", "erbsen-"),
    "buckwheat": ("kasha", "soba", "buchweizen-"),
    "kiwi": ("kiwis", "kiwi fruit", "kiwifruit", "kiwi-"),
    "banana": ("bananas", "banane", "bananen-"),
    "avocado": ("avocados", "guacamole"),
    "tomatoes": ("tomato", "tomate", "tomaten-", "passata", "ketchup"),
    "yeast": ("yeasts", "starter", "sourdough", "levain", "hefe-", "-hefe", "sauerteig-"),
    "honey": ("honig-", "-honig"),
    "garlic": ("aioli", "knoblauch-"),
    "cinnamon": ("zimt-", "cassia"),
    "latex": ("natural rubber latex", "rubber gloves"),
}  # fmt: skip
"""Allergies that no law lists, and the words that give the food away, in English and German; a hyphen says that the word may go
on there. People can be allergic to any food (a national food agency's page, read); the words are from memory."""


def _terms() -> dict[str, StatedNeed]:
    """Every word that is understood. No word stands for two things; a test says so."""
    found: dict[str, StatedNeed] = {}
    for allergen, label in LABELS.items():
        need = StatedNeed("", allergen, label, "allergy", frozenset({allergen}))
        for word in (label.lower(), allergen, *_SYNONYMS[allergen]):
            found[word] = need
    for word, (label, allergens) in _GROUPS.items():
        found[word] = StatedNeed("", label, label, "allergy", frozenset(allergens))
    for word in _COELIAC:
        found[word] = StatedNeed("", "coeliac", "coeliac", "coeliac", frozenset(CEREALS))
    for label, words in OTHER_ALLERGIES.items():
        need = StatedNeed("", label, label, "allergy", words=frozenset({label, *words}))
        for word in (label, *words):
            if "-" not in word and word not in _SEED_MIXES:
                found[word] = need
    diets = {diet.id: diet for diet in DIETS}
    for word, name in _DIET_WORDS.items():
        found[word] = diets[name]
    for word, name in _STATE_WORDS.items():
        found[word] = StatedNeed("", name, STATES[name], "state", severe=False)
    return found


TERMS: Mapping[str, StatedNeed] = _terms()
