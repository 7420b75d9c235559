"""Which cautions fire at a step, and why.

First by the step's stage and what it does: that holds in any language and with any wording. The step's words are a second
net; they only add. What is said while dough proves, or to pass the time, is no work at a hot thing: it fires nothing hot. Where
nothing guards against what a step may do, the tutor is asked (:mod:`classpack.planning.safety.checks`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from classpack.model.formula import Preferment
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Use
from classpack.model.method import (
    COOKED_STAGES,
    HANDS_STAGES,
    HOB_STAGES,
    PROOF_STAGES,
    Placeholder,
    Step,
)
from classpack.model.safety import Catalogue, Caution, FiredCaution, PlaceFacts, Trigger, Why

STAGE_TRIGGERS: dict[str, tuple[str, ...]] = {
    "weigh": ("tips-flour",),
    "mix": ("tips-flour", "raw-dough"),
    "fold": ("raw-dough",),
    "knead": ("raw-dough",),
    "divide": ("raw-dough",),
    "round": ("raw-dough",),
    "shape": ("raw-dough",),
    "pan": ("raw-dough",),
    "score": ("scores-dough",),
    "boil": ("boiling-liquid", "boils-dough"),
    "bath": ("boiling-liquid", "boils-dough"),
    "fry": ("hot-oil",),
    "griddle": ("hot-pan",),
    "dry pan": ("hot-pan",),
    "hob": ("hot-pan", "boiling-liquid"),
    "load": ("uses-oven", "opens-hot-oven"),
    "bake": ("uses-oven", "opens-hot-oven"),
    "take out": ("uses-oven", "opens-hot-oven", "lifts-hot-tray", "hot-bread"),
    "cool": ("hot-bread",),
    "finish": ("hot-bread",),
    "cut": ("knife",),
    "clean": ("cleaning",),
}
"""What each stage fires whatever its words say. The remaining stages (rests, proofs, topping ...) fire by what they hold."""

STEAM_TRIGGERS: dict[str, str] = {
    "lidded pot": "lidded-pot",
    "bowl over": "bowl-over",
    "misted dough": "misted-dough",
    "built-in": "built-in-steam",
    "tutor pours": "steam-added",
}
_STEAM_IS_OVER = ("misted dough", "tutor pours")
"""Steam methods whose water is gone when the bread comes out; until then it must not meet a glass door."""

OVEN_STAGES = ("load", "bake", "take out")
HOT_STAGES = (*OVEN_STAGES, *HOB_STAGES)
NEAR_HEAT_STAGES = (*HOT_STAGES, "cool", "finish")
"""Where something is hot already: here "take out" and "the stone" are said of hot things."""
CUTS_DOUGH_STAGES = ("divide", "round", "shape", "score")
"""Where to cut is to cut dough, with the scraper."""
TOPPED_STAGES = ("top", "fill", "glaze", "finish")

_USED_AT = {
    "topping": ("top", "finish"),
    "filling": ("fill", "top"),
    "glaze": ("glaze", "top", "finish"),
    "dusting": ("divide", "round", "shape", "pan", "knead"),
    "oiling": ("pan", "shape", "round"),
}
_RUNS_FROM = 10
"""Grams or millilitres of oil in a tin from which it can run when tilted; project's choice, no source."""

_OF_GLUTEN = ("wheat-rye-barley", "gluten-free")
"""What a class speaks of that works with wheat; where none is in the room, as the class file answers, it would be false."""

PAPER_C = 220
"""Most baking papers are made for 220 °C at most, some for less: common practice, no source; each says so on its box."""

_DRY_AISLES = ("vegetables", "herbs and spices", "nuts and seeds", "flour", "water", "drinks")


def allergen_trigger(allergen: str) -> str:
    """The trigger that carries an allergen, by its id; empty for what no caution keeps apart."""
    if allergen.startswith("gluten") or allergen in ("wheat", "rye", "barley", "oats"):
        return "wheat-rye-barley"
    if allergen.startswith("nuts:") or allergen in ("peanuts", "peanut", "sesame"):
        return "nuts-seeds"
    return "" if allergen in ("coconut", "chestnut") else "milk-egg-other"


def ingredient_triggers(ingredient: Ingredient) -> frozenset[str]:
    """The triggers an ingredient carries, from what the larder states of it.

    Something kept cold counts as perishable unless it is yeast, fat, a starter, a raw vegetable, herb or nut. Milk and egg
    count (as ``perishable-on-top``) where they lie on or in the bread, not inside the dough.
    """
    found = {allergen_trigger(one) for one in ingredient.allergens} - {""}
    if ingredient.kind == "egg" or ingredient.allergens & {"eggs", "egg"}:
        found.add("egg")
    if "meat" in ingredient.tags and ingredient.kind != "fat":
        found.add("perishable")
    if ingredient.storage != "ambient":
        if ingredient.kind in ("milk", "egg"):
            found.add("perishable-on-top")
        elif ingredient.kind == "other" and ingredient.aisle not in _DRY_AISLES:
            found.add("perishable")
    return frozenset(found)


