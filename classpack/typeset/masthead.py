"""The head of a sheet: one word over a large number, over-line, title and deck, and a rule."""

from __future__ import annotations

from collections.abc import Mapping

from classpack.typeset.blocks import (
    Block,
)
from classpack.typeset.fonts import ASCENT, Face
from classpack.typeset.logo import Logo
from classpack.typeset.look import Grid
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Paragraph, fitting_size

RULE = 0.9


class Masthead:
    """One word over a large number in the clock column; over-line, title and deck at the text edge; a rule."""

    __slots__ = (
        "after",
        "colours",
        "deck",
        "grid",
        "height",
        "keep_next",
        "logo",
        "number",
        "number_face",
        "over",
        "school",
        "title",
        "width",
        "word",
    )

    def __init__(
        self,
        grid: Grid,
        width: float,
        word: Paragraph | None,
        number: str,
        number_face: Face,
        over: Paragraph | None,
        title: Paragraph,
        deck: Paragraph | None,
        colours: Mapping[str, str],
        after: float,
        logo: Logo | None = None,
        school: str = "",
    ) -> None:
        self.grid, self.width, self.word, self.number, self.number_face = (
            grid,
            width,
            word,
            number,
            number_face,
        )
        self.over, self.title, self.deck, self.colours = over, title, deck, colours
        self.logo, self.school = logo, school
        self.after, self.keep_next = after, False
        inner = self._above_title() + title.height + (1 + deck.height if deck else 0)
        self.height = max(inner, logo.size[1] if logo else 0) + 12

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        grid = self.grid
        title_top = top - self._above_title()
        capitals = title_top - self.title.size * (ASCENT - 0.652)
        foot = title_top - self.title.height + self.title.leading - ASCENT * self.title.size
        if self.deck:
            foot = title_top - self.title.height - 1 - ASCENT * self.deck.size
        if self.word or self.number:
            with c.marked("P"):
                if self.word:
                    self.word.draw(
                        c, x + grid.clock - self.word.measure, top - self._word_drop(), tagged=False
                    )
                if self.number:
                    fits = fitting_size(self.number_face, self.number, 90, 10, grid.clock + 2)
                    size = min((capitals - foot) / 0.64, fits, 64)
                    wide = self.number_face.width(self.number) * size
                    c.text(
                        x + grid.clock + size * 0.03 - wide,
                        capitals - size * 0.64,
                        self.number_face,
                        size,
                        self.colours["accent"],
                        self.number,
                    )
        if self.over:
            self.over.draw(c, x + grid.text, top)
        self.title.draw(c, x + grid.text, title_top)
        if self.deck:
            self.deck.draw(c, x + grid.text, title_top - self.title.height - 1)
        if self.logo:
            wide, high = self.logo.size
            left = x + self.width - wide
            with c.marked(
                "Figure", alt=self.school or "logo", bbox=(left, top - high, left + wide, top)
            ):
                self.logo.draw(c, left, top - high)
        with c.artifact():
            y = top - self.height
            c.rule(x, y, x + self.width, y, RULE, self.colours["ink"])

    def _above_title(self) -> float:
        """Height of the line above title and number: the over-line, or the word above the number."""
        line = self.over or self.word
        return line.height + 1 if line else 0

    def _word_drop(self) -> float:
        """Lowers the side word so that it stands on the over-line's baseline."""
        if not (self.over and self.word):
            return 0
        return max(0.0, ASCENT * (self.over.size - self.word.size))
