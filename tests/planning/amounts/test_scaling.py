"""From pieces to grams: published worked examples through the scaler, and what no class may ever break."""

import datetime
from collections import Counter
from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.class_day import ClassDay, Making, Person, Station
from classpack.model.class_plan import Change, MixUnit, Version
from classpack.model.formula import Formula, FormulaLine
from classpack.model.kitchen import Kitchen, Oven, Scale
from classpack.model.vessel_sizes import dough_for_baked_g
from classpack.planning.amounts.scaling import (
    Scaled,
    Scaler,
    added,
    changed_formula,
    scale_for,
    scaled,
)
from classpack.planning.dough.formulas import flour_for_dough_g
from classpack.planning.dough.pieces import with_left_behind_g
from classpack.quantities import rounded_to
from classpack.reading.larder_file import merged, package_larder, read_larder
from classpack.reading.lesson_file import read_lesson

LARDER = merged(
    package_larder(),
    read_larder(
        "ingredients:\n"
        "  cream: {kind: milk, allergens: milk}\n"
        "  garlic: {kind: other, allergens: none}\n"
        "  stiff starter: {kind: other, allergens: wheat}\n"
        "  lemon: {kind: other, allergens: none, each: 60 g}\n"
        "  sugar: {kind: sugar, allergens: none}\n",
        "own.yaml",
    ),
)
FINE = (Scale(F(1, 10), F(500)), Scale(F(1), F(5000)))


def lesson(
    formula: str,
    piece: str = "500 g",
    *,
    left: str = "0 %",
    more: str = "",
    uses: str = "",
    weights: bool = False,
    base_uses: str = "",
):
    """A lesson of one bread (or more, in ``more``) from ``formula``: lines joined by '; '."""
    lines = "".join(f"    {line.strip()}\n" for line in formula.split(";"))
    bread = BREAD.replace("PIECE", piece).replace("USES", uses)
    text = f"""\
lesson: x
base:
  name: dough
  {"weights" if weights else "formula"}:
{lines}  dough temperature: 25 C
  left in the bowl: {left}
{base_uses}  method:
    - mix: Mix.
      hands: 4 min
    - bulk proof: 60 min
      window: 45-90 min
      text: Wait.
      ready when: doubled
variations:
  bread:
{bread}{more}"""
    return read_lesson(text, "l.yaml", LARDER)


BREAD = """\
    piece: PIECE
    pieces: 1
USES    method:
      - shape: Shape.
        hands: 3 min
      - bake: 30 min at 230 C conventional
        loss: 12 %
        per shelf: 4
        load: In.
        take out: Out.
        ready when: brown
"""
KITCHEN = Kitchen("k", "k.yaml", (Oven("o", "fan", 2, F(250)),), FINE)


