"""People's needs, resolved: what each person makes in the end, and why.

:class:`NeedsPlan` has two halves. Its own fields are shareable: they say what each bread uses and where, never for whom
or why. Everything about health and belief lives in ``sheet`` (:class:`NeedsSheet`), which belongs in ``confidential/``
and nowhere else; it is left out of ``repr`` so that no log shows it by accident.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Literal, get_args

from classpack.errors import Remark, Spot
from classpack.model.class_day import Agreement, Decision, Emergency, Making
from classpack.model.class_plan import Change, Version

NeedKind = Literal["allergy", "coeliac", "diet", "state"]
KINDS: tuple[NeedKind, ...] = get_args(NeedKind)
"""What a need is. A ``state`` (pregnant, immune-weak, asthma) bears on raw dough, dust and soft toppings."""

Result = Literal["fine", "swapped", "left out", "makes something else", "not possible"]
RESULTS: tuple[Result, ...] = get_args(Result)
"""What became of one product for one person, mildest first."""


# ---------------------------------------------------------------- confidential


@dataclass(frozen=True, slots=True)
class StatedNeed:
    """One need in the program's own terms. ``typed`` is what stood in the file, ``label`` the plain word for it.

    Not eaten is whatever holds one of ``allergens`` (ids), carries one of ``tags``, is one of ``ingredients``, or has
    one of ``words`` in its name: of an allergy that no law lists, all its words. ``whole_class`` takes it out for everybody. ``severe`` is True unless the severity given says otherwise: unknown counts as severe.
    """

    typed: str
    id: str
    label: str
    kind: NeedKind
    allergens: frozenset[str] = frozenset()
    tags: frozenset[str] = frozenset()
    ingredients: frozenset[str] = frozenset()
    words: frozenset[str] = frozenset()
    severity: str = ""
    severe: bool = True
    note: str = ""
    whole_class: bool = False
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a product is as it is: ``ingredient`` holds what ``need`` excludes, and what was done about it.

    ``variation`` is the bread whose own use it is, empty for the base dough. ``holds`` says what of the need it holds (``milk``,
    ``pork``); ``action`` is one of :data:`RESULTS`; ``into`` is what took its place. ``for_everyone`` means the whole class goes
    without it. ``decided`` is the tutor's reason where a decision took the bread away; need and ingredient are empty then.
    """

    need: str
    ingredient: str
    holds: str
    variation: str
    action: Result
    into: str
    for_everyone: bool
    decided: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one product for one person: one of :data:`RESULTS`, with every reason. ``fine`` needs none."""

    index: int
    variation: str
    result: Result
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class PackCheck:
    """Packs of this ingredient differ: the one bought must not list ``allergens`` (labels). ``hint`` is the larder's."""

    ingredient: str
    allergens: tuple[str, ...]
    hint: str = ""


@dataclass(frozen=True, slots=True)
class NotToTaste:
    """Bread in the room that a person may not taste: somebody else's product, the demonstration or the spare."""

    variation: str
    holds: tuple[str, ...]


QUESTIONS = (
    "which",
    "how little",
    "carry",
    "air",
    "else",
    "changed",
    "air coeliac",
    "room told",
    "traces",
    "coconut chestnut",
    "lupin",
    "diet",
    "inhaler",
    "note",
)
"""What to ask; the sentences are in the words of the needs sheet. The first five are for everybody."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question to ask at the door: one of :data:`QUESTIONS`. ``about`` is the need's label or what the person wrote,
    ``names`` ingredients in the room, for ``traces`` the ids of allergens."""

    key: str
    about: str = ""
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PersonNeeds:
    """One person's part of the needs sheet. ``index`` counts ``ClassDay.people``; the tutor is -1.

    ``notes`` (of :data:`NOTES`) bear on this person (raw dough, soft toppings, dust); ``questions`` are to be asked again at
    the door.
    """

    index: int
    name: str
    seat: str
    asked: bool
    needs: tuple[StatedNeed, ...]
    outcomes: tuple[Outcome, ...]
    decision: Decision | None
    agreed: tuple[Agreement, ...]
    emergency: Emergency | None
    child: bool
    pack_checks: tuple[PackCheck, ...]
    not_to_taste: tuple[NotToTaste, ...]
    notes: tuple[str, ...]
    questions: tuple[Question, ...]


@dataclass(frozen=True, slots=True)
class Contact:
    """One line of the confidential register: whom to call for a person, what they must not have, where their medicine lies."""

    name: str
    seat: str
    child: bool
    needs: tuple[StatedNeed, ...]
    emergency: Emergency


