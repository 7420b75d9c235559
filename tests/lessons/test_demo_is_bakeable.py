"""The demo lessons, baked on paper: every number against a published figure or a fact of the trade, its source beside it."""

import re
from dataclasses import dataclass
from fractions import Fraction as F
from math import ceil, pi
from pathlib import Path

import pytest

from classpack.model.class_day import ClassDay
from classpack.model.kitchen import Kitchen
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson, Variation
from classpack.model.method import HANDS_STAGES, WAIT_STAGES, Step
from classpack.quantities import Amount
from classpack.reading.class_file import KnownBread, open_class, read_class
from classpack.reading.kitchen_file import read_kitchen
from classpack.reading.larder_file import merged, package_larder, read_larder
from classpack.reading.lesson_file import read_lesson

LESSONS = Path(__file__).parents[2] / "lessons"
CLASSES = ("saturday-twelve.yaml", "wholemeal-six.yaml", "one-to-one.yaml", "poolish-four.yaml")
OZ_G = F(28349523125, 10**9)
INCH_CM = F(254, 100)


@dataclass(frozen=True)
class Demo:
    lesson: Lesson
    day: ClassDay
    kitchen: Kitchen
    larder: Larder


def _text(name: str) -> str:
    return (LESSONS / name).read_text(encoding="utf-8")


def _demo(name: str) -> Demo:
    top, files, problems = open_class(_text(name), name)
    assert files.lesson
    assert files.kitchen
    assert files.larder
    own = read_larder(_text(files.larder.value), files.larder.value)
    larder = merged(package_larder(), own)
    lesson = read_lesson(_text(files.lesson.value), files.lesson.value, larder)
    kitchen = read_kitchen(_text(files.kitchen.value), files.kitchen.value)
    day = read_class(
        top, name, tuple(KnownBread(one.name, one.pieces) for one in lesson.variations)
    )
    assert problems == []
    return Demo(lesson, day, kitchen, larder)


DEMOS = {name: _demo(name) for name in CLASSES}
WHITE = DEMOS["saturday-twelve.yaml"].lesson
BROWN = DEMOS["wholemeal-six.yaml"].lesson
BREADS = [*WHITE.variations, *BROWN.variations]


def _each_bread(test):
    return pytest.mark.parametrize("bread", BREADS, ids=lambda one: one.name)(test)


def _each_class(test):
    return pytest.mark.parametrize("name", CLASSES)(test)


def _steps() -> list[tuple[str, Step]]:
    found = [(lesson.base.name, step) for lesson in (WHITE, BROWN) for step in lesson.base.method]
    return found + [(bread.name, step) for bread in BREADS for step in bread.method]


def _stage(bread: Variation, stage: str) -> Step:
    return next(step for step in bread.method if step.stage == stage)


def _bulk(lesson: Lesson) -> Step:
    return next(step for step in lesson.base.method if step.stage == "bulk proof")


def _between(low: object, value: object, high: object) -> bool:
    return F(low) <= F(value) <= F(high)  # type: ignore[arg-type]


# ---------------------------------------------------------------- the doughs


def test_500_g_of_strong_flour_take_10_g_of_salt():
    # common practice, no source
    for lesson in (WHITE, BROWN):
        assert lesson.base.formula.percent("fine salt") * 500 / 100 == 10


def test_white_dough_is_as_wet_as_published_white_doughs():
    # US Armed Forces Recipe Service white bread 60.5 % (D-008); Wihlfahrt, A Treatise on Baking, plain bread 64-68 %
    assert _between("60.5", WHITE.base.formula.percent("water"), 68)


def test_yeast_suits_a_dough_that_doubles_in_about_an_hour():
    # The Sourdough Framework: 1 % dry yeast, 1 h at room temperature. "Bulk about an hour": common practice, no source
    assert WHITE.base.formula.percent("instant yeast") == 1
    assert _bulk(WHITE).wait_min == 60
    assert _between(45, _bulk(BROWN).wait_min, 75)


@pytest.mark.parametrize("lesson", [WHITE, BROWN], ids=["white", "brown"])
def test_doughs_are_made_at_the_temperatures_published_for_wheat(lesson):
    # Hamelman, Bread: 75-78 °F; Gisslen, Professional Baking: 78-80 °F
    assert _between((75 - 32) * F(5, 9), lesson.base.dough_c, (80 - 32) * F(5, 9))


