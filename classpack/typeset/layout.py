"""Sheets to pages: blocks are filled into page after page, in the roomiest type that keeps to the wanted pages.

Nothing is drawn here and nothing drawn later is measured again: a page is a list of blocks with their places.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from classpack.errors import Spot
from classpack.typeset import labels
from classpack.typeset.blocks import (
    Block,
    LayoutError,
    Prose,
    RuleLine,
    Stack,
    White,
    refuse,
)
from classpack.typeset.day_chart import Chart
from classpack.typeset.fonts import tidy
from classpack.typeset.furniture import code_line, draw_foot, draw_head, foot_lines, head_height
from classpack.typeset.laid_out import LaidOut, Page
from classpack.typeset.look import Kind, Look, ladder_of
from classpack.typeset.page_text import Element, Sheet, TemplateError
from classpack.typeset.setting import Setting, missing_letters
from classpack.typeset.sheet_flow import Break, code_words, flow
from classpack.typeset.spine import SpineEntry
from classpack.typeset.tagged_canvas import TaggedCanvas

MOST_PAGES = 400
"""Of one sheet: more than the longest of a class of 120."""


def lay_out(sheet: Sheet, look: Look) -> LaidOut:
    """The sheet's pages.

    Raises:
        TemplateError: a letter no font has, an unknown sign or paper.
        LayoutError: something that does not fit on a page, with the element's place and words.
    """
    element = sheet.element
    problems = missing_letters(look, element)
    if problems:
        raise TemplateError(problems)
    paper = element.text("paper")
    if paper and paper not in look.papers:
        raise refuse(sheet.spot, f"there is no paper '{paper}'", f"choose {', '.join(look.papers)}")
    kind = ladder_of(look, sheet.kind, paper, element.yes("turn"))
    if sheet.kind == "labels":
        return _lay_out_labels(sheet, look, kind)
    settings = [Setting(look, kind, step, code_words(element)) for step in kind.steps]
    wanted = element.count("pages")
    laid = _roomiest(sheet, settings, wanted or 999)
    plain_break = any(
        not (e.text("title") or e.text("note")) for e in element.elements("page-break")
    )
    if wanted and len(laid.pages) > wanted and plain_break:
        return _roomiest(sheet, settings, wanted, breaks=False)
    return laid


def _roomiest(
    sheet: Sheet, settings: Sequence[Setting], wanted: int, breaks: bool = True
) -> LaidOut:
    """The sheet in the roomiest step of the ladder that keeps to the wanted pages, or to the fewest there can be."""
    try:
        first: LaidOut | None = _fill(sheet, settings[0], breaks)
    except LayoutError:
        if len(settings) == 1:
            raise
        first = None
    if first and (len(first.pages) <= wanted or len(settings) == 1):
        return first
    densest = _fill(sheet, settings[-1], breaks)
    fewest = max(wanted, len(densest.pages))
    if first and len(first.pages) <= fewest:
        return first
    for setting in settings[1:-1]:
        try:
            laid = _fill(sheet, setting, breaks)
        except LayoutError:
            continue
        if len(laid.pages) <= fewest:
            return laid
    return densest


class _Filler:
    """Fills one page after the other."""

    def __init__(
        self, setting: Setting, head: Element | None, feet: tuple[float, float], spot: Spot
    ) -> None:
        self.s = setting
        self.spot = spot
        self.running = head
        self.pages: list[Page] = []
        self.items: list[tuple[Block, float]] = []
        self.title = head.text("title") if head else ""
        self.own_note = self.note = head.text("note") if head else ""
        self.feet = feet
        self.y = self.top()

    def top(self) -> float:
        kind = self.s.kind
        top = kind.paper[1] - kind.grid.top
        return top - (head_height(self.s) if self.pages and self.running else 0)

    @property
    def room(self) -> float:
        return self.y - self.feet[len(self.pages) % 2]

    def place(self, block: Block) -> None:
        if not self.items and (
            isinstance(block, White) or (isinstance(block, RuleLine) and self.pages)
        ):
            return  # what parts blocks is not wanted at the top of a page
        if isinstance(block, Chart) and block.least:
            if self.room < block.least and self.items:
                self.turn()
            block = block.grown(max(block.least, self.room - 1))
        self.items.append((block, self.y))
        self.y -= block.height + block.after

    def turn(self) -> None:
        """Ends this page.

        Raises:
            LayoutError: there would be more pages than any sheet has.
        """
        if len(self.pages) >= MOST_PAGES:
            raise refuse(
                self.spot,
                f"this sheet would have more than {MOST_PAGES} pages",
                "take less into it, or give it a larger paper or smaller type",
            )
        head = None
        if self.pages and self.running:
            head = (tidy(self.running.text("number")), tidy(self.title), self._noted())
        self.pages.append(Page(tuple(self.items), len(self.pages) + 1, head))
        self.items = []
        self.y = self.top()

    def _noted(self) -> str:
        """The running head's note with the numbers of the first and last step on the page."""
        numbers = [n for block, _ in self.items for n in entry_numbers(block)]
        alone = self.running.text("note-one") if self.running else ""
        if len(numbers) == 1 and alone and self.note == self.own_note:
            return tidy(alone.replace("{first}", numbers[0]))
        if re.search(r"\{(?:first|last)\}", self.note):
            if not numbers:
                return ""
            note = self.note.replace("{first}", numbers[0]).replace("{last}", numbers[-1])
            return tidy(note)
        return tidy(self.note)