def triggers_on_top(ingredient: Ingredient) -> frozenset[str]:
    """:func:`ingredient_triggers` where it lies on or in the bread, so that milk and egg count as perishable."""
    found = ingredient_triggers(ingredient)
    return found | {"perishable"} if "perishable-on-top" in found else found


def larder_triggers(
    larder: Larder, preferments: Iterable[Preferment] = ()
) -> dict[str, frozenset[str]]:
    """:func:`ingredient_triggers` of the whole larder, by name: ``PlaceFacts.ingredients``.

    A preferment of the dough carries what its own ingredients carry.
    """
    found = {one.name: ingredient_triggers(one) for one in larder.ingredients}
    for one in preferments:
        inside = (found.get(line.ingredient, frozenset()) for line in one.lines)
        found.setdefault(one.name, frozenset[str]().union(*inside))
    return found


# ---------------------------------------------------------------- one step


def fire(
    step: Step,
    facts: PlaceFacts,
    catalogue: Catalogue,
    also: Sequence[str] = (),
    known: Iterable[tuple[str, Why]] = (),
) -> tuple[FiredCaution, ...]:
    """The cautions of one step, in the catalogue's order.

    Args:
        also: ingredients used in this step although its text does not name them.
        known: further triggers with their reason, from the rest of the method.
    """
    return _fired(posed(step, facts, catalogue, also, known), facts, catalogue)


def posed(
    step: Step,
    facts: PlaceFacts,
    catalogue: Catalogue,
    also: Sequence[str] = (),
    known: Iterable[tuple[str, Why]] = (),
) -> dict[str, list[Why]]:
    """The triggers of one step by their ids, each with every reason; arguments as of :func:`fire`."""
    reasons: dict[str, list[Why]] = {}

    def add(trigger: str, why: Why) -> None:
        reasons.setdefault(trigger, []).append(why)

    for trigger in STAGE_TRIGGERS.get(step.stage, ()):
        add(trigger, Why("stage", step.stage))
    if step.heat is not None and step.stage not in OVEN_STAGES:
        add("uses-oven", Why("stage", "oven heat"))
    for stated in dict.fromkeys(step.does):
        found = catalogue.trigger(stated)
        if found is not None:
            add(found.id, Why("stated", stated))
    if step.steam != "none" and not (step.stage == "take out" and step.steam in _STEAM_IS_OVER):
        add(STEAM_TRIGGERS.get(step.steam, "steam-added"), Why("stated", f"steam: {step.steam}"))
        if facts.built_in_steam and step.steam == "built-in":
            add("built-in-steam", Why("kitchen", "built-in steam"))
        if facts.glass_door and step.stage == "load" and step.steam == "tutor pours":
            add("glass-near-steam", Why("kitchen", "glass oven door"))
    if facts.mixed_by != "hand" and step.stage in ("mix", "knead"):
        add("mixer", Why("stated", f"mixed by {facts.mixed_by}"))
        add("electrical", Why("stated", f"mixed by {facts.mixed_by}"))
    for name in dict.fromkeys((*step.ingredients, *also)):
        for trigger in sorted(facts.ingredients.get(name, ())):
            if trigger == "perishable-on-top":
                if step.stage not in TOPPED_STAGES:
                    continue
                trigger = "perishable"
            add(trigger, Why("ingredient", name))
    for trigger, why in known:
        add(trigger, why)
    for hit, word in words_hit(step, catalogue):
        add(hit.id, _of_word(step, catalogue, hit, word))
    return reasons


def words_hit(step: Step, catalogue: Catalogue) -> tuple[tuple[Trigger, str], ...]:
    """The triggers whose words a step says, heat only where hands are at it: never meanwhile, nor while dough proves.

    Those that only ask are left out.
    """
    proves = step.stage in PROOF_STAGES
    said = catalogue.hits(_joined(_work(step)), is_near_heat(step, catalogue))
    found = {one.id: (one, word) for one, word in said if not (proves and one.hot)}
    for one, word in catalogue.hits(step.meanwhile, near_heat=False):
        if not one.hot:
            found.setdefault(one.id, (one, word))
    return tuple(pair for pair in found.values() if not pair[0].asks)