@pytest.mark.parametrize("lesson", [WHITE, BROWN], ids=["white", "brown"])
def test_dough_left_in_the_bowl_is_within_published_losses_before_the_oven(lesson):
    # 0.8 % (AFRS D-010) and 2.03 % (Rumford, Essays, 1794) up to about 6 % (Manual for Army Bakers, 1916)
    assert _between("0.8", lesson.base.left_percent, "6.1")


def test_brown_dough_is_wetter_than_the_white_by_the_published_step():
    # AFRS D-008 to D-010: white to wholewheat +5 points of water. Water in milk, honey and butter counts, as in
    # "Honey Whole Wheat Pan Bread" (bakemag.com no. 10632): 67 %. Three fifths wholemeal: 3 points, and up to 70 %.
    larder = DEMOS["wholemeal-six.yaml"].larder
    water = sum(
        line.percent * (larder[line.ingredient].water_percent or 0) / 100
        for line in BROWN.base.formula.lines
        if larder[line.ingredient].kind in ("water", "milk", "sugar", "fat")
    )
    assert _between(WHITE.base.formula.percent("water") + 3, water, 70)


def test_honey_does_not_slow_the_yeast():
    # sugar up to about 5 % does no harm, above about 10 % slows (from memory)
    assert BROWN.base.formula.percent("honey") <= 10


def test_sponge_is_as_strong_as_the_army_sponge():
    # Manual for Army Bakers, 1916, pp. 49-50: half the flour, 10 oz fresh yeast to its 50 lb, 59 % of the water, 5 h.
    # Fresh to instant 0.33-0.40 (Hamelman, Bread; bread.recipes guide)
    (sponge,) = BROWN.base.formula.preferments
    part = {line.ingredient: line.percent for line in sponge.lines}
    flour = part["strong white flour"]
    army_fresh = F(10, 50 * 16) * 100
    yeast = part["instant yeast"] / flour * 100
    assert _between(army_fresh * F("0.33"), yeast, army_fresh * F("0.40"))
    assert _between(30, flour, 50)
    low, high = sponge.ripe_min
    assert low <= 5 * 60 <= high
    assert _between("0.55", part["water"] / BROWN.base.formula.percent("water"), "0.65")


# ---------------------------------------------------------------- pieces


def test_tins_hold_dough_like_published_tins():
    # AFRS D-010, note: 1 lb 11 oz in a pan of 11 x 5 x 3½ in, 21.5 oz in one of 9⅞ x 4¼ x 2¾ in
    roomy = 27 * OZ_G / (11 * 5 * F(7, 2) * INCH_CM**3)
    full = F("21.5") * OZ_G / (F("9.875") * F("4.25") * F("2.75") * INCH_CM**3)
    filled = [one for one in BREADS if one.vessel.volume_ml]
    assert {one.name for one in filled} == {"tin loaf", "honey wholemeal loaf"}
    for bread in filled:
        assert bread.vessel.volume_ml
        assert roomy <= bread.piece_dough_g / bread.vessel.volume_ml <= full


def test_tray_bread_is_as_thick_as_flat_breads_are():
    # bakery practice 0.7-1.0 g/cm², from memory; institutional flat cake 4½ lb on 18 x 26 in = 0.68 g/cm²
    bread = WHITE.variation("tray bread")
    assert bread.vessel.area_cm2
    assert _between("0.68", bread.piece_dough_g / bread.vessel.area_cm2, "1.0")


def test_pizza_is_thin():
    # EU Reg. 97/2010 as reported: 180-250 g for at most 35 cm, so 0.26 g/cm² and more in a smaller round;
    # forum moderators citing industry: thin 0.44 g/cm²
    bread = WHITE.variation("pizza")
    area = F(pi) * 28**2 / 4
    assert _between(180, bread.piece_dough_g, 250)
    assert _between("0.26", bread.piece_dough_g / area, "0.44")


def test_generous_burger_bun_is_100_g_of_dough():
    # common practice, no source
    assert WHITE.variation("soft rolls").piece_dough_g == 100


def test_rolls_have_room_on_their_tray():
    # USDA quantity recipes, 1988: 50 rolls of 2 oz on 18 x 26 in, touching; by the two-thirds power for other weights
    usda_cm2 = float(F(18 * 26, 50) * INCH_CM**2)
    for bread in (WHITE.variation("soft rolls"), BROWN.variation("oat rolls")):
        needs = usda_cm2 * (float(bread.piece_dough_g) / 56.7) ** (2 / 3)
        assert bread.pieces_per_tray * needs <= 30 * 40


