"""Safety signs for take-home pages: the same geometry as on paper, as SVG that stands in the page."""

from __future__ import annotations

import re
from collections.abc import Mapping

from markupsafe import Markup, escape

from classpack.typeset.signs import (
    BORDER,
    SIGN_NAMES,
    TRIANGLE_HEIGHT,
    known_sign,
    sign_strokes,
)

COLOURS = {
    "W": ("#F9A900", "#1A1A1A"),
    "P": ("#FFFFFF", "#1A1A1A"),
    "M": ("#005387", "#FFFFFF"),
    "E": ("#237F52", "#FFFFFF"),
    "F": ("#9B2423", "#FFFFFF"),
}
"""Ground and symbol of each kind of sign, as in ``look.yaml``; the ring of a prohibition is red."""
_RING = "#9B2423"


def sign_drawing(sign: str, names: Mapping[str, str] = SIGN_NAMES) -> Markup:
    """The sign as an SVG element with its registered name as text alternative.

    Raises:
        UnknownSignError: there is no such drawing.
    """
    known_sign(sign)
    ground, symbol = COLOURS[sign[0]]
    high = TRIANGLE_HEIGHT if sign[0] == "W" else 1
    match sign[0]:
        case "W":
            base = f'<path d="M.5 .0265L.0265 .8465L.9735 .8465Z" fill="{ground}" stroke="{symbol}" stroke-width="{BORDER}"/>'
        case "P" | "M":
            base = f'<circle cx=".5" cy=".5" r=".5" fill="{ground}"/>'
        case _:
            base = f'<path d="M0 0L1 0L1 1L0 1Z" fill="{ground}"/>'
    drawn = "".join(_stroke(paint, path, ground, symbol) for paint, path in sign_strokes(sign))
    over = ""
    if sign[0] == "P":
        over = (
            f'<circle cx=".5" cy=".5" r=".45" fill="none" stroke="{_RING}" stroke-width=".1"/>'
            f'<path d="M.19 .19L.81 .81" stroke="{_RING}" stroke-width=".08"/>'
        )
    return Markup(
        f'<svg viewBox="0 0 1 {high}" role="img" aria-label="{escape(names[sign])}" stroke-linejoin="round">'
        f"{base}{drawn}{over}</svg>"
    )


def _stroke(paint: str, path: str, ground: str, symbol: str) -> str:
    colour = ground if paint.startswith("-") else symbol
    how = paint.lstrip("-")
    short = re.sub(r" (?=[MLCZ])|(?<=[MLCZ]) ", "", path)
    if how == "fill":
        return f'<path d="{short}" fill="{colour}"/>'
    return f'<path d="{short}" fill="none" stroke="{colour}" stroke-width="{how}" stroke-linecap="round"/>'
