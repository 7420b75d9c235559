"""What of a step may not be printed: a harm that no caution guards against, lye, a student told to bring water into a hot oven.

Guarded is guarded against the same harm: "fresh bread burns" does not answer for a torch.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from classpack.errors import Problem, Spot
from classpack.model.method import PROOF_STAGES, Step
from classpack.model.safety import (
    HARMS,
    HOT_HARMS,
    NOTHING,
    Catalogue,
    FiredCaution,
    PlaceFacts,
    Trigger,
)
from classpack.planning.safety.cautions import (
    CUTS_DOUGH_STAGES,
    OVEN_STAGES,
    is_near_heat,
    own_text,
    posed,
    step_words,
    words_hit,
)
from classpack.planning.safety.places import left_on

HOT_FROM_C = 60
"""From this temperature on, what is handled scalds in seconds (American Burn Association: 60 °C in about five; from memory)."""
_DEGREES = re.compile(r"\b(\d{2,3}) ?(?:°|degrees? |grad )? ?(c|f|celsius|fahrenheit)\b")


MILD = ("dust", "raw flour", "lifting", "slips")
"""Harms a tutor may answer for with a reason instead of a caution; those of heat, blades, machines and poison never."""


def answering(
    fired: Sequence[FiredCaution], off: Iterable[tuple[str, str]]
) -> tuple[FiredCaution, ...]:
    """What of ``fired`` answers for a step's harms: all that is not turned off, and what is against a mild harm even then."""
    left = left_on(fired, off)
    return tuple(one for one in fired if one in left or set(one.caution.guards) <= set(MILD))


def step_problems(
    step: Step, fired: Sequence[FiredCaution], facts: PlaceFacts, catalogue: Catalogue
) -> tuple[Problem, ...]:
    """What of one step may not be printed. ``fired``: what is left of its cautions after those turned off.

    A trigger nobody knows; an ingredient nobody knows; lye; something that may burn, cut, shock or poison and that no caution
    guards against; a step that tells a student to bring water or ice into a hot oven.
    """
    spot = step.spot or Spot("", 1)
    problems = []
    for stated in step.does:
        if stated.lower() != NOTHING and catalogue.trigger(stated) is None:
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
    says_lye = [word for hit, word in words_hit(step, catalogue) if hit.id == LYE]
    if says_lye:
        problems.append(lye_problem(spot, says_lye[0]))
    problems += [
        Problem(spot, f"the step says '{cause}' and nothing guards against {harm}", _state(said))
        for harm, cause, said in _unguarded(step, fired, facts, catalogue)
    ]
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


LYE = "lye"


def lye_problem(spot: Spot, word: str) -> Problem:
    """Lye blinds in seconds: no class is planned with it."""
    return Problem(
        spot,
        f"'{word}': no class is planned with lye, it burns skin and blinds",
        "boil in water with baking soda, as in 'bath: Lower the pretzels into the soda bath.', and leave the word out",
    )


def _state(said: str) -> str:
    return f"write 'does: [{said}]' or what else it does, or 'does: nothing' if it hurts nobody"


def _unguarded(
    step: Step, fired: Sequence[FiredCaution], facts: PlaceFacts, catalogue: Catalogue
) -> Iterable[tuple[str, str, str]]:
    """What a step poses, or may pose by its words, and no caution on a student's paper guards against: the harm, the word or
    stage, and what ``does`` may say. Each harm once; only what it may pose is silenced by ``does: nothing``.
    """
    guarded = {
        harm for one in fired if one.caution.audience != "tutor" for harm in one.caution.guards
    }
    if guarded.intersection(HOT_HARMS) - {"hot food"}:
        guarded.add(SOMETHING_HOT)
    found: dict[str, tuple[str, str]] = {}
    for name, whys in posed(step, facts, catalogue).items():
        trigger = catalogue.trigger(name)
        why = next((one for one in whys if one.kind in ("stage", "stated", "word")), None)
        behind_door = step.stage == "bake" and trigger is not None and trigger.harm == "hot food"
        if trigger is not None and trigger.harm and why and name != LYE and not behind_door:
            found.setdefault(trigger.harm, (why.what, trigger.names[0]))
    if NOTHING not in map(str.lower, step.does):
        for trigger, word in _suspects(step, catalogue):
            found.setdefault(trigger.harm, (word, trigger.asks))
        if degrees := _hot_degrees(step):
            found.setdefault(SOMETHING_HOT, (degrees, "hot thing"))
    return [(harm, *found[harm]) for harm in HARMS if harm in found and harm not in guarded]


def _suspects(step: Step, catalogue: Catalogue) -> Iterable[tuple[Trigger, str]]:
    """The words of a step that may be dangerous: heat not where dough proves, cuts not where dough is divided."""
    text = ". ".join((step.head, own_text(step), step.ready_when))
    for trigger, word in catalogue.hits(text, is_near_heat(step, catalogue)):
        quiet = (
            not trigger.asks
            or trigger.id == HEATS_MEANWHILE
            or (trigger.hot and step.stage in PROOF_STAGES)
            or (trigger.harm == "blade" and step.stage in CUTS_DOUGH_STAGES)
        )
        if not quiet:
            yield trigger, word


def _hot_degrees(step: Step) -> str:
    """A temperature that scalds, told of where hands work or dough rests; not the middle of a bread."""
    if step.stage in PROOF_STAGES:
        return ""
    text = ". ".join((step.head, own_text(step))).lower()
    for found in _DEGREES.finditer(text):
        number = Fraction(found[1])
        celsius = number if found[2][0] == "c" else (number - 32) * 5 / 9
        if celsius >= HOT_FROM_C:
            return " ".join(found[0].split())
    return ""


SOMETHING_HOT = "something hot"
HEATS_MEANWHILE = "heats-meanwhile"


def method_problems(
    method: Sequence[Step], fired: Sequence[Sequence[FiredCaution]], catalogue: Catalogue
) -> tuple[Problem, ...]:
    """Something heated while dough proves or to pass the time, in a method no step of which guards against hot liquid or oil."""
    guarded = {harm for group in fired for one in group for harm in one.caution.guards}
    if guarded & {"hot liquid", "hot oil"}:
        return ()
    problems = []
    for step in method:
        if NOTHING in map(str.lower, step.does):
            continue
        told = step_words(step) if step.stage in PROOF_STAGES else step.meanwhile
        for trigger, word in catalogue.hits(told, near_heat=False):
            if trigger.id == HEATS_MEANWHILE:
                problems.append(
                    Problem(
                        step.spot or Spot("", 1),
                        f"'{word}' is said while the dough waits and no step guards against {trigger.harm}",
                        "make it a step of its own, as in 'hob: Heat the milk.', or write 'does: nothing' if it hurts nobody",
                    )
                )
    return tuple(problems)


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