def test_30_ml_of_oil_are_2_tbsp():
    # NIST, Metric Kitchen: Cooking Measurement Equivalencies: 1 tbsp = 15 mL
    oil = next(u for u in WHITE.variation("tray bread").uses if u.ingredient == "olive oil")
    assert oil.amount == Amount(F(30), "ml")


def test_everybody_kneads_a_dough_that_hands_can_manage():
    # a student's share is a loaf's worth, 450-1000 g of dough: common practice, no source
    for bread in BREADS:
        assert _between(450, bread.piece_dough_g * bread.pieces, 1000)


# ---------------------------------------------------------------- proof and bake


def test_final_proofs_are_those_of_the_trade():
    # loaves and rolls 45-50 min: common practice, no source; the smaller rolls of the livelier sponge dough 40
    for name in ("tin loaf", "soft rolls", "tray bread", "plaited loaf"):
        assert _between(45, _stage(WHITE.variation(name), "final proof").wait_min, 50)
    for bread in BROWN.variations:
        assert _between(40, _stage(bread, "final proof").wait_min, 50)


def test_pizza_balls_rest_as_long_as_they_may():
    # 15-60 min without harm (from memory)
    assert _between(15, _stage(WHITE.variation("pizza"), "final proof").wait_min, 60)


def test_crusty_bread_bakes_at_230_c_or_hotter():
    # common practice, no source
    for name in ("tin loaf", "pizza"):
        assert WHITE.variation(name).bake.span_c[0] >= 230
    assert WHITE.variation("tray bread").bake.heat.celsius >= 230


def test_tin_loaf_bakes_as_long_as_the_army_loaf():
    # AFRS D-010: 27 oz of dough, 25-30 min at 450 °F (232 °C) or 35-40 min at 425 °F (218 °C)
    loaf = WHITE.variation("tin loaf")
    assert _between(25, loaf.bake.minutes, 40)
    assert _between(700, loaf.piece_dough_g, 27 * OZ_G)


def test_honey_loaf_bakes_longer_and_cooler():
    # AFRS D-010: 21.5 oz of wholewheat dough 35-40 min at 425 °F; honey and milk brown early (dark crust: much sugar or
    # milk, in three lists of faults)
    loaf = BROWN.variation("honey wholemeal loaf")
    assert _between(35, loaf.bake.minutes, 40)
    assert loaf.bake.heat.celsius < (425 - 32) * F(5, 9)


def test_rolls_bake_as_long_as_school_rolls():
    # USDA, Quantity Recipes for School Food Service, 1988: 18-20 min at 400 °F (204 °C)
    for bread in (WHITE.variation("soft rolls"), BROWN.variation("oat rolls")):
        assert _between(18, bread.bake.minutes, 20)
        assert _between(195, bread.bake.heat.celsius, 215)


def test_500_g_loaves_bake_about_as_long_as_a_batard():
    # batard of 500 g: 30-35 min at 450 °F, crusty; a glazed or brown loaf is baked 20 degrees cooler and comes out softer
    for bread in (WHITE.variation("plaited loaf"), BROWN.variation("wholemeal cob")):
        assert bread.piece_dough_g == 500
        assert _between(25, bread.bake.minutes, 35)


@_each_bread
def test_bake_loss_is_the_published_one(bread):
    # Gisslen, Professional Baking, "Scaling": 10-13 % of the dough
    assert _between(10, bread.bake.loss_percent, 13)


def test_bun_loses_what_a_measured_bun_lost():
    # 84 g to 75 g, measured (bakers' forum, 2007): 10.7 %
    assert abs(WHITE.variation("soft rolls").bake.loss_percent - F(900, 84)) < 1


@_each_bread
def test_middle_is_baked_through(bread):
    # The Sourdough Framework: 92 °C; lean crusty bread 200-208 °F (bakers' list, 2008); water boils at 100 °C
    assert bread.bake.core_c
    low, high = bread.bake.core_c
    assert low >= 92
    assert high <= 99
    assert high - low <= 6


@_each_bread
def test_bread_is_carried_before_it_is_sliced_and_only_pizza_is_cut_hot(bread):
    # cool before slicing: AFRS, every bread; a tin loaf an hour or more (from memory)
    bake = bread.bake
    assert bake.carry_after_min
    assert bake.slice_after_min
    assert bake.carry_after_min <= bake.slice_after_min
    assert bread.name == "pizza" or bake.slice_after_min >= 15
    assert bread.vessel.kind != "tin" or bake.slice_after_min >= 60
    assert _stage(bread, "cool").wait_min == bake.carry_after_min


