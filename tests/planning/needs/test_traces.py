"""Traces that a class file admits, and the seven questions of a room without gluten: stopped until somebody answers."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from classpack.errors import Spot
from classpack.model.class_day import Agreement
from classpack.model.gluten_room import ROOM_QUESTIONS, GlutenRoom
from classpack.planning.needs.resolving import resolve
from tests.planning.needs.needs_cases import (
    ANSWERED,
    FILE,
    LARDER,
    bread,
    day,
    decide,
    lesson,
    person,
    said,
)

RICE = lesson(dough="rice flour, water, salt, instant yeast")
PLAIN = lesson()


def agreed(allergen: str) -> Agreement:
    return Agreement(allergen, "told what the oven room holds", datetime.date(2027, 3, 1))


# ---------------------------------------------------------------- may contain


def test_traces_of_somebodys_allergen_stop_and_say_what_may_be_decided():
    assert said(PLAIN, day(person(needs="soya"), may_contain=("soya", "lupin"))) == [
        "day.yaml:11:1: the need 'soya' of seat A1 is not settled: the class file says that what is made here may contain soya; "
        "keep it out and take it off 'may contain', or, once the person was told and agreed in writing, write 'agreed: {soya: "
        "{on: 2027-MM-DD, reason: ...}}', or write 'decision: {what: ..., reason: ...}' with watches only or does not attend"
    ]


@pytest.mark.parametrize(("need", "traces"), [("tree nuts", "nuts:almond"), ("all nuts", "peanuts"), ("sesame", "sesame"), ("shellfish", "molluscs")])  # fmt: skip
def test_a_word_for_several_allergens_is_held_against_each(need, traces):
    assert "is not settled" in said(PLAIN, day(person(needs=need), may_contain=(traces,)))[0]


def test_traces_that_were_agreed_to_print_and_let_nothing_else_in():
    who = replace(person(needs="soya"), agreed=(agreed("soya"),))
    resolve(PLAIN, day(who, may_contain=("soya",)), LARDER)
    holds = lesson(dough="strong white flour, soya flour")
    assert "soya flour (soya)" in said(holds, day(who, may_contain=("soya",)))[0]


@pytest.mark.parametrize("what", ["watches only", "does not attend"])
def test_whoever_does_not_bake_settles_traces(what):
    who = person(needs="soya", decision=decide(what))
    resolve(PLAIN, day(who, person(number=2), may_contain=("soya",)), LARDER)


def test_a_diet_is_not_stopped_by_traces():
    resolve(PLAIN, day(person(needs="vegan"), may_contain=("milk",)), LARDER)


def test_what_the_tutor_leaves_out_for_everyone_may_not_get_in():
    assert said(PLAIN, day(person(), may_contain=("soya",), leave_out=("soya",))) == [
        "day.yaml:1:1: soya is left out for everyone, and 'may contain' says that it may get in; find out who brings it in and keep "
        "it out; then take it off 'may contain'"
    ]


# ---------------------------------------------------------------- a room without gluten


@pytest.mark.parametrize("need", ["coeliac", "wheat"])
def test_without_answers_nobody_with_coeliac_disease_or_a_wheat_allergy_has_a_place(need):
    assert said(RICE, day(person(needs=need))) == [
        f"day.yaml:11:1: the need '{need}' of seat A1 is not answered for: nobody says whether this room is clean of wheat, rye, "
        "barley and ordinary oats; answer below 'without gluten:' each of no loose flour, cleaned, own tools, packs read, nothing "
        "brought in, told in writing and bread tested, as in 'cleaned: {answer: yes, by: ..., on: ...}'; or offer a class in "
        "another room, and write 'decision: {what: does not attend, reason: ...}'"
    ]
    resolve(RICE, day(person(needs=need), gluten_room=ANSWERED), LARDER)


@pytest.mark.parametrize("question", ROOM_QUESTIONS)
@pytest.mark.parametrize("answer", ["no", "not known", None])
def test_each_answer_that_is_not_yes_refuses_the_place(question, answer):
    if (question, answer) == ("bread tested", "no"):
        return  # an answer: it keeps the claim shut, not the door
    answers = tuple(
        replace(one, answer=answer) if one.question == question else one
        for one in ANSWERED.answers
        if answer or one.question != question
    )
    who = day(person(needs="coeliac"), gluten_room=GlutenRoom(answers))
    assert said(RICE, who) == [
        f"day.yaml:11:1: the need 'coeliac' of seat A1 cannot be met in this room: 'without gluten' has no yes for {question}; see to "
        "it and answer with who says so and when; or offer a class in another room, and write 'decision: {what: does not attend, "
        "reason: ...}'"
    ]


def test_traces_of_a_gluten_cereal_refuse_whatever_was_agreed():
    who = replace(person(needs="coeliac"), agreed=(agreed("gluten:wheat"),))
    assert said(RICE, day(who, may_contain=("gluten:wheat",), gluten_room=ANSWERED)) == [
        "day.yaml:11:1: the need 'coeliac' of seat A1 cannot be met in this room: the class file says that what is made here may "
        "contain wheat; offer a class in another room, and write 'decision: {what: does not attend, reason: ...}'; no agreement "
        "opens this"
    ]


def test_answers_beside_a_dough_with_gluten_contradict_it():
    rolls = lesson(bread("roll", ["barley malt syrup"]), dough="rice flour, water")
    assert said(rolls, day(person(), gluten_room=ANSWERED)) == [
        "day.yaml:40:1: 'without gluten' is answered, and the class uses barley malt syrup; take the section away, or choose a lesson "
        "whose dough holds no wheat, rye, barley or oats"
    ]


def test_whoever_watches_needs_no_answers():
    who = person(needs="coeliac", decision=decide("watches only"))
    resolve(RICE, day(who, person(number=2)), LARDER)


def test_a_tutor_with_coeliac_disease_is_asked_the_same():
    from classpack.model.class_day import MustNotHave

    tutor = (MustNotHave("coeliac", spot=Spot(FILE, 30)),)
    assert "the need 'coeliac' of the tutor is not answered for" in said(RICE, day(person(), tutor_needs=tutor))[0]  # fmt: skip
