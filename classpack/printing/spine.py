"""What hangs on the spine: masthead, entries beside the clock, side words, and the cautions that break the line.

The line's weight is the pack's one graphic code: thick while hands work, thin while the dough does, double in the oven.
"""

from __future__ import annotations

from collections.abc import Mapping

from classpack.printing.blocks import Block, Stack
from classpack.printing.fonts import ASCENT, Face
from classpack.printing.look import Grid
from classpack.printing.signs import draw_sign, sign_height
from classpack.printing.tagged_canvas import TaggedCanvas
from classpack.printing.text import Ink, Paragraph, fitting_size

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


class Entry:
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
    ) -> None:
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
        self.height = max(body.height, left, (ASCENT - 0.33) * first_size + box / 2 if box else 0)

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
            Entry(
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
            ),
            Entry(
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


NOTCH = (14.0, 7.0)
"""Width and depth of the notch that points at the guarded step, in points."""


def tab_colours(severity: str, colours: Mapping[str, str], filled: bool) -> tuple[str, str]:
    """Ground and letters of a signal word's tab."""
    if severity in ("DANGER", "WARNING"):
        return (colours["ink"], colours["white"]) if filled else (colours["white"], colours["ink"])
    if severity == "CAUTION":
        return colours["yellow"], colours["ink"]
    return colours["white"], colours["ink"]


class Caution:
    """The only framed thing on a page, as wide as it; its notch points at the step it guards.

    ``hazard`` is set beside the tab with the signal word, ``what`` (what to do) beneath both.
    """

    __slots__ = (
        "after",
        "alt",
        "box",
        "colours",
        "filled",
        "grid",
        "hazard",
        "height",
        "keep_next",
        "notch",
        "pad",
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
        after: float,
        notch: bool,
        when: tuple[Ink, str] | None,
        colours: Mapping[str, str],
        filled: bool,
    ) -> None:
        self.grid, self.width, self.severity, self.word = grid, width, severity, word
        self.hazard, self.what, self.sign, self.alt, self.sign_width = (
            hazard,
            what,
            sign,
            alt,
            sign_width,
        )
        self.pad, self.after, self.notch, self.when = pad, after, notch, when
        self.colours, self.filled, self.keep_next = colours, filled, notch
        self.tab = tab_width(*word)
        words = hazard.height + (2 + what.height if what else 0)
        self.box = max(words + 2 * pad, sign_height(sign, sign_width) + 2 * pad)
        self.height = self.box + (NOTCH[1] + 1 if notch else 0)

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        foot = top - self.box
        with c.element("Div"):
            with c.artifact():
                self._frame(c, x, top, foot)
            sign_x, sign_y = self._sign_place(x, foot)
            high = sign_height(self.sign, self.sign_width)
            with c.marked(
                "Figure",
                alt=self.alt,
                bbox=(sign_x, sign_y, sign_x + self.sign_width, sign_y + high),
            ):
                draw_sign(c, self.sign, sign_x, sign_y, self.sign_width, self.colours)
            self._words(c, x, top)

    def _frame(self, c: TaggedCanvas, x: float, top: float, foot: float) -> None:
        ink, white = self.colours["ink"], self.colours["white"]
        weight = 2 if self.severity in ("DANGER", "WARNING") else 1
        dash = "[4 2] 0" if self.severity == "NOTICE" else "[] 0"
        right, inset = x + self.width - weight / 2, weight / 2
        x += inset
        spine = x - inset + self.grid.spine
        notch = f"{spine + NOTCH[0] / 2:.2f} {foot:.2f} l {spine:.2f} {foot - NOTCH[1]:.2f} l {spine - NOTCH[0] / 2:.2f} {foot:.2f} l "
        c.code(
            f"{white} rg {ink} RG {weight} w {dash} d 0 j {x:.2f} {top - inset:.2f} m {right:.2f} {top - inset:.2f} l "
            f"{right:.2f} {foot:.2f} l {notch if self.notch and self.grid.clock else ''}{x:.2f} {foot:.2f} l h B [] 0 d"
        )
        if self.severity == "DANGER":
            c.box(x + 3, foot + 3, right - x - 6, top - foot - 6 - inset, 0.7, ink)

    def _sign_place(self, x: float, foot: float) -> tuple[float, float]:
        room = self.grid.clock + 4 if self.grid.clock else self.sign_width + 16
        high = sign_height(self.sign, self.sign_width)
        return x + max((room - self.sign_width) / 2 + 2, 7), foot + (self.box - high) / 2

    def _words(self, c: TaggedCanvas, x: float, top: float) -> None:
        ink, word = self.word
        text = x + text_edge(self.grid, self.sign_width)
        lines = self.hazard.height + (2 + self.what.height if self.what else 0)
        y = top - (self.box - lines) / 2
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


def tab_width(ink: Ink, word: str) -> float:
    """Width of a signal word's tab: the word tracked by 0.6 and 6 points on either side."""
    return ink.face.width(word) * ink.size + (len(word) - 1) * 0.6 + 12


def text_edge(grid: Grid, sign_width: float) -> float:
    """Where a caution's words begin: the page's text edge, or beside the sign where there is no clock column."""
    return grid.text if grid.clock else sign_width + 22


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
        "logo_box",
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
        logo: object = None,
        logo_box: tuple[float, float] = (0, 0),
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
        self.logo, self.logo_box, self.school = logo, logo_box, school
        self.after, self.keep_next = after, False
        inner = (over.height + 1 if over else 0) + title.height + (1 + deck.height if deck else 0)
        self.height = max(inner, logo_box[1]) + 12

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        grid = self.grid
        title_top = top - (self.over.height + 1 if self.over else 0)
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
            wide, high = self.logo_box
            left = x + self.width - wide
            with c.marked(
                "Figure", alt=self.school or "logo", bbox=(left, top - high, left + wide, top)
            ):
                c.drawImage(self.logo, left, top - high, wide, high, mask="auto")
        with c.artifact():
            y = top - self.height
            c.rule(x, y, x + self.width, y, RULE, self.colours["ink"])

    def _word_drop(self) -> float:
        """Lowers the side word so that it stands on the over-line's baseline."""
        if not (self.over and self.word):
            return 0
        return max(0.0, ASCENT * (self.over.size - self.word.size))
