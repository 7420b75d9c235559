"""Whether breads suit their tins, trays and ovens: published figures on both sides of each limit, messages word for word."""

from dataclasses import replace
from fractions import Fraction as F

import pytest

from classpack.errors import Spot
from classpack.model.kitchen import Kitchen, Oven, Scale, Tin, Tray
from classpack.model.lesson import Bake, Variation, Vessel
from classpack.model.timed_day import DayClocks, Entry
from classpack.planning.amounts.vessels import clearance_problems, vessel_findings
from classpack.quantities import OvenHeat

SPOT = Spot("l.yaml", 9, 3)
OVEN = Oven("the oven", "deck", 2, F(250), clearance_cm=F(16), spot=Spot("k.yaml", 4, 3))
KITCHEN = Kitchen(
    "k",
    "k.yaml",
    (OVEN,),
    (Scale(F(1), F(5000)),),
    (Tin("long tin", F(2500), 8),),
    (Tray("flat tray", F(40), F(30), 4),),
)
BAKE = Bake(F(30), OvenHeat(F(230)), (F(220), F(240)), F(12), 2)


def bread(grams: int, vessel: Vessel, per_tray: int = 1, **bake) -> Variation:
    return Variation(
        "loaf",
        "loaf",
        "loaves",
        F(grams),
        1,
        vessel,
        per_tray,
        (),
        (),
        replace(BAKE, **bake),
        1,
        spot=SPOT,
    )


def tin(ml: int, name: str = "tin") -> Vessel:
    return Vessel("tin", name, volume_ml=F(ml))


def round_of(cm: int) -> Vessel:
    return Vessel("round", f"{cm} cm", area_cm2=F(355, 113) * cm * cm / 4)


def said(one: Variation, kitchen: Kitchen = KITCHEN) -> list[str]:
    found = vessel_findings([one], kitchen, SPOT)
    return [str(x) for x in (*found.problems, *found.remarks)]


@pytest.mark.parametrize(
    "one",
    [
        bread(750, tin(2500)),
        bread(90, Vessel("free"), 12),
        bread(250, round_of(28)),  # 0.41 g/cm²: thin pizza
        bread(800, tin(5000, "pot")),  # a pot is far bigger than its loaf
    ],
)
def test_usual_breads_pass(one):
    assert said(one) == []


def test_a_tin_overfilled():
    assert said(bread(1700, tin(2500))) == [
        "l.yaml:9:3: loaf puts 1700 g of dough into a 2500 ml tin, more than it can hold risen; "
        "570 to 1125 g fit it; measure the tin by filling it with water"
    ]


def test_a_tin_fuller_than_any_published_one():
    assert said(bread(1400, tin(2500))) == [
        "remark (dough): loaf has 0.56 g of dough to a ml of tin; published tins have 0.2 to 0.53"
    ]


def test_a_tin_the_kitchen_has_not_names_what_its_own_tins_take():
    assert said(bread(630, tin(2100))) == [
        "remark (dough): loaf wants a tin of 2100 ml and the kitchen has none; as full, its tins take: long tin of 2500 ml (750 g). "
        "Write 'tins:' and below it 'loaf: long tin' in the class file for that dough"
    ]


def test_dough_spread_ten_times_too_thin_or_thick():
    assert said(bread(40, Vessel("tray", "30 × 40 cm", area_cm2=F(1200)))) == [
        "l.yaml:9:3: loaf spreads 40 g of dough over 1200 cm2, 0.3 mm thick; "
        "228 to 1200 g are usual for that size; is one of the two ten times off?"
    ]
    assert said(bread(1500, Vessel("tray", "30 × 40 cm", area_cm2=F(1200)))) == [
        "remark (dough): loaf has 1.25 g of dough to a cm2, 11 mm before it rises; published flat breads have 0.19 to 1"
    ]


def test_a_round_wider_than_the_trays():
    assert said(bread(350, round_of(33))) == [
        "remark (dough): loaf is a round of 33 cm, wider than any tray of the kitchen; make it smaller"
    ]


def test_fifty_rolls_of_two_ounces_need_the_tray_of_the_table():
    # USDA quantity recipes (1988): 50 rolls of 2 oz, 5 × 10, on 18 × 26 in
    big = replace(KITCHEN, trays=(Tray("bun tray", F("66.04"), F("45.72"), 1),))
    rolls = replace(bread(57, Vessel("free"), 50), many="rolls")
    assert said(rolls, big) == []
    assert said(rolls) == [
        "remark (dough): 50 rolls of 57 g are crowded on a tray: flat tray (40 × 30 cm) takes 20 that touch once risen"
    ]


def test_a_loss_outside_every_published_one():
    assert said(bread(750, tin(2500), loss_percent=F(30))) == [
        "remark (dough): loaf loses 30 % in the oven; published breads lose 8 to 20 %"
    ]


# ---------------------------------------------------------------- room above the shelf


def clocks(oven: str = "the oven") -> DayClocks:
    load = Entry("load", 100, 102, variation="loaf", oven=oven)
    return DayClocks((), (), ((oven, (load,)),))


def high(cm: int) -> Kitchen:
    return replace(KITCHEN, tins=(Tin("long tin", F(2500), 8, F(cm)),))


def test_a_loaf_that_would_touch_the_shelf_above_is_a_problem_in_the_oven_it_goes_into():
    loaf = bread(750, tin(2500))
    assert [str(one) for one in clearance_problems([loaf], high(11), clocks())] == [
        "k.yaml:4:3: loaf stands 16.5 cm high in the oven, which has 16 cm above a shelf; "
        "it needs 18.5 cm; take a shelf out or use a lower tin"
    ]
    assert clearance_problems([loaf], high(9), clocks()) == ()
    assert clearance_problems([loaf], high(11), clocks("another")) == ()


def test_a_pot_with_its_lid_on_has_no_crown():
    loaf = bread(750, tin(2500, "pot"))
    assert clearance_problems([loaf], high(14), clocks()) == ()
    assert len(clearance_problems([loaf], high(15), clocks())) == 1


def test_a_tin_of_unknown_height_is_not_judged():
    assert clearance_problems([bread(750, tin(2500))], KITCHEN, clocks()) == ()
