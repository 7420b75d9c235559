"""Sheets to pages: blocks are filled into page after page, in the roomiest type that keeps to the wanted pages.

Nothing is drawn here and nothing drawn later is measured again: a page is a list of blocks with their places.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from classpack.errors import Spot
from classpack.printing import labels
from classpack.printing.blocks import Block, LayoutError, Prose, RuleLine, Stack, White, refuse
from classpack.printing.figures import Chart
from classpack.printing.fonts import tidy
from classpack.printing.look import Kind, Look, ladder_of
from classpack.printing.page_text import Element, Sheet, TemplateError
from classpack.printing.setting import (
    RULES,
    Setting,
    caution,
    entry,
    masthead,
    missing_letters,
    side,
)
from classpack.printing.spine import Entry
from classpack.printing.tagged_canvas import TaggedCanvas
from classpack.printing.text import Paragraph, fitting_size


@dataclass(frozen=True, slots=True)
class Break:
    """A page end asked for, with what the running head says from there (empty: as before)."""

    title: str
    note: str


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
    wanted = element.count("pages") or 999
    last_error: LayoutError | None = None
    laid: LaidOut | None = None
    for step in kind.steps:
        setting = Setting(look, kind, step, code_words(element))
        try:
            laid = _fill(sheet, setting)
        except LayoutError as error:
            last_error = error
            continue
        if len(laid.pages) <= wanted:
            return laid
    if laid is not None and element.count("pages"):
        laid = _fill(sheet, laid.setting, breaks=False)
    if laid is None:
        assert last_error
        raise last_error
    return laid


def code_words(sheet: Element) -> dict[str, str]:
    given = sheet.elements("code-words")
    if given:
        return {name: tidy(given[0].text(name)) for name in ("hands", "dough", "oven", "heating")}
    return {
        "hands": "your hands",
        "dough": "the dough rests",
        "oven": "in the oven",
        "heating": "oven heating",
    }


# -- what a sheet holds


def _flow(s: Setting, elements: Sequence[Element]) -> Iterator[Block | Break]:
    """The sheet's blocks from left margin to right, and its page breaks."""
    grid = s.kind.grid
    list_key: object = None
    for number, e in enumerate(elements):
        if e.tag != "entry":
            list_key = None
        match e.tag:
            case "running" | "code-words":
                continue
            case "page-break":
                yield Break(e.text("title"), e.text("note"))
            case "masthead":
                yield masthead(s, e)
            case "side":
                yield side(s, e)
            case "entry":
                list_key = list_key or object()
                yield entry(s, e, list_key)
            case "caution":
                guards = e.yes("notch") and _guards(elements[number + 1 :])
                yield caution(s, e, guards)
            case "keep":
                inner = [b for b in _flow(s, _as_elements(e)) if not isinstance(b, Break)]
                yield Stack(inner, whole=True)
            case "rule" if e.text("from") == "margin" or not grid.text:
                yield RULES["rule"](s, e, s.width, s.width, "body")
            case "cut-line" | "day-chart":
                yield RULES[e.tag](s, e, s.width, s.width, "body")
            case "table" if e.text("place") == "full":
                yield RULES["table"](s, e, s.width, s.width, "body")
            case "table" if e.text("spine") != "none" and grid.clock:
                table = RULES["table"](s, e, s.edge, s.edge, "body")
                yield Entry(
                    grid,
                    s.width,
                    Stack([table]),
                    s.type("table").size,
                    e.text("spine"),
                    table.after,
                    s.ink_colour,
                    thicker=s.look.thicker,
                )
            case _:
                if e.tag == "heading" and number and elements[number - 1].tag != "heading":
                    yield White(s.type(f"heading {e.text('level')}").size * 0.45)
                block = RULES[e.tag](s, e, s.edge, s.edge, "body")
                yield Stack([block], grid.text) if grid.text else block


