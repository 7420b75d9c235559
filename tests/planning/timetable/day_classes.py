"""Invented classes of any size for the planner's tests and benchmark; the same seed gives the same class."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from classpack.model.day import (
    DayEvent,
    DayLot,
    DayOven,
    DayPool,
    DayProblem,
    DayProduct,
    DayStation,
    DayStep,
    Window,
)

STEPS = (
    DayStep("weigh", 10),
    DayStep("mix", 6, 0, 45),
    DayStep("knead", 3, 10, 25),
    DayStep("fold", 2, 10, 25),
)
PRODUCTS = (
    DayProduct("tin loaf", Window(40, 50, 65), 35, 200, 220, 20, 4),
    DayProduct("buns", Window(24, 35, 46), 16, 190, 210, 10, 12),
    DayProduct("flat bread", Window(8, 18, 40), 10, 230, 250, 3, 2),
    DayProduct("rolls", Window(18, 30, 38), 19, 210, 230, 14, 10),
    DayProduct("tray bread", Window(22, 33, 48), 25, 200, 220, 12, 1),
)
PIECES_EACH = {"tin loaf": 1, "buns": 4, "flat bread": 1, "rolls": 3, "tray bread": 1}
SHAPE_MIN = {"tin loaf": 8, "buns": 11, "flat bread": 8, "rolls": 7, "tray bread": 6}
PREPARE_MIN = {"tin loaf": 1, "buns": 3, "flat bread": 5, "rolls": 0, "tray bread": 6}


def small_class(
    product_count: int = 2, bench_count: int = 2, oven_count: int = 1, **changes: object
) -> DayProblem:
    """A quiet class: benches of two people, each making the first products, in ovens of two places."""
    made = PRODUCTS[:product_count]
    problem = DayProblem(
        class_min=240,
        closing_min=10,
        stations=tuple(
            DayStation(
                name=f"bench {number + 1}",
                steps=STEPS,
                bulk=Window(45, 60, 90),
                lots=tuple(
                    DayLot(p.name, 2 * PIECES_EACH[p.name], SHAPE_MIN[p.name]) for p in made
                ),
                cleanup_min=8,
                first_step_latest_min=45,
            )
            for number in range(bench_count)
        ),
        products=made,
        ovens=tuple(DayOven(f"oven {number + 1}", 2, 250, 1, 2, 3) for number in range(oven_count)),
        events=(
            DayEvent("welcome", 12, before_step="weigh", latest_min=0),
            DayEvent(
                "break", 12, earliest_min=60, latest_min=180, needs_tutor=False, is_break=True
            ),
            DayEvent("shaping the tin loaf", 6, after_step="fold", before_product="tin loaf"),
        ),
    )
    return replace(problem, **changes)  # type: ignore[arg-type]


def with_preparing(problem: DayProblem) -> DayProblem:
    """The same class with toppings, glazes and cuts before the oven."""
    return replace(
        problem,
        stations=tuple(
            replace(
                station,
                lots=tuple(
                    replace(lot, prepare_min=PREPARE_MIN[lot.product]) for lot in station.lots
                ),
            )
            for station in problem.stations
        ),
    )


def random_class(seed: int, people: int) -> DayProblem:
    """A class of ``people`` with random stations, products, ovens, kit and pace; from comfortable to far too full."""
    chance = Random(f"class of {people}, {seed}")
    made = chance.sample(PRODUCTS, k=chance.randint(1, 2 if people <= 4 else 3))
    at_station = chance.choice([1, 2] if people <= 4 else [2, 3, 4])
    stations = []
    left = people
    while left:
        members = min(left, at_station)
        left -= members
        some = made if chance.random() < 0.7 else chance.sample(made, k=max(1, len(made) - 1))
        slow = chance.choice((0, 0, 1, 2))
        stations.append(
            DayStation(
                name=f"bench {len(stations) + 1}",
                steps=STEPS,
                bulk=Window(45, 60, 90),
                lots=tuple(
                    DayLot(p.name, members * PIECES_EACH[p.name], SHAPE_MIN[p.name] + slow)
                    for p in sorted(some, key=lambda p: p.name)
                ),
                cleanup_min=8,
                first_step_latest_min=45,
            )
        )
    ovens = chance.randint(max(1, people // 16), max(1, people // 7 + 1))
    used = {lot.product for station in stations for lot in station.lots}
    tins = chance.random() < 0.3
    demonstrations = tuple(
        DayEvent(f"shaping: {p.name}", 6, after_step="fold", before_product=p.name)
        for p in made
        if p.name in used
    )
    count = max(3 * at_station, people * 2 // 3)
    return DayProblem(
        class_min=chance.choice((210, 240, 270)),
        closing_min=10,
        stations=tuple(stations),
        products=tuple(
            DayProduct(
                p.name,
                p.proof,
                p.bake_min,
                p.oven_low_c,
                p.oven_high_c,
                p.cool_min,
                p.pieces_per_place,
                pool="tins" if tins and p.name == "tin loaf" else None,
            )
            for p in made
        ),
        ovens=tuple(
            DayOven(
                f"oven {n + 1}",
                4 if at_station > 2 else chance.choice((2, 3, 4)),
                250,
                1,
                chance.choice((1, 2)),
                chance.choice((3, 5)),
            )
            for n in range(ovens)
        ),
        events=(
            DayEvent("welcome", 12, before_step="weigh", latest_min=0),
            DayEvent("mixing", 8, before_step="mix"),
            DayEvent(
                "break", 12, earliest_min=60, latest_min=180, needs_tutor=False, is_break=True
            ),
            *demonstrations,
        ),
        pools=(DayPool("tins", count),),
        assistants=chance.choice((0, 0, 1)),
        unloading_min=chance.choice((0, 2)),
    )
