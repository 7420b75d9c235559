"""The kit of the whole class against what the kitchen has: tools, tins and trays, how many at once, what is short.

Tools of each person and station are in use all day. Tins and trays are in use from shaping until their bread is out, then cooled
and washed, so a later bread may use them again. A tin fits within 5 % of the lesson's millilitres; a tray within 5 % of its area.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.errors import Remark
from classpack.model.kitchen import Kitchen, Tray
from classpack.model.lesson import Variation
from classpack.model.timed_day import Entry
from classpack.planning.amounts.vessels import TINS_AGREE, tin_for
from classpack.planning.setting_up.groundwork import Groundwork
from classpack.planning.setting_up.kit import class_kit, kit_of
from classpack.quantities import plain

WASHED_MIN = 20
"""From the oven until a tin or tray is cool, washed and dry (the project's choice)."""

TUTOR = "tutor"
BLADES = (
    "knife", "knives", "blade", "scissors", "razor", "cutter", "peeler", "grater", "lame",
    "messer", "klinge", "schere", "schneider", "schäler", "hobel", "reibe",
)  # fmt: skip
"""Words in a tool's name, in the languages of the shipped words, that make it one to count at the end."""


@dataclass(frozen=True, slots=True)
class KitLine:
    """One tool. ``places`` are stations (and the tutor) with their counts; ``have`` is None when the kitchen does not say.

    ``at_once`` are in use together; ``total`` are needed if none is washed and used again.
    """

    name: str
    places: tuple[tuple[str, int], ...]
    total: int
    at_once: int
    have: int | None
    vessel: bool = False

    @property
    def short(self) -> int:
        """How many must be brought."""
        return max(0, self.at_once - (self.have or 0))

    @property
    def washed(self) -> int:
        """How many times one is washed and used again."""
        return max(0, self.total - self.have) if self.have is not None and not self.short else 0

    @property
    def blade(self) -> bool:
        """Does it cut, so that it is counted out and counted in?"""
        return any(word in self.name.lower() for word in BLADES)


@dataclass(frozen=True, slots=True)
class KitList:
    """All tools, the tins and trays last; ``remarks`` name what is short and the ways out."""

    lines: tuple[KitLine, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class _InUse:
    """So many of one vessel at a place, in minutes from the start of the class."""

    name: str
    place: str
    count: int
    start_min: int
    end_min: int


def scales_each(work: Groundwork, people: int) -> tuple[tuple[Fraction, int], ...]:
    """(step in grams, how many) of the scales that a station of so many people can have of its own, none more often than one
    for each of them; what is left over is shared."""
    benches = sum(1 for station in work.stations if station.people)
    found = ((one.step_g, min(one.count // max(benches, 1), people)) for one in work.kitchen.scales)
    return tuple((step_g, count) for step_g, count in found if count)


def kit_list(work: Groundwork) -> KitList:
    """Tools, tins and trays of the class."""
    lines = (*_tools(work), *_vessels(work))
    return KitList(lines, _remarks(work, lines))


def _tools(work: Groundwork) -> tuple[KitLine, ...]:
    counts: dict[str, list[tuple[str, int]]] = {}
    for station in work.stations:
        for name, count in kit_of(work.lesson, [work.people[i] for i in station.people]):
            counts.setdefault(name, []).append((station.station.name, count))
    for name, count in class_kit(work.lesson, work.people, work.batches):
        counts.setdefault(name, []).append((TUTOR, count))
    have = {name.casefold(): count for name, count in work.kitchen.counts}
    lines = []
    for name, places in counts.items():
        total = sum(count for _, count in places)
        lines.append(KitLine(name, tuple(places), total, total, have.get(name.casefold())))
    return tuple(lines)


# ---------------------------------------------------------------- tins and trays


def _vessels(work: Groundwork) -> tuple[KitLine, ...]:
    names = {bread.name: vessel_for(bread, work.kitchen) for bread in work.made}
    uses = [
        use
        for place, entries in (*work.clocks.stations, (TUTOR, _own(work.clocks.tutor)))
        for use in _uses(work, place, entries, names)
    ]
    have: dict[str, int] = {one.name: one.count for one in work.kitchen.tins}
    have |= {one.name: one.count for one in work.kitchen.trays}
    lines = []
    for name in dict.fromkeys(use.name for use in uses):
        mine = [use for use in uses if use.name == name]
        places: dict[str, int] = {}
        for use in mine:
            places[use.place] = places.get(use.place, 0) + use.count
        lines.append(
            KitLine(
                name,
                tuple(places.items()),
                sum(use.count for use in mine),
                most_at_once([(use.start_min, use.end_min, use.count) for use in mine]),
                have.get(name),
                vessel=True,
            )
        )
    return tuple(lines)


def _own(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    return tuple(entry for entry in entries if entry.station == TUTOR)


def _uses(
    work: Groundwork, place: str, entries: Sequence[Entry], names: dict[str, str]
) -> Iterable[_InUse]:
    outs = [entry for entry in entries if entry.kind in ("take out", "load")]
    for entry in entries:
        if entry.kind != "shape":
            continue
        bread = work.lesson.variation(entry.variation)
        end = next(
            (
                one.out_min
                for one in outs
                if (one.variation, one.people, one.pieces)
                == (entry.variation, entry.people, entry.pieces)
                and one.out_min >= entry.end_min
            ),
            work.day.end_min - work.day.start_min,
        )
        count = _vessels_of(work, bread, entry)
        yield _InUse(names[bread.name], place, count, entry.start_min, end + WASHED_MIN)


def _vessels_of(work: Groundwork, bread: Variation, entry: Entry) -> int:
    """Tins or trays of one lot: each person's bread on their own, unless a lot is only part of it."""
    portions = [
        portion
        for index in entry.people
        for portion in work.people[index].portions
        if portion.variation == bread.name
    ]
    if portions and sum(portion.pieces for portion in portions) == entry.pieces:
        return sum(portion.trays for portion in portions)
    return ceil(entry.pieces / bread.pieces_per_tray)


def most_at_once(uses: Iterable[tuple[int, int, int]]) -> int:
    """The most in use together, from (start, end, count); an end and a start in one minute do not overlap.

    >>> most_at_once([(0, 60, 3), (60, 90, 2), (30, 70, 1)])
    4
    """
    changes = sorted(
        change for start, end, count in uses for change in ((start, 1, count), (end, 0, -count))
    )
    most = now = 0
    for _, _, change in changes:
        now += change
        most = max(most, now)
    return most


def vessel_for(bread: Variation, kitchen: Kitchen) -> str:
    """The kitchen's tin or tray for a bread by its name; what the lesson asks for when the kitchen has none that fits."""
    wanted = bread.vessel
    if wanted.kind == "tin" and wanted.volume_ml is not None:
        tin = tin_for(bread, kitchen)
        return tin.name if tin else f"{wanted.name or 'tin'} of {plain(wanted.volume_ml, 0)} ml"
    fits = [tray for tray in kitchen.trays if _tray_fits(bread, tray)]
    if fits:
        return max(fits, key=lambda tray: tray.count).name
    return f"tray of {wanted.name}" if wanted.kind == "tray" else "baking tray"


def _tray_fits(bread: Variation, tray: Tray) -> bool:
    area = bread.vessel.area_cm2
    held = tray.width_cm * tray.depth_cm
    if bread.vessel.kind == "tray" and area is not None:
        return abs(held - area) <= area * TINS_AGREE
    if bread.vessel.kind == "round" and area is not None:
        across_squared = area * 4 * 113 / 355
        return min(tray.width_cm, tray.depth_cm) ** 2 >= across_squared
    return True


# ---------------------------------------------------------------- remarks


def _remarks(work: Groundwork, lines: Iterable[KitLine]) -> tuple[Remark, ...]:
    remarks = []
    unknown = []
    for line in lines:
        if line.have is None:
            unknown.append(line)
        elif line.short and line.vessel:
            remarks.append(
                Remark(
                    "kit",
                    f"{line.at_once} × {line.name} are in use at once and the kitchen has {line.have}: bring {line.short} more, use "
                    f"others of the same size, let {line.short} {'person' if line.short == 1 else 'people'} make something else, or "
                    "let this bread be made in two goes.",
                )
            )
        elif line.short:
            remarks.append(
                Remark(
                    "kit",
                    f"{line.at_once} × {line.name} are in use at once and the kitchen has {line.have}: bring {line.short} more, or "
                    "let neighbours share one, washed in between.",
                )
            )
    if unknown:
        named = ", ".join(f"{line.at_once} × {line.name}" for line in unknown)
        remarks.append(
            Remark(
                "kit",
                f"The kitchen file does not say how many there are of: {named}. Bring them, or add them below 'tools'.",
            )
        )
    return tuple(remarks)
