"""What holds for every class: nobody's bread ever holds what they must not have, and more needs never make it less strict.

Classes and lessons are drawn by chance from a seed; a failing seed is named and comes back the same.
"""

from __future__ import annotations

import dataclasses
from fractions import Fraction as F
from random import Random

import pytest

from classpack.errors import LessonError
from classpack.model.allergens import IDS as ALL_IDS
from classpack.model.class_day import ClassDay, Making, MustNotHave, Person
from classpack.model.formula import FormulaLine, Preferment
from classpack.model.kitchen import Kitchen, Scale
from classpack.model.lesson import Lesson, Variation
from classpack.model.needs import RESULTS, NeedsPlan
from classpack.planning.amounts.scaling import scaled
from classpack.planning.needs.holdings import stated_allergens
from classpack.planning.needs.resolving import resolve
from classpack.reading.shipped_larder import package_larder
from tests.planning.needs.needs_cases import (
    LARDER,
    LARDER_ROWS,
    bread,
    day,
    decide,
    lesson,
    person,
    swap,
    use,
)

KITCHEN = Kitchen("a kitchen", "kitchen.yaml", (), (Scale(F(1), F(5000)), Scale(F(1, 10), F(500))))
TOPPINGS = [one.name for one in LARDER_ROWS if one.kind not in ("flour", "water", "salt", "yeast")]
DOUGH = [
    "milk",
    "butter",
    "sesame oil",
    "honey",
    "barley malt syrup",
    "rye flour",
    "soya flour",
    "lard",
    "olive oil",
]
NEEDS = [
    "sesame", "peanuts", "tree nuts", "walnuts", "almonds", "milk", "eggs", "soya", "rye", "barley", "oats", "celery",
    "sulphites", "coconut", "wheat", "coeliac", "vegan", "vegetarian", "no alcohol", "no pork", "pregnant", "immune-weak",
]  # fmt: skip
GLUTEN = {"gluten:wheat", "gluten:rye", "gluten:barley", "gluten:oats"}
NUTS = {one for row in LARDER_ROWS for one in row.allergens if one.startswith("nuts:")}
FORBIDS = {
    "sesame": {"sesame"}, "peanuts": {"peanuts"}, "tree nuts": NUTS, "walnuts": {"nuts:walnut"}, "almonds": {"nuts:almond"},
    "milk": {"milk"}, "eggs": {"eggs"}, "soya": {"soya"}, "rye": {"gluten:rye"}, "barley": {"gluten:barley"},
    "oats": {"gluten:oats"}, "celery": {"celery"}, "sulphites": {"sulphites"}, "coconut": {"coconut"},
    "wheat": {"gluten:wheat"}, "coeliac": GLUTEN, "vegan": {"milk", "eggs", "animal", "meat"}, "vegetarian": {"meat"},
    "no alcohol": {"alcohol"}, "no pork": {"pork"}, "pregnant": set(), "immune-weak": set(),
}  # fmt: skip
"""What each need forbids, written down again apart from the program: allergen ids and tags."""
WHOLE_CLASS = ("sesame", "peanuts", "tree nuts", "walnuts", "almonds")


def chance_lesson(chance: Random) -> Lesson:
    names = ["roll", "bun", "loaf", "plait"][: chance.randint(1, 4)]

    def swaps(most: int) -> list:
        found = []
        for _ in range(chance.randint(0, most)):
            out, into = chance.sample([*TOPPINGS, "soya flour", "rye flour", "rice flour"], 2)
            only = (
                chance.sample(names, chance.randint(1, len(names))) if chance.random() < 0.2 else ()
            )
            found.append(swap(out, "" if chance.random() < 0.2 else into, only_in=only))
        return found

    breads = []
    for name in names:
        uses = [
            use(
                topping,
                chance.choice(("piece", "piece", "tray", "student", "station", "class")),
                chance.choice(("topping", "topping", "glaze", "filling", "oiling")),
            )
            for topping in chance.sample(TOPPINGS, chance.randint(0, 3))
        ]
        breads.append(bread(name, uses, swaps(2)))
    flour = chance.choice(("strong white flour", "rye flour", "rice flour", "rice flour"))
    extra = [one for one in chance.sample(DOUGH, chance.randint(0, 2)) if one != flour]
    inside = [FormulaLine(one, F(2)) for one in extra if chance.random() < 0.2]
    sponge = [
        Preferment("sponge", "sponge", (FormulaLine(flour, F(20)), *inside), (F(60), F(90)), F(20))
    ]
    return lesson(
        *breads,
        dough=", ".join([flour, "water", "salt", *extra]),
        swaps=swaps(9),
        uses=[use(chance.choice(("butter", "olive oil", flour)), "student", "oiling")],
        preferments=sponge if inside else [],
    )


