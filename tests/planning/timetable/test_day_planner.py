"""Laws of the planner on all sorts of small classes."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.model.day import (
    ColdHold,
    DayEvent,
    DayLot,
    DayOven,
    DayPool,
    DayProblem,
    DayStation,
    Window,
)
from classpack.planning.timetable.chance import Chance
from classpack.planning.timetable.faults import day_faults
from classpack.planning.timetable.planner import NoPlanError, plan_day
from classpack.planning.timetable.reasons import CAUSES
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.spans import DaySpans
from tests.planning.timetable.day_classes import PRODUCTS, STEPS, random_class, small_class

EFFORT = 400


@st.composite
def classes(draw):
    """Small classes of every kind: kit, cold, assistants, dough made beforehand, a tutor's batch, odd ovens, late arrivals."""
    made = draw(st.lists(st.sampled_from(PRODUCTS), min_size=1, max_size=3, unique=True))
    pooled = [replace(p, pool="tins") if draw(st.booleans()) else p for p in made]
    stations = []
    for number in range(draw(st.integers(1, 4))):
        beforehand = draw(st.integers(0, 3)) == 0
        pooled_steps = draw(st.sampled_from(({"mix"}, {"mix", "knead"}, {"weigh", "knead"})))
        longer = draw(st.sampled_from((0, 0, 10)))
        steps = tuple(
            replace(s, pool="mixers", minutes=s.minutes + longer) if s.name in pooled_steps else s
            for s in STEPS
        )
        some = draw(st.lists(st.sampled_from(made), min_size=1, max_size=3, unique=True))
        stations.append(
            DayStation(
                name=f"bench {number + 1}",
                steps=() if beforehand else steps,
                bulk=Window(45, 60, draw(st.integers(60, 100))),
                lots=tuple(
                    DayLot(
                        p.name,
                        draw(st.integers(1, 2)),
                        draw(st.integers(0, 12)),
                        draw(st.sampled_from((0, 0, 1, 6, 15))),
                    )
                    for p in some
                ),
                cleanup_min=draw(st.integers(0, 8)),
                bulk_began_min=draw(st.integers(-60, 10)) if beforehand else None,
                hands_from_min=draw(st.sampled_from((0, 0, 0, 25))),
                first_step_latest_min=draw(st.sampled_from((None, 45))),
                tutors=number > 0 and draw(st.integers(0, 4)) == 0,
            )
        )
    events = [
        DayEvent("welcome", 12, before_step="weigh", latest_min=0),
        DayEvent(
            "mixing", 8, after_step="weigh" if draw(st.booleans()) else None, before_step="mix"
        ),
        *(
            [DayEvent("kneading", 5, after_step="mix", before_step="knead")]
            if draw(st.booleans())
            else []
        ),
        DayEvent(
            "break",
            draw(st.integers(0, 20)),
            earliest_min=draw(st.integers(0, 90)),
            latest_min=180,
            needs_tutor=False,
            is_break=True,
        ),
        *(
            DayEvent(f"shaping: {p.name}", 6, after_step="fold", before_product=p.name)
            for p in made
        ),
    ]
    return DayProblem(
        class_min=draw(st.sampled_from((150, 240, 300))),
        closing_min=10,
        stations=tuple(stations),
        products=tuple(pooled),
        ovens=tuple(
            DayOven(
                f"oven {n + 1}",
                draw(st.integers(2, 4)),
                250,
                draw(st.integers(0, 3)),
                2,
                3,
                draw(st.sampled_from((0, 30))),
            )
            for n in range(draw(st.integers(1, 3)))
        ),
        events=tuple(events)
        if any(s.steps for s in stations)
        else tuple(replace(e, after_step=None, before_step=None) for e in events),
        pools=(
            DayPool("tins", draw(st.integers(2, 6))),
            DayPool("mixers", draw(st.integers(1, 3))),
        ),
        assistants=draw(st.integers(0, 1)),
        unloading_min=draw(st.sampled_from((0, 2))),
        cold=ColdHold(3, 40, frozenset({made[0].name})) if draw(st.booleans()) else None,
    )


@settings(max_examples=60, deadline=None)
@given(problem=classes())
def test_every_class_gets_a_sound_plan_and_the_same_one_again(problem):
    assert day_faults(problem) == ()
    plan = plan_day(problem, EFFORT)
    assert check_plan(problem, plan) == ()
    assert plan == plan_day(problem, EFFORT)


@settings(max_examples=25, deadline=None)
@given(problem=classes())
def test_one_more_oven_never_makes_it_worse(problem):
    before = plan_day(problem, EFFORT, unhurried=False)
    more = replace(problem, ovens=(*problem.ovens, replace(problem.ovens[0], name="one more")))
    after = plan_day(more, EFFORT, unhurried=False, start=before)
    worst = (before.over_wait_min, before.over_proof_min, before.finish_min)
    assert (after.over_wait_min, after.over_proof_min, after.finish_min) <= worst


@settings(max_examples=25, deadline=None)
@given(problem=classes())
def test_every_start_says_what_it_waited_for(problem):
    reasons = plan_day(problem, EFFORT).reasons
    said = [*reasons.events, *reasons.cleanups, *reasons.loads]
    said += [held for row in (*reasons.steps, *reasons.shapes, *reasons.prepares) for held in row]
    assert all(held.cause in CAUSES for held in said)


