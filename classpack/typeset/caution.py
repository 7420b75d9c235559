"""Cautions: the only framed things on a page, so that nobody follows the clock past them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from classpack.typeset.blocks import (
    Block,
)
from classpack.typeset.fonts import ASCENT
from classpack.typeset.look import Grid
from classpack.typeset.signs import (
    draw_sign,
    sign_height,
)
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Ink, Paragraph

NOTCH = (14.0, 7.0)
"""Width and depth of the notch that points at the guarded step, in points."""

RULE = 0.9
HAIR = 0.4


def tab_colours(severity: str, colours: Mapping[str, str], filled: bool) -> tuple[str, str]:
    """Ground and letters of a signal word's tab."""
    if severity in ("DANGER", "WARNING"):
        return (colours["ink"], colours["white"]) if filled else (colours["white"], colours["ink"])
    if severity == "CAUTION":
        return colours["yellow"], colours["ink"]
    return colours["white"], colours["ink"]


class CautionBlock:
    """One caution's sign and words; its frame is drawn by ``Cautions``.

    ``hazard`` is set beside the tab with the signal word, ``what`` (what to do) beneath both.
    """

    __slots__ = (
        "alt",
        "colours",
        "filled",
        "grid",
        "hazard",
        "height",
        "severity",
        "sign",
        "sign_width",
        "tab",
        "what",
        "when",
        "width",
        "word",
    )

    def __init__(
        self,
        grid: Grid,
        width: float,
        severity: str,
        word: tuple[Ink, str],
        hazard: Paragraph,
        what: Paragraph | None,
        sign: str,
        alt: str,
        sign_width: float,
        pad: float,
        when: tuple[Ink, str] | None,
        colours: Mapping[str, str],
        filled: bool,
    ) -> None:
        self.grid, self.width, self.severity, self.word = grid, width, severity, word
        self.hazard, self.what, self.when = hazard, what, when
        self.sign, self.alt, self.sign_width = sign, alt, sign_width
        self.colours, self.filled = colours, filled
        self.tab = tab_width(*word)
        words = hazard.height + (2 + what.height if what else 0)
        self.height = max(words, sign_height(sign, sign_width)) + 2 * pad

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        foot = top - self.height
        with c.element("Div"):
            sign_x, sign_y = self._sign_place(x, foot)
            high = sign_height(self.sign, self.sign_width)
            box = (sign_x, sign_y, sign_x + self.sign_width, sign_y + high)
            with c.marked("Figure", alt=self.alt, bbox=box):
                draw_sign(c, self.sign, sign_x, sign_y, self.sign_width, self.colours)
            self._words(c, x, top)

    def _sign_place(self, x: float, foot: float) -> tuple[float, float]:
        room = self.grid.clock + 4 if self.grid.clock else self.sign_width + 16
        high = sign_height(self.sign, self.sign_width)
        return x + max((room - self.sign_width) / 2 + 2, 7), foot + (self.height - high) / 2

    def _words(self, c: TaggedCanvas, x: float, top: float) -> None:
        ink, word = self.word
        text = x + text_edge(self.grid, self.sign_width)
        lines = self.hazard.height + (2 + self.what.height if self.what else 0)
        y = top - (self.height - lines) / 2
        base = y - ASCENT * self.hazard.size
        ground, letters = tab_colours(self.severity, self.colours, self.filled)
        with c.artifact():
            c.box(
                text,
                base - self.hazard.size * 0.30,
                self.tab,
                self.hazard.size * 1.25,
                RULE,
                self.colours["ink"],
                ground,
            )
        with c.marked("P"):
            c.text(text + 6, base, ink.face, ink.size, letters, word + " ", spread=0.6)
            self.hazard.draw(c, text + self.tab + 8, y, tagged=False)
            if self.when:
                face, size = self.when[0].face, self.when[0].size
                left = x + self.width - 12 - face.width(self.when[1]) * size
                c.text(left, base, face, size, self.when[0].colour, self.when[1])
        if self.what:
            self.what.draw(c, text, y - self.hazard.height - 2)


