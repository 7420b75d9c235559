"""Paragraphs: nothing is wider than its measure, nothing is lost, no lonely words."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.pages.look_file import read_look
from classpack.places import own_folder
from classpack.typeset.fonts import tidy
from classpack.typeset.look import Look
from classpack.typeset.text import LONELY, Ink, Paragraph, TextSpan, fitting_size

LOOK = read_look(own_folder("templates"))
INK = Ink(LOOK.fonts.face(), 12, "0 0 0")
BOLD = Ink(LOOK.fonts.face(True), 12, "0 0 0")
WORDS = st.lists(st.text("abcdefgh-./", min_size=1, max_size=40), min_size=1, max_size=40)


def words_of(paragraph: Paragraph) -> str:
    """The text as printed, line by line."""
    return "\n".join("".join(run.text for run in runs).rstrip(" ") for _, runs in paragraph.lines)


@settings(max_examples=150, deadline=None)
@given(WORDS, st.integers(30, 300))
def test_no_line_is_wider_than_the_measure(words: list[str], measure: int) -> None:
    spans = [TextSpan(" ".join(words), INK)]
    for width, runs in Paragraph(spans, measure, 15).lines:
        assert runs
        assert width <= measure + 0.02


@settings(max_examples=100, deadline=None)
@given(WORDS, st.integers(60, 300))
def test_no_letter_is_lost(words: list[str], measure: int) -> None:
    text = " ".join(words)
    printed = words_of(Paragraph([TextSpan(text, INK)], measure, 15))
    assert printed.replace("\n", "").replace(" ", "").replace("-", "") == text.replace(
        " ", ""
    ).replace("-", "")


@settings(max_examples=100, deadline=None)
@given(WORDS, st.integers(40, 200), st.integers(1, 200))
def test_a_parted_paragraph_keeps_its_lines(words: list[str], measure: int, room: int) -> None:
    whole = Paragraph([TextSpan(" ".join(words), INK)], measure, 15)
    parts = whole.split(room)
    if parts:
        first, second = parts
        assert first.height <= room + 0.02
        assert len(first.lines) >= 2
        assert len(second.lines) >= 2
        assert words_of(first) + "\n" + words_of(second) == words_of(whole)


def test_a_last_line_is_no_lonely_word() -> None:
    text = "Push away with the heel of the hand, fold back, a quarter turn, and go on"
    wide = INK.face.width(text) * 12
    paragraph = Paragraph([TextSpan(text, INK)], wide - 5, 15)
    assert len(paragraph.lines) == 2
    assert paragraph.lines[-1][0] >= (wide - 5) * LONELY


def test_a_number_stays_with_its_unit() -> None:
    assert tidy("439 g of water at 24 °C, 2 × 15 ml, 1 h 10 min, 5 %") == (
        "439\u00a0g of water at 24\u00a0°C, 2\u00a0×\u00a015\u00a0ml, 1\u00a0h 10\u00a0min, 5\u00a0%"
    )


def test_a_word_in_two_looks_is_one_word() -> None:
    paragraph = Paragraph(
        [TextSpan("into ", INK), TextSpan("water", BOLD), TextSpan(". Add", INK)], 500, 15
    )
    assert words_of(paragraph) == "into water. Add"
    narrow = Paragraph(
        [TextSpan("into ", INK), TextSpan("water", BOLD), TextSpan(". Add", INK)],
        INK.face.width("into water") * 12 + 1,
        15,
    )
    assert words_of(narrow) == "into\nwater.\nAdd"


def test_a_word_that_is_too_long_is_parted_with_a_hyphen() -> None:
    paragraph = Paragraph([TextSpan("Sauerteigvollkornbrotbackform", INK)], 80, 15)
    lines = words_of(paragraph).split("\n")
    assert len(lines) == 3
    assert all(line.endswith("-") for line in lines[:-1])


def test_a_title_shrinks_in_half_points_to_its_smallest() -> None:
    face = LOOK.fonts.face(True)
    assert fitting_size(face, "Short", 32, 20, 400) == 32
    fits = fitting_size(face, "Maximiliana Konstantinopoulou", 32, 20, 400)
    assert (
        face.width("Maximiliana Konstantinopoulou") * fits
        <= 400
        < face.width("Maximiliana Konstantinopoulou") * (fits + 0.5)
    )
    assert fitting_size(face, "x" * 300, 32, 20, 400) == 20


def lines_of(text: str, measure: float, look: Look) -> list[str]:
    ink = Ink(look.fonts.face(), 10, "0 0 0")
    set_ = Paragraph([TextSpan(text, ink)], measure, 12, lonely=True)
    assert set_.width <= measure
    return ["".join(run.text for run in runs).rstrip(" ") for _, runs in set_.lines]


def test_a_word_is_parted_at_its_soft_hyphens_and_nowhere_shows_them(look: Look) -> None:
    word = "Weizen\u00advoll\u00adkorn\u00admehl"
    assert lines_of(f"Das {word} sieben", 200, look) == ["Das Weizenvollkornmehl sieben"]
    assert lines_of(f"Das {word} sieben", 62, look) == ["Das Weizen-", "vollkornmehl", "sieben"]


def test_a_soft_hyphen_too_far_along_does_not_save_a_word_that_is_too_wide(look: Look) -> None:
    parts = lines_of("Weizenvollkorn\u00admehl", 40, look)
    assert "".join(parts).replace("-", "") == "Weizenvollkornmehl"
    assert len(parts) > 2


def test_a_soft_hyphen_at_the_end_of_a_word_is_nothing(look: Look) -> None:
    assert lines_of("Mehl\u00ad und Salz", 200, look) == ["Mehl und Salz"]
    assert look.fonts.lacks("Mehl\u00ad") == []
