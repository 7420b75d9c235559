"""From lesson, class day and kitchen to the planner's problem: dials, circuits, tins, lots and rests."""

import datetime
from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.class_day import ClassDay, Making, Pause, Person, Station
from classpack.model.class_plan import Version
from classpack.model.day import DayPool
from classpack.model.kitchen import Kitchen, Mixer, Oven, Scale, Tin
from classpack.planning.amounts.scaling import scaled
from classpack.planning.day.setting import day_setting, dial_c, hottest_c
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.timetable.faults import day_faults
from classpack.reading.larder_file import package_larder
from classpack.reading.lesson_file import read_lesson
from tests.conftest import planned_demo

LARDER = package_larder()
LESSON = """\
lesson: x
base:
  name: dough
  formula: {strong white flour: 100 %, water: 65 %, instant yeast: 1 %}
  dough temperature: 25 C
  left in the bowl: 2 %
  method:
    - mix: Mix.
      hands: 4 min
RESTS
    - bulk proof: 60 min
      window: 45-90 min
      text: Wait.
      ready when: doubled
variations:
"""
BREAD = """\
  {name}:
    piece: {piece}
    pieces: 1
    method:
      - shape: Shape.
        hands: 4 min
      - final proof: 45 min
        window: 35-65 min
        text: Wait.
        ready when: risen
      - score: Cut.
        hands: 2 min
      - bake: 30 min at {heat}
        range: {span}
        loss: 12 %
        per shelf: {shelf}
        load: In.
        take out: Out.
        ready when: brown
        carry after: 20 min
"""
LOAF = BREAD.format(
    name="loaf",
    piece="820 g in a 2100 ml tin",
    heat="230 C conventional",
    span="220-240 C",
    shelf=2,
)
ROLLS = BREAD.format(name="rolls", piece="90 g", heat="190 C fan", span="185-200 C", shelf=8)
OVEN = Oven("big", "conventional", 2, F(250))


def lesson(rests: str = ""):
    return read_lesson(LESSON.replace("RESTS\n", rests) + LOAF + ROLLS, "l.yaml", LARDER)


SCALES = (Scale(F(1, 10), F(5000)),)


def setting(
    makes,
    ovens=(OVEN,),
    one=None,
    kitchen: dict | None = None,
    scales=SCALES,
    **day_fields,
):
    """The setting of people at stations A, B ...: ``makes`` is, per station, what each person makes."""
    one = one or lesson()
    people = tuple(
        Person(f"{s}{p}", "AB"[s], f"{'AB'[s]}{p + 1}", tuple(Making(*m) for m in made.items()))
        for s, station in enumerate(makes)
        for p, made in enumerate(station)
    )
    stations = tuple(Station("AB"[s]) for s in range(len(makes)))
    day = ClassDay("x", "c", datetime.date(2027, 3, 13), 600, 900, people, stations, **day_fields)
    place = Kitchen("k", "k", ovens, scales, **(kitchen or {}))
    made = tuple(person.makes for person in people)
    result, _ = scaled(one, day, place, LARDER, made, (Version(),) * len(made))
    return day_setting(one, day, place, result.people, result.units)


@pytest.mark.parametrize(
    ("kind", "offset", "hottest", "wanted", "dial"),
    [
        ("conventional", 0, 250, 230, 230),
        (
            "fan",
            0,
            250,
            230,
            210,
        ),  # household rule, 20 °C (25 °F to 50 °F in print): a fan oven is set lower
        ("fan", 10, 250, 230, 200),
        ("conventional", -8, 250, 230, 240),
        ("deck", 12, 300, 232, 220),
        ("conventional", 0, 253, 253, 250),
        ("conventional", -20, 250, 230, 250),
    ],
)
def test_the_dial_takes_fan_and_offset_off_and_stays_on_its_scale(
    kind, offset, hottest, wanted, dial
):
    oven = Oven("o", kind, 2, F(hottest), F(offset))
    assert dial_c(oven, wanted) == dial


@given(
    st.sampled_from(["conventional", "fan", "deck"]),
    st.integers(-30, 30),
    st.integers(150, 300),
    st.integers(100, 340),
)
def test_a_dial_is_within_its_rounding_of_what_is_wanted_if_the_oven_can(
    kind, offset, hottest, wanted
):
    oven = Oven("o", kind, 2, F(hottest), F(offset))
    dial = dial_c(oven, wanted)
    assert dial % 5 == 0
    assert dial <= hottest
    if wanted <= hottest_c(oven):
        inside = dial + offset + (20 if kind == "fan" else 0)
        assert abs(inside - wanted) <= 5


def test_of_ovens_on_one_circuit_only_as_many_are_planned_as_it_carries():
    small = Oven("small", "fan", 1, F(250), circuit="wall")
    big = replace(OVEN, circuit="wall")
    found = setting([[{"loaf": 1}]], ovens=(small, big), kitchen={"circuits": (("wall", 1),)})
    assert [oven.name for oven in found.ovens] == ["big"]
    assert [oven.name for oven in found.problem.ovens] == ["big"]
    assert str(found.remarks[0]) == (
        "remark (ovens): Oven small stays off: the circuit 'wall' carries 1 of its ovens at once."
    )
    assert (
        len(
            setting([[{"loaf": 1}]], ovens=(small, big), kitchen={"circuits": (("wall", 2),)}).ovens
        )
        == 2
    )


