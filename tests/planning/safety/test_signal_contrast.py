"""Signal words and signs stay legible: luminance contrast of the pack's own safety colours."""

from pathlib import Path

import pytest
import yaml

LOOK = Path(__file__).parents[3] / "templates" / "look.yaml"
COLOURS = {
    k: str(v) for k, v in yaml.load(LOOK.read_text("utf-8"), yaml.BaseLoader)["colours"].items()
}


def luminance(hex_colour: str) -> float:
    """WCAG 2.2, definition of relative luminance."""
    parts = [int(hex_colour[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_on_its_own_end_points():
    assert contrast("000000", "FFFFFF") == pytest.approx(21)
    assert contrast("777777", "FFFFFF") == pytest.approx(
        4.48, abs=0.01
    )  # the well-known grey that just fails


@pytest.mark.parametrize(
    ("ground", "text"),
    [
        ("yellow", "ink"),
        ("ink", "white"),
        ("red", "white"),
        ("blue", "white"),
        ("green", "white"),
        ("white", "ink"),
    ],
)
def test_words_on_safety_colours_have_at_least_4_5_to_1(ground, text):
    """WCAG 2.2, success criterion 1.4.3 (minimum contrast)."""
    assert contrast(COLOURS[ground], COLOURS[text]) >= 4.5


def test_warning_orange_carries_black_and_never_white():
    """RAL 2010 signal orange as D05D29 (ISO 3864-4, screen values of a public encyclopaedia): white on it fails 4.5:1."""
    assert contrast("D05D29", "FFFFFF") < 4.5 < contrast("D05D29", "000000")


def test_red_and_blue_print_as_the_same_grey_so_shape_and_word_must_differ():
    """Why WCAG 2.2, 1.4.1 (use of colour) binds here: DANGER and NOTICE cannot be told apart by grey alone."""
    assert abs(luminance(COLOURS["red"]) - luminance(COLOURS["blue"])) < 0.02
