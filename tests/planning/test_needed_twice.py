"""Who is needed in two places: told for every class, and only where the station's own clock says so."""

from __future__ import annotations

import pytest

from classpack.planning.needed_twice import needed_twice
from classpack.sheets.run_sheet import run_sheet
from classpack.sheets.station_sheet import station_sheet
from tests.conftest import DEMOS
from tests.planning.made_up_classes import shipped


@pytest.mark.parametrize("name", DEMOS)
def test_what_is_told_is_what_the_station_sheets_show(name: str) -> None:
    """Against the clock that hangs at the bench: readying for the oven, shaping, and what is for everybody."""
    plan = shipped(name)
    shown = set()
    for station in plan.stations:
        if not any(plan.people[index].portions for index in station.people):
            continue
        clock = [
            one for bench in station_sheet(plan, station).clock for one in (bench, *bench.also)
        ]
        ready = [one.entry for one in clock if one.entry.kind == "prepare"]
        busy = [one.entry for one in clock if one.entry.kind in ("shape", "event")]
        for entry in ready:
            for other in busy:
                overlap = other.start_min < entry.end_min and other.end_min > entry.start_min
                both = (
                    set(entry.people) & set(other.people) if other.kind == "shape" else entry.people
                )
                if overlap and both:
                    shown.add((entry.start_min, entry.variation, other.variation or other.what))
    told = {
        (one.start_min, one.bread.name, one.other.name if one.other else one.event)
        for one in needed_twice(plan.lesson, plan.day, plan.clocks)
    }
    assert shown <= told


def test_the_run_sheet_and_the_remarks_tell_it() -> None:
    plan = shipped("saturday-twelve")
    clashes = needed_twice(plan.lesson, plan.day, plan.clocks)
    assert run_sheet(plan).twice == clashes
    assert len([remark for remark in plan.remarks if "needed twice" in remark.text]) == len(clashes)
