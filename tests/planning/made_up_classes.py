"""Classes made up from the ones that ship: other people, breads, mixing, allowance, stock. For laws of amounts, not of times."""

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

from hypothesis import strategies as st

from classpack.class_files import read_sources
from classpack.model.class_day import MIXED_BY, Making, Person, Station, Stock
from classpack.model.class_plan import Version
from classpack.planning.amounts.scaling import scaled
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.shopping.basket import shopping_list
from classpack.quantities import Amount

ROOT = Path(__file__).parents[2]
CLASSES = tuple(
    sorted(
        path.stem
        for path in (ROOT / "lessons").glob("*.yaml")
        if path.read_text("utf-8").startswith("class:")
    )
)

EVERY_CLASS = tuple(
    sorted(
        path.stem
        for path in (ROOT / "lessons").glob("*.yaml")
        if "\nclass:" in f"\n{path.read_text('utf-8')}"
    )
)
"""Those too whose first line is a comment: one in German, one from bookings with diets and own tools."""


@cache
def shipped(name: str) -> ClassPlan:
    """The plan of a class that ships."""
    return plan_class(read_sources(ROOT / "lessons" / f"{name}.yaml", ROOT / "templates")).plan


@st.composite
def made_up(draw: st.DrawFn) -> ClassPlan:
    """A class with amounts of its own; its clocks are those of the class it was made from."""
    plan = shipped(draw(st.sampled_from(("saturday-twelve", "wholemeal-six"))))
    names = [bread.name for bread in plan.lesson.variations]
    making = st.builds(Making, st.sampled_from(names), st.integers(1, 12))
    makes = st.lists(making, min_size=1, max_size=3, unique_by=lambda one: one.variation)
    stations = ("A", "B", "C")[: draw(st.integers(1, 3))]
    people = tuple(
        Person(f"Person {n}", station, f"{station}{n}", tuple(draw(makes)))
        for n, station in enumerate(
            draw(st.lists(st.sampled_from(stations), min_size=1, max_size=9)), 1
        )
    )
    needed = [line.ingredient for line in plan.basket.lines]
    day = replace(
        plan.day,
        people=people,
        stations=tuple(Station(name) for name in stations),
        mixed_by=draw(st.sampled_from(MIXED_BY)),
        demonstration=tuple(draw(st.one_of(st.just([]), makes))),
        spare=tuple(draw(st.one_of(st.just([]), makes))),
        allowance_percent=Fraction(draw(st.integers(0, 20))),
        stock=tuple(
            Stock(name, Amount(Fraction(draw(st.integers(1, 4000))), "g"))
            for name in draw(st.lists(st.sampled_from(needed), max_size=3, unique=True))
        ),
    )
    own = frozenset(draw(st.sets(st.integers(0, len(people) - 1), max_size=2)))
    scale, problems = scaled(
        plan.lesson,
        day,
        plan.kitchen,
        plan.larder,
        [person.makes for person in people],
        [Version(plan.for_everyone)] * len(people),
        for_all=plan.for_everyone,
        demonstrated=plan.for_everyone,
        alone=own,
    )
    assert not problems
    return replace(
        plan,
        day=day,
        units=scale.units,
        people=scale.people,
        batches=scale.batches,
        stations=scale.stations,
        shared=scale.shared,
        needs=scale.needs,
        basket=shopping_list(scale.needs, plan.larder, day.stock),
        own_tools=own,
    )
