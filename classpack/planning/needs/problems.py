"""How it is said that a need is not met: where, what stands in the way, and every honest way out.

No message names a person: the spot leads the tutor to the line, and the seat to the bench.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from classpack.errors import Problem, Spot
from classpack.model.needs import StatedNeed

TUTOR = -1
"""The index that stands for the tutor."""


@dataclass(slots=True)
class Unmet:
    """Why one need is not met. ``index`` is whose, -1 the tutor's, None what the class file leaves out for everyone.

    ``room``: flour in the air stands in the way, and ``details`` names it. ``everyone``: the whole class would have to go
    without. ``in_dough``: the dough itself holds it, so leaving it out is no way out.
    """

    need: StatedNeed
    index: int | None
    details: list[str] = field(default_factory=list)
    room: bool = False
    everyone: bool = False
    in_dough: bool = False

    def add(self, other: Unmet) -> None:
        """More reasons for the same need; a place is told once."""
        self.in_dough = self.in_dough or other.in_dough
        if not self.room:
            self.details += [
                one
                for one in other.details
                if not any(one.split(":")[0] in mine for mine in self.details)
            ]


def problem(one: Unmet, seat: str, fine: Sequence[str], where: Spot) -> Problem:
    """The message. ``fine`` are breads the person could make instead."""
    typed = one.need.typed if len(one.need.typed) <= 60 else one.need.typed[:57] + "..."
    details = list(dict.fromkeys(one.details))
    if one.index is None:
        return Problem(
            where,
            f"'{typed}' cannot be left out for everyone: {'; '.join(details)}",
            "add a swap to the lesson, or take the breads that hold it out of the class",
        )
    who = "the tutor" if one.index == TUTOR else f"seat {seat}"
    spot = one.need.spot or where
    if one.room:
        return Problem(
            spot,
            f"the need '{typed}' of {who} cannot be met in this room: there is {', '.join(details)} in the air and on every "
            "bench, and no swap mends that",
            _ways_out_of_the_room(one),
        )
    wrong = f"the need '{typed}' of {who} is not met: {'; '.join(details)}"
    if one.index == TUTOR:
        return Problem(spot, wrong, "add a swap to the lesson, or choose breads without it")
    if one.everyone:
        leave = "" if one.in_dough else f"write 'leave out for everyone: {one.need.label}', or "
        return Problem(
            spot,
            wrong,
            f"add a swap to the lesson, or {leave}take the breads that hold it out of the class, or write "
            "'decision: {what: does not attend, reason: ...}'",
        )
    return Problem(spot, wrong, _ways_out(fine, one.in_dough))


def watching_is_no_way_out(need: StatedNeed) -> bool:
    """A wheat allergy that may be severe: who watches breathes the flour as well.

    Wheat-allergic adults can react to inhaled flour (Salvatori and others, 2008, abstract); coeliac disease harms by
    swallowing only, so there it is the person's choice.
    """
    return need.kind == "allergy" and "gluten:wheat" in need.allergens and need.severe


def _ways_out_of_the_room(one: Unmet) -> str:
    if one.index == TUTOR:
        return "let another tutor teach this class, or choose a lesson without it"
    right = "offer a class in a room without it, and write 'decision: {what: does not attend, reason: ...}'"
    if not watching_is_no_way_out(one.need):
        right += "; they may also choose 'watches only', knowing of the flour in the air"
    return right


def _ways_out(fine: Sequence[str], in_dough: bool) -> str:
    ways = ["add a swap to the lesson"]
    if fine:
        more = f" ({', '.join(fine[1:])} would do too)" if len(fine) > 1 else ""
        ways.append(f"write 'decision: {{makes: {fine[0]}, reason: ...}}'{more}")
    others = ["watches only", "does not attend", *([] if in_dough else ["left out for everyone"])]
    ways.append(
        f"write 'decision: {{what: ..., reason: ...}}' with {', '.join(others[:-1])} or {others[-1]}"
    )
    return ", or ".join(ways)
