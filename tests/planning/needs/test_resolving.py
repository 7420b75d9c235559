"""People's needs: what is swapped, left out, refused, and how it is said."""

from __future__ import annotations

import dataclasses
from fractions import Fraction as F

import pytest

from classpack.errors import LessonError, Spot
from classpack.model.class_day import Making, MustNotHave
from classpack.model.class_plan import Change
from classpack.model.formula import FormulaLine, Preferment
from classpack.model.larder import Larder
from classpack.model.method import Step
from classpack.model.needs import NeedsPlan, Question
from classpack.planning.needs.needs_sheet import ASK_EVERYBODY
from classpack.planning.needs.resolving import final_ingredients, last_look, resolve, shareable
from tests.planning.needs.needs_cases import (
    ANSWERED,
    LARDER,
    LARDER_ROWS,
    bread,
    day,
    decide,
    ingredient,
    lesson,
    person,
    said,
    step,
    swap,
    use,
)
from tests.privacy import assert_nowhere, needs_words

SEEDED = bread("seeded roll", ["sesame seeds"], [swap("sesame seeds", "poppy seeds")])
PLAIN = bread("roll")


def results(plan: NeedsPlan, index: int = 0) -> list[tuple[str, str]]:
    """What became of each bread of one person."""
    (one,) = (p for p in plan.sheet.people if p.index == index)
    return [(outcome.variation, outcome.result) for outcome in one.outcomes]


def used(plan: NeedsPlan, where: object, index: int = 0) -> frozenset[str]:
    return final_ingredients(where, plan.versions[index].changes, plan.makings[index])  # type: ignore[arg-type]


# ---------------------------------------------------------------- one person


def test_what_holds_nothing_excluded_is_fine():
    plan = resolve(lesson(), day(person(needs="milk")), LARDER)
    assert results(plan) == [("roll", "fine")]
    assert plan.versions[0].changes == plan.for_everyone == ()


def test_the_lessons_swap_is_used_with_its_ratio_and_method():
    milky = bread(
        "roll",
        [use("milk", purpose="glaze")],
        [swap("milk", "rice drink", F(9, 10), "Brush twice.")],
    )
    plan = resolve(lesson(milky), day(person(needs="milk"), person(number=2)), LARDER)
    assert plan.versions[0].changes == (
        Change("milk", "rice drink", F(9, 10), "Brush twice.", "roll"),
    )
    assert plan.versions[1].changes == ()
    (reason,) = plan.sheet.people[0].outcomes[0].reasons
    assert (reason.ingredient, reason.holds, reason.variation) == ("milk", "milk", "roll")
    assert (reason.action, reason.into, reason.for_everyone) == ("swapped", "rice drink", False)


def test_a_topping_without_a_swap_is_left_out():
    plan = resolve(lesson(bread("roll", ["mozzarella"])), day(person(needs="milk")), LARDER)
    assert results(plan) == [("roll", "left out")]
    assert plan.versions[0].changes == (Change("mozzarella", "", F(0), "", "roll"),)


def test_a_filling_is_left_out_only_when_the_lesson_says_so():
    filled = bread("roll", [use("mozzarella", purpose="filling")])
    allowed = bread("roll", [use("mozzarella", purpose="filling")], [swap("mozzarella")])
    who = day(person(needs="milk"))
    assert said(lesson(filled), who) == [
        "day.yaml:11:1: the need 'milk' of seat A1 is not met: mozzarella (milk) in the roll: the lesson has no swap for it; "
        "add a swap to the lesson, or write 'decision: {what: ..., reason: ...}' with watches only, does not attend or left out for everyone"
    ]
    assert results(resolve(lesson(allowed), who, LARDER)) == [("roll", "left out")]


def test_what_the_bread_is_named_for_is_not_silently_left_out():
    cheesy = bread("cheese roll", ["mozzarella"], stressed=["mozzarella"])
    assert "is not met" in said(lesson(cheesy), day(person("cheese roll", "milk")))[0]


