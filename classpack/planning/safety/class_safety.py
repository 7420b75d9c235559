"""The safety of one class put together: what is met when, the talk, the wall, the risk assessment, hygiene at each station."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from classpack.errors import Problem, Remark, Spot
from classpack.model.class_day import ClassDay
from classpack.model.kitchen import Kitchen
from classpack.model.lesson import Lesson, Variation
from classpack.model.risk import RiskAnswer
from classpack.model.safety import (
    Catalogue,
    ChilledBread,
    FiredCaution,
    PlaceFacts,
    Source,
    TurnedOff,
)
from classpack.model.timed_day import DayClocks
from classpack.planning.day.step_minutes import Made, made_by, station_entries, whole_class_minute
from classpack.planning.safety.bench_use import met_by
from classpack.planning.safety.briefing import Briefing, Met, briefing, order_of_day
from classpack.planning.safety.chilled_home import chilled_breads, chilled_remarks
from classpack.planning.safety.class_cautions import ClassCautions
from classpack.planning.safety.fridge import TUTOR
from classpack.planning.safety.hygiene import (
    ALWAYS_WASHED,
    ColdItem,
    Cooling,
    StationHygiene,
    cold_remarks,
    cooling,
    egg_rule,
    station_hygiene,
    washing_min,
)
from classpack.planning.safety.risk import (
    RiskRow,
    Supervision,
    risk_rows,
    supervision,
    unknown_answers,
)
from classpack.planning.safety.safety_sheet import (
    WALL_AID,
    SafetySheet,
    TutorSafety,
    accident_form_until,
    safety_sheet,
    tutor_safety,
)

GROUP_SIZE = "group size"


@dataclass(frozen=True, slots=True)
class ClassSafety:
    """Everything about safety that the sheets print; nothing in it depends on anybody's health.

    ``met`` is every caution of the class in the order of the day; ``off`` were turned off with a reason; ``moved`` are names
    the tutor moved to the station sheets. ``risk`` has a row for everything that fired, those turned off included.
    ``confirmed`` is the tutor's reason for a group that is larger than the ceiling. ``egg_rule`` is empty where no egg is used.
    ``sources`` is what all this rests on, ``hot_jobs`` how many ovens' openings, boilings and fryings run at once at most.
    ``fridge`` is everything that leaves the fridge; a station's own ``cold`` what of it is used there.
    """

    met: tuple[Met, ...]
    briefing: Briefing
    sheet: SafetySheet
    tutor: TutorSafety
    off: tuple[TurnedOff, ...]
    moved: tuple[str, ...]
    scale: int
    risk: tuple[RiskRow, ...]
    supervision: Supervision
    confirmed: str
    hot_jobs: int
    stations: tuple[StationHygiene, ...]
    fridge: tuple[ColdItem, ...]
    cooling: tuple[Cooling, ...]
    chilled: tuple[ChilledBread, ...]
    always_washed: tuple[str, ...]
    egg_rule: str
    sources: tuple[Source, ...]
    accident_until: datetime.date
    remarks: tuple[Remark, ...]

    def station(self, name: str) -> StationHygiene:
        """Hygiene at one station; nothing is asked where nobody bakes."""
        for one in self.stations:
            if one.station == name:
                return one
        return StationHygiene(name, (), ())

    def chilled_of(self, station: str, bread: str, people: tuple[int, ...]) -> ChilledBread | None:
        """The first lot of a bread that spoils, of any of ``people`` at a station."""
        return next(
            (
                one
                for one in self.chilled
                if (one.station, one.bread) == (station, bread) and set(people) & set(one.people)
            ),
            None,
        )

    def cooling_of(self, bread: str) -> Cooling:
        """When a bread may be carried, sliced and bagged.

        Raises:
            KeyError: nobody makes it.
        """
        for one in self.cooling:
            if one.variation == bread:
                return one
        raise KeyError(bread)


def class_safety(
    lesson: Lesson,
    day: ClassDay,
    kitchen: Kitchen,
    facts: PlaceFacts,
    cautions: ClassCautions,
    catalogue: Catalogue,
    clocks: DayClocks,
    fridge: tuple[ColdItem, ...],
    handled: Mapping[str, frozenset[str]],
    learners: int,
    answers: tuple[int, Mapping[str, RiskAnswer]] = (3, {}),
) -> ClassSafety:
    """Put the class's safety together.

    Args:
        fridge: what leaves the fridge when, for which station.
        handled: the triggers of all that is used at each station (:func:`classpack.planning.safety.bench_use.handled_at`).
        learners: everybody who takes part, those who only watch too.
        answers: the scale and the rows of the tutor's own risk assessment.
    """
    made = [
        one
        for name, entries in station_entries(clocks)
        for one in made_by(lesson, day, name, entries)
    ]
    met = order_of_day(_met(lesson, day, cautions, clocks, made), catalogue)
    off = {one.fired.id for one in cautions.off}
    sheet = safety_sheet(met, kitchen, catalogue)
    every = [one.fired for one in met]
    rows = risk_rows((*every, *(one.fired for one in cautions.off)), answers[1])
    hot_jobs = _hot_jobs_at_once(day, clocks, made)
    watched = supervision(learners, day.assistants, facts.children, hot_jobs)
    breads = [lesson.variation(name) for name, _ in cautions.placed]
    cooled = tuple(cooling(bread) for bread in breads)
    end = day.end_min - day.start_min
    chilled = chilled_breads(clocks, cautions.home, {one.variation: one for one in cooled}, end)
    return ClassSafety(
        met=met,
        briefing=briefing(met, kitchen, sheet.call, off),
        sheet=sheet,
        tutor=tutor_safety(every, catalogue),
        off=cautions.off,
        moved=lesson.moved,
        scale=answers[0],
        risk=rows,
        supervision=watched,
        confirmed=dict(day.confirmed).get(GROUP_SIZE, ""),
        hot_jobs=hot_jobs,
        stations=_hygiene(day, cautions, fridge, handled, made),
        fridge=fridge,
        cooling=cooled,
        chilled=chilled,
        always_washed=ALWAYS_WASHED,
        egg_rule=egg_rule(day.region) if any(one.id == "raw-egg" for one in every) else "",
        sources=_sources(every, catalogue),
        accident_until=accident_form_until(day.date),
        remarks=(
            *cautions.remarks,
            *sheet.remarks,
            *watched.remarks,
            *_washing(day, kitchen, learners),
            *unknown_answers(answers[1], rows),
            *_never_met(lesson, cautions),
            *cold_remarks(fridge),
            *chilled_remarks(chilled, breads, end),
            *_assumed(breads, cooled),
        ),
    )


def _sources(fired: Iterable[FiredCaution], catalogue: Catalogue) -> tuple[Source, ...]:
    """Every source behind the cautions that fired, their first aid and the settled rules, in the catalogue's order."""
    every = tuple(fired)
    aids = {one.caution.first_aid for one in every} | set(WALL_AID)
    named = {name for one in every for name in one.caution.sources}
    named |= {name for aid in catalogue.first_aid if aid.id in aids for name in aid.sources}
    named |= {name for rule in catalogue.settled for name in rule.sources}
    return tuple(one for one in catalogue.sources if one.id in named)


