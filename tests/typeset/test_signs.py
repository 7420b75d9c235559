"""Safety signs: geometry, shares of colour, contrast, and that none is ever missing."""

from __future__ import annotations

import io
from collections.abc import Callable

import pypdfium2
import pytest
from PIL import Image

from classpack.errors import LessonError
from classpack.reading.caution_file import package_catalogue
from classpack.typeset.caution import tab_colours
from classpack.typeset.look import Look
from classpack.typeset.signs import (
    BORDER,
    SIGN_NAMES,
    TRIANGLE_HEIGHT,
    UnknownSignError,
    draw_sign,
    known_sign,
    sign_height,
)
from classpack.typeset.tagged_canvas import TaggedCanvas

SIDE = 400


@pytest.fixture
def drawn(look: Look) -> Callable[[str], Image.Image]:
    """A sign alone on a page that is exactly as large, 400 dots wide."""

    def draw(sign: str) -> Image.Image:
        c = TaggedCanvas((100, 100), "sign", "en", look.fonts.face().name)
        with c.marked("Figure", alt=SIGN_NAMES[sign], bbox=(0, 0, 100, 100)):
            draw_sign(c, sign, 0, 0, 100, look.colours)
        c.showPage()
        page = pypdfium2.PdfDocument(c.finish())[0]
        return page.render(scale=SIDE / 100).to_pil().convert("RGB")

    return draw


def near(pixel: tuple[int, ...], hex_colour: str) -> bool:
    wanted = [int(hex_colour[i : i + 2], 16) for i in (0, 2, 4)]
    return all(abs(a - b) < 12 for a, b in zip(pixel, wanted, strict=True))


def share(image: Image.Image, colour: str, inside: Callable[[float, float], bool]) -> float:
    """Part of the pixels of the shape that have the colour."""
    width, height = image.size
    total = hits = 0
    for y in range(0, height, 2):
        for x in range(0, width, 2):
            if inside(x / width, y / height):
                total += 1
                hits += near(image.getpixel((x, y)), colour)
    return hits / total


def in_triangle(x: float, y: float) -> bool:
    up = (1 - y) / TRIANGLE_HEIGHT
    return 0 <= up <= 1 and abs(x - 0.5) <= 0.5 * (1 - up)


def in_disc(x: float, y: float) -> bool:
    return (x - 0.5) ** 2 + (y - 0.5) ** 2 <= 0.25


def in_square(x: float, y: float) -> bool:
    return True


WARNINGS = [s for s in SIGN_NAMES if s[0] == "W"]


@pytest.mark.parametrize("sign", WARNINGS)
def test_half_of_a_warning_sign_is_yellow(sign: str, drawn: Callable[[str], Image.Image]) -> None:
    """Directive 92/58/EEC annex II 3.2: the yellow part takes up at least 50 % of the sign's area.

    W071's symbol is large in the published drawing (44 %); ours is held under the limit too.
    """
    assert share(drawn(sign), "F9A900", in_triangle) >= 0.50


@pytest.mark.parametrize("sign", [s for s in SIGN_NAMES if s[0] == "P"])
def test_a_third_and_more_of_a_prohibition_is_red(
    sign: str, drawn: Callable[[str], Image.Image]
) -> None:
    """Directive 92/58/EEC annex II 3.1: red at least 35 %; the bar runs from upper left to lower right."""
    image = drawn(sign)
    assert share(image, "9B2423", in_disc) >= 0.35
    assert near(image.getpixel((SIDE // 4, SIDE // 4)), "9B2423")
    assert near(image.getpixel((SIDE * 3 // 4, SIDE * 3 // 4)), "9B2423")
    assert not near(image.getpixel((SIDE * 3 // 4, SIDE // 4)), "9B2423")


@pytest.mark.parametrize(
    ("letter", "colour", "shape"),
    [("M", "005387", in_disc), ("E", "237F52", in_square), ("F", "9B2423", in_square)],
)
def test_half_of_the_other_signs_is_their_colour(
    letter: str,
    colour: str,
    shape: Callable[[float, float], bool],
    drawn: Callable[[str], Image.Image],
) -> None:
    """Directive 92/58/EEC annex II 3.3 to 3.5: blue, green and red at least 50 %."""
    for sign in (s for s in SIGN_NAMES if s[0] == letter):
        assert share(drawn(sign), colour, shape) >= 0.50, sign


def test_the_triangle_has_the_measured_proportions(drawn: Callable[[str], Image.Image]) -> None:
    """Height 0.873 of the width, border 0.053 (measured on the public-domain ISO 7010 drawings)."""
    image = drawn("W001")
    dark = [(x, y) for y in range(SIDE) for x in range(SIDE) if sum(image.getpixel((x, y))) < 380]
    xs, ys = [x for x, _ in dark], [y for _, y in dark]
    assert (max(xs) - min(xs) + 1) / SIDE == pytest.approx(1, abs=0.006)
    assert (max(ys) - min(ys) + 1) / SIDE == pytest.approx(TRIANGLE_HEIGHT, abs=0.006)
    foot = [y for x, y in dark if x == SIDE // 4 and y > SIDE * 0.8]
    assert len(foot) / SIDE == pytest.approx(BORDER, abs=0.006)
    assert sign_height("W001", 100) == pytest.approx(87.3)
    assert sign_height("M001", 100) == 100


def test_every_sign_of_the_cautions_can_be_drawn() -> None:
    for caution in package_catalogue().cautions:
        known_sign(caution.sign)


def test_an_unknown_sign_is_an_error_and_never_a_blank(printed: Callable[..., bytes]) -> None:
    with pytest.raises(UnknownSignError, match="there is no drawing of sign 'W999'"):
        known_sign("W999")
    with pytest.raises(
        LessonError, match=r"test\.xml:1:\d+: there is no drawing of sign 'W999'; there are W001,"
    ):
        printed('<caution severity="WARNING" sign="W999" hazard="x">y</caution>')


def luminance(colour: str) -> float:
    """Relative luminance of a colour in page code (WCAG 2.2, definition of relative luminance)."""
    parts = [float(v) for v in colour.split()]
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    """WCAG 2.2, definition of contrast ratio."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("severity", ["DANGER", "WARNING", "CAUTION", "NOTICE"])
def test_the_signal_word_stands_out_from_its_tab(severity: str, look: Look) -> None:
    """WCAG 2.2 success criterion 1.4.3: at least 4.5 to 1."""
    for filled in (True, False):
        assert contrast(*tab_colours(severity, look.colours, filled)) >= 4.5


def test_text_colours_have_the_contrast_of_body_text(look: Look) -> None:
    """WCAG 2.2 success criterion 1.4.6: 7 to 1."""
    for tone in ("ink", "soft", "accent"):
        assert contrast(look.colours[tone], look.colours["white"]) >= 7


def test_danger_and_notice_differ_in_grey(printed: Callable[..., bytes]) -> None:
    """On a black-and-white printer red and blue are one grey; word, tab and frame must tell them apart."""
    greys = []
    for severity, sign in (("DANGER", "W001"), ("NOTICE", "M001")):
        data = printed(
            f'<caution severity="{severity}" sign="{sign}" hazard="Same">Same</caution>',
            kind="wall",
        )
        greys.append(
            pypdfium2.PdfDocument(io.BytesIO(data))[0]
            .render(scale=1, grayscale=True)
            .to_pil()
            .crop((114, 36, 560, 120))
        )
    dark = [sum(g.histogram()[:90]) for g in greys]
    assert dark[0] > dark[1] * 2
