"""What a person may be said to need: allergens, coeliac disease, diets and states, in English with everyday synonyms.

The lists are those of :mod:`classpack.model.allergens`, with their sources. Synonyms are common practice, no source.

A need counts whatever the region: the region only says which list is shown when a word is not known. A word that can
mean several things asks which, a word nobody here knows is refused: guessing is the one thing this module never does.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from classpack.errors import Problem, Spot
from classpack.model.allergens import ALLERGENS, GROUPS, IDS, REGIONS, listed
from classpack.model.class_day import Need
from classpack.model.diets import Diet
from classpack.model.larder import TAGS, Larder
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

_WHICH: Mapping[str, str] = {
    "nuts": "ask which, and write 'tree nuts' (every one of them), each by name (almonds, walnuts ...), 'peanuts', or 'all nuts' for "
    "tree nuts and peanuts",
    "seeds": "ask which, and write 'sesame' or 'mustard'; for another seed define a diet under 'diets:' in the class file",
    "cereals": "ask which, and write 'coeliac', or each cereal: wheat, rye, barley, oats",
    "halal": "ask what it means for them, and write 'no pork', 'no alcohol', or define a diet under 'diets:' in the class file",
    "kosher": "ask what it means for them, and define a diet under 'diets:' in the class file",
    "something": "ask what it is, and write it",
}
_ASKS_WHICH: Mapping[str, str] = {
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

_DIETS = (
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

HINT_WORDS: Mapping[str, tuple[str, ...]] = {
    "gluten:wheat": ("wheat", "spelt", "semolina", "durum", "khorasan", "couscous", "bulgur", "breadcrumbs", "seitan"),
    "gluten:rye": ("rye",),
    "gluten:barley": ("barley", "malt", "malted"),
    "gluten:oats": ("oat", "oats", "oatmeal"),
    "crustaceans": ("prawn", "prawns", "shrimp", "shrimps", "crab", "lobster"),
    "eggs": ("egg", "eggs", "meringue", "mayonnaise"),
    "fish": ("fish", "anchovy", "anchovies", "tuna", "salmon"),
    "peanuts": ("peanut", "peanuts", "groundnut", "groundnuts"),
    "soya": ("soya", "soy", "soybean", "tofu"),
    "nuts:almond": ("almond", "almonds", "marzipan", "frangipane"),
    "nuts:hazelnut": ("hazelnut", "hazelnuts", "filbert", "filberts", "praline"),
    "nuts:walnut": ("walnut", "walnuts"),
    "nuts:cashew": ("cashew", "cashews"),
    "nuts:pecan": ("pecan", "pecans"),
    "nuts:brazil": ("brazil nut", "brazil nuts"),
    "nuts:pistachio": ("pistachio", "pistachios"),
    "nuts:macadamia": ("macadamia", "macadamias"),
    "nuts:pine": ("pine nut", "pine nuts", "pine kernels", "pesto"),
    "celery": ("celery", "celeriac"),
    "mustard": ("mustard",),
    "sesame": ("sesame", "tahini", "halva", "halvah", "hummus", "dukkah"),
    "sulphites": ("sulphite", "sulphites", "sulfites", "sulphur dioxide"),
    "lupin": ("lupin", "lupine"),
    "molluscs": ("mussels", "clams", "oysters", "scallops", "squid"),
    "coconut": ("coconut",),
    "chestnut": ("chestnut", "chestnuts"),
}  # fmt: skip
"""Words that give an allergen away in a name or a step. They only ever add to what an ingredient states, and take nothing away."""

_BEFORE = re.compile(
    r"^(?:severe |mild )?(?:(?:an? )?(?:allergic|allergy|intolerant|intolerance|sensitive) to |no |avoids? )?"
)
_AFTER = re.compile(r"(?:[ -](?:allergy|allergies|allergic|intolerance|intolerant|free))?\.?$")
_SPLIT = re.compile(r"\s*(?:,|;|/|\+|&|\n|\band\b)\s*")


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
    diets = {diet.id: diet for diet in _DIETS}
    for word, name in _DIET_WORDS.items():
        found[word] = diets[name]
    for word, name in _STATE_WORDS.items():
        found[word] = StatedNeed("", name, STATES[name], "state", severe=False)
    return found


TERMS: Mapping[str, StatedNeed] = _terms()


def list_for(region: str, diets: Sequence[Diet] = ()) -> str:
    """What may be written, for a message: the region's allergens, then the rest."""
    law = [LABELS[one] for one in REGION_ALLERGENS[region]]
    more = [label for one, label in LABELS.items() if one not in REGION_ALLERGENS[region]]
    own = [diet.name for diet in diets]
    named = [
        "tree nuts",
        "all nuts",
        "shellfish",
        "coeliac",
        *(d.label for d in _DIETS),
        *STATES.values(),
        *own,
    ]
    return f"{', '.join(law)}; also {', '.join([*named, *more])}"


def _tidy(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).casefold().replace("’", "'").split())


def _bare(text: str) -> str:
    """Without what people put around a food: 'allergic to ...', '... allergy', a question mark."""
    return _AFTER.sub("", _BEFORE.sub("", text.rstrip("? "), count=1), count=1).strip()


