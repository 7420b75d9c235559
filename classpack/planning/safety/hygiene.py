"""Hygiene of the class: when hands are washed, how long toppings may stand out, when bread is cool, who stays at home."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from classpack.errors import Remark
from classpack.model.lesson import Variation
from classpack.model.method import COOKED_STAGES, WAIT_STAGES, Step
from classpack.model.safety import FiredCaution
from classpack.planning.day.step_minutes import Made

COLD_C = 5
"""Toppings are kept at or below it: FDA Food Code 3-501.16 (41 °F) and Australia; inside the 8 °C of SI 2005/2059, Schedule 4."""
HOT_C = 63
"""Hot food is held at or above it: SI 2005/2059, Schedule 4; above the 57 °C (135 °F) of the FDA Food Code 3-501.16."""
UK_COLD_C = 8
UK_OUT_MIN = 240
"""SI 2005/2059, Schedule 4: above 8 °C for one period of less than four hours."""
US_OUT_MIN = 240
"""FDA Food Code 3-501.19: four hours from 41 °F, marked, then discarded."""
OUT_MIN = 120
"""Two hours in all, this project's rule: Food Standards Australia New Zealand's first limit, and inside all the others."""

WASH_SECONDS = 40
"""Twenty seconds of soap, and rinsing and drying: planning value (20 seconds from memory: FSA, NHS and CDC all use it)."""

ILL_HOURS = 48
"""Hours clear of sickness or diarrhoea before anyone handles food, asked at the door: Food Standards Agency, Food Handlers:
Fitness to Work, 2009."""


# ---------------------------------------------------------------- hands


@dataclass(frozen=True, slots=True)
class WashPoint:
    """A moment when hands are washed: before step ``before`` of the method (None: not tied to a step), and why."""

    before: int | None
    why: str


FIRST_WASH = "before the first step"
ALWAYS_WASHED = ("after the toilet, a phone, a bin, a sneeze or a break", "before anyone eats")


def hand_washing_points(
    steps: Sequence[Step], fired: Sequence[Sequence[FiredCaution]]
) -> tuple[WashPoint, ...]:
    """When hands are washed in one bread's method: at the start, after raw egg, before toppings are touched, and before
    baked bread is (raw flour and dough on the hands before it)."""
    points: list[WashPoint] = []
    egg_before = False
    raw_hands = False
    baked = False
    for number, (step, group) in enumerate(zip(steps, fired, strict=True)):
        ids = {one.id for one in group}
        if "wash-hands" in ids:
            points.append(WashPoint(number, FIRST_WASH))
        elif egg_before:
            points.append(WashPoint(number, "after raw egg"))
        elif "toppings-cold" in ids and raw_hands:
            points.append(WashPoint(number, "before toppings"))
        elif raw_hands and (step.stage in ("cool", "finish") or (baked and step.stage == "cut")):
            points.append(WashPoint(number, "before baked bread is touched"))
        if points and points[-1].before == number:
            raw_hands = False
        baked = baked or step.stage in COOKED_STAGES
        egg_before = "raw-egg" in ids and step.stage not in WAIT_STAGES
        raw_hands = raw_hands or bool({"raw-dough", "flour-tip", "flour-dust"} & ids)
    return (*points, *(WashPoint(None, why) for why in ALWAYS_WASHED))


def washing_min(people: int, basins: int) -> int:
    """Whole minutes until ``people`` have washed at ``basins`` (1 or more).

    >>> washing_min(12, 2)
    4
    """
    return ceil(Fraction(ceil(Fraction(people, basins)) * WASH_SECONDS, 60))


# ---------------------------------------------------------------- the fridge


@dataclass(frozen=True, slots=True)
class ColdUse:
    """One use of something chilled, in minutes as the day counts them: wanted at ``minute``, in the oven (or worked into the dough)
    at ``done_min``.

    ``purpose`` and ``bread`` say what for, ``people`` (indexes) for whom; nobody named: for everybody there together.
    """

    minute: int
    done_min: int
    station: str = ""
    purpose: str = "topping"
    bread: str = ""
    people: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class ColdItem:
    """Something from the fridge and its clock: out at, in the oven or binned by. Minutes as the day counts them.

    ``station`` is whose tub it is: a station's, the tutor's (``tutor``), or empty for one that the whole class shares. ``lot``
    of ``lots`` numbers the times it is brought out there, from 1; what is left of a lot is binned, never put back. What does not
    spoil (``spoils`` false: butter, fresh yeast, herbs) is only better cold, and no minute bins it.
    """

    ingredient: str
    station: str
    lot: int
    lots: int
    out_min: int
    bin_min: int
    uses: tuple[ColdUse, ...]
    spoils: bool = True

    @property
    def used_min(self) -> tuple[int, ...]:
        """The minutes at which it is wanted."""
        return tuple(sorted({one.minute for one in self.uses}))

    @property
    def dough_only(self) -> bool:
        """Whether all of it goes into a dough: then only what is left in its tub is binned."""
        return all(one.purpose == "dough" for one in self.uses)

    def at(self, station: str) -> ColdItem | None:
        """The same lot with what one station uses of it; None when it uses nothing."""
        here = tuple(one for one in self.uses if one.station == station)
        return replace(self, uses=here) if here else None


def cold_items(
    ingredient: str,
    station: str,
    uses: Iterable[ColdUse],
    ready_before_min: int = 5,
    spoils: bool = True,
) -> tuple[ColdItem, ...]:
    """When ``ingredient`` leaves the fridge for ``station``, in as few lots as the two hours allow; in one, where it does not spoil.

    Args:
        ready_before_min: how long before its first use it is set out.
    """
    lots: list[list[ColdUse]] = []
    for use in sorted(uses, key=lambda one: (one.minute, one.done_min)):
        if lots and (not spoils or use.done_min <= lots[-1][0].minute - ready_before_min + OUT_MIN):
            lots[-1].append(use)
        else:
            lots.append([use])
    return tuple(
        ColdItem(
            ingredient,
            station,
            number,
            len(lots),
            lot[0].minute - ready_before_min,
            lot[0].minute - ready_before_min + OUT_MIN,
            tuple(lot),
            spoils,
        )
        for number, lot in enumerate(lots, 1)
    )


def cold_remarks(items: Iterable[ColdItem]) -> tuple[Remark, ...]:
    """Remarks where something is brought out more than once for a station, or lies on the dough longer than two hours."""
    remarks = []
    for one in (one for one in items if one.spoils):
        name = one.ingredient
        if one.lot == 2:
            whose = {"": "for the whole class", "tutor": "for the demonstration"}
            remarks.append(
                Remark(
                    "hygiene",
                    f"Bring {name} out of the fridge in {one.lots} lots {whose.get(one.station, f'at station {one.station}')}, each "
                    "two hours at most.",
                )
            )
        if any(use.done_min - use.minute > OUT_MIN for use in one.uses if use.purpose != "dough"):
            remarks.append(
                Remark(
                    "hygiene",
                    f"{name[:1].upper()}{name[1:]} lies on the dough more than two hours before the oven: put it on later, or "
                    "prove that bread in the fridge.",
                )
            )
    return tuple(dict.fromkeys(remarks))


# ---------------------------------------------------------------- a station


@dataclass(frozen=True, slots=True)
class WashTime:
    """Hands are washed at this minute of the class, and why.

    Before a lot goes into the oven they are washed where it is made ready: ``bread`` and ``people`` then say which lot.
    """

    minute: int
    why: str
    bread: str = ""
    people: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class StationHygiene:
    """When hands are washed at one station after the first time, and what comes from the fridge when. The tutor's demonstration
    is the station ``tutor``."""

    station: str
    washing: tuple[WashTime, ...]
    cold: tuple[ColdItem, ...]


def station_hygiene(
    station: str,
    made: Iterable[tuple[Made, Sequence[Sequence[FiredCaution]]]],
    cold: Iterable[ColdItem],
) -> StationHygiene:
    """Hygiene of one station.

    Args:
        made: each lot and what each of its steps fires.
        cold: what is brought out of the fridge, for this station and for others.
    """
    times = {
        _wash_time(lot, point.before, point.why)
        for lot, fired in made
        for point in hand_washing_points(lot.steps, fired)
        if point.before is not None and point.why != FIRST_WASH
    }
    here = [one.at(station) for one in cold]
    return StationHygiene(
        station,
        tuple(sorted(times, key=lambda one: (one.minute, one.why, one.bread, one.people))),
        tuple(one for one in here if one is not None),
    )


def _wash_time(lot: Made, before: int, why: str) -> WashTime:
    """Before step ``before``; when that is the loading, as the lot stands ready: an open oven is no time to wash hands."""
    if lot.steps[before].stage == "load":
        return WashTime(lot.ready_min, why, lot.bread.name, lot.people)
    return WashTime(lot.minutes[before], why)


# ---------------------------------------------------------------- cooling


@dataclass(frozen=True, slots=True)
class Cooling:
    """When a bread may be carried, sliced and bagged, in minutes from the oven. ``assumed``: the lesson does not say."""

    variation: str
    carry_min: Fraction
    slice_min: Fraction
    bag_min: Fraction
    assumed: tuple[str, ...]


_SMALL_G = 200


def cooling(bread: Variation) -> Cooling:
    """The lesson's own times, else 20 minutes to carry, and 60 to slice and bag (rolls up to 200 g: 20).

    Common practice, no source. A bread is bagged when it is cool right through, so not before it may be sliced.
    """
    small = bread.piece_dough_g <= _SMALL_G
    assumed = []
    carry = bread.bake.carry_after_min
    cut = bread.bake.slice_after_min
    if carry is None:
        carry = Fraction(10) if small else Fraction(20)
        assumed.append("carry after")
    if cut is None:
        cut = max(Fraction(20) if small else Fraction(60), carry)
        assumed.append("slice after")
    return Cooling(bread.name, carry, cut, max(carry, cut), tuple(assumed))


# ---------------------------------------------------------------- eggs


def egg_rule(region: str) -> str:
    """Which rule for eggs holds in a region: ``assured code`` or ``cook all``. Raw dough is never tasted anywhere, because its
    flour is raw.

    UK: Food Standards Agency, October 2017, eggs under the assured code. Elsewhere the stricter rule: cook all.
    """
    return "assured code" if region.upper() in ("UK", "GB") else "cook all"
