"""Whatever a tutor writes or types: no traceback, every problem at its line, the old pack kept, nothing half written."""

from __future__ import annotations

from pathlib import Path

import pytest

from classpack.cli import main


def changed(folder: Path, name: str, *changes: tuple[str, str]) -> None:
    """One of the class's files, with texts replaced that stand in it."""
    path = folder / f"{name}.yaml"
    text = path.read_text("utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    path.write_text(text, "utf-8")


def told(
    folder: Path, capsys: pytest.CaptureFixture[str], *command: str, status: int = 1
) -> list[str]:
    """What a command says on the error stream, without the folder's name, and without the count at its end."""
    words = list(command) or ["check", str(folder / "day.yaml")]
    assert main(words) == status
    said = capsys.readouterr().err.replace(f"{folder}/", "").splitlines()
    assert not status or "to mend; nothing was written" in said[-1]
    return said[:-1]


DAYS = {
    "an oven too cool is told at the oven": (
        ("kitchen", ("250 C", "200 C")),
        [
            "kitchen.yaml:4:3: the day cannot be planned: rolls needs 210 °C, and the hottest oven, Left, reaches 200 °C (counted as in a conventional oven); bake it cooler and longer, or use another oven",
            "kitchen.yaml:4:3: the day cannot be planned: tin loaf needs 220 °C, and the hottest oven, Left, reaches 200 °C (counted as in a conventional oven); bake it cooler and longer, or use another oven",
        ],
    ),
    "too few tins are told at the tins": (
        ("kitchen", ("12 of 2500 ml", "1 of 2500 ml")),
        [
            "kitchen.yaml:6:8: the day cannot be planned: of 'long tin' there is 1; tin loaf of A needs 2 at once; have at least 2, or make fewer pieces a station"
        ],
    ),
    "a break longer than the class is told at the break": (
        ("day", ("pace: 1.5", "pace: 1.5\ntimes: {welcome: 5 min, break: 6 h}")),
        [
            "day.yaml:9:25: the day cannot be planned: 'break' takes 360 minutes, the class 300; make it shorter than the class"
        ],
    ),
    "closing longer than the class is told at the closing": (
        ("day", ("pace: 1.5", "pace: 1.5\ntimes: {closing: 6 h}")),
        [
            "day.yaml:9:9: the day cannot be planned: closing takes 360 minutes, the class 300; closing must be shorter than the class"
        ],
    ),
    "a talk longer than the class is told at the talk": (
        (
            "lesson",
            (
                "lesson: Two breads",
                "lesson: Two breads\ntalks:\n  - {about: yeast, minutes: 6 h, say: much}",
            ),
        ),
        [
            "lesson.yaml:3:5: the day cannot be planned: 'talk: yeast' takes 360 minutes, the class 300; make it shorter than the class"
        ],
    ),
    "more work than a day has hours is told at who makes most": (
        ("day", ("makes: rolls,", "makes: {rolls: 500},")),
        [
            "day.yaml:13:5: the day cannot be planned: the hands of A would be busy for 26 hours; make fewer pieces there, or add stations"
        ],
    ),
}


@pytest.mark.parametrize("case", DAYS.values(), ids=DAYS)
def test_a_day_that_cannot_be_planned_is_told_at_the_line_to_change(
    case: tuple[tuple[str, tuple[str, str]], list[str]],
    class_folder: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    (name, change), lines = case
    changed(class_folder, name, change)
    if "tins" in lines[0] or "long tin" in lines[0]:
        changed(class_folder, "day", ("makes: rolls", "makes: tin loaf"))
    assert told(class_folder, capsys) == lines
