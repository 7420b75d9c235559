"""The two-minute safety talk: what to say before anyone starts, in the order in which the class will meet the hazards."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from classpack.model.kitchen import Kitchen
from classpack.model.safety import RESERVED, Catalogue, FiredCaution, severity_rank
from classpack.planning.safety.emergency import EmergencyCall

WORDS_A_MINUTE = 130
"""Calm speech; common practice, no source."""
MOST_SECONDS = 120


@dataclass(frozen=True, slots=True)
class Met:
    """A caution and the first minute at which the class meets it (or a step's place in the order, before there is a clock)."""

    minute: int
    fired: FiredCaution


def order_of_day(
    groups: Iterable[tuple[int, Sequence[FiredCaution]]], catalogue: Catalogue
) -> tuple[Met, ...]:
    """Each caution once, at the earliest minute it is met and with its highest word, in the order of the day."""
    found: dict[str, Met] = {}
    for minute, group in groups:
        for one in group:
            known = found.get(one.id)
            if known is None:
                found[one.id] = Met(minute, one)
                continue
            word = max(known.fired.severity, one.severity, key=severity_rank)
            why = tuple(dict.fromkeys((*known.fired.why, *one.why)))
            found[one.id] = Met(
                min(minute, known.minute), replace(known.fired, severity=word, why=why)
            )
    return tuple(
        sorted(found.values(), key=lambda met: (met.minute, catalogue.order(met.fired.id)))
    )


@dataclass(frozen=True, slots=True)
class BriefingLine:
    """One thing to say, in English except for what a caution says. ``caution`` is its id, empty for the opening and the end.

    ``kind`` is ``exit``, ``first aid``, ``burn``, ``emergency``, ``medicine``, ``unsure`` or ``caution``: a sheet says the
    others in its own language.
    """

    text: str
    caution: str = ""
    minute: int | None = None
    kind: str = "caution"


@dataclass(frozen=True, slots=True)
class Briefing:
    """The talk, its length, and what did not fit and stands on cards and station sheets."""

    lines: tuple[BriefingLine, ...]
    seconds: int
    left_out: tuple[str, ...]


def briefing(
    met: Sequence[Met], kitchen: Kitchen, call: EmergencyCall, turned_off: Iterable[str] = ()
) -> Briefing:
    """Opening, the class's cautions in the order of the day, and the end, in two minutes.

    If there are more cautions than time the mildest are left out, the oven's and allergies never; the order stays.
    """
    opening = [BriefingLine(text, kind=kind) for kind, text in _opening(kitchen, call)]
    closing = [
        BriefingLine("Not sure? Stop and ask. Nobody hurries at an oven.", kind="unsure"),
    ]
    room = MOST_SECONDS - _seconds(opening) - _seconds(closing)
    off = frozenset(turned_off)
    said = [
        one
        for one in met
        if one.fired.caution.audience != "tutor"
        and one.fired.caution.place != "home"
        and one.fired.id not in off
        and one.fired.severity != "NOTICE"
    ]
    chosen: set[str] = set()
    for one in sorted(said, key=_importance):
        line = _seconds([BriefingLine(one.fired.caution.short)])
        if line <= room:
            room -= line
            chosen.add(one.fired.id)
    middle = [
        BriefingLine(one.fired.caution.short, one.fired.id, one.minute)
        for one in said
        if one.fired.id in chosen
    ]
    lines = (*opening, *middle, *closing)
    left = tuple(one.fired.id for one in said if one.fired.id not in chosen)
    return Briefing(lines, _seconds(lines), left)


def _opening(kitchen: Kitchen, call: EmergencyCall) -> list[tuple[str, str]]:
    aider, box = kitchen.first_aider or "(say who)", kitchen.first_aid_box or "(show it)"
    lines = [
        ("exit", f"Way out: {kitchen.fire_exit or '(show it)'}."),
        ("first aid", f"First aid: {aider}; the box is {box}."),
        ("burn", "A burn: cool running tap water at once, 20 minutes. One tap stays free for it."),
    ]
    if call.call:
        lines.append(("emergency", f"Emergency: {call.call}."))
    medicine = "Allergy or asthma? Keep your medicine on you. Tell me again now if I should know."
    lines.append(("medicine", medicine))
    return lines


def _importance(met: Met) -> tuple[bool, bool, int, int]:
    caution = met.fired.caution
    first = met.fired.id in RESERVED or caution.hazard == "allergen"
    return (not first, not caution.kept, -severity_rank(met.fired.severity), met.minute)


def _seconds(lines: Iterable[BriefingLine]) -> int:
    words = sum(len(line.text.split()) for line in lines)
    return -(-words * 60 // WORDS_A_MINUTE)
