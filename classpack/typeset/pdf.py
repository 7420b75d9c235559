"""Laid-out sheets to tagged PDF: the joined pack, and every sheet by itself, from one layout.

The sheets are drawn, not merged: merging would lose the tags. The joined pack is drawn first; the letters its font
subsets hold are then given to the small files too, so that each subset is made once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from classpack.errors import LessonError, Problem
from classpack.typeset.laid_out import LaidOut
from classpack.typeset.layout import draw_page, lay_out
from classpack.typeset.look import Look
from classpack.typeset.page_text import Sheet
from classpack.typeset.structure import Branch
from classpack.typeset.tagged_canvas import Letters, TaggedCanvas


@dataclass(frozen=True, slots=True)
class SheetPart:
    """Some sheets that make one file of their own."""

    title: str
    sheets: tuple[Sheet, ...]


@dataclass(frozen=True, slots=True)
class PrintedPdf:
    """``pack`` is every part in one file; ``parts`` are the same by themselves, in their order."""

    pack: bytes
    parts: tuple[bytes, ...]
    pages: int
    part_pages: tuple[int, ...]


def lay_out_all(sheets: Sequence[Sheet], look: Look) -> tuple[LaidOut, ...]:
    """All sheets laid out.

    Raises:
        LessonError: with the problems of every sheet that cannot be printed.
    """
    laid: list[LaidOut] = []
    problems: list[Problem] = []
    for sheet in sheets:
        try:
            laid.append(lay_out(sheet, look))
        except LessonError as error:
            problems += error.problems
    if problems:
        raise LessonError(problems)
    return tuple(laid)


def draw(
    sheets: Sequence[Sheet], look: Look, *, title: str, language: str, author: str = ""
) -> bytes:
    """One tagged PDF of the sheets, in their order. The same sheets give the same bytes.

    Args:
        sheets: from ``page_text.parse``.
        look: from ``look.read_look``.
        title: the document's title, shown by readers.
        language: of the text, as in ``en-GB``.
        author: who is named as its author.

    Raises:
        LessonError: a letter no font has, an unknown sign, or something that does not fit.
    """
    return draw_laid_out(
        lay_out_all(sheets, look), look, title=title, language=language, author=author
    )


def draw_laid_out(
    laid: Sequence[LaidOut], look: Look, *, title: str, language: str, author: str = ""
) -> bytes:
    """As ``draw``, for sheets that ``lay_out_all`` has laid out already."""
    return _document(laid, look, title, language, author, True, None)[0].finish()


def draw_pack(
    parts: Sequence[SheetPart], look: Look, *, title: str, language: str, author: str = ""
) -> PrintedPdf:
    """The joined pack and every part as a file of its own, laid out once.

    Raises:
        LessonError: as ``draw``.
    """
    laid = lay_out_all([sheet for part in parts for sheet in part.sheets], look)
    pack, pages = _document(laid, look, title, language, author, True, None)
    letters = pack.letters()
    joined = pack.finish()
    del pack  # its structure tree is large
    singles: list[bytes] = []
    counts: list[int] = []
    start = 0
    for part in parts:
        some = laid[start : start + len(part.sheets)]
        start += len(part.sheets)
        canvas, count = _document(some, look, part.title, language, author, False, letters)
        singles.append(canvas.finish())
        counts.append(count)
    return PrintedPdf(joined, tuple(singles), pages, tuple(counts))


def _document(
    laid: Sequence[LaidOut],
    look: Look,
    title: str,
    language: str,
    author: str,
    joined: bool,
    letters: Letters | None,
) -> tuple[TaggedCanvas, int]:
    """A canvas with all pages drawn, and their number."""
    paper = laid[0].paper if laid else look.papers["A4"]
    canvas = TaggedCanvas(paper, title, language, look.fonts.face().name, author)
    if letters is not None:
        canvas.take_letters(letters)
    pages = 0
    number = 0
    card_before = False
    while number < len(laid):
        card = laid[number].sheet.element.yes("duplex")
        if joined and (card or card_before) and pages % 2:
            two_up = laid[number].sheet.kind == "card" and look.cards_on
            # nobody's card has another sheet on its back
            pages += _blank(canvas, two_up or laid[number].paper)
        card_before = card
        if joined and look.cards_on and laid[number].sheet.kind == "card":
            shared = [laid[number]]
            while (
                number + len(shared) < len(laid) and laid[number + len(shared)].sheet.kind == "card"
            ):
                shared.append(laid[number + len(shared)])
            pages += _draw_two_up(canvas, shared, look, look.cards_on)
            number += len(shared)
            continue
        one = laid[number]
        section = _section(canvas, one)
        for page in one.pages:
            canvas.setPageSize(one.paper)
            if page.number == 1:
                canvas.bookmark(f"s{canvas.next_bookmark()}", one.sheet.title, 0)
            canvas.enter(section)
            draw_page(canvas, one, page)
            canvas.close()
            canvas.showPage()
            pages += 1
        number += 1
    return canvas, pages


def _blank(canvas: TaggedCanvas, paper: tuple[float, float]) -> int:
    """An empty page, so that what follows starts on a fresh sheet of paper."""
    canvas.setPageSize(paper)
    canvas.code(" ")
    canvas.showPage()
    return 1


def _section(canvas: TaggedCanvas, laid: LaidOut) -> Branch:
    section = canvas.open("Sect", title=laid.sheet.title, lang=laid.sheet.element.text("lang"))
    canvas.close()
    return section


def _draw_two_up(
    canvas: TaggedCanvas, shared: Sequence[LaidOut], look: Look, paper: tuple[float, float]
) -> int:
    """Cards two on a sheet with a cut line. A card of several pages keeps to its own half of the paper, front and back.

    PrintedPdf on both sides (turned on the short edge), the left half's back is the right half.
    """
    pages = 0
    sections = [_section(canvas, one) for one in shared]
    marked: set[int] = set()
    ink = look.colours["soft"]
    for pair in range(0, len(shared), 2):
        left, right = shared[pair], shared[pair + 1] if pair + 1 < len(shared) else None
        count = max(len(left.pages), len(right.pages) if right else 0)
        duplex = left.sheet.element.yes("duplex")
        if duplex and pages % 2:
            pages += _blank(canvas, paper)
        for side in range(count):
            canvas.setPageSize(paper)
            swapped = duplex and side % 2
            halves: list[tuple[int, LaidOut | None]] = [(pair, left), (pair + 1, right)]
            for place, (index, one) in enumerate(halves):
                if one is None or side >= len(one.pages):
                    continue
                if index not in marked:
                    canvas.bookmark(f"c{canvas.next_bookmark()}", one.sheet.title, 0)
                    marked.add(index)
                at = 1 - place if swapped else place
                dx = at * paper[0] / 2 + (paper[0] / 2 - one.paper[0]) / 2
                dy = (paper[1] - one.paper[1]) / 2
                canvas.shift(dx, dy)
                canvas.enter(sections[index])
                draw_page(canvas, one, one.pages[side])
                canvas.close()
                canvas.shift(-dx, -dy)
            with canvas.artifact():
                canvas.rule(paper[0] / 2, 0, paper[0] / 2, paper[1], 0.4, ink, "[4 4] 0")
            canvas.showPage()
            pages += 1
    return pages
