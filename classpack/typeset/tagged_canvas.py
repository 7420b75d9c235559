"""A reportlab canvas that writes tagged PDF (ISO 14289-1, PDF/UA-1): structure tree, artifacts, links, outline.

The open-source library draws but does not tag. Here every piece of content belongs either to a structure element
(``open``, ``begin``/``end``, ``close``) or to the page's furniture (``artifact``).
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape
from typing import Any

from reportlab.lib.rl_accel import escapePDF
from reportlab.pdfbase import pdfdoc, ttfonts
from reportlab.pdfbase.pdfdoc import PDFObjectReference, PDFString
from reportlab.pdfgen.canvas import Canvas

from classpack.typeset.fonts import Face
from classpack.typeset.structure import Branch, BranchObject, TreeRoot


def _to_unicode_map(name: str, subset: list[int]) -> str:
    """The code-to-text map of a font subset (ISO 32000-1, 9.10.3).

    As the library's own, but code 0, the empty box, stays unmapped, blocks keep to 100 entries, and text is UTF-16.
    """
    pairs = [(code, letter) for code, letter in enumerate(subset) if letter]
    lines: list[str] = []
    for start in range(0, len(pairs), 100):
        block = pairs[start : start + 100]
        lines.append(f"{len(block)} beginbfchar")
        lines += [f"<{c:02X}> <{chr(u).encode('utf-16-be').hex().upper()}>" for c, u in block]
        lines.append("endbfchar")
    return "\n".join(
        [
            "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
            f"/CIDSystemInfo << /Registry ({name}) /Ordering ({name}) /Supplement 0 >> def",
            f"/CMapName /{name} def /CMapType 2 def",
            "1 begincodespacerange <00> <FF> endcodespacerange",
            *lines,
            "endcmap CMapName currentdict /CMap defineresource pop end end",
        ]
    )


# Two places where the library has no hook: the font's text map, and page keys it would drop.
_ttfonts: Any = ttfonts
_ttfonts.makeToUnicodeCMap = _to_unicode_map
for _key in ("StructParents", "Tabs"):
    if _key not in pdfdoc.PDFPage.__NoDefault__:
        pdfdoc.PDFPage.__NoDefault__.append(_key)


# The library's own type stubs leave out what tagging has to reach for.
_Canvas: Any = Canvas
_State: Any = ttfonts.TTFont.State

_HEADINGS = ("H1", "H2", "H3", "H4", "H5", "H6")


@dataclass(frozen=True, slots=True)
class Letters:
    """The letters of a canvas's font subsets, and how each word is written in them."""

    states: tuple[tuple[Any, Any], ...]
    words: dict[tuple[str, str], tuple[tuple[str, str], ...]]