def group_problems(day: ClassDay, learners: int, children: bool) -> tuple[Problem, ...]:
    """A group above the ceiling is planned only on the tutor's word, with the reason."""
    watched = supervision(learners, day.assistants, children)
    if not watched.must_confirm or dict(day.confirmed).get(GROUP_SIZE):
        return ()
    return (
        Problem(
            day.spot or Spot(day.file, 1),
            f"{learners} learners for {watched.adults} {'adult' if watched.adults == 1 else 'adults'}: more than 20 to one",
            "split the class, name the 'assistants', or write why it is safe, as in 'confirmed: {group size: \"...\"}'",
        ),
    )


def _met(
    lesson: Lesson, day: ClassDay, cautions: ClassCautions, clocks: DayClocks, made: Sequence[Made]
) -> list[tuple[int, Sequence[FiredCaution]]]:
    """Cautions with the minutes at which the class meets them."""
    fired = dict(cautions.fired)
    groups: list[tuple[int, Sequence[FiredCaution]]] = []
    for one in made:
        groups += list(zip(one.minutes, fired[one.bread.name], strict=True))
    at_steps = {caution.id for _, group in groups for caution in group}
    end = day.end_min - day.start_min
    groups += [(end, home) for _, home in cautions.home]
    for caution in cautions.whole_class:
        minute = whole_class_minute(caution, clocks)
        if minute is not None or caution.id not in at_steps:
            groups.append((minute or 0, (caution,)))
    return groups