def entry_numbers(block: Block) -> list[str]:
    if isinstance(block, SpineEntry):
        return [block.number] if block.number else []
    if isinstance(block, Stack):
        return [n for b in block.blocks for n in entry_numbers(b)]
    return []


def _fill(sheet: Sheet, s: Setting, breaks: bool = True) -> LaidOut:
    running = sheet.element.elements("running")
    note = foot_lines(s, sheet.element)
    bare = s.kind.grid.foot + code_line(s, sheet.element)
    front = bare + (note.height if note else 0)
    feet = (front, bare if sheet.element.yes("duplex") else front)
    filler = _Filler(s, running[0] if running else None, feet, sheet.spot)
    waiting: list[Block] = []  # blocks tied to the next
    for item in flow(s, sheet.element.elements()):
        if isinstance(item, Break):
            _put(filler, waiting, sheet.spot)
            waiting = []
            if filler.items and (breaks or item.title or item.note):
                filler.turn()
            filler.title = item.title or filler.title
            filler.note = item.note or filler.note
            continue
        waiting.append(item)
        if not item.keep_next:
            _put(filler, waiting, sheet.spot)
            waiting = []
    _put(filler, waiting, sheet.spot)
    if filler.items or not filler.pages:
        filler.turn()
    return LaidOut(sheet, s, tuple(filler.pages), note)


def _put(filler: _Filler, group: list[Block], spot: Spot) -> None:
    """Places blocks that belong together: on this page if they fit, else on the next, parted only if they must be."""
    if not group:
        return
    tied = sum(b.height + b.after for b in group[:-1])
    last = group[-1]
    if tied + last.height > filler.room + 0.01:
        parts = last.split(filler.room - tied)
        if parts and filler.room - tied > 60:
            for block in (*group[:-1], parts[0]):
                filler.place(block)
            filler.turn()
            _put(filler, [parts[1]], spot)
            return
        if filler.items:
            filler.turn()
            _put(filler, group, spot)
            return
        if len(group) > 1:  # too much for one page together: the first goes alone
            _put(filler, group[:1], spot)
            _put(filler, group[1:], spot)
            return
        if parts:
            filler.place(parts[0])
            filler.turn()
            _put(filler, [parts[1]], spot)
            return
        if isinstance(last, Stack) and last.whole:  # kept together it fits on no page at all
            _put(filler, [Stack(last.blocks, last.inset, last.after, last.keep_next)], spot)
            return
        raise refuse(
            spot,
            f"{_shown(last)} is {last.height / 72 * 25.4:.0f} mm high and cannot be parted; the page has {filler.room / 72 * 25.4:.0f} mm",
            "make it shorter, or take it apart in the template",
        )
    for block in group:
        filler.place(block)


def _shown(block: Block) -> str:
    """The first words of a block, to find it by."""
    if isinstance(block, Prose):
        return f"'{' '.join(block.paragraph.text.split()[:8])}'"
    if isinstance(block, Stack) and block.blocks:
        return _shown(block.blocks[0])
    if isinstance(block, SpineEntry):
        return _shown(block.body)
    return f"a {type(block).__name__.lower().strip('_')}"


def _lay_out_labels(sheet: Sheet, look: Look, kind: Kind) -> LaidOut:
    setting = Setting(look, kind, kind.steps[0], code_words(sheet.element))
    grids = sheet.element.elements("labels")
    others = [
        e for e in sheet.element.elements() if e.tag not in ("labels", "running", "code-words")
    ]
    if not grids or others:
        raise refuse(
            sheet.spot,
            "a sheet of labels holds <labels> and nothing else",
            "put other blocks in a sheet of another kind",
        )
    pages: list[Page] = []
    for grid in grids:
        for block in labels.label_pages(setting, grid):
            pages.append(Page(((block, kind.paper[1]),), len(pages) + 1, None))
    return LaidOut(sheet, setting, tuple(pages), None)


def draw_page(c: TaggedCanvas, laid: LaidOut, page: Page) -> None:
    """One page on the canvas whose origin is the page's lower left corner; the sheet's element must be open."""
    s = laid.setting
    margin = s.kind.grid.margin
    if s.kind.name != "labels":
        with c.artifact("Pagination"):
            draw_foot(c, laid, page)
            if page.head:
                draw_head(c, s, page.head)
    for block, top in page.items:
        block.draw(c, margin, top)