def test_a_swap_that_brings_the_same_allergen_back_is_no_way_out():
    dough = "strong white flour, milk"
    where = lesson(dough=dough, swaps=[swap("milk", "goat's milk")])
    assert said(where, day(person(needs="dairy"))) == [
        "day.yaml:11:1: the need 'dairy' of seat A1 is not met: milk (milk) in the base dough: the swap to goat's milk brings milk "
        "and a dough's own ingredient cannot be left out; add a swap to the lesson, or write 'decision: {what: ..., reason: ...}' "
        "with watches only or does not attend"
    ]


def test_a_chain_of_swaps_is_followed_its_ratios_multiplied_and_its_last_method_kept():
    swaps = [
        swap("butter", "margarine", F(1), "Soften."),
        swap("margarine", "olive oil", F(4, 5), "Pour."),
    ]
    plan = resolve(
        lesson(dough="strong white flour, butter", swaps=swaps), day(person(needs="milk")), LARDER
    )
    assert plan.versions[0].changes == (Change("butter", "olive oil", F(4, 5), "Pour.", ""),)


def test_a_circle_of_swaps_ends_and_solves_nothing():
    swaps = [swap("butter", "margarine"), swap("margarine", "milk"), swap("milk", "butter")]
    (message,) = said(
        lesson(dough="strong white flour, butter", swaps=swaps), day(person(needs="milk"))
    )
    assert "the swap to margarine brings milk, the swap to milk brings milk" in message


def test_a_swap_of_one_bread_does_not_hold_for_another():
    only = [swap("milk", "rice drink", only_in=["roll"])]
    where = lesson(PLAIN, bread("bun"), dough="strong white flour, milk", swaps=only)
    assert results(resolve(where, day(person("roll", "milk")), LARDER)) == [("roll", "swapped")]
    (message,) = said(where, day(person(["roll", "bun"], "milk")))
    assert "milk (milk) in the base dough: the lesson has no swap for it" in message


def test_a_vegan_swap_that_brings_nuts_does_not_come_into_a_class_with_a_nut_allergy():
    swaps = [swap("milk", "almond drink"), swap("milk", "oat drink")]
    where = lesson(dough="strong white flour, milk", swaps=swaps)
    alone = resolve(where, day(person(needs="vegan")), LARDER)
    beside = resolve(where, day(person(needs="vegan"), person(needs="almonds", number=2)), LARDER)
    assert [change.into for change in alone.versions[0].changes] == ["almond drink"]
    assert [change.into for change in beside.versions[0].changes] == ["oat drink"]


def test_an_ingredient_whose_pack_needs_no_check_is_preferred_and_the_rest_is_flagged():
    swaps = [swap("butter", "baking block"), swap("butter", "olive oil")]
    dough = "strong white flour, butter"
    plan = resolve(lesson(dough=dough, swaps=swaps), day(person(needs="milk")), LARDER)
    assert [change.into for change in plan.versions[0].changes] == ["olive oil"]
    plan = resolve(lesson(dough=dough, swaps=swaps[:1]), day(person(needs="milk")), LARDER)
    (check,) = plan.sheet.people[0].pack_checks
    assert (check.ingredient, check.allergens) == ("baking block", ("milk",))
    assert plan.buy_checks == (check,)


# ---------------------------------------------------------------- the whole class


@pytest.mark.parametrize("need", ["sesame", "tahini", "allergic to sesame", "sesame allergy"])
def test_sesame_goes_out_for_the_whole_class(need):
    where = lesson(SEEDED, PLAIN)
    who = day(
        person("roll", need),
        person("seeded roll", number=2),
        demonstration=(Making("seeded roll", 1),),
        spare=(Making("seeded roll", 2),),
    )
    plan = resolve(where, who, LARDER)
    assert plan.for_everyone == (Change("sesame seeds", "poppy seeds", F(1), "", "seeded roll"),)
    assert plan.versions[1].changes == plan.for_everyone
    (removal,) = plan.sheet.removals
    assert (removal.ingredient, removal.into, removal.why) == (
        "sesame seeds",
        "poppy seeds",
        ("sesame",),
    )
    assert "sesame" not in {allergen for one in plan.stations for allergen in one.allergens}


def test_who_only_watches_takes_nuts_out_of_the_room_too():
    where = lesson(bread("roll", ["walnuts"]))
    who = day(person(needs="walnuts", decision=decide("watches only")), person(number=2))
    plan = resolve(where, who, LARDER)
    assert plan.for_everyone == (Change("walnuts", "", F(0), "", "roll"),)
    assert plan.makings[0] == ()
    assert plan.attends == (True, True)


