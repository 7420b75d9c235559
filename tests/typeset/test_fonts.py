"""Which letters can be printed, and what is said of the others."""

from __future__ import annotations

import pytest

from classpack.typeset.look import Look


@pytest.mark.parametrize(
    "text",
    [
        "Žofie Ćosić Łukasz Ğülşen Ħamrun Ŵyn Ŋaya",  # Latin Extended-A
        "Nguyễn Thị Ánh Đặng Phượng Quỳnh",  # Vietnamese
        "Ελευθερία Παπαδοπούλου ϊ ΰ",  # Greek
        "Олександра Їжакевич Ђорђе Ѓорѓи Ўладзімір",  # Cyrillic
        "½ ¼ ¾ ⅓ ⅔ ° × → ☐ ✓ ≈ ≤ ≥ − – — ’ “ ” … € £",
    ],
)
def test_names_and_signs_of_a_kitchen_can_be_printed(text: str, look: Look) -> None:
    for role in range(4):
        assert set(text) <= look.fonts.families[0].faces[role].letters
    assert look.fonts.lacks(text) == []


def test_each_missing_letter_is_named_once(look: Look) -> None:
    assert look.fonts.lacks("梅 and 梅 and שם") == ["梅", "ש", "ם"]


def test_faces_have_names_of_their_own(look: Look) -> None:
    """Two faces with one PostScript name would be merged silently: bold would print as regular."""
    names = [face.font.face.name for face in look.fonts.families[0].faces]
    assert len(set(names)) == 4
    assert look.fonts.face().width("Mehl") < look.fonts.face(True).width("Mehl")
