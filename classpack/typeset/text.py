"""Paragraphs: styled words broken into lines, measured before they are drawn.

The library's own paragraph spends 0.7 ms on what this does in a tenth: it parses mark-up and knows many things a bread
card never needs. Here text is never mark-up. Lines are ragged; a paragraph whose last line would be a lonely word narrows
itself while its number of lines stays; a word may be parted at its soft hyphens (U+00AD), and one that is still wider than
the measure is cut anywhere, with a hyphen between letters.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from classpack.typeset.fonts import ASCENT, Face
from classpack.typeset.tagged_canvas import TaggedCanvas

SOFT_HYPHEN = "\u00ad"
LONELY = 0.30
"""A last line under this part of the measure is a lonely word."""

NARROWEST = 0.68


@dataclass(frozen=True, slots=True)
class Ink:
    """How words look: face, size in points, colour as page code (``0.1 0.1 0.1``)."""

    face: Face
    size: float
    colour: str


@dataclass(frozen=True, slots=True)
class TextSpan:
    """Words of one look. ``text`` is tidy; ``"\\n"`` alone is a line break. ``blank`` is a line to write on, in points."""

    text: str
    ink: Ink
    link: str = ""
    blank: float = 0


@dataclass(frozen=True, slots=True)
class _Word:
    parts: tuple[TextSpan, ...]
    width: float
    space: float  # white before it, when it is not first in its line
    ends_line: bool = False
    soft: bool = False  # goes on in the next word; a hyphen shows if the line ends here


def _words(spans: Sequence[TextSpan]) -> list[_Word]:
    """Cuts spans at their spaces. A word may have several looks; a line break ends the word before it."""
    words: list[_Word] = []
    parts: list[TextSpan] = []
    space = waiting = 0.0

    def close(ends_line: bool = False) -> None:
        nonlocal parts, space, waiting
        if parts or ends_line:
            width = sum(p.blank or p.ink.face.width(p.text) * p.ink.size for p in parts)
            words.append(_Word(tuple(parts), width, space, ends_line))
        parts, space, waiting = [], waiting, 0.0

    for span in spans:
        if span.text == "\n":
            if not parts and words and not words[-1].ends_line:
                last = words[-1]
                words[-1] = _Word(last.parts, last.width, last.space, True)
            else:
                close(True)
            space = waiting = 0.0
            continue
        if span.blank:
            parts.append(span)
            continue
        for number, piece in enumerate(span.text.split(" ")):
            if number:
                waiting = span.ink.face.width(" ") * span.ink.size
                close()
            *heads, tail = piece.strip(SOFT_HYPHEN).split(SOFT_HYPHEN)
            for head in heads:
                if head:
                    parts.append(TextSpan(head, span.ink, span.link))
                if parts:
                    close()
                    words[-1] = replace(words[-1], soft=True)
            if tail:
                parts.append(TextSpan(tail, span.ink, span.link))
    close()
    return words


def _parted(word: _Word, measure: float) -> list[_Word]:
    """A word wider than the measure, cut into pieces that fit; the pieces follow without a space."""
    pieces: list[_Word] = []
    space = word.space
    for part in word.parts:
        face, size = part.ink.face, part.ink.size
        text = part.text
        while text and face.width(text) * size > measure:
            hyphen = face.width("-") * size
            cut = len(text) - 1
            while cut > 1 and face.width(text[:cut]) * size + hyphen > measure:
                cut -= 1
            nicer = max(text.rfind(c, 0, cut) for c in "-/.@_·")
            if nicer > cut // 3:
                cut = nicer + 1
            tail = "-" if text[cut - 1].isalpha() and text[cut].isalpha() else ""
            shown = text[:cut] + tail
            pieces.append(
                _Word((TextSpan(shown, part.ink, part.link),), face.width(shown) * size, space)
            )
            text, space = text[cut:], 0.0
        if text or part.blank:
            span = TextSpan(text, part.ink, part.link, part.blank)
            pieces.append(_Word((span,), part.blank or face.width(text) * size, space))
            space = 0.0
    if pieces:
        pieces[-1] = replace(pieces[-1], ends_line=word.ends_line, soft=word.soft)
    return pieces


Line = tuple[int, int, float]  # first word, word after the last, width


@dataclass(frozen=True, slots=True)
class Run:
    """Words of one look in a line, ``x`` points from its beginning; ``blank`` is a line to write on instead."""

    x: float
    text: str
    ink: Ink
    link: str
    blank: float


SetLine = tuple[float, tuple[Run, ...]]  # width, what stands in it


def _set_line(words: Sequence[_Word], line: Line) -> SetLine:
    """A line with neighbouring words of one look joined. All lines but the last end in a space, for readers of the file."""
    first, last, width = line
    runs: list[Run] = []
    ink: Ink | None = None
    text = link = ""
    x = start = 0.0
    for number in range(first, last):
        word = words[number]
        if number > first and word.space:
            x += word.space
            text += " "
        for part in word.parts:
            if part.blank or part.ink is not ink or part.link != link:
                if text and ink:
                    runs.append(Run(start, text, ink, link, 0))
                text, ink, link, start = "", part.ink, part.link, x
            if part.blank:
                runs.append(Run(x, "", part.ink, "", part.blank))
                x += part.blank
                ink = None
                continue
            text += part.text
            x += part.ink.face.width(part.text) * part.ink.size
    if text and ink:
        more = "" if last == len(words) else "-" if words[last - 1].soft else " "
        runs.append(Run(start, text + more, ink, link, 0))
    return width, tuple(runs)


def _hyphen(word: _Word) -> float:
    """Width of the hyphen a word may need at a line's end."""
    return word.parts[-1].ink.face.width("-") * word.parts[-1].ink.size if word.soft else 0.0


