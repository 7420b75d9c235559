"""What makes a day impossible to plan, said before planning: each fault with its place, what is wrong, what would be right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from classpack.model.day import DayLot, DayProblem, DayStation, Window
from classpack.planning.timetable.spans import pieces_per_place, products_by_name

LONGEST_DAY_MIN = 24 * 60
"""Nothing is planned beyond a day and a night from the class's start; a class of that much work would take minutes to plan badly."""
MOST_LOTS = 400
"""More loads of an oven than any kitchen bakes in a day."""


@dataclass(frozen=True, slots=True, order=True)
class DayFault:
    """``path`` names the place in the problem, as in ``('ovens', 'oven 1', 'places')``; the caller knows the file's line."""

    path: tuple[str, ...]
    wrong: str
    right: str

    def __str__(self) -> str:
        return f"{' / '.join(self.path)}: {self.wrong}; {self.right}"


def day_faults(problem: DayProblem) -> tuple[DayFault, ...]:
    """Every fault of ``problem``, in the order of its parts. Without one, :func:`timetable.plan_day` always finds a plan."""
    return tuple(
        fault
        for part in (_class, _pools, _products, _ovens, _stations, _events, _baking, _work)
        for fault in part(problem)
    )


def _class(problem: DayProblem) -> Iterator[DayFault]:
    if problem.class_min <= 0:
        yield DayFault(
            ("class",),
            f"the class ends {-problem.class_min} minutes before it starts"
            if problem.class_min
            else "the class ends when it starts",
            "the end must be later than the start",
        )
    for name, minutes in (
        ("closing", problem.closing_min),
        ("loading", problem.loading_min),
        ("unloading", problem.unloading_min),
        ("prepared", problem.prepared_most_min),
    ):
        if minutes < 0:
            yield DayFault(("class", name), f"{name} takes {minutes} minutes", "give 0 or more")
    if problem.class_min > 0 and problem.closing_min >= problem.class_min:
        yield DayFault(
            ("class", "closing"),
            f"closing takes {problem.closing_min} minutes, the class {problem.class_min}",
            "closing must be shorter than the class",
        )
    if not any(station.lots for station in problem.stations):
        yield DayFault(
            ("stations",), "nobody bakes anything", "give at least one station a product"
        )


def _window(path: tuple[str, ...], name: str, window: Window) -> Iterator[DayFault]:
    if not 0 <= window.least <= window.usual <= window.most:
        yield DayFault(
            (*path, name),
            f"the {name} is {window.least} to {window.most} minutes, usually {window.usual}",
            "give the shortest first, then the longest, with the usual one between them",
        )


def _pools(problem: DayProblem) -> Iterator[DayFault]:
    need: dict[str, tuple[int, str]] = {}
    products = products_by_name(problem)
    for station in problem.stations:
        for step in station.steps:
            if step.pool is not None:
                need[step.pool] = max(
                    need.get(step.pool, (0, "")), (1, f"'{step.name}' of {station.name}")
                )
        for lot in station.lots:
            pool = products[lot.product].pool if lot.product in products else None
            if pool is not None:
                need[pool] = max(
                    need.get(pool, (0, "")), (lot.pieces, f"{lot.product} of {station.name}")
                )
    known = {pool.name: pool.count for pool in problem.pools}
    for name, (count, who) in need.items():
        if name not in known:
            yield DayFault(
                ("kit", name),
                f"{who} needs {name}, and the kitchen has none",
                f"say how many {name} there are",
            )
        elif known[name] == 0:
            yield DayFault(
                ("kit", name),
                f"of '{name}' there are 0; {who} needs {count} at once",
                f"have at least {count}, or take '{name}' away if enough are brought",
            )
        elif known[name] < count:
            yield DayFault(
                ("kit", name),
                f"of '{name}' there {'is' if known[name] == 1 else 'are'} {known[name]}; {who} needs {count} at once",
                f"have at least {count}, or make fewer pieces a station",
            )