def class_of(
    *makes: dict[str, int], mixed_by: str = "each person", per_station: int = 3, **more
) -> ClassDay:
    """People who make these, ``per_station`` at each station."""
    names = [chr(65 + n // per_station) for n in range(len(makes))]
    people = tuple(
        Person(
            f"P{n}",
            names[n],
            f"{names[n]}{n % per_station + 1}",
            tuple(Making(*one) for one in made.items()),
        )
        for n, made in enumerate(makes)
    )
    stations = tuple(Station(name) for name in dict.fromkeys(names))
    return ClassDay(
        "x",
        "c.yaml",
        datetime.date(2027, 3, 13),
        600,
        900,
        people,
        stations,
        mixed_by=mixed_by,
        **more,
    )


def scale(one, day: ClassDay, scales=FINE, versions=None, larder=LARDER, **more) -> Scaled:
    made = tuple(person.makes for person in day.people)
    result, problems = scaled(
        one,
        day,
        replace(KITCHEN, scales=scales),
        larder,
        made,
        versions or (Version(),) * len(made),
        **more,
    )
    assert problems == ()
    return result


def one_dough(one, pieces: int = 1, step: str = "0.001") -> MixUnit:
    """One person's dough, weighed on a scale fine enough to see the published figures."""
    result = scale(one, class_of({"bread": pieces}), (Scale(F(step), F(10**6)),))
    return next(unit for unit in result.units if unit.kind == "person")


def grams(unit: MixUnit) -> dict[str, float]:
    return {line.ingredient: float(line.grams) for line in unit.lines}


# ---------------------------------------------------------------- published worked examples


def test_pizza_dough_in_pounds_becomes_its_percentages_and_comes_back():
    # "How to Work with a Formula Expressed in Baker's Percent", baking-school hand-out: 40 lb flour, 11.2 oz salt, 12.8 oz
    # sugar, 9.6 oz yeast, 1 lb 3.2 oz oil, 23 lb 3.2 oz water; here one gram for an ounce
    pizza = lesson(
        "strong white flour: 640 g; fine salt: 11.2 g; sugar: 12.8 g; fresh yeast: 9.6 g; olive oil: 19.2 g; water: 371.2 g",
        "1064 g",
        weights=True,
    )
    assert [float(line.percent) for line in pizza.base.formula.lines] == [100, 1.75, 2, 1.5, 3, 58]
    assert pizza.base.formula.total_percent == F("166.25")
    assert list(grams(one_dough(pizza)).values()) == [640, 11.2, 12.8, 9.6, 19.2, 371.2]


def test_seventy_three_baguettes():
    # "Baker's percentage worksheet", 73 baguettes of 390 g: flour 16 747.058, water 11 220.528 (11 220.49 from rounded flour),
    # salt 334.941, yeast 167.470 g
    unit = one_dough(
        lesson("strong white flour: 100 %; water: 67 %; fine salt: 2 %; fresh yeast: 1 %", "390 g"),
        73,
    )
    assert unit.needed_g == 28_470
    flour, water, salt, yeast = grams(unit).values()
    assert abs(flour - 16_747.058) < 0.002
    assert 11_220.49 <= water <= 11_220.53
    assert abs(salt - 334.941) < 0.001
    assert abs(yeast - 167.470) < 0.002


def test_a_blend_of_three_flours_for_1400_g():
    # *Baker's Percentage Tutorial* part 3, exercise 1 (wildyeastblog.com, 2008). It prints 404 g of white flour because it
    # takes half of the *rounded* 807 g; from unrounded flour it is 403.
    unit = one_dough(
        lesson(
            "strong white flour: 50 %; wholemeal flour: 20 %; semolina: 30 %; water: 70 %; instant yeast: 1.5 %; fine salt: 2 %",
            "1400 g",
        ),
        step="1",
    )
    assert list(grams(unit).values()) == [403, 161, 242, 565, 12, 16]


@pytest.mark.parametrize(
    ("flour", "published"),
    [(500, [400, 100, 300, 50, 10]), (2000, [1600, 400, 1200, 200, 40])],
)
def test_a_home_recipe_scaled_by_its_flour(flour, published):
    # *The Sourdough Framework*, chapter "Wheat sourdough" and table "recipe, baker's math" (copy of 2026); its starter is an
    # ingredient, not part of the flour
    bread = lesson(
        "strong white flour: 80 %; wholemeal flour: 20 %; water: 60 %; stiff starter: 10 %; fine salt: 2 %",
        f"{flour * F('1.72') // 1} g",
    )
    assert list(grams(one_dough(bread, step="0.1")).values()) == published


def test_flour_for_a_wanted_dough():
    # Gisslen, *Professional Baking*, "Procedure for converting a formula to a new yield": 3 000 g at 377.5 % takes 794.7 g of
    # flour (rounded up by hand to 800), 6 lb take 25.43 oz
    dough = Formula("", (FormulaLine("everything", F("377.5")),))
    assert round(float(flour_for_dough_g(dough, F(3000))), 1) == 794.7
    assert round(float(flour_for_dough_g(dough, F(96))), 2) == 25.43


def test_a_dozen_three_ounce_rolls():
    # "Using Baker's Math" (mynebraskakitchen.com): 36 oz of dough, factor rounded to 0.212; one gram for an ounce here
    rolls = lesson(
        "strong white flour: 70 %; semolina: 30 %; water: 65 %; sugar: 2 %; fine salt: 2 %; instant yeast: 1 %",
        "3 g",
    )
    published = [14.8, 6.4, 13.8, 0.42, 0.42, 0.21]
    for got, printed in zip(grams(one_dough(rolls, 12)).values(), published, strict=True):
        assert abs(got - printed) <= 0.05


def test_a_process_loss_is_mixed_on_top():
    # "Roasted garlic ciabatta" (dawghousebakery.com): 2 loaves of 600 g + 1 % process loss = 1 212 g; the printed grams add
    # up to 1 211: its total is the target, ours the sum of what is weighed. Its 1 % is of the loaves, ours of the dough.
    ciabatta = lesson(
        "strong white flour: 100 %; water: 81 %; cream: 0.8 %; fine salt: 2 %; instant yeast: 1 %; olive oil: 4 %; garlic: 6 %",
        "606 g",
    )
    unit = one_dough(ciabatta, 2, step="1")
    assert list(grams(unit).values()) == [622, 504, 5, 12, 6, 25, 37]
    assert unit.dough_g == 1211


def test_ten_kilograms_of_slow_baguette_show_the_misprint():
    # "Slow rise baguettes", US mill professional sheet: it prints "0.75 kg, 0.75 %" of fresh yeast; 0.75 % of 10 kg is 0.075 kg,
    # and only that gives its printed total of 17.275 kg
    unit = one_dough(
        lesson(
            "strong white flour: 100 %; water: 70 %; fine salt: 2 %; fresh yeast: 0.75 %", "17275 g"
        )
    )
    assert list(grams(unit).values()) == [10_000, 7_000, 200, 75]
    assert unit.dough_g == 17_275


PREFERMENT = """\
  preferments:
    {name}:
      kind: {kind}
      pre-fermented flour: {share} %
      hydration: {hydration} %
{yeast}{flours}      ripens: 12-16 h
      at: 20 C
"""


def split(
    formula: str,
    dough_g: str,
    kind: str,
    share: str,
    hydration: str,
    yeast: str = "",
    flours: str = "",
    culture: str = "",
    weights: bool = False,
):
    """The final dough and the preferment of one dough, in grams of a fine scale."""
    part = PREFERMENT.format(
        name="starter dough",
        kind=kind,
        share=share,
        hydration=hydration,
        yeast=f"      yeast: {yeast} %\n" if yeast else "",
        flours=(f"      flours: {{{flours}}}\n" if flours else "")
        + (f"      culture: {culture} %\n" if culture else ""),
    )
    one = lesson(formula, dough_g, base_uses=part, weights=weights)
    result = scale(one, class_of({"bread": 1}), (Scale(F("0.001"), F(10**6)),))
    final, mixed = (
        next(u for u in result.units if u.kind == kind) for kind in ("person", "preferment")
    )
    return grams(final), grams(mixed)


def test_baguettes_with_a_poolish():
    # *Baker's Percentage Tutorial* part 4 (wildyeastblog.com, 2008), 2 340 g: poolish 468 flour + 468 water + 0.3 yeast
    # (printed as 936), final dough 900 flour, 468 water, 9 yeast, 27 salt
    final, poolish = split(
        "strong white flour: 1368 g; water: 936 g; instant yeast: 9280 mg; fine salt: 27 g",
        "2340.28 g", "poolish", f"{468 / 13.68:.6f}", "100", "0.06", weights=True,
    )  # fmt: skip
    assert {name: round(value) for name, value in final.items()} == {
        "strong white flour": 900, "water": 468, "instant yeast": 9, "fine salt": 27, "starter dough": 936,
    }  # fmt: skip
    assert [round(value, 1) for value in poolish.values()] == [468, 468, 0.3]


@pytest.mark.parametrize(
    ("formula", "dough", "preferment", "final", "mixed"),
    [
        # bakemag.com no. 10807, French bread with poolish, kg as g here; its poolish column misprints yeast as 20 % (0.2 %)
        ("strong white flour: 100 %; water: 67 %; fine salt: 2 %; fresh yeast: 1.1 %", "17010 g", ("poolish", "33", "100", "0.2121212121"),
         {"strong white flour": 6700, "water": 3400, "fine salt": 200, "fresh yeast": 103, "starter dough": 6607}, [3300, 3300, 7]),
        # US mill professional sheet "ciabatta" with biga, 10 kg flour
        ("strong white flour: 100 %; water: 76 %; fine salt: 2 %; fresh yeast: 1.2 %", "17920 g", ("biga", "30", "60", "0.1"),
         {"strong white flour": 7000, "water": 5800, "fine salt": 200, "fresh yeast": 117, "starter dough": 4803}, [3000, 1800, 3]),
        # Hamelman, *Bread* (2004), "Vermont Sourdough with Increased Whole Grain", kg column; the seed culture is kept back
        ("strong white flour: 85 %; dark rye flour: 15 %; water: 65 %; fine salt: 1.9 %", "16690 g", ("levain", "20", "125", "", "strong white flour: 100 %", "20"),
         {"strong white flour": 6500, "dark rye flour": 1500, "water": 4000, "fine salt": 190, "starter dough": 4500}, [2000, 2500]),
        # Forkish, *Flour Water Salt Yeast* (2012), overnight hybrid: "20 %" levain is 200 of 1000 g flour, 360 g of levain
        ("strong white flour: 90 %; wholemeal flour: 10 %; water: 78 %; fine salt: 2.1 %; instant yeast: 0.2 %", "1803 g", ("levain", "20", "80", "", "strong white flour: 80 %, wholemeal flour: 20 %", "20"),
         {"strong white flour": 740, "wholemeal flour": 60, "water": 620, "fine salt": 21, "instant yeast": 2, "starter dough": 360}, [160, 40, 160]),
        # US Army, *Manual for Army Bakers* (1916), pp. 49-50: half the flour and 4 of 6 3/4 gal of water (59.26 %) in the sponge; lb as 100 g
        ("strong white flour: 100 %; water: 56.3 %; sugar: 1.25 %; fine salt: 1.25 %; lard: 1.25 %; fresh yeast: 0.625 %", "16067.5 g", ("sponge", "50", "66.72592592", "1.25"),
         {"strong white flour": 5000, "water": 2293.704, "sugar": 125, "fine salt": 125, "lard": 125, "starter dough": 8398.796}, [5000, 3336.296, 62.5]),
    ],
)  # fmt: skip
def test_published_preferments_split_as_printed(formula, dough, preferment, final, mixed):
    got, part = split(formula, dough, *preferment)
    assert {name: pytest.approx(value, abs=0.01) for name, value in final.items()} == got
    assert list(part.values()) == pytest.approx(mixed, abs=0.01)


# ---------------------------------------------------------------- facts of the trade

WHITE = "strong white flour: 100 %; water: 63 %; fine salt: 2 %; instant yeast: 1 %; olive oil: 4 %"


def test_five_hundred_grams_of_flour_take_ten_of_salt():
    # common practice, no source
    got = grams(one_dough(lesson(WHITE, "850 g"), step="0.1"))
    assert (got["strong white flour"], got["fine salt"]) == (500, 10)


def test_a_generous_burger_bun_is_a_hundred_grams_of_dough():
    # common practice, no source
    (person,) = scale(lesson(WHITE, "100 g"), class_of({"bread": 8})).people
    assert person.portions[0].dough_g == 800
    assert person.portions[0].baked_piece_g == 88


def test_dough_for_a_baked_weight_divides_by_what_is_left():
    # Gisslen, *Professional Baking*, "Scaling": loss is percent of the dough, so 440 g baked at 12 % is 500 g of dough
    assert dough_for_baked_g(F(440), F(12)) == 500
    assert with_left_behind_g(F(980), F(2)) == 1000


# ---------------------------------------------------------------- scales and rounding


@pytest.mark.parametrize(
    ("amount", "scales", "step"),
    [
        ("463.7", FINE, 1),
        ("20", FINE, 1),
        ("19.9", FINE, F(1, 10)),
        ("4.6", FINE, F(1, 10)),
        ("1.9", FINE, F(1, 10)),
        ("300", (Scale(F(1, 10), F(500)), Scale(F(5), F(20_000))), F(1, 10)),
        ("1500", (Scale(F(1), F(2000)), Scale(F(50), F(60_000))), 1),
        ("18000", (Scale(F(1), F(5000)), Scale(F(5), F(20_000))), 5),
        ("18000", (Scale(F(1), F(5000)),), 1),
        ("7", (Scale(F(1), F(5000)),), 1),
    ],
)
def test_an_amount_goes_on_the_scale_that_weighs_it_well(amount, scales, step):
    assert scale_for(F(amount), scales).step_g == step


def test_an_amount_under_twenty_steps_is_a_remark_with_a_way_out():
    result = scale(lesson(WHITE, "300 g"), class_of({"bread": 1}), (Scale(F(1), F(5000)),))
    assert {remark.about for remark in result.remarks} == {"weighing"}
    for remark, said in zip(
        result.remarks, ("fine salt", "instant yeast", "olive oil"), strict=True
    ):
        assert said in remark.text
        assert (
            "divide" in remark.text
        )  # weigh once for several and divide: the way out that needs no other scale
    assert scale(lesson(WHITE, "500 g"), class_of({"bread": 1})).remarks == ()


def test_what_is_more_than_nothing_never_rounds_to_nothing():
    tiny = lesson(
        "strong white flour: 100 %; water: 65 %; fine salt: 2 %; instant yeast: 0.02 %", "200 g"
    )
    assert min(grams(one_dough(tiny, step="1")).values()) == 1


def test_people_who_make_the_same_get_the_same_grams():
    result = scale(lesson(WHITE, "337 g"), class_of(*[{"bread": 1}] * 7))
    assert len({unit.lines for unit in result.units}) == 1


# ---------------------------------------------------------------- who mixes


def test_each_person_each_station_or_the_class_mixes():
    makes = [{"bread": 1}] * 5
    doughs = {
        mixed_by: [(unit.key, unit.people, float(unit.dough_g)) for unit in scale(lesson(WHITE, "850 g"), class_of(*makes, mixed_by=mixed_by)).units]
        for mixed_by in ("each person", "each station", "one dough for the class")
    }  # fmt: skip
    assert doughs["each person"] == [
        (seat, (n,), 850) for n, seat in enumerate(("A1", "A2", "A3", "B1", "B2"))
    ]
    assert doughs["each station"] == [("station A", (0, 1, 2), 2550), ("station B", (3, 4), 1700)]
    assert doughs["one dough for the class"] == [("class", (0, 1, 2, 3, 4), 4250)]


def test_somebody_mixes_alone_beside_a_dough_that_others_share():
    day = class_of(*[{"bread": 1}] * 3, mixed_by="one dough for the class")
    result = scale(lesson(WHITE), day, alone=frozenset({1}))
    assert [(unit.key, unit.people) for unit in result.units] == [("A2", (1,)), ("class", (0, 2))]
    assert [person.unit for person in result.people] == ["class", "A2", "class"]


def test_the_demonstration_and_a_spare_person_are_weighed_too():
    day = class_of({"bread": 1}, demonstration=(Making("bread", 1),), spare=(Making("bread", 2),))
    result = scale(lesson(WHITE, "850 g"), day)
    assert [(unit.key, float(unit.dough_g)) for unit in result.units] == [
        ("A1", 850), ("demonstration", 850), ("spare", 1700),
    ]  # fmt: skip
    flour = next(need for need in result.needs if need.ingredient == "strong white flour")
    assert [(part.where, part.grams) for part in flour.parts] == [
        ("station A", 500), ("demonstration", 500), ("spare", 1000),
    ]  # fmt: skip


def test_who_only_watches_has_no_dough():
    day = class_of({"bread": 1}, {})
    result = scale(lesson(WHITE), day)
    assert result.people[1].unit == ""
    assert result.people[1].dusting == ()
    assert len(result.units) == 1


# ---------------------------------------------------------------- toppings and what is shared

USES = """\
    per tray: 4
    toppings:
      lemon: 1/2 each per piece, the zest only
      olive oil: 2 tbsp per tray
      sesame seeds: 1.5 g per piece
      coarse salt: 5 g per student
      egg: 1 each per station for glaze
      milk: 100 g per class for glaze
"""
BASE_USES = "  also used:\n    fine semolina: 10 g per student\n    sunflower oil: 30 ml per station for oiling\n    rye flour: 200 g per class\n"


def test_toppings_are_counted_by_piece_tray_student_station_and_class():
    one = lesson(
        WHITE,
        "100 g",
        uses=USES.replace("milk:", "whole milk:"),
        base_uses=BASE_USES.replace("rye flour", "dark rye flour"),
    )
    day = class_of({"bread": 6}, {"bread": 2}, demonstration=(Making("bread", 1),))
    result = scale(one, day)
    first = {line.ingredient: line for line in result.people[0].portions[0].toppings}
    assert (first["lemon"].count, first["lemon"].grams, first["lemon"].note) == (
        3,
        180,
        "the zest only",
    )
    assert (
        first["olive oil"].exact_g == 60 * LARDER["olive oil"].g_per_ml
    )  # six pieces stand on two trays
    assert (first["sesame seeds"].grams, first["coarse salt"].grams) == (9, 5)
    assert result.people[0].portions[0].trays == 2
    assert [line.ingredient for line in result.stations[0].shared] == ["sunflower oil", "egg"]
    assert [(line.ingredient, line.grams) for line in result.shared] == [
        ("dark rye flour", 200), ("whole milk", 100),
    ]  # fmt: skip
    # the tutor demonstrates at a bench of their own: oil and egg for it too
    assert [line.ingredient for line in result.batches[0].dusting] == [
        "fine semolina",
        "sunflower oil",
        "egg",
    ]
    needs = {need.ingredient: need for need in result.needs}
    assert (needs["lemon"].count, needs["lemon"].grams) == (F("4.5"), 270)
    assert needs["egg"].count == 2
    assert needs["fine semolina"].grams == 30


def test_an_allowance_is_added_to_every_need():
    one = lesson(WHITE, "850 g", uses="    toppings:\n      lemon: 2 each per piece\n")
    result = scale(one, class_of({"bread": 2}, allowance_percent=F(5)))
    needs = {need.ingredient: need for need in result.needs}
    assert needs["strong white flour"].grams == 1050
    assert (needs["lemon"].count, needs["lemon"].grams) == (F("4.2"), 252)
    assert needs["instant yeast"].parts[-1].where == "allowance"


def test_an_ingredient_whose_spoon_weight_nobody_knows_is_a_problem_at_its_line():
    one = lesson(WHITE, uses="    toppings:\n      pearl sugar: 1 tsp per piece\n")
    day = class_of({"bread": 1}, {"bread": 1})
    _, problems = scaled(
        one, day, KITCHEN, LARDER, tuple(p.makes for p in day.people), (Version(),) * 2
    )
    assert [str(problem) for problem in problems] == [
        "l.yaml:24:7: the larder does not say what a millilitre of pearl sugar weighs; "
        "write the amount in grams, or add it to your larder"
    ]


# ---------------------------------------------------------------- changes

SWAP = Change("wholemeal flour", "strong white flour", F(1))


def test_a_swap_into_a_flour_that_is_there_makes_one_line():
    mixed = lesson(
        "strong white flour: 60 %; wholemeal flour: 40 %; water: 65 %; fine salt: 2 %; instant yeast: 1 %",
        base_uses=PREFERMENT.format(
            name="biga",
            kind="biga",
            share="40",
            hydration="60",
            yeast="      yeast: 0.1 %\n",
            flours="      flours: {strong white flour: 100 %}\n",
        ),
    )
    changed = changed_formula(mixed.base.formula, (SWAP,))
    assert [(line.ingredient, line.percent) for line in changed.lines][:2] == [
        ("strong white flour", 100), ("water", 65),
    ]  # fmt: skip
    result = scale(mixed, class_of({"bread": 1}), versions=(Version((SWAP,)),))
    unit = result.units[0]
    assert [line.ingredient for line in unit.lines].count("strong white flour") == 1
    assert abs(unit.dough_g - 500) <= F(5, 2)


def test_a_preferment_that_differs_for_somebody_is_mixed_apart():
    dough = lesson(
        "strong white flour: 60 %; wholemeal flour: 40 %; water: 65 %; fine salt: 2 %; instant yeast: 1 %",
        left="2 %",
        base_uses=PREFERMENT.format(
            name="sponge",
            kind="sponge",
            share="40",
            hydration="60",
            yeast="      yeast: 0.1 %\n",
            flours="      flours: {wholemeal flour: 100 %}\n",
        ),
    )
    versions = (Version(), Version((SWAP,)), Version())
    result = scale(dough, class_of(*[{"bread": 1}] * 3), versions=versions)
    mixed = {unit.key: unit for unit in result.units if unit.kind == "preferment"}
    assert set(mixed) == {"sponge", "sponge A2"}
    assert [line.ingredient for line in mixed["sponge A2"].lines] == [
        "strong white flour", "water", "instant yeast",
    ]  # fmt: skip
    assert mixed["sponge"].needed_g == sum(
        unit.grams("sponge") for unit in result.units if unit.kind == "person"
    )
    own = next(line for line in result.units[1].lines if line.instead_of == "sponge")
    assert own.ingredient == "sponge A2"
    assert mixed["sponge A2"].needed_g == own.grams


def test_a_topping_is_swapped_at_its_ratio_or_left_out():
    one = lesson(
        WHITE,
        "100 g",
        uses="    toppings:\n      rosemary: 10 g per piece\n      sesame seeds: 3 g per piece\n",
    )
    changes = (
        Change("rosemary", "thyme", F(1, 2), "", "bread"),
        Change("sesame seeds", "", F(0), "", "bread"),
    )
    result = scale(one, class_of({"bread": 4}), versions=(Version(changes),))
    (topping,) = result.people[0].portions[0].toppings
    assert (topping.ingredient, topping.grams, topping.instead_of) == ("thyme", 20, "rosemary")
    assert "sesame seeds" not in {need.ingredient for need in result.needs}


def test_another_yeast_changes_the_yeast_alone():
    fresh = Change("instant yeast", "fresh yeast", F("2.5"))
    day = class_of(*[{"bread": 2}] * 4)
    plain, other = (
        scale(lesson(WHITE), day, versions=(Version(changes),) * 4, for_all=changes)
        for changes in ((), (fresh,))
    )
    before, after = ({need.ingredient for need in one.needs} for one in (plain, other))
    assert before ^ after == {"instant yeast", "fresh yeast"}


# ---------------------------------------------------------------- laws for every class

MORE = "".join(
    f"  {name}:\n" + BREAD.replace("PIECE", piece).replace("USES", uses)
    for name, piece, uses in (
        ("rolls", "93 g", "    per tray: 8\n    toppings:\n      egg: 1/3 each per tray for glaze\n      sesame seeds: 1.3 g per piece\n"),
        ("flat", "417 g on a 25 x 35 cm tray", "    toppings:\n      olive oil: 2 tbsp per piece\n      lemon: 1 each per class\n"),
    )
)  # fmt: skip
SPONGE = PREFERMENT.format(
    name="sponge", kind="sponge", share="30", hydration="65", yeast="      yeast: 0.4 %\n",
    flours="      flours: {wholemeal flour: 100 %}\n",
)  # fmt: skip
LAW_LESSONS = tuple(
    lesson(
        "strong white flour: 60 %; wholemeal flour: 40 %; water: 66 %; fine salt: 2 %; instant yeast: 1.1 %; honey: 5 %",
        "790 g",
        left=left,
        more=MORE,
        uses="    also used:\n      sunflower oil: 1 tsp per piece for oiling\n",
        base_uses=part
        + "  also used:\n    wholemeal flour: 15 g per student\n    fine semolina: 40 g per station\n",
    )
    for left, part in (("0 %", ""), ("2 %", SPONGE), ("7.5 %", SPONGE))
)
SCALER = Scaler(LAW_LESSONS[0], class_of({}), KITCHEN, LARDER)
MAKES = st.dictionaries(st.sampled_from(["bread", "rolls", "flat"]), st.integers(1, 12), max_size=3)
MAKINGS = MAKES.map(lambda made: tuple(Making(*one) for one in made.items()))
CHANGES = st.lists(
    st.sampled_from(
        [
            Change("wholemeal flour", "strong white flour", F(1)),
            Change("instant yeast", "fresh yeast", F(5, 2)),
            Change("honey", "golden syrup", F(4, 5)),
            Change("sesame seeds", "poppy seeds", F(1), "", "rolls"),
            Change("egg", "whole milk", F(1, 2), "", "rolls"),
            Change("egg", "", F(0), "", "rolls"),
        ]
    ),
    max_size=3,
).map(tuple)
SCALES = st.sampled_from(
    [
        FINE,
        FINE[:1],
        FINE[1:],
        (Scale(F(1, 10), F(200)), Scale(F(2), F(3000)), Scale(F(20), F(30_000))),
    ]
)
CLASSES = st.tuples(
    st.sampled_from(LAW_LESSONS),
    st.lists(st.tuples(MAKES, CHANGES), min_size=1, max_size=6),
    st.sampled_from(["each person", "each station", "one dough for the class"]),
    st.frozensets(st.integers(0, 5), max_size=3),
    MAKINGS,
    MAKINGS,
    SCALES,
    CHANGES,
)


def counted(*lines) -> Counter:
    """Grams by ingredient."""
    total: Counter = Counter()
    for line in lines:
        total[line.ingredient] += line.grams
    return total


@settings(max_examples=80, deadline=None)
@given(CLASSES)
def test_nothing_is_lost_between_cards_stations_and_shopping(drawn):
    one, people, mixed_by, alone, demonstration, spare, scales, for_all = drawn
    day = class_of(
        *[made for made, _ in people], mixed_by=mixed_by, per_station=2, demonstration=demonstration, spare=spare
    )  # fmt: skip
    versions = tuple(Version((*for_all, *changes)) for _, changes in people)
    result = scale(
        one, day, scales, versions, for_all=for_all, demonstrated=for_all,
        alone=frozenset(n for n in alone if n < len(people)),
    )  # fmt: skip

    # what is used: doughs, preferments, toppings, dusting, what stations and the class share
    doughs = [line for unit in result.units for line in unit.lines]
    portions = [p for holder in (*result.people, *result.batches) for p in holder.portions]
    own = [line for portion in portions for line in portion.toppings]
    own += [line for holder in (*result.people, *result.batches) for line in holder.dusting]
    shared = [line for station in result.stations for line in station.shared] + list(result.shared)
    used = counted(*doughs, *own, *shared)
    shares = Counter({name: used.pop(name) for name in list(used) if LARDER.get(name) is None})

    # what is needed is what is used, to the milligram, and every need is the sum of its parts
    needs = {need.ingredient: need.grams for need in result.needs}
    assert needs == dict(used)
    # what preferments weigh covers the shares on the cards
    mixed = {unit.key: unit for unit in result.units if unit.kind == "preferment"}
    assert {key: unit.needed_g for key, unit in mixed.items()} == dict(shares)
    # what stations weigh, what is mixed for the class, and what batches weigh are all of it
    weighed = counted(*(line for station in result.stations for line in station.weigh_out))
    weighed += counted(*(line for unit in result.units if not unit.station for line in unit.lines))
    weighed += counted(
        *result.shared,
        *(
            line
            for batch in result.batches
            for portion in batch.portions
            for line in portion.toppings
        ),
        *(line for batch in result.batches for line in batch.dusting),
    )
    assert {n: g for n, g in weighed.items() if LARDER.get(n)} == needs

    # everybody who makes something is in one dough, which is enough for its pieces within the scale's steps
    for unit in result.units:
        assert all(line.grams % line.step_g == 0 for line in unit.lines if line.step_g)
        wanted = with_left_behind_g(unit.needed_g, one.base.left_percent)
        assert abs(unit.dough_g - wanted) <= sum(line.step_g for line in unit.lines)
    in_doughs = [index for unit in result.units for index in unit.people]
    assert sorted(in_doughs) == [n for n, (made, _) in enumerate(people) if made]
    pieces = Counter()
    for unit in result.units:
        pieces.update(dict(unit.pieces))
    wanted_pieces: Counter = Counter()
    for made in (
        *(made.items() for made, _ in people),
        *(((m.variation, m.pieces) for m in batch) for batch in (demonstration, spare)),
    ):
        for name, count in made:
            wanted_pieces[name] += count
    assert pieces == wanted_pieces


@settings(max_examples=30, deadline=None)
@given(st.lists(MAKES, min_size=1, max_size=4), st.sampled_from(LAW_LESSONS))
def test_twice_the_people_need_twice_as_much_when_each_mixes_alone(people, one):
    once, twice = (scale(one, class_of(*makes, per_station=1)) for makes in (people, people * 2))
    single = {need.ingredient: need.grams for need in once.needs}
    shared = counted(*once.shared)
    in_preferments = {
        line.ingredient for unit in once.units if unit.kind == "preferment" for line in unit.lines
    }
    for need in twice.needs:
        per_class = shared[need.ingredient]
        expected = 2 * (single[need.ingredient] - per_class) + per_class
        # a preferment is one dough for everybody: it is rounded once in each class
        slack = F(3) if need.ingredient in in_preferments else F(0)
        assert abs(need.grams - expected) <= slack


@given(
    st.lists(
        st.fractions(min_value=F(1, 100), max_value=2000, max_denominator=100),
        min_size=1,
        max_size=8,
    )
)
def test_a_sum_of_lines_is_the_sum_of_what_is_printed(amounts):
    lines = [SCALER.weighed(f"{'ab'[n % 2]}", amount) for n, amount in enumerate(amounts)]
    for line in lines:
        assert abs(line.grams - line.exact_g) <= line.step_g / 2 or line.grams == line.step_g
        assert line.grams == rounded_to(line.exact_g, line.step_g) or line.grams == line.step_g
    assert sum(line.grams for line in added(lines)) == sum(line.grams for line in lines)
