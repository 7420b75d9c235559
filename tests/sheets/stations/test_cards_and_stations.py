"""What a card says and what its station says agree: amounts by purpose, the water's heat, the order of the clock, tins and scales."""

from fractions import Fraction

import pytest

from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.kit_list import scales_each
from classpack.sheets.cards.recipe_card import cards
from classpack.sheets.stations.station_sheet import StationSheet, station_sheet
from tests.planning.made_up_classes import CLASSES, shipped


@pytest.fixture(scope="module")
def plan() -> ClassPlan:
    return shipped("saturday-twelve")


def sheets(plan: ClassPlan) -> dict[str, StationSheet]:
    return {one.station.name: station_sheet(plan, one) for one in plan.stations}


def test_a_station_tells_the_doughs_flour_from_the_dusting(plan: ClassPlan) -> None:
    flour = next(row for row in sheets(plan)["A"].rows if row.ingredient == "strong white flour")
    share = flour.share_of("A1")
    assert flour.purposes == (("dough", ""), ("dusting", ""))
    assert share is not None
    assert [(part.purpose, part.grams) for part in share.parts] == [("dough", 450), ("dusting", 20)]
    assert share.grams == 470


def test_every_share_at_a_station_is_the_sum_of_its_parts(plan: ClassPlan) -> None:
    for sheet in sheets(plan).values():
        for row in sheet.rows:
            for share in row.shares:
                assert not share.parts or sum(part.grams for part in share.parts) == share.grams


def test_card_station_and_plan_say_the_same_water(plan: ClassPlan) -> None:
    advice = plan.dough.water
    assert advice is not None
    assert advice.use_c == 32  # 3 x 25 - 19 - 21 - 3
    assert {card.water_c for card in cards(plan)} == {Fraction(32)}
    assert {sheet.water_c for sheet in sheets(plan).values()} == {Fraction(32)}


def test_a_card_of_two_breads_begins_with_the_one_the_clock_begins_with(plan: ClassPlan) -> None:
    card = next(card for card in cards(plan) if card.seat == "C3")
    begun = [part.steps[0].about_min or 0 for part in card.parts if part.bread]
    assert [part.bread.variation.name for part in card.parts if part.bread] == [
        "soft rolls",
        "plaited loaf",
    ]
    assert begun == sorted(begun)
    numbers = [step.number for part in card.parts for step in part.steps]
    assert numbers == list(range(1, len(numbers) + 1))


def test_hands_minutes_on_a_card_are_whole(plan: ClassPlan) -> None:
    for card in cards(plan):
        for part in card.parts:
            for step in part.steps:
                assert step.line != "hands" or step.minutes.denominator == 1


@pytest.mark.parametrize("name", ["saturday-twelve", "samstag-acht"])
def test_the_first_step_after_the_final_proof_has_its_time(name: str) -> None:
    """That of the station's entry, so that proved pieces are not topped or scored by feel; the others of it have none."""
    plan = shipped(name)
    found = 0
    for card in cards(plan):
        for part in card.parts:
            if part.bread is None:
                continue
            stages = [step.stage for step in part.steps]
            timed = [step.stage for step in part.steps if step.about_min is not None]
            between = stages[stages.index("final proof") + 1 : stages.index("load")]
            assert timed == [stages[0], *between[:1], "load"]
            if between:
                entry = next(
                    one
                    for one in plan.clocks.station(card.station)
                    if one.kind == "prepare"
                    and one.variation == part.bread.variation.name
                    and plan.day.people[one.people[0]].station == card.station
                    and card.seat in [plan.day.people[index].seat for index in one.people]
                )
                step = part.steps[stages.index("final proof") + 1]
                assert step.about_min == plan.timed.clock(entry.start_min)
                found += 1
    assert found > 5


def test_the_pizza_is_stretched_at_its_time(plan: ClassPlan) -> None:
    card = next(card for card in cards(plan) if card.seat == "D3")
    pizza = next(p for p in card.parts if p.bread and p.bread.variation.name == "pizza")
    (stretch,) = [step for step in pizza.steps if step.head == "Stretch"]
    d3 = next(one.index for one in plan.people if one.person.seat == "D3")
    (prepare,) = [
        one
        for one in plan.clocks.station("D")
        if one.kind == "prepare" and one.variation == "pizza" and d3 in one.people
    ]
    assert stretch.about_min == plan.timed.clock(prepare.start_min)