def _products(problem: DayProblem) -> Iterator[DayFault]:
    for product in problem.products:
        path = ("products", product.name)
        yield from _window(path, "final proof", product.proof)
        if product.bake_min <= 0:
            yield DayFault(
                (*path, "bake"), f"it bakes {product.bake_min} minutes", "give at least 1 minute"
            )
        if product.oven_low_c > product.oven_high_c:
            yield DayFault(
                (*path, "oven"),
                f"it bakes at {product.oven_low_c} to {product.oven_high_c} °C",
                "give the lower temperature first",
            )
        if product.pieces_per_place <= 0:
            yield DayFault(
                (*path, "pieces per place"),
                f"{product.pieces_per_place} pieces stand on a place",
                "give at least 1",
            )


def _ovens(problem: DayProblem) -> Iterator[DayFault]:
    if not problem.ovens:
        yield DayFault(("ovens",), "there is no oven", "give the kitchen at least one oven")
    for oven in problem.ovens:
        path = ("ovens", oven.name)
        if oven.places <= 0:
            yield DayFault(
                (*path, "places"), f"{oven.name} has {oven.places} places", "give at least 1"
            )
        if (
            oven.up_per_10_c < 0
            or oven.down_per_10_c < 0
            or min(oven.between_loads_min, oven.soak_min) < 0
        ):
            yield DayFault(
                (*path, "minutes"), f"{oven.name} has a time below 0", "give 0 or more minutes"
            )
    if len({oven.name for oven in problem.ovens}) < len(problem.ovens):
        yield DayFault(("ovens",), "two ovens have the same name", "give each oven its own name")


def _stations(problem: DayProblem) -> Iterator[DayFault]:
    products = products_by_name(problem)
    for station in problem.stations:
        path = ("stations", station.name)
        yield from _window(path, "bulk proof", station.bulk)
        if not station.steps and station.bulk_began_min is None and station.lots:
            yield DayFault(
                path,
                f"{station.name} has neither dough steps nor dough made beforehand",
                "give it steps, or say when its bulk proof began",
            )
        for step in station.steps:
            if step.wait_most is not None and step.wait_most < step.wait_least:
                yield DayFault(
                    (*path, step.name),
                    f"the wait before '{step.name}' is {step.wait_least} to {step.wait_most} minutes",
                    "give the shortest first",
                )
        if any(minutes < 0 for minutes in _minutes(station)):
            yield DayFault(path, f"{station.name} has a time below 0", "give 0 or more minutes")
        for lot in station.lots:
            if lot.product not in products:
                yield DayFault(
                    (*path, lot.product),
                    f"nothing is said about '{lot.product}'",
                    "give its proof, bake and oven",
                )
            if not lot.hands or not set(lot.hands) <= set(range(station.hands)):
                yield DayFault(
                    (*path, lot.product),
                    f"{lot.product} of {station.name} is made by nobody",
                    f"give it some of the hands 0 to {station.hands - 1}",
                )
            if lot.pieces <= 0:
                yield DayFault(
                    (*path, lot.product),
                    f"{station.name} makes {lot.pieces} of {lot.product}",
                    "make at least 1, or leave it out",
                )
    if len({station.name for station in problem.stations}) < len(problem.stations):
        yield DayFault(
            ("stations",), "two stations have the same name", "give each station its own name"
        )


def _minutes(station: DayStation) -> list[int]:
    steps = [minutes for step in station.steps for minutes in (step.minutes, step.wait_least)]
    return [
        *steps,
        *(minutes for lot in station.lots for minutes in (lot.shape_min, lot.prepare_min)),
        station.cleanup_min,
        station.hands_from_min,
    ]


