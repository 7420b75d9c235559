"""A sheet whose blocks have found their pages: what layout gives and drawing takes."""

from __future__ import annotations

from dataclasses import dataclass

from classpack.typeset.blocks import Block
from classpack.typeset.page_text import Sheet
from classpack.typeset.setting import Setting
from classpack.typeset.text import Paragraph


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its blocks with the height of their tops above the paper's foot, and its running head."""

    items: tuple[tuple[Block, float], ...]
    number: int
    head: tuple[str, str, str] | None


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A sheet ready to draw."""

    sheet: Sheet
    setting: Setting
    pages: tuple[Page, ...]
    foot_note: Paragraph | None

    def note_at(self, number: int) -> Paragraph | None:
        """The foot's second line on a page: once on each sheet of paper, so not on the backs of what is printed on both sides."""
        back = self.sheet.element.yes("duplex") and number % 2 == 0
        return None if back else self.foot_note

    @property
    def paper(self) -> tuple[float, float]:
        return self.setting.kind.paper
