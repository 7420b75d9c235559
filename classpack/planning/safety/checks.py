"""What of a step may not be printed: hot or sharp with no caution, or a student told to bring water into a hot oven."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence

from classpack.errors import Problem, Spot
from classpack.model.method import Step
from classpack.model.safety import Catalogue, FiredCaution, PlaceFacts, words_of
from classpack.planning.safety.cautions import HOT_STAGES, OVEN_STAGES, SHARP_STAGES, step_words

HOT_WORDS = frozenset(
    words_of(
        "oven ovens bake bakes boil boils boiling simmer simmering fry fries frying flame flames torch blowtorch griddle "
        "grill broil broiler kettle caramel scald scalding barbecue charcoal embers microwave toaster steamer tandoor "
        "wood-fired hob stove skillet"
    )
)
SHARP_WORDS = frozenset(
    words_of(
        "knife knives blade blades razor scalpel lame scissors mandoline peeler grater cleaver slicer bandsaw"
    )
)
"""Words that make a step hot or sharp even where no trigger knows them."""


def step_problems(
    step: Step, fired: Sequence[FiredCaution], facts: PlaceFacts, catalogue: Catalogue
) -> tuple[Problem, ...]:
    """What of one step may not be printed. ``fired``: what is left of its cautions after those turned off.

    A trigger nobody knows; an ingredient nobody knows; a hot or sharp step that no caution of its kind guards; a step that
    tells a student to bring water or ice into a hot oven.
    """
    spot = step.spot or Spot("", 1)
    problems = []
    for stated in step.does:
        if catalogue.trigger(stated) is None:
            near = difflib.get_close_matches(stated.lower(), catalogue.trigger_names, 1, 0.6)
            right = (
                f"did you mean '{near[0]}'?"
                if near
                else "choose one of: " + ", ".join(catalogue.trigger_names)
            )
            problems.append(Problem(spot, f"no caution knows what '{stated}' is", right))
    for name in step.ingredients:
        if name not in facts.ingredients:
            problems.append(
                Problem(spot, f"nothing is known of '{name}'", "state its allergens in the larder")
            )
    words = frozenset(words_of(step_words(step)))
    hazards = {one.caution.hazard for one in fired if one.caution.audience != "tutor"}
    for hazard, stages, dangerous in (
        ("heat", HOT_STAGES, HOT_WORDS),
        ("sharp", SHARP_STAGES, SHARP_WORDS),
    ):
        if hazard in hazards:
            continue
        said = sorted(words & dangerous)
        if said:
            said = sorted(frozenset(said) - _masked(step, catalogue))
        hot = hazard == "heat" and step.heat is not None
        if not (step.stage in stages or said or hot):
            continue
        cause = f"'{said[0]}'" if said and step.stage not in stages else f"'{step.stage}'"
        problems.append(
            Problem(
                spot,
                f"the step says {cause} and no caution guards it",
                "say what it does, as in 'does: "
                + ("hot thing" if hazard == "heat" else "sharp thing")
                + "', or add a caution of your own",
            )
        )
    poured = pours_into_oven(step)
    if poured:
        problems.append(
            Problem(
                spot,
                f"a student is told '{poured}'",
                "only the tutor adds steam: write 'steam: tutor pours', and in the text 'The tutor adds steam; "
                "stand two metres back'",
            )
        )
    return tuple(problems)


def _masked(step: Step, catalogue: Catalogue) -> frozenset[str]:
    """Hot or sharp words that stand only inside phrases which say the opposite ("oven off")."""
    text = " ".join(words_of(step_words(step)))
    bare = text
    for phrase in (p for trigger in catalogue.triggers for p in trigger.not_words):
        bare = re.sub(rf"(?<!\S){re.escape(phrase)}(?!\S)", " ", bare)
    return frozenset(text.split()) - frozenset(bare.split())


_PUT = r"(?:pour|tip|throw|toss|splash|ladle|empty|add|put|place|fill|drop|slide|fling|flick|sprinkle|dash|chuck|set)(?:s|ing)?"
_SPRAY = r"(?:spray|mist|squirt|spritz|wet)(?:s|ing)?"
_DOUGH = r"dough|loaf|loaves|roll|rolls|bread|breads|bun|buns|pieces|before"
_HOT_PLACE = (
    r"(?:hot |heated |preheated |lower |bottom |metal |steam |baking |roasting |empty )*"
    r"(?:oven|ovens|tray|tin|pan|stone|steel|rack|shelf)"
)
_POURS = tuple(
    re.compile(pattern)
    for pattern in (
        rf"\b{_PUT}\b(?:\W+\S+){{0,6}}?\W+(?:water|ice|ice cubes?|wet cloths?|steam)\b(?:\W+\S+){{0,3}}?"
        rf"\W+(?:in|into|onto|on|over|to)\b(?:\W+\S+){{0,2}}?\W+{_HOT_PLACE}\b",
        rf"\b{_PUT}\b(?:\W+\S+){{0,8}}?\W+(?:water|ice)\b(?:\W+\S+){{0,8}}?"
        r"\W+(?:for|make|create|makes|of) steam\b",
        rf"\b{_PUT}\b\W+(?:some |the |a little )?steam\b",
        rf"\b{_SPRAY}\W+(?:(?:inside|into|in|the|a|hot|your|sides|walls|of|with|water) )*ovens?\b",
        rf"\b{_SPRAY}\b(?:\W+(?!before)\S+){{0,4}}\W+(?:inside|into|in) (?:the |a )?(?:hot )?oven\b",
    )
)
_POURS_AT_THE_OVEN = re.compile(
    rf"\b{_PUT}\b(?:\W+(?!(?:{_DOUGH})\b)\S+){{0,7}}?\W+(?:water|ice|ice cubes?|wet cloths?)\b"
)
"""At loading, baking and taking-out any water or ice that is put anywhere counts, unless it is for the dough."""

_TUTOR = re.compile(r"\b(?:tutor|teacher|assistant|instructor)(?!'s)\b(?!.*\b(?:you|your)\b)")
_NOT = re.compile(r"\b(?:never|not|don't|no)\b[^,]*$")
_COLD_OVEN = re.compile(r"oven off|unheated oven|oven is off|oven light")


def pours_into_oven(step: Step) -> str:
    """The words that tell a student to bring water, ice or a wet cloth into a hot oven, or an empty text.

    What the sentence says the tutor does, and what it says never to do, does not count. A tray or tin counts as hot at the
    oven's own stages or where the sentence names the oven, steam, or calls it hot.
    """
    at_the_oven = step.stage in OVEN_STAGES
    for sentence in re.split(r"[.;!?]\s*", step_words(step).lower().replace("’", "'")):
        bare = _COLD_OVEN.sub(" ", sentence)
        if not at_the_oven and not re.search(r"\b(?:oven|steam|hot|heated|preheated)\b", bare):
            continue
        for pattern in (*_POURS, _POURS_AT_THE_OVEN) if at_the_oven else _POURS:
            found = pattern.search(bare)
            if found is None:
                continue
            before = bare[: found.start()]
            if not _TUTOR.search(before) and not _NOT.search(before):
                return " ".join(found.group().split())
    return ""


def catalogue_problems(
    turned_off: Iterable[tuple[str, str]],
    moved: Iterable[str],
    catalogue: Catalogue,
    start: Spot,
    spots: Iterable[tuple[str, Spot]] = (),
) -> tuple[Problem, ...]:
    """What is wrong with turning these cautions off, or moving those to the station sheet.

    ``spots`` are the places of the names in the file; ``start`` stands for a name that has none.
    """
    known = [one.id for one in catalogue.cautions]
    places = dict(spots)
    problems = []
    for name, reason in turned_off:
        spot = places.get(name, start)
        caution = catalogue.caution(name)
        if caution is None:
            problems.append(_no_caution(name, known, spot))
        elif not caution.may_be_turned_off:
            problems.append(
                Problem(
                    spot,
                    f"'{name}' cannot be turned off",
                    "it guards ovens, toppings, allergies or lives; take it off the list",
                )
            )
        elif not reason.strip():
            problems.append(
                Problem(
                    spot,
                    f"'{name}' is turned off without a reason",
                    "write the reason; it is printed",
                )
            )
    for name in moved:
        spot = places.get(name, start)
        caution = catalogue.caution(name)
        if caution is None:
            problems.append(_no_caution(name, known, spot))
        elif not caution.may_be_moved:
            problems.append(
                Problem(
                    spot,
                    f"'{name}' cannot be moved off the card",
                    "it holds its place there; take it off the list",
                )
            )
    return tuple(problems)


def _no_caution(name: str, known: Sequence[str], spot: Spot) -> Problem:
    near = difflib.get_close_matches(name, known, 1, 0.6)
    right = f"did you mean '{near[0]}'?" if near else "the names stand in the catalogue"
    return Problem(spot, f"there is no caution '{name}'", right)