def test_the_oven_a_bread_needs_stays_on_though_it_is_the_smaller():
    small = Oven("small", "conventional", 1, F(250), circuit="wall")
    big = Oven("big", "conventional", 4, F(200), circuit="wall")
    found = setting([[{"loaf": 1}]], ovens=(big, small), kitchen={"circuits": (("wall", 1),)})
    assert [oven.name for oven in found.ovens] == ["small"]
    assert day_faults(found.problem) == ()


def test_toppings_and_cuts_are_prepared_also_where_there_is_no_final_proof():
    one = lesson()
    loaf = one.variations[0]
    quick = replace(loaf, method=tuple(s for s in loaf.method if s.stage != "final proof"))
    one = replace(one, variations=(quick, *one.variations[1:]))
    ((lot,),) = [s.lots for s in setting([[{"loaf": 1}]], one=one, pace=F(1)).problem.stations]
    assert (lot.shape_min, lot.prepare_min) == (4, 2)


def test_loaves_share_the_tins_the_kitchen_has():
    tins = (Tin("long", F(2100), 5), Tin("near", F(2050), 9), Tin("short", F(900), 3))
    found = setting([[{"loaf": 2}]], kitchen={"tins": tins})
    assert [(pool.name, pool.count) for pool in found.problem.pools] == [("long", 5)]
    assert found.problem.products[0].pool == "long"
    none_long = setting([[{"loaf": 2}]], kitchen={"tins": (Tin("long", F(2100), 0), *tins[1:])})
    assert [(pool.name, pool.count) for pool in none_long.problem.pools] == [("near", 9)]
    none_at_all = setting([[{"loaf": 2}]], kitchen={"tins": (Tin("long", F(2100), 0), tins[2])})
    assert [(pool.name, pool.count) for pool in none_at_all.problem.pools] == [("long", 0)]
    assert none_at_all.remarks == ()
    missing = setting([[{"loaf": 2}]], kitchen={"tins": tins[2:]})
    assert missing.problem.pools == ()
    assert [str(remark) for remark in missing.remarks] == [
        "remark (kit): The kitchen has no tin of about 2100 ml for the loaves: "
        "the plan takes it that enough are brought."
    ]


def test_rests_add_up_and_one_before_the_bulk_proof_is_part_of_it():
    rest = "    - rest: {} min\n      window: {} min\n      text: Wait.\n"
    fold = "    - fold: Fold.\n      hands: 2 min\n"
    found = setting(
        [[{"rolls": 1}]],
        one=lesson(
            rest.format(10, "8-20") + rest.format(5, "5-10") + fold + rest.format(15, "10-20")
        ),
        hand_washing_min=F(0),
    )
    mix, folding = found.problem.stations[0].steps
    assert (mix.minutes, folding.minutes) == (
        6,
        3,
    )  # four and two minutes of a tutor at a pace of 1.5
    assert (folding.wait_least, folding.wait_most) == (15, 30)
    bulk = found.problem.stations[0].bulk
    assert (bulk.least, bulk.usual, bulk.most) == (60, 75, 105)


def test_what_is_done_between_proof_and_oven_takes_hands():
    problem = setting([[{"loaf": 1}, {"loaf": 3}]], pace=F(3, 2)).problem
    (loaf,) = problem.products
    assert (loaf.proof.least, loaf.proof.usual, loaf.proof.most) == (35, 45, 65)
    # two minutes of the tutor's for one loaf: the slowest cuts three, at one and a half times the minutes
    assert [lot.prepare_min for lot in problem.stations[0].lots] == [9]
    assert (loaf.oven_low_c, loaf.oven_high_c, loaf.oven_best_c, loaf.cool_min) == (
        220,
        240,
        230,
        20,
    )


def mixed(makes, mixers=(), **fields):
    """The mixing steps of everybody, with a lesson whose dough is mixed by a mixer (4 min) in this kitchen."""
    one = lesson()
    one = replace(one, base=replace(one.base, mixed_by="mixer"))
    found = setting(makes, one=one, kitchen={"mixers": mixers}, pace=F(3, 2), **fields)
    steps = {s.name: s.steps[-1] for s in found.problem.stations}
    return found, {name: (step.minutes, step.pool) for name, step in steps.items()}


BENCH = Mixer("bench mixer", "bench", F(1600), 1)
TWO_AND_ONE = [[{"loaf": 1}, {"loaf": 1}], [{"loaf": 1}]]  # about 810 g of dough each


