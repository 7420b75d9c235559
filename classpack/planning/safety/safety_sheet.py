"""The wall's safety sheet and the tutor's: this class's hazards in the order of the day, first aid, whom to call."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from classpack.errors import Remark
from classpack.model.kitchen import Kitchen
from classpack.model.safety import (
    HAZARDS,
    HEALTH_GROUPS,
    RESERVED,
    Catalogue,
    Caution,
    FiredCaution,
    FirstAid,
    Settled,
    severity_rank,
)
from classpack.planning.safety.briefing import Met
from classpack.planning.safety.emergency import EmergencyCall, emergency_call

MOST_HAZARDS = 8
"""On the wall sheet, what holds for everybody all day among them; project's choice."""
AT_THE_DOOR = frozenset({"before-class", "preheats", "emergency"})
"""Triggers of what is said at the door or done before anybody bakes."""
WALL_AID = ("burn", "anaphylaxis")
"""First aid that always hangs on the wall, in this order."""


@dataclass(frozen=True, slots=True)
class SafetySheet:
    """What hangs on the wall. Empty texts are blanks to fill in by hand. One of the ``sinks`` is kept free for a burn.

    ``first_aid`` is for the front, ``more_aid`` for the back: what else the class's cautions say may be needed.
    """

    hazards: tuple[Met, ...]
    first_aid: tuple[FirstAid, ...]
    more_aid: tuple[FirstAid, ...]
    call: EmergencyCall
    address: str
    first_aider: str
    first_aid_box: str
    fire_exit: str
    sinks: int | None
    not_reviewed: bool
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class TutorSafety:
    """What only the tutor's sheet says: further cautions, what is from memory, where published rules differ."""

    cautions: tuple[FiredCaution, ...]
    confirm: tuple[Caution, ...]
    confirm_aid: tuple[FirstAid, ...]
    settled: tuple[Settled, ...]
    reviewed_by: str


def safety_sheet(met: Sequence[Met], kitchen: Kitchen, catalogue: Catalogue) -> SafetySheet:
    """The wall sheet of a class: its top hazards (the ovens' always among them) and what holds for everybody all day, in the
    order of the day."""
    shown = [
        one
        for one in met
        if one.fired.caution.audience != "tutor"
        and one.fired.severity != "NOTICE"
        and one.fired.caution.place != "home"
        and not set(one.fired.caution.triggers) <= AT_THE_DOOR
    ]
    all_day = {one.fired.id for one in shown if one.fired.caution.place == "wall"}
    others = [one for one in shown if one.fired.id not in all_day]
    top = all_day | {one.fired.id for one in _top(others, MOST_HAZARDS - len(all_day))}
    call = emergency_call(kitchen)
    return SafetySheet(
        hazards=tuple(one for one in shown if one.fired.id in top),
        first_aid=tuple(catalogue.aid(name) for name in WALL_AID),
        more_aid=_more_aid((one.fired for one in met), catalogue),
        call=call,
        address=kitchen.address,
        first_aider=kitchen.first_aider,
        first_aid_box=kitchen.first_aid_box,
        fire_exit=kitchen.fire_exit,
        sinks=kitchen.sinks,
        not_reviewed=not catalogue.reviewed,
        remarks=(*call.remarks, *_missing(kitchen)),
    )


def tutor_safety(fired: Iterable[FiredCaution], catalogue: Catalogue) -> TutorSafety:
    """The tutor's part: cautions for the tutor alone, every statement from memory, and how disagreements were settled.

    ``fired``: everything that fired in the class, each once.
    """
    every = tuple(fired)
    return TutorSafety(
        cautions=tuple(one for one in every if one.caution.audience == "tutor"),
        confirm=tuple(one.caution for one in every if one.caution.checked == "memory"),
        confirm_aid=tuple(aid for aid in _more_aid(every, catalogue) if aid.checked == "memory"),
        settled=catalogue.settled,
        reviewed_by=catalogue.reviewed_by,
    )


