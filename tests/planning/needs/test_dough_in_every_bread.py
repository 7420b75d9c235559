"""What a step of the dough names must be in each bread made of it, not only in one of somebody's two breads."""

from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.errors import LessonError
from classpack.places import own_folder
from classpack.planning.plan.plan_class import plan_class


def test_sesame_of_the_rolls_does_not_answer_for_tahini_in_the_dough(class_folder: Path):
    path = class_folder / "lesson.yaml"
    text = path.read_text("utf-8")
    path.write_text(text.replace('- mix: "Stir', '- mix: "Rub in tahini. Stir', 1), "utf-8")
    with pytest.raises(LessonError) as caught:
        plan_class(read_sources(class_folder / "day.yaml", own_folder("templates")))
    (said,) = map(str, caught.value.problems)
    assert said == (
        f"{path}:17:7: the step says 'tahini' (sesame), and the base dough is made without it; "
        "put '{tahini}' in braces and among the dough's ingredients, or leave the word out"
    )
