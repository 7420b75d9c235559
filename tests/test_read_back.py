"""Every sheet of every demo class read back by its ink, also with the longest texts a class may have."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import page as page_validation
import pytest
from reportlab.pdfgen.canvas import Canvas

from classpack.class_files import read_sources
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.workshop import Pack, print_pack
from tests.conftest import DEMOS, printed_demo
from tests.read_back import faults

TEMPLATES = own_folder("templates")
LONG_WORD = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"


def all_faults(pack: Pack) -> list[str]:
    """The faults of every single sheet. The joined pack holds the same pages; two A5 cards on a sheet only there."""
    return [
        f"{name}, {one}"
        for name, data in pack.files.items()
        if name.endswith(".pdf") and name != "pack.pdf"
        for one in faults(data)
    ]


# ---------------------------------------------------------------- the reading itself


def drawn(draw: Callable[[Canvas], None]) -> bytes:
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(300, 200))
    canvas.setFont("Helvetica", 20)
    draw(canvas)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


@pytest.mark.parametrize(
    ("draw", "said"),
    [
        (lambda c: (c.drawString(50, 100, "HH"), c.line(20, 107, 200, 107)), "a line across"),
        (lambda c: (c.drawString(50, 100, "HH"), c.line(57, 50, 57, 150)), "a line down"),
        (lambda c: (c.drawString(50, 100, "HH"), c.rect(40, 107, 99, 50)), "a line across"),
        (lambda c: (c.drawString(50, 100, "H"), c.drawString(52, 101, "N")), "lies on"),
        (lambda c: c.drawString(2, 100, "H"), "near the paper's edge"),
    ],
)
def test_a_planted_fault_is_found(draw: Callable[[Canvas], None], said: str) -> None:
    assert any(said in one for one in faults(drawn(draw)))


def test_words_in_a_box_and_over_a_line_are_no_fault() -> None:
    assert (
        faults(
            drawn(
                lambda c: (
                    c.drawString(50, 100, "Hands, jug"),
                    c.rect(40, 90, 150, 40),
                    c.line(40, 94, 190, 94),
                )
            )
        )
        == []
    )


# ---------------------------------------------------------------- every sheet of every class


def test_nothing_lies_on_anything_on_any_sheet(demo: tuple[Planned, Pack]) -> None:
    assert all_faults(demo[1]) == []


@pytest.mark.parametrize(
    ("paper", "style"),
    [
        ("Letter", "normal"),
        ("A5", "normal"),
        ("A5-on-A4", "normal"),
        ("A4", "large print"),
        ("Letter", "large print"),
        ("A5", "large print"),
        ("A4", "high contrast"),
        ("A4", "ink saving"),
    ],
)
def test_every_paper_and_every_style_prints_cleanly(paper: str, style: str) -> None:
    pack = printed_demo("one-to-one", paper, style)
    assert all_faults(pack) == []
    assert faults(pack.files["pack.pdf"]) == []


# ---------------------------------------------------------------- the longest texts


def long_class(name: str, folder: Path) -> Planned:
    """A demo class with names of 80 letters, every step said twice, and an ingredient with a very long name."""
    for path in own_folder("lessons").glob("*.csv"):
        (folder / path.name).write_bytes(path.read_bytes())
    for path in own_folder("lessons").glob("*.yaml"):
        text = path.read_text("utf-8")
        text = re.sub(
            r'^( +(?:- )?(?:text|mix|knead|shape|divide|round|pan|top|glaze|load|take out|weigh|score): )"(.*)"$',
            rf'\1"\2 \2 {LONG_WORD}."',
            text,
            flags=re.MULTILINE,
        )
        text = text.replace("fine salt", LONG_INGREDIENT)
        if f"\n  {LONG_INGREDIENT}:\n    allergens: none\n" in text:
            text = text.replace(
                f"\n  {LONG_INGREDIENT}:\n    allergens: none\n",
                f"\n  {LONG_INGREDIENT}:\n    kind: salt\n    aisle: leavening and salt\n    allergens: none\n",
            )
        lines = text.split("\n")
        for number, line in enumerate(lines):
            if line.startswith("  - name: ") and "bookings:" not in text:
                lines[number] = f"  - name: {f'W{number} {LONG_NAME}'[:80]}"
        text = "\n".join(lines)
        (folder / path.name).write_text(text, "utf-8")
    return plan_class(read_sources(folder / f"{name}.yaml", TEMPLATES))


LONG_NAME = "Konstantinopolska-Featherstonehaugh van den Berghe-Lindqvist of Tarn and Brae Hill"
LONG_INGREDIENT = "fine hand-harvested salt from the old pans by the upper mill"


@pytest.mark.parametrize(
    ("name", "paper"), [*((name, "A4") for name in DEMOS), ("one-to-one", "A5")]
)
def test_the_longest_texts_stay_in_their_place(name: str, paper: str, tmp_path: Path) -> None:
    planned = long_class(name, tmp_path)
    pack = print_pack(planned, paper, TEMPLATES)
    assert all_faults(pack) == []
    for sheet, data in pack.files.items():
        if sheet.endswith(".pdf"):  # ISO 14289-1:2014, as page-validation reads it
            report = page_validation.validate_pdf_bytes(
                data, profile=page_validation.ValidationProfile.PDF_UA_1
            )
            assert report.is_compliant, (sheet, report)
