"""The whole way: from the files to the printed pack, read back."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import page
import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader
from reportlab.lib.units import mm

from classpack import pack_folder, workshop
from classpack.cli import main
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned
from classpack.quantities import plain, show_clock
from classpack.sheets.stations.station_sheet import station_sheet
from classpack.workshop import Pack, print_pack
from tests.conftest import planned_demo
from tests.kept import page_texts

Demo = tuple[Planned, Pack]


def words(pdf: bytes) -> str:
    """All text of a PDF, white space folded."""
    return " ".join(" ".join(page_texts(pdf)).split())


def pdfs(pack: Pack) -> dict[str, bytes]:
    return {name: data for name, data in pack.files.items() if name.endswith(".pdf")}


def test_every_pdf_passes_pdf_ua_1(
    demo: Demo,
) -> None:  # ISO 14289-1:2014, as page-validation reads it
    for name, data in pdfs(demo[1]).items():
        report = page.validate_pdf_bytes(data, profile=page.ValidationProfile.PDF_UA_1)
        assert report.is_compliant, (name, report)


def test_nothing_prints_as_an_empty_box_and_every_pdf_says_its_language_and_title(
    demo: Demo,
) -> None:
    for name, data in pdfs(demo[1]).items():
        reader = PdfReader(io.BytesIO(data))
        text = " ".join(page_texts(data))
        assert "\0" not in text, name
        assert "■" not in text, name
        assert reader.trailer["/Root"]["/Lang"] == "en", name
        assert reader.metadata is not None, name
        assert reader.metadata.title, name


def test_every_card_prints_its_own_grams_beside_the_ingredient(demo: Demo) -> None:
    planned, pack = demo
    for person in planned.plan.people:
        if not person.portions:
            continue
        text = words(pack.files[f"cards/{person.person.seat}.pdf"])
        unit = planned.plan.unit(person.unit)
        lines = [
            *(unit.lines if unit.kind != "class" else ()),
            *(t for p in person.portions for t in p.toppings),
        ]
        for line in lines:
            assert re.search(rf"\b{re.escape(plain(line.grams))}\b", text), (
                person.person.seat,
                line,
            )
            assert line.ingredient.lower() in text.lower(), (person.person.seat, line)
        assert person.person.name in text


def test_every_card_says_how_hot_the_middle_is(demo: Demo) -> None:
    """Once for each of its breads, whether the bread's cue says it or not: the caution before it asks for it."""
    planned, pack = demo
    for person in planned.plan.people:
        ranges = [
            bread.bake.core_c
            for one in person.portions
            if (bread := planned.plan.lesson.variation(one.variation)).bake.core_c
        ]
        if not ranges:
            continue
        text = words(pack.files[f"cards/{person.person.seat}.pdf"])
        for low, high in set(ranges):
            said = len(re.findall(rf"\b{plain(low)} to {plain(high)}\s°C", text))
            assert said == ranges.count((low, high)), person.person.seat


def test_a_station_prints_the_minute_of_each_step_before_the_oven_and_who_only_watches(
    demo: Demo,
) -> None:
    planned, pack = demo
    plan = planned.plan
    for station in plan.stations:
        name = f"stations/{station.station.name}.pdf"
        text = words(pack.files[name]) if name in pack.files else ""
        for one in station_sheet(plan, station).clock if text else ():
            for step, minute in zip(one.steps[1:], one.step_min[1:], strict=False):
                begun = show_clock(plan.timed.clock(minute))
                assert f"· {begun} {step.head or step.stage.capitalize()}" in text, name
        watching = [i for i in station.people if not plan.people[i].portions]
        assert text.count("watches, bakes nothing today") == len(watching), name


def test_station_sheets_print_the_sums_of_their_cards(demo: Demo) -> None:
    planned, pack = demo
    for station in planned.plan.stations:
        text = words(pack.files[f"stations/{station.station.name}.pdf"])
        for line in station.weigh_out:
            assert plain(line.grams) in text, (station.station.name, line)


