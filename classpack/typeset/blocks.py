"""Blocks: measured pieces of a page that can be drawn at any place, and some of them parted at a page's end.

A block knows its ``height`` and the white ``after`` it, which falls away at the foot of a page. ``keep_next`` ties it to
the block that follows. ``split(room)`` gives two blocks, the first at most ``room`` high, or None. Blocks never change,
so a sheet that is laid out once can be drawn into several documents.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from classpack.errors import LessonError, Problem, Spot
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Ink, Paragraph


class LayoutError(LessonError):
    """Something cannot be set without leaving its place; names the element's line and its words."""


def refuse(spot: Spot, wrong: str, right: str) -> LayoutError:
    return LayoutError([Problem(spot, wrong, right)])


class Block(Protocol):
    @property
    def height(self) -> float: ...
    @property
    def after(self) -> float: ...
    @property
    def keep_next(self) -> bool: ...
    def split(self, room: float) -> tuple[Block, Block] | None: ...
    def draw(self, c: TaggedCanvas, x: float, top: float) -> None: ...


class Prose:
    """A paragraph among blocks."""

    __slots__ = ("after", "height", "keep_next", "paragraph", "title")

    def __init__(
        self, paragraph: Paragraph, after: float = 0, keep_next: bool = False, title: str = ""
    ) -> None:
        self.paragraph, self.after, self.keep_next, self.title = paragraph, after, keep_next, title
        self.height = paragraph.height

    def split(self, room: float) -> tuple[Block, Block] | None:
        parts = self.paragraph.split(room)
        return (Prose(parts[0]), Prose(parts[1], self.after, self.keep_next)) if parts else None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        if self.title:
            c.bookmark(f"b{c.next_bookmark()}", self.title, 1)
        self.paragraph.draw(c, x, top)


class White:
    """Nothing, so high."""

    __slots__ = ("after", "height", "keep_next")

    def __init__(self, height: float) -> None:
        self.height, self.after, self.keep_next = 0.0, height, False

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        pass


class Stack:
    """Blocks one under the other, ``inset`` points from the left."""

    __slots__ = ("after", "blocks", "height", "inset", "keep_next", "whole")

    def __init__(
        self,
        blocks: Sequence[Block],
        inset: float = 0,
        after: float | None = None,
        keep_next: bool | None = None,
        whole: bool = False,
    ) -> None:
        self.blocks = tuple(blocks)
        self.inset = inset
        self.whole = whole
        last = self.blocks[-1] if self.blocks else None
        self.after = after if after is not None else (last.after if last else 0)
        self.keep_next = keep_next if keep_next is not None else bool(last and last.keep_next)
        self.height = sum(b.height + b.after for b in self.blocks) - (last.after if last else 0)

    def split(self, room: float) -> tuple[Block, Block] | None:
        if self.whole:
            return None
        fitting = 0
        used = 0.0
        for number, block in enumerate(self.blocks):
            if used + block.height > room + 0.01:
                parts = block.split(room - used)
                if parts:
                    rest = (parts[1], *self.blocks[number + 1 :])
                    return self._part((*self.blocks[:number], parts[0])), self._part(rest)
                break
            used += block.height + block.after
            if not block.keep_next:
                fitting = number + 1
        if not 0 < fitting < len(self.blocks):
            return None
        return self._part(self.blocks[:fitting]), self._part(self.blocks[fitting:])

    def _part(self, blocks: Sequence[Block]) -> Stack:
        return Stack(blocks, self.inset)

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        for block in self.blocks:
            block.draw(c, x + self.inset, top)
            top -= block.height + block.after


class SideBySide:
    """Stacks beside each other; they are read one after the other. Too high for a page, each is parted at the same height."""

    __slots__ = ("after", "height", "keep_next", "parts")

    def __init__(self, parts: Sequence[tuple[float, Block]], after: float = 0) -> None:
        self.parts = tuple(parts)
        self.after, self.keep_next = after, False
        self.height = max((block.height for _, block in self.parts), default=0)

    def split(self, room: float) -> tuple[Block, Block] | None:
        heads: list[tuple[float, Block]] = []
        tails: list[tuple[float, Block]] = []
        for x, block in self.parts:
            if block.height <= room:
                heads.append((x, block))
                continue
            parts = block.split(room)
            if parts is None:
                return None
            heads.append((x, parts[0]))
            tails.append((x, parts[1]))
        return (SideBySide(heads), SideBySide(tails, self.after)) if tails else None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        for dx, block in self.parts:
            with c.element("Div"):
                block.draw(c, x + dx, top)


class RuleLine:
    """A horizontal rule between two points of the grid."""

    __slots__ = ("after", "colour", "height", "keep_next", "weight", "x1", "x2")

    def __init__(
        self,
        x1: float,
        x2: float,
        weight: float,
        colour: str,
        before: float,
        after: float,
        keep_next: bool,
    ) -> None:
        self.x1, self.x2, self.weight, self.colour = x1, x2, weight, colour
        self.height, self.after, self.keep_next = before, after, keep_next

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        y = top - self.height
        with c.artifact():
            c.rule(x + self.x1, y, x + self.x2, y, self.weight, self.colour)


