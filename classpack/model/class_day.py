"""A class day: one afternoon, who comes, and who makes what."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from fractions import Fraction

from classpack.errors import Spot
from classpack.model.clock import ClockChange
from classpack.model.dough_day import DoughOrders
from classpack.model.gluten_room import GlutenRoom
from classpack.model.regions import REGIONS, Region
from classpack.quantities import Amount

LABEL_SHEETS = ("tubs", "name slips", "breads")
MIXED_BY = ("each person", "each station", "one dough for the class")


@dataclass(frozen=True, slots=True)
class Making:
    """So many pieces of one variation."""

    variation: str
    pieces: int
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class MustNotHave:
    """Something a person must not have, as stated. Confidential: it may appear on no shared sheet.

    ``name`` is an allergen id, ``coeliac``, a diet, or a state such as ``pregnant``; ``severity`` as stated or empty.
    """

    name: str
    severity: str = ""
    note: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Decision:
    """How the tutor settled one person's need: ``what`` they do instead, and the reason that is printed."""

    what: str
    reason: str
    makes: tuple[Making, ...] = ()
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Agreement:
    """Traces of ``allergen`` (an id) that one person was told of and agreed to in writing, on that day. It never lets the
    allergen itself in. Confidential."""

    allergen: str
    reason: str
    on: datetime.date
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Emergency:
    """Whom to call for one person and where their medicine lies; empty is not known. Confidential."""

    call: str = ""
    telephone: str = ""
    plan: str = ""
    medicine: str = ""
    given_by: str = ""


@dataclass(frozen=True, slots=True)
class Person:
    """One student. ``seat`` is the station's name and a number (``A1``). ``asked`` is False when nobody asked for needs."""

    name: str
    station: str
    seat: str
    makes: tuple[Making, ...]
    needs: tuple[MustNotHave, ...] = ()
    asked: bool = True
    decision: Decision | None = None
    child: bool = False
    agreed: tuple[Agreement, ...] = ()
    emergency: Emergency | None = None
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Station:
    """A bench with its people, and where it stands."""

    name: str
    place: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Pause:
    """A meal or a pause for everybody, called as the tutor calls it. It begins between ``earliest_min`` and ``latest_min`` of the class;
    None: wherever it fits."""

    name: str
    minutes: Fraction
    earliest_min: int | None = None
    latest_min: int | None = None
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Stock:
    """What is already in the cupboard."""

    ingredient: str
    amount: Amount
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class LabelGrid:
    """A sheet of labels as it lies in the printer, in millimetres; ``of`` is one of :data:`LABEL_SHEETS`.

    ``across_mm`` and ``down_mm`` are from one label's edge to the next one's. ``start`` is the first label not used yet, from 1. A
    grid with no ``columns`` only says where to start on the usual sheet.
    """

    of: str
    columns: int = 0
    rows: int = 0
    width_mm: Fraction = Fraction(0)
    height_mm: Fraction = Fraction(0)
    left_mm: Fraction = Fraction(0)
    top_mm: Fraction = Fraction(0)
    across_mm: Fraction = Fraction(0)
    down_mm: Fraction = Fraction(0)
    start: int = 1


@dataclass(frozen=True, slots=True)
class ClassDay:
    """One class. Times are minutes after midnight of ``date``; ``end_min`` may lie past midnight (above 1440).

    ``pace`` multiplies a tutor's hands-on minutes for beginners. ``assumed`` names every default that was used. ``confirmed``
    pairs what the tutor takes on their own word (``group size``) with the reason, which is printed. ``contact`` is how people tell
    us what they must not eat; ``may_contain`` are allergen ids, the tutor's own statement of risk; ``gluten_room`` what is answered
    of a room without gluten. ``tools_for_everyone``: marked tools tell nothing about anybody.
    """

    title: str
    file: str
    date: datetime.date
    start_min: int
    end_min: int
    people: tuple[Person, ...]
    stations: tuple[Station, ...]
    mixed_by: str = "each person"
    demonstration: tuple[Making, ...] = ()
    spare: tuple[Making, ...] = ()
    stock: tuple[Stock, ...] = ()
    allowance_percent: Fraction = Fraction(0)
    region: str = "UK"
    place: Region = REGIONS["UK"]
    language: str = "en"
    paper: str = "A4"
    style: str = "normal"
    currency: str = "GBP"
    school: str = ""
    accent: str = ""
    tutor: str = ""
    contact: str = ""
    assistants: int = 0
    web: str = ""
    pages: tuple[tuple[str, str], ...] = ()
    yeast_form: str = ""
    room_c: Fraction | None = None
    flour_c: Fraction | None = None
    tap_c: Fraction | None = None
    friction_c: Fraction | None = None
    pace: Fraction = Fraction(3, 2)
    welcome_min: Fraction = Fraction(10)
    safety_min: Fraction = Fraction(5)
    break_min: Fraction = Fraction(0)
    breaks: tuple[Pause, ...] = ()
    closing_min: Fraction = Fraction(15)
    clean_min: Fraction = Fraction(15)
    hand_washing_min: Fraction = Fraction(5)
    loading_min: Fraction = Fraction(2)
    unloading_min: Fraction = Fraction(2)
    ovens_on_before_min: Fraction = Fraction(30)
    late_accepted: bool = False
    ask_at_the_door: bool = False
    leave_out: tuple[str, ...] = ()
    tutor_needs: tuple[MustNotHave, ...] = ()
    may_contain: tuple[str, ...] = ()
    gluten_room: GlutenRoom | None = None
    children: bool = False
    first_names_only: bool = False
    tools_for_everyone: bool = False
    clock_changes: tuple[ClockChange, ...] = ()
    confirmed: tuple[tuple[str, str], ...] = ()
    dough: DoughOrders = field(default_factory=DoughOrders)
    labels: tuple[LabelGrid, ...] = ()
    nutrition: bool = False
    assumed: tuple[str, ...] = ()
    time_spots: tuple[tuple[str, Spot], ...] = field(default=(), compare=False, repr=False)
    spot: Spot | None = field(default=None, compare=False, repr=False)

    def first_name(self, person: Person) -> str:
        """The first name; where two people share it, with the first letter of the last one."""
        first, *rest = person.name.split()
        same = sum(one.name.split()[0].casefold() == first.casefold() for one in self.people)
        return f"{first} {rest[-1][0]}." if same > 1 and rest else first

    def time_spot(self, name: str) -> Spot | None:
        """Where the minutes called ``name`` (``break``, ``closing`` ...) are written; None when the usual ones are taken."""
        return dict(self.time_spots).get(name)