@dataclass(frozen=True, slots=True)
class HealthWord:
    """A caution whose word is higher for somebody in this class, for the confidential sheet only."""

    caution: Caution
    word: str
    groups: tuple[str, ...]


def health_words(fired: Iterable[FiredCaution], groups: frozenset[str]) -> tuple[HealthWord, ...]:
    """Cautions to take more seriously for people who are pregnant, older, immune-weak or have asthma.

    Health data: the result belongs on the confidential sheet and nowhere else. Shared paper never depends on it.
    """
    health = groups & frozenset(HEALTH_GROUPS)
    found = []
    for one in fired:
        for_whom = tuple(
            group
            for group, word in one.caution.raise_for
            if group in health and severity_rank(word) > severity_rank(one.severity)
        )
        if for_whom:
            word = one.caution.severity_for(frozenset(for_whom))
            found.append(HealthWord(one.caution, word, for_whom))
    return tuple(found)


def _top(shown: Sequence[Met], most: int) -> list[Met]:
    """The ovens' two and every DANGER, then the most severe of each kind of hazard, then the second of each kind.

    Of two alike, what a step of this class does comes before what holds in every class, and what injures before what spoils.
    """

    def weight(one: Met) -> tuple[int, bool, int, int]:
        everywhere = all(why.kind == "class" for why in one.fired.why)
        kind = HAZARDS.index(one.fired.caution.hazard)
        return (-severity_rank(one.fired.severity), everywhere, kind, one.minute)

    of_kind: dict[str, int] = {}
    keyed = []
    for place, one in enumerate(sorted(shown, key=weight)):
        kind = one.fired.caution.hazard
        first = one.fired.id in RESERVED or one.fired.severity == "DANGER"
        if not first:
            of_kind[kind] = of_kind.get(kind, 0) + 1
        keyed.append(((0 if first else of_kind[kind], place), one))
    return [one for _, one in sorted(keyed, key=lambda pair: pair[0])[:most]]


def _more_aid(fired: Iterable[FiredCaution], catalogue: Catalogue) -> tuple[FirstAid, ...]:
    aids = {one.caution.first_aid for one in fired} - {"", *WALL_AID}
    return tuple(aid for aid in catalogue.first_aid if aid.id in aids)


def _missing(kitchen: Kitchen) -> tuple[Remark, ...]:
    remarks = []
    for value, name, what in (
        (kitchen.address, "address", "the address an ambulance is sent to"),
        (kitchen.first_aider, "first-aider", "who gives first aid"),
        (kitchen.first_aid_box, "first-aid box", "where the first-aid box is"),
        (kitchen.fire_exit, "fire exit", "the way out and where to meet"),
    ):
        if not value:
            remarks.append(
                Remark(
                    "safety",
                    f"The safety sheet has a blank for {what}: write '{name}' in the kitchen file.",
                )
            )
    if kitchen.sinks is None:
        remarks.append(
            Remark(
                "safety",
                "Write 'sinks' in the kitchen file: a burn takes one cold tap for 20 minutes.",
            )
        )
    elif kitchen.sinks == 0:
        remarks.append(
            Remark(
                "safety",
                "There is no sink: have at least 20 minutes of clean cold water ready for a burn.",
            )
        )
    elif kitchen.sinks == 1:
        remarks.append(
            Remark(
                "safety",
                "There is one sink: its cold tap stays free for a burn, so wash up in bowls.",
            )
        )
    return tuple(remarks)


# ---------------------------------------------------------------- accidents

KEPT_YEARS = 3
"""Great Britain keeps records of reportable accidents for three years (RIDDOR 2013, regulation 12; from memory)."""


def accident_form_until(date: datetime.date) -> datetime.date:
    """Until when the accident form of a class on ``date`` is kept at most: a proposal. It holds health data.

    >>> accident_form_until(datetime.date(2028, 2, 29)).isoformat()
    '2031-02-01'
    """
    return datetime.date(date.year + KEPT_YEARS, date.month, 1)
