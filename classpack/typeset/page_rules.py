"""Elements that use the whole width of the page: masthead, side rows, entries on the spine, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from classpack.typeset.blocks import (
    Block,
    Listing,
    Prose,
    SideBySide,
    Stack,
    White,
    refuse,
)
from classpack.typeset.caution import CautionBlock, Cautions, tab_width, text_edge
from classpack.typeset.elements import blocks_of, known_sign_of
from classpack.typeset.fonts import tidy
from classpack.typeset.logo import Logo, open_logo
from classpack.typeset.look import Grid, Type
from classpack.typeset.masthead import Masthead
from classpack.typeset.page_text import Element
from classpack.typeset.setting import Setting
from classpack.typeset.signs import (
    SIGN_NAMES,
)
from classpack.typeset.spine import EntrySigns, SpineEntry
from classpack.typeset.text import Ink, Paragraph, TextSpan, fitting_size
from classpack.typeset.vocabulary import INLINE


def first_size(blocks: Iterable[Block], otherwise: float) -> float:
    """Type size of the first words among blocks, for the clock to share their baseline."""
    for block in blocks:
        if isinstance(block, Prose):
            return block.paragraph.size
        if isinstance(block, Listing):
            return block.items[0][1].size
        if isinstance(block, Stack):
            return first_size(block.blocks, otherwise)
        if isinstance(block, SideBySide):
            return first_size((b for _, b in block.parts), otherwise)
        if isinstance(block, White):
            continue
        break
    return otherwise


def masthead(s: Setting, e: Element) -> Block:
    grid, look = s.kind.grid, s.look
    measure = s.width - grid.text
    logo: Logo | None = None
    if e.yes("logo") and look.logo:
        logo = open_logo(look.logo, 90, 52, e.spot)
        measure -= logo.size[0] + 12
    title_type, over, deck, word = s.type("title"), s.type("over"), s.type("deck"), s.type("word")
    face = look.fonts.face(True)
    words = tidy(e.text("title")).strip()
    size = fitting_size(face, words, title_type.size, s.type("least title").size, measure)
    title = Paragraph(
        s.plain(words, Type(size, 0), bold=True), measure, size * 1.12, size, tag="H1"
    )
    over_words = tidy(e.text("over"))
    column = e.text("word") or e.text("number")
    if column and not grid.clock:
        over_words = " · ".join(
            filter(None, (f"{e.text('word')} {e.text('number')}".strip(), over_words))
        )
        column = ""
    return Masthead(
        grid,
        s.width,
        Paragraph(s.plain(e.text("word"), word, "soft"), grid.clock + 8, word.leading, word.size, 1)
        if column and e.text("word")
        else None,
        tidy(e.text("number")).strip() if column else "",
        face,
        Paragraph(s.plain(over_words, over, "soft"), measure, over.leading, over.size)
        if over_words.strip()
        else None,
        title,
        Paragraph(s.plain(e.text("deck"), deck), measure, deck.leading, deck.size)
        if e.text("deck").strip()
        else None,
        look.colours,
        14 if grid.clock else 12,
        logo,
        look.school,
    )


def side(s: Setting, e: Element) -> Block:
    size = e.text("size")
    measure = s.edge
    if size == "lead":
        type_ = s.type("lead")
        content = list(e.children)
        inline = [c for c in content if isinstance(c, str) or c.tag in INLINE]
        rest = [c for c in content if not (isinstance(c, str) or c.tag in INLINE)]
        blocks: list[Block] = [
            Prose(
                Paragraph(s.spans(inline, type_, bold=True), measure, type_.leading, type_.size), 0
            )
        ]
        blocks += blocks_of(s, rest, measure, s.edge)
    else:
        blocks = blocks_of(s, e.children, measure, s.edge, size)
    return _beside(s, e, blocks, "none", None, _under(s, e.text("word"), s.type("word")), 0, None)


def _under(s: Setting, words: str, type_: Type, tone: str = "soft") -> Paragraph | None:
    """Small words in the clock column, right-aligned; a little wider than the column if that saves a line."""
    column = s.kind.grid.clock
    if not words.strip() or not column:
        return None
    size = type_.size
    face = s.look.fonts.face()
    while size > 9.5 and face.width(tidy(words)) * size > column + 6:
        size -= 0.5
    return Paragraph(
        s.plain(words, Type(size, 0), tone), column + 6, type_.leading, size, 1, lonely=True
    )


def _beside(
    s: Setting, e: Element, blocks: list[Block], line: str, big: tuple[Ink, str] | None, under: Paragraph | None, box: float, key: object,
    number: str = "", title: str = "", signs: EntrySigns | None = None,
) -> SpineEntry:  # fmt: skip
    body = Stack(blocks, after=0)
    size = first_size(blocks, s.type("body").size)
    return SpineEntry(
        s.kind.grid,
        s.width,
        body,
        size,
        line,
        s.type("gap").size,
        s.ink_colour,
        big,
        under,
        box,
        key,
        number,
        title,
        thicker=s.look.thicker,
        signs=signs,
    )


def entry(s: Setting, e: Element, key: object) -> Block:
    grid = s.kind.grid
    tick = e.yes("tick")
    box = s.type("tick").size if tick else 0.0
    signs = _signs(s, e)
    measure = s.edge - (max(grid.tick, box + 8) if tick else 0) - (signs.across if signs else 0)
    size = e.text("size")
    type_ = s.type(size)
    lead: list[TextSpan] = []
    head = tidy(e.text("head")).strip()
    number = tidy(e.text("number")).strip()
    if head and head[-1] not in ".:!?" and _begins_with_words(e):
        head += "."
    if number or head:
        lead = s.plain(
            f"{number}\u00a0 {head}" if number and head else number or head, type_, bold=True
        )
    blocks = blocks_of(s, e.children, measure, s.edge, size, lead)
    clock, minutes, about = (tidy(e.text(n)).strip() for n in ("clock", "minutes", "about"))
    big, small = (clock or minutes), (minutes if clock else "")
    if about and clock:
        big, small = (minutes, f"{about} {clock}") if minutes else (f"{about} {clock}", "")
    clock_type = s.type("clock")
    face = s.look.fonts.face(True)
    shown = None
    if big and grid.clock:
        fits = fitting_size(face, big, clock_type.size, 9.5, grid.clock + 2)
        if face.width(big) * fits <= grid.clock + 8:
            shown = (s.ink("accent", fits, True), big)
        else:  # words instead of a time: they wrap beneath each other
            small = f"{big} {small}"
    elif big:
        blocks.insert(
            0,
            Prose(
                Paragraph(
                    s.plain(f"{big} {small}", type_, "accent", True),
                    measure,
                    type_.leading,
                    type_.size,
                )
            ),
        )
    title = " ".join(filter(None, (big, head.rstrip(".")))) if e.yes("anchor") else ""
    return _beside(
        s,
        e,
        blocks,
        e.text("line") if grid.clock else "none",
        shown,
        _under(s, small, s.type("minutes")),
        box,
        key,
        number,
        title,
        signs,
    )


ENTRY_SIGN = 0.5
"""An entry's sign, share of a full caution's width: 11 mm on station sheets."""


def _signs(s: Setting, e: Element) -> EntrySigns | None:
    """Signs at the right of an entry, each with what it says, parted by ``|``; without that the sign's own name."""
    names = [known_sign_of(e, name) for name in e.text("signs").split()]
    if not names:
        return None
    said = [tidy(alt).strip() for alt in e.text("signs-alt").split("|")]
    alts = said if len(said) == len(names) else [SIGN_NAMES[name] for name in names]
    return EntrySigns(names, alts, s.type("sign").size * ENTRY_SIGN, s.look.colours)


