"""The day's chart: spines side by side, the clock running down, a lane for the tutor, each station and each oven."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from classpack.typeset.blocks import (
    Block,
    refuse,
)
from classpack.typeset.fonts import Face
from classpack.typeset.look import SMALLEST, Type
from classpack.typeset.page_text import Element
from classpack.typeset.setting import Setting
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Paragraph, TextSpan, fitting_size

BAR = 5.0
WORDS_AT = 9.0
GAP = 0.7


def draw_bar(
    c: TaggedCanvas, line: str, x: float, top: float, foot: float, ink: str, white: str
) -> None:
    """One stretch of a lane: solid hands, hairline dough, hollow oven, dotted heating."""
    match line:
        case "hands":
            c.box(x, foot, BAR, top - foot, 0, "", ink)
        case "dough":
            c.rule(x + BAR / 2, top, x + BAR / 2, foot, 0.6, ink)
        case "oven":
            c.box(x + 0.5, foot + 0.45, BAR - 0.6, top - foot - 0.9, 0.9, ink, white)
        case _:
            c.rule(x + BAR / 2, top, x + BAR / 2, foot, 1, ink, "[1 2.4] 0")


class Chart:
    """Spines side by side, the clock running down. Grows to the height it is given."""

    __slots__ = (
        "after",
        "alt",
        "from_min",
        "height",
        "hours",
        "keep_next",
        "key_words",
        "lanes",
        "least",
        "setting",
        "to_min",
        "width",
    )

    HEAD = 34.0
    FOOT = 28.0

    def __init__(
        self, setting: Setting, from_min: int, to_min: int, lanes: Sequence[tuple[str, str, Sequence[tuple[int, int, str, Sequence[TextSpan]]]]],
        alt: str, width: float, height: float, least: float, hours: int = 24,
    ) -> None:  # fmt: skip
        self.hours = hours
        self.setting, self.from_min, self.to_min, self.lanes = setting, from_min, to_min, lanes
        self.alt, self.width, self.height, self.least = alt, width, height, least
        self.after, self.keep_next = 0.0, False

    def grown(self, room: float) -> Chart:
        """The same chart, ``room`` high."""
        return Chart(
            self.setting,
            self.from_min,
            self.to_min,
            self.lanes,
            self.alt,
            self.width,
            room,
            self.least,
            self.hours,
        )

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        with c.marked("Figure", alt=self.alt, bbox=(x, top - self.height, x + self.width, top)):
            self._draw(c, x, top)

    def _draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        s = self.setting
        grid, colours, face, bold = (
            s.kind.grid,
            s.look.colours,
            s.look.fonts.face(),
            s.look.fonts.face(True),
        )
        ink, soft, accent, white = (colours[n] for n in ("ink", "soft", "accent", "white"))
        clock, spine, text = (
            (grid.clock, grid.spine, grid.text) if grid.clock else (40.0, 48.0, 58.0)
        )
        high = self.height - self.HEAD - self.FOOT
        foot = top - self.height + self.FOOT
        per_min = high / (self.to_min - self.from_min)

        def y_of(minute: int) -> float:
            return foot + high - (minute - self.from_min) * per_min

        clock_size = head = s.type("clock").size
        sub = max(9.5, s.type("column head").size - 1)
        lane_width = (self.width - text) / max(1, len(self.lanes))
        for name, _, _ in self.lanes:  # every head in the size that the longest one needs
            head = _on_line(bold, name, head, lane_width - 4, ink)[0]
        halves: list[float] = []
        for minute in range(-(-self.from_min // 10) * 10, self.to_min + 1, 10):
            y = y_of(minute)
            if minute % 30 == 0:
                c.rule(x + spine, y, x + text, y, 0.3, ink)
                halves.append(y)
                size = clock_size if minute % 60 == 0 else clock_size * 0.8
                c.text(
                    x + clock,
                    y - size * 0.3,
                    bold,
                    size,
                    accent,
                    f"{_hour(minute // 60 % 24, self.hours)}:{minute % 60:02d}",
                    align=1,
                )
            else:
                c.rule(x + spine - 5, y, x + spine, y, 0.4, ink)
        c.rule(x + spine, y_of(self.from_min), x + spine, foot, 0.5, ink)
        for number, (name, small, stretches) in enumerate(self.lanes):
            left = x + text + number * lane_width
            right = left + lane_width if number + 1 < len(self.lanes) else x + self.width
            c.text(left, foot + high + 19, bold, *_on_line(bold, name, head, lane_width - 4, ink))
            if small:
                c.text(
                    left, foot + high + 7, face, *_on_line(face, small, sub, lane_width - 4, soft)
                )
            words = self._words([(y_of(a), spans) for a, _, _, spans in stretches], lane_width)
            for y in halves:
                if not any(at - p.height - 2 < y < at - 1 for at, p in words):
                    c.rule(left, y, right, y, 0.3, ink)
            for start, end, line, _ in stretches:
                draw_bar(c, line, left, y_of(start) - GAP, y_of(end) + GAP, ink, white)
            for at, paragraph in words:
                paragraph.draw(c, left + WORDS_AT, at + 0.8, tagged=False)
        self._key(c, x, x + text, foot - 20, soft, ink, white)

    def _words(
        self, stretches: Sequence[tuple[float, Sequence[TextSpan]]], lane_width: float
    ) -> list[tuple[float, Paragraph]]:
        """A lane's words with their tops: in the largest type in which none reaches into the next, else one under the other."""
        said = [(y - GAP, spans) for y, spans in stretches if spans]
        size = self.setting.type("column head").size
        while True:
            words = [(at, _paragraph(spans, size, lane_width - 11)) for at, spans in said]
            fit = all(a - one.height >= b for (a, one), (b, _) in pairwise(words))
            if fit or size <= SMALLEST:
                break
            size = max(SMALLEST, size - 0.5)
        placed: list[tuple[float, Paragraph]] = []
        for at, paragraph in words:
            if placed:
                at = min(at, placed[-1][0] - placed[-1][1].height)
            placed.append((at, paragraph))
        return placed

    def _key(
        self, c: TaggedCanvas, margin: float, text: float, y: float, soft: str, ink: str, white: str
    ) -> None:
        """What the lines mean: from the text edge, or from the margin and smaller where that is too long."""
        face, words = self.setting.look.fonts.face(), self.setting.code_words
        size = self.setting.type("column head").size

        def wide() -> float:
            return sum(28 + face.width(word) * size for word in words.values()) - 17

        x = text if text + wide() <= margin + self.width else margin
        while x + wide() > margin + self.width and size > SMALLEST:
            size = max(SMALLEST, size - 0.5)
        for line, word in words.items():
            draw_bar(c, line, x, y + size, y - 1, ink, white)
            c.text(x + 11, y + 1.5, face, size, soft, word)
            x += 28 + face.width(word) * size