def _as_elements(keep: Element) -> list[Element]:
    """A keep's children; words of its own become a paragraph."""
    out: list[Element] = []
    run: list[Element | str] = []

    def close() -> None:
        if any(not isinstance(r, str) or r.strip() for r in run):
            values = {"size": "body", "tone": "ink", "align": "left", "after": None}
            out.append(Element("text", dict(values), tuple(run), keep.spot))
        run.clear()

    for child in keep.children:
        if isinstance(child, str) or (
            child.tag not in RULES and child.tag not in ("side", "entry", "caution")
        ):
            run.append(child)
        else:
            close()
            out.append(child)
    close()
    return out


def _guards(following: Sequence[Element]) -> bool:
    """Whether a caution guards a step: an entry follows, with nothing but more cautions between."""
    for e in following:
        if e.tag == "caution" and e.yes("notch"):
            continue
        return e.tag == "entry"
    return False


# -- filling pages


class _Filler:
    """Fills one page after the other."""

    def __init__(self, setting: Setting, head: Element | None, foot: float) -> None:
        self.s = setting
        self.running = head
        self.pages: list[Page] = []
        self.items: list[tuple[Block, float]] = []
        self.title = head.text("title") if head else ""
        self.note = head.text("note") if head else ""
        self.foot = foot
        self.y = self.top()

    def top(self) -> float:
        kind = self.s.kind
        top = kind.paper[1] - kind.grid.top
        return top - (head_height(self.s) if self.pages and self.running else 0)

    @property
    def room(self) -> float:
        return self.y - self.foot

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
        """Ends this page."""
        head = None
        if self.pages and self.running:
            head = (tidy(self.running.text("number")), tidy(self.title), self._noted())
        self.pages.append(Page(tuple(self.items), len(self.pages) + 1, head))
        self.items = []
        self.y = self.top()

    def _noted(self) -> str:
        """The running head's note with the numbers of the first and last step on the page."""
        numbers = [n for block, _ in self.items for n in entry_numbers(block)]
        if re.search(r"\{(?:first|last)\}", self.note):
            if not numbers:
                return ""
            note = self.note.replace("{first}", numbers[0]).replace("{last}", numbers[-1])
            return tidy(note)
        return tidy(self.note)


def entry_numbers(block: Block) -> list[str]:
    if isinstance(block, Entry):
        return [block.number] if block.number else []
    if isinstance(block, Stack):
        return [n for b in block.blocks for n in entry_numbers(b)]
    return []


def head_height(s: Setting) -> float:
    return s.type("running title").size * 1.2 + 16


def foot_lines(s: Setting, sheet: Element) -> Paragraph | None:
    """The foot's second line."""
    words = tidy(sheet.text("foot-note")).strip()
    if not words:
        return None
    type_ = s.type("footer")
    return Paragraph(s.plain(words, type_, "soft"), s.width, type_.size * 1.2, type_.size)


FOOT_GAP = 22.0


def code_width(s: Setting) -> float:
    """Width of the three marks and words that explain the line code."""
    face, size = s.look.fonts.face(), s.type("footer").size
    return sum(face.width(s.code_words[n]) * size + FOOT_GAP for n in ("hands", "dough", "oven"))


def code_line(s: Setting, sheet: Element) -> float:
    """Height of a line of its own for the line code, if it does not fit beside the foot's words; else 0."""
    if not sheet.yes("code"):
        return 0
    face, size = s.look.fonts.face(), s.type("footer").size
    words = face.width(tidy(sheet.text("footer") or s.look.school)) * size
    counter = face.width(sheet.text("counter")) * size
    return size * 1.25 if words + code_width(s) + counter > s.width - 12 else 0


def _fill(sheet: Sheet, s: Setting, breaks: bool = True) -> LaidOut:
    running = sheet.element.elements("running")
    note = foot_lines(s, sheet.element)
    foot = s.kind.grid.foot + (note.height if note else 0) + code_line(s, sheet.element)
    filler = _Filler(s, running[0] if running else None, foot)
    waiting: list[Block] = []  # blocks tied to the next
    for item in _flow(s, sheet.element.elements()):
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
        words = " ".join("".join(p.text for p in w.parts) for w in block.paragraph.words[:8])
        return f"'{words}'"
    if isinstance(block, Stack) and block.blocks:
        return _shown(block.blocks[0])
    if isinstance(block, Entry):
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


# -- drawing


