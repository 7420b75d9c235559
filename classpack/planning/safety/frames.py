"""One card's cautions in few frames, each before the first step it guards: nobody reads the twelfth.

What is said before anybody begins stands in one frame, what is met at the same step in another. The two of the ovens' doors
stand at every loading and taking-out; nothing else stands twice on a card, unless it names something else ("milk", then "egg").
More than :data:`MOST_FRAMES` are too many: then the least harmful that is not at the heat moves up to the frame before it, so it
still stands before its step. What is said of taking bread home goes before the last taking-out rather than egg, a chilled topping or
an allergen away from the hands that hold it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from classpack.model.method import HANDS_STAGES, HOB_STAGES
from classpack.model.safety import HOT_HARMS, FiredCaution, harm_rank, ranked, severity_rank
from classpack.planning.safety.cautions import OVEN_STAGES

MOST_FRAMES = 7
"""Frames on a card, the one of taking it home among them: project's choice."""

FrameGroup = Literal[
    "before you start", "machine", "allergen", "blade", "at the hob", "into the oven", "out of the oven",
    "food that spoils", "taking it home", "other",
]  # fmt: skip
"""What a frame is about. The first and the last of a card, and those at the heat, are never moved."""

_AT_THE_HEAT = ("at the hob", "into the oven", "out of the oven")
_FIXED = ("before you start", *_AT_THE_HEAT, "taking it home")
_ALL_DAY = ("dust", "raw flour")
_BY_HARM: tuple[tuple[str, FrameGroup], ...] = (
    ("blade", "blade"),
    ("moving parts", "machine"),
    ("electric", "machine"),
    ("raw egg and meat", "food that spoils"),
    ("time and temperature", "food that spoils"),
)


@dataclass(frozen=True, slots=True)
class CautionFrame:
    """The cautions before one step, the severest word first."""

    group: FrameGroup
    cautions: tuple[FiredCaution, ...]


def frame_card(
    steps: Sequence[tuple[str, Sequence[FiredCaution]]],
    at_home: Sequence[FiredCaution] = (),
) -> tuple[tuple[CautionFrame | None, ...], CautionFrame | None]:
    """The frame before each step of a card, and the one at its end.

    Args:
        steps: each step's stage and what is placed before it, in the order they are printed; cautions that name what is used
            are already in today's words.
    """
    first = next((n for n, (stage, _) in enumerate(steps) if stage in HANDS_STAGES), 0)
    held: dict[int, list[FiredCaution]] = {}
    seen: set[tuple[str, str]] = set()
    for number, (stage, group) in enumerate(steps):
        for one in group:
            if (one.id, one.line) in seen and not (one.caution.reserved and stage in OVEN_STAGES):
                continue
            seen.add((one.id, one.line))
            at = min(first, number) if _from_the_start(one) else number
            held.setdefault(at, []).append(one)
    home = _ranked_frame("taking it home", at_home) if at_home else None
    groups = {at: _group(steps[at][0], held[at], at == first) for at in held}
    while len(held) + bool(home) > MOST_FRAMES:
        least = _least(held, groups)
        last_out = [n for n in held if groups[n] == "out of the oven"]
        if home and last_out and (least is None or _at_its_step(held[least])):
            held[max(last_out)] += home.cautions
            home = None
        elif least is not None:
            held[_frame_above(least, held, groups)] += held.pop(least)
        else:
            break
    frames = tuple(
        _ranked_frame(groups[n], held[n]) if n in held else None for n in range(len(steps))
    )
    return frames, home


def _at_its_step(cautions: Iterable[FiredCaution]) -> bool:
    """Is it of no use but where the thing is in the hands?"""
    return any(one.caution.kept or one.caution.hazard == "allergen" for one in cautions)


def _frame_above(
    at: int, held: dict[int, list[FiredCaution]], groups: dict[int, FrameGroup]
) -> int:
    """The nearest frame above that is not at the heat, else the first."""
    above = [n for n in held if n < at and groups[n] not in _AT_THE_HEAT]
    return max(above, default=min(held))


def _ranked_frame(group: FrameGroup, cautions: Sequence[FiredCaution]) -> CautionFrame:
    return CautionFrame(group, ranked(cautions))


def _from_the_start(one: FiredCaution) -> bool:
    """Washed hands, dust and raw dough: said once, before anybody begins."""
    guards = one.caution.guards
    return one.id == "wash-hands" or (bool(guards) and set(guards) <= set(_ALL_DAY))


def _group(stage: str, cautions: Sequence[FiredCaution], begins: bool) -> FrameGroup:
    if begins:
        return "before you start"
    if stage in ("load", "bake"):
        return "into the oven"
    hot = any(set(one.caution.guards) & set(HOT_HARMS) for one in cautions)
    if stage == "take out" or (stage in ("cool", "finish") and hot):
        return "out of the oven"
    if stage in HOB_STAGES:
        return "at the hob"
    leads = min(cautions, key=lambda one: (-severity_rank(one.severity), harm_rank(one)))
    if leads.caution.hazard == "allergen":
        return "allergen"
    return next((group for harm, group in _BY_HARM if harm in leads.caution.guards), "other")


def _least(held: dict[int, list[FiredCaution]], groups: dict[int, FrameGroup]) -> int | None:
    """The frame to move up: not the first, nor one at the heat; the mildest, and of two alike the later."""
    movable = [n for n in held if groups[n] not in _FIXED and n != min(held)]
    return min(
        movable,
        key=lambda n: (
            _at_its_step(held[n]),
            max(severity_rank(one.severity) for one in held[n]),
            -min(harm_rank(one) for one in held[n]),
            -n,
        ),
        default=None,
    )
