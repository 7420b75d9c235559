"""Hygiene of the class: when hands are washed, how long toppings may stand out, when bread is cool, who stays at home."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.errors import Remark
from classpack.model.lesson import Variation
from classpack.model.method import WAIT_STAGES, Step
from classpack.model.safety import FiredCaution

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
        baked = baked or step.stage in ("take out", "fry")
        egg_before = "raw-egg" in ids and step.stage not in WAIT_STAGES
        raw_hands = raw_hands or bool({"raw-dough", "flour-tip", "flour-dust"} & ids)
    return (*points, *(WashPoint(None, why) for why in ALWAYS_WASHED))


def washing_min(people: int, basins: int) -> int:
    """Whole minutes until ``people`` have washed at ``basins`` (1 or more).

    >>> washing_min(12, 2)
    4
    """
    return ceil(Fraction(ceil(Fraction(people, basins)) * WASH_SECONDS, 60))


# ---------------------------------------------------------------- toppings


@dataclass(frozen=True, slots=True)
class ColdItem:
    """Something from the fridge and its clock: out at, in the oven or binned by. Minutes as the day counts them.

    ``lot`` numbers the times it is brought out, from 1; what is left of a lot is binned, never put back.
    """

    ingredient: str
    lot: int
    out_min: int
    bin_min: int
    used_min: tuple[int, ...]


def cold_items(
    ingredient: str, uses: Iterable[tuple[int, int]], ready_before_min: int = 5
) -> tuple[ColdItem, ...]:
    """When ``ingredient`` leaves the fridge, in as few lots as the two hours allow.

    Args:
        uses: (minute it is put on the bread, minute that bread is in the oven) for each station that uses it.
        ready_before_min: how long before its first use it is set out.
    """
    lots: list[list[tuple[int, int]]] = []
    for put_on, in_oven in sorted(uses):
        if lots and in_oven <= lots[-1][0][0] - ready_before_min + OUT_MIN:
            lots[-1].append((put_on, in_oven))
        else:
            lots.append([(put_on, in_oven)])
    return tuple(
        ColdItem(
            ingredient,
            number,
            lot[0][0] - ready_before_min,
            lot[0][0] - ready_before_min + OUT_MIN,
            tuple(put_on for put_on, _ in lot),
        )
        for number, lot in enumerate(lots, 1)
    )


def cold_remarks(items: Sequence[ColdItem], uses: Iterable[tuple[int, int]]) -> tuple[Remark, ...]:
    """Remarks where a topping is brought out more than once, or one bread alone waits longer than two hours."""
    if not items:
        return ()
    name = items[0].ingredient
    remarks = []
    if len(items) > 1:
        remarks.append(
            Remark(
                "hygiene",
                f"Bring {name} out of the fridge in {len(items)} lots, each two hours at most.",
            )
        )
    if any(in_oven - put_on > OUT_MIN for put_on, in_oven in uses):
        remarks.append(
            Remark(
                "hygiene",
                f"{name[:1].upper()}{name[1:]} lies on the dough more than two hours before the oven: put it on later, or prove "
                "that bread in the fridge.",
            )
        )
    return tuple(remarks)


# ---------------------------------------------------------------- a station


@dataclass(frozen=True, slots=True)
class WashTime:
    """Hands are washed at this minute of the class, and why."""

    minute: int
    why: str


@dataclass(frozen=True, slots=True)
class StationHygiene:
    """When hands are washed at one station after the first time, and what comes from the fridge when."""

    station: str
    washing: tuple[WashTime, ...]
    cold: tuple[ColdItem, ...]


def station_hygiene(
    station: str,
    made: Iterable[tuple[Sequence[Step], Sequence[Sequence[FiredCaution]], Sequence[int]]],
    cold: Mapping[str, Sequence[tuple[int, int]]],
) -> StationHygiene:
    """Hygiene of one station.

    Args:
        made: for each lot its steps, what each fires, and the minute each begins.
        cold: for each thing from the fridge the minutes it is put on and is in the oven.
    """
    times = {
        WashTime(minutes[point.before], point.why)
        for steps, fired, minutes in made
        for point in hand_washing_points(steps, fired)
        if point.before is not None and point.why != FIRST_WASH
    }
    items = [item for name, uses in cold.items() for item in cold_items(name, uses)]
    return StationHygiene(
        station,
        tuple(sorted(times, key=lambda one: (one.minute, one.why))),
        tuple(sorted(items, key=lambda one: (one.out_min, one.ingredient))),
    )


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