def _events(problem: DayProblem) -> Iterator[DayFault]:
    order = {
        step.name: number
        for station in problem.stations
        for number, step in enumerate(station.steps)
    }
    for event in problem.events:
        path = ("events", event.name)
        if event.minutes < 0:
            yield DayFault(path, f"'{event.name}' takes {event.minutes} minutes", "give 0 or more")
        elif event.minutes >= problem.class_min > 0:
            yield DayFault(
                path,
                f"'{event.name}' takes {event.minutes} minutes, the class {problem.class_min}",
                "make it shorter than the class",
            )
        if event.latest_min is not None and event.latest_min < event.earliest_min:
            yield DayFault(
                path,
                f"'{event.name}' starts at minute {event.earliest_min} to {event.latest_min}",
                "give the earliest first",
            )
        for name in (event.after_step, event.before_step):
            if name is not None and order and name not in order:
                yield DayFault(
                    path, f"no station has a step '{name}'", f"name one of: {', '.join(order)}"
                )
        if (
            event.after_step in order
            and event.before_step in order
            and order[event.before_step] <= order[event.after_step]
        ):
            yield DayFault(
                path,
                f"'{event.name}' comes after '{event.after_step}' and before '{event.before_step}'",
                "these steps are in the other order",
            )


def _baking(problem: DayProblem) -> Iterator[DayFault]:
    """Every lot finds an oven that is hot and large enough, for long enough."""
    products = products_by_name(problem)
    begun = {key for load in (problem.begun.loads if problem.begun else ()) for key in load.lots}
    for s, station in enumerate(problem.stations):
        for i, lot in enumerate(station.lots):
            product = products.get(lot.product)
            if product is None or (s, i) in begun or product.pieces_per_place <= 0:
                continue
            path = ("stations", station.name, lot.product)
            ovens = [
                oven
                for oven in problem.ovens
                if _still_open(oven.until_min, problem.now_min + product.bake_min)
            ]
            hot = [oven for oven in ovens if oven.max_c >= product.oven_low_c]
            if problem.ovens and not ovens:
                yield DayFault(
                    path,
                    f"no oven can be used for the {product.bake_min} minutes {lot.product} bakes",
                    "have one more oven",
                )
            elif ovens and not hot:
                best = max(ovens, key=lambda oven: oven.max_c)
                yield DayFault(
                    path,
                    f"{lot.product} needs {product.oven_low_c} °C, and the hottest oven, {best.name}, reaches {best.max_c} °C (counted as in a conventional oven)",
                    "bake it cooler and longer, or use another oven",
                )
            elif hot and not any(
                _places(lot.pieces, pieces_per_place(product, oven)) <= oven.places for oven in hot
            ):
                most = max(oven.places * pieces_per_place(product, oven) for oven in hot)
                yield DayFault(
                    path,
                    f"{lot.pieces} of {lot.product} go into no oven at once (at most {most})",
                    "divide them into lots an oven takes",
                )


def _work(problem: DayProblem) -> Iterator[DayFault]:
    """More work than a day has hours, however it is planned: the hands of a station, or all places of all ovens."""
    products = products_by_name(problem)
    if problem.begun is not None or not all(lot.product in products for lot in _lots(problem)):
        return
    for station in problem.stations:
        hands = sum(step.minutes for step in station.steps)
        hands += sum(lot.shape_min + lot.prepare_min for lot in station.lots)
        if hands > LONGEST_DAY_MIN:
            yield DayFault(
                ("work", station.name),
                f"the hands of {station.name} would be busy for {-(-hands // 60)} hours",
                "make fewer pieces there, or add stations",
            )
    places = sum(max(0, oven.places) for oven in problem.ovens)
    work = sum(
        _places(lot.pieces, products[lot.product].pieces_per_place) * products[lot.product].bake_min
        for lot in _lots(problem)
        if products[lot.product].pieces_per_place > 0
    )
    if places and work > LONGEST_DAY_MIN * places:
        yield DayFault(
            ("work",),
            f"the ovens would bake for {-(-work // (60 * places))} hours",
            "make fewer pieces, or have more ovens",
        )
    elif (lots := len(_lots(problem))) > MOST_LOTS:
        yield DayFault(
            ("work",),
            f"the class would bake {lots} lots; at most {MOST_LOTS} are planned",
            "make fewer pieces, or divide the class into two",
        )


def _lots(problem: DayProblem) -> list[DayLot]:
    return [lot for station in problem.stations for lot in station.lots]


def _still_open(until_min: int | None, end_min: int) -> bool:
    return until_min is None or end_min <= until_min


def _places(pieces: int, on_place: int) -> int:
    return -(-pieces // on_place) if on_place else 10**6