def test_who_stays_away_changes_nothing():
    where = lesson(bread("roll", ["walnuts"]))
    plan = resolve(
        where,
        day(person(needs="nuts?", decision=decide("does not attend")), person(number=2)),
        LARDER,
    )
    assert plan.for_everyone == ()
    assert plan.attends == (False, True)
    assert [row.index for row in plan.register] == [1]


def test_sesame_in_a_shared_dough_without_a_swap_stops_the_class():
    where = lesson(PLAIN, dough="strong white flour, sesame oil")
    assert said(where, day(person(needs="sesame"), person(number=2))) == [
        "day.yaml:11:1: the need 'sesame' of seat A1 is not met: sesame oil (sesame) in the base dough cannot be taken out for everyone: "
        "the lesson has no swap for it and a dough's own ingredient cannot be left out; add a swap to the lesson, or take the breads "
        "that hold it out of the class, or write 'decision: {what: does not attend, reason: ...}'"
    ]


def test_the_tutors_allergy_goes_for_everyone():
    where = lesson(bread("roll", ["mozzarella"]))
    plan = resolve(where, day(person(), tutor_needs=(MustNotHave("milk"),)), LARDER)
    assert plan.for_everyone == (Change("mozzarella", "", F(0), "", "roll"),)
    assert plan.sheet.people[0].index == -1


def test_one_line_leaves_something_out_for_everyone():
    where = lesson(bread("roll", [use("walnuts", purpose="filling")]), bread("bun", ["mozzarella"]))
    plan = resolve(where, day(person(), leave_out=("tree nuts", "mozzarella")), LARDER)
    assert {(change.out, change.into) for change in plan.for_everyone} == {
        ("walnuts", ""),
        ("mozzarella", ""),
    }
    assert said(where, day(person(), leave_out=("wallnuts",)))[0].startswith(
        "day.yaml:1:1: 'wallnuts' is left out for everyone, and is neither an ingredient nor an allergen known here; write an "
        "ingredient of the larder, or one of: wheat, rye,"
    )
    assert said(where, day(person(), leave_out=("wheat",))) == [
        "day.yaml:1:1: 'wheat' cannot be left out for everyone: strong white flour (wheat) in the base dough cannot be taken out "
        "for everyone: the lesson has no swap for it and a dough's own ingredient cannot be left out; add a swap to the lesson, or "
        "take the breads that hold it out of the class"
    ]


def test_a_flour_somebody_is_allergic_to_goes_for_everyone_because_it_flies():
    where = lesson(dough="strong white flour, soya flour", swaps=[swap("soya flour", "rice flour")])
    plan = resolve(where, day(person(needs="soya"), person(number=2)), LARDER)
    assert [change.into for change in plan.for_everyone] == ["rice flour"]


def test_a_swap_brings_no_flour_that_somebody_else_is_allergic_to():
    where = lesson(
        bread("roll", ["milk"], [swap("milk", "soya flour"), swap("milk", "rice drink")])
    )
    alone = resolve(where, day(person(needs="milk")), LARDER)
    beside = resolve(where, day(person(needs="milk"), person(needs="soya", number=2)), LARDER)
    assert [change.into for change in alone.versions[0].changes] == ["soya flour"]
    assert [change.into for change in beside.versions[0].changes] == ["rice drink"]


def test_one_tub_for_a_station_is_changed_for_everyone_who_uses_it():
    glazed = bread(
        "roll", [use("egg", "station", "glaze")], [swap("egg", "milk"), swap("egg", "olive oil")]
    )
    who = day(person(needs="eggs"), person(needs="milk", number=2), person(number=3))
    plan = resolve(lesson(glazed), who, LARDER)
    assert plan.for_everyone == (Change("egg", "olive oil", F(1), "", "roll"),)


def test_a_preferment_is_mixed_for_all_so_its_ingredients_change_for_all():
    sponge = Preferment("sponge", "sponge", (FormulaLine("milk", F(20)),), (F(60), F(90)), F(20))
    where = lesson(
        dough="strong white flour, milk", preferments=[sponge], swaps=[swap("milk", "rice drink")]
    )
    plan = resolve(where, day(person(needs="milk"), person(number=2)), LARDER)
    assert [change.into for change in plan.for_everyone] == ["rice drink"]


