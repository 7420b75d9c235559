"""What no list of ingredients tells: traces the class file admits, and what a room without gluten must answer first.

Both wait for the tutor's word, written in the class file: an allergen that what is made here may contain, for everybody who
must not have it; and the seven questions of :mod:`classpack.model.gluten_room`, for coeliac disease and for a wheat allergy.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from classpack.errors import Problem
from classpack.model.allergens import IDS
from classpack.model.needs import StatedNeed
from classpack.planning.needs.holdings import allergens_of
from classpack.planning.needs.problems import TUTOR
from classpack.planning.needs.rules import Ban, Rules, is_room_need, words
from classpack.planning.needs.stated import Stated
from classpack.planning.needs.terms import CEREALS, LABELS


def unsettled(start: Stated, rules: Rules, used: Iterable[str]) -> list[Problem]:
    """Every need that traces or the room leave open, and what contradicts itself.

    Args:
        used: every ingredient in the room once all changes are made.
    """
    found = [*_contradictions(start, rules.bans)]
    if (room := start.day.gluten_room) and (holding := _with_gluten(start, used)):
        found.append(
            Problem(
                room.spot or start.where,
                f"'without gluten' is answered, and the class uses {', '.join(holding)}",
                "take the section away, or choose a lesson whose dough holds no wheat, rye, barley or oats",
            )
        )
    for index, need in _whoever_bakes(start):
        if need.kind not in ("allergy", "coeliac"):
            continue
        traces = _traces(start, index, need)
        if is_room_need(need):
            if (index, need.id) not in rules.unmet:
                found += _room(start, index, need, traces)
        elif traces and index != TUTOR:
            found.append(_may_contain(start, index, need, traces))
    return found


def _whoever_bakes(start: Stated) -> Iterator[tuple[int, StatedNeed]]:
    for index, needs in enumerate(start.needs):
        if start.makings[index]:
            yield from ((index, need) for need in needs)
    yield from ((TUTOR, need) for need in start.tutor_needs)


def _who(start: Stated, index: int) -> str:
    return "the tutor" if index == TUTOR else f"seat {start.day.people[index].seat}"


def _traces(start: Stated, index: int, need: StatedNeed) -> list[str]:
    """Ids of what may get in, is in the need, and was not agreed to."""
    agreed: Sequence[str] = ()
    if index != TUTOR:
        agreed = [one.allergen for one in start.day.people[index].agreed]
    return [one for one in start.day.may_contain if one in need.allergens and one not in agreed]


def _labels(ids: Sequence[str]) -> str:
    return words(LABELS[one] for one in ids)


def _with_gluten(start: Stated, used: Iterable[str]) -> list[str]:
    known = [one for name in sorted(used) if (one := start.larder.get(name))]
    return [one.name for one in known if allergens_of(one) & set(CEREALS)]


def _may_contain(start: Stated, index: int, need: StatedNeed, traces: Sequence[str]) -> Problem:
    names = _labels(traces)
    return Problem(
        need.spot or start.where,
        f"the need '{need.typed}' of {_who(start, index)} is not settled: the class file says that what is made here may contain "
        f"{names}",
        f"keep it out and take it off 'may contain', or, once the person was told and agreed in writing, write 'agreed: "
        f"{{{LABELS[traces[0]]}: {{on: {start.day.date.year}-MM-DD, reason: ...}}}}', or write 'decision: {{what: ..., reason: ...}}' with "
        "watches only or does not attend",
    )


def _contradictions(start: Stated, bans: Sequence[Ban]) -> Iterator[Problem]:
    """What the tutor leaves out for everyone, and says may get in all the same."""
    left_out = {
        allergen
        for ban in bans
        if ban.tutor_says or ban.index == TUTOR
        for allergen in ban.need.allergens
    }
    if both := [one for one in IDS if one in left_out and one in start.day.may_contain]:
        names = _labels(both)
        yield Problem(
            start.where,
            f"{names} {'is' if len(both) == 1 else 'are'} left out for everyone, and 'may contain' says that it may get in",
            "find out who brings it in and keep it out; then take it off 'may contain'",
        )


def _room(start: Stated, index: int, need: StatedNeed, traces: Sequence[str]) -> Iterator[Problem]:
    """Coeliac disease and wheat allergy: a place only where the room's questions are answered, and never beside such traces."""
    spot = need.spot or start.where
    lead = f"the need '{need.typed}' of {_who(start, index)}"
    elsewhere = (
        "offer a class in another room, and write 'decision: {what: does not attend, reason: ...}'"
    )
    if named := [one for one in start.day.may_contain if one in need.allergens]:
        yield Problem(
            spot,
            f"{lead} cannot be met in this room: the class file says that what is made here may contain {_labels(named)}",
            f"{elsewhere}; no agreement opens this",
        )
        return
    room = start.day.gluten_room
    open_questions = room.open if room else ()
    if room and not open_questions:
        return
    if room is None:
        wrong = "is not answered for: nobody says whether this room is clean of wheat, rye, barley and ordinary oats"
        right = (
            "answer below 'without gluten:' each of no loose flour, cleaned, own tools, packs read, nothing brought in, told in "
            "writing and bread tested, as in 'cleaned: {answer: yes, by: ..., on: ...}'"
        )
    else:
        wrong = f"cannot be met in this room: 'without gluten' has no yes for {', '.join(open_questions)}"
        right = "see to it and answer with who says so and when"
    yield Problem(spot, f"{lead} {wrong}", f"{right}; or {elsewhere}")