def test_the_codes_on_the_cards_can_be_read_at_100_dpi(demo: Demo) -> None:
    planned, pack = demo
    card = next(name for name in pack.files if name.startswith("cards/"))
    found = []
    for one in pypdfium2.PdfDocument(pack.files[card]):
        found += zxingcpp.read_barcodes(one.render(scale=100 / 72, grayscale=True).to_pil())
    assert found
    for code in found:
        assert len(code.text.encode()) <= 250
        assert all(person.name not in code.text for person in planned.plan.day.people)


@pytest.mark.parametrize(
    ("paper", "width_mm", "height_mm"),
    [
        ("A4", 210, 297),  # ISO 216:2007, table 1
        ("Letter", 215.9, 279.4),  # 8.5 x 11 inches, ANSI Y14.1
    ],
)
def test_pages_have_the_paper_asked_for(paper: str, width_mm: float, height_mm: float) -> None:
    pack = print_pack(planned_demo("one-to-one"), paper, own_folder("templates"))
    card = next(data for name, data in pack.files.items() if name.startswith("cards/"))
    box = PdfReader(io.BytesIO(card)).pages[0].mediabox
    assert abs(float(box.width) / mm - width_mm) < 0.5
    assert abs(float(box.height) / mm - height_mm) < 0.5


def test_the_same_files_give_the_same_bytes() -> None:
    first, second = (
        print_pack(planned_demo("one-to-one"), "A4", own_folder("templates")) for _ in range(2)
    )
    assert first.files == second.files


def test_the_joined_pack_has_an_entry_for_every_sheet(demo: Demo) -> None:
    outline = PdfReader(io.BytesIO(demo[1].files["pack.pdf"])).outline
    tops = [entry for entry in outline if not isinstance(entry, list)]
    shared = [
        name
        for name in pdfs(demo[1])
        if name != "pack.pdf" and not name.startswith("confidential/")
    ]
    assert len(tops) >= len(shared)


def test_class_json_holds_the_grams_of_the_cards(demo: Demo) -> None:
    planned, pack = demo
    data = json.loads(pack.files["class.json"])
    for unit, said in zip(planned.plan.units, data["doughs"], strict=True):
        assert [line["ingredient"] for line in said["lines"]] == [
            line.ingredient for line in unit.lines
        ]
        assert [line["grams"] for line in said["lines"]] == [
            float(line.grams) for line in unit.lines
        ]


# ---------------------------------------------------------------- writing


def made(folder: Path, out: Path) -> int:
    return main(["make", str(folder / "day.yaml"), "--out", str(out)])


