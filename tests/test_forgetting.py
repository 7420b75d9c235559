"""What was told about people goes when their class is over, and nothing else does."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from classpack.cli import main
from classpack.errors import LessonError
from classpack.forgetting import forget
from classpack.workshop import make_pack

AFTER = datetime.date(2027, 3, 14)


@pytest.fixture
def out(class_folder: Path) -> Path:
    """A made pack of the small class; Ada needs something."""
    path = class_folder / "day.yaml"
    path.write_text(path.read_text("utf-8").replace("needs: none", "needs: [mustard]", 1), "utf-8")
    make_pack(path, class_folder / "out")
    return class_folder / "out"


def test_the_confidential_part_goes_and_the_rest_stays(class_folder: Path, out: Path) -> None:
    pack = out / "day"
    shared = {
        path: path.read_bytes()
        for path in pack.rglob("*")
        if path.is_file() and "confidential" not in path.parts
    }
    assert (pack / "confidential" / "needs-sheet.pdf").is_file()
    (class_folder / "day.yaml").unlink()  # the pack knows its own date
    assert forget(class_folder / "day.yaml", out, AFTER) == (pack, ())
    assert not (pack / "confidential").exists()
    assert {path: path.read_bytes() for path in pack.rglob("*") if path.is_file()} == shared


def test_what_the_tutor_laid_there_is_theirs_and_is_named(class_folder: Path, out: Path) -> None:
    (out / "day" / "confidential" / "scan.jpg").write_bytes(b"signed")
    assert forget(class_folder / "day.yaml", out, AFTER)[1] == ("confidential/scan.jpg",)
    assert [path.name for path in (out / "day" / "confidential").iterdir()] == ["scan.jpg"]


def test_a_list_that_was_changed_reaches_nothing_outside(class_folder: Path, out: Path) -> None:
    path = out / "day" / "confidential" / "files.sha256"
    far = [out / "day" / "pack.pdf", class_folder / "lesson.yaml"]
    lines = [f"{'0' * 64}  ../pack.pdf", f"{'0' * 64}  {class_folder / 'lesson.yaml'}"]
    path.write_text(path.read_text("utf-8") + "".join(f"{line}\n" for line in lines), "utf-8")
    forget(class_folder / "day.yaml", out, AFTER)
    assert all(one.is_file() for one in far)
    assert not (out / "day" / "confidential").exists()


def test_a_class_still_to_come_is_not_forgotten(class_folder: Path, out: Path) -> None:
    with pytest.raises(LessonError) as caught:
        forget(class_folder / "day.yaml", out, datetime.date(2027, 3, 13))
    assert str(caught.value.problems[0]) == (
        f"{out / 'day'}:1:1: the class is of 2027-03-13 and not over; "
        "forget it when the class is over, or delete its folder 'confidential' yourself"
    )
    assert (out / "day" / "confidential" / "needs-sheet.pdf").is_file()


def test_no_pack_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["forget", str(tmp_path / "day.yaml"), "--out", str(tmp_path)]) == 1
    assert capsys.readouterr().err.startswith(
        f"{tmp_path / 'day'}:1:1: there is no pack to forget; name the class file"
    )


def test_a_renamed_class_file_says_that_the_old_pack_lies_there(
    class_folder: Path, out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (class_folder / "day.yaml").rename(class_folder / "spring.yaml")
    assert main(["make", str(class_folder / "spring.yaml"), "--out", str(out)]) == 0
    assert (
        f"{out / 'day'}: an older pack of the same class, with its confidential part"
        in capsys.readouterr().out
    )