def test_a_first_load_waits_for_its_proof_and_the_next_for_the_oven():
    problem = small_class()
    plan = plan_day(problem, unhurried=False)
    assert [held.cause for held in plan.reasons.loads] == ["proof", "proof"]
    late = plan_day(small_class(bench_count=6), unhurried=False)
    assert [held.cause for held in late.reasons.loads][-1] == "oven"
    assert late.reasons.loads[-1].by == "oven 1"
    assert [held.cause for held in plan.reasons.steps[0]] == ["event", "step", "rest", "rest"]


def test_a_topping_takes_the_hands_from_the_next_shaping():
    # one bench, two breads, an oven for each: while the first is topped nobody shapes the second
    problem = small_class(bench_count=1, oven_count=2)
    topped = replace(
        problem,
        stations=(
            replace(
                problem.stations[0],
                lots=tuple(replace(lot, prepare_min=8) for lot in problem.stations[0].lots),
            ),
        ),
    )
    plan = plan_day(topped, unhurried=False)
    starts = sorted([*plan.shape_starts[0], *plan.prepare_starts[0]])
    assert all(later - earlier >= 8 for earlier, later in pairwise(starts))
    assert plan.finish_min >= plan_day(problem, unhurried=False).finish_min + 8


def test_more_toppings_than_one_load_waits_for_go_in_with_different_loads():
    # fifteen minutes of topping each: the first would stand longer than ten while the second is topped
    problem = small_class(bench_count=1)
    lots = tuple(replace(lot, prepare_min=15) for lot in problem.stations[0].lots)
    problem = replace(problem, stations=(replace(problem.stations[0], lots=lots),))
    roomy = replace(problem, ovens=(replace(problem.ovens[0], places=20),))
    plan = plan_day(roomy, unhurried=False)
    assert check_plan(roomy, plan) == ()
    assert len(plan.loads) == 2


def test_many_benches_at_one_mixer_get_a_plan_though_the_first_doughs_rest_too_long():
    # nobody kneads before everybody has watched, and nobody watches before the fourth dough is mixed
    problem = small_class(bench_count=4)
    steps = tuple(
        replace(s, pool="mixers", minutes=12) if s.name in ("mix", "knead") else s for s in STEPS
    )
    problem = replace(
        problem,
        stations=tuple(replace(station, steps=steps) for station in problem.stations),
        events=(*problem.events, DayEvent("kneading", 5, after_step="mix", before_step="knead")),
        pools=(DayPool("mixers", 1),),
    )
    plan = plan_day(problem, EFFORT)
    assert check_plan(problem, plan) == ()
    mixes = sorted(starts[1] for starts in plan.step_starts)
    assert all(later - earlier >= 12 for earlier, later in pairwise(mixes))
    assert plan.over_wait_min > 0


def test_forty_people_and_one_oven_still_get_a_plan():
    problem = replace(random_class(0, 40), ovens=random_class(0, 40).ovens[:1])
    plan = plan_day(problem, 300)
    assert not plan.fits
    assert check_plan(problem, plan) == ()


def test_a_class_of_half_an_hour_is_late_and_says_so():
    plan = plan_day(small_class(class_min=30), 300)
    assert plan.spare_min < -100


def test_a_class_past_midnight_is_planned_like_any_other():
    # minutes count on: nothing in a plan knows the clock
    problem = small_class(class_min=1600, ovens=(replace(small_class().ovens[0], from_min=1440),))
    plan = plan_day(problem, 300)
    assert min(load.start_min for load in plan.loads) >= 1440


def test_an_oven_that_closes_before_the_bread_is_proved_is_no_plan():
    problem = small_class(ovens=(replace(small_class().ovens[0], until_min=100),))
    with pytest.raises(NoPlanError) as told:
        plan_day(problem, 300)
    assert str(told.value) == (
        "ovens: the ovens close before everything is baked; have one more oven, or let them be used longer"
    )


def test_a_wished_temperature_inside_the_range_is_used_where_nothing_speaks_against_it():
    wished = tuple(replace(p, oven_best_c=215) if p.name == "tin loaf" else p for p in PRODUCTS[:1])
    plan = plan_day(small_class(product_count=1, products=wished))
    assert [load.oven_c for load in plan.loads] == [215]


def test_the_generator_is_even_enough_and_always_the_same():
    chance = Chance(1)
    counts = [0] * 6
    for _ in range(6000):
        counts[chance.below(6)] += 1
    assert all(900 < count < 1100 for count in counts)
    first, second = Chance(5), Chance(5)
    assert [first.below(100) for _ in range(5)] == [second.below(100) for _ in range(5)]


@pytest.mark.parametrize("seed", range(40))
def test_a_class_with_time_to_spare_keeps_the_recipes_times_and_says_what_it_shortens(seed):
    problem = replace(random_class(seed, 8), class_min=420)
    plan = plan_day(problem)
    spans = DaySpans(problem, plan)
    shortened = {one.what: one for one in plan.shortened}
    for s, station in enumerate(problem.stations):
        for i, lot in enumerate(station.lots):
            bulk = spans.shapes[s][i].start - spans.bulk_start(s)
            proof = spans.prepares[s][i].start - spans.shapes[s][i].end - plan.cold_min[s][i]
            least = shortened[""].minutes if "" in shortened else station.bulk.usual
            assert bulk >= least
            usual = spans.product((s, i)).proof.usual
            assert proof >= (shortened[lot.product].minutes if lot.product in shortened else usual)
    if (
        plan.fits and plan.spare_min >= 60
    ):  # hours to spare: then only waits that would grow too long shorten a proof
        assert len(plan.shortened) < 1 + len(problem.products)
