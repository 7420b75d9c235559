"""Whatever a tutor writes or types: no traceback, every problem at its line, the old pack kept, nothing half written."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdf
import pytest

from classpack.cli import main
from classpack.places import own_folder


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
    "no tin of the size that is wanted is told at the tins": (
        ("kitchen", ("12 of 2500 ml", "0 of 2500 ml")),
        [
            "kitchen.yaml:6:8: the day cannot be planned: of 'long tin' there are 0; tin loaf of A needs 2 at once; have at least 2, or take 'long tin' away if enough are brought"
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


@pytest.mark.parametrize(
    ("tins", "brought"),
    [
        ("{short tin: 12 of 900 ml}", True),
        ("{short tin: 0 of 900 ml}", True),
        ("{long tin: 0 of 2500 ml, near tin: 12 of 2450 ml}", False),
    ],
    ids=["another size", "none of another size", "none of this but of one that will do"],
)
def test_a_kitchen_that_names_no_tin_of_the_size_is_planned_with_a_remark(
    tins: str, brought: bool, class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed(class_folder, "kitchen", ("{long tin: 12 of 2500 ml}", tins))
    assert main(["check", str(class_folder / "day.yaml")]) == 0
    remark = "remark (kit): The kitchen has no tin of about 2500 ml for the tin loaves: the plan takes it that enough are brought."
    assert (remark in capsys.readouterr().out.splitlines()) == brought


def test_a_class_of_one_who_makes_one_loaf_is_printed(class_folder: Path) -> None:
    path = class_folder / "day.yaml"
    alone = path.read_text("utf-8").replace("makes: [tin loaf, rolls]", "makes: tin loaf")
    path.write_text("\n".join(alone.splitlines()[:-1]) + "\n", "utf-8")
    assert main(["make", str(path), "--out", str(class_folder / "out")]) == 0


WRITTEN = {
    "a year no class is in": (
        ("day", ("2027-03-13", "9999-12-31")),
        ["day.yaml:4:7: the date is '9999-12-31'; write a year from 2000 to 2199"],
    ),
    "an oven that takes a day to warm up": (
        ("kitchen", ("hottest: 250 C", "hottest: 250 C, warm-up: 20 h, recovery: 2 h")),
        [
            "kitchen.yaml:4:67: 'warm-up' is '20 h'; an oven takes at most 180 min",
            "kitchen.yaml:4:83: 'recovery' is '2 h'; an oven takes at most 60 min",
        ],
    ),
    "a web address too long for the code on a card": (
        ("day", ("class: Saturday", f"class: Saturday\nweb: https://example.org/{'a' * 120}")),
        [
            "day.yaml:2:6: the web address has 140 signs; keep it to 130, so that its code on the card can be read"
        ],
    ),
    "loading that takes longer than baking": (
        (
            "day",
            ("pace: 1.5", "pace: 1.5\ntimes: {loading: 8 h, unloading: 60 min, cleaning: 5 h}"),
        ),
        [
            "day.yaml:9:18: 'loading' is '8 h'; it is at most 15 min",
            "day.yaml:9:34: 'unloading' is '60 min'; it is at most 15 min",
            "day.yaml:9:52: 'cleaning' is '5 h'; it is at most 3 h",
        ],
    ),
    "a name too long for a label": (
        ("kitchen", ("Left:", f"{'Left' * 20}:")),
        [
            "kitchen.yaml:4:3: the name 'LeftLeftLeftLeftLeft ...' has 80 signs; keep it to 60, so that it stands on a label"
        ],
    ),
    "a thing without a name": (
        ("day", ("{A: window bench}", "{A: window bench, '': door}")),
        [
            "day.yaml:10:29: an entry of 'stations' has no name; write one before the colon",
            "day.yaml:10:29: nobody works at station ; take the station away, or send somebody there",
            "day.yaml:10:29: a station is called ''; use a letter or a short word; the tutor's own bench comes with 'demonstration'",
        ],
    ),
}


@pytest.mark.parametrize("case", WRITTEN.values(), ids=WRITTEN)
def test_what_a_tutor_may_write_and_no_pack_can_use_is_told_at_its_line(
    case: tuple[tuple[str, tuple[str, str]], list[str]],
    class_folder: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    (name, change), lines = case
    changed(class_folder, name, change)
    assert sorted(told(class_folder, capsys)) == sorted(lines)


def test_a_class_far_too_late_is_a_problem_until_it_is_accepted(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed(class_folder, "day", ("end: 15:00", "end: 11:30"))
    (line,) = told(class_folder, capsys)
    assert line.startswith("day.yaml:6:6: the class would end at ")
    assert line.endswith("or write 'late: is accepted', and the pack is made as it is")
    assert "Start " in line
    changed(class_folder, "day", ("end: ", "late: is accepted\nend: "))
    assert main(["check", str(class_folder / "day.yaml")]) == 0


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("day", ("end: 15:00", "end: 23:00")),
        ("day", ("makes: rolls,", "makes: {rolls: 200},")),
    ],
    ids=["booked from ten to eleven at night", "done long after midnight"],
)
def test_a_day_longer_than_one_page_is_printed_in_parts(
    name: str, change: tuple[str, str], class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed(class_folder, name, change)
    changed(class_folder, "day", ("end: ", "late: is accepted\nend: "))
    out = class_folder / "out"
    assert main(["make", str(class_folder / "day.yaml"), "--out", str(out)]) == 0
    chart = pypdf.PdfReader(out / "day" / "wall-chart.pdf")
    assert len(chart.pages) == 2
    assert "10:00" in chart.pages[0].extract_text()


def classpack(*command: str, folder: Path, **more: Any) -> subprocess.CompletedProcess[str]:
    """The command as a tutor types it, in a process of its own."""
    here = str(Path(__file__).parent.parent)
    return subprocess.run(
        [sys.executable, *more.pop("options", ()), "-m", "classpack", *command],
        cwd=folder, text=True, encoding="utf-8", stderr=subprocess.PIPE,
        env=os.environ | {"PYTHONPATH": here} | more.pop("env", {}), **more,
    )  # fmt: skip


def test_an_output_that_takes_no_more_is_told_without_a_traceback(class_folder: Path) -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("no full device here")
    with full.open("w") as out:
        done = classpack("check", "day.yaml", folder=class_folder, stdout=out)
    assert (done.returncode, done.stderr) == (1, "the output: no space left on device\n")


def test_a_listener_that_goes_away_ends_the_talk_quietly(class_folder: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "w") as out:
        done = classpack("show", "day.yaml", folder=class_folder, stdout=out)
    assert (done.returncode, done.stderr) == (1, "")


def test_an_output_folder_with_too_long_a_name_is_refused(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = class_folder / ("x" * 300)
    (said,) = told(class_folder, capsys, "make", str(class_folder / "day.yaml"), "--out", str(out))
    assert said.endswith(
        "/day:1:1: the pack cannot be written: file name too long; name a folder you may write to with --out, with room on its disk"
    )


@pytest.mark.parametrize("option", [(), ("--templates",)], ids=["example files", "templates"])
def test_a_copy_to_work_in_goes_into_a_new_folder_that_can_be_written(
    option: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine").mkdir()
    note = tmp_path / "mine" / "note.txt"
    note.write_text("mine", "utf-8")
    full = "'{}' is not empty; name a new folder, so that nothing of yours is overwritten"
    unwritten = "the folder cannot be written: {}; name a folder you may write to"
    for place, wrong in (
        ("mine", full.format(tmp_path / "mine")),
        ("mine/note.txt", full.format(note)),
        ("mine/note.txt/x", unwritten.format("not a directory")),
        ("x" * 300, unwritten.format("file name too long")),
    ):
        assert main(["start", *option, str(tmp_path / place)]) == 1
        assert capsys.readouterr().err.splitlines()[0] == f"{tmp_path / place}:1:1: {wrong}"
    assert note.read_text("utf-8") == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine"]


@pytest.mark.parametrize("name", ["...yaml", "two\nlines.yaml", "b\udce4ker.yaml"])
def test_a_class_file_whose_name_cannot_name_a_pack_is_refused(
    name: str, class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = class_folder / name
    (class_folder / "day.yaml").rename(path)
    assert main(["make", str(path), "--out", str(class_folder / "out")]) == 1
    said = capsys.readouterr().err
    assert "the pack would be named after" in said
    assert "give the file a name of letters that can be printed, as in 'saturday.yaml'" in said
    assert not (class_folder / "out").exists()


def test_a_time_that_is_none_is_a_mistyped_command(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["again", str(class_folder / "day.yaml"), "--now", "25:00"])
    assert ended.value.code == 2
    assert "argument --now: '25:00' is no time of day, as in 11:40" in capsys.readouterr().err


def test_bookings_without_columns_say_so_once_and_not_for_every_row(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = class_folder / "day.yaml"
    text = path.read_text("utf-8")
    path.write_text(f"{text[: text.index('people:')]}bookings: {{file: b.csv}}\n", "utf-8")
    (class_folder / "b.csv").write_text("Name,Needs\n" + "Ada,none\n" * 20, "utf-8")
    said = told(class_folder, capsys)
    assert said[0].startswith("day.yaml:11:11: 'bookings' has no 'columns'")
    assert len(said) <= 2


# ---------------------------------------------------------------- a tutor's own templates


def cut(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


BROKEN: dict[str, tuple[Callable[[Path], object], str]] = {
    "a look in another encoding": (
        lambda t: (t / "look.yaml").write_bytes(b"\xff\xfe"),
        "look.yaml:1:1: the file is not UTF-8 text; save it as UTF-8 in your editor",
    ),
    "words in another encoding": (
        lambda t: (t / "words" / "en" / "card.yaml").write_bytes(b"\xff\xfe"),
        "words/en/card.yaml:1:1: the file is not UTF-8 text; save it as UTF-8 in your editor",
    ),
    "half a font": (
        lambda t: [one.write_bytes(one.read_bytes()[:2000]) for one in t.glob("fonts/*.ttf")],
        "a font of 'text' is no whole TrueType file; take it from classpack's own 'fonts/', or from its maker again",
    ),
    "a template without a sheet": (
        lambda t: (t / "pdf" / "recipe_card.xml").write_text("<sheets></sheets>"),
        'recipe_card.xml:1:1: there is no sheet; write <sheet title="..."> with blocks inside </sheet>',
    ),
    "a template that includes itself": (
        lambda t: (t / "pdf" / "costs.xml").write_text("{% include 'pdf/costs.xml' %}"),
        "costs.xml:1:1: this template includes itself without end; take one of the two away",
    ),
    "a card without its cautions": (
        lambda t: cut(t / "pdf" / "recipe_card.xml", "in step.cautions %}", "in [] %}"),
        "the caution 'Stand to the side. Open a little. Let steam out. Then reach.' is not printed here; print every caution of a sheet, as classpack's own template does",
    ),
    "a card without what the breads contain": (
        lambda t: cut(t / "pdf" / "recipe_card.xml", "in card.contains %}", "in [] %}"),
        "the allergen 'wheat' is not named here; print what each bread contains, as classpack's own template does",
    ),
    "a station sheet without its cautions": (
        lambda t: cut(t / "pdf" / "station_sheet.xml", "in one.cautions %}", "in [] %}"),
        "the caution 'Hot oven: dry gloves, close sleeves, hair tied, floor clear.' is not printed here; print every caution of a sheet, as classpack's own template does",
    ),
    "tub labels without what is in them": (
        lambda t: cut(t / "pdf" / "tub_labels.xml", "{% if label.holds %}", "{% if false %}"),
        "own/pdf/tub_labels.xml:5:1: the allergen 'wheat' is not named on the tub of 'strong white flour'; print what each tub holds, as classpack's own template does",
    ),
    "take-home pages without their cautions": (
        lambda t: cut(t / "html" / "bread.html", "in step.cautions %}", "in [] %}"),
        "own/html/bread.html:1:1: the caution 'Stand to the side. Open a little. Let steam out. Then reach.' is not printed here; print every caution of a sheet, as classpack's own template does",
    ),
}


@pytest.mark.parametrize("case", BROKEN.values(), ids=BROKEN)
def test_templates_broken_by_their_tutor_stop_the_pack_in_words(
    case: tuple[Callable[[Path], object], str],
    class_folder: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    spoil, line = case
    templates = class_folder / "own"
    shutil.copytree(own_folder("templates"), templates)
    spoil(templates)
    out = class_folder / "out"
    said = told(
        class_folder, capsys, "make", str(class_folder / "day.yaml"),
        "--out", str(out), "--templates", str(templates),
    )  # fmt: skip
    assert any(one.endswith(line) for one in said), said
    assert not out.exists()