class CutLine:
    """A dashed line across the page with small words on it."""

    __slots__ = ("after", "height", "ink", "keep_next", "width", "words")

    def __init__(self, width: float, words: str, ink: Ink) -> None:
        self.width, self.words, self.ink = width, words, ink
        self.height, self.after, self.keep_next = 14.0, 6.0, False

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        y = top - self.height / 2
        gap = self.ink.face.width(self.words) * self.ink.size + 12 if self.words else 0
        left, right = x + (self.width - gap) / 2, x + (self.width + gap) / 2
        with c.artifact():
            c.rule(x, y, left, y, 0.5, self.ink.colour, "[4 3] 0")
            c.rule(right, y, x + self.width, y, 0.5, self.ink.colour, "[4 3] 0")
        if self.words:
            with c.marked("P"):
                ink = self.ink
                c.text(left + 6, y - ink.size * 0.33, ink.face, ink.size, ink.colour, self.words)


class WritingLines:
    """Lines to write on, with a label before the first."""

    __slots__ = ("after", "count", "height", "ink", "keep_next", "label", "pitch", "width")

    def __init__(self, width: float, count: int, pitch: float, label: str, ink: Ink) -> None:
        self.width, self.count, self.pitch, self.label, self.ink = width, count, pitch, label, ink
        self.height, self.after, self.keep_next = count * pitch, 4.0, False

    def split(self, room: float) -> tuple[Block, Block] | None:
        fits = int(room / self.pitch)
        if not 0 < fits < self.count:
            return None
        return (
            WritingLines(self.width, fits, self.pitch, self.label, self.ink),
            WritingLines(self.width, self.count - fits, self.pitch, "", self.ink),
        )

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        start = x
        if self.label:
            with c.marked("P"):
                c.text(
                    x,
                    top - self.pitch + 2.5,
                    self.ink.face,
                    self.ink.size,
                    self.ink.colour,
                    self.label,
                )
            start = x + self.ink.face.width(self.label) * self.ink.size + 6
        with c.artifact():
            for number in range(1, self.count + 1):
                y = top - number * self.pitch
                c.rule(start if number == 1 else x, y, x + self.width, y, 0.5, self.ink.colour)


class Listing:
    """A list; each item has a mark that hangs left of its words. ``box`` draws the mark as a tick box instead."""

    __slots__ = (
        "after",
        "box",
        "boxes_colour",
        "gap",
        "hang",
        "height",
        "items",
        "keep_next",
        "key",
        "numbering",
    )

    def __init__(
        self,
        items: Sequence[tuple[Paragraph | None, Paragraph]],
        hang: float,
        gap: float,
        numbering: str,
        box: float = 0,
        colour: str = "",
        after: float = 0,
        key: object = None,
    ) -> None:
        self.items, self.hang, self.gap, self.numbering = tuple(items), hang, gap, numbering
        self.box, self.boxes_colour, self.after, self.keep_next = box, colour, after, False
        self.key = key or object()
        self.height = sum(max(words.height, box) for _, words in self.items) + gap * (
            len(self.items) - 1
        )

    def split(self, room: float) -> tuple[Block, Block] | None:
        used = 0.0
        for number, (_, words) in enumerate(self.items):
            used += max(words.height, self.box)
            if used > room:
                return (
                    (self._part(self.items[:number]), self._part(self.items[number:]))
                    if number
                    else None
                )
            used += self.gap
        return None

    def _part(self, items: Sequence[tuple[Paragraph | None, Paragraph]]) -> Listing:
        return Listing(
            items,
            self.hang,
            self.gap,
            self.numbering,
            self.box,
            self.boxes_colour,
            self.after,
            self.key,
        )

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        c.resume(self.key, "L", numbering=self.numbering)
        for mark, words in self.items:
            with c.element("LI"):
                if self.box:
                    with c.artifact():
                        middle = top - words.size * (1.024 - 0.33)
                        c.box(x, middle - self.box / 2, self.box, self.box, 0.9, self.boxes_colour)
                if mark:
                    c.open("Lbl")
                    c.begin()
                    mark.draw(c, x, top, tagged=False)
                    c.end()
                    c.close()
                c.open("LBody")
                c.begin()
                words.draw(c, x + self.hang, top, tagged=False)
                c.end()
                c.close()
            top -= max(words.height, self.box) + self.gap
        c.close()


class Strip:
    """A small timetable running across: times in accent above, words beneath. Tagged as a table of two rows."""

    __slots__ = ("after", "height", "keep_next", "pitch", "stops")

    def __init__(
        self, stops: Sequence[tuple[Paragraph, Paragraph]], pitch: float, after: float
    ) -> None:
        self.stops, self.pitch, self.after, self.keep_next = tuple(stops), pitch, after, False
        self.height = max(a.height for a, _ in self.stops) + max(b.height for _, b in self.stops)

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        second = top - max(a.height for a, _ in self.stops)
        with c.element("Table", bbox=(x, top - self.height, x + self.pitch * len(self.stops), top)):
            for row, (tag, y) in enumerate((("TH", top), ("TD", second))):
                with c.element("TR"):
                    for number, stop in enumerate(self.stops):
                        with c.marked(tag):
                            stop[row].draw(c, x + number * self.pitch, y, tagged=False)
