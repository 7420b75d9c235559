"""What leaves the fridge at which minute: for the list before the class, and a row of the day for each such minute."""

from __future__ import annotations

from dataclasses import dataclass

from classpack.planning.plan.class_plan import ClassPlan


@dataclass(frozen=True, slots=True)
class FromFridge:
    """Something chilled, in minutes after midnight: out of the fridge for these stations, and binned (None: it does not spoil).

    A soaker or preferment stands in one tub for everybody: no station is named.
    """

    ingredient: str
    stations: tuple[str, ...]
    out_min: int
    bin_min: int | None


def cold(plan: ClassPlan) -> tuple[FromFridge, ...]:
    """When everything chilled leaves the fridge, and when what spoils of it is binned, station by station."""
    found: dict[tuple[str, int, int | None], list[str]] = {}
    for station in plan.safety.stations:
        for item in station.cold:
            by = plan.timed.clock(item.bin_min) if item.spoils else None
            key = (item.ingredient, plan.timed.clock(item.out_min), by)
            found.setdefault(key, []).append(station.station)
    every = [
        FromFridge(name, tuple(stations), out, by) for (name, out, by), stations in found.items()
    ]
    every += [
        FromFridge(one.name, (), plan.timed.clock(one.out_min), None)
        for one in plan.prep.preferments
        if one.out_min is not None
    ]
    return tuple(sorted(every, key=lambda one: one.out_min))


def by_minute(plan: ClassPlan) -> tuple[tuple[int, tuple[FromFridge, ...]], ...]:
    """:func:`cold` with all things of one minute together."""
    found: dict[int, list[FromFridge]] = {}
    for one in cold(plan):
        found.setdefault(one.out_min, []).append(one)
    return tuple((minute, tuple(some)) for minute, some in found.items())
