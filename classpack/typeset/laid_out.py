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

    @property
    def paper(self) -> tuple[float, float]:
        return self.setting.kind.paper