# ---------------------------------------------------------------- wheat


@pytest.mark.parametrize("need", ["coeliac", "gluten", "celiac disease", "gluten-free"])
def test_coeliac_disease_is_never_met_by_a_swap_in_a_wheat_room(need):
    where = lesson(swaps=[swap("strong white flour", "rice flour")])
    assert said(where, day(person(needs=need))) == [
        f"day.yaml:11:1: the need '{need}' of seat A1 cannot be met in this room: there is strong white flour (wheat) in the air and on "
        "every bench, and no swap mends that; offer a class in a room without it, and write 'decision: {what: does not attend, "
        "reason: ...}'; they may also choose 'watches only', knowing of the flour in the air"
    ]


@pytest.mark.parametrize("need", ["wheat", "spelt", "durum wheat"])
def test_a_wheat_allergy_is_not_met_by_watching_either(need):
    (message,) = said(lesson(), day(person(needs=need, decision=decide("watches only"))))
    assert message.endswith("write 'decision: {what: does not attend, reason: ...}'")
    resolve(
        lesson(), day(person(needs=need, severity="mild", decision=decide("watches only"))), LARDER
    )


@pytest.mark.parametrize("what", ["makes", "left out for everyone"])
def test_no_decision_puts_wheat_before_a_coeliac(what):
    decision = decide(what, "roll" if what == "makes" else "")
    (message,) = said(lesson(), day(person(needs="coeliac", decision=decision)))
    assert "cannot be met in this room" in message


def test_spelt_is_wheat_and_wheat_free_rye_still_holds_gluten():
    rye = lesson(dough="rye flour, water")
    assert "spelt flour (wheat)" in said(lesson(dough="spelt flour"), day(person(needs="wheat")))[0]
    assert "nobody says whether this room is clean" in said(rye, day(person(needs="wheat")))[0]
    assert "rye flour (rye)" in said(rye, day(person(needs="coeliac")))[0]


def test_barley_malt_in_a_rice_dough_is_found_for_a_coeliac():
    where = lesson(dough="rice flour, barley malt syrup")
    assert "barley malt syrup (barley)" in said(where, day(person(needs="coeliac")))[0]
    swapped = lesson(
        dough="rice flour, barley malt syrup", swaps=[swap("barley malt syrup", "golden syrup")]
    )
    plan = resolve(
        swapped, day(person(needs="coeliac"), person(number=2), gluten_room=ANSWERED), LARDER
    )
    assert [change.into for change in plan.for_everyone] == ["golden syrup"]


def test_a_swap_brings_no_wheat_flour_into_a_room_without():
    where = lesson(
        bread("roll", ["milk"], [swap("milk", "spelt flour")]), dough="rice flour, water"
    )
    who = day(person(needs="coeliac"), person(needs="milk", number=2), gluten_room=ANSWERED)
    plan = resolve(where, who, LARDER)
    assert plan.versions[1].changes == (Change("milk", "", F(0), "", "roll"),)


# ---------------------------------------------------------------- traps of the lists


@pytest.mark.parametrize(
    ("need", "held"),
    [
        ("celery", "celery salt"),
        ("sulphites", "dried apricots"),
        ("sesame", "sesame oil"),
        ("milk", "butter"),
        ("milk", "margarine"),
        ("eggs", "egg"),
        ("tree nuts", "pine nuts"),  # no EU or UK list has them, the US and AU/NZ lists do
        ("coconut", "coconut"),
        ("sesame", "sesame crackers"),  # its own entry says 'none'; its name says more
        ("vegan", "honey"),
        ("vegetarian", "lard"),
        ("no pork or lard", "lard"),
        ("no alcohol", "rum"),
    ],
)
@pytest.mark.parametrize("region", ["UK", "US", "AU"])
def test_what_is_easily_overlooked_is_left_out(need, held, region):
    where = lesson(bread("roll", [held]))
    plan = resolve(where, day(person(needs=need), region=region), LARDER)
    assert held not in used(plan, where)


