"""Who runs the class, as its paper says it: the class file's ``school`` (a name, or name and colour) and ``logo``."""

from __future__ import annotations

import re

from classpack.quantities import NotUnderstood
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import Fields, Text

LEAST_CONTRAST = 7.0
"""Accent words stand among body text: WCAG 2.2, success criterion 1.4.6 (contrast, enhanced), 2023."""
LOGO_ENDINGS = (".png", ".jpg", ".jpeg")


def read_school(top: Section) -> tuple[str, str]:
    """The school's name and its accent colour as six hexadecimal digits; each empty when the file does not say it."""
    node = top.raw("school")
    if not isinstance(node, Fields):
        return top.text("school"), ""
    section = Section(node, "the school", top.problems)
    name = section.text("name", "the school's name, as in 'name: Harbour Bakes'")
    colour = section.read("colour", _accent) or ""
    section.close()
    return name, colour


def read_logo(top: Section) -> Text | None:
    """The logo's file name as written: a PNG or JPEG picture."""
    node = top.raw("logo")
    if node is None:
        return None
    if isinstance(node, Text) and node.value.lower().endswith(".svg"):
        top.problem(
            node.spot,
            f"the logo '{node.value}' is a drawing, and a logo is a PNG or JPEG picture",
            "open it in a drawing program and save it as a PNG, 750 dots wide or more",
        )
        return None
    if not isinstance(node, Text) or not node.value.lower().endswith(LOGO_ENDINGS):
        top.problem(
            node.spot,
            "'logo' is no picture's file name",
            "name a PNG or JPEG file beside the class file, as in 'logo: logo.png'",
        )
        return None
    return node


def contrast_on_white(colour: str) -> float:
    """Contrast of a colour (six hexadecimal digits) on white paper, 1 to 21: WCAG 2.2, 'contrast ratio'.

    >>> round(contrast_on_white("000000"), 1), round(contrast_on_white("777777"), 2)
    (21.0, 4.48)
    """
    parts = [int(colour[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)


def _accent(text: str) -> str:
    colour = text.removeprefix("#")
    if not re.fullmatch("[0-9A-Fa-f]{6}", colour):
        raise NotUnderstood(
            f"'colour' is '{text}'", "write six hexadecimal digits in quotes, as in '\"00485A\"'"
        )
    contrast = contrast_on_white(colour)
    if contrast < LEAST_CONTRAST:
        raise NotUnderstood(
            f"the colour '{text}' is too pale to read on paper, {contrast:.1f} to 1",
            "choose a darker one: the words set in it need 7 to 1",
        )
    return colour.upper()
