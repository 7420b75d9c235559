"""Entries beside the clock.

The line's weight is the pack's one graphic code: thick while hands work, thin while the dough does, double in the oven.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from classpack.typeset.blocks import (
    Block,
    Stack,
)
from classpack.typeset.fonts import ASCENT
from classpack.typeset.look import Grid
from classpack.typeset.signs import draw_sign, sign_height
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Ink, Paragraph

RULE = 0.9
HANDS = 2.2
DOUGH = 0.5
OVEN = 0.6
OVEN_APART = 3.4
TALLEST_WHOLE = 320.0
"""Entries up to this height in points move whole to the next page; taller ones are parted."""


def draw_spine(
    c: TaggedCanvas, x: float, top: float, foot: float, line: str, colour: str, thicker: float = 1
) -> None:
    """The line beside the clock, as an artifact."""
    if line == "none" or top - foot < 0.1:
        return
    with c.artifact():
        match line:
            case "hands":
                c.rule(x, top, x, foot, HANDS * (1 + (thicker - 1) / 3), colour)
            case "dough":
                c.rule(x, top, x, foot, DOUGH * thicker, colour)
            case "oven":
                for side in (-OVEN_APART / 2, OVEN_APART / 2):
                    c.rule(x + side, top, x + side, foot, OVEN * thicker, colour)
            case _:
                c.rule(x, top, x, foot, 1, colour, "[1 2.4] 0")


class EntrySigns:
    """Safety signs at the right of an entry that is guarded by a caution further up, side by side."""

    __slots__ = ("alts", "colours", "height", "names", "width")
    APART = 5.0

    def __init__(
        self,
        names: Sequence[str],
        alts: Sequence[str],
        sign_width: float,
        colours: Mapping[str, str],
    ) -> None:
        self.names, self.alts, self.width, self.colours = names, alts, sign_width, colours
        self.height = max(sign_height(name, sign_width) for name in names)

    @property
    def across(self) -> float:
        """What they take of the page's width, the gap before them included."""
        return len(self.names) * (self.width + self.APART) + self.APART

    def draw(self, c: TaggedCanvas, right: float, top: float) -> None:
        x = right - self.across + 2 * self.APART
        for name, alt in zip(self.names, self.alts, strict=True):
            high = sign_height(name, self.width)
            with c.marked("Figure", alt=alt, bbox=(x, top - high, x + self.width, top)):
                draw_sign(c, name, x, top - high, self.width, self.colours)
            x += self.width + self.APART


class SpineEntry:
    """One entry: clock and minutes at the left, its line, the words, a tick box at the right.

    ``big`` is the clock (or, for a time that is only about right, the minutes); ``under`` stands small beneath.
    A list ``key`` makes entries that follow each other one list; ``again`` is the rest of an entry from the page before.
    """

    __slots__ = (
        "after",
        "again",
        "big",
        "body",
        "box",
        "colour",
        "first_size",
        "grid",
        "height",
        "keep_next",
        "key",
        "line",
        "number",
        "signs",
        "thicker",
        "title",
        "under",
        "width",
    )

    def __init__(
        self,
        grid: Grid,
        width: float,
        body: Stack,
        first_size: float,
        line: str,
        after: float,
        colour: str,
        big: tuple[Ink, str] | None = None,
        under: Paragraph | None = None,
        box: float = 0,
        key: object = None,
        number: str = "",
        title: str = "",
        keep_next: bool = False,
        again: bool = False,
        thicker: float = 1,
        signs: EntrySigns | None = None,
    ) -> None:
        self.signs = signs
        self.grid, self.width, self.body, self.first_size, self.line = (
            grid,
            width,
            body,
            first_size,
            line,
        )
        self.after, self.colour, self.big, self.under, self.box = after, colour, big, under, box
        self.key, self.number, self.title, self.keep_next, self.again = (
            key,
            number,
            title,
            keep_next,
            again,
        )
        self.thicker = thicker
        left = ASCENT * first_size + 2 if big else 0.0
        if under:
            left = self._under_top() + under.height + 1
        self.height = max(
            body.height,
            left,
            (ASCENT - 0.33) * first_size + box / 2 if box else 0,
            signs.height if signs else 0,
        )

    def _under_top(self) -> float:
        """How far under the entry's top the small words begin."""
        assert self.under
        if not self.big:
            return max(0.0, ASCENT * (self.first_size - self.under.size))
        return ASCENT * self.first_size + self.under.size * 1.22 - self.under.size * ASCENT

    def split(self, room: float) -> tuple[Block, Block] | None:
        if self.height < TALLEST_WHOLE:
            return None
        parts = self.body.split(room)
        if parts is None:
            return None
        head, tail = parts
        assert isinstance(head, Stack)
        assert isinstance(tail, Stack)
        self.key = self.key or object()
        common = (self.first_size, self.line)
        return (
            SpineEntry(
                self.grid,
                self.width,
                head,
                *common,
                0,
                self.colour,
                self.big,
                self.under,
                0,
                self.key,
                self.number,
                self.title,
                again=self.again,
                thicker=self.thicker,
                signs=self.signs,
            ),
            SpineEntry(
                self.grid,
                self.width,
                tail,
                *common,
                self.after,
                self.colour,
                None,
                None,
                self.box,
                self.key,
                "",
                keep_next=self.keep_next,
                again=True,
                thicker=self.thicker,
            ),
        )

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        grid = self.grid
        draw_spine(
            c,
            x + grid.spine,
            top,
            top - self.height - self.after,
            self.line,
            self.colour,
            self.thicker,
        )
        listed = self.key is not None
        base = top - ASCENT * self.first_size
        if self.title:
            c.bookmark(f"b{c.next_bookmark()}", self.title, 1)
        if listed:
            c.resume(self.key, "L")
            c.open("LI")
        if self.big or self.under:
            c.open("Lbl" if listed else "P")
            c.begin()
            if self.big:
                ink, words = self.big
                left = x + grid.clock - ink.face.width(words) * ink.size
                c.text(left, base, ink.face, ink.size, ink.colour, words + " ")
            if self.under:
                self.under.draw(
                    c, x + grid.clock - self.under.measure, top - self._under_top(), tagged=False
                )
            c.end()
            c.close()
        if listed:
            c.open("LBody")
        self.body.draw(c, x + grid.text, top)
        if self.signs:
            self.signs.draw(c, x + self.width, top)
        if listed:
            c.close()
            c.close()
            c.close()
        if self.box:
            with c.artifact():
                side = self.box
                c.box(
                    x + self.width - side,
                    base + self.first_size * 0.33 - side / 2,
                    side,
                    side,
                    RULE,
                    self.colour,
                )