def is_none(text: str) -> bool:
    """Does ``text`` say that the person was asked and has no needs?"""
    return _tidy(text).rstrip(".!") in NONE_WORDS


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The words of one class: the region's list for messages, and the tutor's own diets."""

    region: str
    diets: tuple[Diet, ...] = ()
    _own: dict[str, StatedNeed] = field(default_factory=dict, compare=False, repr=False)

    def understood(
        self, need: Need, where: Spot
    ) -> tuple[tuple[StatedNeed, ...], tuple[Problem, ...]]:
        """What ``need`` says, as one or more needs (a cell may hold several), or why it is not understood."""
        spot = need.spot or where
        whole = _tidy(need.name)
        found, problems = [], []
        one = self._one(whole)
        parts = [whole] if one or whole in _ASKS_WHICH else [p for p in _SPLIT.split(whole) if p]
        if not any(self._says_something(part) for part in parts):
            parts = [whole]  # one message for all of it
        for part in parts:
            known = self._one(part)
            if known is None:
                problems.append(self._not_known(part, need.name, spot))
                continue
            severity = need.severity or ("mild" if part.startswith("mild ") else "")
            severe = known.kind in ("allergy", "coeliac") and _tidy(severity) not in MILD
            found.append(
                replace(
                    known,
                    typed=need.name,
                    severity=severity,
                    severe=severe,
                    note=need.note,
                    spot=spot,
                )
            )
        return tuple(found), tuple(problems)

    def _says_something(self, part: str) -> bool:
        return self._one(part) is not None or _bare(part) in _ASKS_WHICH or part in NONE_WORDS

    def _one(self, text: str) -> StatedNeed | None:
        text = text.strip()
        known = self._own.get(text) or TERMS.get(text)
        if known or text.endswith("?"):
            return known
        bare = _bare(text)
        return None if bare in _ASKS_WHICH else TERMS.get(bare)

    def _not_known(self, part: str, typed: str, spot: Spot) -> Problem:
        bare = _bare(part)
        shown = typed if len(typed) <= 60 else typed[:57] + "..."
        inside = f" ('{part}')" if part != _tidy(typed) else ""
        if bare in _ASKS_WHICH or part in _ASKS_WHICH:
            which = _ASKS_WHICH.get(bare) or _ASKS_WHICH[part]
            return Problem(spot, f"the need '{shown}'{inside} does not say which", _WHICH[which])
        if part in NONE_WORDS:
            return Problem(
                spot,
                f"the need '{shown}' says none and something else",
                "ask again, and write either 'none' or what the person must not have",
            )
        if part.endswith("?"):
            return Problem(
                spot,
                f"the need '{shown}'{inside} is a question",
                "ask, and write the need without the question mark, or 'none'",
            )
        known = [*self._own, *TERMS]
        close = difflib.get_close_matches(bare, known, 1, 0.75)
        hint = f"did you mean '{close[0]}'? If not, write" if close else "write"
        return Problem(
            spot,
            f"the need '{shown}'{inside} is not known here",
            f"{hint} it in English, as one of: {list_for(self.region, self.diets)}; anything else can be defined under "
            f"'diets:' in the class file",
        )


def vocabulary(
    region: str, diets: Sequence[Diet], larder: Larder, where: Spot
) -> tuple[Vocabulary, tuple[Problem, ...]]:
    """The words of one class, and what is wrong with the diets the tutor defines."""
    own: dict[str, StatedNeed] = {}
    problems = []
    for diet in diets:
        spot = diet.spot or where
        name = _tidy(diet.name)
        if name in TERMS or name in _ASKS_WHICH or name in NONE_WORDS or name in own:
            problems.append(
                Problem(
                    spot,
                    f"'{diet.name}' already means something",
                    "give the diet a name of its own, as in 'no poppy seeds'",
                )
            )
            continue
        if not diet.without:
            problems.append(
                Problem(
                    spot,
                    f"the diet '{diet.name}' leaves nothing out",
                    "write 'without:' and a list of ingredients, allergens or tags",
                )
            )
        ingredients: set[str] = set()
        allergens: set[str] = set()
        tags: set[str] = set()
        for word in diet.without:
            term = TERMS.get(_tidy(word))
            if larder.get(word) is not None:
                ingredients.add(word)
            elif word in DIET_TAGS:
                tags.add(word)
            elif term is not None and term.kind in ("allergy", "coeliac"):
                allergens |= term.allergens
            else:
                close = difflib.get_close_matches(
                    word, [*larder.names, *LABELS.values(), *DIET_TAGS], 1, 0.6
                )
                problems.append(
                    Problem(
                        spot,
                        f"the diet '{diet.name}' leaves out '{word}', which is nothing in the larder",
                        f"did you mean '{close[0]}'?"
                        if close
                        else f"name an ingredient of the larder, an allergen, or one of: {', '.join(DIET_TAGS)}",
                    )
                )
        own[name] = StatedNeed(
            "",
            diet.name,
            diet.name,
            "diet",
            frozenset(allergens),
            frozenset(tags),
            frozenset(ingredients),
            severe=False,
        )
    return Vocabulary(region, tuple(diets), own), tuple(problems)
