"""How long planning alone takes: reading and printing apart, each part of it, and how it grows with the class. Asserts nothing.

python tests/benchmarks/planning.py [people ...]
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter

from classpack.class_files import read_sources
from classpack.model.class_day import Station
from classpack.places import own_folder
from classpack.planning.amounts.dough_day import dough_advice, taught_lesson
from classpack.planning.amounts.scaling import scaled
from classpack.planning.dough.home_batch import home_batch
from classpack.planning.dough.sanity import dough_objections
from classpack.planning.needs.resolving import resolve
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.plan.sources import Sources
from classpack.planning.shopping.basket import shopping_list
from classpack.sheets.setting_up.dough_sums_sheet import dough_sums_sheet

CLASSES = ("saturday-twelve", "wholemeal-six", "poolish-four")


def ms(work: Callable[[], object], times: int = 5) -> float:
    """The median of a few runs, in milliseconds."""
    taken = []
    for _ in range(times):
        began = perf_counter()
        work()
        taken.append(perf_counter() - began)
    return 1000 * median(taken)


def of(name: str) -> Sources:
    """A demo class, read."""
    return read_sources(Path(own_folder("lessons")) / f"{name}.yaml", own_folder("templates"))


def with_people(sources: Sources, count: int) -> Sources:
    """The class with so many people, four to a station, who make what its own people make."""
    own = sources.day.people
    people = tuple(
        replace(own[n % len(own)], name=f"Student {n}", station=f"S{n // 4}", seat=f"S{n // 4}.{n}")
        for n in range(count)
    )
    stations = tuple(Station(f"S{n}") for n in range(-(-count // 4)))
    confirmed = (("group size", "only measured"),)
    return replace(
        sources, day=replace(sources.day, people=people, stations=stations, confirmed=confirmed)
    )


def parts_of(sources: Sources) -> dict[str, Callable[[], object]]:
    """What planning does, each part ready to be run alone."""
    lesson, day, kitchen, larder = sources.lesson, sources.day, sources.kitchen, sources.larder
    needs = resolve(lesson, day, larder)
    whole = plan_class(sources).plan
    versions = tuple(person.version for person in whole.people)
    bread, base = lesson.variations[0], lesson.base
    return {
        "all of planning": lambda: plan_class(sources),
        "the dough of the day": lambda: taught_lesson(lesson, day, kitchen, larder),
        "sanity": lambda: dough_objections(base.formula, larder),
        "needs": lambda: resolve(lesson, day, larder),
        "scaling": lambda: scaled(lesson, day, kitchen, larder, needs.makings, versions),
        "water and proofs": lambda: dough_advice(
            lesson, day, kitchen, larder, lesson.variations, ()
        ),
        "shopping": lambda: shopping_list(whole.needs, larder, day.stock, {}),
        "one home batch": lambda: home_batch(
            base.formula, larder, bread.home_pieces, bread.piece_dough_g, base.left_percent
        ),
        "dough sums": lambda: dough_sums_sheet(whole),
    }


def main() -> None:
    """Print milliseconds."""
    for name in CLASSES:
        sources = of(name)
        print(f"{name}, {len(sources.day.people)} people")
        for what, work in parts_of(sources).items():
            print(f"  {what:22} {ms(work):8.1f} ms")
    for count in map(int, sys.argv[1:]):
        work = partial(plan_class, with_people(of("saturday-twelve"), count))
        print(f"saturday-twelve with {count} people: {ms(work, 1):.0f} ms")


if __name__ == "__main__":
    main()
