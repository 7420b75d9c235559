"""Figures: QR codes, signs, the logo, the day's chart and the oven plan. All vector but the logo, all with words for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from classpack.errors import Spot
from classpack.printing.blocks import Block, refuse
from classpack.printing.look import Type
from classpack.printing.page_text import Element
from classpack.printing.qr_code import LONGEST, QUIET, code_size, draw_code, modules
from classpack.printing.signs import draw_sign, sign_height
from classpack.printing.tagged_canvas import TaggedCanvas
from classpack.printing.text import Paragraph, Span

if TYPE_CHECKING:
    from classpack.printing.setting import Setting


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
        self, text: str, wanted: float, caption: Sequence[Span], type_: Type, alt: str, link: str, measure: float,
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
        linked = [Span(p.text, p.ink, self.link) for p in caption]
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


LARGEST_LOGO = 3_000_000


def logo(
    path: Path, widest: float, highest: float, spot: Spot
) -> tuple[object, tuple[float, float]]:
    """The school's logo and its size in points, within bounds.

    Raises:
        LayoutError: no PNG or JPEG file, or larger than 3 MB.
    """
    from reportlab.lib.utils import ImageReader

    if not path.is_file() or path.suffix.lower() not in (".png", ".jpg", ".jpeg"):
        raise refuse(
            spot, f"the logo '{path.name}' is no PNG or JPEG file", "give one, at most 3 MB"
        )
    if path.stat().st_size > LARGEST_LOGO:
        raise refuse(spot, f"the logo '{path.name}' is larger than 3 MB", "save it smaller")
    image = ImageReader(str(path))
    wide, high = image.getSize()
    scale = min(widest / wide, highest / high)
    return image, (wide * scale, high * scale)


# -- the day's chart

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
        self, setting: Setting, from_min: int, to_min: int, lanes: Sequence[tuple[str, str, Sequence[tuple[int, int, str, Paragraph | None]]]],
        alt: str, width: float, height: float, least: float,
    ) -> None:  # fmt: skip
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

        body, head, sub = (
            s.type("column head").size,
            s.type("clock").size,
            max(9.5, s.type("column head").size - 1),
        )
        lane_width = (self.width - text) / max(1, len(self.lanes))
        halves: list[float] = []
        for minute in range(-(-self.from_min // 10) * 10, self.to_min + 1, 10):
            y = y_of(minute)
            if minute % 30 == 0:
                c.rule(x + spine, y, x + text, y, 0.3, ink)
                halves.append(y)
                size = head if minute % 60 == 0 else head * 0.8
                c.text(
                    x + clock,
                    y - size * 0.3,
                    bold,
                    size,
                    accent,
                    f"{minute // 60 % 24}:{minute % 60:02d}",
                    align=1,
                )
            else:
                c.rule(x + spine - 5, y, x + spine, y, 0.4, ink)
        c.rule(x + spine, y_of(self.from_min), x + spine, foot, 0.5, ink)
        for number, (name, small, stretches) in enumerate(self.lanes):
            left = x + text + number * lane_width
            right = left + lane_width if number + 1 < len(self.lanes) else x + self.width
            size = head
            while size > 9.5 and bold.width(name) * size > lane_width - 4:
                size -= 0.5
            c.text(left, foot + high + 19, bold, size, ink, name)
            if small:
                c.text(left, foot + high + 7, face, sub, soft, small)
            words = [
                (y_of(start) - GAP, paragraph) for start, _, _, paragraph in stretches if paragraph
            ]
            for y in halves:
                if not any(at - p.height - 2 < y < at - 1 for at, p in words):
                    c.rule(left, y, right, y, 0.3, ink)
            for start, end, line, paragraph in stretches:
                at = y_of(start) - GAP
                draw_bar(c, line, left, at, y_of(end) + GAP, ink, white)
                if paragraph:
                    paragraph.draw(c, left + WORDS_AT, at + 0.8, tagged=False)
        self._key(c, x + text, foot - 20, body, soft, ink, white)

    def _key(
        self, c: TaggedCanvas, x: float, y: float, size: float, soft: str, ink: str, white: str
    ) -> None:
        face = self.setting.look.fonts.face()
        for line, word in self.setting.code_words.items():
            draw_bar(c, line, x, y + size, y - 1, ink, white)
            c.text(x + 11, y + 1.5, face, size, soft, word)
            x += 28 + face.width(word) * size


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
    made: list[tuple[str, str, list[tuple[int, int, str, Paragraph | None]]]] = []
    for lane in lanes:
        stretches: list[tuple[int, int, str, Paragraph | None]] = []
        for stretch in lane.elements("stretch"):
            a, b = stretch.count("from"), stretch.count("to")
            if not start <= a < b <= end:
                raise refuse(
                    stretch.spot,
                    "this stretch leaves the chart, or ends before it begins",
                    "keep it between the chart's 'from' and 'to'",
                )
            spans = s.spans(stretch.children, type_)
            words = (
                Paragraph(spans, lane_width - 11, type_.leading, type_.size, lonely=True)
                if spans
                else None
            )
            stretches.append((a, b, stretch.text("line"), words))
        made.append((lane.text("head"), lane.text("sub"), stretches))
    wanted = e.points("height")
    least = Chart.HEAD + Chart.FOOT + (end - start) * 1.2
    return Chart(s, start, end, made, e.text("alt"), width, wanted or least, 0 if wanted else least)


# -- the oven plan


class OvenPlan:
    """An oven seen from the front: shelves with what stands on each."""

    __slots__ = (
        "after",
        "alt",
        "height",
        "keep_next",
        "note",
        "setting",
        "shelf_height",
        "shelves",
        "title",
        "width",
    )

    def __init__(
        self, setting: Setting, title: str, note: str, alt: str, width: float,
        shelves: Sequence[tuple[str, Sequence[tuple[str, Paragraph]]]], shelf_height: float,
    ) -> None:  # fmt: skip
        self.setting, self.title, self.note, self.alt, self.width = setting, title, note, alt, width
        self.shelves, self.shelf_height = shelves, shelf_height
        self.height = setting.type("heading 3").leading + 6 + shelf_height * len(shelves) + 8
        self.after, self.keep_next = setting.type("gap").size, False

    def split(self, room: float) -> tuple[Block, Block] | None:
        return None

    def draw(self, c: TaggedCanvas, x: float, top: float) -> None:
        s = self.setting
        colours, face, bold = s.look.colours, s.look.fonts.face(), s.look.fonts.face(True)
        ink, soft = colours["ink"], colours["soft"]
        with c.marked("Figure", alt=self.alt, bbox=(x, top - self.height, x + self.width, top)):
            head = s.type("heading 3")
            base = top - head.size
            c.text(x, base, bold, head.size, ink, self.title)
            if self.note:
                small = s.type("note").size
                c.text(x + self.width, base, face, small, soft, self.note, align=1)
            y = top - head.leading - 6
            c.box(
                x + 1,
                y - self.shelf_height * len(self.shelves) - 6,
                self.width - 2,
                self.shelf_height * len(self.shelves) + 6,
                1.6,
                ink,
            )
            label = s.type("small").size
            left = (
                x
                + 10
                + (
                    max(face.width(n) for n, _ in self.shelves) * label + 8
                    if any(n for n, _ in self.shelves)
                    else 0
                )
            )
            for name, spots in self.shelves:
                y -= self.shelf_height
                c.rule(x + 6, y, x + self.width - 6, y, 1.2, ink)
                if name:
                    c.text(x + 10, y + 5, face, label, soft, name)
                each = (x + self.width - 10 - left) / max(1, len(spots))
                for number, (shape, words) in enumerate(spots):
                    self._spot(c, shape, left + number * each + 3, y, each - 6, words)

    def _spot(
        self, c: TaggedCanvas, shape: str, x: float, y: float, width: float, words: Paragraph
    ) -> None:
        ink, white = self.setting.look.colours["ink"], self.setting.look.colours["white"]
        high = self.shelf_height - 12
        c.code(f"{ink} RG {white} rg .9 w [] 0 d 1 j")
        if shape == "tin":
            c.code(
                f"{x + 5:.2f} {y + 1:.2f} m {x:.2f} {y + high:.2f} l {x + width:.2f} {y + high:.2f} l {x + width - 5:.2f} {y + 1:.2f} l h B"
            )
        elif shape == "tray":
            c.code(
                f"{x:.2f} {y + high:.2f} m {x:.2f} {y + 2:.2f} l {x + width:.2f} {y + 2:.2f} l {x + width:.2f} {y + high:.2f} l S"
            )
        else:
            r = min(high, width) * (0.4 if shape == "round" else 0.18)
            c.code(
                f"{x:.2f} {y + 1:.2f} m {x:.2f} {y + high - r:.2f} l {x:.2f} {y + high:.2f} {x + r:.2f} {y + high:.2f} {x + r:.2f} {y + high:.2f} c "
                f"{x + width - r:.2f} {y + high:.2f} l {x + width - r:.2f} {y + high:.2f} {x + width:.2f} {y + high:.2f} {x + width:.2f} {y + high - r:.2f} c "
                f"{x + width:.2f} {y + 1:.2f} l h B"
            )
            if shape == "pot":
                c.rule(x - 2, y + high - r, x + width + 2, y + high - r, 0.9, ink)
        lid = high * 0.18 if shape == "pot" else 0
        words.draw(c, x + 8, y + (high - lid + words.height) / 2, tagged=False)


def oven_plan(s: Setting, e: Element, measure: float) -> OvenPlan:
    type_ = s.type("note")
    most = max((len(shelf.elements("spot")) for shelf in e.elements("shelf")), default=1)
    label = (
        max(
            (s.look.fonts.face().width(shelf.text("name")) for shelf in e.elements("shelf")),
            default=0,
        )
        * s.type("small").size
    )
    each = (measure - 20 - (label + 8 if label else 0)) / max(1, most)
    if each < 34:
        raise refuse(
            e.spot,
            f"{most} spots on a shelf leave {each / 72 * 25.4:.0f} mm each",
            "draw the shelf in two",
        )
    shelves: list[tuple[str, list[tuple[str, Paragraph]]]] = []
    highest = 0.0
    for shelf in e.elements("shelf"):
        spots: list[tuple[str, Paragraph]] = []
        count = max(1, len(shelf.elements("spot")))
        own = (measure - 20 - (label + 8 if label else 0)) / count
        for spot in shelf.elements("spot"):
            words = Paragraph(
                s.spans(spot.children, type_), own - 16, type_.leading, type_.size, 0.5, lonely=True
            )
            highest = max(highest, words.height)
            spots.append((spot.text("shape"), words))
        shelves.append((shelf.text("name"), spots))
    return OvenPlan(
        s, e.text("title"), e.text("note"), e.text("alt"), measure, shelves, highest + 24
    )
