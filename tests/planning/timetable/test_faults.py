"""A day that cannot be planned is told why, with its place, before anything is planned."""

from dataclasses import replace

import pytest

from classpack.model.day import (
    DayEvent,
    DayLot,
    DayOven,
    DayPool,
    DayStation,
    Window,
)
from classpack.planning.timetable.faults import day_faults
from classpack.planning.timetable.planner import NoPlanError, plan_day
from tests.planning.timetable.day_classes import small_class

QUIET = small_class()
LOAF, BUNS = QUIET.products
BENCH = QUIET.stations[0]
OVEN = QUIET.ovens[0]


def stations(**changes):
    return {"stations": (replace(BENCH, **changes), QUIET.stations[1])}


FAULTS = {
    "no oven": ({"ovens": ()}, ["ovens: there is no oven; give the kitchen at least one oven"]),
    "an oven too small": (
        {"products": (replace(LOAF, pieces_per_place=1), replace(BUNS, pieces_per_place=2))},
        [
            "stations / bench 1 / buns: 8 of buns go into no oven at once (at most 4); divide them into lots an oven takes",
            "stations / bench 2 / buns: 8 of buns go into no oven at once (at most 4); divide them into lots an oven takes",
        ],
    ),
    "an oven too cool": (
        {"ovens": (replace(OVEN, max_c=195),)},
        [
            "stations / bench 1 / tin loaf: tin loaf needs 200 °C, and the hottest oven, oven 1, reaches 195 °C (counted as in a conventional oven); bake it cooler and longer, or use another oven",
            "stations / bench 2 / tin loaf: tin loaf needs 200 °C, and the hottest oven, oven 1, reaches 195 °C (counted as in a conventional oven); bake it cooler and longer, or use another oven",
        ],
    ),
    "an oven without places": (
        {"ovens": (OVEN, DayOven("shelf", 0, 250, 1, 1, 3))},
        ["ovens / shelf / places: shelf has 0 places; give at least 1"],
    ),
    "no tins": (
        {"products": (replace(LOAF, pool="tins"), BUNS), "pools": (DayPool("tins", 0),)},
        [
            "kit / tins: of 'tins' there are 0; tin loaf of bench 2 needs 2 at once; have at least 2, or take 'tins' away if enough are brought"
        ],
    ),
    "tins nobody counted": (
        {"products": (replace(LOAF, pool="tins"), BUNS)},
        [
            "kit / tins: tin loaf of bench 2 needs tins, and the kitchen has none; say how many tins there are"
        ],
    ),
    "proof window the wrong way round": (
        {"products": (replace(LOAF, proof=Window(65, 50, 40)), BUNS)},
        [
            "products / tin loaf / final proof: the final proof is 65 to 40 minutes, usually 50; "
            "give the shortest first, then the longest, with the usual one between them"
        ],
    ),
    "bulk proof the wrong way round": (
        stations(bulk=Window(45, 100, 90)),
        [
            "stations / bench 1 / bulk proof: the bulk proof is 45 to 90 minutes, usually 100; "
            "give the shortest first, then the longest, with the usual one between them"
        ],
    ),
    "oven range the wrong way round": (
        {"products": (replace(LOAF, oven_low_c=220, oven_high_c=200), BUNS)},
        ["products / tin loaf / oven: it bakes at 220 to 200 °C; give the lower temperature first"],
    ),
    "a break longer than the class": (
        {"events": (DayEvent("break", 300, is_break=True),)},
        [
            "events / break: 'break' takes 300 minutes, the class 240; make it shorter than the class"
        ],
    ),
    "start after end": (
        {"class_min": -60},
        ["class: the class ends 60 minutes before it starts; the end must be later than the start"],
    ),
    "start at the end": (
        {"class_min": 0},
        ["class: the class ends when it starts; the end must be later than the start"],
    ),
    "closing longer than the class": (
        {"class_min": 10},
        [
            "class / closing: closing takes 10 minutes, the class 10; closing must be shorter than the class",
            "events / welcome: 'welcome' takes 12 minutes, the class 10; make it shorter than the class",
            "events / break: 'break' takes 12 minutes, the class 10; make it shorter than the class",
        ],
    ),
    "an event before its time": (
        {"events": (DayEvent("break", 10, earliest_min=60, latest_min=50),)},
        ["events / break: 'break' starts at minute 60 to 50; give the earliest first"],
    ),
    "an event after an unknown step": (
        {"events": (DayEvent("folding", 5, after_step="rest"),)},
        ["events / folding: no station has a step 'rest'; name one of: weigh, mix, knead, fold"],
    ),
    "an event between steps in the wrong order": (
        {"events": (DayEvent("folding", 5, after_step="fold", before_step="mix"),)},
        [
            "events / folding: 'folding' comes after 'fold' and before 'mix'; these steps are in the other order"
        ],
    ),
    "a product nobody described": (
        stations(lots=(DayLot("plait", 2, 10),)),
        [
            "stations / bench 1 / plait: nothing is said about 'plait'; give its proof, bake and oven"
        ],
    ),
    "a dough from nowhere": (
        stations(steps=()),
        [
            "stations / bench 1: bench 1 has neither dough steps nor dough made beforehand; give it steps, or say when its bulk proof began"
        ],
    ),
    "nobody bakes": (
        {"stations": (DayStation("bench 1", (), Window(45, 60, 90), (), 5, bulk_began_min=0),)},
        ["stations: nobody bakes anything; give at least one station a product"],
    ),
}


@pytest.mark.parametrize(("changes", "told"), FAULTS.values(), ids=FAULTS.keys())
def test_a_fault_is_told_in_the_tutors_words(changes, told):
    problem = replace(QUIET, **changes)
    faults = [str(fault) for fault in day_faults(problem)]
    assert faults == told
    with pytest.raises(NoPlanError) as raised:
        plan_day(problem)
    assert str(raised.value) == "\n".join(told)


def test_a_sound_class_has_no_faults():
    assert day_faults(QUIET) == ()


def test_a_window_shorter_than_one_load_is_no_fault_but_a_wait():
    # nothing is wrong with the numbers; what cannot be kept is counted and explained
    narrow = tuple(
        replace(p, proof=Window(p.proof.least, p.proof.least, p.proof.least))
        for p in QUIET.products
    )
    problem = replace(small_class(bench_count=6), products=narrow)
    assert day_faults(problem) == ()
    assert plan_day(problem, 600).over_proof_min > 0
