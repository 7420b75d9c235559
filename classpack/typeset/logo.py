"""The school's logo: a PNG or JPEG picture, in bounds that no print shop minds.

A picture is opened by its head only until its size in dots is known: a small file can hold a picture of gigabytes.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from classpack.errors import Spot
from classpack.typeset.blocks import refuse
from classpack.typeset.tagged_canvas import TaggedCanvas

LARGEST_BYTES = 3_000_000
MOST_DOTS = 4000
"""On one side."""
WIDE_ENOUGH = 750
"""Dots of 90 points at 600 dots to the inch."""
_KINDS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG"}


@dataclass(frozen=True, slots=True)
class Logo:
    """A logo ready to draw: a picture the PDF library takes. ``size`` is in points."""

    picture: Any
    size: tuple[float, float]

    def draw(self, c: TaggedCanvas, x: float, y: float) -> None:
        """With its lower left corner at (x, y). The caller tags the figure."""
        wide, high = self.size
        c.drawImage(self.picture, x, y, wide, high, mask="auto")


def check_logo(path: Path, spot: Spot) -> None:
    """Raises LayoutError at ``spot`` when the file cannot be printed as a logo."""
    open_logo(path, 90, 52, spot)


def open_logo(path: Path, widest: float, highest: float, spot: Spot) -> Logo:
    """The logo in a box of ``widest`` by ``highest`` points, its proportions kept.

    Raises:
        LayoutError: no such file, another kind of file, or too large.
    """
    data = _bytes(path, spot)
    if path.suffix.lower() not in _KINDS:
        raise refuse(
            spot,
            f"the logo '{path.name}' is no PNG or JPEG picture",
            f"open it in any drawing program and save it as a PNG, {WIDE_ENOUGH} dots wide or more",
        )
    return _picture(path, data, widest, highest, spot)


def _bytes(path: Path, spot: Spot) -> bytes:
    try:
        if not path.is_file():
            raise refuse(
                spot, f"there is no logo '{path.name}'", "put it beside the class file, or name it"
            )
        if path.stat().st_size > LARGEST_BYTES:
            raise refuse(spot, f"the logo '{path.name}' is larger than 3 MB", "save it smaller")
        return path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise refuse(
            spot, f"the logo '{path.name}' cannot be read: {reason}", "check that you may open it"
        ) from None


def _picture(path: Path, data: bytes, widest: float, highest: float, spot: Spot) -> Logo:
    from io import BytesIO

    from PIL import Image
    from reportlab.lib.utils import ImageReader

    kind = _KINDS[path.suffix.lower()]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            picture = Image.open(BytesIO(data), formats=["PNG", "JPEG"])
            if picture.format != kind:
                raise ValueError(picture.format)
            if max(picture.size) <= MOST_DOTS:
                picture.load()
    except Exception:  # a picture library raises many kinds for a broken or hostile file
        raise refuse(
            spot,
            f"the logo '{path.name}' is no {kind} picture",
            "save it again as a PNG or JPEG",
        ) from None
    if max(picture.size) > MOST_DOTS:
        raise refuse(
            spot,
            f"the logo '{path.name}' is {picture.size[0]} by {picture.size[1]} dots",
            f"save it with at most {MOST_DOTS} on a side",
        )
    shown = picture.convert("RGBA") if kind == "PNG" else picture.convert("RGB")
    shown.thumbnail((WIDE_ENOUGH, WIDE_ENOUGH))  # once, and not on every page
    return Logo(ImageReader(shown), _fitted(picture.size, widest, highest))


def _fitted(size: tuple[float, float], widest: float, highest: float) -> tuple[float, float]:
    wide, high = size
    scale = min(widest / wide, highest / high)
    return wide * scale, high * scale