def chance_day(chance: Random, where: Lesson) -> ClassDay:
    names = [one.name for one in where.variations]
    people = []
    for number in range(1, chance.randint(2, 6)):
        needs = chance.sample(NEEDS, chance.choice((0, 0, 0, 1, 1, 2)))
        decision = None
        if needs and chance.random() < 0.3:
            what = chance.choice(
                ("makes", "watches only", "does not attend", "left out for everyone")
            )
            if not set(needs) - {"pregnant", "immune-weak"} and what == "left out for everyone":
                what = "watches only"  # there is nothing to leave out
            decision = decide(what, chance.choice(names) if what == "makes" else "")
        makes = chance.sample(names, chance.randint(1, min(2, len(names))))
        people.append(person(makes, needs or "none", chance.choice("AB"), number, decision))
    return day(
        *people,
        mixed_by=chance.choice(("each person", "each station", "one dough for the class")),
        demonstration=(Making(names[0], 1),) if chance.random() < 0.5 else (),
        spare=(Making(names[-1], 2),) if chance.random() < 0.3 else (),
        leave_out=(chance.choice(("walnuts", "egg", "milk")),) if chance.random() < 0.1 else (),
    )


def resolved(where: Lesson, when: ClassDay) -> NeedsPlan | None:
    try:
        return resolve(where, when, LARDER)
    except LessonError:
        return None


def held(names: frozenset[str]) -> set[str]:
    """What a set of ingredients holds by the larder's own word, names that say more among it."""
    rows = [one for one in LARDER_ROWS if one.name in names]
    found = {what for one in rows for what in (*one.allergens, *one.tags)}
    return found | {"sesame" for one in rows if "sesame" in one.name}


def printed(
    where: Lesson, when: ClassDay, plan: NeedsPlan
) -> tuple[list[frozenset[str]], frozenset[str]]:
    """The ingredients on every student's card, as the scaler weighs them, and those of demonstration and spare."""
    result, problems = scaled(
        where, when, KITCHEN, LARDER, plan.makings, plan.versions,
        plan.for_everyone, plan.for_everyone, plan.mixes_alone,
    )  # fmt: skip
    assert not problems
    units = {unit.key: unit for unit in result.units}

    def lines(key: str) -> list[str]:
        found = []
        for line in units[key].lines if key in units else ():
            found += lines(line.ingredient) if line.ingredient in units else [line.ingredient]
        return found

    shared = [line.ingredient for line in result.shared]
    by_station = {
        one.station.name: [line.ingredient for line in one.shared] for one in result.stations
    }
    cards = []
    for one in result.people:
        names = lines(one.unit) if one.unit else []
        names += [line.ingredient for portion in one.portions for line in portion.toppings]
        names += [line.ingredient for line in one.dusting]
        if names:
            breads = {portion.variation for portion in one.portions}
            tubs = _tubs(where, breads)
            names += [name for name in (*by_station[one.person.station], *shared) if name in tubs]
        cards.append(frozenset(names))
    tutor = [name for batch in result.batches for name in lines(batch.unit)]
    tutor += [
        line.ingredient
        for batch in result.batches
        for line in (*batch.dusting, *(t for portion in batch.portions for t in portion.toppings))
    ]
    return cards, frozenset((*tutor, *shared))


def _tubs(where: Lesson, breads: set[str]) -> set[str]:
    """Everything that may stand in a shared tub of these breads: what the lesson names and what swaps lead to."""
    names = {
        one.ingredient
        for bread_ in where.variations
        if bread_.name in breads
        for one in bread_.uses
        if one.per in ("station", "class")
    }
    others = {
        one.ingredient
        for bread_ in where.variations
        if bread_.name not in breads
        for one in bread_.uses
        if one.per in ("station", "class")
    }
    swaps = [*where.swaps, *(s for one in where.variations for s in one.swaps)]
    for _ in range(len(swaps)):
        names |= {one.into for one in swaps if one.out in names and one.into}
    return names - others


def breaches(
    when: ClassDay, plan: NeedsPlan, cards: list[frozenset[str]], tutor: frozenset[str]
) -> list[str]:
    """Every time somebody's bread, or the room, holds what it must not."""
    found = []
    room = held(frozenset(tutor.union(*cards)))
    for index, one in enumerate(when.people):
        for need in one.needs if plan.attends[index] else ():
            bad = held(cards[index]) & FORBIDS[need.name]
            if bad:
                found.append(f"{need.name} at seat {one.seat}: {bad}")
            if need.name in WHOLE_CLASS and room & FORBIDS[need.name]:
                found.append(f"{need.name} at seat {one.seat}: in the room")
            if (
                need.name in ("coeliac", "wheat")
                and plan.makings[index]
                and room & FORBIDS[need.name]
            ):
                found.append(f"{need.name} at seat {one.seat}: in the air")
    return found


