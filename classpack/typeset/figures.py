"""QR codes and single signs, each with words for those who cannot see it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from classpack.errors import Spot
from classpack.typeset.blocks import (
    Block,
    refuse,
)
from classpack.typeset.look import Type
from classpack.typeset.qr_code import LONGEST, QUIET, code_size, draw_code, modules
from classpack.typeset.signs import (
    draw_sign,
    sign_height,
)
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Paragraph, TextSpan


class Code:
    """A QR code with its caption; the white it needs is part of its size."""

    __slots__ = (
        "after",
        "alt",
        "caption",
        "colours",
        "height",
        "keep_next",
        "link",
        "quiet",
        "side",
        "text",
    )

    def __init__(
        self, text: str, wanted: float, caption: Sequence[TextSpan], type_: Type, alt: str, link: str, measure: float,
        colours: Mapping[str, str], spot: Spot,
    ) -> None:  # fmt: skip
        if len(text.encode()) > LONGEST:
            raise refuse(
                spot, f"the QR code's text has {len(text.encode())} bytes", f"keep it to {LONGEST}"
            )
        self.side = code_size(text, wanted)
        if self.side > measure + 0.5:
            raise refuse(
                spot,
                f"the QR code is {self.side / 72 * 25.4:.0f} mm wide, its place {measure / 72 * 25.4:.0f} mm",
                "shorten its text or widen its column",
            )
        self.quiet = QUIET * self.side / modules(text)[0]
        self.text, self.colours = text, colours
        self.alt = alt or f"QR code: {text}"
        self.link = link or (text if text.startswith(("https://", "http://")) else "")
        linked = [TextSpan(p.text, p.ink, self.link) for p in caption]
        self.caption = (
            Paragraph(
                linked, max(self.side, min(measure, 160)), type_.leading, type_.size, lonely=True
            )
            if caption
            else None
        )
        self.after, self.keep_next = 4.0, False
        self.height = self.side + (self.quiet + self.caption.height if self.caption else 0)

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        foot = top - self.side
        with c.marked("Figure", alt=self.alt, bbox=(x, foot, x + self.side, top)):
            draw_code(c, self.text, x, foot, self.side, "0 0 0")
        if self.caption:
            self.caption.draw(c, x, foot - self.quiet)


class Sign:
    """One safety sign as a figure."""

    __slots__ = ("after", "alt", "colours", "height", "keep_next", "sign", "width")

    def __init__(self, sign: str, width: float, alt: str, colours: Mapping[str, str]) -> None:
        self.sign, self.width, self.alt, self.colours = sign, width, alt, colours
        self.height, self.after, self.keep_next = sign_height(sign, width), 4.0, False

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        with c.marked("Figure", alt=self.alt, bbox=(x, top - self.height, x + self.width, top)):
            draw_sign(c, self.sign, x, top - self.height, self.width, self.colours)