def _on_line(
    face: Face, words: str, size: float, width: float, colour: str
) -> tuple[float, str, str]:
    """Size, colour and words of a text that stays on one line: smaller, and shortened where that is not enough."""
    size = fitting_size(face, words, size, min(size, SMALLEST), width)
    while face.width(words) * size > width and len(words) > 2:
        words = words.rstrip("…")[:-1].rstrip() + "…"
    return size, colour, words


def _paragraph(spans: Sequence[TextSpan], size: float, measure: float) -> Paragraph:
    sized = [replace(span, ink=replace(span.ink, size=size)) for span in spans]
    return Paragraph(sized, measure, size * 1.125, size, lonely=True)


def _hour(hour: int, hours: int) -> int:
    """An hour on a dial of 24 or of 12 hours."""
    return hour if hours == 24 else (hour - 1) % 12 + 1


def day_chart(s: Setting, e: Element, measure: float) -> Chart:
    start, end = e.count("from"), e.count("to")
    if end <= start:
        raise refuse(
            e.spot, "the chart ends before it begins", "give 'from' and 'to' in this order"
        )
    width = s.width if s.kind.grid.clock else measure
    text = s.kind.grid.text if s.kind.grid.clock else 58.0
    lanes = e.elements("lane")
    lane_width = (width - text) / max(1, len(lanes))
    if lane_width < 44:
        raise refuse(
            e.spot,
            f"{len(lanes)} lanes leave {lane_width / 72 * 25.4:.0f} mm each",
            "turn the sheet, or put lanes that do the same together",
        )
    size = s.type("column head").size
    type_ = Type(size, size * 1.125)
    made: list[tuple[str, str, list[tuple[int, int, str, tuple[TextSpan, ...]]]]] = []
    for lane in lanes:
        stretches: list[tuple[int, int, str, tuple[TextSpan, ...]]] = []
        for stretch in lane.elements("stretch"):
            a, b = stretch.count("from"), stretch.count("to")
            if not start <= a < b <= end:
                raise refuse(
                    stretch.spot,
                    "this stretch leaves the chart, or ends before it begins",
                    "keep it between the chart's 'from' and 'to'",
                )
            spans = s.spans(stretch.children, type_)
            stretches.append((a, b, stretch.text("line"), tuple(spans)))
        made.append((lane.text("head"), lane.text("sub"), stretches))
    wanted = e.points("height")
    least = Chart.HEAD + Chart.FOOT + (end - start) * 1.2
    return Chart(
        s,
        start,
        end,
        made,
        e.text("alt"),
        width,
        wanted or least,
        0 if wanted else least,
        int(e.text("hours")),
    )