def _begins_with_words(e: Element) -> bool:
    """Whether words follow a step's head on its line."""
    for child in e.children:
        if isinstance(child, str):
            if child.strip():
                return True
            continue
        return child.tag in INLINE
    return False


SLIM_SIGN = 0.64
"""A slim caution's sign, share of the full one's width: 8.6 mm on cards, still above the 8 mm that can be told apart."""


def cautions(s: Setting, elements: Sequence[Element], guards: bool) -> Block:
    """One frame round cautions that stand together; ``guards`` when a step follows that they are about."""
    gap = s.type("gap").size * (0.35 if guards else 1.1)
    if elements[0].text("size") == "grid":
        half, column = s.width / 2, replace(s.kind.grid, clock=0.0)
        parts = [_caution(s, e, column, half) for e in elements]
        return Cautions(parts, False, gap, False, columns=2)
    return Cautions([_caution(s, e, s.kind.grid, s.width) for e in elements], guards, gap, guards)


def _caution(s: Setting, e: Element, grid: Grid, across: float) -> CautionBlock:
    type_, pad = s.type("caution"), s.type("pad").size
    sign = known_sign_of(e, e.text("sign"))
    width = s.type("sign").size
    size = e.text("size")
    if size != "full":
        width, pad = width * SLIM_SIGN, min(pad, 3 if size == "slim" else 4)
    word = e.text("word").strip() or e.text("severity")
    word_ink = s.ink("ink", type_.size * 0.92, True)
    text = text_edge(grid, width)
    measure = across - text - 10
    when = (
        (s.ink("accent", type_.size * 0.9, True), tidy(e.text("when")).strip())
        if e.text("when").strip() and size != "grid"
        else None
    )
    beside = (
        measure
        - tab_width(word_ink, word)
        - 8
        - (when[0].face.width(when[1]) * when[0].size + 12 if when else 0)
    )
    if beside < type_.size * 4:
        raise refuse(
            e.spot,
            f"the word '{word}' leaves no room for the hazard beside it",
            "use a shorter word",
        )
    words, spans = s.plain(e.text("hazard"), type_, bold=True), s.spans(e.children, type_)
    if (
        size == "grid"
    ):  # half a page is too narrow for words beside the tab: the time stands there, the words beneath
        beneath = [*words, TextSpan("\n", s.ink("ink", type_.size)), *spans] if spans else words
        words, spans = s.plain(e.text("when").strip() or "\u00a0", type_, "accent", True), beneath
    hazard = Paragraph(words, beside, type_.leading, type_.size)
    what = Paragraph(spans, measure, type_.leading, type_.size) if spans else None
    return CautionBlock(
        grid,
        across,
        e.text("severity"),
        (word_ink, word),
        hazard,
        what,
        sign,
        tidy(e.text("alt")).strip() or SIGN_NAMES[sign],
        width,
        pad,
        when,
        s.look.colours,
        s.look.filled,
    )
