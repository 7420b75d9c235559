"""Where the cautions that fired are printed: few enough to be read, where the hand will be, and none lost.

On a card a caution stands before the first step of the product that fires it, at most three to a step; if three others
stand there, before the next step that fires it. At every loading and taking-out two places are held for the hot oven and the
steam of its door, and a third for the tutor's steam where the tutor pours. Food safety of toppings and the first washing of
hands stay on the card. What finds no room goes to the station sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from classpack.model.method import Step
from classpack.model.safety import (
    RESERVED,
    TUTOR_STEAM,
    Catalogue,
    FiredCaution,
    Placed,
    TurnedOff,
    severity_rank,
)
from classpack.planning.safety.cautions import OVEN_STAGES

MOST_PER_STEP = 3


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
) -> Placed:
    """Give every caution of one product its place.

    Args:
        steps: the product's method in order; ``fired[n]`` is what ``steps[n]`` fired.
        home: what is said at the card's end.
        off: (caution, reason) turned off by the tutor; what may not be turned off stays.
        moved: cautions the tutor moved to the station sheet; what may not be moved stays.
        already: cautions printed further up the same card, with the base dough; only reserved ones are printed again.
    """
    reasons = dict(off)
    to_station = frozenset(moved)
    reserved = [reserved_at(steps, number) for number in range(len(steps))]
    card: list[list[FiredCaution]] = [
        [one for one in group if one.id in reserved[number]] for number, group in enumerate(fired)
    ]
    held = {one.id for group in card for one in group}
    waiting: list[list[FiredCaution]] = [[] for _ in steps]
    at_home: list[FiredCaution] = []
    station: list[FiredCaution] = []
    tutor: list[FiredCaution] = []
    turned_off: list[TurnedOff] = []
    earlier: list[FiredCaution] = []
    for number, one in _firsts(fired, home):
        caution = one.caution
        if caution.audience == "tutor":
            tutor.append(one)
        elif one.id in reasons and caution.may_be_turned_off:
            turned_off.append(TurnedOff(one, reasons[one.id]))
        elif caution.place == "station" or (one.id in to_station and caution.may_be_moved):
            station.append(one)
        elif number is None or caution.place == "home":
            at_home.append(one)
        elif one.id in already:
            if one.id not in held:
                earlier.append(one)
        elif one.id not in {other.id for other in card[number]}:
            waiting[number].append(one)
    kept_over: list[tuple[int, FiredCaution]] = []
    carried: list[FiredCaution] = []
    for number, group in enumerate(waiting):
        here = {one.id for one in fired[number]}
        ranked = _ranked((*group, *(one for one in carried if one.id in here)), catalogue)
        room = MOST_PER_STEP - len(card[number])
        card[number] += ranked[:room]
        taken = {one.id for one in ranked[:room]}
        carried = [one for one in carried if one.id not in taken]
        for one in group:
            if one.id in taken or one.id in held:
                continue
            if one.caution.kept:
                kept_over.append((number, one))
            else:
                carried.append(one)
    station += carried
    for number, one in kept_over:
        nearest = [*range(number - 1, -1, -1), *range(number + 1, len(steps))]
        free = [n for n in nearest if len(card[n]) < MOST_PER_STEP]
        card[free[0] if free else number].append(one)
    ranked_home = _ranked(at_home, catalogue)
    return Placed(
        before=tuple(tuple(group) for group in card),
        at_home=ranked_home[:MOST_PER_STEP],
        station=_ranked((*station, *ranked_home[MOST_PER_STEP:]), catalogue),
        tutor=_ranked(tutor, catalogue),
        off=tuple(turned_off),
        earlier=tuple(earlier),
    )


def left_on(
    fired: Sequence[FiredCaution], off: Iterable[tuple[str, str]]
) -> tuple[FiredCaution, ...]:
    """What is left of ``fired`` when ``off`` are turned off: what the check for unguarded steps must look at."""
    names = {name for name, _ in off}
    return tuple(one for one in fired if one.id not in names or not one.caution.may_be_turned_off)


def merged(
    groups: Iterable[Iterable[FiredCaution]], catalogue: Catalogue
) -> tuple[FiredCaution, ...]:
    """Each caution of several groups once, with the highest word and every reason; most severe first."""
    found: dict[str, FiredCaution] = {}
    for group in groups:
        for one in group:
            other = found.get(one.id)
            if other is None:
                found[one.id] = one
            else:
                word = max(one.severity, other.severity, key=severity_rank)
                why = tuple(dict.fromkeys((*other.why, *one.why)))
                found[one.id] = FiredCaution(one.caution, word, why)
    return _ranked(tuple(found.values()), catalogue)


def _firsts(
    fired: Sequence[Sequence[FiredCaution]], home: Sequence[FiredCaution]
) -> list[tuple[int | None, FiredCaution]]:
    """Each caution once, at the first step that fires it."""
    seen: set[str] = set()
    found: list[tuple[int | None, FiredCaution]] = []
    for number, group in enumerate(fired):
        for one in group:
            if one.id not in seen:
                seen.add(one.id)
                found.append((number, one))
    found += [(None, one) for one in home if one.id not in seen]
    return found


def _ranked(group: Sequence[FiredCaution], catalogue: Catalogue) -> tuple[FiredCaution, ...]:
    """Ovens and food safety of toppings first, then the highest word, then the catalogue's order."""
    return tuple(
        sorted(
            group,
            key=lambda one: (
                not (one.caution.kept or one.caution.reserved),
                -severity_rank(one.severity),
                catalogue.order(one.id),
            ),
        )
    )
