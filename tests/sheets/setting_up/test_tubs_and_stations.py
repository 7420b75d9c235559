"""The same gram on card, station sheet, tub and table: an amount that serves two purposes is nowhere one sum alone."""

import csv
import io
import re
from collections import Counter
from fractions import Fraction

import pytest

from classpack.class_files import read_sources
from classpack.planning.amounts.amount_parts import AmountPart
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.planning.setting_up.weigh_out import Tub, weigh_out
from classpack.sheets.cards.recipe_card import cards
from classpack.sheets.setting_up.jobs import setting_up_texts
from classpack.sheets.stations.station_sheet import station_sheet
from classpack.workshop import print_pack
from tests.conftest import planned_demo, printed_demo
from tests.kept import page_texts
from tests.planning.made_up_classes import EVERY_CLASS, ROOT, shipped

Told = tuple[tuple[str, Fraction], ...]
"""An amount as purposes with their grams, whoever tells it."""


def told(parts: tuple[AmountPart, ...]) -> Told:
    return tuple(sorted((part.purpose, part.grams) for part in parts))


def tubs_of(plan: ClassPlan) -> tuple[Tub, ...]:
    weighed = weigh_out(plan)
    rows = [one for turn in weighed.turns for one in turn.ingredients]
    return tuple(tub for one in (*rows, *weighed.on_the_day) for tub in one.tubs)


def from_tubs(plan: ClassPlan, seat: str, ingredient: str) -> tuple[Fraction, Told]:
    """What a seat takes of one ingredient from all its tubs: all of it, and its parts where they are told."""
    station = next(one.station for one in plan.day.people if one.seat == seat)
    mine = []
    for tub in tubs_of(plan):
        if tub.ingredient != ingredient:
            continue
        if (tub.kind, tub.where) == ("seat", seat):
            mine.append((tub.grams, tub.parts))
        elif (tub.kind, tub.where) == ("station", station):
            mine += [(one.grams, one.parts) for one in tub.shares if seat in one.seats]
    parts = [part for _, some in mine for part in some]
    return sum((grams for grams, _ in mine), Fraction(0)), told(tuple(parts))


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_tub_and_station_sheet_part_every_amount_alike(name: str) -> None:
    plan = shipped(name)
    seats = {one.seat for one in plan.day.people}
    parted = 0
    for station in plan.stations:
        for row in station_sheet(plan, station).rows:
            for share in row.shares:
                for seat in seats & set(share.who):
                    if plan.larder.get(row.ingredient) is None:
                        continue  # a preferment's share: weighed when it is ripe
                    grams, parts = from_tubs(plan, seat, row.ingredient)
                    assert grams == share.grams, (seat, row.ingredient)
                    if len(share.parts) > 1:
                        assert parts == told(share.parts), (seat, row.ingredient)
                        assert sum(part.grams for part in share.parts) == share.grams
                        parted += 1
                    elif parts:
                        assert len(parts) == 1
                        assert parts[0][1] == share.grams
    assert parted or all(unit.kind != "person" for unit in plan.units)


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_tub_and_card_say_the_same_grams(name: str) -> None:
    plan = shipped(name)
    for card in cards(plan):
        lines = [line for line, _ in (*card.dusting, *card.toppings)]
        if card.unit and card.mixed_for == 1:
            lines += card.unit.lines
        for ingredient in {line.ingredient for line in lines if plan.larder.get(line.ingredient)}:
            said = [(one.purpose, one.grams) for one in lines if one.ingredient == ingredient]
            grams, parts = from_tubs(plan, card.seat, ingredient)
            assert grams == sum(one for _, one in said), (card.seat, ingredient)
            if len(said) > 1:
                assert parts == tuple(sorted(said)), (card.seat, ingredient)


