"""The day with its times: the planner's problem, what its numbers stand for, and the plan that answers it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, get_args

from classpack.errors import Remark
from classpack.model.day import DayPlan, DayProblem
from classpack.model.kitchen import Oven


@dataclass(frozen=True, slots=True)
class LotMade:
    """Whose bread a lot is: a variation's pieces at one station, and the people (indexes) who make them."""

    variation: str
    pieces: int
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class StepMade:
    """Which steps of the base method a planned step stands for (indexes), empty for hand-washing."""

    name: str
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class DaySetting:
    """The planner's problem and what its numbers stand for.

    ``stations`` are names in the problem's order; the tutor's demonstration batch, if there is one, is last and called
    ``tutor``. ``lots`` [station][lot], ``steps`` [station][step]; ``ovens`` are the kitchen's ovens that may be used.
    """

    problem: DayProblem
    stations: tuple[str, ...]
    lots: tuple[tuple[LotMade, ...], ...]
    steps: tuple[tuple[StepMade, ...], ...]
    ovens: tuple[Oven, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class TimedDay:
    """The plan of the day. Minutes count from the start of the class; ``start_min`` is that start on the clock."""

    setting: DaySetting
    plan: DayPlan
    start_min: int

    def clock(self, minute: int) -> int:
        """A minute of the plan as minutes after midnight."""
        return self.start_min + minute


EntryKind = Literal[
    "event", "hands", "rest", "bulk proof", "shape", "final proof", "chill", "prepare", "load", "take out", "cool", "clean",
    "switch on", "heat",
]  # fmt: skip
ENTRY_KINDS: tuple[EntryKind, ...] = get_args(EntryKind)


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing on somebody's clock, in minutes from the start of the class.

    ``what`` is an event's or step's name; ``steps`` are indexes into the base method; a lot has its ``variation``,
    ``pieces`` and ``people``, and ``lot`` says which of its station's it is. ``chill`` is its time in the fridge,
    ``prepare`` what hands do between the final proof and the oven. A load has its ``oven``, the ``dial_c`` of that oven, the ``shelves`` it stands on (1 is the
    top one) and the minute it is ``out_min``. ``latest_min`` is how long a dough may wait at most.
    """

    kind: EntryKind
    start_min: int
    end_min: int
    what: str = ""
    steps: tuple[int, ...] = ()
    variation: str = ""
    pieces: int = 0
    people: tuple[int, ...] = ()
    lot: int = 0
    station: str = ""
    oven: str = ""
    dial_c: Fraction | int = 0
    shelves: tuple[int, ...] = ()
    out_min: int = 0
    latest_min: int | None = None

    @property
    def minutes(self) -> int:
        """How long it takes."""
        return self.end_min - self.start_min


@dataclass(frozen=True, slots=True)
class DayClocks:
    """The plan told three ways: per station (by name), for the tutor, and per oven (by name)."""

    stations: tuple[tuple[str, tuple[Entry, ...]], ...]
    tutor: tuple[Entry, ...]
    ovens: tuple[tuple[str, tuple[Entry, ...]], ...]

    def station(self, name: str) -> tuple[Entry, ...]:
        """The entries of one station, none if nobody bakes there."""
        return next((entries for key, entries in self.stations if key == name), ())