def test_coconut_and_lupin_are_asked_about_not_taken_for_nuts_or_peanuts():
    where = lesson(bread("roll", ["coconut"]), dough="strong white flour, lupin flour")
    plan = resolve(where, day(person(needs=["tree nuts", "peanuts"])), LARDER)
    (one,) = plan.sheet.people
    assert Question("coconut chestnut", "", ("coconut",)) in one.questions
    assert Question("lupin", "", ("lupin flour",)) in one.questions


def test_pregnancy_keeps_soft_cheese_off_unless_it_is_baked():
    baked = bread("baked", ["blue cheese"])
    after = bread(
        "after",
        ["blue cheese"],
        method=[step("bake", "Bake."), step("finish", "Crumble ", "{blue cheese}")],
    )
    unsaid = bread("unsaid", ["blue cheese"], method=[step("bake", "Bake.")])
    where = lesson(baked, after, unsaid)
    plan = resolve(where, day(person(["baked", "after", "unsaid"], "pregnant")), LARDER)
    assert results(plan) == [("baked", "fine"), ("after", "left out"), ("unsaid", "left out")]
    assert plan.sheet.health_groups == {"pregnant"}
    assert plan.sheet.people[0].notes == ("no raw dough", "no soft toppings", "no lifting")


def test_weak_immunity_keeps_every_chilled_topping_off_after_the_bake():
    method = [step("bake", "Bake."), step("finish", "Tear ", "{mozzarella}")]
    where = lesson(bread("roll", ["mozzarella"], method=method))
    assert results(resolve(where, day(person(needs="weak immune system")), LARDER)) == [
        ("roll", "left out")
    ]
    assert results(resolve(where, day(person(needs="pregnant")), LARDER)) == [("roll", "fine")]


# ---------------------------------------------------------------- shared doughs


@pytest.mark.parametrize("mixed_by", ["each station", "one dough for the class"])
def test_a_change_in_a_shared_dough_means_mixing_alone(mixed_by):
    where = lesson(dough="strong white flour, milk", swaps=[swap("milk", "rice drink")])
    who = day(person(needs="vegan"), person(number=2), mixed_by=mixed_by)
    assert resolve(where, who, LARDER).mixes_alone == {0}
    each = dataclasses.replace(who, mixed_by="each person")
    assert resolve(where, each, LARDER).mixes_alone == frozenset()


def test_a_change_of_a_topping_does_not_mean_mixing_alone():
    where = lesson(bread("roll", ["mozzarella"]))
    who = day(person(needs="milk"), person(number=2), mixed_by="each station")
    assert resolve(where, who, LARDER).mixes_alone == frozenset()


def test_a_change_for_everyone_is_shared_by_everyone():
    where = lesson(dough="strong white flour, sesame oil", swaps=[swap("sesame oil", "olive oil")])
    who = day(person(needs="sesame"), person(number=2), mixed_by="each station")
    plan = resolve(where, who, LARDER)
    assert plan.mixes_alone == frozenset()
    assert plan.versions[0].changes == plan.versions[1].changes == plan.for_everyone


# ---------------------------------------------------------------- decisions


def test_something_else_is_made_and_the_reason_kept():
    where = lesson(bread("brioche", [use("egg", purpose="filling")]), PLAIN)
    plan = resolve(where, day(person("brioche", "eggs", decision=decide("makes", "roll"))), LARDER)
    assert plan.makings[0] == (Making("roll", 4),)
    assert results(plan) == [("roll", "fine"), ("brioche", "makes something else")]
    assert plan.sheet.people[0].outcomes[1].reasons[0].decided == "talked about it on the phone"


def test_a_decision_to_make_something_else_is_checked_like_everything():
    where = lesson(
        bread("brioche", [use("egg", purpose="filling")]),
        bread("bun", [use("egg", purpose="filling")]),
    )
    (message,) = said(where, day(person("brioche", "eggs", decision=decide("makes", "bun"))))
    assert message.startswith(
        "day.yaml:11:1: the need 'eggs' of seat A1 is not met: egg (eggs) in the bun"
    )


def test_the_message_names_the_breads_that_would_do():
    where = lesson(bread("brioche", [use("egg", purpose="filling")]), PLAIN, bread("pizza"))
    assert said(where, day(person("brioche", "eggs"))) == [
        "day.yaml:11:1: the need 'eggs' of seat A1 is not met: egg (eggs) in the brioche: the lesson has no swap for it; add a swap "
        "to the lesson, or write 'decision: {makes: roll, reason: ...}' (pizza would do too), or write 'decision: {what: ..., "
        "reason: ...}' with watches only, does not attend or left out for everyone"
    ]


