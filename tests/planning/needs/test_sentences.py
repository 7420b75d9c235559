"""Sentences against needs and against what a bread holds: worked examples of each place of a sentence, and what is left alone.

The examples are this project's own; what stops, asks or is remarked is the table of ``planning/needs/sentences.py``.
"""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import LessonError
from classpack.model.lesson import Fault, Talk
from classpack.planning.needs.holdings import stated_allergens
from classpack.planning.needs.resolving import resolve
from classpack.planning.needs.terms import LABELS
from classpack.reading.shipped_larder import package_larder
from tests.planning.needs.needs_cases import bread, day, lesson, person, step, swap, use

LARDER = package_larder()
WHITE = "strong white flour, water, fine salt, instant yeast"
RICE = "white rice flour, water, fine salt, instant yeast, psyllium husk"


def outcome(place: str, text: str, holds: str = "", need: str = "none", dough: str = WHITE) -> str:
    """``stop``, ``ask``, ``remark`` or ``nothing`` for one sentence of a bread with these toppings, for one person."""
    toppings = [name.strip() for name in holds.split(",") if name.strip()]
    name = text if place == "name" else "roll"
    steps = [step("top", *(f"{{{one}}} " for one in toppings)), step("bake", "Bake.")]
    if place == "step":
        steps.insert(0, step("top", text))
    made = bread(name, [use(one) for one in toppings], method=steps)
    if place == "keeps":
        made = dataclasses.replace(made, storage=text)
    try:
        plan = resolve(lesson(made, dough=dough), day(person(name, need)), LARDER)
    except LessonError as error:
        return "ask" if all(_asks(str(one)) for one in error.problems) else "stop"
    return "remark" if plan.remarks else "nothing"


def _asks(message: str) -> bool:
    return "which may hold" in message or "says which" in message


EXAMPLES = [
    ("step", "Spread with peanut butter.", "", "peanuts", "stop"),
    ("step", "Spread with peanut butter.", "", "milk", "stop"),
    ("step", "Brush with the beaten yolks.", "", "eggs", "stop"),
    ("step", "Finish with za'atar and crème fraîche.", "", "sesame", "stop"),
    ("step", "Stir in coconut milk.", "", "milk", "remark"),
    ("step", "Add the cream of tartar.", "cream of tartar", "milk", "nothing"),
    ("step", "Rub in the cocoa butter.", "", "milk", "nothing"),
    ("step", "Mash the butter beans.", "", "milk", "nothing"),
    ("step", "Dust the bench with flour.", "", "none", "nothing"),
    ("step", "Scatter the nuts over.", "", "none", "ask"),
    ("step", "Whisk an egg with a splash of milk and paint the buns.", "", "none", "stop"),
    ("step", "Brush with oat drink instead of milk.", "oat drink", "milk", "nothing"),
    ("step", "Leave the top plain, without egg or milk.", "", "eggs", "nothing"),
    ("step", "Serve with or without nuts.", "", "tree nuts", "ask"),
    ("step", "Fold in dairy-free chocolate chips.", "", "milk", "stop"),
    ("step", "Crumble the vegan feta on top.", "", "milk", "ask"),
    ("keeps", "Good with hazelnut spread next day.", "", "tree nuts", "stop"),
    ("keeps", "Good with hazelnut spread next day.", "", "none", "remark"),
    ("keeps", "Lovely toasted with butter.", "", "milk", "stop"),
    ("keeps", "It is gluten-free.", "", "none", "stop"),
    ("name", "walnut and raisin loaf", "raisins", "none", "stop"),
    ("name", "vegan brioche", "", "none", "nothing"),
    ("name", "vegan brioche", "whole milk", "none", "stop"),
    ("name", "seeded rolls", "", "none", "ask"),
    ("name", "seeded rolls", "pumpkin seeds", "none", "nothing"),
    ("step", "The dough should be as soft as butter.", "", "milk", "nothing"),
    ("step", "Butter the tin.", "", "none", "stop"),
    ("step", "Do not add milk.", "", "milk", "stop"),
]


@pytest.mark.parametrize(("place", "text", "holds", "need", "expected"), EXAMPLES)
def test_a_sentence_stops_asks_or_is_remarked(place, text, holds, need, expected):
    assert outcome(place, text, holds, need) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [("Use gluten-free flour for dusting.", "ask"), ("Stir the gluten-free oats into it.", "stop")],
)
def test_a_dough_of_rice_asks_about_flours(text, expected):
    assert outcome("step", text, dough=RICE) == expected