class TaggedCanvas(_Canvas):  # type: ignore[misc]
    """Draws and tags. Colours are strings of three numbers from 0 to 1, as the page code wants them."""

    def __init__(
        self,
        size: tuple[float, float],
        title: str,
        language: str,
        first_font: str,
        author: str = "",
    ) -> None:
        self._buffer = io.BytesIO()
        super().__init__(
            self._buffer,
            pagesize=size,
            pdfVersion=(1, 7),
            pageCompression=1,
            invariant=1,
            lang=language,
            initialFontName=first_font,
        )
        self.setTitle(title)
        self.setAuthor(author)
        self.setCreator("classpack")
        self.setSubject("")
        self._root = Branch("Document", {})
        self._stack = [self._root]
        self._named: dict[object, Branch] = {}
        self._marks: list[Branch] = []  # of the page being drawn, by content number
        self._parents: list[list[Branch]] = []  # the same for the finished pages
        self._links: list[tuple[Any, Branch]] = []
        self._words: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {}
        self._shift = (0.0, 0.0)
        self._bookmarks = 0
        self._level = 0

    # -- structure
    def open(self, tag: str, **attributes: Any) -> Branch:
        """A new element inside the open one. A heading never skips a level: H3 after H1 becomes H2."""
        if tag in _HEADINGS:
            self._level = min(_HEADINGS.index(tag) + 1, self._level + 1)
            tag = _HEADINGS[self._level - 1]
        branch = Branch(tag, attributes)
        self._stack[-1].kids.append(branch)
        self._stack.append(branch)
        return branch

    def resume(self, key: object, tag: str, **attributes: Any) -> Branch:
        """The element opened under ``key`` if it is still the last one here (a table or list that goes on), else a new one."""
        branch = self._named.get(key)
        kids = self._stack[-1].kids
        if branch is not None and kids and kids[-1] is branch:
            self._stack.append(branch)
            return branch
        branch = self._named[key] = self.open(tag, **attributes)
        return branch

    def enter(self, branch: Branch) -> None:
        """Goes on inside an element that was opened and closed before."""
        self._stack.append(branch)

    def close(self) -> None:
        self._stack.pop()

    def begin(self) -> None:
        """What is drawn until ``end`` is content of the open element."""
        branch = self._stack[-1]
        number = len(self._marks)
        self._marks.append(branch)
        branch.kids.append((self._pageNumber, number))
        self._code.append(f"/{branch.tag} <</MCID {number}>> BDC")

    def end(self) -> None:
        self._code.append("EMC")

    @contextmanager
    def element(self, tag: str, **attributes: Any) -> Iterator[Branch]:
        yield self.open(tag, **attributes)
        self.close()

    @contextmanager
    def marked(self, tag: str, **attributes: Any) -> Iterator[Branch]:
        """A new element whose content is drawn inside."""
        branch = self.open(tag, **attributes)
        self.begin()
        yield branch
        self.end()
        self.close()

    @contextmanager
    def artifact(self, kind: str = "") -> Iterator[None]:
        """What is drawn inside is no content: rules, frames, running heads (``kind="Pagination"``)."""
        self._code.append(f"/Artifact <</Type /{kind}>> BDC" if kind else "/Artifact BMC")
        yield
        self._code.append("EMC")

    # -- drawing
    def letters(self) -> Letters:
        """The letters of the font subsets so far, to be given to other canvases; asked for before ``finish``."""
        fonts = tuple(self._doc.delayedFonts)
        states = tuple(font.state[self._doc] for font in fonts)
        return Letters(tuple(zip(fonts, states, strict=True)), self._words)

    def take_letters(self, letters: Letters) -> None:
        """Takes over another canvas's letters, so that both need the same subsets, which are made once.

        Everything drawn here must have been drawn there.
        """
        for font, theirs in letters.states:
            state = font.state[self._doc] = _State(font._asciiReadable, font)
            state.assignments, state.subsets = theirs.assignments, theirs.subsets
            state.nextCode = theirs.nextCode
            font.getSubsetInternalName(0, self._doc)
        self._words = letters.words

    def words(self, face: Face, text: str, size: float) -> str:
        """The page code that shows ``text`` in ``face``; font and size must be set already (see ``font_code``)."""
        key = (face.name, text)
        parts = self._words.get(key)
        if parts is None:
            chunks = face.font.splitString(text, self._doc)
            name = face.font.getSubsetInternalName
            parts = tuple(
                (name(n, self._doc) if n else "", f"({escapePDF(t)}) Tj") for n, t in chunks
            )
            self._words[key] = parts
        if len(parts) == 1 and not parts[0][0]:
            return parts[0][1]
        first = face.font.getSubsetInternalName(0, self._doc)
        code = " ".join(f"{name or first} {size:.4g} Tf {shown}" for name, shown in parts)
        return f"{code} {first} {size:.4g} Tf"

    def font_code(self, face: Face, size: float) -> str:
        return f"{face.font.getSubsetInternalName(0, self._doc)} {size:.4g} Tf"

    def text(
        self,
        x: float,
        y: float,
        face: Face,
        size: float,
        colour: str,
        text: str,
        spread: float = 0,
        align: float = 0,
    ) -> None:
        """One line of text. ``align`` 0 starts at x, 1 ends there, 0.5 is centred; ``spread`` is added after each letter."""
        text = text.replace("\u00ad", "")  # a line of its own is never parted
        if align:
            x -= align * (face.width(text) * size + spread * (len(text) - 1))
        words = self.words(face, text, size)
        gap = f"{spread:.3g} Tc " if spread else ""
        rest = " 0 Tc" if spread else ""
        self._code.append(
            f"BT {colour} rg {self.font_code(face, size)} {gap}1 0 0 1 {x:.2f} {y:.2f} Tm {words}{rest} ET"
        )

    def code(self, operators: str) -> None:
        """Page code as it is."""
        self._code.append(operators)

    def line(self, x1: float, y1: float, x2: float, y2: float) -> None:
        self._code.append(f"{x1:.2f} {y1:.2f} m {x2:.2f} {y2:.2f} l S")

    def rule(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        weight: float,
        colour: str,
        dash: str = "[] 0",
    ) -> None:
        self._code.append(
            f"{colour} RG {weight:.3g} w {dash} d {x1:.2f} {y1:.2f} m {x2:.2f} {y2:.2f} l S"
        )

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        weight: float,
        stroke: str,
        fill: str = "",
    ) -> None:
        """A rectangle; ``weight`` 0 has no edge, no ``fill`` leaves it open."""
        paint = ("B" if weight else "f") if fill else "S"
        ink = f"{fill} rg " if fill else ""
        edge = f"{stroke} RG {weight:.3g} w [] 0 d 0 j " if weight else ""
        self._code.append(f"{ink}{edge}{x:.2f} {y:.2f} {width:.2f} {height:.2f} re {paint}")

    def shift(self, dx: float, dy: float) -> None:
        """Moves the origin for all that follows on this page, links included."""
        self._shift = (self._shift[0] + dx, self._shift[1] + dy)
        self._code.append(f"1 0 0 1 {dx:.2f} {dy:.2f} cm")

    def link(self, address: str, rect: tuple[float, float, float, float]) -> None:
        """Makes ``rect`` a link; the open element must be a Link."""
        dx, dy = self._shift
        area = (rect[0] + dx, rect[1] + dy, rect[2] + dx, rect[3] + dy)
        self.linkURL(
            address, area, F=4, Contents=PDFString(self._stack[-1].attributes.get("alt") or address)
        )

    def _addAnnotation(self, annotation: Any, name: str | None = None, addtopage: int = 1) -> None:
        super()._addAnnotation(annotation, name, addtopage)
        branch = self._stack[-1]
        branch.kids.append(
            (self._pageNumber, self._doc.annotationName(f"NUMBER{self._annotationCount}"))
        )
        self._links.append((annotation, branch))

    def next_bookmark(self) -> int:
        self._bookmarks += 1
        return self._bookmarks

    def bookmark(self, key: str, title: str, level: int) -> None:
        self.bookmarkPage(key)
        self.addOutlineEntry(title, key, level, closed=level > 0)

    # -- finishing
    def showPage(self) -> None:
        super().showPage()
        page = self._doc.Pages.pages[-1]
        if isinstance(page, PDFObjectReference):
            page = self._doc.idToObject[page.name]
        page.Tabs = pdfdoc.PDFName("S")
        page.StructParents = len(self._parents)
        self._parents.append(self._marks)
        self._marks = []
        self._shift = (0.0, 0.0)

    def finish(self) -> bytes:
        """The whole document. The canvas is of no use afterwards."""
        document = self._doc
        pages = len(self._parents)
        for number, (annotation, _) in enumerate(self._links):
            annotation["StructParent"] = pages + number
        todo, count = [(self._root, "Structure")], 0
        found: list[tuple[Branch, str]] = []
        while todo:
            branch, parent = todo.pop()
            branch.number, count = count, count + 1
            found.append((branch, parent))
            todo += [
                (kid, f"Branch{branch.number}")
                for kid in reversed(branch.kids)
                if isinstance(kid, Branch)
            ]
        for branch, parent in found:
            document.Reference(BranchObject(branch, parent), f"Branch{branch.number}")
        document.Reference(
            TreeRoot(self._parents, [branch for _, branch in self._links]), "Structure"
        )
        document.Catalog.StructTreeRoot = PDFObjectReference("Structure")
        self.setCatalogEntry("MarkInfo", {"Marked": "true"})
        self.setViewerPreference("DisplayDocTitle", "true")
        title = escape(document.info.title, quote=False)
        packet = (
            '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
            '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" '
            'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"><dc:title>'
            f'<rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>'
            "<pdfuaid:part>1</pdfuaid:part></rdf:Description></rdf:RDF></x:xmpmeta>"
            '<?xpacket end="w"?>\n'
        ).encode()
        document.Catalog.Metadata = pdfdoc.XMP(creator=lambda _: packet)
        data = bytes(self.getpdfdata())
        document.__dict__.clear()  # document and canvas refer to each other; this frees them now
        self.__dict__.clear()
        return data
