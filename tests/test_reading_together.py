"""Problems of several files are told at once, file by file."""

from __future__ import annotations

from pathlib import Path

import pytest

from classpack.cli import main


def test_a_broken_lesson_hides_neither_the_kitchens_nor_the_class_days_problems(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, good, bad in (
        ("lesson", "water: 63 %", "water: lots"),
        ("kitchen", "hottest: 250 C", "hottest: 25 C"),
        ("day", "start: 10:00", "start: ten"),
    ):
        path = class_folder / f"{name}.yaml"
        path.write_text(path.read_text("utf-8").replace(good, bad), "utf-8")
    assert main(["check", str(class_folder / "day.yaml")]) == 1
    told = [line.split(": ")[0].rsplit("/", 1)[-1] for line in capsys.readouterr().err.splitlines()]
    assert told[:-1] == ["kitchen.yaml:4:51", "lesson.yaml:6:12", "day.yaml:5:8"]
