"""The running head and foot of a page: no content, but a loose sheet always says whose it is."""

from __future__ import annotations

from classpack.typeset.fonts import tidy
from classpack.typeset.laid_out import LaidOut, Page
from classpack.typeset.page_text import Element
from classpack.typeset.setting import Setting
from classpack.typeset.tagged_canvas import TaggedCanvas
from classpack.typeset.text import Paragraph, fitting_size

FOOT_GAP = 22.0


def head_height(s: Setting) -> float:
    return s.type("running title").size * 1.2 + 16


def foot_lines(s: Setting, sheet: Element) -> Paragraph | None:
    """The foot's second line."""
    words = tidy(sheet.text("foot-note")).strip()
    if not words:
        return None
    type_ = s.type("footer")
    return Paragraph(s.plain(words, type_, "soft"), s.width, type_.size * 1.2, type_.size)


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


def draw_foot(c: TaggedCanvas, laid: LaidOut, page: Page) -> None:
    s = laid.setting
    grid, size = s.kind.grid, s.type("footer").size
    face, ink, soft = s.look.fonts.face(), s.colour("ink"), s.colour("soft")
    left, right = grid.margin, s.kind.paper[0] - grid.margin
    own_line = code_line(s, laid.sheet.element)
    note = laid.note_at(page.number)
    extra = (note.height if note else 0) + own_line
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
    if note:
        note.draw(c, left, y - own_line - size * 0.35, tagged=False)


def _code_mark(c: TaggedCanvas, x: float, top: float, foot: float, line: str, ink: str) -> None:
    match line:
        case "hands":
            c.rule(x, top, x, foot, 2.2, ink)
        case "dough":
            c.rule(x, top, x, foot, 0.5, ink)
        case _:
            c.rule(x - 1.7, top, x - 1.7, foot, 0.6, ink)
            c.rule(x + 1.7, top, x + 1.7, foot, 0.6, ink)


def draw_head(c: TaggedCanvas, s: Setting, head: tuple[str, str, str]) -> None:
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
