"""What a tutor may change about looks: paper, style, school, templates; and the pictures to look at."""

from __future__ import annotations

import builtins
import io
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from classpack import viewer
from classpack.cli import main
from classpack.places import own_folder
from classpack.typeset.vocabulary import ELEMENTS
from classpack.workshop import print_pack
from tests.conftest import planned_demo

Capture = pytest.CaptureFixture[str]


def run(*words: object) -> int:
    return main([str(word) for word in words])


def add(path: Path, text: str) -> None:
    path.write_text(path.read_text("utf-8") + text, "utf-8")


# ---------------------------------------------------------------- paper, style, school


def test_small_cards_are_a5_and_every_other_sheet_is_a4(class_folder: Path) -> None:
    add(class_folder / "day.yaml", "paper: A5\n")
    assert run("make", class_folder / "day.yaml", "--out", class_folder / "out") == 0
    made = class_folder / "out" / "day"

    def millimetres(name: str) -> tuple[int, int]:
        box = PdfReader(made / name).pages[0].mediabox
        return round(float(box.width) / 72 * 25.4), round(float(box.height) / 72 * 25.4)

    assert millimetres("cards/A1.pdf") == (148, 210)  # ISO 216:2007, table 1
    assert millimetres("stations/A.pdf") == (210, 297)
    assert millimetres("labels/tub-labels.pdf") == (210, 297)


def test_the_command_line_goes_before_the_class_file(class_folder: Path) -> None:
    add(class_folder / "day.yaml", "paper: A4\nstyle: ink saving\n")
    day, out = class_folder / "day.yaml", class_folder / "out"
    assert run("make", day, "--out", out, "--paper", "Letter", "--style", "large-print") == 0
    box = PdfReader(out / "day" / "kit-list.pdf").pages[0].mediabox
    assert round(float(box.width)) == 612


def test_an_unknown_paper_or_style_is_told_with_the_choices(
    class_folder: Path, capsys: Capture
) -> None:
    day = class_folder / "day.yaml"
    add(day, "paper: A6\nstyle: tiny\n")
    assert run("check", day) == 1
    assert capsys.readouterr().err.splitlines()[:2] == [
        f"{day}:14:8: 'paper' is 'A6'; choose from: A4, Letter, A5, A5-on-A4",
        f"{day}:15:8: 'style' is 'tiny'; choose from: normal, large print, high contrast, ink saving",
    ]


@pytest.mark.parametrize("paper", ["A4", "A5", "A5-on-A4"])
def test_no_card_has_another_sheet_on_its_back(paper: str) -> None:
    """Printed on both sides, pages 2n+1 and 2n+2 share a sheet of paper."""
    pack = print_pack(planned_demo("saturday-twelve"), paper, own_folder("templates"))
    reader = PdfReader(io.BytesIO(pack.files["pack.pdf"]))
    tops = [entry for entry in reader.outline if not isinstance(entry, list)]
    cards = len([name for name in pack.files if name.startswith("cards/")])
    starts = [
        reader.get_destination_page_number(entry) for entry in tops[: cards + 1]
    ]  # and the next sheet
    assert all(start is not None and start % 2 == 0 for start in starts), starts
    together = 2 if paper == "A5-on-A4" else 1
    assert len(set(starts[:cards])) == cards // together


def test_school_colour_and_logo_come_from_the_class_file(class_folder: Path) -> None:
    Image.new("RGB", (60, 30), "#7a1f1f").save(class_folder / "logo.png")
    day = class_folder / "day.yaml"
    add(day, 'school: {name: Harbour Bakes, colour: "7A1F1F"}\nlogo: logo.png\n')
    assert run("make", day, "--out", class_folder / "out") == 0
    made = class_folder / "out" / "day"
    card = PdfReader(made / "cards" / "A1.pdf")
    assert len(card.pages[0].images) == 1
    assert "#7a1f1f" in (made / "pages" / "rolls.html").read_text("utf-8")
    assert "Harbour Bakes" in (made / "pages" / "rolls.html").read_text("utf-8")


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            'school: {name: A, colour: "E0C060"}',
            "14:27: the colour 'E0C060' is too pale to read on paper, 1.8 to 1; choose a darker one: the words set in it need 7 to 1",
        ),
        (
            "school: {name: A, colour: red}",
            "14:27: 'colour' is 'red'; write six hexadecimal digits in quotes, as in '\"00485A\"'",
        ),
        (
            "logo: logo.gif",
            "14:7: 'logo' is no picture's file name; name a PNG or JPEG file beside the class file, as in 'logo: logo.png'",
        ),
        (
            "logo: logo.svg",
            "14:7: the logo 'logo.svg' is a drawing, and a logo is a PNG or JPEG picture; open it in a drawing program and save it as a PNG, 750 dots wide or more",
        ),
        (
            "logo: logo.png",
            "14:7: there is no logo 'logo.png'; put it beside the class file, or name it",
        ),
        (
            "logo: ../logo.png",
            "14:7: '../logo.png' leads out of the class file's folder; keep a class's files in one folder and name them without '..'",
        ),
    ],
)
def test_a_school_that_cannot_be_printed_is_told_at_its_line(
    lines: str, said: str, class_folder: Path, capsys: Capture
) -> None:
    day = class_folder / "day.yaml"
    add(day, f"{lines}\n")
    assert run("check", day) == 1
    assert capsys.readouterr().err.splitlines()[0] == f"{day}:{said}"