@_each_bread
def test_nobody_pours_water_into_a_hot_oven(bread):
    # safest first: built-in steam, a lid or bowl, dough misted on the bench; pouring is the tutor's (project's choice)
    assert bread.bake.steam in ("none", "built-in", "lidded pot", "bowl over", "misted dough")


@_each_bread
def test_temperature_lies_inside_a_range_that_does_not_change_the_minutes(bread):
    low, high = bread.bake.span_c
    assert low <= bread.bake.heat.celsius <= high
    assert high - low <= 15


# ---------------------------------------------------------------- a beginner can follow it


@pytest.mark.parametrize("lesson", [WHITE, BROWN], ids=["white", "brown"])
def test_every_ingredient_is_put_in_once(lesson):
    base = lesson.base
    named = [name for step in base.method for name in step.ingredients]
    whole = {
        line.ingredient
        for line in base.formula.lines
        if line.percent > sum(p.percent for f in base.formula.preferments for p in f.lines if p.ingredient == line.ingredient)
    }  # fmt: skip
    assert sorted(named) == sorted(whole | {one.name for one in base.formula.preferments})
    for bread in lesson.variations:
        used = [name for step in bread.method for name in step.ingredients]
        assert sorted(used) == sorted(use.ingredient for use in bread.uses)


def test_steps_say_in_short_sentences_what_hands_do():
    # GOV.UK: sentences of 25 words at most
    for where, step in _steps():
        assert step.text or step.stage == "bake", where
        for sentence in re.split(r"(?<=[.:;])\s", step.plain_text):
            assert len(sentence.split()) <= 25, f"{where}: {sentence}"


def test_every_wait_has_a_cue_and_a_window_that_holds_it():
    for where, step in _steps():
        if step.stage in WAIT_STAGES:
            assert step.ready_when, where
        if step.stage in ("rest", "bench rest", "bulk proof", "final proof"):
            assert step.window_min, where
            assert step.window_min[0] < step.wait_min < step.window_min[1], where
        if step.stage in HANDS_STAGES and step.stage not in ("load", "take out"):
            assert _between(1, step.hands_min, 10), where


@_each_bread
def test_every_bread_says_how_it_keeps_what_goes_wrong_and_what_is_shown(bread):
    assert bread.storage
    assert bread.faults
    assert all(one.mend for one in bread.faults)
    assert bread.kit
    assert bread.demonstration
    assert bread.demonstration.say
    assert bread.demonstration.watch


def test_lesson_has_five_breads_and_the_swaps_a_class_asks_for():
    assert len(WHITE.variations) >= 5
    swaps = {(s.out, s.into) for bread in WHITE.variations for s in bread.swaps}
    assert {("sesame seeds", "poppy seeds"), ("mozzarella", "")} <= swaps
    assert ("butter", "sunflower oil") in {(s.out, s.into) for s in BROWN.swaps}


def test_oil_for_butter_weighs_what_the_butter_holds_of_fat():
    # USDA SR28: butter (01145) is 81 % fat
    swap = next(s for s in BROWN.swaps if s.out == "butter")
    assert abs(swap.ratio - F("0.81")) <= F("0.02")


@pytest.mark.parametrize("lesson", [WHITE, BROWN], ids=["white", "brown"])
def test_a_bread_named_for_an_ingredient_has_it(lesson):
    for bread in lesson.variations:
        has = {line.ingredient for line in lesson.base.formula.lines}
        has |= {use.ingredient for use in bread.uses}
        assert set(bread.stressed) <= has
    assert BROWN.variation("honey wholemeal loaf").stressed == ("honey", "strong wholemeal flour")


# ---------------------------------------------------------------- the class days


@_each_class
def test_kitchen_has_tins_trays_and_tools_for_the_class(name):
    demo = DEMOS[name]
    owned = dict(demo.kitchen.counts)
    lesson = demo.lesson
    makes = [m for p in demo.day.people for m in p.makes] + list(demo.day.demonstration)
    made = {m.variation for m in makes}
    for item in (
        *lesson.base.kit,
        *(k for v in lesson.variations if v.name in made for k in v.kit),
    ):
        need = {
            "student": item.count * len(demo.day.people),
            "station": item.count * len(demo.day.stations),
            "class": item.count,
        }[item.per]
        assert owned[item.name] >= need, item.name
    tins = sum(m.pieces for m in makes if lesson.variation(m.variation).vessel.kind == "tin")
    assert sum(tin.count for tin in demo.kitchen.tins) >= tins
    trays = sum(
        ceil(F(m.pieces, lesson.variation(m.variation).pieces_per_tray))
        for m in makes
        if lesson.variation(m.variation).vessel.kind in ("free", "round")
    )
    flat = next(tray for tray in demo.kitchen.trays if tray.name == "flat tray")
    assert flat.count >= trays


