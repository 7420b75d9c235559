"""What scaling gives: doughs, portions, stations and needs in grams, as they are printed.

Nothing here is confidential: what a person must not have lives in :mod:`classpack.model.needs` and is handed on beside
the plan, never inside it. A person's own swaps show only as what *their* bread uses.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from classpack.model.class_day import Person, Station


@dataclass(frozen=True, slots=True)
class Change:
    """One ingredient out, another in (or nothing), in one person's bread. ``variation`` empty means the base dough."""

    out: str
    into: str
    ratio: Fraction
    method: str = ""
    variation: str = ""


@dataclass(frozen=True, slots=True)
class Version:
    """How one person's bread differs from the lesson: their changes, and what they make in the end."""

    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class Weighed:
    """One ingredient on the scale. ``grams`` is what is printed and weighed; ``exact_g`` what the formula asks for.

    ``count`` is set for things counted, not weighed (``2`` lemons); ``grams`` is then what they weigh together.
    ``bread`` names the one bread that something shared is for; it is empty for what all of them use.
    ``step_g`` is the scale's step used; ``coarse`` means ``grams`` is under 20 of its steps.
    """

    ingredient: str
    exact_g: Fraction
    grams: Fraction
    step_g: Fraction
    count: Fraction | None = None
    percent: Fraction | None = None
    purpose: str = "dough"
    instead_of: str = ""
    note: str = ""
    bread: str = ""

    @property
    def coarse(self) -> bool:
        """Is the amount under 20 steps of the scale, so that it cannot be weighed well? (OIML R 76, from memory.)"""
        return self.count is None and self.step_g > 0 and self.grams < 20 * self.step_g


UnitKind = Literal["person", "station", "class", "demonstration", "spare", "preferment"]
BatchKind = Literal["demonstration", "spare"]


@dataclass(frozen=True, slots=True)
class MixUnit:
    """One dough that is weighed and mixed together.

    ``kind`` is person, station, class, demonstration, spare or preferment. ``lines`` are what goes into the bowl; a
    preferment stands among them by its name, with the share of it that this dough takes. ``people`` are indexes into
    ``ClassDay.people``. ``needed_g`` is the dough its pieces take, without what stays in the bowl.
    """

    key: str
    kind: UnitKind
    station: str
    people: tuple[int, ...]
    lines: tuple[Weighed, ...]
    pieces: tuple[tuple[str, int], ...]
    needed_g: Fraction

    @property
    def dough_g(self) -> Fraction:
        """The dough in the bowl, in grams: the sum of what is weighed."""
        return sum((line.grams for line in self.lines), Fraction(0))

    def grams(self, ingredient: str) -> Fraction:
        """What of one ingredient goes into this dough."""
        return sum(
            (line.grams for line in self.lines if line.ingredient == ingredient), Fraction(0)
        )


@dataclass(frozen=True, slots=True)
class Portion:
    """One person's share of one variation: pieces, their dough, toppings and what they weigh baked."""

    variation: str
    pieces: int
    dough_g: Fraction
    toppings: tuple[Weighed, ...]
    trays: int
    baked_piece_g: Fraction


@dataclass(frozen=True, slots=True)
class PersonPlan:
    """What one person makes, from which dough, with which amounts."""

    index: int
    person: Person
    unit: str
    portions: tuple[Portion, ...]
    dusting: tuple[Weighed, ...]
    version: Version


@dataclass(frozen=True, slots=True)
class Batch:
    """The demonstration or a spare person's ingredients: like a person without a name."""

    kind: BatchKind
    unit: str
    portions: tuple[Portion, ...]
    dusting: tuple[Weighed, ...]


@dataclass(frozen=True, slots=True)
class StationPlan:
    """One bench: who is there, which doughs are mixed there, and everything that is weighed for it."""

    station: Station
    people: tuple[int, ...]
    units: tuple[str, ...]
    shared: tuple[Weighed, ...]
    weigh_out: tuple[Weighed, ...]


@dataclass(frozen=True, slots=True)
class NeedPart:
    """Where a part of a need comes from, in the pack's words: ``station A``, ``demonstration``, ``allowance``."""

    where: str
    grams: Fraction


@dataclass(frozen=True, slots=True)
class AmountNeeded:
    """What the whole session uses of one ingredient. ``count`` for counted things."""

    ingredient: str
    parts: tuple[NeedPart, ...]
    count: Fraction | None = None

    @property
    def grams(self) -> Fraction:
        """All parts together."""
        return sum((part.grams for part in self.parts), Fraction(0))
