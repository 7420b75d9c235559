"""What the README shows works as it stands there."""

from __future__ import annotations

import re
from pathlib import Path

from classpack.cli import main
from classpack.reading.larder_file import package_larder
from classpack.reading.lesson_file import read_lesson
from classpack.reading.method_lines import WRITTEN_STAGES

README = (Path(__file__).parent.parent / "README.md").read_text("utf-8")


def test_the_lesson_in_the_readme_can_be_read() -> None:
    (text,) = re.findall(r"```yaml\n(.*?)```", README, re.S)
    text = text.replace("# or weights: {strong white flour: 500 g, ...}", "")
    lesson = read_lesson(text, "README.md", package_larder())
    assert [one.name for one in lesson.variations] == ["rolls"]


def test_the_readme_names_every_stage_a_lesson_may_write() -> None:
    (said,) = re.findall(r"Steps: (.*?)\. Further", README, re.S)
    assert sorted(said.replace("\n", " ").split(", ")) == sorted(WRITTEN_STAGES)


def test_the_readmes_own_class_works(tmp_path: Path) -> None:
    folder = tmp_path / "my-class"
    assert main(["start", str(folder)]) == 0
    for path in sorted(folder.glob("*.yaml")):
        if "\nlesson: " in path.read_text("utf-8") and "kitchen: " in path.read_text("utf-8"):
            assert main(["check", str(path)]) == 0, path.name