def is_near_heat(step: Step, catalogue: Catalogue) -> bool:
    """Is something hot by the step's stage, or by a word that leaves no doubt ("from the oven")?"""
    certain = catalogue.hits(_joined(_work(step)), near_heat=False)
    return step.stage in NEAR_HEAT_STAGES or any(one.hot and not one.asks for one, _ in certain)


def _of_word(step: Step, catalogue: Catalogue, hit: Trigger, word: str) -> Why:
    """A word that stands in a step only as the name of what is weighed is that ingredient's."""
    if not step.ingredients:
        return Why("word", word)
    bare = _joined((step.head, own_text(step), step.ready_when, step.meanwhile))
    if any(one.id == hit.id for one, _ in catalogue.hits(bare)):
        return Why("word", word)
    named = [name for name in step.ingredients if hit in [one for one, _ in catalogue.hits(name)]]
    return Why("ingredient", named[0]) if named else Why("word", word)


def step_words(step: Step) -> str:
    """All of a step a student reads: head, text, cue and what to do meanwhile."""
    return _joined((*_work(step), step.meanwhile))


def own_text(step: Step) -> str:
    """The text as the tutor typed it, without the names of what is weighed."""
    return " ".join(" " if isinstance(p, Placeholder) else p for p in step.text)


def _work(step: Step) -> tuple[str, str, str]:
    return step.head, step.plain_text, step.ready_when


def _joined(parts: Iterable[str]) -> str:
    return ". ".join(part for part in parts if part)


def _background(facts: PlaceFacts) -> dict[str, Why]:
    found = {}
    if facts.gas:
        found["gas"] = Why("kitchen", "gas")
    if facts.children:
        found["children"] = Why("people", "children")
    return found


def _fired(
    reasons: dict[str, list[Why]], facts: PlaceFacts, catalogue: Catalogue
) -> tuple[FiredCaution, ...]:
    behind = _background(facts)
    if facts.gluten_room:
        reasons = {one: why for one, why in reasons.items() if one not in _OF_GLUTEN}
    fired = []
    for caution in catalogue.cautions:
        here = [one for one in caution.triggers if one in reasons]
        if not here:
            continue
        missing = [one for one in caution.triggers if one not in reasons and one not in behind]
        if caution.combine_all and missing:
            continue
        why = [one for trigger in here for one in reasons[trigger]]
        if caution.combine_all:
            why += [behind[one] for one in caution.triggers if one in behind]
        fired.append(_with_word(caution, why, facts))
    guarded = {one.caution.hazard for one in fired if not one.caution.fallback}
    return tuple(
        one for one in fired if not (one.caution.fallback and one.caution.hazard in guarded)
    )


def _with_word(caution: Caution, why: Iterable[Why], facts: PlaceFacts) -> FiredCaution:
    return FiredCaution(caution, caution.severity_for(facts.groups), tuple(dict.fromkeys(why)))


# ---------------------------------------------------------------- a whole method


def fire_method(
    method: Sequence[Step],
    facts: PlaceFacts,
    catalogue: Catalogue,
    uses: Sequence[Use] = (),
    swaps: Sequence[tuple[str, str]] = (),
    dough: Sequence[str] = (),
    first: bool = True,
) -> tuple[tuple[FiredCaution, ...], ...]:
    """The cautions of every step of a method, in its order.

    Args:
        uses: what is used outside the formula (:class:`Use`), whether or not a step's text names it.
        swaps: ingredients put in for others, as (out, into); what goes in adds its own cautions.
        dough: ingredients of the dough, for what must be checked when the bread comes out.
        first: does the day begin with this method? Then its first hands-on step asks for washed hands.
    """
    used = _uses_by_step(method, uses)
    into: dict[str, list[str]] = {}
    for out, new in swaps:
        if new:
            into.setdefault(out, []).append(new)
    every = [
        name
        for step, names in zip(method, used, strict=True)
        for name in (*step.ingredients, *names)
    ]
    every += [*dough, *(new for news in into.values() for new in news)]
    risky = [n for n in every if facts.ingredients.get(n, frozenset()) & {"egg", "perishable"}]
    hottest_c = max((int(step.heat.celsius) for step in method if step.heat), default=0)
    begun = not first
    filled = ""
    taken_out = max((n for n, step in enumerate(method) if step.stage == "take out"), default=-1)
    result = []
    for number, (step, names) in enumerate(zip(method, used, strict=True)):
        known: list[tuple[str, Why]] = []
        if not begun and step.stage in HANDS_STAGES:
            known.append(("start-of-work", Why("stage", f"first step, {step.stage}")))
            begun = True
        if step.stage in COOKED_STAGES and risky:
            known.append(("checks-centre", Why("ingredient", risky[0])))
        if step.stage in (*COOKED_STAGES, "cool") and filled:
            known.append(("hot-filling", Why("stage", filled)))
        if step.stage == "take out":
            known += [
                ("oiled-hot-tin", Why("ingredient", use.ingredient)) for use in uses if _runs(use)
            ]
        known += [
            ("dusting-flour", Why("ingredient", use.ingredient))
            for use in uses
            if use.purpose == "dusting" and use.ingredient in names
        ]
        if step.stage == "fill":
            filled = step.stage
        named = (*step.ingredients, *names)
        also = (*names, *(new for name in named for new in into.get(name, ())))
        if hottest_c > PAPER_C and "baking-paper" in posed(step, facts, catalogue, also):
            known.append(("paper-above-limit", Why("stage", f"{hottest_c} °C")))
        fired = fire(step, facts, catalogue, also, known)
        if (
            step.stage == "bake" and number < taken_out
        ):  # behind the oven's door it burns nobody yet
            filled = step.stage if any(map(_is_filling, fired)) else filled
            fired = tuple(one for one in fired if one.caution.guards != ("hot food",))
        result.append(fired)
    return tuple(result)