def told(one, who=None) -> list[str]:
    try:
        resolve(one, day(who or person()), LARDER)
    except LessonError as error:
        return [str(problem) for problem in error.problems]
    return []


def test_a_stop_says_the_words_the_allergen_who_is_touched_and_what_would_mend_it():
    made = bread("roll", method=[step("top", "Spread with tahini."), step("bake", "Bake.")])
    assert told(lesson(made, dough=WHITE)) == [
        "lesson.yaml:50:1: the step says 'tahini' (sesame), and roll is made without it; "
        "put '{tahini}' in braces and among the toppings, or leave the word out"
    ]


def test_a_vague_word_is_answered_by_what_the_bread_is_made_of():
    nuts = bread(
        "roll", ["walnuts"], method=[step("top", "Press the nuts in."), step("bake", "Bake.")]
    )
    assert told(lesson(nuts, dough=WHITE)) == []


def test_the_method_of_a_swap_is_read_by_whom_it_is_for():
    made = bread("roll", [use("whole milk", purpose="glaze")])
    swapped = [swap("whole milk", "water", method="Brush with almond milk or water instead.")]
    who = person("roll", ["milk", "almonds"])
    messages = told(lesson(made, dough=WHITE, swaps=swapped), who)
    assert any(
        "lesson.yaml:90:1: the swap's method says 'almond milk' (almonds)" in one
        for one in messages
    )


@pytest.mark.parametrize(
    "change",
    [
        {"about": "With walnuts on top."},
        {"storage": "Keep it next to the walnuts."},
        {"faults": (Fault("pale walnuts", "too cool"),)},
        {"many": "walnut rolls"},
    ],
)
def test_every_text_of_a_bread_is_read(change):
    made = dataclasses.replace(bread("roll"), **change)
    assert told(lesson(made, dough=WHITE), person("roll", "tree nuts"))


def test_what_others_bake_may_be_spoken_of():
    spoken = Talk("Glazes", 5, "Egg browns early.", "start")
    breads = bread("plait", [use("egg", purpose="glaze")]), bread("roll")
    where = dataclasses.replace(lesson(*breads, dough=WHITE), talks=(spoken,))
    people = person("roll", "eggs"), person("plait", number=2)
    resolve(where, day(*people), LARDER)
    with pytest.raises(LessonError, match="the talk says 'egg'"):
        resolve(where, day(person("roll", "eggs")), LARDER)


ALLERGIC = [
    (one.name, allergen)
    for one in LARDER.ingredients
    for allergen in sorted(stated_allergens(one))
    if not allergen.startswith("gluten:")
]
"""Who reacts to wheat, and mostly to rye, barley and oats too, is not seated in a room with flour at all."""
SENTENCES = ("Stir in the {}.", "Scatter {} over it", "Do not forget {}!", "then the {}, and rest")


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(ALLERGIC), st.sampled_from(SENTENCES), st.sampled_from(["step", "keeps"]))
def test_no_reader_is_told_to_use_their_own_allergen(named, sentence, place):
    name, allergen = named
    assert outcome(place, sentence.format(name), need=LABELS[allergen]) == "stop"


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(EXAMPLES),
    st.sampled_from(["milk", "eggs", "sesame", "tree nuts", "soya", "fish"]),
)
def test_a_need_never_makes_a_sentence_less_strict(example, need):
    place, text, holds, _, _ = example
    order = ["nothing", "remark", "ask", "stop"]
    free, bound = outcome(place, text, holds), outcome(place, text, holds, need)
    assert order.index(bound) >= order.index(free)


def test_a_diets_words_are_looked_for_as_well():
    steps = [step("finish", "Drizzle with honey."), step("bake", "Bake.")]
    made = lesson(bread("roll", method=steps), dough=WHITE)
    assert told(made, person("roll", "vegan")) == [
        "lesson.yaml:50:1: the step says 'honey' (vegan), and A1 must not have it; "
        "write the ingredient's name in braces, so that it follows the swap, or leave the word out"
    ]
    assert told(made, person("roll", "vegetarian")) == []
