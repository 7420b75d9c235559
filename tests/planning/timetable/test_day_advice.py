"""What is said about a plan: verdict, remedies, a colder room, latest moments."""

from dataclasses import replace
from fractions import Fraction

import pytest

from classpack.model.day import ColdHold, DayPool, Window
from classpack.planning.timetable.planner import plan_day
from classpack.planning.timetable.remedies import KINDS, dough_beforehand, remedies
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.verdict import explain, with_ovens_without_limit
from classpack.planning.timetable.warmer_room import (
    lot_limits,
    proof_factor,
    two_degrees,
    with_doughs_warmer,
)
from tests.planning.timetable.day_classes import small_class

FULL_CLASS = small_class(product_count=3, bench_count=4)  # four benches, one oven of two places
FULL_PLAN = plan_day(FULL_CLASS, 3000)


def verdict(problem):
    return explain(problem, plan_day(problem, 2000))


def test_a_class_that_fits_says_how_much_is_to_spare():
    said = verdict(small_class(product_count=1, class_min=300))
    assert said.kind == "fits"
    assert said.text == f"The class fits with {said.spare_min} min to spare."
    assert said.free_finish_min is None


def test_a_class_that_fits_to_the_minute():
    finish = plan_day(small_class(), unhurried=False).finish_min
    said = verdict(small_class(class_min=finish))
    assert (said.kind, said.text) == (
        "fits",
        "The class fits to the minute. Shortened to fit the hours: first proof 60 to 45 min, final proof of the tin loaf 50 to 40 min.",
    )


def test_lateness_that_is_the_ovens_is_laid_at_their_door():
    said = explain(FULL_CLASS, FULL_PLAN)
    assert said.kind in ("late", "late and waits")
    assert sum(minutes for _, minutes in said.shares) == -FULL_PLAN.spare_min
    assert said.shares[0][0] == "ovens"
    assert said.text.startswith(f"The class ends {-FULL_PLAN.spare_min} min late: ")


def test_lateness_that_is_one_products_own_chain():
    # worked by hand: welcome 12, weigh 10, mix 6, rest 10, knead 3, rest 10, fold 2, bulk 45, shape 8, proof 40, bake 35,
    # cool 20, goodbye 10 = 211 minutes, whatever the ovens
    said = verdict(small_class(product_count=1, class_min=200))
    assert said.latest_bound.finish_min == 211
    assert said.shares == (("chain", 11),)
    assert said.text == (
        "The class ends 11 min late: all of it is the tin loaf's own steps, proofs, bake and cooling. "
        "Shortened to fit the hours: first proof 60 to 45 min, final proof of the tin loaf 50 to 40 min."
    )


def test_lateness_for_want_of_tins():
    problem = small_class(
        product_count=1, bench_count=2, class_min=215, pools=(DayPool("tins", 2),)
    )
    problem = replace(problem, products=(replace(problem.products[0], pool="tins"),))
    said = verdict(problem)
    assert "kit" in dict(said.shares)
    assert "for want of tins" in said.text


def test_doughs_that_wait_too_long_are_named():
    narrow = replace(small_class().products[1], proof=Window(24, 24, 24))
    loaf = replace(small_class().products[0], proof=Window(40, 40, 40))
    problem = small_class(products=(loaf, narrow), bench_count=6)
    plan = plan_day(problem, 1500)
    said = explain(problem, plan)
    assert "waits" in said.kind
    assert sum(wait.over_min for wait in said.waits) == plan.over_proof_min
    assert (
        f"he final proof of the {said.waits[0].name} is {said.waits[0].over_min} min too long"
        in said.text
    )


def test_remedies_are_only_looked_for_when_something_is_wrong():
    assert remedies(small_class(), plan_day(small_class())) == ()


def test_each_remedy_helps_and_the_best_come_first():
    found = remedies(FULL_CLASS, FULL_PLAN)
    kinds = [remedy.kind for remedy in found]
    assert {"start earlier", "one more oven", "without a product"} <= set(kinds) <= set(KINDS)
    assert [remedy.fits for remedy in found] == sorted(
        (remedy.fits for remedy in found), reverse=True
    )
    for remedy in found:
        assert (
            remedy.gain_min >= 10
            or remedy.gain_over_proof_min >= 10
            or remedy.fits
            or remedy.proven
        )
    start = next(remedy for remedy in found if remedy.kind == "start earlier")
    assert start.gain_min % 5 == 0
    assert 0 <= start.gain_min + FULL_PLAN.spare_min < 5


