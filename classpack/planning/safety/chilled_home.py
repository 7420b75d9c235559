"""Filled and chilled-topping bread from the oven to home: two hours out of the fridge in all, the way home among them.

The two hours are :data:`classpack.planning.safety.hygiene.OUT_MIN`. Bread that is late enough goes home in them; what is out early is
eaten in class or goes into the fridge, once it has stopped steaming.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from classpack.errors import Remark
from classpack.model.lesson import Variation
from classpack.model.safety import STORE_FILLED, ChilledBread, FiredCaution
from classpack.model.timed_day import DayClocks
from classpack.planning.safety.hygiene import OUT_MIN, Cooling

HOME_MIN = 45
"""The way home and into a fridge there: project's choice, no source."""
STEAMS_MIN = 60
"""Until bread has cooled enough for a fridge: common practice, no source; half of the two hours is then left for the way home."""


def chilled_breads(
    clocks: DayClocks,
    home: Iterable[tuple[str, Sequence[FiredCaution]]],
    cooling: Mapping[str, Cooling],
    end_min: int,
) -> tuple[ChilledBread, ...]:
    """Every lot of bread that spoils, in the order in which it leaves the ovens.

    Args:
        home: what each bread fires when it is taken home.
        end_min: when the class ends.
    """
    spoils = {name for name, fired in home if any(one.id == STORE_FILLED for one in fired)}
    found = []
    for station, entries in clocks.stations:
        for one in entries:
            if one.kind == "load" and one.variation in spoils:
                by = one.out_min + OUT_MIN
                cool = one.out_min + max(STEAMS_MIN, int(cooling[one.variation].carry_min))
                early = by < end_min + HOME_MIN
                into = min(cool, by, end_min) if early else None
                found.append(
                    ChilledBread(one.variation, station, one.lot, one.people, one.out_min, by, into)
                )
    return tuple(sorted(found, key=lambda one: (one.out_min, one.station)))


def chilled_remarks(
    chilled: Iterable[ChilledBread], breads: Iterable[Variation], end_min: int
) -> tuple[Remark, ...]:
    """Each bread that is out of the oven too long before the class ends to go home as it is."""
    first: dict[str, ChilledBread] = {}
    for one in chilled:
        if one.fridge_min is not None:
            first.setdefault(one.bread, one)
    return tuple(
        Remark(
            "hygiene",
            f"The {bread.many} are out of the oven {end_min - first[bread.name].out_min} min before the class ends and may be out of "
            "the fridge for two hours in all: eat them in class, or clear a place in the fridge for them.",
        )
        for bread in breads
        if bread.name in first
    )
