"""Whether each bread suits what it is baked in or on: fill of tins, dough on trays and rounds, pieces a tray, room in the oven.

The figures and their sources are those of :mod:`classpack.planning.dough.pieces`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from classpack.errors import Problem, Remark, Spot
from classpack.model.kitchen import Kitchen, Tin
from classpack.model.lesson import Variation
from classpack.model.timed_day import DayClocks
from classpack.planning.dough.pieces import (
    AREA_DENSITIES,
    BAKE_LOSSES,
    PI,
    cell_cm2,
    clearance_problem,
    loaf_height_cm,
    thickness_mm,
    tin_problem,
    tin_remark,
    transferred_g,
    tray_grid,
)
from classpack.quantities import plain

AREA_PROBLEM_G_PER_CM2 = (Fraction(5, 100), Fraction(3))
"""Half a millimetre and almost three centimetres of dough before it rises: a weight or a size has slipped (the project's choice)."""

TINS_AGREE = Fraction(5, 100)
"""Tins within 5 % of the lesson's millilitres count as the same tin: the project's choice."""


@dataclass(frozen=True, slots=True)
class VesselFindings:
    """What does not suit, and what the tutor should know."""

    problems: tuple[Problem, ...]
    remarks: tuple[Remark, ...]


def vessel_findings(breads: Iterable[Variation], kitchen: Kitchen, spot: Spot) -> VesselFindings:
    """Problems and remarks of the breads that are made; ``spot`` is where a bread without one is said to stand."""
    problems: list[Problem | None] = []
    remarks: list[Remark | None] = []
    for bread in breads:
        where = bread.spot or spot
        if bread.vessel.volume_ml is not None:
            problems.append(_tin_problem(bread, bread.vessel.volume_ml, where))
            remarks += _tin_remarks(bread, bread.vessel.volume_ml, kitchen)
        elif bread.vessel.area_cm2 is not None:
            problems.append(_area_problem(bread, bread.vessel.area_cm2, where))
            remarks.append(_area_remark(bread, bread.vessel.area_cm2))
            remarks.append(_round_remark(bread, bread.vessel.area_cm2, kitchen))
        else:
            remarks.append(_grid_remark(bread, kitchen))
        remarks.append(_loss_remark(bread))
    return VesselFindings(
        tuple(one for one in problems if one), tuple(one for one in remarks if one)
    )


# ---------------------------------------------------------------- tins


def tin_for(bread: Variation, kitchen: Kitchen) -> Tin | None:
    """The kitchen's tin for a bread, the nearest in size; one with a count of 0 only when no other is of that size."""
    wanted = bread.vessel.volume_ml
    if wanted is None:
        return None
    fit = [one for one in kitchen.tins if abs(one.volume_ml - wanted) <= wanted * TINS_AGREE]
    return min(fit, key=lambda one: (one.count == 0, abs(one.volume_ml - wanted)), default=None)


def _moulded(bread: Variation) -> bool:
    """Does the vessel shape the loaf? A pot or basket is far bigger than its dough."""
    return bread.vessel.name in ("tin", "mould")


def _tin_problem(bread: Variation, volume_ml: Fraction, spot: Spot) -> Problem | None:
    found = tin_problem(bread.name, bread.piece_dough_g, volume_ml, spot)
    too_little = bread.piece_dough_g < volume_ml / 10
    return None if found and too_little and not _moulded(bread) else found


def _tin_remarks(bread: Variation, volume_ml: Fraction, kitchen: Kitchen) -> list[Remark | None]:
    if not _moulded(bread):
        return []
    found = [tin_remark(bread.name, bread.piece_dough_g, volume_ml)]
    if kitchen.tins and not _tins(bread, kitchen):
        others = ", ".join(
            f"{tin.name} of {plain(tin.volume_ml)} ml "
            f"({plain(transferred_g(bread.piece_dough_g, volume_ml, tin.volume_ml), 0)} g)"
            for tin in kitchen.tins
        )
        found.append(
            Remark(
                "dough",
                f"{bread.name} wants a tin of {plain(volume_ml)} ml and the kitchen has none; as full, its tins take: {others}. "
                f"Write 'tins:' and below it '{bread.name}: {kitchen.tins[0].name}' in the class file for that dough",
            )
        )
    return found


def _tins(bread: Variation, kitchen: Kitchen) -> list[Tin]:
    return [tin for tin in kitchen.tins if tin.volume_ml == bread.vessel.volume_ml]


def clearance_problems(
    breads: Iterable[Variation], kitchen: Kitchen, clocks: DayClocks
) -> tuple[Problem, ...]:
    """Loaves that would touch what is above them in the oven they are planned into."""
    planned = {
        (entry.variation, oven)
        for oven, entries in clocks.ovens
        for entry in entries
        if entry.kind == "load"
    }
    found = []
    for bread in breads:
        for tin in _tins(bread, kitchen):
            if tin.height_cm is None:
                continue
            crown = Fraction(0) if bread.vessel.name == "pot" else None
            height = loaf_height_cm(tin.height_cm, crown)
            found += [
                clearance_problem(bread.name, height, oven, oven.spot or Spot(kitchen.file, 1))
                for oven in kitchen.ovens
                if (bread.name, oven.name) in planned
            ]
    return tuple(one for one in found if one)


# ---------------------------------------------------------------- trays


def _published() -> tuple[Fraction, Fraction]:
    return min(one.least for one in AREA_DENSITIES), max(one.most for one in AREA_DENSITIES)


def _area_problem(bread: Variation, area_cm2: Fraction, spot: Spot) -> Problem | None:
    fill = bread.piece_dough_g / area_cm2
    low, high = AREA_PROBLEM_G_PER_CM2
    if low <= fill <= high:
        return None
    least, most = (edge * area_cm2 for edge in _published())
    return Problem(
        spot,
        f"{bread.name} spreads {plain(bread.piece_dough_g)} g of dough over {plain(area_cm2, 0)} cm2, "
        f"{plain(thickness_mm(fill), 1)} mm thick",
        f"{plain(least, 0)} to {plain(most, 0)} g are usual for that size; is one of the two ten times off?",
    )


def _area_remark(bread: Variation, area_cm2: Fraction) -> Remark | None:
    fill = bread.piece_dough_g / area_cm2
    low, high = _published()
    hard_low, hard_high = AREA_PROBLEM_G_PER_CM2
    if low <= fill <= high or not hard_low <= fill <= hard_high:
        return None
    return Remark(
        "dough",
        f"{bread.name} has {plain(fill, 2)} g of dough to a cm2, {plain(thickness_mm(fill), 0)} mm before it rises; published "
        f"flat breads have {plain(low, 2)} to {plain(high, 2)}",
    )


def _round_remark(bread: Variation, area_cm2: Fraction, kitchen: Kitchen) -> Remark | None:
    if bread.vessel.kind != "round" or not kitchen.trays:
        return None
    across_squared = (
        area_cm2 * 4 / PI * Fraction(99, 100)
    )  # a round a few millimetres over still lies on it
    if any(min(tray.width_cm, tray.depth_cm) ** 2 >= across_squared for tray in kitchen.trays):
        return None
    return Remark(
        "dough",
        f"{bread.name} is a round of {bread.vessel.name}, wider than any tray of the kitchen; make it smaller",
    )


def _grid_remark(bread: Variation, kitchen: Kitchen) -> Remark | None:
    if bread.pieces_per_tray < 2 or not kitchen.trays:
        return None
    cell = cell_cm2(bread.piece_dough_g)
    grids = [(tray, tray_grid(tray.width_cm, tray.depth_cm, cell)) for tray in kitchen.trays]
    counts = [(grid.count if grid else 0, tray) for tray, grid in grids]
    most, tray = max(counts, key=lambda one: one[0])
    if most >= bread.pieces_per_tray:
        return None
    return Remark(
        "dough",
        f"{bread.pieces_per_tray} {bread.many} of {plain(bread.piece_dough_g)} g are crowded on a tray: {tray.name} "
        f"({plain(tray.width_cm)} × {plain(tray.depth_cm)} cm) takes {most} that touch once risen",
    )


def _loss_remark(bread: Variation) -> Remark | None:
    low, high = min(one.least for one in BAKE_LOSSES), max(one.most for one in BAKE_LOSSES)
    if low <= bread.bake.loss_percent <= high:
        return None
    return Remark(
        "dough",
        f"{bread.name} loses {plain(bread.bake.loss_percent)} % in the oven; published breads lose {plain(low)} to {plain(high)} %",
    )
