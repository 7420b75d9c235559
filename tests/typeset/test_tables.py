"""Tables: decimal signs in one line, widths within the measure, heads never alone."""

from __future__ import annotations

import io
from collections.abc import Callable

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from classpack.errors import LessonError, Spot
from classpack.pages.look_file import read_look
from classpack.places import own_folder
from classpack.typeset.table_columns import Cell, Row, column_widths
from classpack.typeset.text import Ink, TextSpan

LOOK = read_look(own_folder("templates"))
INK = Ink(LOOK.fonts.face(), 12, "0 0 0")
SPOT = Spot("t.xml", 1)


def row(*texts: str) -> Row:
    return Row(tuple(Cell((TextSpan(t, INK),) if t else ()) for t in texts))


WIDTH = st.sampled_from(["auto", "*", "2*", "10mm", "12%"])


@settings(max_examples=150, deadline=None)
@given(
    st.lists(WIDTH, min_size=1, max_size=6),
    st.lists(st.text("abc de", max_size=60), min_size=6, max_size=6),
    st.integers(200, 600),
)
def test_columns_fill_the_measure_or_are_refused(
    asked: list[str], texts: list[str], measure: int
) -> None:
    try:
        widths = column_widths(
            asked, [row(*texts[: len(asked)])], measure, SPOT, ["left"] * len(asked)
        )
    except LessonError:
        assert any("mm" in a or "%" in a for a in asked) or len(asked) * 14 > measure / 2
        return
    assert sum(widths) <= measure + 0.6
    assert all(width > 0 for width in widths)
    if any("*" in a for a in asked):
        assert sum(widths) == pytest.approx(measure, abs=0.6)


def test_narrow_columns_keep_their_width_when_a_wide_one_must_wrap() -> None:
    rows = [
        row(
            "12 g",
            "a very long remark that cannot stand on one line whatever one does to it",
            "yes",
        )
    ]
    widths = column_widths(["auto", "auto", "auto"], rows, 200, SPOT, ["left"] * 3)
    natural = column_widths(["auto", "auto", "auto"], rows, 2000, SPOT, ["left"] * 3)
    assert widths[0] == natural[0]
    assert widths[2] == natural[2]
    assert sum(widths) == pytest.approx(200)


@pytest.mark.parametrize("sign", [".", ","])
def test_decimal_signs_stand_in_one_line(sign: str, printed: Callable[..., bytes]) -> None:
    amounts = [a.replace(".", sign) for a in ("698", "12.6", "6.35", "1184", "0.9")]
    parts = "".join(f'<part grams="{a}">thing</part>' for a in amounts)
    data = printed(f'<weigh grams="grams">{parts}</weigh>', kind="plain")
    with pdfplumber.open(io.BytesIO(data)) as document:
        words = {w["text"]: w for w in document.pages[0].extract_words()}
        chars = document.pages[0].chars
    places = []
    for amount in amounts:
        word = words[amount]
        inside = [
            c
            for c in chars
            if abs(c["top"] - word["top"]) < 1 and word["x0"] - 0.1 <= c["x0"] < word["x1"]
        ]
        mark = next((c for c in inside if c["text"] == sign), None)
        places.append(mark["x0"] if mark else word["x1"])
    assert max(places) - min(places) < 0.2


def test_a_sub_head_never_stands_alone_at_the_foot(printed: Callable[..., bytes]) -> None:
    for count in range(24, 34):
        before = "".join(f"<row><cell>before {n}</cell></row>" for n in range(count))
        data = printed(
            f'<table widths="*"><head><cell>thing</cell></head>{before}<group>Aisle</group><row><cell>after</cell></row></table>',
            kind="plain",
        )
        with pdfplumber.open(io.BytesIO(data)) as document:
            for one in document.pages:
                text = one.extract_text()
                assert ("Aisle" in text) == ("after" in text)


def test_a_sum_stays_with_its_last_row(printed: Callable[..., bytes]) -> None:
    for count in range(24, 34):
        before = "".join(f"<row><cell>row {n} of it</cell></row>" for n in range(count))
        data = printed(
            f'<table widths="*">{before}<row kind="total"><cell>altogether</cell></row></table>',
            kind="plain",
        )
        with pdfplumber.open(io.BytesIO(data)) as document:
            for one in document.pages:
                text = one.extract_text()
                assert ("altogether" in text) == (f"row {count - 1} of it" in text)


def test_rows_kept_together_are_parted_when_they_fill_more_than_a_page(
    printed: Callable[..., bytes],
) -> None:
    rows = "".join(f'<row keep-next="yes"><cell>row {n}.</cell></row>' for n in range(120))
    data = printed(f'<table widths="*"><head><cell>head</cell></head>{rows}</table>', kind="list")
    texts = [one.extract_text() for one in PdfReader(io.BytesIO(data)).pages]
    assert len(texts) > 1
    assert [n for n in range(120) if f"row {n}." not in " ".join(texts)] == []
    assert all("head" in text for text in texts)
