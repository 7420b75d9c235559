"""The oven plan: an oven seen from the front, shelf by shelf, with what stands where."""

from __future__ import annotations

from collections.abc import Sequence

from classpack.typeset.blocks import (
    Block,
    refuse,
)
from classpack.typeset.page_text import Element
from classpack.typeset.setting import Setting
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Paragraph


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