def test_left_out_for_everyone_settles_a_filling_and_needs_a_need():
    where = lesson(bread("roll", [use("egg", purpose="filling")]))
    plan = resolve(
        where,
        day(person(needs="eggs", decision=decide("left out for everyone")), person(number=2)),
        LARDER,
    )
    assert plan.for_everyone == (Change("egg", "", F(0), "", "roll"),)
    assert said(where, day(person(decision=decide("left out for everyone")))) == [
        "day.yaml:99:1: the decision leaves out for everyone what this person must not have, and no such need is stated; "
        "write what they must not have below 'needs:', or take the decision away"
    ]


# ---------------------------------------------------------------- what is not said


def test_nobody_asked_stops_the_class_unless_they_are_asked_at_the_door():
    who = day(person(needs=None), person(number=2))
    assert said(lesson(), who) == [
        "day.yaml:11:1: nobody asked the person at seat A1 about allergies and diets; ask, and write 'needs: none' or what they must "
        "not have; or write 'ask at the door: yes' for the class"
    ]
    plan = resolve(
        lesson(), dataclasses.replace(who, people=who.people[::-1], ask_at_the_door=True), LARDER
    )
    assert [(row.index, row.to_ask) for row in plan.register] == [(1, True), (0, False)]
    assert plan.sheet.people[0].questions == ASK_EVERYBODY


def test_an_ingredient_nobody_vouches_for_cannot_be_used():
    where = lesson(bread("roll", ["mystery paste"]))
    assert said(where, day(person())) == [
        "lesson.yaml:30:1: nobody says which allergens 'mystery paste' holds: it is not in the larder; "
        "add it to your larder with its allergens, or 'allergens: none'"
    ]


def test_an_allergen_the_program_does_not_know_is_not_passed_over():
    larder = Larder((*LARDER_ROWS, ingredient("muesli", "nuts", spot=Spot("larder.yaml", 7))))
    (message,) = said(lesson(bread("roll", ["muesli"])), day(person()), larder)
    assert message.startswith(
        "larder.yaml:7:1: muesli states the allergen 'nuts', which is not known here; write it as one of: gluten:wheat,"
    )


def test_none_beside_a_need_is_a_contradiction():
    assert said(lesson(), day(person(needs=["none", "sesame"]))) == [
        "day.yaml:11:1: 'none' stands beside other needs; ask again, and write either 'none' or what the person must not have"
    ]


def test_every_problem_is_told_at_once():
    where = lesson(bread("roll", [use("egg", purpose="filling")]))
    who = day(
        person(needs="eggs"),
        person(needs="nuts?", number=2),
        person(needs=None, number=3),
        person(needs="coeliac", number=4),
    )
    assert [message.split(": ")[0] for message in said(where, who)] == [
        f"day.yaml:1{n}:1" for n in (1, 2, 3, 4)
    ]


def test_a_step_that_names_what_is_left_out_in_so_many_words_is_a_problem():
    method = [step("top", "Scatter the sesame over ", "{poppy seeds}"), step("bake", "Bake.")]
    where = lesson(bread("roll", ["poppy seeds"], method=method))
    assert said(where, day(person(needs="sesame"))) == [
        "lesson.yaml:50:1: the step says 'sesame' (sesame), and the class goes without it; "
        "put '{sesame}' in braces and among the toppings, or leave the word out"
    ]
    assert said(where, day(person(needs="milk"))) == [
        "lesson.yaml:50:1: the step says 'sesame' (sesame), and roll is made without it; "
        "put '{sesame}' in braces and among the toppings, or leave the word out"
    ]


@pytest.mark.parametrize(
    "spoken",
    [
        dataclasses.replace(step("load", "Slide it in."), ready_when="the cheese bubbles"),
        dataclasses.replace(step("top", "Spread it."), head="Cheese on"),
        step("take out", "Lift it out before the cheese browns."),
        step("cool", "Leave it until the cheese has set."),
    ],
)
def test_no_head_cue_or_oven_step_names_what_is_left_out_either(spoken: Step) -> None:
    where = lesson(bread("roll", ["poppy seeds"], method=[spoken, step("bake", "Bake.")]))
    (message,) = said(where, day(person(needs="milk")))
    assert "the step says 'cheese' (milk), and A1 must not have it" in message