def _lines(words: Sequence[_Word], measure: float) -> list[Line]:
    lines: list[Line] = []
    first, width = 0, 0.0
    limit = measure + 0.01
    for number, word in enumerate(words):
        if number == first:
            width = word.width
        elif width + word.space + word.width + _hyphen(word) > limit:
            lines.append((first, number, width))
            first, width = number, word.width
        else:
            width += word.space + word.width
        if word.ends_line:
            lines.append((first, number + 1, width))
            first, width = number + 1, 0.0
    if first < len(words):
        lines.append((first, len(words), width))
    return lines


class Paragraph:
    """A paragraph set to a measure. Immutable once made.

    Args:
        spans: its words.
        measure: points.
        leading: points from line to line.
        size: the type size the first baseline hangs from (default: the first span's).
        align: 0 left, 0.5 centred, 1 right.
        tag: the structure element it is.
        key: paragraphs with the same key are one element, parted by a page end.
    """

    __slots__ = ("align", "height", "key", "leading", "lines", "measure", "parted", "size", "tag")

    def __init__(
        self,
        spans: Sequence[TextSpan],
        measure: float,
        leading: float,
        size: float = 0,
        align: float = 0,
        tag: str = "P",
        lonely: bool = False,
    ) -> None:
        self.measure, self.leading, self.align, self.tag = measure, leading, align, tag
        self.size = size or (spans[0].ink.size if spans else 0)
        self.key: object = None
        words = _words(spans)
        self.parted = any(word.width > measure for word in words)
        """Whether a word was too wide and is cut in two."""
        if self.parted:
            words = [
                p
                for word in words
                for p in (_parted(word, measure) if word.width > measure else [word])
            ]
        lines = _lines(words, measure)
        if not lonely and len(lines) > 1 and lines[-1][2] < measure * LONELY:
            lines = _narrowed(words, lines, measure)
        self.lines: tuple[SetLine, ...] = tuple(_set_line(words, line) for line in lines)
        self.height = len(self.lines) * leading

    @property
    def width(self) -> float:
        """Width of the longest line."""
        return max((width for width, _ in self.lines), default=0)

    @property
    def text(self) -> str:
        """Its words, for messages."""
        return "".join(run.text for _, runs in self.lines for run in runs)

    def split(self, room: float) -> tuple[Paragraph, Paragraph] | None:
        """Two paragraphs, the first at most ``room`` high, each of two lines or more; None if that cannot be."""
        fits = min(int((room + 0.01) / self.leading), len(self.lines) - 2)
        if fits < 2:
            return None
        self.key = self.key or object()
        return self._part(self.lines[:fits]), self._part(self.lines[fits:])

    def _part(self, lines: tuple[SetLine, ...]) -> Paragraph:
        part = Paragraph((), self.measure, self.leading, self.size, self.align, self.tag)
        part.lines, part.key, part.height = lines, self.key, len(lines) * self.leading
        return part

    def draw(self, c: TaggedCanvas, x: float, top: float, tagged: bool = True) -> None:
        """Draws it with its top left at (x, top); with ``tagged`` off it becomes content of what is open."""
        if tagged:
            if self.key is None:
                c.open(self.tag)
            else:
                c.resume(self.key, self.tag)
            c.begin()
        baseline = top - ASCENT * self.size
        for width, runs in self.lines:
            left = x + (self.measure - width) * self.align
            for run in runs:
                _show(c, left + run.x, baseline, run)
            baseline -= self.leading
        if tagged:
            c.end()
            c.close()


def _show(c: TaggedCanvas, x: float, y: float, run: Run) -> None:
    ink = run.ink
    if run.blank:
        c.rule(x, y - 2, x + run.blank, y - 2, 0.5, ink.colour)
        return
    if not run.link:
        c.text(x, y, ink.face, ink.size, ink.colour, run.text)
        return
    c.end()
    text = run.text.rstrip(" ")
    with c.marked("Link", alt=text):
        c.text(x, y, ink.face, ink.size, ink.colour, text)
        width = ink.face.width(text) * ink.size
        c.link(run.link, (x, y - ink.size * 0.3, x + width, y + ink.size * 0.9))
    c.begin()


def _narrowed(words: Sequence[_Word], lines: list[Line], measure: float) -> list[Line]:
    """Shorter lines until the last is a third full, if their number allows; what stands before a line break stays."""
    start = next(
        (n + 1 for n in range(len(lines) - 2, -1, -1) if words[lines[n][1] - 1].ends_line), 0
    )
    if len(lines) - start < 2:
        return lines
    first = lines[start][0]
    rest = words[first:]
    best, count = lines[start:], len(lines) - start
    narrow = measure
    while narrow > measure * NARROWEST:
        narrow -= measure * 0.02
        tried = _lines(rest, narrow)
        if len(tried) > count or any(line[2] > narrow + 0.01 for line in tried):
            break
        best = [(a + first, b + first, w) for a, b, w in tried]
        if best[-1][2] >= measure * LONELY:
            break
    return lines[:start] + best


def fitting_size(face: Face, text: str, size: float, smallest: float, width: float) -> float:
    """The largest size, in steps of half a point, at which ``text`` stays on one line of ``width``; at least ``smallest``.

    The smallest may still be too wide: then the text must wrap.
    """
    while size > smallest and face.width(text) * size > width:
        size = max(smallest, size - 0.5)
    return size
