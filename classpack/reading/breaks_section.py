"""The breaks of a class day: lunch, coffee, tea, each with its minutes and, where it matters, when it begins."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from classpack.errors import Spot
from classpack.model.class_day import Pause
from classpack.quantities import NotUnderstood, parse_clock, parse_minutes
from classpack.reading.sections import Section

LONGEST_MIN = 120
EXAMPLE = (
    "write each as '- lunch: 45 min', and below it 'at: 12:15-13:00' or 'at: 12:30' if that matters"
)


def read_breaks(
    top: Section, start_min: int, end_min: int, closing_min: Fraction
) -> tuple[Pause, ...]:
    """``breaks`` of a class file; times are counted from the start of the class."""
    found: list[Pause] = []
    for node in top.items("breaks"):
        section = Section(node, "a break", top.problems)
        name = next((key.value for key, _ in section.node.fields if key.value != "at"), "")
        if not name:
            section.problem(section.spot, "a break without its name and minutes", EXAMPLE)
            continue
        section.what = name
        minutes = section.read(name, partial(_minutes, name))
        at_spot = section.spot_of("at")
        span = section.read("at", partial(_span, start_min))
        section.close()
        if minutes is None:
            continue
        if any(one.name == name for one in found):
            section.problem(
                section.spot, f"there are two breaks called '{name}'", "name them apart"
            )
        if span is not None:
            _check(section, name, minutes, span, (start_min, end_min), closing_min, found, at_spot)
        earliest, latest = span if span is not None else (None, None)
        found.append(Pause(name, minutes, earliest, latest, section.spot))
    return tuple(found)


def _check(
    section: Section,
    name: str,
    minutes: Fraction,
    span: tuple[int, int],
    hours: tuple[int, int],
    closing_min: Fraction,
    others: list[Pause],
    spot: Spot,
) -> None:
    """It lies in the class, before its closing, and not where another must be."""
    start_min, end_min = hours
    last = end_min - start_min - closing_min - minutes
    if span[0] < 0 or span[0] > last:
        closing = _clock(end_min - int(closing_min))
        section.problem(
            spot,
            f"{name} at {_clock(start_min + span[0])} does not lie between the start of the class ({_clock(start_min)}) and its closing ({closing})",
            f"let it begin by {_clock(start_min + int(last))}",
        )
    for one in others:
        if one.earliest_min is None or one.latest_min is None:
            continue
        before = span[1] + minutes <= one.earliest_min
        after = one.latest_min + one.minutes <= span[0]
        fixed = span[0] == span[1] and one.earliest_min == one.latest_min
        if fixed and not before and not after:
            section.problem(spot, f"{name} and {one.name} are at the same time", "move one of them")


def _minutes(name: str, text: str) -> Fraction:
    minutes = parse_minutes(text, f"'{name}'", "45 min")
    if not 0 < minutes <= LONGEST_MIN:
        raise NotUnderstood(f"'{name}' is '{text}'", f"a break lasts 1 to {LONGEST_MIN} min")
    return minutes


def _span(start_min: int, text: str) -> tuple[int, int]:
    """``12:15-13:00`` or ``12:30``, as minutes from the start of the class."""
    first, dash, last = text.replace("–", "-").partition("-")
    clock = partial(parse_clock, what="'at'", example="12:15-13:00")
    earliest = clock(first.strip())
    latest = clock(last.strip()) if dash else earliest
    if latest < earliest:
        raise NotUnderstood(f"'at' is '{text}'", "write the earlier time first")
    return earliest - start_min, latest - start_min


def _clock(minute: int) -> str:
    return f"{minute // 60 % 24}:{minute % 60:02d}"