@dataclass(frozen=True, slots=True)
class SeatMove:
    """One person takes another seat; moves come in rounds, so that every seat stays taken by one person."""

    index: int
    seat: str
    to_seat: str
    to_station: str


@dataclass(frozen=True, slots=True)
class Seating:
    """A suggestion, never instead of the other measures: the fewest seats found to change.

    ``shared_before`` and ``shared_after`` count people whose station carries what they are allergic to.
    """

    moves: tuple[SeatMove, ...]
    shared_before: int
    shared_after: int


@dataclass(frozen=True, slots=True)
class Removal:
    """An ingredient the whole class goes without. ``into`` empty: left out. ``why`` names the needs, not the people.

    ``variations`` are the breads it goes out of, ``""`` among them for the base dough.
    """

    ingredient: str
    into: str
    variations: tuple[str, ...]
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NeedsSheet:
    """Everything confidential. ``for_whole_class`` are needs nothing in the room may go against. ``health_groups`` (of :data:`classpack.model.safety.HEALTH_GROUPS`) raise signal words
    on the tutor's confidential sheet. ``contacts`` are everybody who comes, where there are children or somebody told whom to
    call; else none. ``delete_by``: after this date nothing of it is kept."""

    people: tuple[PersonNeeds, ...]
    removals: tuple[Removal, ...]
    for_whole_class: tuple[StatedNeed, ...]
    seating: Seating
    health_groups: frozenset[str]
    contacts: tuple[Contact, ...]
    delete_by: datetime.date


# ---------------------------------------------------------------- shareable


@dataclass(frozen=True, slots=True)
class StationCarries:
    """What is at one station, whoever works there: allergen ids and the ingredients that hold them."""

    station: str
    allergens: tuple[str, ...]
    ingredients: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class WeighTurn:
    """Tubs weighed together, then hands and scoop are washed. Named by what they hold: ``allergens`` may be empty."""

    allergens: tuple[str, ...]
    ingredients: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RegisterRow:
    """One line of the register. ``to_ask`` says that nobody asked this person yet, not what the answer would be."""

    index: int
    name: str
    station: str
    seat: str
    makes: tuple[str, ...]
    to_ask: bool


@dataclass(frozen=True, slots=True)
class NeedsPlan:
    """The result, by person index (the same as ``ClassDay.people``).

    * ``versions[i].changes`` are *all* changes to the lesson in this person's bread, those for everyone included: apply
      them to the lesson as written, once, and nothing else. ``variation`` empty is the base dough and what is used
      with it; a change for a variation's own toppings names that variation.
    * ``for_everyone`` applies to the demonstration, the spare and everything shared in the same way.
    * ``makings[i]`` is what they make in the end, empty for somebody who only watches or stays away (``attends[i]``).
    * ``mixes_alone`` are people whose base dough differs from the one others share (classes that mix by station or one
      dough for all): they weigh and mix their own. Where each person mixes, it is empty.
    * ``own_tools`` are people who work with bowl, brush, board and tray of their own, baked on the top shelf.
    * ``buy_checks`` is for whoever shops: which packs must not list what, with no word on whom it is for.
    * ``remarks`` are about foods that texts name and no bread holds; nothing in them comes from anybody's needs.
    """

    versions: tuple[Version, ...]
    makings: tuple[tuple[Making, ...], ...]
    attends: tuple[bool, ...]
    for_everyone: tuple[Change, ...]
    mixes_alone: frozenset[int]
    own_tools: frozenset[int]
    stations: tuple[StationCarries, ...]
    weigh_turns: tuple[WeighTurn, ...]
    register: tuple[RegisterRow, ...]
    buy_checks: tuple[PackCheck, ...]
    sheet: NeedsSheet = field(repr=False)
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class BeforeYouCome:
    """What the letter before the class says; the same for everybody, so nothing in it comes from anybody's needs.

    ``in_the_room`` are allergen ids of everything the lesson uses, swaps included, ``may_contain`` those of the tutor's statement
    of risk; ``cannot_serve`` is what this room cannot do (``coeliac``, ``wheat``, ``not answered``); ``tell_by`` is the last day to tell us about needs. What to wear and bring are words.
    """

    title: str
    date: datetime.date
    start_min: int
    end_min: int
    breads: tuple[str, ...]
    in_the_room: tuple[str, ...]
    may_contain: tuple[str, ...]
    cannot_serve: tuple[str, ...]
    tell_by: datetime.date