def _hot_jobs_at_once(day: ClassDay, clocks: DayClocks, made: Sequence[Made]) -> int:
    """Most loads, take-outs, boilings and fryings that run in the same minutes; one opening of a door counts once."""
    jobs: set[tuple[str, int, int]] = set()
    for oven, entries in clocks.ovens:
        for entry in entries:
            if entry.kind == "load":
                jobs.add((f"{oven} in", entry.start_min, entry.start_min + int(day.loading_min)))
                jobs.add((f"{oven} out", entry.end_min, entry.end_min + int(day.unloading_min)))
    for one in made:
        for number, step in enumerate(one.steps):
            if step.stage in ("boil", "fry"):
                start = one.minutes[number]
                jobs.add((f"{one.station} {number}", start, start + int(step.hands_min * day.pace)))
    return max(
        (sum(1 for _, a, b in jobs if a <= start < b) for _, start, _ in jobs),
        default=0,
    )


def _hygiene(
    day: ClassDay,
    cautions: ClassCautions,
    fridge: Sequence[ColdItem],
    handled: Mapping[str, frozenset[str]],
    made: Sequence[Made],
) -> tuple[StationHygiene, ...]:
    """When hands are washed and what leaves the fridge, by station; at the demonstration only the fridge is told.

    A bread fires what its recipe asks for: where nobody at a station uses egg, nobody there washes after it.
    """
    fired = dict(cautions.fired)
    found = []
    for station in day.stations:
        triggers = handled[station.name]
        lots = [
            (
                one,
                [tuple(c for c in group if met_by(c, triggers)) for group in fired[one.bread.name]],
            )
            for one in made
            if one.station == station.name
        ]
        if lots:
            found.append(station_hygiene(station.name, lots, fridge))
    shown = station_hygiene(TUTOR, (), fridge)
    return (*found, shown) if shown.cold else tuple(found)


def _washing(day: ClassDay, kitchen: Kitchen, learners: int) -> tuple[Remark, ...]:
    if not kitchen.sinks or not day.hand_washing_min:
        return ()
    needed = washing_min(learners, kitchen.sinks)
    if needed <= day.hand_washing_min:
        return ()
    basins = "one sink" if kitchen.sinks == 1 else f"{kitchen.sinks} sinks"
    return (
        Remark(
            "hygiene",
            f"{learners} people wash their hands at {basins} in {needed} min; the plan has {int(day.hand_washing_min)} min: "
            "write 'hand washing' below 'times', or begin with the stations in turn.",
        ),
    )


def _never_met(lesson: Lesson, cautions: ClassCautions) -> tuple[Remark, ...]:
    """Names turned off or moved that this class would not have met anyway."""
    fired = {one.id for _, steps in cautions.fired for group in steps for one in group}
    fired |= {one.fired.id for one in cautions.off}
    fired |= {one.id for one in cautions.whole_class}
    fired |= {one.id for _, home in cautions.home for one in home}
    names = dict.fromkeys((*(name for name, _ in lesson.off), *lesson.moved))
    return tuple(
        Remark("safety", f"The lesson turns off or moves '{name}', which does not arise here.")
        for name in names
        if name not in fired
    )


def _assumed(breads: Iterable[Variation], cooled: Iterable[Cooling]) -> tuple[Remark, ...]:
    return tuple(
        Remark(
            "hygiene",
            f"The lesson does not say '{' and '.join(one.assumed)}' for the {bread.many}: "
            f"{int(one.carry_min)} min to carry and {int(one.slice_min)} min to slice are taken (common practice).",
        )
        for bread, one in zip(breads, cooled, strict=True)
        if one.assumed
    )