@pytest.mark.parametrize("name", EVERY_CLASS)
def test_no_tub_of_two_purposes_is_a_bare_sum(name: str) -> None:
    """Found without the tubs: whoever has two amounts of one ingredient, the demonstration and the spare among them."""
    plan = shipped(name)
    tubs = {(tub.kind, tub.ingredient): tub for tub in tubs_of(plan)}
    for batch in plan.batches:
        lines = [*plan.unit(batch.unit).lines, *batch.dusting]
        lines += [line for portion in batch.portions for line in portion.toppings]
        for ingredient in {line.ingredient for line in lines if plan.larder.get(line.ingredient)}:
            purposes = {line.purpose for line in lines if line.ingredient == ingredient}
            tub = tubs[batch.kind, ingredient]
            assert {part.purpose for part in tub.parts} == (
                purposes if len(purposes) > 1 else set()
            )


# ---------------------------------------------------------------- printed


def words(data: bytes) -> str:
    text = "\n".join(page_texts(data))
    return re.sub(r"\s+", " ", text)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        (
            "saturday-twelve",
            (
                "A1 A2 A3, each: 450 g for dough + 20 g for dusting",
                "B1 B2 B3, each: 18 g for dough + 27 g on top",
                "C3: 420 g for dough + 20 g for dusting",
                "Demonstration · 470 g 450 g for dough + 20 g for dusting",
                "Spare · 500 g 480 g for dough + 20 g for dusting",
            ),
        ),
        ("wholemeal-six", ("1-1 1-2 1-3, each: 15 g for dusting the dough: 638 g",)),
        (
            "samstag-acht",
            (
                "A1 A2 A3: je 344 g für den Teig + 20 g zum Bestäuben",
                "A1 A2 A3: je 8,1 g für den Teig + 4,6 g zum Einfetten",
                "B2 Weizenmehl Type 550 384 g 364 g für den Teig + 20 g zum Bestäuben",
            ),
        ),
    ],
)
def test_labels_print_the_parts(name: str, said: tuple[str, ...]) -> None:
    pack = print_pack(planned_demo(name), "A4", ROOT / "templates")
    labels = words(pack.files["labels/tub-labels.pdf"])
    for phrase in said:
        assert phrase in labels


@pytest.mark.parametrize("name", ["saturday-twelve", "wholemeal-six", "samstag-acht"])
def test_the_weigh_out_is_one_side_and_says_every_tub_and_every_sum(name: str) -> None:
    made, pack = planned_demo(name), printed_demo(name)
    (text,) = page_texts(pack.files["weigh-out.pdf"])
    point = "," if made.plan.day.language == "de" else "."
    shown = re.sub(r"(\d),(\d)", r"\1.\2", re.sub(r"\s+", " ", text)) if point == "," else text
    grams = Counter(Fraction(one) for one in re.findall(r"(\d+(?:\.\d+)?) g", shown))
    weighed = weigh_out(made.plan)
    for one in (*(i for turn in weighed.turns for i in turn.ingredients), *weighed.on_the_day):
        wanted = Counter(tub.grams for tub in one.tubs if tub.count is None)
        wanted[one.grams] += 1
        assert wanted <= grams, one.ingredient


def test_the_table_says_the_parts_too() -> None:
    rows = csv.DictReader(
        io.StringIO(setting_up_texts(shipped("saturday-twelve"))["weigh-out.csv"])
    )
    found = {(row["ingredient"], row["place"]): row["divides as"] for row in rows}
    assert found["strong white flour", "C"] == (
        "C1 C2: 480 g for dough + 20 g for dusting; C3: 420 g for dough + 20 g for dusting"
    )
    assert found["olive oil", "A"] == "A1 A2 A3: 18 g"


def test_water_that_stands_in_for_a_glaze_is_told_from_the_doughs() -> None:
    """A3 of the Sunday class brushes with water, where the others have milk."""
    plan = shipped("sunday-bookings")
    tub = next(one for one in tubs_of(plan) if (one.ingredient, one.where) == ("water", "A3"))
    assert [(part.purpose, part.grams) for part in tub.parts] == [("dough", 303), ("glaze", 16)]


# ---------------------------------------------------------------- two breads, and lots


def planned(folder) -> Planned:  # type: ignore[no-untyped-def]
    return plan_class(read_sources(folder / "day.yaml", ROOT / "templates"))