def draw_page(c: TaggedCanvas, laid: LaidOut, page: Page) -> None:
    """One page on the canvas whose origin is the page's lower left corner; the sheet's element must be open."""
    s = laid.setting
    margin = s.kind.grid.margin
    if s.kind.name != "labels":
        with c.artifact("Pagination"):
            _draw_foot(c, laid, page)
            if page.head:
                _draw_head(c, s, page.head)
    for block, top in page.items:
        block.draw(c, margin, top)


def _draw_foot(c: TaggedCanvas, laid: LaidOut, page: Page) -> None:
    s = laid.setting
    grid, size = s.kind.grid, s.type("footer").size
    face, ink, soft = s.look.fonts.face(), s.colour("ink"), s.colour("soft")
    left, right = grid.margin, s.kind.paper[0] - grid.margin
    own_line = code_line(s, laid.sheet.element)
    extra = (laid.foot_note.height if laid.foot_note else 0) + own_line
    y = grid.foot - 20 + extra
    c.rule(left, grid.foot - 6 + extra, right, grid.foot - 6 + extra, 0.4 * s.look.thicker, ink)
    counter = (
        laid.sheet.element.text("counter")
        .replace("{page}", str(page.number))
        .replace("{pages}", str(len(laid.pages)))
    )
    edge = right
    if counter:
        edge -= face.width(counter) * size
        c.text(edge, y, face, size, soft, counter)
        edge -= 12
    if laid.sheet.element.yes("code"):
        line_y, words_edge = y, edge
        if own_line:
            y, edge = y - own_line, right
        for line in ("oven", "dough", "hands"):
            word = s.code_words[line]
            edge -= face.width(word) * size
            c.text(edge, y, face, size, soft, word)
            _code_mark(c, edge - 7, y + size * 0.9, y - size * 0.26, line, ink)
            edge -= FOOT_GAP
        if own_line:
            y, edge = line_y, words_edge
    words = tidy(laid.sheet.element.text("footer")).strip() or s.look.school
    if words:
        fits = fitting_size(face, words, size, min(size, 9.5), edge - left - 6)
        while face.width(words) * fits > edge - left - 6 and len(words) > 4:
            words = words[:-2].rstrip() + "…"
        c.text(left, y, face, fits, soft, words)
    if laid.foot_note:
        laid.foot_note.draw(c, left, y - own_line - size * 0.35, tagged=False)


def _code_mark(c: TaggedCanvas, x: float, top: float, foot: float, line: str, ink: str) -> None:
    match line:
        case "hands":
            c.rule(x, top, x, foot, 2.2, ink)
        case "dough":
            c.rule(x, top, x, foot, 0.5, ink)
        case _:
            c.rule(x - 1.7, top, x - 1.7, foot, 0.6, ink)
            c.rule(x + 1.7, top, x + 1.7, foot, 0.6, ink)


def _draw_head(c: TaggedCanvas, s: Setting, head: tuple[str, str, str]) -> None:
    number, title, note = head
    grid = s.kind.grid
    face, bold = s.look.fonts.face(), s.look.fonts.face(True)
    size, number_size, small = (
        s.type("running title").size,
        s.type("running number").size,
        min(s.type("small").size, s.type("over").size),
    )
    y = s.kind.paper[1] - grid.top - size * 0.8
    left, right = grid.margin, s.kind.paper[0] - grid.margin
    if number and grid.clock:
        fits = fitting_size(bold, number, max(number_size, size), 8, grid.clock + 2)
        c.text(left + grid.clock, y, bold, fits, s.colour("accent"), number, align=1)
    elif number:
        title = f"{number}  {title}"
    room = right - left - grid.text - (face.width(note) * small + 12 if note else 0)
    fits = fitting_size(bold, title, size, 9.5, room)
    while bold.width(title) * fits > room and len(title) > 4:
        title = title[:-2].rstrip() + "…"
    c.text(left + grid.text, y, bold, fits, s.colour("ink"), title)
    if note:
        c.text(right, y, face, small, s.colour("soft"), note, align=1)
    c.rule(left, y - 9, right, y - 9, 0.9, s.colour("ink"))