def test_doughs_take_turns_at_a_mixer_which_no_pace_makes_slower():
    found, steps = mixed(TWO_AND_ONE, (BENCH,))
    assert steps == {"A": (8, "mixers"), "B": (4, "mixers")}
    assert DayPool("mixers", 1) in found.problem.pools
    assert [one.text for one in found.remarks if "mixer" in one.text] == [
        "2 doughs or parts of one go through a mixer one after another at A: the first rests longer than the last."
    ]


def test_more_mixers_than_benches_mix_a_benchs_doughs_at_once():
    found, steps = mixed(TWO_AND_ONE, (replace(BENCH, count=4),))
    assert steps == {"A": (4, "mixers"), "B": (4, "mixers")}
    assert DayPool("mixers", 2) in found.problem.pools


def test_a_dough_too_large_for_every_mixer_goes_through_in_parts():
    found, steps = mixed(TWO_AND_ONE, (BENCH,), mixed_by="each station")
    assert steps == {"A": (8, "mixers"), "B": (4, "mixers")}
    told = "A's dough of 1674 g is more than a mixer holds (1600 g): it is mixed in 2 parts."
    assert told in [one.text for one in found.remarks]


def test_one_dough_for_the_class_is_mixed_with_everybody_watching():
    _, steps = mixed(TWO_AND_ONE, (BENCH,), mixed_by="one dough for the class")
    assert steps == {"A": (8, None), "B": (8, None)}


def test_a_mixers_dough_without_a_mixer_cannot_be_planned():
    found, _ = mixed(TWO_AND_ONE)
    assert [str(fault) for fault in day_faults(found.problem)] == [
        "kit / mixers: '1 mix' of B needs mixers, and the kitchen has none; say how many mixers there are"
    ]


def test_fewer_scales_than_benches_are_weighed_at_in_turns():
    weighed = lesson().base.method[0]
    one = lesson()
    one = replace(
        one, base=replace(one.base, method=(replace(weighed, stage="weigh"), *one.base.method))
    )
    found = setting(TWO_AND_ONE, one=one)
    assert [(pool.name, pool.count) for pool in found.problem.pools] == [("scales", 1)]
    assert [[step.pool for step in s.steps] for s in found.problem.stations] == [
        [None, "scales", None]
    ] * 2


def test_nobody_takes_turns_at_the_fine_scales():
    fine = (Scale(F(1), F(5000)), *(Scale(F(1, 10), F(500)),) * 4)
    one = lesson()
    found = setting(TWO_AND_ONE, one=one, scales=fine)
    assert DayPool("scales", 1) in found.problem.pools


def test_a_fan_bake_is_planned_at_what_a_conventional_oven_must_have():
    (rolls,) = setting([[{"rolls": 1}]]).problem.products
    assert (rolls.oven_low_c, rolls.oven_high_c, rolls.oven_best_c) == (205, 220, 210)


def test_the_demonstration_is_a_bench_of_the_tutors_own():
    found = setting([[{"loaf": 1}]], demonstration=(Making("rolls", 8),))
    assert found.stations == ("A", "tutor")
    assert found.problem.stations[1].tutors
    assert [step.name for step in found.problem.stations[1].steps] == ["1 mix"]
    assert [step.name for step in found.problem.stations[0].steps] == ["wash hands", "1 mix"]
    assert found.problem.stations[1].steps[0].minutes == 4  # the tutor's own pace


def test_a_station_of_people_who_only_watch_is_not_planned():
    assert setting([[{"loaf": 1}], [{}]]).stations == ("A",)


MADE = st.dictionaries(
    st.sampled_from(["loaf", "rolls"]), st.integers(1, 40), min_size=1, max_size=2
)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.lists(MADE, min_size=1, max_size=4), min_size=1, max_size=2), st.integers(1, 3))
def test_lots_hold_every_piece_once_and_none_is_more_than_an_oven_takes(makes, places):
    found = setting(makes, ovens=(replace(OVEN, places=places),))
    assert all(
        fault.path[0] == "work" for fault in day_faults(found.problem)
    )  # more than a day's work may be asked
    for station, made, lots in zip(makes, found.lots, found.problem.stations, strict=True):
        for name, per_shelf in (("loaf", 2), ("rolls", 8)):
            mine = [one for one in made if one.variation == name]
            assert sum(one.pieces for one in mine) == sum(person.get(name, 0) for person in station)
            assert all(0 < one.pieces <= places * per_shelf and one.people for one in mine)
        assert [(lot.product, lot.pieces) for lot in lots.lots] == [
            (one.variation, one.pieces) for one in made
        ]


def test_a_break_of_ones_own_is_an_event_that_keeps_its_span():
    sources = planned_demo("saturday-twelve").sources
    lunch = Pause("lunch", F(40), 170, 200)
    day = replace(sources.day, breaks=(lunch,), end_min=sources.day.end_min + 60)
    timed = plan_class(replace(sources, day=day)).plan.timed
    (event,) = [one for one in timed.setting.problem.events if one.name == "break: lunch"]
    start = timed.plan.event_starts[timed.setting.problem.events.index(event)]
    assert 170 <= start <= 200
    assert timed.plan.fits
