"""Step text with the reader's own amounts in its placeholders."""

import re
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from classpack.model.class_plan import Change, Weighed
from classpack.model.method import Placeholder, Step
from classpack.sheets.cards.step_words import Dose, step_said, step_words


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


def glaze(text: str) -> Step:
    """A step with ``{name}`` placeholders."""
    parts = re.split(r"\{(.*?)\}", text)
    return Step(
        "glaze", tuple(Placeholder(p) if n % 2 else p for n, p in enumerate(parts) if n % 2 or p)
    )


MILK = Change("milk", "", F(0), "", "rolls")
SEEDS = Change("sesame seeds", "", F(0), "Leave them plain.", "rolls")
ROLLS = glaze("Brush the rolls with {milk}. Scatter {sesame seeds} on top while they are wet.")


def test_a_sentence_about_what_is_left_out_is_gone_and_its_method_is_said():
    lines = [weighed("milk", 16, "topping")]
    said = step_said(ROLLS, lines, (SEEDS,), "rolls")
    assert said.words == ("Brush the rolls with ", Dose("milk", F(16)), ".")
    assert said.methods == ("Leave them plain.",)
    assert not said.skipped
    assert step_said(ROLLS, lines, (SEEDS,), "rolls", told=(SEEDS,)).methods == ()


def test_a_step_whose_every_ingredient_is_left_out_is_skipped():
    said = step_said(ROLLS, (), (MILK, SEEDS), "rolls")
    assert said.skipped
    assert said.words == ()


def test_what_cannot_be_cut_cleanly_has_nothing_in_its_place():
    words = step_words(
        glaze("Beat {milk} with {egg}."), [weighed("egg", 12, "topping")], (MILK,), "rolls"
    )
    assert words == ("Beat ", Dose("", None), " with ", Dose("egg", F(12)), ".")


def test_a_pot_that_the_station_shares_is_named_without_grams():
    assert step_words(step("semolina"), (), ())[1] == Dose("semolina", None)
    change = Change("semolina", "rice flour", F(1))
    assert step_words(step("semolina"), (), (change,))[1] == Dose("rice flour", None)


@given(
    st.lists(
        st.one_of(
            st.sampled_from(
                ["Add ", " and ", ", ", ". Then brush ", " on top", "; ", ". Rub it in", " over it"]
            ),
            st.sampled_from(["milk", "sesame seeds", "oil"]).map(Placeholder),
        ),
        max_size=9,
    )
)
def test_no_sentence_ever_names_what_is_left_out(text):
    found = step_said(Step("top", tuple(text)), [weighed("oil", 5)], (MILK, SEEDS), "rolls")
    names = [part.name for part in found.words if isinstance(part, Dose)]
    assert set(names) <= {"", "oil"}
    assert [n for n in names if n] == ["oil"] * sum(part == Placeholder("oil") for part in text)


def test_a_preferment_of_ones_own_is_found_under_the_lessons_name():
    lines = [weighed("sponge A2", 200, instead_of="sponge")]
    assert step_words(step("sponge"), lines, ())[1] == Dose("sponge A2", F(200))


def test_counted_things_keep_their_count():
    lines = [
        weighed("lemon", 60, "topping", count=F(1)),
        weighed("lemon", 30, "topping", count=F(1, 2)),
    ]
    assert step_words(step("lemon"), lines, ())[1] == Dose("lemon", F(90), F(3, 2))
