"""The risk assessment of a class in five steps: a row for each kind of hazard that fired, scored and signed by the tutor, never by this program.

What can hurt; who and how; what is done already; how bad and how likely; what else, who, by when: the steps and columns of the
Health and Safety Executive's "Risk assessment: a brief guide" (08/14) and its template. Likelihood times severity is a
convention, not law; the bands are printed beside the score.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from classpack.errors import Remark
from classpack.model.risk import RiskAnswer, Score
from classpack.model.safety import Caution, FiredCaution, severity_rank

LEARNERS_PER_TUTOR = 12
"""A remark above it: project's choice, stricter than any published figure."""
MOST_LEARNERS = 20
"""Stop and confirm above it: Schools (Scotland) Code 1956; Northern Ireland 1973, Regulation 15 (union briefing)."""
UNDER_16_PER_ADULT = 8
"""Project's choice; no national ratio was found."""


GROUPS: Mapping[str, tuple[str, ...]] = {
    "oven": (
        "hot-oven", "oven-look-inside", "oven-door-steam", "steam-pour-water", "steam-glass", "mist-on-bench", "lidded-pot",
        "bowl-over", "oven-own-steam", "hot-stone", "children-and-heat",
    ),
    "hot things": ("heat",),
    "hob": ("boiling-water", "boil-dough", "hot-oil", "hot-pan", "hot-sugar", "microwave-liquid"),
    "fire": (
        "oil-fire", "oven-fire", "open-flame", "grill-flare", "baking-paper", "gas-light", "gas-smell", "flour-flame",
    ),
    "blades": ("sharp",),
    "machines": ("machine", "electric"),
    "dust": ("dust",),
    "floor": ("floor",),
    "lifting": ("lifting",),
    "raw food": ("raw-dough", "raw-egg", "raw-meat"),
    "hands": ("wash-hands", "clean-bench", "ill-stay-home", "cover-cuts"),
    "spoils": ("food",),
    "allergens": ("allergen",),
    "chemicals": ("chemical",),
    "help": ("people", "anaphylaxis-act"),
}  # fmt: skip
"""The form's rows in their order: each takes the cautions named, or else those of a hazard of the catalogue."""

_GROUP_OF = {name: group for group, names in GROUPS.items() for name in names}


def group_of(caution: Caution) -> str:
    """The row a caution belongs to, by its name, else by its hazard."""
    return _GROUP_OF.get(caution.id) or _GROUP_OF[caution.hazard]


@dataclass(frozen=True, slots=True)
class RiskRow:
    """One row: a group of :data:`GROUPS` and what fired of it, the most severe first. ``answer`` is what the tutor's file says,
    blank where it says nothing: nothing is ever scored or ticked here."""

    group: str
    fired: tuple[FiredCaution, ...]
    answer: RiskAnswer


def risk_rows(
    fired: Iterable[FiredCaution], answers: Mapping[str, RiskAnswer]
) -> tuple[RiskRow, ...]:
    """A row for every group with a caution of ``fired`` that is about harm."""
    found: dict[str, list[FiredCaution]] = {group: [] for group in GROUPS}
    for one in fired:
        if severity_rank(one.severity):
            found[group_of(one.caution)].append(one)
    return tuple(
        RiskRow(
            group,
            tuple(sorted(some, key=lambda one: -severity_rank(one.severity))),
            _together([answers[one.id] for one in some if one.id in answers]),
        )
        for group, some in found.items()
        if some
    )


def _together(answers: Sequence[RiskAnswer]) -> RiskAnswer:
    """What was answered to several hazards of a row: all that is done and to do, the worst scores."""

    def worst(scores: Iterable[Score | None]) -> Score | None:
        return max((one for one in scores if one), key=lambda one: one.product, default=None)

    def listed(texts: Iterable[str]) -> str:
        return "; ".join(dict.fromkeys(filter(None, texts)))

    return RiskAnswer(
        already_done=tuple(done for one in answers for done in one.already_done),
        before=worst(one.before for one in answers),
        after=worst(one.after for one in answers),
        action=listed(one.action for one in answers),
        owner=listed(one.owner for one in answers),
        by=listed(one.by for one in answers),
    )


def unknown_answers(
    answers: Mapping[str, RiskAnswer], rows: Iterable[RiskRow]
) -> tuple[Remark, ...]:
    """Remarks for answers to hazards this class does not have."""
    known = {one.id for row in rows for one in row.fired}
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
