"""Files found and read: nothing outside the class's folder, and every refusal in words."""

from pathlib import Path

import pytest

from classpack.errors import LessonError, Spot
from classpack.places import LARGEST_FILE, beside, own_folder, read_text

SPOT = Spot("class.yaml", 2, 9)


def said(work, *args) -> str:
    with pytest.raises(LessonError) as caught:
        work(*args)
    return str(caught.value)


@pytest.fixture
def main(tmp_path: Path) -> Path:
    folder = tmp_path / "lessons"
    (folder / "more").mkdir(parents=True)
    (folder / "class.yaml").write_text("class: x\n", "utf-8")
    (folder / "more" / "lesson.yaml").write_text("lesson: x\n", "utf-8")
    (tmp_path / "secret.yaml").write_text("lesson: secret\n", "utf-8")
    return folder / "class.yaml"


def test_a_file_beside_or_below_is_found(main):
    assert beside(main, "more/lesson.yaml", SPOT) == main.parent / "more" / "lesson.yaml"
    assert beside(main, "./more/../class.yaml", SPOT) == main


@pytest.mark.parametrize(
    "named",
    ["../secret.yaml", "more/../../secret.yaml", "/etc/passwd", "..", "more\\lesson.yaml", "..\\secret.yaml", "C:secret.yaml", "C:/secret.yaml"],
)  # fmt: skip
def test_a_name_that_climbs_out_is_refused(main, named):
    assert said(beside, main, named, SPOT) == (
        f"class.yaml:2:9: '{named}' leads out of the class file's folder; "
        "keep a class's files in one folder and name them without '..'"
    )


def test_a_link_out_of_the_folder_is_refused_and_one_inside_is_followed(main):
    (main.parent / "out.yaml").symlink_to(main.parent.parent / "secret.yaml")
    (main.parent / "in.yaml").symlink_to(main.parent / "more" / "lesson.yaml")
    assert "leads out of the class file's folder" in said(beside, main, "out.yaml", SPOT)
    assert read_text(beside(main, "in.yaml", SPOT), "in.yaml") == "lesson: x\n"


def test_links_in_a_circle_are_no_file(main):
    circle = main.parent / "circle.yaml"
    circle.symlink_to(circle)

    def find_and_read() -> str:
        return read_text(beside(main, "circle.yaml", SPOT), "circle.yaml", SPOT)

    assert said(find_and_read).startswith("class.yaml:2:9: ")


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("none.yaml", "class.yaml:2:9: there is no file 'none.yaml'; check the name and the folder"),
        ("more", "class.yaml:2:9: 'more' is a folder; name a file"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_told_where_it_was_named(main, name, message):
    assert said(read_text, main.parent / name, name, SPOT) == message


def test_a_name_no_folder_can_hold_is_refused_in_words(main):
    said_of = said(read_text, main.parent / ("a" * 300), "a", SPOT)
    assert said_of.startswith("class.yaml:2:9: 'a' cannot be read: ")


def test_a_file_nobody_named_is_told_by_its_own_name(tmp_path):
    assert said(read_text, tmp_path / "x.yaml", "x.yaml") == (
        "x.yaml:1:1: there is no file 'x.yaml'; check the name and the folder"
    )


def test_a_file_one_may_not_open_says_so(main, monkeypatch):
    def refuse(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert said(read_text, main, "class.yaml", SPOT) == (
        "class.yaml:2:9: 'class.yaml' cannot be read: permission denied; check that you may open it"
    )


def test_a_file_that_is_not_utf_8_is_told_at_the_first_wrong_sign(tmp_path):
    (tmp_path / "a.yaml").write_bytes("class: x\ntutor: S\xf8ren\n".encode("latin-1"))
    assert said(read_text, tmp_path / "a.yaml", "a.yaml") == (
        "a.yaml:2:9: the file is not UTF-8 text; save it as UTF-8 in your editor"
    )


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path):
    (tmp_path / "a.yaml").write_bytes(b"\xef\xbb\xbfclass: x\n")
    assert read_text(tmp_path / "a.yaml", "a.yaml") == "class: x\n"


def test_a_huge_file_is_not_read(tmp_path):
    with (tmp_path / "a.yaml").open("wb") as file:
        file.truncate(LARGEST_FILE + 1)
    assert said(read_text, tmp_path / "a.yaml", "a.yaml") == (
        "a.yaml:1:1: 'a.yaml' is larger than 4 MB; keep it to a few pages of text"
    )


def test_the_packages_own_folders_are_found():
    assert (own_folder("templates") / "look.yaml").is_file()
    assert any(own_folder("lessons").glob("*.yaml"))
    with pytest.raises(FileNotFoundError):
        own_folder("recipes")
