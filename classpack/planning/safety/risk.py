"""The risk assessment of a class: a row for each hazard that fired, scored and signed by the tutor, never by this program.

Columns follow HSE's template (what are the hazards, who might be harmed and how, what are you already doing, what further
action, who, by when, done). Likelihood times severity is a convention, not law; the bands are printed beside the score.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from classpack.errors import Remark
from classpack.model.risk import RiskAnswer, Score
from classpack.model.safety import Catalogue, FiredCaution, Source

LEARNERS_PER_TUTOR = 12
"""A remark above it: project's choice, stricter than any published figure."""
MOST_LEARNERS = 20
"""Stop and confirm above it: Schools (Scotland) Code 1956; Northern Ireland 1973, Regulation 15 (union briefing)."""
UNDER_16_PER_ADULT = 8
"""Project's choice; no national ratio was found."""


@dataclass(frozen=True, slots=True)
class RiskRow:
    """One row. ``suggested`` are the catalogue's controls, strongest first, to be struck out or kept by hand; ``already_done``
    only what the tutor's file says is done. ``confirm``: stated from memory. Nothing is ever ticked."""

    caution: str
    severity_word: str
    hazard: str
    who: str
    suggested: tuple[str, ...]
    already_done: tuple[str, ...]
    before: Score | None
    after: Score | None
    action: str
    owner: str
    by: str
    sources: tuple[Source, ...]
    confirm: bool


def risk_rows(
    fired: Iterable[FiredCaution], catalogue: Catalogue, answers: Mapping[str, RiskAnswer]
) -> tuple[RiskRow, ...]:
    """A row for every caution of ``fired`` that is about harm, in the given order."""
    rows = []
    for one in fired:
        caution = one.caution
        if caution.severity == "NOTICE" and one.severity == "NOTICE":
            continue
        answer = answers.get(caution.id, RiskAnswer())
        rows.append(
            RiskRow(
                caution=caution.id,
                severity_word=one.severity,
                hazard=caution.full,
                who=caution.who,
                suggested=caution.controls,
                already_done=answer.already_done,
                before=answer.before,
                after=answer.after,
                action=answer.action,
                owner=answer.owner,
                by=answer.by,
                sources=tuple(catalogue.source(name) for name in caution.sources),
                confirm=caution.checked == "memory",
            )
        )
    return tuple(rows)


def unknown_answers(
    answers: Mapping[str, RiskAnswer], rows: Iterable[RiskRow]
) -> tuple[Remark, ...]:
    """Remarks for answers to hazards this class does not have."""
    known = {row.caution for row in rows}
    return tuple(
        Remark(
            "safety", f"The risk assessment answers '{name}', which does not arise in this class."
        )
        for name in answers
        if name not in known
    )


@dataclass(frozen=True, slots=True)
class Ratio:
    """Something about how many look after how many: ``kind`` is ``ceiling`` (more than ``most`` to one), ``many``, ``one adult``
    for under-16s, ``under 16`` (they need ``needed`` adults), or ``hot jobs`` (``needed`` run at once)."""

    kind: str
    learners: int
    adults: int
    most: int = 0
    needed: int = 0


@dataclass(frozen=True, slots=True)
class Supervision:
    """How many look after how many. ``must_confirm``: the class is too large to be printed without the tutor's word.

    ``ratios`` are what the sheet says; ``remarks`` the same for the terminal.
    """

    learners: int
    adults: int
    must_confirm: bool
    ratios: tuple[Ratio, ...]
    remarks: tuple[Remark, ...]


def supervision(
    learners: int, assistants: int, children: bool, hot_jobs_at_once: int = 0
) -> Supervision:
    """Remarks on the ratio of adults to learners.

    Args:
        learners: everybody who takes part.
        assistants: adults who help, without the tutor.
        children: anyone under 16.
        hot_jobs_at_once: most loads, take-outs, boilings and fryings that run in the same minutes.
    """
    adults = 1 + assistants
    ratios = []
    if learners > MOST_LEARNERS * adults:
        ratios.append(Ratio("ceiling", learners, adults, MOST_LEARNERS))
    elif learners > LEARNERS_PER_TUTOR * adults:
        ratios.append(Ratio("many", learners, adults, LEARNERS_PER_TUTOR))
    if children and adults < 2:
        ratios.append(Ratio("one adult", learners, adults))
    if children and learners > UNDER_16_PER_ADULT * adults:
        needed = -(-learners // UNDER_16_PER_ADULT)
        ratios.append(Ratio("under 16", learners, adults, UNDER_16_PER_ADULT, needed))
    if hot_jobs_at_once > adults:
        ratios.append(Ratio("hot jobs", learners, adults, needed=hot_jobs_at_once))
    remarks = tuple(Remark("group size", _told(one)) for one in ratios)
    return Supervision(learners, adults, learners > MOST_LEARNERS * adults, tuple(ratios), remarks)


def _told(one: Ratio) -> str:
    tutors = "one tutor" if one.adults == 1 else f"{one.adults} adults"
    if one.kind == "ceiling":
        return (
            f"{one.learners} learners for {tutors}: more than {one.most} to one is above the ceiling for practical "
            "classes in Scotland and Northern Ireland; confirm it in your risk assessment, or split the class."
        )
    if one.kind == "many":
        return (
            f"{one.learners} learners for {tutors}: more than {one.most} to one; twelve is easier to see and "
            "to keep from the ovens (our own limit; Scotland and Northern Ireland set twenty)."
        )
    if one.kind == "one adult":
        return (
            "Under-16s take part and there is one adult: have a second who does nothing but the ovens "
            "(UK local-authority risk assessments: adults move hot tins for primary pupils)."
        )
    if one.kind == "under 16":
        return (
            f"Under-16s take part: at most {one.most} to an adult (our own limit; no national ratio was found), "
            f"so {one.learners} need {one.needed} adults."
        )
    there = "is one adult" if one.adults == 1 else f"are {one.adults} adults"
    return f"{one.needed} hot jobs run at once and there {there}: let one wait, or name who watches which."
