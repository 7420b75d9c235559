"""What a class file states of a room in which nothing with gluten is worked: seven questions, and the test that alone opens a claim.

It is said of the room, never of a person, so shared sheets may depend on it.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, get_args

from classpack.errors import Spot

Answer = Literal["yes", "no", "not known"]
ANSWERS: tuple[Answer, ...] = get_args(Answer)

RoomQuestion = Literal[
    "no loose flour",
    "cleaned",
    "own tools",
    "packs read",
    "nothing brought in",
    "told in writing",
    "bread tested",
]
ROOM_QUESTIONS: tuple[RoomQuestion, ...] = get_args(RoomQuestion)
"""The keys of the class file's ``without gluten``, each asked so that yes is the answer that lets somebody in. ``bread tested``
must be answered too, but its no only keeps the claim shut. (Reading of a coeliac charity's guidance for caterers; the list is ours.)"""


@dataclass(frozen=True, slots=True)
class RoomAnswer:
    """One answer: who says so, and when; both are there wherever it is yes."""

    question: RoomQuestion
    answer: Answer
    by: str = ""
    on: datetime.date | None = None
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class BreadTest:
    """A laboratory's result for this recipe in this room, in mg of gluten per kg (None: none found), and the sentence that the
    tutor signs with their name."""

    laboratory: str
    on: datetime.date
    found_mg_per_kg: Fraction | None
    sentence: str
    signed: str


@dataclass(frozen=True, slots=True)
class GlutenRoom:
    """The answers of a class file, in the order of :data:`ROOM_QUESTIONS`, and the test if there was one."""

    answers: tuple[RoomAnswer, ...]
    test: BreadTest | None = None
    spot: Spot | None = field(default=None, compare=False, repr=False)

    @property
    def open(self) -> tuple[RoomQuestion, ...]:
        """The questions that keep somebody with coeliac disease or a wheat allergy out, none when all is answered."""
        said = {one.question: one.answer for one in self.answers}
        good = {"bread tested": ("yes", "no")}
        return tuple(one for one in ROOM_QUESTIONS if said.get(one) not in good.get(one, ("yes",)))


def may_be_claimed(found_mg_per_kg: Fraction | None, region: str) -> bool:
    """May bread with so much gluten be called gluten-free? At most 20 mg/kg (Regulation (EU) No 828/2014, annex, kept by the UK),
    below 20 in the US (21 CFR 101.91, from memory), none that can be found in Australia and New Zealand (Food Standards Code,
    Standard 1.2.7, from memory).

    >>> [may_be_claimed(Fraction(20), region) for region in ("UK", "EU", "US", "AU")]
    [True, True, False, False]
    """
    if found_mg_per_kg is None:
        return True
    if region in ("AU", "NZ"):
        return False
    return found_mg_per_kg < 20 if region == "US" else found_mg_per_kg <= 20
