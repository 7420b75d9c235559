"""The dough sums sheet and the terminal's sums: the card's own weights, columns that add up, and what a class file orders."""

from fractions import Fraction as F
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.errors import LessonError
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.sheets.cards.preferment_note import preferment_notes
from classpack.sheets.exports.terminal import show_lines
from classpack.sheets.pack import pack_jobs
from classpack.sheets.setting_up.dough_sums_sheet import DoughSumsSheet, dough_sums_sheet
from tests.conftest import planned_demo

POOLISH = planned_demo("poolish-four")
SPONGE = planned_demo("wholemeal-six")
WHITE = planned_demo("saturday-twelve")
ALL = pytest.mark.parametrize("planned", [POOLISH, SPONGE, WHITE], ids=lambda p: p.plan.day.title)


def planned(folder: Path) -> Planned:
    return plan_class(read_sources(folder / "day.yaml", own_folder("templates")))


def changed(folder: Path, name: str, old: str, new: str) -> None:
    path = folder / f"{name}.yaml"
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


def problems(folder: Path) -> list[str]:
    with pytest.raises(LessonError) as error:
        planned(folder)
    return [str(one).removeprefix(f"{folder}/") for one in error.value.problems]


def final(sheet: DoughSumsSheet) -> dict[str, F]:
    grams = (row.final_g if sheet.table.columns else row.total_g for row in sheet.table.rows)
    return {
        row.ingredient: g for row, g in zip(sheet.table.rows, grams, strict=True) if g is not None
    }


@ALL
def test_the_final_dough_is_what_the_card_and_the_tubs_say(planned):
    sheet = dough_sums_sheet(planned.plan)
    assert final(sheet) == {line.ingredient: line.grams for line in sheet.table.unit.lines}


@ALL
def test_columns_add_up_to_the_total_within_a_step_each(planned):
    sheet = dough_sums_sheet(planned.plan)
    for row in sheet.table.rows:
        if row.kind != "preferment" and sheet.table.columns:
            parts = sum((g for g in (*row.parts_g, row.final_g) if g is not None), F(0))
            assert abs(parts - row.total_g) <= len(sheet.table.columns) + 1
    assert sheet.table.sums.true_percent == 100
    assert sum(row.true_percent or 0 for row in sheet.table.rows) == 100


@ALL
def test_the_terminal_shows_table_and_working(planned):
    lines = list(show_lines(planned.plan, "sums"))
    sheet = dough_sums_sheet(planned.plan)
    for row in sheet.table.rows:
        assert any(line.startswith(row.ingredient) for line in lines)
    for group in sheet.table.groups:
        assert all(line.says in lines for line in group.lines)
    assert all(line == line.rstrip() for line in lines)


def test_a_straight_dough_has_no_columns_and_a_preferment_has_its_own():
    assert dough_sums_sheet(WHITE.plan).table.columns == ()
    assert dough_sums_sheet(POOLISH.plan).table.columns == ("poolish", "seed soaker")


def test_hydration_counts_the_water_in_milk_honey_and_butter():
    found = dough_sums_sheet(SPONGE.plan).table.hydration
    assert found.stated_percent == 42
    assert 68 < found.true_percent < 69


def test_the_sheet_is_printed_when_the_class_file_asks():
    assert "dough-sums" in [job.file for job in pack_jobs(POOLISH.plan)]
    assert "dough-sums" not in [job.file for job in pack_jobs(WHITE.plan)]


def test_a_preferment_says_how_it_is_mixed_with_the_classes_own_amounts():
    poolish, soaker = preferment_notes(POOLISH.plan)
    doses = [part for part in poolish.words if not isinstance(part, str)]
    assert [(dose.name, dose.grams) for dose in doses] == [
        (line.ingredient, line.grams)
        for name in ("instant yeast", "water", "strong white flour")
        for line in poolish.lines
        if line.ingredient == name
    ]
    assert (poolish.stated_as, poolish.stated_percent) == ("weight on all flour", 60)
    assert round(float(poolish.shares.weight_on_final_flour), 1) == 85.7
    assert soaker.stated_as == "each line on all flour"
    assert not soaker.ferments
    (sponge,) = preferment_notes(SPONGE.plan)
    assert sponge.words == ()


