"""What a lesson need not say: taken from what is usual, each told, and written down so that the same lesson comes of it."""

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.model.lesson import Vessel
from classpack.reading.lesson_file import read_lesson
from classpack.reading.shipped_larder import package_larder
from classpack.reading.usual_values import usual_loss_percent, usual_per_shelf, usual_window
from classpack.write_defaults import with_defaults

LESSON = """\
lesson: Short
base:
  name: Dough
  formula: {strong white flour: 100 %, water: 63 %, fine salt: 2 %, instant yeast: 1 %}
  method:
    - mix: "Stir {water} into {strong white flour}."
      hands: 4 min
    - bulk proof: 60 min
      text: Cover it.
      ready when: doubled
variations:
  tin loaf:
    piece: 820 g in a 2100 ml tin
    pieces: 1
    method:
      - final proof: 45 min  # by the window
        text: Cover it.
        ready when: risen
      - bake: 32 min at 230 C  # hot
        load: Slide it in.
        take out: Lift it out.
        ready when: brown
"""


def read(text: str, kind: str = "conventional"):
    return read_lesson(text, "l.yaml", package_larder(), kind)


def test_what_is_taken_is_told():
    lesson = read(LESSON)
    assert [str(one) for one in lesson.taken] == [
        "the window of step 'bulk proof' of the base dough: 45-90 min",
        "the dough temperature: 25 C",
        "what is left in the bowl: 2 %",
        "the kit of a bench: mixing bowl: 1 per student dough scraper: 1 per student measuring jug: 1 per student bowl cover: 1 per student name slip: 1 per student dough thermometer: 1 per station oven gloves: 1 per station wire rack: 1 per station",
        "the window of step 'final proof' of 'tin loaf': 30-70 min",
        "the oven of step 'bake' of 'tin loaf': conventional",
        "the loss of step 'bake' of 'tin loaf': 12 %",
        "the pieces on a shelf of step 'bake' of 'tin loaf': 3",
    ]
    assert read(LESSON, "fan").variations[0].bake.heat.kind == "fan"


@pytest.mark.parametrize("kind", ["conventional", "fan"])
def test_written_down_it_is_the_same_lesson(kind):
    lesson = read(LESSON, kind)
    text = with_defaults(LESSON, lesson.taken)
    again = read(text)
    assert again.taken == ()
    assert (again.base, again.variations) == (lesson.base, lesson.variations)
    assert f"bake: 32 min at 230 C {kind}  # hot" in text
    assert set(LESSON.split("\n")) - set(text.split("\n")) == {
        "      - bake: 32 min at 230 C  # hot"
    }


def test_losses_and_shelves_by_what_the_bread_is():
    # Gisslen, "Scaling": 10-13 % in general; Hamelman as quoted: pan bread less than hearth bread
    tin, free = Vessel("tin", "tin", volume_ml=F(2100)), Vessel("free")
    assert [usual_loss_percent(tin, F(820)), usual_loss_percent(free, F(820)), usual_loss_percent(free, F(90))] == [12, 15, 11]  # fmt: skip
    assert usual_per_shelf(tin, F(820)) == 3
    assert usual_per_shelf(Vessel("tray", area_cm2=F(1200)), F(750)) == 1
    assert usual_per_shelf(Vessel("round", area_cm2=F(616)), F(250)) == 2
    assert 6 <= usual_per_shelf(free, F(100)) <= 8


@given(st.fractions(min_value=1, max_value=3000, max_denominator=4))
def test_a_usual_window_holds_its_proof(minutes):
    low, high = usual_window(minutes)
    assert 0 < low <= minutes <= high