@pytest.mark.parametrize("start", range(0, 2000, 500))
def test_no_students_card_ever_lists_what_they_must_not_have(start):
    done = 0
    for seed in range(start, start + 500):
        chance = Random(seed)
        where = chance_lesson(chance)
        when = chance_day(chance, where)
        plan = resolved(where, when)
        if plan is not None:
            done += 1
            assert not breaches(when, plan, *printed(where, when, plan)), f"seed {seed}"
    assert done > 150


def rank(plan: NeedsPlan) -> dict[tuple[int, str], int]:
    return {
        (outcome.index, outcome.variation): RESULTS.index(outcome.result)
        for one in plan.sheet.people
        for outcome in one.outcomes
    }


@pytest.mark.parametrize("start", range(5000, 6500, 500))
def test_one_need_more_never_makes_a_result_less_strict(start):
    compared = 0
    for seed in range(start, start + 500):
        chance = Random(seed)
        where = chance_lesson(chance)
        when = chance_day(chance, where)
        index = chance.randrange(len(when.people))
        before, after = (
            resolved(where, when),
            resolved(where, more(when, index, chance.choice(NEEDS))),
        )
        if after is None:
            continue
        assert before is not None, f"seed {seed}: one need more solved the class"
        compared += 1
        was, now = rank(before), rank(after)
        assert all(now[key] >= was[key] for key in was), f"seed {seed}"
        gone = {one.ingredient for one in before.sheet.removals}
        assert gone <= {one.ingredient for one in after.sheet.removals}, f"seed {seed}"
        assert before.own_tools <= after.own_tools, f"seed {seed}"
    assert compared > 100


def more(when: ClassDay, index: int, need: str) -> ClassDay:
    """The same class, in which one person has one need more."""
    people: list[Person] = list(when.people)
    one = people[index]
    people[index] = dataclasses.replace(one, needs=(*one.needs, MustNotHave(need, spot=one.spot)))
    return dataclasses.replace(when, people=tuple(people))


def test_who_needs_nothing_bakes_the_lesson_as_it_is_written_unless_the_class_goes_without():
    for seed in range(9000, 9300):
        chance = Random(seed)
        where = chance_lesson(chance)
        plan = resolved(where, chance_day(chance, where))
        if plan is None:
            continue
        for index, version in enumerate(plan.versions):
            if all(one.index != index for one in plan.sheet.people):
                allowed = set(plan.for_everyone)
                assert set(version.changes) <= allowed, f"seed {seed}"


def test_the_order_of_people_changes_nothing_for_them():
    for seed in range(9500, 9700):
        chance = Random(seed)
        where = chance_lesson(chance)
        when = chance_day(chance, where)
        plan = resolved(where, when)
        turned = resolved(where, dataclasses.replace(when, people=when.people[::-1]))
        assert (plan is None) == (turned is None), f"seed {seed}"
        if plan and turned:
            assert plan.versions == turned.versions[::-1], f"seed {seed}"


SHIPPED = package_larder().ingredients
SAYINGS = (
    "Stir in the {}.",
    "Scatter {} over it",
    "Serve with {}, still warm",
    "Do not forget the {}!",
)
PLACES = ("text", "head", "ready_when", "meanwhile", "storage")


@pytest.mark.parametrize("start", range(20000, 22000, 500))
def test_no_sentence_tells_anybody_to_use_their_own_allergen(start):
    """Of every class that can be made: the bare name of what somebody must not have, in any text of their bread, stops it."""
    tried = 0
    for seed in range(start, start + 500):
        chance = Random(seed)
        where = chance_lesson(chance)
        when = chance_day(chance, where)
        plan = resolved(where, when)
        bound = [
            (index, need.name)
            for index, one in enumerate(when.people)
            for need in one.needs
            if plan and plan.makings[index] and FORBIDS[need.name] & set(ALL_IDS)
        ]
        if not bound:
            continue
        index, need = chance.choice(bound)
        name = chance.choice([one.name for one in SHIPPED if stated_allergens(one) & FORBIDS[need]])
        making = chance.choice(plan.makings[index])
        spoken = said_in(where, making.variation, chance.choice(SAYINGS).format(name), chance)
        assert resolved(spoken, when) is None, f"seed {seed}: {name} is said to {need}"
        tried += 1
    assert tried > 50


def said_in(where: Lesson, variation: str, sentence: str, chance: Random) -> Lesson:
    """The lesson with a sentence more, somewhere in the texts of one bread."""
    place = chance.choice(PLACES)

    def spoken(one: Variation) -> Variation:
        if one.name != variation:
            return one
        if place == "storage":
            return dataclasses.replace(one, storage=sentence)
        more_said = {place: (sentence,) if place == "text" else sentence}
        at = chance.randrange(len(one.method))
        steps = [
            dataclasses.replace(step, **more_said) if number == at else step
            for number, step in enumerate(one.method)
        ]
        return dataclasses.replace(one, method=tuple(steps))

    return dataclasses.replace(where, variations=tuple(map(spoken, where.variations)))
