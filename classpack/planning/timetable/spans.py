"""A day plan laid beside its problem: spans of minutes with names, for whoever reads plans (rules, waits, reasons)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from classpack.model.day import (
    Begun,
    DayLot,
    DayOven,
    DayPlan,
    DayProblem,
    DayProduct,
    Load,
)


class BusySpan(NamedTuple):
    """Something from ``start`` to before ``end``, with a name for sentences and whether it had begun before ``now_min``."""

    start: int
    end: int
    name: str
    begun: bool


def products_by_name(problem: DayProblem) -> dict[str, DayProduct]:
    return {product.name: product for product in problem.products}


def pieces_per_place(product: DayProduct, oven: DayOven) -> int:
    """Pieces of ``product`` on one place of ``oven``; 0 when it does not go in."""
    return dict(product.places_differ).get(oven.name, product.pieces_per_place)


def change_min(oven: DayOven, from_c: int, to_c: int) -> int:
    """Whole minutes, rounded up, in which ``oven`` goes from one temperature to another."""
    rate = oven.up_per_10_c if to_c > from_c else oven.down_per_10_c
    return ceil(Fraction(abs(to_c - from_c), 10) * rate)


def nothing_begun(problem: DayProblem) -> Begun:
    return Begun(
        events=(None,) * len(problem.events),
        steps=tuple((None,) * len(station.steps) for station in problem.stations),
        shapes=tuple((None,) * len(station.lots) for station in problem.stations),
        chills=tuple((None,) * len(station.lots) for station in problem.stations),
        prepares=tuple((None,) * len(station.lots) for station in problem.stations),
        cleanups=(None,) * len(problem.stations),
        loads=(),
    )


class DaySpans:
    """A plan beside its problem, with the spans the rules speak of."""

    def __init__(self, problem: DayProblem, plan: DayPlan) -> None:
        self.problem, self.plan = problem, plan
        self.products = products_by_name(problem)
        self.begun = problem.begun or nothing_begun(problem)
        self.load_of = {lot: load for load in plan.loads for lot in load.lots}
        self.events = [
            BusySpan(start, start + event.minutes, f"'{event.name}'", begun is not None)
            for event, start, begun in zip(
                problem.events, plan.event_starts, self.begun.events, strict=True
            )
        ]
        self.steps = [
            [
                BusySpan(
                    start,
                    start + step.minutes,
                    f"'{step.name}' of {station.name}",
                    begun is not None,
                )
                for step, start, begun in zip(station.steps, starts, begins, strict=True)
            ]
            for station, starts, begins in zip(
                problem.stations, plan.step_starts, self.begun.steps, strict=True
            )
        ]
        self.shapes = self._of_lots(
            plan.shape_starts, self.begun.shapes, "shaping", lambda lot: lot.shape_min
        )
        self.prepares = self._of_lots(
            plan.prepare_starts, self.begun.prepares, "preparing", lambda lot: lot.prepare_min
        )
        self.cleanups = [
            BusySpan(
                start,
                start + station.cleanup_min,
                f"the clean-up of {station.name}",
                begun is not None,
            )
            for station, start, begun in zip(
                problem.stations, plan.cleanup_starts, self.begun.cleanups, strict=True
            )
        ]

    def _of_lots(
        self,
        starts: Sequence[Sequence[int]],
        begun: Sequence[Sequence[int | None]],
        what: str,
        minutes: Callable[[DayLot], int],
    ) -> list[list[BusySpan]]:
        """Of every station's lots, when hands are at one thing."""
        return [
            [
                BusySpan(
                    start,
                    start + minutes(lot),
                    f"the {what} of {lot.product} of {station.name}",
                    began is not None,
                )
                for lot, start, began in zip(station.lots, row, begins, strict=True)
            ]
            for station, row, begins in zip(self.problem.stations, starts, begun, strict=True)
        ]

    def lot(self, key: tuple[int, int]) -> DayLot:
        return self.problem.stations[key[0]].lots[key[1]]

    def product(self, key: tuple[int, int]) -> DayProduct:
        return self.products[self.lot(key).product]

    def hands(self, station: int) -> list[BusySpan]:
        spans = [
            *self.steps[station],
            *self.shapes[station],
            *self.prepares[station],
            self.cleanups[station],
        ]
        return sorted(span for span in spans if span.end > span.start)

    def hands_by_pair(self, station: int) -> list[tuple[BusySpan, frozenset[int]]]:
        """What the hands of a station do, and which pairs: dough steps and the clean-up take all of them."""
        problem = self.problem.stations[station]
        everybody = frozenset(range(problem.hands))
        found = [(span, everybody) for span in (*self.steps[station], self.cleanups[station])]
        for lot, shape, prepare in zip(
            problem.lots, self.shapes[station], self.prepares[station], strict=True
        ):
            found += [(span, frozenset(lot.hands)) for span in (shape, prepare)]
        return sorted(
            ((span, hands) for span, hands in found if span.end > span.start),
            key=lambda one: one[0],
        )

    def bulk_start(self, station: int) -> int:
        steps = self.steps[station]
        began = self.problem.stations[station].bulk_began_min
        return steps[-1].end if steps else (began or 0)

    def out_min(self, key: tuple[int, int]) -> int:
        return self.load_of[key].start_min + self.bake_min(key)

    def bake_min(self, key: tuple[int, int]) -> int:
        left = self.lot(key).bake_left_min
        return self.product(key).bake_min if left is None else left

    def proof_over_min(self, key: tuple[int, int]) -> int:
        """Minutes of final proof beyond the longest, or that half-baked bread waits for an oven; 0 or less: none."""
        s, i = key
        if self.lot(key).bake_left_min is not None:
            return self.load_of[key].start_min - self.problem.now_min
        cold = min(self.plan.cold_min[s][i], self.problem.cold.most_min if self.problem.cold else 0)
        proof = self.load_of[key].start_min - self.shapes[s][i].end - cold
        return proof - self.lot(key).prepare_min - self.product(key).proof.most

    def chill_start(self, key: tuple[int, int]) -> int | None:
        """When a lot goes into the fridge, if it does."""
        s, i = key
        cold = self.plan.cold_min[s][i]
        return self.prepares[s][i].start - cold if cold else None

    def load_end(self, load: Load) -> int:
        return max(self.out_min(key) for key in load.lots)

    def load_name(self, load: Load) -> str:
        return f"the load of {self.problem.ovens[load.oven].name} at minute {load.start_min}"

    def is_begun(self, load: Load) -> bool:
        return load in self.begun.loads