# ---------------------------------------------------------------- from the class file to the paper


def test_another_flour_reaches_cards_shopping_and_the_contains_line(class_folder):
    before = planned(class_folder).plan
    changed(
        class_folder,
        "day",
        "mixing: each person",
        "mixing: each person\nflour change: {out: strong white flour, in: dark rye flour, share: 20 %, more water: 2 %}",
    )
    plan = planned(class_folder).plan
    for unit, old in zip(plan.units, before.units, strict=True):
        assert unit.grams("dark rye flour") > 0
        assert unit.grams("dark rye flour") * 4 == pytest.approx(
            unit.grams("strong white flour"), abs=4
        )
        assert abs(unit.dough_g - old.dough_g) <= 3
    assert any(need.ingredient == "dark rye flour" for need in plan.needs)
    assert any("Rye" in name or "rye" in name for name in plan.contains[0][0].names)
    assert any("test it on bowls of 100 g" in one.text for one in plan.remarks)


def test_yeast_factors_of_the_class_file_weigh_the_yeast_and_the_home_panel(class_folder):
    changed(
        class_folder,
        "day",
        "mixing: each person",
        "mixing: each person\nyeast: fresh\nyeast factors: {instant: 0.4}",
    )
    plan = planned(class_folder).plan
    unit = plan.units[0]
    assert plan.dough.factors.source == "the class file"
    assert unit.grams("fresh yeast") == pytest.approx(
        unit.grams("strong white flour") * F("0.009") * F("2.5"), abs=0.1
    )
    yeasts = {one.form: one.grams for one in plan.home[0][2].yeasts}
    assert yeasts["instant"] == pytest.approx(yeasts["fresh"] * F("0.4"), abs=0.5)
    assert plan.remarks[0].text.startswith(
        "fresh yeast instead of instant yeast: 2.5 g for each gram (the class file)"
    )


def test_sachets_are_named_where_they_come_near(class_folder):
    changed(class_folder, "day", "mixing: each person", "mixing: one dough for the class")
    plan = planned(class_folder).plan
    unit = next(one for one in plan.units if one.kind == "class")
    yeast = next(line for line in unit.lines if line.ingredient == "instant yeast")
    found = plan.sachets(yeast)
    assert found is None or found.count * 2 == int(found.count * 2)
    water = next(line for line in unit.lines if line.ingredient == "water")
    assert plan.sachets(water) is None


def test_a_total_that_does_not_add_up_stops_the_pack(class_folder):
    changed(class_folder, "lesson", "  dough temperature", "  total: 171 %\n  dough temperature")
    assert problems(class_folder) == [
        "lesson.yaml:10:10: the total is printed 171 %; percentages add up to 169.7 %"
    ]


def test_water_above_45_degrees_stops_the_pack(class_folder):
    changed(
        class_folder,
        "day",
        "mixing: each person",
        "mixing: each person\nroom temperature: 12 C\nflour temperature: 10 C",
    )
    assert problems(class_folder) == [
        "day.yaml:1:1: the dough would need water of 50 °C, which is refused above 45 °C; bring the flour into the warm, "
        "or take 40 °C for a dough of 22 °C and let it proof longer"
    ]


def test_a_tin_too_high_for_its_oven_stops_the_pack(class_folder):
    changed(class_folder, "kitchen", "hottest: 250 C", "hottest: 250 C, clearance: 14 cm")
    changed(
        class_folder,
        "kitchen",
        "{long tin: 12 of 2500 ml}",
        "\n  long tin: 12 of 2500 ml, 10 cm high",
    )
    assert problems(class_folder) == [
        "kitchen.yaml:4:3: tin loaf stands 15 cm high in Left, which has 14 cm above a shelf; "
        "it needs 17 cm; take a shelf out or use a lower tin"
    ]


def test_a_tin_said_to_be_tall_in_other_words(class_folder):
    changed(
        class_folder, "kitchen", "{long tin: 12 of 2500 ml}", "\n  long tin: 12 of 2500 ml, tall"
    )
    assert problems(class_folder) == [
        "kitchen.yaml:7:13: long tin is '12 of 2500 ml, tall'; after the comma stands its height, as in '12 of 2100 ml, 8 cm high'"
    ]
