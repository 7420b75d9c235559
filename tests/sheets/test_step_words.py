"""Step text with the reader's own amounts in its placeholders."""

from fractions import Fraction as F

from classpack.model.class_plan import Change, Weighed
from classpack.model.method import Placeholder, Step
from classpack.sheets.step_words import Dose, step_words


def weighed(name: str, grams: int, purpose: str = "dough", **more) -> Weighed:
    return Weighed(name, F(grams), F(grams), F(1), purpose=purpose, **more)


def step(*names: str) -> Step:
    return Step("mix", ("Add ", *(Placeholder(name) for name in names), "."))


def test_a_placeholder_holds_the_readers_own_grams():
    words = step_words(step("water"), [weighed("flour", 500), weighed("water", 315)], ())
    assert words == ("Add ", Dose("water", F(315)), ".")


def test_the_nearest_use_is_told_and_lines_of_one_purpose_are_added_up():
    lines = [weighed("oil", 30, "topping"), weighed("oil", 6, "topping"), weighed("oil", 20)]
    assert step_words(step("oil"), lines, ())[1] == Dose("oil", F(36))


def test_a_swap_is_told_by_its_own_name():
    change = Change("sesame seeds", "poppy seeds", F(1), "", "rolls")
    lines = [weighed("poppy seeds", 12, "topping", instead_of="sesame seeds")]
    assert step_words(step("sesame seeds"), lines, (change,), "rolls")[1] == Dose(
        "poppy seeds", F(12)
    )
    dough = [weighed("fresh yeast", 13)]
    yeast = Change("instant yeast", "fresh yeast", F(5, 2))
    assert step_words(step("instant yeast"), dough, (yeast,))[1] == Dose("fresh yeast", F(13))
    assert step_words(step("instant yeast"), dough, (yeast,), "rolls")[1] == Dose(
        "fresh yeast", F(13)
    )


def test_what_is_left_out_says_so():
    change = Change("egg", "", F(0), "", "rolls")
    dose = step_words(step("egg"), [weighed("water", 10)], (change,), "rolls")[1]
    assert isinstance(dose, Dose)
    assert dose.left_out
    assert dose.name == "egg"


def test_a_preferment_of_ones_own_is_found_under_the_lessons_name():
    lines = [weighed("sponge A2", 200, instead_of="sponge")]
    assert step_words(step("sponge"), lines, ())[1] == Dose("sponge A2", F(200))


def test_counted_things_keep_their_count():
    lines = [
        weighed("lemon", 60, "topping", count=F(1)),
        weighed("lemon", 30, "topping", count=F(1, 2)),
    ]
    assert step_words(step("lemon"), lines, ())[1] == Dose("lemon", F(90), F(3, 2))
