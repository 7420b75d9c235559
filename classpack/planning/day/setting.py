"""From the lesson, the class day and the kitchen to the planner's problem, and from its minutes back to clock and dial.

All temperatures are brought to one scale first: what a conventional oven's *inside* must have. A fan oven does the same
work at a lower setting, and an oven that runs hot is set lower still; :func:`dial_c` turns a planned temperature into the
setting of one oven.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import combinations
from math import ceil, floor

from classpack.errors import Remark
from classpack.model.class_day import ClassDay
from classpack.model.class_plan import MixUnit, PersonPlan
from classpack.model.day import (
    ColdHold,
    DayEvent,
    DayLot,
    DayOven,
    DayProblem,
    DayProduct,
    DayStation,
    DayStep,
    Window,
)
from classpack.model.kitchen import Kitchen, Oven
from classpack.model.lesson import Lesson, Variation
from classpack.model.method import WAIT_STAGES, Step
from classpack.model.timed_day import DaySetting, LotMade, StepMade
from classpack.planning.day.turns import Turns, tins_of, turns
from classpack.planning.dough.measures import FAN_STEP_C, conventional_c
from classpack.quantities import (
    OvenHeat,
    celsius_from_fahrenheit,
    fahrenheit_from_celsius,
    rounded_to,
)

COLD_LEAST_MIN = 15
"""A shaped lot cools slowly; a shorter stay in the fridge would hold nothing back: from memory."""
COLD_MOST_MIN = 60
"""A shaped lot may wait in the fridge about an hour without harm: a rule of the trade, from memory."""


def dial_c(oven: Oven, conventional: Fraction | int) -> Fraction:
    """What to set this oven's dial to for a conventional temperature: one of its own settings, in °C, never past its last mark.

    A dial in °F is set in °F: 375 °F, not 190 °C.

    >>> int(dial_c(Oven("A", "fan", 2, Fraction(250), Fraction(10)), 230))
    200
    """
    wanted = Fraction(conventional) - (FAN_STEP_C if oven.kind == "fan" else 0) - oven.offset_c
    step = oven.dial_step
    if not oven.fahrenheit:
        return min(rounded_to(wanted, step), Fraction(floor(oven.hottest_c / step) * step))
    last_mark = Fraction(floor(fahrenheit_from_celsius(oven.hottest_c) / step) * step)
    return celsius_from_fahrenheit(
        min(rounded_to(fahrenheit_from_celsius(wanted), step), last_mark)
    )


def hottest_c(oven: Oven) -> Fraction:
    """The hottest a conventional oven would have to be to do what this one can."""
    return oven.hottest_c + oven.offset_c + (FAN_STEP_C if oven.kind == "fan" else 0)


def day_setting(
    lesson: Lesson,
    day: ClassDay,
    kitchen: Kitchen,
    people: Sequence[PersonPlan],
    units: Sequence[MixUnit],
) -> DaySetting:
    """The planning problem of a class day; ``units`` are the doughs that are mixed."""
    made = _made(lesson, day, people)
    ovens, remarks = _usable_ovens(kitchen, made)
    tins, pool_of, short = tins_of(kitchen, made)
    baking = {p.person.station for p in people if p.portions}
    shared = turns(lesson, kitchen, units, [one.name for one in day.stations if one.name in baking])
    pools = (*tins, *(one for one in (shared.mixers, shared.scales) if one and one.count))
    remarks += (*short, *shared.remarks)
    steps = _base_steps(lesson, day, day.pace)
    names: list[str] = []
    stations: list[DayStation] = []
    lots: list[tuple[LotMade, ...]] = []
    most_places = max((oven.places for oven in ovens), default=1)
    for station in day.stations:
        mine = [p for p in people if p.person.station == station.name and p.portions]
        if not mine:
            continue
        made_here = _lots(lesson, mine, most_places)
        teams = _teams(made_here)
        names.append(station.name)
        lots.append(made_here)
        stations.append(
            DayStation(
                name=station.name,
                steps=_steps_at(station.name, lesson, steps, shared),
                bulk=_bulk(lesson),
                lots=tuple(_lot(lesson, day, one, mine, teams, made_here) for one in made_here),
                cleanup_min=ceil(day.clean_min),
                hands=len(teams),
            )
        )
    if day.demonstration:
        own = _base_steps(lesson, day, Fraction(1))[1 if day.hand_washing_min else 0 :]
        made_here = tuple(
            LotMade(making.variation, making.pieces, ()) for making in day.demonstration
        )
        names.append("tutor")
        lots.append(made_here)
        stations.append(
            DayStation(
                name="tutor",
                steps=_steps_at("tutor", lesson, own, shared),
                bulk=_bulk(lesson),
                lots=tuple(
                    DayLot(
                        one.variation,
                        one.pieces,
                        _shape_min(lesson.variation(one.variation), one.pieces, Fraction(1)),
                        _prepare_min(lesson.variation(one.variation), one.pieces, Fraction(1)),
                    )
                    for one in made_here
                ),
                cleanup_min=0,
                tutors=True,
            )
        )
    problem = DayProblem(
        class_min=day.end_min - day.start_min,
        closing_min=ceil(day.closing_min),
        stations=tuple(stations),
        products=tuple(_product(bread, pool_of) for bread in made),
        ovens=tuple(_oven(oven, day) for oven in ovens),
        events=_events(lesson, day, steps, made),
        pools=pools,
        assistants=day.assistants,
        loading_min=ceil(day.loading_min),
        unloading_min=ceil(day.unloading_min),
        cold=ColdHold(
            kitchen.fridge_places,
            COLD_MOST_MIN,
            frozenset(one.name for one in made),
            COLD_LEAST_MIN,
        )
        if kitchen.fridge_places
        else None,
    )
    own_steps = [tuple(step for _, step in steps)] * len(stations)
    if day.demonstration:
        own_steps[-1] = own_steps[-1][1 if day.hand_washing_min else 0 :]
    return DaySetting(problem, tuple(names), tuple(lots), tuple(own_steps), ovens, remarks)


def _made(lesson: Lesson, day: ClassDay, people: Iterable[PersonPlan]) -> tuple[Variation, ...]:
    names = {portion.variation for person in people for portion in person.portions}
    names |= {making.variation for making in day.demonstration}
    return tuple(one for one in lesson.variations if one.name in names)


# ---------------------------------------------------------------- base dough


def _base_steps(lesson: Lesson, day: ClassDay, pace: Fraction) -> list[tuple[DayStep, StepMade]]:
    """Hand-washing, then each hands-on step up to the bulk proof; rests become the wait before the next step."""
    found: list[tuple[DayStep, StepMade]] = []
    if day.hand_washing_min:
        found.append(
            (DayStep("wash hands", ceil(day.hand_washing_min)), StepMade("wash hands", ()))
        )
    least: Fraction = Fraction(0)
    most: Fraction | None = None
    for number, step in enumerate(lesson.base.method):
        if step.stage == "bulk proof":
            break
        if step.stage in WAIT_STAGES:
            window = step.window_min or (step.wait_min, step.wait_min + 20)
            least, most = least + step.wait_min, (most or Fraction(0)) + window[1]
            continue
        name = f"{number + 1} {step.stage}"
        planned = DayStep(
            name,
            max(1, ceil(step.hands_min * pace)),
            ceil(least),
            None if most is None else ceil(most),
        )
        found.append((planned, StepMade(name, (number,))))
        least, most = Fraction(0), None
    return found


def _steps_at(
    station: str, lesson: Lesson, steps: Sequence[tuple[DayStep, StepMade]], shared: Turns
) -> tuple[DayStep, ...]:
    """The base steps as one station does them, with the kit it takes turns at."""
    found = []
    for step, made in steps:
        if made.steps:
            told = lesson.base.method[made.steps[0]]
            step = shared.at(station, step, told.stage, max(1, ceil(told.hands_min)))
        found.append(step)
    return tuple(found)


def _bulk(lesson: Lesson) -> Window:
    """The bulk proof, with a rest that stands right before it: the dough goes on working."""
    rests = Fraction(0)
    for step in lesson.base.method:
        if step.stage == "bulk proof":
            return _window(step, rests)
        rests = rests + step.wait_min if step.stage in WAIT_STAGES else Fraction(0)
    raise ValueError("the base dough has no bulk proof")


def _window(step: Step, more: Fraction) -> Window:
    least, most = step.window_min or (step.wait_min, step.wait_min)
    return Window(ceil(least + more), ceil(step.wait_min + more), ceil(most + more))


def _after_bulk_min(lesson: Lesson, pace: Fraction) -> Fraction:
    """Hands and rests of the base method after its bulk proof (dividing, rounding)."""
    minutes = Fraction(0)
    after = False
    for step in lesson.base.method:
        if after:
            minutes += step.wait_min if step.stage in WAIT_STAGES else step.hands_min * pace
        after = after or step.stage == "bulk proof"
    return minutes


# ---------------------------------------------------------------- lots and products


def _lots(lesson: Lesson, people: Sequence[PersonPlan], most_places: int) -> tuple[LotMade, ...]:
    """One lot a bread of the station; one that no oven takes whole is split between people."""
    lots = []
    for bread in lesson.variations:
        most = most_places * bread.bake.pieces_per_shelf
        group: list[int] = []
        pieces = 0
        for person in people:
            mine = sum(p.pieces for p in person.portions if p.variation == bread.name)
            if not mine:
                continue
            if group and pieces + mine > most:
                lots.append(LotMade(bread.name, pieces, tuple(group)))
                group, pieces = [], 0
            while mine > most:
                lots.append(LotMade(bread.name, most, (person.index,)))
                mine -= most
            if mine:
                group.append(person.index)
                pieces += mine
        if group:
            lots.append(LotMade(bread.name, pieces, tuple(group)))
    return tuple(lots)


def _teams(lots: Sequence[LotMade]) -> tuple[frozenset[int], ...]:
    """The people of a bench by what they make: who is in the same lots works in step, the others beside them."""
    lots_of: dict[int, list[int]] = {}
    for number, lot in enumerate(lots):
        for person in lot.people:
            lots_of.setdefault(person, []).append(number)
    teams: dict[tuple[int, ...], list[int]] = {}
    for person, numbers in sorted(lots_of.items()):
        teams.setdefault(tuple(numbers), []).append(person)
    return tuple(map(frozenset, teams.values()))


def _lot(
    lesson: Lesson,
    day: ClassDay,
    made: LotMade,
    people: Sequence[PersonPlan],
    teams: Sequence[frozenset[int]],
    lots: Sequence[LotMade],
) -> DayLot:
    """What the planner knows of a lot. Whoever makes several breads divides the dough once, a share of it before each."""
    bread = lesson.variation(made.variation)
    slowest = Fraction(0)
    for person in people:
        if person.index in made.people:
            pieces = sum(p.pieces for p in person.portions if p.variation == bread.name)
            slowest = max(slowest, Fraction(min(pieces, made.pieces)))
    pieces = int(slowest) or made.pieces
    minutes = _shape_min(bread, pieces, day.pace)
    shares = min(sum(person in lot.people for lot in lots) for person in made.people)
    return DayLot(
        bread.name,
        made.pieces,
        minutes + ceil(_after_bulk_min(lesson, day.pace) / shares),
        _prepare_min(bread, pieces, day.pace),
        hands=tuple(n for n, team in enumerate(teams) if not team.isdisjoint(made.people)),
    )


def _shape_min(bread: Variation, pieces: int, pace: Fraction) -> int:
    """Minutes from cutting to the end of shaping."""
    return max(1, ceil(_minutes(bread.before_proof, bread, pieces, pace)))


def _prepare_min(bread: Variation, pieces: int, pace: Fraction) -> int:
    """Minutes of what is done to proved pieces before they are loaded: topping, glazing, scoring, stretching."""
    steps = bread.before_load
    return max(1, ceil(_minutes(steps, bread, pieces, pace))) if steps else 0


def _minutes(steps: Sequence[Step], bread: Variation, pieces: int, pace: Fraction) -> Fraction:
    """Rests, and hands at the class's pace; more pieces than the lesson's share take longer in proportion."""
    share = max(Fraction(1), Fraction(pieces, bread.pieces))
    return sum(
        (s.wait_min if s.stage in WAIT_STAGES else s.hands_min * pace * share for s in steps),
        Fraction(0),
    )


def _product(bread: Variation, pool_of: dict[str, str]) -> DayProduct:
    proof = next((step for step in bread.method if step.stage == "final proof"), None)
    low, high = (conventional_c(OvenHeat(c, bread.bake.heat.kind)) for c in bread.bake.span_c)
    best = conventional_c(bread.bake.heat)
    cool = next((step.wait_min for step in bread.method if step.stage == "cool"), Fraction(10))
    carry = bread.bake.carry_after_min
    return DayProduct(
        name=bread.name,
        proof=_window(proof, Fraction(0)) if proof else Window(0, 0, 20),
        bake_min=ceil(bread.bake.minutes),
        oven_low_c=min(ceil(low), floor(best)),
        oven_high_c=max(floor(high), floor(best)),
        cool_min=ceil(carry if carry is not None else cool),
        pieces_per_place=bread.bake.pieces_per_shelf,
        oven_best_c=floor(best),
        pool=pool_of.get(bread.name),
    )


# ---------------------------------------------------------------- ovens and events


def _usable_ovens(
    kitchen: Kitchen, made: Sequence[Variation]
) -> tuple[tuple[Oven, ...], tuple[Remark, ...]]:
    """The ovens that may run together. Of those on a circuit that carries fewer, the ones stay on with which most breads can be baked;
    of these, the ones with most places."""
    usable = list(kitchen.ovens)
    remarks = []
    for circuit, most in kitchen.circuits:
        on_it = [oven for oven in usable if oven.circuit == circuit]
        others = [oven for oven in usable if oven.circuit != circuit]

        def worth(kept: tuple[Oven, ...], others: list[Oven] = others) -> tuple[int, int]:
            ovens = (*others, *kept)
            baked = sum(any(_bakes(oven, bread) for oven in ovens) for bread in made)
            return baked, sum(oven.places for oven in kept)

        kept = max(
            combinations(sorted(on_it, key=lambda oven: oven.name), min(most, len(on_it))),
            key=worth,
        )
        for oven in on_it:
            if oven not in kept:
                usable.remove(oven)
                remarks.append(
                    Remark(
                        "ovens",
                        f"Oven {oven.name} stays off: the circuit '{circuit}' carries {most} of its ovens at once.",
                    )
                )
    return tuple(usable), tuple(remarks)


def _bakes(oven: Oven, bread: Variation) -> bool:
    """The oven gets as hot as the bread needs."""
    return hottest_c(oven) >= conventional_c(OvenHeat(bread.bake.span_c[0], bread.bake.heat.kind))


def _oven(oven: Oven, day: ClassDay) -> DayOven:
    per_10 = oven.warm_up_min / 20
    return DayOven(
        name=oven.name,
        places=oven.places,
        max_c=floor(hottest_c(oven)),
        up_per_10_c=per_10,
        down_per_10_c=2 * per_10,
        between_loads_min=ceil(oven.recovery_min),
        on_before_min=ceil(day.ovens_on_before_min),
        soak_min=ceil(oven.soak_min if oven.soak_min is not None else usual_soak_min(oven)),
    )


def usual_soak_min(oven: Oven) -> int:
    """How long an oven stays at its temperature before its first load: 10 minutes, 30 with a stone or a sole (the low end of what
    bakers of stones and decks advise; the maker's or the tutor's own figure wins: common practice)."""
    return 30 if oven.stone or oven.kind == "deck" else 10


def _events(
    lesson: Lesson,
    day: ClassDay,
    steps: Sequence[tuple[DayStep, StepMade]],
    made: Sequence[Variation],
) -> tuple[DayEvent, ...]:
    first = steps[0][0].name if steps else None
    last = steps[-1][0].name if steps else None
    events = []
    if day.welcome_min:
        events.append(DayEvent("welcome", ceil(day.welcome_min), before_step=first, latest_min=0))
    if day.safety_min:
        events.append(
            DayEvent(
                "safety talk",
                ceil(day.safety_min),
                before_step=first,
                earliest_min=ceil(day.welcome_min),
            )
        )
    for talk in lesson.talks:
        if talk.when == "start":
            earliest = ceil(day.welcome_min) + ceil(day.safety_min)
            events.append(
                DayEvent(
                    f"talk: {talk.name}",
                    ceil(talk.minutes),
                    before_step=first,
                    earliest_min=earliest,
                )
            )
        elif talk.when == "bulk proof":
            events.append(DayEvent(f"talk: {talk.name}", ceil(talk.minutes), after_step=last))
    before = None
    for planned, step in steps:
        for number in step.steps:
            shown = lesson.base.method[number].demonstration
            if shown:
                events.append(
                    DayEvent(
                        f"show: {planned.name}",
                        ceil(shown.minutes),
                        after_step=before,
                        before_step=planned.name,
                    )
                )
        before = planned.name
    for bread in made:
        if bread.demonstration:
            events.append(
                DayEvent(
                    f"show: {bread.name}",
                    ceil(bread.demonstration.minutes),
                    after_step=last,
                    before_product=bread.name,
                )
            )
    for one in day.breaks:
        events.append(
            DayEvent(
                f"break: {one.name}",
                ceil(one.minutes),
                after_step=last if one.earliest_min is None else None,
                earliest_min=one.earliest_min or 0,
                latest_min=one.latest_min,
                needs_tutor=False,
            )
        )
    if day.break_min:
        events.append(
            DayEvent(
                "break", ceil(day.break_min), after_step=last, needs_tutor=False, is_break=True
            )
        )
    return tuple(events)