def test_oil_for_a_tin_has_its_spoons(plan: ClassPlan) -> None:
    """5 ml of oil at 0.92 g/ml is 4.6 g."""
    card = next(card for card in cards(plan) if card.seat == "A1")
    ((line, measure),) = [(a, b) for a, b in card.dusting if a.purpose == "oiling"]
    assert line.grams == Fraction("4.6")
    assert measure is not None
    assert (measure.count, measure.spoon_ml) == (1, 5)


def test_proved_pieces_are_left_alone_until_they_are_stretched_or_cold(plan: ClassPlan) -> None:
    clock = sheets(plan)["D"].clock
    for shape in (one for one in clock if one.entry.kind == "shape"):
        lot = (shape.entry.variation, shape.entry.people)
        begins = [
            one.entry.start_min
            for one in clock
            if one.entry.kind in ("prepare", "chill")
            and (one.entry.variation, one.entry.people) == lot
        ]
        assert begins
        assert shape.proof_end_min == min(begins)


@pytest.mark.parametrize("name", ["saturday-twelve", "sunday-bookings"])
def test_a_topping_leaves_the_fridge_at_its_own_bread(name: str) -> None:
    for sheet in sheets(shipped(name)).values():
        for one in sheet.clock:
            for item in one.cold:
                assert one.bread is not None
                assert one.bread.name in {use.bread for use in item.uses}


@pytest.mark.parametrize("name", ["saturday-twelve", "sunday-bookings", "wholemeal-six"])
def test_seats_stand_in_their_order_above_the_weights(name: str) -> None:
    for sheet in sheets(shipped(name)).values():
        seats = [one.seat for one in sheet.people]
        shown = [who for who in sheet.columns if who in seats]
        assert shown == [seat for seat in seats if seat in shown]


def test_a_station_lists_its_tins_and_its_scales(plan: ClassPlan) -> None:
    sheet = sheets(plan)["A"]
    assert ("long tin", 3) in sheet.kit
    assert sheet.scales == ((Fraction("0.1"), 1), (Fraction(1), 1))


@pytest.mark.parametrize("name", CLASSES)
def test_no_station_has_more_scales_of_a_kind_than_people(name: str) -> None:
    plan = shipped(name)
    for one in plan.stations:
        for _, count in station_sheet(plan, one).scales:
            assert 0 < count <= len(one.people)
        for scale in plan.kitchen.scales:
            each = [dict(scales_each(plan, len(two.people))) for two in plan.stations if two.people]
            assert sum(found.get(scale.step_g, 0) for found in each) <= scale.count


def test_one_person_with_a_whole_kitchen_takes_one_scale_of_each_kind() -> None:
    (sheet,) = sheets(shipped("one-to-one")).values()
    assert sheet.scales == ((Fraction("0.1"), 1), (Fraction(1), 1))


@pytest.mark.parametrize("name", CLASSES)
def test_each_step_between_proof_and_oven_has_its_minute(name: str) -> None:
    plan = shipped(name)
    for sheet in sheets(plan).values():
        for one in (one for one in sheet.clock if one.entry.kind == "prepare"):
            assert len(one.step_min) == len(one.steps)
            assert one.step_min[0] == one.entry.start_min
            assert list(one.step_min) == sorted(one.step_min)
            assert one.step_min[-1] <= one.entry.end_min


def test_the_pizzas_are_topped_six_minutes_after_they_are_stretched(plan: ClassPlan) -> None:
    """Six minutes of stretching, from the lesson and the class's pace; hands are washed before the cheese in that minute."""
    clock = sheets(plan)["D"].clock
    pizzas, second = (
        one for one in clock if one.entry.kind == "prepare" and one.bread.name == "pizza"
    )
    assert [plan.timed.clock(minute) for minute in pizzas.step_min] == [754, 760]  # 12:34, 12:40
    for one in (pizzas, second):
        assert [minute for minute, _ in one.wash] == [one.step_min[1]]


def test_milk_goes_in_as_warm_as_the_water() -> None:
    plan = shipped("wholemeal-six")
    assert {card.poured for card in cards(plan)} == {frozenset(("water", "whole milk"))}
    assert any(remark.about == "water" and "whole milk" in remark.text for remark in plan.remarks)


def test_milk_for_brushing_is_not_warmed(plan: ClassPlan) -> None:
    assert {sheet.poured for sheet in sheets(plan).values()} == {frozenset(("water",))}
