"""A word typed into a template of one's own is read against everybody's needs, like a sentence of the lesson."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from classpack.class_files import read_sources
from classpack.errors import LessonError
from classpack.places import own_folder
from classpack.planning.plan.plan_class import plan_class
from classpack.reading.own_words import own_words


@pytest.fixture
def templates(tmp_path: Path) -> Path:
    """A copy of the templates, to be changed."""
    return Path(shutil.copytree(own_folder("templates"), tmp_path / "looks"))


def with_line(file: Path, line: str) -> int:
    """The file with one line more; its number."""
    file.write_text(file.read_text("utf-8").rstrip("\n") + f"\n{line}\n", "utf-8")
    return len(file.read_text("utf-8").splitlines())


def problems(class_folder: Path, templates: Path) -> list[str]:
    with pytest.raises(LessonError) as caught:
        plan_class(read_sources(class_folder / "day.yaml", templates))
    return [str(one) for one in caught.value.problems]


def needing(class_folder: Path, needs: str) -> None:
    path = class_folder / "day.yaml"
    path.write_text(path.read_text("utf-8").replace("needs: none", f"needs: {needs}", 1), "utf-8")


def test_templates_as_they_ship_say_nothing_of_their_own(templates: Path) -> None:
    shipped = own_folder("templates")
    assert own_words(shipped, shipped, "en") == own_words(templates, shipped, "en") == ()


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("words/en/card.yaml", 'farewell: "Brush it with mustard before you eat it."'),
        ("pdf/recipe_card.xml", "{# #}<text>Brush it with <strong>mustard</strong>.</text>"),
        ("html/bread.html", "<p>Lovely with mustard.</p>"),
    ],
)
def test_somebodys_allergen_in_a_template_stops_at_its_line(
    file: str, line: str, templates: Path, class_folder: Path
) -> None:
    needing(class_folder, "[mustard]")
    number = with_line(templates / file, line)
    (said,) = (one for one in problems(class_folder, templates) if "template" in one)
    assert said.startswith(f"{templates / file}:{number}:1: the template says 'mustard'")


def test_words_of_another_language_are_not_printed_and_not_read(
    templates: Path, class_folder: Path
) -> None:
    needing(class_folder, "[mustard]")
    with_line(templates / "words/de/card.yaml", 'farewell: "Mit Senf bestreichen."')
    plan_class(read_sources(class_folder / "day.yaml", templates))
