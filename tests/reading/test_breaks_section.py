"""Breaks of a class day as a tutor writes them, and what is wrong with them at their line."""

from fractions import Fraction

import pytest

from classpack.model.class_day import Pause
from classpack.reading.breaks_section import read_breaks
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import read_nodes


def read(text: str) -> tuple[tuple[Pause, ...], list[str]]:
    problems = []
    top = Section(read_nodes(f"breaks:\n{text}", "day.yaml"), "the class", problems)
    found = read_breaks(top, 10 * 60, 15 * 60, Fraction(15))
    return found, [str(one) for one in problems]


def test_meals_and_breaks_with_and_without_a_time():
    found, problems = read(
        "  - lunch: 45 min\n    at: 12:15-13:00\n  - coffee: 15 min\n  - tea: 10 min\n    at: 14:00\n"
    )
    assert problems == []
    assert found == (
        Pause("lunch", Fraction(45), 135, 180),
        Pause("coffee", Fraction(15)),
        Pause("tea", Fraction(10), 240, 240),
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "  - tea: 15 min\n    at: 14:45\n",
            "day.yaml:3:9: tea at 14:45 does not lie between the start of the class (10:00) and its closing (14:45); let it begin by 14:30",
        ),
        (
            "  - lunch: 5 h\n",
            "day.yaml:2:12: 'lunch' is '5 h'; a break lasts 1 to 120 min",
        ),
        (
            "  - lunch: 45 min\n    at: 13:00-12:15\n",
            "day.yaml:3:9: 'at' is '13:00-12:15'; write the earlier time first",
        ),
        (
            "  - lunch: 45 min\n    at: 12:15\n  - soup: 15 min\n    at: 12:30\n",
            "day.yaml:5:9: soup and lunch are at the same time; move one of them",
        ),
        (
            "  - lunch: 45 min\n  - lunch: 15 min\n",
            "day.yaml:3:5: there are two breaks called 'lunch'; name them apart",
        ),
        (
            "  - at: 12:30\n",
            "day.yaml:2:5: a break without its name and minutes; write each as '- lunch: 45 min', and below it 'at: 12:15-13:00' or 'at: 12:30' if that matters",
        ),
    ],
)
def test_what_is_wrong_is_said_where_it_stands(text, said):
    assert read(text)[1] == [said]
