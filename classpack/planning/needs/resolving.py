"""People's needs resolved: what each person makes and eats in the end, with every reason. Everything here fails closed.

The rules, in the order they are applied:

1. A need nobody understands, a person nobody asked, an ingredient nobody can vouch for: each is a problem, none a guess.
2. **Out for the whole class**: what a nut, peanut or sesame allergy excludes; what the tutor is allergic to; what the class
   file or a decision leaves out for everyone; a flour somebody is allergic to (it flies). Swapped or left out everywhere,
   demonstration and spare included.
3. **Wheat and gluten**: where a flour or starter holds them, a wheat allergy or coeliac disease is never met by a swap.
4. **One tub, one answer**: what a station or the class uses from one tub, and what ripens in a preferment, is changed for
   everyone as soon as one person who uses it must not have it.
5. **Each person**: the lesson's own swaps, else a topping or glaze left out, else a problem.
6. A change in the base dough is never spread to a shared dough for one person's sake: that person mixes alone.
7. At the end every person's final ingredients are worked out again from the changes, and looked at once more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from classpack.errors import LessonError, Problem, Spot
from classpack.food_words import read_foods, read_name
from classpack.model.class_day import ClassDay, Making
from classpack.model.class_plan import Change, Version
from classpack.model.diets import Diet
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson
from classpack.model.needs import NeedsPlan, NeedsSheet, Outcome, StatedNeed
from classpack.planning.needs.cross_contact import joined_checks, stations_carry, weigh_turns
from classpack.planning.needs.holdings import excluded_by
from classpack.planning.needs.needs_sheet import ClassNeeds, needs_sheet, own_tools, register_rows
from classpack.planning.needs.rules import Rules, decided
from classpack.planning.needs.sentences import Reader, read_sentences
from classpack.planning.needs.stated import Stated, stated
from classpack.planning.needs.traces import unsettled


def resolve(
    lesson: Lesson,
    day: ClassDay,
    larder: Larder,
    diets: tuple[Diet, ...] = (),
    keep_days: int = 30,
    language: Language = ENGLISH,
    own_words: Sequence[tuple[str, Spot]] = (),
) -> NeedsPlan:
    """What everybody makes, uses and must be asked again.

    Whatever changes an ingredient for another (another flour, another form of yeast) must have happened in ``lesson``
    before; what is printed in the end can be held against the result with :func:`last_look`.

    Args:
        diets: ways of eating the tutor defined in the class file.
        keep_days: how long after the class the needs sheet may be kept.
        own_words: lines of the tutor's own templates, which everybody gets.
        language: that of the texts, in which foods are looked for in them; needs may be written in it, beside English.

    Raises:
        LessonError: with a problem, at its place in the file, for every need that is not met.
    """
    start = stated(lesson, day, larder, diets, language)
    rules = Rules(start)
    versions: list[Version] = []
    outcomes: list[tuple[Outcome, ...]] = []
    for index, person in enumerate(day.people):
        makes = start.makings[index]
        changes, found, unmet = rules.person(index, makes)
        for one in unmet:
            before = rules.unmet.setdefault((index, one.need.id), one)
            if before is not one:
                before.add(one)
        versions.append(Version(changes))
        outcomes.append((*found, *decided(index, person, makes)))
    problems = [
        *start.problems,
        *rules.problems,
        *rules.not_met(),
        *unsettled(start, rules, _room(start, rules, versions)),
    ]
    readers = _readers(start, rules, versions)
    texts = read_sentences(lesson, larder, readers, day.region, language.code, own_words)
    problems += texts.problems
    if problems:
        raise LessonError(problems)
    facts = _facts(start, rules, tuple(versions), tuple(outcomes))
    plan = _plan(start, facts, needs_sheet(facts, keep_days))
    return replace(plan, remarks=tuple(texts.remarks))


def _readers(start: Stated, rules: Rules, versions: Sequence[Version]) -> list[Reader]:
    """Everybody who gets the texts of a bread: each person, and everybody at once (pages, demonstration, spare)."""
    lesson = start.lesson
    everyone = tuple(rules.changes.values())
    wide = tuple(ban.need for ban in rules.bans)
    both = tuple(Making(name, 1) for name in start.of if name in start.active)
    found = []
    for making in both:
        held = final_ingredients(lesson, everyone, (making,))
        found.append(Reader("", "", held, wide, everyone))
        found.append(Reader("", making.variation, held, wide, _of(everyone, making.variation)))
    for index, version in enumerate(versions):
        makes = start.makings[index]
        seat, needs = start.day.people[index].seat, (*start.needs[index], *wide)
        for making in makes:  # the dough goes into each bread, so what it names must be in each
            held = final_ingredients(lesson, version.changes, (making,))
            for name in ("", making.variation):
                changes = _of(version.changes, name)
                changed = bool(set(changes) - set(everyone))
                found.append(Reader(seat, name, held, needs, changes, changed))
    return found


def _of(changes: Iterable[Change], variation: str) -> tuple[Change, ...]:
    return tuple(change for change in changes if change.variation == variation)


def shareable(day: ClassDay) -> ClassDay:
    """The class day without anything about anybody's health or belief, for everything that is not confidential.

    Where the class file asks for first names only, whole names are gone too.
    """
    people = tuple(
        replace(person, needs=(), asked=True, decision=None, agreed=(), emergency=None)
        for person in day.people
    )
    if day.first_names_only:
        people = tuple(replace(one, name=day.first_name(one)) for one in people)
    return replace(day, people=people, tutor_needs=())


def final_ingredients(
    lesson: Lesson, changes: Sequence[Change], makings: Iterable[Making]
) -> frozenset[str]:
    """Every ingredient that is in or on what is made, bench and tin included, once ``changes`` are made.

    Changes count from the lesson as written. One for the base dough also holds for what a bread uses; of two that hold,
    the later counts.
    """
    breads = [lesson.variation(name) for name in dict.fromkeys(one.variation for one in makings)]
    if not breads:
        return frozenset()
    base = [line.ingredient for line in lesson.base.formula.lines]
    base += [line.ingredient for one in lesson.base.formula.preferments for line in one.lines]
    base += [use.ingredient for use in lesson.base.uses]
    found = {_changed(name, "", changes) for name in base}
    for bread in breads:
        found |= {_changed(use.ingredient, bread.name, changes) for use in bread.uses}
    return frozenset(found - {""})


def last_look(
    sheet: NeedsSheet,
    larder: Larder,
    used: Sequence[Iterable[str]],
    by_all: Iterable[str],
    where: Spot,
) -> tuple[Problem, ...]:
    """What is really about to be printed, against what everybody must not have.

    Args:
        used: the ingredients of each person, by index, as their card lists them; empty for who does not bake.
        by_all: ingredients of the demonstration, the spare and everything shared.
        where: for a need that has no place of its own.
    """
    needs = {one.index: one.needs for one in sheet.people}
    found: list[Problem] = []
    for index, names in enumerate(used):
        found += _still_there(names, (*needs.get(index, ()), *sheet.for_whole_class), larder, where)
    found += _still_there(by_all, sheet.for_whole_class, larder, where)
    return tuple(dict.fromkeys(found))


def names_own_allergen(
    needs: Sequence[StatedNeed], texts: Iterable[tuple[str, str]], language: str, where: Spot
) -> tuple[Problem, ...]:
    """What is about to be printed for one person, read word by word against what they must not have.

    Args:
        texts: the sheet, and a text on it.
        where: for a need that has no place of its own.
    """
    found: list[Problem] = []
    for sheet, text in dict.fromkeys(texts):
        for food in (*read_foods(text, language).foods, *read_name(text).foods):
            found += [
                Problem(
                    need.spot or where,
                    f"the need '{need.typed}' is not met: the {sheet} says '{food.said}'",
                    "nothing was printed; please report this, and leave the word out of the lesson",
                )
                for need in needs
                if need.kind != "state" and food.holds & need.allergens
            ]
    return tuple(dict.fromkeys(found))


def _still_there(
    names: Iterable[str], needs: Iterable[StatedNeed], larder: Larder, where: Spot
) -> list[Problem]:
    known = [one for name in sorted(set(names)) if (one := larder.get(name))]
    return [
        Problem(
            need.spot or where,
            f"the need '{need.typed}' is not met: {one.name} is still used",
            "nothing was printed; please report this, and leave the ingredient out of the lesson",
        )
        for need in needs
        for one in known
        if excluded_by(need, one)
    ]


def _changed(name: str, variation: str, changes: Sequence[Change]) -> str:
    into = name
    for change in changes:
        if change.out == name and change.variation in ("", variation):
            into = change.into
    return into


# ---------------------------------------------------------------- the result put together


def _room(start: Stated, rules: Rules, versions: Iterable[Version]) -> frozenset[str]:
    """Every ingredient anybody uses, demonstration and spare included."""
    tutors = (*start.day.demonstration, *start.day.spare)
    found = final_ingredients(start.lesson, tuple(rules.changes.values()), tutors)
    for version, makes in zip(versions, start.makings, strict=True):
        found |= final_ingredients(start.lesson, version.changes, makes)
    return found


def _facts(
    start: Stated,
    rules: Rules,
    versions: tuple[Version, ...],
    outcomes: tuple[tuple[Outcome, ...], ...],
) -> ClassNeeds:
    lesson, day = start.lesson, start.day
    everyone = tuple(rules.changes.values())
    tutors = (*day.demonstration, *day.spare)
    used = tuple(
        final_ingredients(lesson, version.changes, makes)
        for version, makes in zip(versions, start.makings, strict=True)
    )
    by_bread: dict[str, frozenset[str]] = {}
    batches = [
        (makes, version.changes) for makes, version in zip(start.makings, versions, strict=True)
    ]
    for makes, changes in [*batches, (tutors, everyone)]:
        for making in makes:
            names = final_ingredients(lesson, changes, (making,))
            by_bread[making.variation] = by_bread.get(making.variation, frozenset()) | names
    return ClassNeeds(
        lesson=lesson,
        day=day,
        larder=start.larder,
        needs=start.needs,
        tutor_needs=start.tutor_needs,
        makings=start.makings,
        attends=start.attends,
        versions=versions,
        for_everyone=everyone,
        outcomes=outcomes,
        used=used,
        by_tutor=final_ingredients(lesson, everyone, tutors),
        by_bread=tuple((name, by_bread[name]) for name in start.of if name in by_bread),
        whole_class=tuple((ban.index, ban.need) for ban in rules.bans),
        removals=rules.removals,
    )


def _plan(start: Stated, facts: ClassNeeds, sheet: NeedsSheet) -> NeedsPlan:
    left = last_look(sheet, facts.larder, facts.used, facts.by_tutor, start.where)
    if left:
        raise LessonError(left)
    day, everyone = facts.day, _dough(facts.for_everyone, facts.lesson)
    mixes_alone = frozenset(
        index
        for index, version in enumerate(facts.versions)
        if facts.makings[index]
        and day.mixed_by != "each person"
        and _dough(version.changes, facts.lesson) != everyone
    )
    return NeedsPlan(
        versions=facts.versions,
        makings=facts.makings,
        attends=facts.attends,
        for_everyone=facts.for_everyone,
        mixes_alone=mixes_alone,
        own_tools=own_tools(facts),
        stations=stations_carry(day, facts.used, facts.larder),
        weigh_turns=weigh_turns(facts.room, facts.larder),
        register=register_rows(facts),
        buy_checks=joined_checks(check for one in sheet.people for check in one.pack_checks),
        sheet=sheet,
    )


def _dough(changes: Iterable[Change], lesson: Lesson) -> frozenset[tuple[str, str]]:
    """The changes that alter what is mixed."""
    formula = lesson.base.formula
    mixed = {line.ingredient for line in formula.lines}
    mixed |= {line.ingredient for one in formula.preferments for line in one.lines}
    return frozenset((c.out, c.into) for c in changes if not c.variation and c.out in mixed)