def _is_filling(one: FiredCaution) -> bool:
    """Does it guard against a filling hotter than its crust, and against nothing else?"""
    return one.caution.triggers == ("hot-filling",)


def fire_home(
    names: Iterable[str],
    facts: PlaceFacts,
    catalogue: Catalogue,
    filled: Iterable[str] = (),
    keeps: bool = False,
) -> tuple[FiredCaution, ...]:
    """What is said at the end of the card, when the bread goes home.

    Args:
        names: everything in the bread. Cheese, meat or fish makes it a filled bread, to be kept cold.
        filled: its fillings and toppings; milk, cream or egg among them does so too, in the dough or a glaze it does not.
        keeps: does the lesson say how it keeps? Then a plain bread's general line is not said beside it.
    """
    reasons = {"end-of-class": [Why("class", "taken home")]}
    fillings = frozenset(filled)
    for name in dict.fromkeys((*names, *sorted(fillings))):
        found = facts.ingredients.get(name, frozenset())
        if "perishable" in found or (name in fillings and "perishable-on-top" in found):
            reasons.setdefault("perishable", []).append(Why("ingredient", name))
    fired = _fired(reasons, facts, catalogue)
    cold = "perishable" in reasons
    return tuple(
        one
        for one in fired
        if one.caution.place == "home" and not ((cold or keeps) and one.id == "store-plain")
    )


def fire_class(
    facts: PlaceFacts, catalogue: Catalogue, names: Iterable[str] = (), bakes: bool = True
) -> tuple[FiredCaution, ...]:
    """What holds for the whole class whoever makes what: welcome, emergencies, clean-down, gas, allergens in the room."""
    always = ("before-class", "emergency", "cleaning", "cut-on-hand", "glass-or-break")
    reasons = {trigger: [Why("class", "every class")] for trigger in always}
    if bakes:
        for trigger in ("preheats", "uses-oven"):
            reasons[trigger] = [Why("class", "ovens are used")]
    for trigger, why in _background(facts).items():
        reasons.setdefault(trigger, []).append(why)
    for name in names:
        for trigger in facts.ingredients.get(name, ()):
            if trigger in ("wheat-rye-barley", "nuts-seeds", "milk-egg-other"):
                reasons.setdefault(trigger, []).append(Why("ingredient", name))
    return _fired(reasons, facts, catalogue)


def _runs(use: Use) -> bool:
    return (
        use.purpose == "oiling" and use.per in ("piece", "tray") and use.amount.value >= _RUNS_FROM
    )


def _uses_by_step(method: Sequence[Step], uses: Sequence[Use]) -> list[tuple[str, ...]]:
    """For each step the used ingredients its text does not name. None is lost: at worst it belongs to the last step
    before the heat."""
    found: list[list[str]] = [[] for _ in method]
    if not method:
        return []
    for use in uses:
        if use.purpose != "dusting" and any(use.ingredient in step.ingredients for step in method):
            continue
        stages = _USED_AT.get(use.purpose, ())
        fits = [n for stage in stages for n, step in enumerate(method) if step.stage == stage]
        hot = [n for n, step in enumerate(method) if step.stage in HOT_STAGES]
        last = max(hot[0] - 1, 0) if hot else len(method) - 1
        found[fits[0] if fits else last].append(use.ingredient)
    return [tuple(names) for names in found]
