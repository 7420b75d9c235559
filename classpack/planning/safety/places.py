"""Where the cautions that fired are printed: where the hand will be, each once, and none lost.

On a card a caution stands before the first step of the product that fires it. At every loading and taking-out places are held
for the hot oven and the steam of its door, and where the tutor pours for that steam. What a step's own words fire stays on the
card that says them, even if it else hangs at the station or on the wall. An allergen of the shared dough cannot be kept apart
by anybody alone: it is told at the station. :mod:`classpack.planning.safety.frames` groups what stands on one card.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from classpack.model.method import WAIT_STAGES, Step
from classpack.model.safety import (
    RESERVED,
    TUTOR_STEAM,
    Catalogue,
    FiredCaution,
    Placed,
    Trigger,
    TurnedOff,
    Why,
    ranked,
)
from classpack.planning.safety.cautions import OVEN_STAGES


def reserved_at(steps: Sequence[Step], number: int) -> tuple[str, ...]:
    """The cautions that hold places before step ``number``.

    A bake just after its loading is guarded by what stands before the loading and does not repeat it, except for steam that
    the loading did not tell of.
    """
    step = steps[number]
    if step.stage not in OVEN_STAGES:
        return ()
    pours = step.steam == "tutor pours" and step.stage != "take out"
    if step.stage == "bake" and number and steps[number - 1].stage == "load":
        told = steps[number - 1].steam == "tutor pours"
        return (TUTOR_STEAM,) if pours and not told else ()
    return (*RESERVED, TUTOR_STEAM) if pours else RESERVED


def place(
    steps: Sequence[Step],
    fired: Sequence[Sequence[FiredCaution]],
    catalogue: Catalogue,
    home: Sequence[FiredCaution] = (),
    off: Iterable[tuple[str, str]] = (),
    moved: Iterable[str] = (),
    already: frozenset[str] = frozenset(),
    shared: int = 0,
) -> Placed:
    """Give every caution of one product its place.

    Args:
        steps: the product's method in order; ``fired[n]`` is what ``steps[n]`` fired.
        home: what is said at the card's end.
        off: (caution, reason) turned off by the tutor; what may not be turned off stays.
        moved: cautions the tutor moved to the station sheet; what may not be moved stays.
        already: cautions printed further up the same card, with the base dough; only reserved ones are printed again.
        shared: how many of the first steps are the base dough's.
    """
    reasons = dict(off)
    to_station = frozenset(moved)
    reserved = [reserved_at(steps, number) for number in range(len(steps))]
    card: list[list[FiredCaution]] = [
        [one for one in group if one.id in reserved[number]] for number, group in enumerate(fired)
    ]
    held = {one.id for group in card for one in group}
    at_home: list[FiredCaution] = []
    station: list[FiredCaution] = []
    wall: list[FiredCaution] = []
    tutor: list[FiredCaution] = []
    turned_off: list[TurnedOff] = []
    earlier: list[FiredCaution] = []
    for number, one in _firsts(steps, fired, home, shared):
        caution = one.caution
        own = number is not None and _only_guard(one, fired[number], catalogue)
        if caution.audience == "tutor":
            tutor.append(one)
        elif one.id in reasons and caution.may_be_turned_off:
            turned_off.append(TurnedOff(one, reasons[one.id]))
        elif (one.id in to_station and caution.may_be_moved) or (
            caution.place == "station" and not own
        ):
            station.append(one)
        elif caution.place == "wall" and not own:
            wall.append(one)
        elif number is None or caution.place == "home":
            at_home.append(one)
        elif caution.hazard == "allergen" and not _handled(steps, number, shared):
            station.append(one)
        elif one.id in already:
            if one.id not in held:
                earlier.append(one)
        elif one.id not in {other.id for other in card[number]}:
            card[number].append(one)
    return Placed(
        before=tuple(ranked(group) for group in card),
        at_home=ranked(at_home),
        station=ranked(station),
        tutor=ranked(tutor),
        off=tuple(turned_off),
        earlier=tuple(earlier),
        wall=ranked(wall),
    )


def _only_guard(one: FiredCaution, beside: Sequence[FiredCaution], catalogue: Catalogue) -> bool:
    """Do a step's own words pose a harm that on its card nothing but this caution guards against?"""
    posed = {
        trigger.harm
        for why in one.why
        for trigger in _said_by(why, catalogue)
        if trigger.id in one.caution.triggers
    }
    guarded = {
        harm
        for other in beside
        if other.caution.place == "step" and other.caution.audience != "tutor"
        for harm in other.caution.guards
    }
    return bool((posed & set(one.caution.guards)) - guarded)


def _said_by(why: Why, catalogue: Catalogue) -> Iterable[Trigger]:
    """The triggers of a word, or of what ``does`` says."""
    if why.kind == "word":
        return [trigger for trigger, _ in catalogue.hits(why.what)]
    stated = catalogue.trigger(why.what) if why.kind == "stated" else None
    return [stated] if stated is not None else []


def left_on(
    fired: Sequence[FiredCaution], off: Iterable[tuple[str, str]]
) -> tuple[FiredCaution, ...]:
    """What is left of ``fired`` when ``off`` are turned off: what the check for unguarded steps must look at."""
    names = {name for name, _ in off}
    return tuple(one for one in fired if one.id not in names or not one.caution.may_be_turned_off)


def _handled(steps: Sequence[Step], number: int, shared: int) -> bool:
    """Does a step of the bread's own work with what it names? What is told while it bakes is no work."""
    return number >= shared and steps[number].stage not in (*WAIT_STAGES, *OVEN_STAGES)


def _firsts(
    steps: Sequence[Step],
    fired: Sequence[Sequence[FiredCaution]],
    home: Sequence[FiredCaution],
    shared: int = 0,
) -> list[tuple[int | None, FiredCaution]]:
    """Each caution once, at the first step that fires it, with every reason; an allergen's at the first step of the bread's own."""
    every: dict[str, list[tuple[int | None, FiredCaution]]] = {}
    for number, group in enumerate(fired):
        for one in group:
            every.setdefault(one.id, []).append((number, one))
    for one in home:
        every.setdefault(one.id, []).append((None, one))
    found = []
    for told in every.values():
        own = [pair for pair in told if pair[0] is not None and _handled(steps, pair[0], shared)]
        allergen = told[0][1].caution.hazard == "allergen"
        found.append(own[0] if allergen and own else told[0])
    return found