def test_make_lists_the_sheets_and_their_pages(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert made(class_folder, class_folder / "out") == 0
    said = capsys.readouterr().out
    assert "cards/A1.pdf" in said
    assert (class_folder / "out" / "day" / "pack.pdf").is_file()
    assert "pages in pack.pdf" in said


def test_a_pack_is_replaced_whole_and_stays_when_the_files_have_a_mistake(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = class_folder / "out"
    assert made(class_folder, out) == 0
    before = {path: path.read_bytes() for path in (out / "day").rglob("*") if path.is_file()}
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8").replace("makes: rolls", "makes: rols"), "utf-8")
    assert made(class_folder, out) == 1
    assert capsys.readouterr().err.splitlines() == [
        f"{day}:13:43: there is no bread 'rols' in the lesson; did you mean 'rolls'?",
        "1 thing to mend; nothing was written",
    ]
    assert {
        path: path.read_bytes() for path in (out / "day").rglob("*") if path.is_file()
    } == before
    assert sorted(path.name for path in out.iterdir()) == ["day"]
    day.write_text(day.read_text("utf-8").replace("makes: rols", "makes: tin loaf"), "utf-8")
    assert made(class_folder, out) == 0
    assert "1 tin loaf" in words((out / "day" / "cards" / "A2.pdf").read_bytes())


def test_a_folder_that_is_no_pack_is_never_replaced(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mine = class_folder / "out" / "day"
    mine.mkdir(parents=True)
    (mine / "diary.txt").write_text("mine")
    assert made(class_folder, class_folder / "out") == 1
    assert (
        f"'{mine}' is there and is no pack; name another folder with --out, or move it away"
        in capsys.readouterr().err
    )
    assert (mine / "diary.txt").read_text() == "mine"


@pytest.mark.parametrize("failing", ["write_bytes", "rename"])
def test_a_full_disk_leaves_the_old_pack_and_no_half_one(
    class_folder: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    failing: str,
) -> None:
    out = class_folder / "out"
    assert made(class_folder, out) == 0
    before = (out / "day" / "pack.pdf").read_bytes()
    capsys.readouterr()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    if failing == "write_bytes":
        monkeypatch.setattr(Path, "write_bytes", full)
    else:
        monkeypatch.setattr(pack_folder, "_exchanged", lambda *_: False)
        monkeypatch.setattr(pack_folder.os, "rename", full)
    assert made(class_folder, out) == 1
    assert "the pack cannot be written: no space left on device" in capsys.readouterr().err
    assert (out / "day" / "pack.pdf").read_bytes() == before
    assert [path.name for path in out.iterdir()] == ["day"]


def test_an_unwritable_folder_is_said(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blocked = class_folder / "blocked"
    blocked.write_text("a file stands where the folder should be")
    assert made(class_folder, blocked / "out") == 1
    assert "the pack cannot be written: " in capsys.readouterr().err


def test_ctrl_c_changes_nothing(
    class_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(workshop, "print_pack", stopped)
    assert made(class_folder, class_folder / "out") == 130
    assert capsys.readouterr().err.endswith("stopped; nothing was changed\n")
    assert not (class_folder / "out").exists()


# ---------------------------------------------------------------- hostile and odd input


def test_a_name_is_printed_as_it_is_written(class_folder: Path) -> None:
    name = "<b>Ada</b> & \"Bo\" 'Ö' {{ day }}"
    day = class_folder / "day.yaml"
    quoted = name.replace("'", "''")
    day.write_text(
        day.read_text("utf-8").replace("name: Ada Lindqvist", f"name: '{quoted}'"), "utf-8"
    )
    assert made(class_folder, class_folder / "out") == 0
    assert name in words((class_folder / "out" / "day" / "cards" / "A1.pdf").read_bytes())


def test_a_name_of_80_letters_prints_whole(class_folder: Path) -> None:
    name = "Wilhelmina Konstantinopolska-Featherstonehaugh van den Berghe-Lindqvist of Tarn"
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8").replace("Ada Lindqvist", name), "utf-8")
    assert made(class_folder, class_folder / "out") == 0
    text = words((class_folder / "out" / "day" / "cards" / "A1.pdf").read_bytes())
    assert name.replace(" ", "") in text.replace(" ", "").replace("\u00ad", "")


def test_letters_no_font_has_are_refused_at_their_line(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8").replace("Ada Lindqvist", "Ada \N{BREAD}"), "utf-8")
    assert made(class_folder, class_folder / "out") == 1
    assert capsys.readouterr().err.splitlines()[0] == (
        f"{day}:12:12: no font here has U+1F35E (BREAD), in 'Ada \N{BREAD}'; "
        "write it in Latin, Greek or Cyrillic letters, or add a font to the templates' look.yaml"
    )


def test_sixty_students_get_sixty_cards(class_folder: Path) -> None:
    day = class_folder / "day.yaml"
    people = "".join(
        f"  - {{name: Student {n}, station: A, makes: rolls, needs: none}}\n" for n in range(60)
    )
    head = day.read_text("utf-8").split("people:\n")[0]
    day.write_text(
        f"{head}confirmed: {{group size: two tutors share the class}}\npeople:\n{people}", "utf-8"
    )
    assert made(class_folder, class_folder / "out") == 0
    assert len(list((class_folder / "out" / "day" / "cards").iterdir())) == 60


def test_a_name_that_fits_no_slip_is_told_at_its_line_by_check_and_make(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day = class_folder / "day.yaml"
    name = "W" * 70
    day.write_text(day.read_text("utf-8").replace("Ada Lindqvist", name), "utf-8")
    said = (
        f"{day}:12:5: the name '{name}' fits on no name slip; keep it shorter, "
        "write 'first names only: yes', or give larger 'labels'\n1 thing to mend; nothing was written\n"
    )
    assert main(["check", str(day)]) == 1
    assert capsys.readouterr().err == said
    assert made(class_folder, class_folder / "out") == 1
    assert capsys.readouterr().err == said