def test_one_persons_two_breads_with_the_same_oil_are_named(class_folder) -> None:  # type: ignore[no-untyped-def]
    """5 ml for the tin, 15 ml for the tray: at 0.92 g/ml 4.6 g and 13.8 g."""
    path = class_folder / "lesson.yaml"
    text = path.read_text("utf-8")
    oil = "    also used:\n      sunflower oil: {} per piece for oiling\n    method:\n"
    head, tin, rolls = re.split(r"    method:\n(?=      - shape)", text)
    path.write_text(head + oil.format("5 ml") + tin + oil.format("15 ml") + rolls, "utf-8")
    day = class_folder / "day.yaml"
    day.write_text(
        day.read_text("utf-8").replace("[tin loaf, rolls]", "{tin loaf: 1, rolls: 1}"), "utf-8"
    )
    made = planned(class_folder)
    (tub,) = (one for one in tubs_of(made.plan) if one.ingredient == "sunflower oil")
    (ada,) = (share for share in tub.shares if "A1" in share.seats)
    assert [(part.what, part.grams) for part in ada.parts] == [
        (("oiling", "tin loaf"), Fraction("4.6")),
        (("oiling", "rolls"), Fraction("13.8")),
    ]
    pack = print_pack(made, "A4", ROOT / "templates")
    assert "A1: 4.6 g for oiling (tin loaf) + 13.8 g for oiling (rolls)" in words(
        pack.files["labels/tub-labels.pdf"]
    )
    bench = words(pack.files["stations/A.pdf"])
    assert "oiling (tin loaf) + oiling (rolls)" in bench


def test_a_tub_that_leaves_the_fridge_later_says_which_it_is(class_folder) -> None:  # type: ignore[no-untyped-def]
    path = class_folder / "lesson.yaml"
    text = path.read_text("utf-8")
    for old, new in (
        ("water: 63 %", "water: 43 %\n    whole milk: 20 %"),
        ("into {water}.", "into {water} and {whole milk}."),
        ("sesame seeds: 5 g per piece\n", "sesame seeds: 5 g per piece\n      whole milk: 2 g per piece for glaze\n"),
        ('      - top: "Dip', '      - glaze: "Brush with {whole milk}. Dip'),
        ("bulk proof: 60 min\n        window: 45-90 min", "bulk proof: 150 min\n        window: 120-180 min"),
        ("bulk proof: 60 min\n      window: 45-90 min", "bulk proof: 150 min\n      window: 120-180 min"),
    ):  # fmt: skip
        text = text.replace(old, new, 1)
    path.write_text(text, "utf-8")
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8").replace("end: 15:00", "end: 18:00"), "utf-8")
    made = planned(class_folder)
    pack = print_pack(made, "A4", ROOT / "templates")
    first, second = (one for one in made.plan.safety.fridge if one.ingredient == "whole milk")
    clock = [f"{m // 60}:{m % 60:02d}" for m in (
        made.plan.timed.clock(minute)
        for minute in (first.out_min, first.bin_min, second.out_min, second.bin_min)
    )]  # fmt: skip
    labels = words(pack.files["labels/tub-labels.pdf"])
    assert "fridge · lot 1 of 2" in labels
    assert "fridge · lot 2 of 2" in labels
    assert "lot 2 of 2" in words(pack.files["weigh-out.pdf"])
    prep = words(pack.files["before-and-after.pdf"])
    assert (
        f"{clock[0]} Out of the fridge for station A: whole milk, lot 1 of 2. Goes into the dough"
        in prep
    )
    assert f"What is left is binned by {clock[1]}." in prep
    assert f"{clock[2]} Out of the fridge for station A: whole milk, lot 2 of 2. Used at" in prep
    assert f"In the oven or binned by {clock[3]}." in prep
    bench = words(pack.files["stations/A.pdf"])
    assert f"out of the fridge at {clock[0]}. What is left goes in the bin by {clock[1]}" in bench
    assert f"out of the fridge at {clock[2]}. In the oven or in the bin by {clock[3]}" in bench
