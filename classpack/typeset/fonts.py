"""Font faces: opened once, measured quickly, and asked which letters they have.

A letter no face has would print as an empty box and read back as U+0000, without any complaint from the PDF library.
So text is checked here before it is set, and refused with the letter's number and the text it stands in.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics, ttfonts

ASCENT = 1.024
"""Height of a first line's baseline under the top of its box, as a part of the type size (the face's ascent)."""

ROLES = ("regular", "bold", "italic", "bold-italic")

rl_config.useA85 = (
    0  # base 85 makes files a fifth larger and slower, and nobody mails them through 7-bit lines
)


class Face:
    """One face of a font family. Widths are kept per word, in thousandths of the type size."""

    __slots__ = ("_widths", "font", "letters", "name")

    def __init__(self, name: str, font: Any) -> None:
        self.name = name
        self.font = font
        self.letters: frozenset[str] = frozenset(map(chr, font.face.charToGlyph))
        self._widths: dict[str, float] = {}

    def width(self, text: str) -> float:
        """Width of ``text`` at type size 1."""
        width = self._widths.get(text)
        if width is None:
            shown = text.replace("\u00ad", "")
            width = self._widths[text] = self.font.stringWidth(shown, 1000) / 1000
        return width


@dataclass(frozen=True, slots=True)
class Family:
    """Four faces that belong together, in the order of ``ROLES``."""

    faces: tuple[Face, Face, Face, Face]


@dataclass(frozen=True, slots=True)
class Fonts:
    """The families a look uses: the first that has a letter prints it."""

    families: tuple[Family, ...]

    def face(self, bold: bool = False, italic: bool = False) -> Face:
        return self.families[0].faces[bold + 2 * italic]

    def split(self, text: str, bold: bool, italic: bool) -> list[tuple[Face, str]]:
        """``text`` in stretches that one face can print."""
        role = bold + 2 * italic
        first = self.families[0].faces[role]
        if len(self.families) == 1 or first.letters.issuperset(text):
            return [(first, text)]
        parts: list[tuple[Face, str]] = []
        for letter in text:
            face = next(
                (f.faces[role] for f in self.families if letter in f.faces[role].letters), first
            )
            if parts and parts[-1][0] is face:
                parts[-1] = (face, parts[-1][1] + letter)
            else:
                parts.append((face, letter))
        return parts

    def lacks(self, text: str) -> list[str]:
        """The letters of ``text`` that cannot be printed, each once, in their order.

        Right-to-left letters are among them even when a face has them: lines are set from left to right only.
        """
        have = self.families[0].faces[0].letters
        if text.isascii() or have.issuperset(text):
            return []
        missing: dict[str, None] = {}
        for letter in text:
            if letter in "\n\t\r\u00ad":
                continue
            found = any(letter in family.faces[0].letters for family in self.families)
            if not found or unicodedata.bidirectional(letter) in ("R", "AL", "AN"):
                missing[letter] = None
        return list(missing)


def missing_letters_words(letters: Iterable[str], text: str) -> str:
    """Says which letters no font has, and where.

    >>> missing_letters_words(["\\u4e2d"], "Dough \\u4e2d")
    "no font here has U+4E2D (CJK UNIFIED IDEOGRAPH-4E2D), in 'Dough \\u4e2d'"
    """
    named = ", ".join(f"U+{ord(c):04X} ({unicodedata.name(c, 'no name')})" for c in letters)
    shown = text if len(text) <= 60 else text[:57] + "..."
    return f"no font here has {named}, in '{shown}'"


@cache
def _open(path: Path, changed: int) -> Face:
    """The face in a TrueType file, registered under a name no other file can take."""
    data = path.read_bytes()
    name = f"{path.stem}-{hashlib.sha256(data).hexdigest()[:8]}"
    font: Any = ttfonts.TTFont(name, str(path), asciiReadable=True)
    font.face.makeSubset = _remembered(font.face.makeSubset)
    pdfmetrics.registerFont(font)
    return Face(name, font)


def open_family(paths: tuple[Path, Path, Path, Path]) -> Family:
    """The family in four TrueType files, in the order of ``ROLES``.

    Raises:
        OSError: a file cannot be read.
        reportlab.pdfbase.ttfonts.TTFError: a file is no TrueType font with outlines.
    """
    regular, bold, italic, bold_italic = (_open(path, path.stat().st_mtime_ns) for path in paths)
    return Family((regular, bold, italic, bold_italic))


def _remembered(make: Callable[[list[int]], bytes]) -> Callable[[list[int]], bytes]:
    """Makes each subset once: the joined pack and the single sheets hold the same letters."""
    made: dict[tuple[int, ...], bytes] = {}

    def subset(codes: list[int]) -> bytes:
        key = tuple(codes)
        if key not in made:
            if len(made) > 8:
                made.clear()
            made[key] = make(codes)
        return made[key]

    return subset


_UNITS = (
    "kg|g|mg|ml|dl|cl|l|mm|cm|m|min|minutes|h|hours|s|tbsp|tsp|lb|oz|each|Uhr|AM|PM|am|pm|°C|°F|°|%"
)
_WHITE = re.compile(r"[ \t\r\n\f]+")
_UNIT = re.compile(rf"(?<=[0-9½¼¾⅓⅔]) (?=(?:{_UNITS})(?![\w]))")
_DIGIT = re.compile(r"[0-9½¼¾⅓⅔]")
_TIMES = re.compile(r"(?<=[0-9]) × (?=[0-9])")


def tidy(text: str) -> str:
    """White space as single spaces, and numbers tied to their units with no-break spaces.

    >>> tidy("Add  28 g\\n of oil, 2 × 15 ml")
    'Add 28\\xa0g of oil, 2\\xa0×\\xa015\\xa0ml'
    """
    text = _WHITE.sub(" ", text)
    if _DIGIT.search(text):
        text = _TIMES.sub("\u00a0×\u00a0", _UNIT.sub("\u00a0", text))
    return text