# ---------------------------------------------------------------- the sheet, and what may leave it


def test_the_sheet_says_what_else_in_the_room_is_not_for_tasting():
    where = lesson(bread("roll", ["mozzarella"]), bread("bun", ["egg"]))
    plan = resolve(
        where,
        day(person("roll", "milk"), person("roll", number=2), person("bun", number=3)),
        LARDER,
    )
    assert [(one.variation, one.holds) for one in plan.sheet.people[0].not_to_taste] == [
        ("roll", ("milk",))
    ]


def test_the_sheet_is_deleted_thirty_days_after_the_class_unless_said():
    assert str(resolve(lesson(), day(person()), LARDER).sheet.delete_by) == "2027-04-12"
    assert (
        str(resolve(lesson(), day(person()), LARDER, keep_days=7).sheet.delete_by) == "2027-03-20"
    )


def test_nothing_confidential_stands_in_the_shareable_half():
    where = lesson(bread("roll", ["mozzarella"]))
    who = day(
        person(needs="milk", severity="anaphylaxis", note="carries two pens"), person(number=2)
    )
    plan = resolve(where, who, LARDER)
    assert "pens" not in repr(plan)
    assert "anaphylaxis" not in repr(plan)
    assert "pens" not in repr(shareable(who))
    assert "'milk'" not in repr(shareable(who))
    assert plan.own_tools == {0}


def test_packs_in_the_whole_room_are_checked_for_what_the_class_goes_without():
    where = lesson(bread("roll", ["sunflower seeds"]), bread("bun"))
    plan = resolve(where, day(person("bun", "sesame"), person("roll", number=2)), LARDER)
    (check,) = plan.buy_checks
    assert (check.ingredient, check.allergens) == ("sunflower seeds", ("sesame",))
    assert check.hint == "cross-contact with sesame"


def test_confidential_words_are_found_when_they_leak_and_only_then():
    who = day(
        person(needs="milk", note="carries two pens", name="Ada Lindqvist"),
        person(needs="vegan", number=2, decision=decide("makes", "roll")),
    )
    plan = resolve(lesson(), who, LARDER)
    words = needs_words(plan)
    assert_nowhere(
        words, {"plan": repr(plan), "card": "Ada Lindqvist\nContains: MILK", "name": "pack.pdf"}
    )
    for leak in (
        "She carries two pens.",
        "Ada Lindqvist: milk",
        "A2 vegan",
        "A1 has an anaphylactic allergy",
        "Talked about it on the phone",
        "Ada Lindqvist (pregnant)",
    ):
        with pytest.raises(AssertionError, match="confidential words outside confidential/"):
            assert_nowhere(words, {"station sheet": f"Station A\n{leak}\n"})


def test_the_last_look_finds_what_came_in_after_all():
    where = lesson(SEEDED)
    plan = resolve(where, day(person("seeded roll", "sesame")), LARDER)
    start = Spot("day.yaml", 1)
    fine = [used(plan, where)]
    assert last_look(plan.sheet, LARDER, fine, (), start) == ()
    assert len(last_look(plan.sheet, LARDER, [{"sesame seeds"}], {"sesame oil"}, start)) == 2


def test_a_bread_of_one_making_is_resolved_whatever_else_fails_only_as_an_error():
    with pytest.raises(LessonError):
        resolve(lesson(dough="strong white flour, milk"), day(person(needs="milk")), LARDER)


def test_the_needs_sheet_tells_of_a_coeliac_what_the_room_allows():
    def sheet(need, **also):
        where = lesson(dough="rice flour, water")
        plan = resolve(where, day(person(needs=need), **also), LARDER)
        return plan.sheet.people[0]

    asked = sheet("coeliac", gluten_room=ANSWERED)
    assert asked.notes[0] == "the room is answered for"
    assert "room told" in [one.key for one in asked.questions]
    other = sheet("milk", gluten_room=ANSWERED)
    assert "the room is answered for" not in other.notes
    assert "room told" not in [one.key for one in other.questions]