def test_cold_is_only_proposed_where_the_fridge_has_room():
    loaf = replace(small_class().products[0], proof=Window(40, 40, 40), pieces_per_place=1)
    problem = small_class(product_count=1, bench_count=3, products=(loaf,))
    benches = tuple(replace(bench, bulk=Window(45, 45, 45)) for bench in problem.stations)
    problem = replace(problem, stations=benches)
    plan = plan_day(problem, 800)
    assert plan.over_proof_min > 0
    assert "hold cold" not in {remedy.kind for remedy in remedies(problem, plan)}
    with_fridge = replace(problem, cold=ColdHold(places=8, most_min=60))
    held = [remedy for remedy in remedies(with_fridge, plan) if remedy.kind == "hold cold"]
    assert [remedy.what for remedy in held] == ["tin loaf"]


def test_dough_made_beforehand_is_ready_when_the_first_talks_are_over():
    problem = dough_beforehand(small_class())
    assert all(station.steps == () for station in problem.stations)
    assert problem.stations[0].bulk_began_min == 12 + 6 - 60
    plan = plan_day(problem, 600)
    assert check_plan(problem, plan) == ()
    assert plan.finish_min < plan_day(small_class(), 600, unhurried=False).finish_min


def test_ovens_without_limit_take_everything():
    problem = with_ovens_without_limit(FULL_CLASS)
    assert len(problem.ovens) == 1 + 2 * 3
    assert problem.ovens[1].places >= sum(lot.pieces for s in FULL_CLASS.stations for lot in s.lots)


@pytest.mark.parametrize(
    ("warmer", "factor"), [(10, Fraction(1, 2)), (0, 1), (-10, 2), (-2, Fraction(1149, 1000))]
)
def test_proofs_double_for_ten_degrees_colder(warmer, factor):
    # rule of thumb, from memory: dough time doubles every ten degrees colder
    assert proof_factor(warmer) == factor


def test_colder_doughs_scale_to_whole_minutes_inside_the_window():
    colder = with_doughs_warmer(small_class(), -2)
    assert colder.stations[0].bulk == Window(52, 69, 103)  # 45, 60, 90 x 1.149: least up, most down
    assert colder.products[0].proof == Window(46, 57, 74)  # 40, 50, 65


def test_two_degrees_say_what_they_do_to_the_finish():
    problem = small_class(product_count=1)
    plan = plan_day(problem, unhurried=False)
    colder, warmer = two_degrees(problem, plan)
    # by hand, one chain: bulk 45 -> 52 and final proof 40 -> 46 are 13 min; 45 -> 40 and 40 -> 35 are 10 min
    assert (colder.finish_min - plan.finish_min, warmer.finish_min - plan.finish_min) == (13, -10)
    assert (
        colder.text == "With doughs 2 °C colder the class would end 13 min later (rule of thumb)."
    )
    assert (
        warmer.text == "With doughs 2 °C warmer the class would end 10 min earlier (rule of thumb)."
    )


def test_the_latest_moment_of_each_lot_comes_from_its_windows():
    problem = small_class(product_count=1)
    plan = plan_day(problem, unhurried=False)
    limit = lot_limits(problem, plan)[0]
    assert limit.shape_by_min == 53 + 90  # fold ends at 53
    assert limit.shape_slack_min == 45
    assert limit.load_by_min == plan.shape_starts[0][0] + 8 + 65
    assert limit.load_slack_min == 25


def test_waits_that_no_oven_would_end_are_told_as_sums_that_can_be_compared():
    slow = tuple(replace(lot, shape_min=50) for lot in small_class(3).stations[0].lots)
    problem = small_class(3, bench_count=9)
    stations = tuple(replace(station, lots=slow) for station in problem.stations)
    problem = replace(problem, stations=stations)
    plan = plan_day(problem, 300, unhurried=False)
    verdict = explain(problem, plan)
    assert 0 < verdict.free_over_proof_min < plan.over_proof_min
    assert verdict.text.endswith(
        f"With ovens without limit doughs would still wait {verdict.free_over_proof_min} min too long in all, "
        f"instead of {plan.over_proof_min}."
    )