@_each_class
def test_tins_of_the_kitchen_are_those_of_the_lesson(name):
    demo = DEMOS[name]
    volumes = {tin.volume_ml for tin in demo.kitchen.tins}
    made = {m.variation for p in demo.day.people for m in p.makes}
    for bread in demo.lesson.variations:
        if bread.vessel.volume_ml and bread.name in made:
            assert bread.vessel.volume_ml in volumes


@_each_class
def test_ovens_are_hot_enough_and_have_time_enough(name):
    # places x minutes: what the ovens must do, with loading, against what they can do before the closing
    demo = DEMOS[name]
    lesson, day = demo.lesson, demo.day
    makes = [m for p in day.people for m in p.makes] + list(day.demonstration)
    work = F(0)
    for bread in lesson.variations:
        pieces = sum(m.pieces for m in makes if m.variation == bread.name)
        places = ceil(F(pieces, bread.bake.pieces_per_shelf))
        work += places * (bread.bake.minutes + 2 * day.loading_min + 5)
        if pieces:
            hottest = max(oven.hottest_c + oven.offset_c for oven in demo.kitchen.ovens)
            assert hottest >= bread.bake.span_c[0], bread.name
    hands = sum((s.hands_min for s in lesson.base.method), F(0)) * day.pace
    waits = sum((s.wait_min for s in lesson.base.method), F(0))
    first_bake = 20 + hands + waits + 45
    room = sum(oven.places for oven in demo.kitchen.ovens)
    until = day.end_min - day.start_min - day.closing_min - 20
    assert work <= room * (until - first_bake)


@_each_class
def test_tins_and_trays_fit_a_shelf_of_the_oven(name):
    # a tin of 2000 ml is about 24 x 12 cm, one of 2500 ml 24 x 14 cm (a bakers' forum's study of tins); a household
    # shelf is about 44 cm wide (from memory), and air must pass between tins
    width = {"2000": 12, "2500": 14}
    for bread in DEMOS[name].lesson.variations:
        if bread.vessel.volume_ml:
            assert bread.bake.pieces_per_shelf * width[str(bread.vessel.volume_ml)] <= 44 - 4


@_each_class
def test_the_oven_loads_stand_high_enough_apart(name):
    # a tin loaf of 7.5 cm tin and half as much crown, and two fingers of air (common practice, no source)
    for oven in DEMOS[name].kitchen.ovens:
        assert oven.clearance_cm
        assert oven.clearance_cm >= F("7.5") * F(3, 2) + 2


def test_twelve_come_to_four_stations_and_make_different_things():
    day = DEMOS["saturday-twelve.yaml"].day
    assert len(day.people) == 12
    assert len(day.stations) == 4
    assert len({m.variation for p in day.people for m in p.makes}) == 5
    assert day.demonstration
    assert day.spare
    assert all(p.asked and not p.needs for p in day.people)
    letters = "".join(p.name for p in day.people)
    assert re.search("[Ͱ-Ͽ]", letters), "Greek"
    assert re.search("[Ѐ-ӿ]", letters), "Cyrillic"
    assert re.search("[Ā-ɏ]", letters), "Latin extended"


@_each_class
def test_everything_bought_has_a_pack_and_a_price(name):
    demo = DEMOS[name]
    made = {m.variation for p in demo.day.people for m in p.makes}
    used = {line.ingredient for line in demo.lesson.base.formula.lines}
    used |= {u.ingredient for u in demo.lesson.base.uses}
    used |= {u.ingredient for v in demo.lesson.variations if v.name in made for u in v.uses}
    for ingredient in (demo.larder[one] for one in sorted(used)):
        if ingredient.bought:
            assert ingredient.packs, ingredient.name
            assert all(pack.price for pack in ingredient.packs), ingredient.name


def test_no_demo_file_sends_anybody_to_a_real_web_address():
    # RFC 2606: example.org is reserved for examples
    for file in LESSONS.glob("*.yaml"):
        for address in re.findall(r"https?://[^\s/]+", file.read_text(encoding="utf-8")):
            assert address == "https://example.org"
