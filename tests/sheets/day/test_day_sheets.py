"""The day's sheets read back: run sheet, oven doors, chart, and the forms whose lines the files take."""

from __future__ import annotations

import dataclasses
import io
import itertools
import re
from fractions import Fraction
from pathlib import Path

import pdfplumber
from pypdf import PdfReader

from classpack.class_files import read_sources
from classpack.model.day_advice import WaitTooLong
from classpack.model.timed_day import Entry
from classpack.places import own_folder
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.quantities import show_clock
from classpack.reading.kitchen_file import read_kitchen
from classpack.sheets.day.after_class import after_class
from classpack.sheets.day.chart import day_charts
from classpack.sheets.day.rows import day_rows
from classpack.sheets.day.run_sheet import run_sheet, water
from classpack.workshop import Pack, print_pack
from tests.kept import page_texts

Demo = tuple[Planned, Pack]
CLOCK = re.compile(r"\b\d\d:\d\d\b")


def text_of(pdf: bytes) -> str:
    return " ".join(" ".join(page_texts(pdf)).split())


def alts(pdf: bytes) -> list[str]:
    """The text alternatives in a PDF's structure."""
    found: list[str] = []
    waiting = [PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop().get_object()
        if isinstance(node, list):
            waiting += node
        elif isinstance(node, dict):
            if "/Alt" in node:
                found.append(str(node["/Alt"]))
            if "/K" in node:
                waiting.append(node["/K"])
    return found


def plan_of(folder: Path) -> ClassPlan:
    return plan_class(read_sources(folder / "day.yaml", own_folder("templates"))).plan


def printed(folder: Path) -> Pack:
    planned = plan_class(read_sources(folder / "day.yaml", own_folder("templates")))
    return print_pack(planned, "A4", own_folder("templates"))


# ---------------------------------------------------------------- clocks


def test_the_oven_doors_say_the_plans_times_and_no_others(demo: Demo) -> None:
    planned, pack = demo
    plan = planned.plan
    wanted = {show_clock(plan.day.start_min), show_clock(plan.day.end_min)}  # the masthead
    ovens = plan.timed.setting.problem.ovens
    for oven, (_, entries) in zip(ovens, plan.clocks.ovens, strict=True):
        for one in entries:
            if (
                one.kind == "switch on"
            ):  # hot a while before the first load, so that it heats through
                hot_min = one.end_min - oven.soak_min
                wanted |= {show_clock(plan.timed.clock(m)) for m in (one.start_min, hot_min)}
            if one.kind == "load":
                wanted |= {show_clock(plan.timed.clock(m)) for m in (one.start_min, one.out_min)}
    assert set(CLOCK.findall(text_of(pack.files["oven-sheets.pdf"]))) == wanted


def test_the_run_sheet_has_every_time_of_the_plan(demo: Demo) -> None:
    planned, pack = demo
    plan = planned.plan
    found = set(CLOCK.findall(text_of(pack.files["run-sheet.pdf"])))
    every = [one for _, entries in plan.clocks.stations for one in entries]
    every += [one for one in plan.clocks.tutor if one.kind in ("event", "load", "take out")]
    # a second lot of a bread, straight after the first, stands in the first one's row
    goes_on = {(one.station, one.variation, one.end_min) for one in every if one.kind == "shape"}
    for one in every:
        if one.kind == "shape" and (one.station, one.variation, one.start_min) in goes_on:
            continue
        if one.kind not in ("cool", "final proof"):
            assert show_clock(plan.timed.clock(one.start_min)) in found, one
    assert show_clock(plan.timed.clock(plan.timed.plan.finish_min)) in found


def test_the_dials_on_the_doors_are_those_of_the_plan(demo: Demo) -> None:
    planned, pack = demo
    dials = {one.dial_c for _, entries in planned.plan.clocks.ovens for one in entries}
    text = text_of(pack.files["oven-sheets.pdf"])
    assert {int(c) for c in re.findall(r"(?:dial|Dial)(?: to)? (\d+)", text)} == dials


def test_the_run_sheet_keeps_to_its_pages(demo: Demo) -> None:
    pages = dict(demo[1].sheets)
    breads = len(demo[0].plan.made)
    assert pages["run-sheet.pdf"] is not None
    assert pages["run-sheet.pdf"] <= (4 if breads < 5 else 6)
    assert pages["wall-chart.pdf"] == 1


# ---------------------------------------------------------------- rows


def test_every_load_and_every_taking_out_is_a_row_with_everybodys_bread(demo: Demo) -> None:
    plan = demo[0].plan
    rows = day_rows(plan)
    for kind in ("load", "take out"):
        told = sum(lot.pieces for row in rows if row.kind == kind for lot in row.lots)
        assert told == sum(lot.pieces for station in plan.timed.setting.lots for lot in station), (
            kind
        )


def test_what_is_taught_while_dough_waits_is_said_once_and_not_while_a_bench_shapes(
    demo: Demo,
) -> None:
    plan = demo[0].plan
    rows = day_rows(plan)
    said = [point.text for row in rows for point in row.points]
    assert len(said) == len(set(said))
    wanted = {step.meanwhile for bread in plan.made for step in bread.method if step.meanwhile}
    wanted &= {
        step.meanwhile
        for bread in plan.made
        for step in bread.method
        if step.stage in ("final proof", "bake")
    }
    assert wanted <= set(said)
    shown = [row for row in rows if row.kind in ("show", "talk", "safety talk")]
    for row in rows:
        if row.kind == "meanwhile":
            assert not any(
                one.start_min < row.end_min and row.start_min < one.end_min for one in shown
            )


def test_bread_that_comes_out_during_a_demonstration_is_told(class_folder: Path) -> None:
    plan = plan_of(class_folder)
    assert all(not row.clash for row in day_rows(plan))
    out = next(row for row in day_rows(plan) if row.kind == "take out")
    minute = out.start_min - plan.day.start_min
    event = Entry("event", minute - 2, minute + 3, "show: rolls")
    busy = dataclasses.replace(plan.clocks, tutor=(*plan.clocks.tutor, event))
    bread = plan.lesson.variation("rolls")
    from classpack.model.method import Demonstration

    lesson = dataclasses.replace(
        plan.lesson,
        variations=tuple(
            dataclasses.replace(one, demonstration=Demonstration(Fraction(5), "Round one."))
            if one == bread
            else one
            for one in plan.lesson.variations
        ),
    )
    clash = [
        row.clash
        for row in day_rows(dataclasses.replace(plan, clocks=busy, lesson=lesson))
        if row.kind == "take out" and row.start_min == out.start_min
    ]
    assert clash == ["show: rolls"]


def test_two_lots_of_one_bread_that_wait_too_long_are_told_once_with_the_longer(demo: Demo) -> None:
    plan = demo[0].plan
    waits = (
        WaitTooLong("final proof", 2, 0, "soft rolls of C", 4),
        WaitTooLong("bulk proof", 2, 0, "soft rolls of C", 3),
        WaitTooLong("final proof", 2, 1, "soft rolls of C", 9),
        WaitTooLong("final proof", 0, 0, "tin loaf of A", 2),
    )
    late = dataclasses.replace(plan, verdict=dataclasses.replace(plan.verdict, waits=waits))
    assert run_sheet(late).waits == (waits[2], waits[1], waits[3])


def test_benches_that_are_clean_already_are_not_told_to_clean(demo: Demo) -> None:
    plan = demo[0].plan
    (whole,) = [row for row in day_rows(plan) if row.kind == "clean"]
    for done in whole.untils:
        left = [row for row in day_rows(plan, done.end_min) if row.kind == "clean"]
        wanted = [one for one in whole.untils if one.end_min > done.end_min]
        assert [one for row in left for one in row.untils] == wanted
        assert [row.start_min for row in left] == [one.start_min for one in wanted[:1]]


# ---------------------------------------------------------------- chart


def test_lanes_never_overlap_and_stay_in_the_chart(demo: Demo) -> None:
    for chart in day_charts(demo[0].plan):
        for lane in chart.lanes:
            ends = [(one.start_min, one.end_min) for one in lane.stretches]
            assert all(a < b for a, b in ends)
            assert all(end <= after for (_, end), (after, _) in itertools.pairwise(ends))
            assert all(chart.start_min <= a and b <= chart.end_min for a, b in ends)


def test_the_chart_says_the_same_in_words(demo: Demo) -> None:
    planned, pack = demo
    plan = planned.plan
    for name in ("run-sheet.pdf", "wall-chart.pdf"):
        (alt,) = [one for one in alts(pack.files[name]) if one.startswith("Chart of the day")]
        for oven, entries in plan.clocks.ovens:
            assert not entries or f"{oven}:" in alt
            for one in entries:
                if one.kind == "load":
                    assert show_clock(plan.timed.clock(one.start_min)) in alt
        for station, _ in plan.clocks.stations:
            assert f" {station}: " in alt


def test_a_chart_names_the_steps_before_the_oven_as_the_run_sheet_does(demo: Demo) -> None:
    planned, pack = demo
    (alt,) = [one for one in alts(pack.files["wall-chart.pdf"]) if one.startswith("Chart of the")]
    run = text_of(pack.files["run-sheet.pdf"])
    named = 0
    for chart in day_charts(planned.plan):
        for one in (one for lane in chart.lanes for one in lane.stretches):
            if one.what == "prepare":
                first, *others = [step.head or step.stage.capitalize() for step in one.steps]
                heads = ", ".join([first, *(head.lower() for head in others)])
                assert f"{heads}: " in alt
                assert len(one.breads) > 1 or f"{heads}: " in run
                named += 1
    topped = [e for _, clock in planned.plan.clocks.stations for e in clock if e.kind == "prepare"]
    assert bool(named) == bool(topped)
    assert "ake ready" not in alt


def test_the_heads_of_a_chart_have_one_size(demo: Demo) -> None:
    planned, pack = demo
    ovens = [oven for oven, entries in planned.plan.clocks.ovens if entries]
    with pdfplumber.open(io.BytesIO(pack.files["wall-chart.pdf"])) as pdf:
        said = pdf.pages[0].extract_words(extra_attrs=["size", "fontname"])
    line = next(one["bottom"] for one in said if one["text"] == "Tutor")
    heads = [one for one in said if abs(one["bottom"] - line) < 4]
    assert {one["text"] for one in heads} >= {"Tutor", *(oven.split()[0] for oven in ovens)}
    assert len({round(one["size"], 2) for one in heads}) == 1


def many_stations(folder: Path, count: int) -> None:
    text = (folder / "day.yaml").read_text("utf-8")
    head = text[: text.index("stations:")].replace("end: 15:00", "end: 18:00")
    stations = "stations:\n" + "".join(f"  S{n}: bench {n}\n" for n in range(count))
    people = "people:\n" + "".join(
        f"  - {{name: Person {n}, station: S{n}, makes: rolls, needs: none}}\n"
        for n in range(count)
    )
    (folder / "day.yaml").write_text(head + stations + people, "utf-8")


def test_more_than_seven_columns_turn_the_page(class_folder: Path) -> None:
    many_stations(class_folder, 8)
    plan = plan_of(class_folder)
    charts = day_charts(plan)
    assert all(chart.turned == (sum(len(c.lanes) for c in charts) > 7) for chart in charts)
    names = [name for chart in charts for lane in chart.lanes for name in lane.names]
    assert len(names) == len(set(names)) == 10
    page = PdfReader(io.BytesIO(printed(class_folder).files["wall-chart.pdf"])).pages[0]
    assert (page.mediabox.width > page.mediabox.height) == charts[0].turned


def test_a_class_past_midnight_is_charted_to_its_end(class_folder: Path) -> None:
    day = class_folder / "day.yaml"
    text = day.read_text("utf-8").replace("start: 10:00", "start: 21:30")
    day.write_text(text.replace("end: 15:00", "end: 2:30"), "utf-8")
    (chart,) = day_charts(plan_of(class_folder))
    assert (chart.start, chart.end) == ("21:00" if chart.start_min < 1290 else "21:30", "26:30")
    assert "00:" in text_of(printed(class_folder).files["run-sheet.pdf"])


# ---------------------------------------------------------------- words, water, forms


def test_a_name_with_an_apostrophe_or_an_and_prints_as_it_is(class_folder: Path) -> None:
    for name in ("lesson", "day"):
        path = class_folder / f"{name}.yaml"
        path.write_text(path.read_text("utf-8").replace("tin loaf", "Gran's loaf & co"), "utf-8")
    pack = printed(class_folder)
    for name in ("run-sheet.pdf", "oven-sheets.pdf", "stations/A.pdf"):
        text = text_of(pack.files[name])
        assert "Gran's loaf & co" in text, name
        assert not re.search("&(#39|amp|lt|quot)", text), name


def test_the_water_of_the_day_by_the_bakers_rule() -> None:
    # three factors: Wihlfahrt, A Treatise on Baking (1913-), "The temperature of the bread dough"; 3 x 25 - 19 - 21 - 3 = 32
    folder = own_folder("lessons")
    plan = plan_class(read_sources(folder / "saturday-twelve.yaml", own_folder("templates"))).plan
    found = water(plan)
    assert found.advice is not None
    assert found.advice.use_c == 32
    cell = next(
        cell for row in found.rows if row.flour_c == 20 for cell in row.cells if cell.room_c == 22
    )
    assert cell.water_c == 3 * 25 - 20 - 22 - 3


def test_a_class_that_is_late_is_told_why_and_what_would_help(class_folder: Path) -> None:
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8").replace("end: 15:00", "end: 13:00"), "utf-8")
    sheet = run_sheet(plan_of(class_folder))
    assert sheet.verdict.spare_min < 0
    assert sheet.remedies
    text = text_of(printed(class_folder).files["run-sheet.pdf"])
    assert "min late: done at" in text
    assert "What would make it better" in text
    assert "earlier: it fits." in text  # starting earlier always does


def test_the_lines_of_the_after_class_form_are_lines_the_files_take(class_folder: Path) -> None:
    plan = plan_of(class_folder)
    form = after_class(plan)
    filled = "".join(f"  {key}: 7 min\n" for key, _ in form.times)
    day = class_folder / "day.yaml"
    text = day.read_text("utf-8").replace("pace: 1.5", "pace: 1.3")
    text += f"friction: 4 C\nroom temperature: 22 C\nflour temperature: 20 C\ntap water: 11 C\ntimes:\n{filled}"
    day.write_text(text, "utf-8")
    again = plan_of(class_folder).day
    assert (again.pace, again.friction_c, again.tap_c) == (Fraction(13, 10), 4, 11)
    assert (again.closing_min, again.loading_min) == (7, 7)
    kitchen = (class_folder / "kitchen.yaml").read_text("utf-8")
    for oven in form.ovens:
        kitchen = kitchen.replace(
            "hottest: 250 C}", "hottest: 250 C, offset: +6 C, warm-up: 22 min, recovery: 4 min}"
        )
        read = read_kitchen(kitchen, "kitchen.yaml").ovens[0]
        assert (read.name, read.offset_c, read.warm_up_min, read.recovery_min) == (
            oven.name,
            6,
            22,
            4,
        )


def test_the_form_after_the_class_asks_in_the_files_own_words(demo: Demo) -> None:
    text = text_of(demo[1].files["after-class.pdf"])
    keys = ("pace:", "friction:", "tap water:", "offset:", "recovery:", "closing:")
    assert [key for key in keys if key not in text] == []