# ---------------------------------------------------------------- pictures


def test_preview_writes_a_picture_of_each_page_and_no_pack(
    class_folder: Path, capsys: Capture
) -> None:
    out = class_folder / "out"
    command = ("preview", class_folder / "day.yaml", "--out", out)
    assert run(*command, "--sheet", "cards", "--sheet", "KIT-list.pdf") == 0
    made = sorted(str(p.relative_to(out)) for p in out.rglob("*.png"))
    assert made[0] == "preview-day/cards/A1-1.png"
    assert made[-1] == "preview-day/kit-list-1.png"
    assert {path.name for path in out.iterdir()} == {"preview-day"}
    wide, high = Image.open(out / made[0]).size
    assert (wide, high) == (827, 1170)  # A4 at 100 dots to the inch
    assert f"{out / 'preview-day'}: {len(made)} pictures" in capsys.readouterr().out
    assert run(*command, "--sheet", "kit-list") == 0
    assert [p.name for p in out.rglob("*.png")] == ["kit-list-1.png"]


def test_preview_shows_no_confidential_sheet_that_is_not_named(class_folder: Path) -> None:
    out = class_folder / "out"
    assert run("preview", class_folder / "day.yaml", "--out", out) == 0
    assert not (out / "preview-day" / "confidential").exists()


def test_preview_names_the_sheets_there_are(class_folder: Path, capsys: Capture) -> None:
    day = class_folder / "day.yaml"
    assert run("preview", day, "--sheet", "card", "--out", class_folder / "out") == 1
    said = capsys.readouterr().err
    assert said.startswith(f"{day}:1:1: there is no sheet 'card'; choose from: cards, ")
    assert not (class_folder / "out").exists()


def test_preview_leaves_a_folder_alone_that_is_not_its_own(
    class_folder: Path, capsys: Capture
) -> None:
    mine = class_folder / "out" / "preview-day"
    mine.mkdir(parents=True)
    (mine / "mine.png").write_bytes(b"")
    day = class_folder / "day.yaml"
    assert run("preview", day, "--sheet", "kit-list", "--out", class_folder / "out") == 1
    assert f"'{mine}' is there and was not made here" in capsys.readouterr().err


