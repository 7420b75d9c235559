"""The checker of day plans: sound plans pass, and a plan broken by hand is told which rule it breaks, word for word."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from classpack.model.day import (
    Choices,
    ColdHold,
    DayEvent,
    DayLot,
    DayPlan,
    DayPool,
    DayStation,
    Load,
    PlanReasons,
    Window,
)
from classpack.planning.timetable.rules import check_plan
from classpack.planning.timetable.waits import waits
from tests.planning.timetable.day_classes import small_class
from tests.run_instances import problem_of

INSTANCES = json.loads(
    (Path(__file__).parents[2] / "data" / "schedule-instances.json").read_text("utf-8")
)["instances"]


def plan(**starts):
    """A plan from its starts; sums are stated as given, or as for the class below."""
    values = {
        "event_starts": (0, 66, 78),
        "step_starts": ((12, 22, 38, 51),) * 2,
        "shape_starts": ((98, 106),) * 2,
        "cleanup_starts": (117, 117),
        "loads": (
            Load(0, 146, 210, ((0, 0), (1, 0))),
            Load(0, 186, 210, ((0, 1), (1, 1))),
        ),
        "cold_min": ((0, 0), (0, 0)),
        "over_proof_min": 46,
        "over_wait_min": 0,
        "finish_min": 222,
        "spare_min": 18,
    } | starts
    load_of = {key: load.start_min for load in values["loads"] for key in load.lots}
    values.setdefault(
        "prepare_starts",
        tuple(
            tuple(load_of.get((s, i), 0) for i in range(len(row)))
            for s, row in enumerate(values["shape_starts"])
        ),
    )
    return DayPlan(
        proven=False,
        shortened=(),
        usual_finish_min=None,
        reasons=PlanReasons((), (), (), (), (), ()),
        choices=Choices((), (), (), ()),
        **values,
    )


def broken(changes, **starts):
    return check_plan(small_class(**changes), plan(**starts))


@pytest.mark.parametrize("instance", INSTANCES, ids=lambda instance: instance["name"])
def test_the_proven_plans_are_sound_and_their_stated_sums_true(instance):
    # plans and values of tests/data/schedule-instances.json, proven by two solvers
    problem, given = problem_of(instance), instance["plan"]
    number = [{lot["product"]: i for i, lot in enumerate(s["lots"])} for s in instance["stations"]]
    shapes = [[0] * len(lots) for lots in number]
    for entry in given["shape_starts"]:
        shapes[entry["station"]][number[entry["station"]][entry["product"]]] = entry["start"]
    loads = [
        Load(
            load["oven"],
            load["start"],
            load["celsius"],
            tuple((s, number[s][p]) for s, p in load["lots"]),
        )
        for load in given["loads"]
    ]
    best = instance["optimum"]
    proven = plan(
        event_starts=tuple(given["event_starts"]),
        step_starts=tuple(map(tuple, given["dough_step_starts"])),
        shape_starts=tuple(map(tuple, shapes)),
        cleanup_starts=tuple(given["cleanup_starts"]),
        loads=tuple(sorted(loads, key=lambda load: (load.start_min, load.oven))),
        cold_min=tuple((0,) * len(lots) for lots in number),
        over_proof_min=best["over_proof_minutes"],
        finish_min=best["finish"],
        spare_min=instance["class_minutes"] - best["finish"],
    )
    assert check_plan(problem, proven) == ()


def test_a_sound_plan_passes_with_its_waits_counted():
    assert broken({}) == ()
    assert [wait.text for wait in waits(small_class(), plan())] == [
        "the final proof of the buns of bench 1 is 23 min too long",
        "the final proof of the buns of bench 2 is 23 min too long",
    ]


CASES = {
    "two things at once": (
        {"shape_starts": ((98, 104), (98, 106)), "over_proof_min": 48},
        "the shaping of buns of bench 1 starts at minute 104, before the shaping of tin loaf of bench 1 ends at 106",
    ),
    "work during a talk": (
        {
            "event_starts": (0, 66, 79),
            "step_starts": ((12, 22, 38, 51), (12, 22, 38, 78)),
            "over_wait_min": 12,
        },
        "'fold' of bench 2 is at minute 78 to 80, during 'shaping the tin loaf' (79 to 85)",
    ),
    "two events at once": (
        {"event_starts": (0, 70, 78)},
        "'shaping the tin loaf' at minute 78 and 'break' at 70 overlap",
    ),
    "a step too soon": (
        {"step_starts": ((12, 22, 37, 51), (12, 22, 38, 51))},
        "'knead' of bench 1 starts 9 minutes after 'mix' of bench 1; at least 10 must lie between",
    ),
    "clean-up before shaping": (
        {"cleanup_starts": (86, 117)},
        "the clean-up of bench 1 starts at minute 86, before the shaping of tin loaf of bench 1 ends at 106",
    ),
    "an event too early": (
        {"event_starts": (0, 53, 78)},
        "'break' starts at minute 53; not before 60",
    ),
    "a talk before the step it follows": (
        {"event_starts": (0, 66, 44)},
        "'shaping the tin loaf' starts at minute 44, before 'fold' of bench 1 ends at 53",
    ),
    "a step before its talk": (
        {"event_starts": (1, 66, 78)},
        "'weigh' of bench 1 starts at minute 12, before 'welcome' ends at 13",
    ),
    "shaping before its talk": (
        {"event_starts": (0, 66, 130)},
        "the shaping of tin loaf of bench 1 starts at minute 98, before 'shaping the tin loaf' ends at 136",
    ),
    "short bulk proof": (
        {"shape_starts": ((97, 106), (98, 106))},
        "the shaping of tin loaf of bench 1 starts after 44 minutes of bulk proof; it needs 45",
    ),
    "short final proof": (
        {"loads": (Load(0, 145, 210, ((0, 0), (1, 0))), Load(0, 186, 210, ((0, 1), (1, 1))))},
        "tin loaf of bench 1 has 39 minutes of final proof; it needs 40",
    ),
    "too hot for a product": (
        {"loads": (Load(0, 146, 230, ((0, 0), (1, 0))), Load(0, 190, 210, ((0, 1), (1, 1))))},
        "the load of oven 1 at minute 146 is at 230 °C; tin loaf bakes at 200 to 220 °C",
    ),
    "the oven not ready": (
        {"loads": (Load(0, 146, 210, ((0, 0), (1, 0))), Load(0, 185, 210, ((0, 1), (1, 1))))},
        "the load of oven 1 at minute 185 starts before the oven is ready for it at minute 186",
    ),
    "loads out of order": (
        {"loads": (Load(0, 186, 210, ((0, 1), (1, 1))), Load(0, 146, 210, ((0, 0), (1, 0))))},
        "the loads are not in the order of their starts",
    ),
    "a lot left out": (
        {"loads": (Load(0, 146, 210, ((0, 0), (1, 0))), Load(0, 186, 210, ((0, 1),)))},
        "buns of bench 2 is in no load",
    ),
    "a lot baked twice": (
        {
            "loads": (
                Load(0, 146, 210, ((0, 0), (1, 0))),
                Load(0, 186, 210, ((0, 1), (1, 1), (1, 0))),
            )
        },
        "tin loaf of bench 2 is in two loads",
    ),
    "cold without a fridge": (
        {"cold_min": ((5, 0), (0, 0))},
        "tin loaf of bench 1 is held cold; it may not be",
    ),
    "a false sum": (
        {"over_proof_min": 0},
        "the plan states 0 minutes of over-proof; it is 46",
    ),
    "a false finish": (
        {"finish_min": 200},
        "the plan states 200 as the minute of the finish; it is 222",
    ),
}


@pytest.mark.parametrize(("starts", "sentence"), CASES.values(), ids=CASES.keys())
def test_a_broken_plan_is_told_its_rule(starts, sentence):
    assert sentence in broken({}, **starts)


GLAZED = small_class(
    stations=tuple(
        replace(station, lots=(station.lots[0], replace(station.lots[1], prepare_min=4)))
        for station in small_class().stations
    )
)
GLAZING = {
    "prepare_starts": ((146, 182),) * 2,
    "cleanup_starts": (186, 186),
    "over_proof_min": 38,
}


def test_the_minutes_of_preparing_are_hands_and_no_over_proof():
    assert check_plan(GLAZED, plan(**GLAZING)) == ()


@pytest.mark.parametrize(
    ("starts", "sentence"),
    [
        (
            {"prepare_starts": ((146, 183), (146, 182))},
            "buns of bench 1 goes in at minute 186, before the preparing of buns of bench 1 ends at 187",
        ),
        (
            {"prepare_starts": ((146, 171), (146, 182))},
            "buns of bench 1 stands 11 minutes after the preparing of buns of bench 1; at most 10",
        ),
        (
            {"prepare_starts": ((145, 182), (146, 182))},
            "tin loaf of bench 1 needs no preparing; the plan gives it minute 145",
        ),
        (
            {"prepare_starts": ((146, 140), (146, 182))},
            "buns of bench 1 has 23 minutes of final proof; it needs 24",
        ),
        (
            {"event_starts": (0, 175, 78)},
            "the preparing of buns of bench 1 is at minute 182 to 186, during 'break' (175 to 187)",
        ),
        (
            {"cleanup_starts": (176, 186)},
            "the preparing of buns of bench 1 starts at minute 182, before the clean-up of bench 1 ends at 184",
        ),
        (
            {"cleanup_starts": (170, 186)},
            "the clean-up of bench 1 starts at minute 170, before the preparing of buns of bench 1 ends at 186",
        ),
    ],
)
def test_a_topping_that_breaks_a_rule_is_told(starts, sentence):
    assert sentence in check_plan(GLAZED, plan(**{**GLAZING, **starts}))


def changed_ovens(**changes):
    problem = small_class()
    return {"ovens": (replace(problem.ovens[0], **changes),)}


def test_a_load_with_too_many_places():
    assert "the load of oven 1 at minute 146 takes 1 places; oven 1 has 0" in broken(
        changed_ovens(places=0)
    )


def test_a_load_hotter_than_the_oven():
    assert "the load of oven 1 at minute 146 is at 210 °C; oven 1 reaches 205 °C" in broken(
        changed_ovens(max_c=205)
    )


def test_an_oven_that_closes_or_opens_too_late():
    assert (
        "the load of oven 1 at minute 186 ends at minute 202; oven 1 may be used until 200"
        in broken(changed_ovens(until_min=200))
    )
    assert "the load of oven 1 at minute 146 is before oven 1 may be used (minute 150)" in broken(
        changed_ovens(from_min=150)
    )


def test_an_oven_that_is_not_yet_hot():
    assert (
        "the load of oven 1 at minute 146 starts before the oven is ready for it at minute 160"
        in broken(changed_ovens(on_before_min=-141))
    )


def test_a_product_that_does_not_go_into_the_oven():
    product = replace(small_class().products[0], places_differ=(("oven 1", 0),))
    said = broken({"products": (product, small_class().products[1])})
    assert "the load of oven 1 at minute 146 holds tin loaf, which does not go into oven 1" in said


def test_one_loader_for_two_ovens_and_the_tutor_in_a_talk():
    two = small_class(oven_count=2)
    loads = (
        Load(0, 146, 210, ((0, 0), (1, 0))),
        Load(1, 147, 210, ((0, 1), (1, 1))),
    )
    said = check_plan(two, plan(loads=loads, over_proof_min=0))
    assert (
        "the load of oven 1 at minute 146 and the load of oven 2 at minute 147 need the loader at the same time"
        in said
    )
    talk = small_class(events=(*small_class().events[:2], DayEvent("faults", 6, earliest_min=60)))
    said = check_plan(talk, plan(event_starts=(0, 66, 142)))
    assert said == ("the load of oven 1 at minute 146 needs the tutor during 'faults'",)
    assert check_plan(replace(talk, assistants=1), plan(event_starts=(0, 66, 142))) == ()


def test_more_tins_and_mixers_than_there_are():
    problem = small_class(pools=(DayPool("tins", 3), DayPool("mixers", 1)))
    with_tins = tuple(
        replace(p, pool="tins") if p.name == "tin loaf" else p for p in problem.products
    )
    mixing = tuple(
        replace(s, steps=(s.steps[0], replace(s.steps[1], pool="mixers"), *s.steps[2:]))
        for s in problem.stations
    )
    said = check_plan(replace(problem, products=with_tins, stations=mixing), plan())
    assert said == (
        "at minute 98 there are 4 tins in use; there are 3",
        "at minute 22 there are 2 mixers in use; there are 1",
    )


def test_cold_holding_has_its_limits():
    cold = ColdHold(places=1, most_min=20, products=frozenset({"buns"}))
    held = plan(cold_min=((0, 21), (0, 20)), over_proof_min=6)  # 20 of the 21 count
    assert check_plan(small_class(cold=cold), held) == (
        "buns of bench 1 is held cold for 21 minutes; at most 20",
        "at minute 166 there are 2 fridge places in use; there are 1",
    )
    assert "buns of bench 1 is held cold for 21 minutes; at least 25" in check_plan(
        small_class(cold=replace(cold, least_min=25)), held
    )
    one_held = plan(cold_min=((0, 20), (0, 0)), over_proof_min=26)
    assert check_plan(small_class(cold=cold), one_held) == ()


def test_a_late_arrival_does_nothing_before_coming():
    stations = small_class().stations
    late = (replace(stations[0], hands_from_min=20), stations[1])
    assert broken({"stations": late}) == (
        "'weigh' of bench 1 starts at minute 12; bench 1 is here from minute 20",
    )


def test_the_tutor_does_not_shape_before_showing_it():
    tutors = DayStation(
        "tutor",
        (),
        Window(0, 0, 300),
        (DayLot("tin loaf", 1, 4),),
        0,
        bulk_began_min=0,
        tutors=True,
    )
    problem = small_class(stations=(*small_class().stations, tutors))
    loads = (Load(0, 146, 210, ((0, 0), (1, 0), (2, 0))), Load(0, 186, 210, ((0, 1), (1, 1))))
    early = plan(
        step_starts=((12, 22, 38, 51),) * 2 + ((),),
        shape_starts=((98, 106),) * 2 + ((80,),),
        cleanup_starts=(117, 117, 84),
        cold_min=((0, 0), (0, 0), (0,)),
        loads=loads,
    )
    assert (
        "the shaping of tin loaf of tutor starts at minute 80, before 'shaping the tin loaf' ends at 84"
        in check_plan(problem, early)
    )


def test_the_tutors_batch_needs_the_tutors_hands():
    tutors = DayStation("tutor", (), Window(0, 0, 300), (), 10, bulk_began_min=0, tutors=True)
    problem = small_class(stations=(*small_class().stations, tutors))
    shared = {
        "step_starts": ((12, 22, 38, 51),) * 2 + ((),),
        "shape_starts": ((98, 106),) * 2 + ((),),
    }
    at_load = plan(**shared, cleanup_starts=(117, 117, 140), cold_min=((0, 0), (0, 0), ()))
    assert check_plan(problem, at_load) == (
        "the load of oven 1 at minute 146 needs the tutor during the clean-up of tutor",
    )
    in_talk = plan(**shared, cleanup_starts=(117, 117, 70), cold_min=((0, 0), (0, 0), ()))
    assert "the clean-up of tutor is at minute 70 to 80, during 'break' (66 to 78)" in check_plan(
        problem, in_talk
    )
