"""What a whole lesson is asked, and told, about the words of its steps."""

from fractions import Fraction

from classpack.errors import Spot
from classpack.model.formula import Formula
from classpack.model.lesson import BaseDough, Lesson
from classpack.model.method import Step
from classpack.model.safety import PlaceFacts
from classpack.planning.safety.cautions import fire_method, larder_triggers
from classpack.planning.safety.checks import method_problems, step_problems
from classpack.planning.safety.class_cautions import class_cautions
from classpack.quantities import OvenHeat
from classpack.reading.caution_file import package_catalogue
from classpack.reading.larder_file import package_larder

CATALOGUE = package_catalogue()
FACTS = PlaceFacts(ingredients=larder_triggers(package_larder()))
SPOT = Spot("rolls.yaml", 9, 7)


def step(stage, text="", **rest):
    return Step(stage, (text,) if text else (), spot=SPOT, **rest)


def asked(*method):
    fired = fire_method(method, FACTS, CATALOGUE)
    found = [
        problem
        for one, group in zip(method, fired, strict=True)
        for problem in step_problems(one, group, FACTS, CATALOGUE)
    ]
    return [str(one) for one in (*found, *method_problems(method, fired, CATALOGUE))]


def test_fresh_bread_burns_does_not_answer_for_a_flame():
    """At the cooling rack a caution against hot bread fires; the embers are another harm."""
    assert asked(step("cool", "Push the loaf to the embers.")) == [
        "rolls.yaml:9:7: the step says 'embers' and nothing guards against flame and gas; write 'does: [open flame]' or what "
        "else it does, or 'does: nothing' if it hurts nobody"
    ]
    assert asked(step("cool", "Push the loaf to the embers.", does=("flame",))) == []


def test_what_is_stated_answers_for_its_own_harm_only():
    assert asked(step("fill", "Feed the mincer.", does=("knife",))) != []
    assert asked(step("fill", "Feed the mincer.", does=("moving parts",))) == []
    assert asked(step("fill", "Feed the mincer.", does=("nothing",))) == []


def test_nothing_silences_no_caution():
    """`does: nothing` answers the question; what a stage or a plain word fires is printed all the same."""
    (fired,) = fire_method((step("fry", "Fry it.", does=("nothing",)),), FACTS, CATALOGUE)
    assert {"hot-oil", "oil-fire"} <= {one.id for one in fired}


def test_something_heated_while_dough_waits_is_asked_where_no_step_guards_it():
    waits = step("bulk proof", "Cover it.", meanwhile="Bring a pan of water to the boil.")
    (problem,) = asked(waits, step("load"))
    assert problem == (
        "rolls.yaml:9:7: 'bring a pan' is said while the dough waits and no step guards against hot liquid; make it a step of "
        "its own, as in 'hob: Heat the milk.', or write 'does: nothing' if it hurts nobody"
    )
    assert asked(waits, step("boil", "Lower them in.")) == []


def test_lye_stops_the_pack_and_says_what_to_do_instead():
    assert asked(step("bath", "Dip them in lye."))[0] == (
        "rolls.yaml:9:7: 'lye': no class is planned with lye, it burns skin and blinds; boil in water with baking soda, as in "
        "'bath: Lower the pretzels into the soda bath.', and leave the word out"
    )


def test_a_slip_of_the_keyboard_and_an_unstated_mixer_are_remarks():
    dough = BaseDough(
        "", Formula("", ()), (step("mix", "Prehaet it."),), Fraction(25), Fraction(0),
        mixed_by_stated=False,
    )  # fmt: skip
    found = class_cautions(Lesson("x", "rolls.yaml", dough, ()), (), FACTS, CATALOGUE)
    assert [str(one) for one in found.remarks] == [
        "remark (safety): rolls.yaml:9:7: 'prehaet' is one letter off 'preheat', so no caution knows it: mend it if it is a slip.",
        "remark (taken for granted): The lesson does not say 'mixed by': taken as by hand, so no caution speaks of a mixer.",
    ]
    assert found.problems == ()


def test_paper_in_an_oven_hotter_than_its_box_allows_is_told_on_the_card():
    """220 °C: common practice, no source; the box decides."""
    for celsius, told in ((220, False), (230, True)):
        heat = OvenHeat(Fraction(celsius))
        method = (
            step("pan", "Line the tray with baking paper."),
            step("load", heat=heat),
            step("bake", heat=heat),
        )
        (lined, *_) = fire_method(method, FACTS, CATALOGUE)
        assert ("paper-limit" in {one.id for one in lined}) is told
