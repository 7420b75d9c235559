"""The confidential needs sheet, the register, and what the letter before the class says."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from classpack.model.allergens import IDS
from classpack.model.class_day import ClassDay, Emergency, Making
from classpack.model.class_plan import Change, Version
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson
from classpack.model.needs import (
    QUESTIONS,
    BeforeYouCome,
    Contact,
    NeedsSheet,
    NotToTaste,
    Outcome,
    PersonNeeds,
    Question,
    RegisterRow,
    Removal,
    StatedNeed,
)
from classpack.planning.needs.cross_contact import pack_checks
from classpack.planning.needs.holdings import allergens_of, excluded_by
from classpack.planning.needs.seating import Sitting, suggested_seating
from classpack.planning.needs.terms import CEREALS, NUTS

ASK_EVERYBODY = tuple(Question(key) for key in QUESTIONS[:5])
"""What to ask at booking and again at the door."""


def ask_everybody(day: ClassDay) -> tuple[Question, ...]:
    """:data:`ASK_EVERYBODY`, and what the class file says may get in: the same for everybody."""
    return (*ASK_EVERYBODY, *_traces(day))


def _traces(day: ClassDay) -> tuple[Question, ...]:
    return (Question("traces", "", day.may_contain),) if day.may_contain else ()


@dataclass(frozen=True, slots=True)
class ClassNeeds:
    """What the sheet is written from: everything resolved, by person index. ``used`` are final ingredients, ``by_tutor`` those
    of demonstration and spare, ``by_bread`` those of each bread in anybody's version; ``whole_class`` are the needs the whole
    class goes without, with whose they are (None: the class file's word)."""

    lesson: Lesson
    day: ClassDay
    larder: Larder
    needs: tuple[tuple[StatedNeed, ...], ...]
    tutor_needs: tuple[StatedNeed, ...]
    makings: tuple[tuple[Making, ...], ...]
    attends: tuple[bool, ...]
    versions: tuple[Version, ...]
    for_everyone: tuple[Change, ...]
    outcomes: tuple[tuple[Outcome, ...], ...]
    used: tuple[frozenset[str], ...]
    by_tutor: frozenset[str]
    by_bread: tuple[tuple[str, frozenset[str]], ...]
    whole_class: tuple[tuple[int | None, StatedNeed], ...]
    removals: tuple[Removal, ...]

    @property
    def room(self) -> frozenset[str]:
        """Every ingredient that anybody uses."""
        return self.by_tutor.union(*self.used)

    def is_wide(self, index: int, need: StatedNeed) -> bool:
        """Does the whole class go without what this need excludes?"""
        return any(index == whose and need.id == one.id for whose, one in self.whole_class)


def needs_sheet(facts: ClassNeeds, keep_days: int) -> NeedsSheet:
    """Everything about people, for ``confidential/``. Kept ``keep_days`` days after the class at most."""
    people = []
    for index, person in enumerate(facts.day.people):
        if facts.needs[index] or not person.asked or person.decision:
            people.append(_person(facts, index))
    if facts.tutor_needs:
        people.append(_tutor(facts))
    present = [
        need
        for index, needs in enumerate(facts.needs)
        if facts.attends[index]
        for need in needs
        if need.kind == "state"
    ]
    states = [*present, *(need for need in facts.tutor_needs if need.kind == "state")]
    return NeedsSheet(
        people=tuple(people),
        removals=facts.removals,
        seating=suggested_seating(_sittings(facts)),
        health_groups=frozenset(need.id for need in states),
        for_whole_class=tuple(need for _, need in facts.whole_class),
        contacts=_contacts(facts),
        delete_by=facts.day.date + datetime.timedelta(days=keep_days),
    )


def _contacts(facts: ClassNeeds) -> tuple[Contact, ...]:
    people = [
        (person, facts.needs[index])
        for index, person in enumerate(facts.day.people)
        if facts.attends[index]
    ]
    if not facts.day.children and not any(one.child or one.emergency for one, _ in people):
        return ()
    return tuple(
        Contact(one.name, one.seat, one.child, needs, one.emergency or Emergency())
        for one, needs in people
    )


def _person(facts: ClassNeeds, index: int) -> PersonNeeds:
    person = facts.day.people[index]
    needs = facts.needs[index] if facts.attends[index] else ()
    asked = person.asked or bool(person.needs)
    wide = [need for need in needs if facts.is_wide(index, need)]
    checked = facts.room if wide else facts.used[index]
    return PersonNeeds(
        index=index,
        name=person.name,
        seat=person.seat,
        asked=asked,
        needs=facts.needs[index],
        outcomes=facts.outcomes[index],
        decision=person.decision,
        agreed=person.agreed,
        emergency=person.emergency,
        child=person.child,
        pack_checks=(
            *pack_checks(wide, checked, facts.larder),
            *pack_checks([n for n in needs if n not in wide], facts.used[index], facts.larder),
        ),
        not_to_taste=_not_to_taste(facts, needs),
        notes=_notes(needs, index in own_tools(facts), facts.day.gluten_room is not None),
        questions=_questions(facts, needs) if asked else ask_everybody(facts.day),
    )


def _tutor(facts: ClassNeeds) -> PersonNeeds:
    return PersonNeeds(
        index=-1,
        name=facts.day.tutor,
        seat="",
        asked=True,
        needs=facts.tutor_needs,
        outcomes=(),
        decision=None,
        agreed=(),
        emergency=None,
        child=False,
        pack_checks=pack_checks(facts.tutor_needs, facts.room, facts.larder),
        not_to_taste=_not_to_taste(facts, facts.tutor_needs),
        notes=_notes(facts.tutor_needs, False, facts.day.gluten_room is not None),
        questions=(),
    )


def _not_to_taste(facts: ClassNeeds, needs: Sequence[StatedNeed]) -> tuple[NotToTaste, ...]:
    found = []
    for bread, names in facts.by_bread:
        held = [
            word
            for name in sorted(names)
            for need in needs
            for word in excluded_by(need, facts.larder[name])
        ]
        if held:
            found.append(NotToTaste(bread, tuple(dict.fromkeys(held))))
    return tuple(found)


def _notes(
    needs: Sequence[StatedNeed], tools_of_their_own: bool, gluten_room: bool
) -> tuple[str, ...]:
    found = []
    for need in needs:
        if need.id in ("pregnant", "immune-weak"):
            found += ["no raw dough", "no soft toppings"]
            found += ["no lifting"] if need.id == "pregnant" else []
        elif need.id == "has-asthma":
            found.append("away from dust")
        elif need.kind == "coeliac":
            found.append("the room is answered for" if gluten_room else "eats nothing made here")
        elif need.kind == "allergy":
            found.append("wash and wipe first")
            found += ["no latex"] if need.id == "latex" else []
    if tools_of_their_own:
        found.append("own tools")
    return tuple(dict.fromkeys(found))


def _questions(facts: ClassNeeds, needs: Sequence[StatedNeed]) -> tuple[Question, ...]:
    found = []
    for need in needs:
        if need.kind in ("allergy", "coeliac"):
            found.append(Question("changed", need.label))
        if need.kind == "allergy" and need.severe:
            found.append(Question("carry"))
        if need.kind == "coeliac" or "gluten:wheat" in need.allergens:
            found.append(Question("room told" if facts.day.gluten_room else "air coeliac"))
        if need.kind == "allergy" and need.allergens & set(NUTS):
            found += _about(facts, ("coconut", "chestnut"), need, "coconut chestnut")
        if need.kind == "allergy" and "peanuts" in need.allergens:
            found += _about(facts, ("lupin",), need, "lupin")
        if need.kind in ("allergy", "coeliac"):
            found += _traces(facts.day)
        if need.kind == "diet":
            found.append(Question("diet", need.label))
        if need.id == "has-asthma":
            found.append(Question("inhaler"))
        if need.note:
            found.append(Question("note", need.note))
    return tuple(dict.fromkeys(found))


def _about(
    facts: ClassNeeds, allergens: tuple[str, ...], need: StatedNeed, key: str
) -> list[Question]:
    wanted = set(allergens) - need.allergens
    names = tuple(
        one.name
        for one in facts.larder.ingredients
        if one.name in facts.room and allergens_of(one) & wanted
    )
    return [Question(key, "", names)] if names else []


def own_tools(facts: ClassNeeds) -> frozenset[int]:
    """Who works with tools of their own: everybody who bakes and is allergic to anything, in the room or not, or simply everybody
    who bakes, if the class file says so."""
    return frozenset(
        index
        for index, needs in enumerate(facts.needs)
        if facts.makings[index]
        and (
            facts.day.tools_for_everyone
            or any(need.kind in ("allergy", "coeliac") for need in needs)
        )
    )


def _sittings(facts: ClassNeeds) -> list[Sitting]:
    found = []
    for index, person in enumerate(facts.day.people):
        if not facts.makings[index]:
            continue
        allergies = [need for need in facts.needs[index] if need.kind == "allergy"]
        keep_away = frozenset(
            name
            for name in facts.room
            if any(excluded_by(need, facts.larder[name]) for need in allergies)
        )
        found.append(Sitting(index, person.station, person.seat, facts.used[index], keep_away))
    return found


def register_rows(facts: ClassNeeds) -> tuple[RegisterRow, ...]:
    """Everybody who comes: first those nobody asked yet, then by station and seat. No health facts."""
    rows = [
        RegisterRow(
            index,
            person.name,
            person.station,
            person.seat,
            tuple(making.variation for making in facts.makings[index]),
            not (person.asked or person.needs),
        )
        for index, person in enumerate(facts.day.people)
        if facts.attends[index]
    ]
    return tuple(sorted(rows, key=lambda row: not row.to_ask))


def before_you_come(
    lesson: Lesson, day: ClassDay, larder: Larder, tell_days_before: int = 7
) -> BeforeYouCome:
    """What the letter says. It comes from the lesson alone and is the same whoever comes."""
    made = {making.variation for person in day.people for making in person.makes}
    made |= {making.variation for making in (*day.demonstration, *day.spare)}
    breads = [one for one in lesson.variations if one.name in made]
    names = {line.ingredient for line in lesson.base.formula.lines}
    names |= {line.ingredient for p in lesson.base.formula.preferments for line in p.lines}
    names |= {use.ingredient for use in lesson.base.uses}
    names |= {use.ingredient for one in breads for use in one.uses}
    names |= {swap.into for swap in lesson.swaps if swap.into}
    names |= {swap.into for one in breads for swap in one.swaps if swap.into}
    used = [one for one in larder.ingredients if one.name in names]
    held = frozenset[str]().union(*(allergens_of(one) for one in used))
    floury = frozenset[str]().union(
        *(allergens_of(one) for one in used if one.kind in ("flour", "starter"))
    )
    cannot = ["coeliac"] if floury & set(CEREALS) else []
    cannot += ["wheat"] if "gluten:wheat" in floury else []
    if not cannot and (day.gluten_room is None or day.gluten_room.open):
        cannot = ["not answered"]
    return BeforeYouCome(
        title=day.title,
        date=day.date,
        start_min=day.start_min,
        end_min=day.end_min,
        breads=tuple(one.name for one in breads),
        in_the_room=tuple(one for one in IDS if one in held),
        may_contain=day.may_contain,
        cannot_serve=tuple(cannot),
        tell_by=day.date - datetime.timedelta(days=tell_days_before),
    )