FEW = 3
"""So many cautions before one step are read as one; more may go over a page's edge."""


class Cautions:
    """One caution, or several that guard the same step, in one frame: the only framed thing on a page.

    The frame is the most severe one's; hairlines part the cautions; one notch points at the step. Two ``columns`` make a grid,
    read row by row.
    """

    __slots__ = ("after", "columns", "height", "keep_next", "notch", "parts")

    def __init__(
        self,
        parts: Sequence[CautionBlock],
        notch: bool,
        after: float,
        keep_next: bool,
        columns: int = 1,
    ) -> None:
        self.parts, self.notch, self.after, self.keep_next = tuple(parts), notch, after, keep_next
        self.columns = columns
        for row in self._rows():
            high = max(part.height for part in row)
            for part in row:
                part.height = high
        self.height = self._inner() + (NOTCH[1] + 1 if notch else 0)

    def _rows(self) -> list[tuple[CautionBlock, ...]]:
        return [
            self.parts[at : at + self.columns] for at in range(0, len(self.parts), self.columns)
        ]

    def _inner(self) -> float:
        return sum(row[0].height for row in self._rows())

    def split(self, room: float) -> tuple[Block, Block] | None:
        """Only between cautions, each whole; a few that guard a step stay together, so that they stand with it."""
        if self.notch and len(self.parts) <= FEW:
            return None
        used = 0.0
        for number, row in enumerate(self._rows()):
            used += row[0].height
            if used > room:
                if number < (1 if self.notch else 2):  # nor is a list's first left behind alone
                    return None
                at, each = number * self.columns, self.columns
                rest = Cautions(self.parts[at:], self.notch, self.after, self.keep_next, each)
                return Cautions(self.parts[:at], False, 0, False, each), rest
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        with c.artifact():
            self._frame(c, x, top)
        for row in self._rows():
            for place, part in enumerate(row):
                part.draw(c, x + place * part.width, top)
            top -= row[0].height

    def _frame(self, c: TaggedCanvas, x: float, top: float) -> None:
        first = self.parts[0]
        ink, white = first.colours["ink"], first.colours["white"]
        severities = {part.severity for part in self.parts}
        weight = 2 if severities & {"DANGER", "WARNING"} else 1
        dash = "[4 2] 0" if severities == {"NOTICE"} else "[] 0"
        foot = top - self._inner()
        right, inset = x + first.width * self.columns - weight / 2, weight / 2
        left = x + inset
        notch = ""
        if self.notch and first.grid.clock:
            spine = x + first.grid.spine
            notch = (
                f"{spine + NOTCH[0] / 2:.2f} {foot:.2f} l {spine:.2f} {foot - NOTCH[1]:.2f} l "
                f"{spine - NOTCH[0] / 2:.2f} {foot:.2f} l "
            )
        c.code(
            f"{white} rg {ink} RG {weight} w {dash} d 0 j {left:.2f} {top - inset:.2f} m "
            f"{right:.2f} {top - inset:.2f} l {right:.2f} {foot:.2f} l {notch}{left:.2f} {foot:.2f} l h B [] 0 d"
        )
        y = top
        for row in self._rows():
            if y != top:
                c.rule(left, y, right, y, HAIR, ink)
            y -= row[0].height
            for place, part in enumerate(row):
                start = left + place * first.width
                if place:
                    c.rule(start, y + part.height, start, y, HAIR, ink)
                if part.severity == "DANGER":
                    c.box(start + 2, y + 3, part.width - 2 * inset - 4, part.height - 6, 0.7, ink)


def tab_width(ink: Ink, word: str) -> float:
    """Width of a signal word's tab: the word tracked by 0.6 and 6 points on either side."""
    return ink.face.width(word) * ink.size + (len(word) - 1) * 0.6 + 12


def text_edge(grid: Grid, sign_width: float) -> float:
    """Where a caution's words begin: the page's text edge, or beside the sign where there is no clock column."""
    return grid.text if grid.clock else sign_width + 22