def test_preview_says_which_package_it_needs(
    class_folder: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *rest: object) -> object:
        if name == "pypdfium2":
            raise ImportError(name)
        return real(name, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", without)
    day = class_folder / "day.yaml"
    assert run("preview", day) == 1
    assert capsys.readouterr().err.splitlines()[0] == (
        f"{day}:1:1: pictures need the package pypdfium2, which is not installed; "
        "install it with: pip install 'classpack[preview]'"
    )


# ---------------------------------------------------------------- opening the pack


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    calls: list[list[str]] = []
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(viewer.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(viewer.subprocess, "Popen", lambda words, **_: calls.append(words))
    return calls


def test_open_hands_the_file_to_the_system_as_one_word(
    opened: list[list[str]], tmp_path: Path
) -> None:
    path = tmp_path / "a; rm -rf $HOME" / "pack.pdf"
    assert viewer.show_file(path) == ""
    assert opened == [["/usr/bin/xdg-open", str(path.resolve())]]


def test_make_open_opens_the_pack_when_it_is_written(
    class_folder: Path, opened: list[list[str]]
) -> None:
    out = class_folder / "out"
    assert run("make", class_folder / "day.yaml", "--out", out, "--open") == 0
    assert opened == [["/usr/bin/xdg-open", str((out / "day" / "pack.pdf").resolve())]]


def test_a_system_without_a_reader_is_told_where_the_pack_is(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(viewer.shutil, "which", lambda name: None)
    said = viewer.show_file(tmp_path / "pack.pdf")
    assert said == f"no program here opens files; the pack is in {tmp_path / 'pack.pdf'}"


# ---------------------------------------------------------------- templates of one's own


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("own") / "my-templates"
    assert run("start", "--templates", folder) == 0
    return folder


def test_the_picture_of_the_elements_shows_every_element(copied: Path) -> None:
    source = (copied / "pdf" / "_elements.xml").read_text("utf-8")
    for tag in ELEMENTS:
        assert f"<{tag}" in source, tag
    assert len(PdfReader(copied / "elements.pdf").pages) >= 4


def test_a_copy_prints_the_same_pack(copied: Path, class_folder: Path) -> None:
    for name, more in (("one", ()), ("two", ("--templates", copied))):
        assert run("make", class_folder / "day.yaml", "--out", class_folder / name, *more) == 0
    for path in (class_folder / "one").rglob("*.*"):
        other = class_folder / "two" / path.relative_to(class_folder / "one")
        assert path.read_bytes() == other.read_bytes(), path


def test_a_changed_word_is_printed(copied: Path, class_folder: Path, tmp_path: Path) -> None:
    import shutil

    mine = tmp_path / "mine"
    shutil.copytree(copied, mine)
    words = mine / "words" / "en" / "card.yaml"
    words.write_text(
        words.read_text("utf-8").replace("afterwards: afterwards", "afterwards: later on")
    )
    out = class_folder / "out"
    assert run("make", class_folder / "day.yaml", "--out", out, "--templates", mine) == 0
    text = " ".join(p.extract_text() for p in PdfReader(out / "day/cards/A1.pdf").pages)
    assert "later on" in " ".join(text.split())


def _change(path: str, old: str, new: str) -> Callable[[Path], int]:
    def change(folder: Path) -> int:
        text = (folder / path).read_text("utf-8")
        assert old in text
        (folder / path).write_text(text.replace(old, new, 1), "utf-8")
        return text[: text.index(old)].count("\n") + 1

    return change


@pytest.mark.parametrize(
    ("file", "change", "said"),
    [
        (
            "pdf/kit_list.xml",
            _change("pdf/kit_list.xml", "<masthead ", "<mast "),
            "there is no element <mast>; inside <sheet> there can be caution, ",
        ),
        (
            "pdf/kit_list.xml",
            _change("pdf/kit_list.xml", "<masthead ", '<masthead colour="red" '),
            "<masthead> has no attribute 'colour'; it can have deck, logo, ",
        ),
        (
            "pdf/kit_list.xml",
            _change("pdf/kit_list.xml", 'kind="list"', 'kind="lists"'),
            'kind="lists" of <sheet> is not one of its values; write card, list, run, ',
        ),
        (
            "words/en/pages.yaml",
            _change("words/en/pages.yaml", "\nmethod: Method\n", "\nmethods: Method\n"),
            "has no phrase 'method'; add 'method: …' to it",
        ),
        (
            "html/bread.html",
            _change("html/bread.html", "{{ page.oven.fan_c | celsius }}", "{{ page.oven.fan_c }}"),
            "would print here, without its unit; use a filter such as grams, minutes or count",
        ),
        (
            "look.yaml",
            _change("look.yaml", "accent: 00485A", "accent: petrol"),
            "'petrol' is no colour",
        ),
    ],
)
def test_a_broken_template_is_told_at_its_line(
    file: str,
    change: Callable[[Path], int],
    said: str,
    copied: Path,
    class_folder: Path,
    tmp_path: Path,
    capsys: Capture,
) -> None:
    import shutil

    mine = tmp_path / "mine"
    shutil.copytree(copied, mine)
    line = change(mine)
    day = class_folder / "day.yaml"
    assert run("make", day, "--out", class_folder / "out", "--templates", mine) == 1
    error = capsys.readouterr().err.splitlines()[0]
    assert said in error
    where = f"{file}:{line}:" if not file.startswith("words") else "html/bread.html:"
    assert where in error, error
    assert not (class_folder / "out").exists()


def test_a_folder_that_holds_no_templates_is_told(class_folder: Path, capsys: Capture) -> None:
    day = class_folder / "day.yaml"
    assert run("make", day, "--templates", class_folder) == 1
    assert capsys.readouterr().err.splitlines()[0] == (
        f"{class_folder}:1:1: there is no look.yaml, pdf, words in '{class_folder}'; "
        f"copy classpack's own with: classpack start --templates {class_folder}"
    )
    assert run("make", day, "--templates", class_folder / "gone") == 1
    assert f"there is no folder '{class_folder / 'gone'}'" in capsys.readouterr().err


def test_templates_are_never_copied_over_something(copied: Path, capsys: Capture) -> None:
    assert run("start", "--templates", copied) == 1
    assert f"'{copied}' is not empty; name a new folder" in capsys.readouterr().err


def test_start_without_a_folder_is_a_mistyped_command(capsys: Capture) -> None:
    assert run("start") == 2
    assert capsys.readouterr().err == (
        "classpack start: name a folder, as in: classpack start my-class\n"
    )
