"""A label sheet's sizes as the page text wants them: millimetres as plain numbers."""

from __future__ import annotations

from classpack.model.class_day import ClassDay
from classpack.quantities import plain


def grid_of(day: ClassDay, of: str) -> dict[str, str]:
    """The attributes the class file gives for the labels ``of``; only ``start``, or none, when it uses the usual sheet."""
    for grid in day.labels:
        if grid.of != of:
            continue
        start = {"start": str(grid.start)}
        if not grid.columns:
            return start
        return {
            "columns": str(grid.columns),
            "rows": str(grid.rows),
            "width": plain(grid.width_mm),
            "height": plain(grid.height_mm),
            "left": plain(grid.left_mm),
            "top": plain(grid.top_mm),
            "pitch-x": plain(grid.across_mm),
            "pitch-y": plain(grid.down_mm),
            **start,
        }
    return {}
