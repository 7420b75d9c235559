"""Label grids in millimetres: bag labels, tub labels, name slips. Words shrink to their label or stop the run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from classpack.typeset.blocks import Block, Prose, Stack, refuse
from classpack.typeset.elements import blocks_of
from classpack.typeset.look import LadderStep, Type
from classpack.typeset.page_text import Element
from classpack.typeset.setting import Setting
from classpack.typeset.tagged_canvas import TaggedCanvas

SMALLEST = 7.0


@dataclass(frozen=True, slots=True)
class _Grid:
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    pitch_x: float
    pitch_y: float
    padding: float
    border: bool
    middle: bool


class LabelPage:
    """One page of labels; its top is the paper's top edge."""

    __slots__ = ("after", "grid", "height", "ink", "keep_next", "labels")

    def __init__(
        self, grid: _Grid, labels: Sequence[tuple[int, Stack]], height: float, ink: str
    ) -> None:
        self.grid, self.labels, self.ink = grid, tuple(labels), ink
        self.height, self.after, self.keep_next = height, 0.0, False

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        g = self.grid
        for place, body in self.labels:
            left = x + g.left + place % g.columns * g.pitch_x
            upper = top - g.top - place // g.columns * g.pitch_y
            if g.border:
                with c.artifact():
                    c.code(
                        f"{self.ink} RG 0.4 w [3 3] 0 d {left:.2f} {upper - g.height:.2f} {g.width:.2f} {g.height:.2f} re S [] 0 d"
                    )
            drop = (g.height - body.height) / 2 if g.middle else g.padding
            with c.element("Div"):
                body.draw(c, left + g.padding, upper - drop)


def label_pages(s: Setting, e: Element) -> Iterator[LabelPage]:
    """The pages of one ``<labels>`` element.

    Raises:
        LayoutError: the grid leaves the paper, or a label's words do not fit at 7 points.
    """
    grid = _Grid(
        e.count("columns"),
        e.count("rows"),
        e.points("width") or 0,
        e.points("height") or 0,
        e.points("left") or 0,
        e.points("top") or 0,
        e.points("pitch-x") or e.points("width") or 0,
        e.points("pitch-y") or e.points("height") or 0,
        e.points("padding") or 0,
        e.yes("border"),
        e.text("valign") == "middle",
    )
    wide = grid.left + (grid.columns - 1) * grid.pitch_x + grid.width
    high = grid.top + (grid.rows - 1) * grid.pitch_y + grid.height
    paper = s.kind.paper
    if wide > paper[0] + 0.5 or high > paper[1] + 0.5:
        raise refuse(
            e.spot,
            f"the labels need {wide / 72 * 25.4:.0f} by {high / 72 * 25.4:.0f} mm, the paper is {paper[0] / 72 * 25.4:.0f} by {paper[1] / 72 * 25.4:.0f} mm",
            "take fewer columns or rows, or smaller ones",
        )
    if grid.pitch_x < grid.width - 0.01 or grid.pitch_y < grid.height - 0.01:
        raise refuse(
            e.spot,
            "labels overlap: the pitch is smaller than the label",
            "give a pitch of at least width and height",
        )
    each = grid.columns * grid.rows
    if e.count("start") > each:
        raise refuse(
            e.spot,
            f"start is {e.count('start')}, the sheet has {each} labels",
            f"give a number from 1 to {each}",
        )
    place = e.count("start") - 1
    page: list[tuple[int, Stack]] = []
    for number, label in enumerate(e.elements("label"), 1):
        body = _fitted(s, label, grid, number)
        for _ in range(label.count("repeat")):
            if place == each:
                yield LabelPage(grid, page, paper[1], s.ink_colour)
                page, place = [], 0
            page.append((place, body))
            place += 1
    if page:
        yield LabelPage(grid, page, paper[1], s.ink_colour)


def _fitted(s: Setting, label: Element, grid: _Grid, number: int) -> Stack:
    """The label's words in the largest type that fits."""
    width, height = grid.width - 2 * grid.padding, grid.height - 2 * grid.padding
    size = label.text("size")
    first = s.type(size).size
    factor = 1.0
    while True:
        types = {
            name: Type(t.size * factor, t.leading * factor) for name, t in s.step.types.items()
        }
        setting = Setting(s.look, s.kind, LadderStep(types), s.code_words)
        body = Stack(blocks_of(setting, label.children, width, width, size), after=0)
        if body.height <= height + 0.01 and not _parted(body):
            return body
        if first * factor <= SMALLEST:
            if body.height <= height + 0.01:
                return body
            raise refuse(
                label.spot,
                f"label {number} ('{label.words()[:50]}') needs {body.height / 72 * 25.4:.0f} mm at {SMALLEST:g} pt, its place has {height / 72 * 25.4:.0f} mm",
                "shorten its words, or take larger labels",
            )
        factor = max(SMALLEST / first, factor - 0.06)


def _parted(body: Stack) -> bool:
    """Whether a word had to be cut in two: then a smaller size is tried first."""
    return any(isinstance(block, Prose) and block.paragraph.parted for block in body.blocks)
