"""On the day: from what a tutor can say in a hurry (how late, which oven, who is missing) to the day planned again.

Nothing that has begun moves; bread that is in an oven stays in it. What happened is kept as numbers and names, so that the next time
of the same day begins where this one ended.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from classpack.errors import Problem, Spot
from classpack.model.class_plan import PersonPlan
from classpack.model.timed_day import DaySetting, LotMade, TimedDay
from classpack.planning.day.split import divided
from classpack.planning.timetable.replan import DayChanges, Replanned, replan
from classpack.planning.timetable.spans import DaySpans


@dataclass(frozen=True, slots=True)
class Happening:
    """What is different at ``now_min`` (minutes after midnight of the class's day).

    ``late_min``: so far behind the plan that was last printed. ``ovens_out`` are names, ``missing`` and ``arrived`` seats, ``left_out``
    talks, demonstrations or the break, by the names the plan gives them.
    """

    now_min: int
    late_min: int = 0
    ovens_out: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    arrived: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Saved:
    """Bread that is in a failed oven and not done: ``lots`` as (station, variation, pieces)."""

    oven: str
    lots: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True, slots=True)
class DayAgain:
    """The day planned again, and what must be told with it. ``joins`` are late arrivals: seat, and the minute (after midnight) and kind of
    their station's next step (-1 and empty: it has none left). ``gone``: every seat at which nobody is any more; ``back``: those of the late arrivals whose
    bread an earlier plan has dropped."""

    timed: TimedDay
    happening: Happening
    save: tuple[Saved, ...]
    joins: tuple[tuple[str, int, str], ...]
    gone: frozenset[str] = frozenset()
    back: frozenset[str] = frozenset()


def with_full_names(timed: TimedDay, happening: Happening) -> Happening:
    """Ovens said in short ('loft' where only one oven's name begins so) by their whole names; what fits none or several stays as said."""
    names = [oven.name for oven in timed.setting.ovens]

    def whole(said: str) -> str:
        found = [name for name in names if name.casefold().startswith(said.casefold())]
        return found[0] if said and said not in names and len(found) == 1 else said

    return replace(happening, ovens_out=tuple(dict.fromkeys(map(whole, happening.ovens_out))))


def happening_problems(
    timed: TimedDay,
    people: Sequence[PersonPlan],
    happening: Happening,
    spot: Spot,
    gone: frozenset[str],
) -> tuple[Problem, ...]:
    """Everything that cannot be meant: a time outside the class, an oven or a seat there is not. ``gone``: seats missing already."""
    problems = []
    now = happening.now_min - timed.start_min
    longest = max(timed.setting.problem.class_min, timed.plan.finish_min)
    if not 0 <= now <= longest:
        problems.append(
            Problem(
                spot,
                f"it is not {_clock(happening.now_min)} during this class",
                f"give a time from {_clock(timed.start_min)} to {_clock(timed.start_min + longest)}",
            )
        )
    elif happening.late_min > now:
        problems.append(
            Problem(
                spot,
                f"{happening.late_min} min behind at {_clock(happening.now_min)} would be before the class began",
                f"say at most {now} min",
            )
        )
    ovens = [oven.name for oven in timed.setting.ovens]
    seats = [one.person.seat for one in people]
    names = [event.name for event in timed.setting.problem.events]
    for given, known, what in (
        (happening.ovens_out, ovens, "oven"),
        (happening.missing, seats, "seat"),
        (happening.arrived, seats, "seat"),
        (happening.left_out, names, "talk or break"),
    ):
        problems += [
            Problem(spot, f"there is no {what} '{name}'", f"it is one of {', '.join(known)}")
            for name in given
            if name not in known
        ]
    if both := sorted(set(happening.missing) & set(happening.arrived)):
        problems.append(
            Problem(
                spot, f"{', '.join(both)} cannot be missing and arrive at once", "say one of them"
            )
        )
    bakers = {one.person.seat for one in people if one.portions}
    reached = now - happening.late_min
    shaped = any(start < reached for row in timed.plan.shape_starts for start in row)
    if not shaped and bakers <= gone | set(happening.missing):
        problems.append(
            Problem(spot, "nobody who bakes is left", "without students there is nothing to plan")
        )
    closed = {
        oven.name
        for oven in timed.setting.problem.ovens
        if oven.until_min is not None and oven.until_min <= now
    }
    if ovens and set(ovens) <= closed | set(happening.ovens_out):
        problems.append(
            Problem(
                spot,
                "no oven is left",
                "name the ovens that still work; without one, bake another day",
            )
        )
    return tuple(problems)


def day_again(
    timed: TimedDay, people: Sequence[PersonPlan], happening: Happening, gone: frozenset[str]
) -> DayAgain:
    """The rest of the day, planned from where the class is.

    Args:
        gone: seats that were missing already, earlier today.

    Raises:
        timetable.NoPlanError: what is left cannot be planned.
    """
    now = happening.now_min - timed.start_min
    save = _to_save(timed, happening, now)
    if happening.ovens_out:
        timed = divided(timed, people, happening.ovens_out, _staying(timed, happening, now))
    problem = timed.setting.problem
    missing = gone | frozenset(happening.missing)
    away = frozenset(one.index for one in people if one.person.seat in missing)
    there = [one for one in people if one.portions and one.index not in away]
    empty = tuple(
        name
        for name in timed.setting.stations
        if name != "tutor" and not any(one.person.station == name for one in there)
    )
    again = replan(
        problem,
        timed.plan,
        now,
        DayChanges(
            late_min=happening.late_min,
            ovens_out=happening.ovens_out,
            stations_out=empty,
            lots=tuple(_lots(timed.setting, people, away)),
            events_out=happening.left_out,
        ),
    )
    setting = _setting(timed.setting, again, away)
    lots = [lot for row in setting.lots for lot in row]
    return DayAgain(
        TimedDay(setting, again.plan, timed.start_min),
        happening,
        save,
        tuple(_joins(timed, again, seat, people, now) for seat in happening.arrived),
        missing - frozenset(happening.arrived),
        _dropped(people, lots, gone & frozenset(happening.arrived)),
    )


def _dropped(
    people: Sequence[PersonPlan], lots: Sequence[LotMade], seats: frozenset[str]
) -> frozenset[str]:
    """Those of ``seats`` whose bread is in no lot any more."""
    baking = {index for lot in lots for index in lot.people}
    return frozenset(
        one.person.seat for one in people if one.person.seat in seats and one.index not in baking
    )


def _staying(timed: TimedDay, happening: Happening, now: int) -> frozenset[tuple[int, int]]:
    """Lots that have gone into an oven and are not in a failed one now."""
    spans = DaySpans(timed.setting.problem, timed.plan)
    return frozenset(
        key
        for load in timed.plan.loads
        if load.start_min < now - happening.late_min
        for key in load.lots
        if timed.setting.ovens[load.oven].name not in happening.ovens_out
        or spans.out_min(key) <= now
    )


def _lots(
    setting: DaySetting, people: Sequence[PersonPlan], away: frozenset[int]
) -> list[tuple[str, int, int]]:
    """What each lot loses with the people who are not there."""
    found = []
    for name, lots in zip(setting.stations, setting.lots, strict=True):
        for number, lot in enumerate(lots):
            lost = [index for index in lot.people if index in away]
            if not lost:
                continue
            left = 0
            if len(lost) < len(lot.people):
                pieces = [
                    portion.pieces
                    for index in lost
                    for portion in people[index].portions
                    if portion.variation == lot.variation
                ]
                left = max(1, lot.pieces - sum(pieces))
            found.append((name, number, left))
    return found


def _setting(setting: DaySetting, again: Replanned, away: frozenset[int]) -> DaySetting:
    """What the numbers of the new plan stand for."""
    lots = []
    for s, kept in enumerate(again.lots_kept):
        lots.append(
            tuple(
                _lot_now(setting.lots[s][old], again.problem.stations[s].lots[new].pieces, away)
                for new, old in enumerate(kept)
            )
        )
    steps = tuple(
        made[: len(station.steps)]
        for made, station in zip(setting.steps, again.problem.stations, strict=True)
    )
    return replace(setting, problem=again.problem, lots=tuple(lots), steps=steps)


def _lot_now(made: LotMade, pieces: int, away: frozenset[int]) -> LotMade:
    """A lot keeps its people as long as it keeps its pieces: what was shaped is still theirs."""
    if pieces == made.pieces:
        return made
    return replace(
        made, pieces=pieces, people=tuple(index for index in made.people if index not in away)
    )


def _to_save(timed: TimedDay, happening: Happening, now: int) -> tuple[Saved, ...]:
    spans = DaySpans(timed.setting.problem, timed.plan)
    found = []
    for load in timed.plan.loads:
        oven = timed.setting.ovens[load.oven].name
        inside = load.start_min < now - happening.late_min and spans.load_end(load) > now
        if oven in happening.ovens_out and inside:
            lots = [
                (timed.setting.stations[s], timed.setting.lots[s][i])
                for s, i in load.lots
                if spans.out_min((s, i)) > now
            ]
            found.append(
                Saved(oven, tuple((name, lot.variation, lot.pieces) for name, lot in lots))
            )
    return tuple(found)


def _joins(
    timed: TimedDay, again: Replanned, seat: str, people: Sequence[PersonPlan], now: int
) -> tuple[str, int, str]:
    """When somebody who comes late can begin: with the next thing their station's hands do."""
    station = next(one.person.station for one in people if one.person.seat == seat)
    number = timed.setting.stations.index(station)
    coming = [
        (start, step.name)
        for start, step in zip(
            again.plan.step_starts[number], again.problem.stations[number].steps, strict=True
        )
        if start >= now
    ]
    coming += [
        (start, lot.product)
        for start, lot in zip(
            again.plan.shape_starts[number], again.problem.stations[number].lots, strict=True
        )
        if start >= now
    ]
    coming += [
        (start, lot.product)
        for start, lot in zip(
            again.plan.prepare_starts[number], again.problem.stations[number].lots, strict=True
        )
        if start >= now and lot.prepare_min
    ]
    start, name = min(coming, default=(-1 - timed.start_min, ""))
    return seat, timed.start_min + start, name


def _clock(minute: int) -> str:
    return f"{minute // 60 % 24}:{minute % 60:02d}"
