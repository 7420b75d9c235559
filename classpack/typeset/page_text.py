"""Filled page text to checked elements: what a template yields, or every mistake in it.

Page text is XML from the short list of ``vocabulary``. Everything is checked here once; what draws it trusts it.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from xml.parsers import expat

from classpack.errors import LessonError, Problem, Spot
from classpack.typeset.vocabulary import ELEMENTS, Attribute

POINTS_PER_MM = 72 / 25.4  # ISO 80000-3: an inch is 25.4 mm; a point is 1/72 inch
LARGEST = 20_000_000
DEEPEST = 30
LONGEST_WORD = 4_000
"""Letters of one word, or of one attribute: setting a word takes time by the square of its letters."""

SPOT = "_spot"
"""The attribute that carries an element's place in its template; ``Templates.pages`` writes it."""

Value = str | float | bool | int | tuple[str, ...] | tuple[int, ...] | None


class TemplateError(LessonError):
    """Page text cannot be printed as it stands. Holds every problem found."""


@dataclass(frozen=True, slots=True)
class Element:
    """One checked element. ``children`` are elements and words, in their order."""

    tag: str
    values: dict[str, Value]
    children: tuple[Element | str, ...]
    spot: Spot

    def text(self, name: str) -> str:
        """A text attribute; empty if it was not given."""
        return str(self.values[name] or "")

    def yes(self, name: str) -> bool:
        return self.values[name] is True

    def points(self, name: str) -> float | None:
        """A length in points, None if it was not given."""
        value = self.values[name]
        return value * POINTS_PER_MM if isinstance(value, float) else None

    def count(self, name: str) -> int:
        """A whole number; 0 if it was not given."""
        value = self.values[name]
        return value if isinstance(value, int) else 0

    def parts(self, name: str) -> tuple[str, ...]:
        value = self.values[name]
        return tuple(map(str, value)) if isinstance(value, tuple) else ()

    def elements(self, *tags: str) -> tuple[Element, ...]:
        """The child elements (of these tags, if any are named)."""
        return tuple(
            c for c in self.children if isinstance(c, Element) and (not tags or c.tag in tags)
        )

    def words(self) -> str:
        """All words inside, without their looks, white space single."""
        return " ".join("".join(_words(self)).split())


def _words(element: Element) -> Iterator[str]:
    for child in element.children:
        if isinstance(child, str):
            yield child
        elif child.tag == "br":
            yield " "
        else:
            yield from _words(child)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One printed thing: a card, a list, a wall sheet. ``element`` is the checked ``<sheet>``."""

    title: str
    kind: str
    element: Element

    @property
    def spot(self) -> Spot:
        return self.element.spot


def parse(text: str, source: str) -> tuple[Sheet, ...]:
    """The sheets in filled page text.

    Args:
        text: what a template yielded.
        source: the template's name, for messages.

    Raises:
        TemplateError: with every unknown element or attribute, wrong value and misplaced word.
    """
    root = _Reader(source).read(text)
    sheets = [root] if root.tag == "sheet" else root.elements("sheet")
    return tuple(Sheet(s.text("title"), s.text("kind"), s) for s in sheets)


class _Reader:
    """Builds and checks the tree while expat reads."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.problems: list[Problem] = []
        self.stack: list[tuple[str, dict[str, Value], list[Element | str], Spot]] = []
        self.root: Element | None = None
        self.skipping = 0

    def read(self, text: str) -> Element:
        if len(text) > LARGEST:
            self.stop(
                Spot(self.source, 1),
                f"the page text has more than {LARGEST} signs",
                "print fewer sheets at once",
            )
        self.parser = parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.characters
        parser.StartDoctypeDeclHandler = lambda *_: self.stop(
            self.here(),
            "a document type (<!DOCTYPE) stands here",
            "take it away; page text has none",
        )
        parser.ProcessingInstructionHandler = lambda *_: self.stop(
            self.here(), "an instruction (<?...?>) stands here", "take it away; page text has none"
        )
        try:
            parser.Parse(text.encode("utf-8", "surrogatepass"), True)
        except expat.ExpatError as error:
            self.broken(error)
        if self.problems:
            raise TemplateError(self.problems)
        assert self.root is not None
        return self.root

    def broken(self, error: expat.ExpatError) -> None:
        spot = Spot(self.source, error.lineno, error.offset + 1)
        words = expat.errors.messages[error.code]
        open_tag = self.stack[-1][0] if self.stack else ""
        if words == expat.errors.XML_ERROR_TAG_MISMATCH:
            where = self.stack[-1][3] if self.stack else spot
            self.stop(
                spot,
                f"<{open_tag}> of line {where.line} is not closed here",
                f"write </{open_tag}> first",
            )
        if words in (expat.errors.XML_ERROR_UNDEFINED_ENTITY,):
            self.stop(
                spot,
                "an unknown &name; stands here",
                "write the sign itself, or its number as in &#189;",
            )
        if words == expat.errors.XML_ERROR_NO_ELEMENTS:
            self.stop(
                spot, "there is no sheet", 'write <sheet title="..."> with blocks inside </sheet>'
            )
        tail = f" (inside <{open_tag}>)" if open_tag else ""
        self.stop(
            spot,
            f"this is not well-formed XML: {words}{tail}",
            "write & as &amp; and < as &lt;, quote attributes, close every tag",
        )

    def here(self) -> Spot:
        return Spot(self.source, self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber + 1)

    def stop(self, spot: Spot, wrong: str, right: str) -> None:
        raise TemplateError([*self.problems, Problem(spot, wrong, right)])

    def say(self, spot: Spot, wrong: str, right: str) -> None:
        self.problems.append(Problem(spot, wrong, right))

    def start(self, tag: str, given: dict[str, str]) -> None:
        spot = self.here()
        mark = given.pop(SPOT, "")
        if mark:
            file, line, column = mark.rsplit(":", 2)
            spot = Spot(file, int(line), int(column))
        if self.skipping:
            self.skipping += 1
            return
        parent = self.stack[-1][0] if self.stack else ""
        allowed = ELEMENTS[parent].inside if parent else frozenset({"sheet", "sheets"})
        if tag not in allowed:
            place = f"inside <{parent}>" if parent else "at the start"
            wrong = (
                f"<{tag}> cannot stand {place}"
                if tag in ELEMENTS
                else f"there is no element <{tag}>"
            )
            self.say(
                spot,
                wrong,
                _choices(tag, allowed, f"{place} there can be ", "only words, no elements"),
            )
            self.skipping = 1
            return
        if len(self.stack) >= DEEPEST:
            self.stop(spot, "elements are nested too deep", f"keep to {DEEPEST} levels")
        for name, text in given.items():
            if len(text) > LONGEST_WORD:
                wrong = f"'{name}' of <{tag}> has {len(text)} letters"
                self.stop(spot, wrong, f"keep it to {LONGEST_WORD}")
        self.stack.append((tag, self.attributes(tag, given, spot), [], spot))

    def end(self, tag: str) -> None:
        if self.skipping:
            self.skipping -= 1
            return
        tag, values, children, spot = self.stack.pop()
        if not ELEMENTS[tag].words:
            children = [c for c in children if not isinstance(c, str)]
        for words in (one for one in children if isinstance(one, str) and len(one) > LONGEST_WORD):
            longest = max(map(len, words.split()), default=0)
            if longest > LONGEST_WORD:
                self.say(spot, f"a word of {longest} letters", f"keep it to {LONGEST_WORD}")
        element = Element(tag, values, tuple(children), spot)
        if self.stack:
            self.stack[-1][2].append(element)
        else:
            self.root = element

    def characters(self, words: str) -> None:
        if self.skipping or not self.stack:
            return
        tag, _, children, _ = self.stack[-1]
        if not ELEMENTS[tag].words and words.strip():
            shown = " ".join(words.split())
            inside = _listed(ELEMENTS[tag].inside, sort=True) if ELEMENTS[tag].inside else "nothing"
            self.say(
                self.here(),
                f"the words '{shown[:40]}' stand straight inside <{tag}>",
                f"put them in a block; inside <{tag}> there can be {inside}",
            )
            return
        if not words.isascii():
            words = unicodedata.normalize("NFC", words)
        if children and isinstance(children[-1], str):
            children[-1] += words
        else:
            children.append(words)

    def attributes(self, tag: str, given: dict[str, str], spot: Spot) -> dict[str, Value]:
        rules = ELEMENTS[tag].attributes
        for name in given:
            if name not in rules:
                self.say(
                    spot,
                    f"<{tag}> has no attribute '{name}'",
                    _choices(name, rules, "it can have ", "it has none"),
                )
        values: dict[str, Value] = {}
        for name, rule in rules.items():
            text = given.get(name)
            if text is None:
                if rule.needed:
                    self.say(
                        spot,
                        f"<{tag}> has no '{name}'",
                        f'give it: <{tag} {name}="{_example(rule)}">',
                    )
                values[name] = _value(rule, rule.default) if rule.default is not None else None
                continue
            text = unicodedata.normalize("NFC", text)
            value = _value(rule, text)
            if value is None or (rule.needed and rule.kind == "text" and not text.strip()):
                self.say(
                    spot,
                    f'{name}="{text}" of <{tag}> is '
                    + ("empty" if not text.strip() else f"not {_KIND_WORDS[rule.kind]}"),
                    f"write {_form(rule)}",
                )
            values[name] = value
        return values


_WIDTH = re.compile(r"(?:\d+(?:\.\d+)?(?:mm|%)|\d*\*|auto|\d+(?:\.\d+)?)")
_ADDRESS = re.compile(r"(?:https?://|mailto:|tel:)[!-~]+", re.IGNORECASE)
_CLOCK = re.compile(r"([0-4]?\d):([0-5]\d)")  # a class may go on past midnight
_KIND_WORDS = {
    "yes": "yes or no",
    "mm": "a number of millimetres",
    "count": "a whole number from 1 to 999",
    "widths": "a list of widths",
    "aligns": "a list of alignments",
    "counts": "a list of column numbers",
    "address": "a web, mail or telephone address",
    "clock": "a time of day",
    "choice": "one of its values",
    "text": "text",
}


def _value(rule: Attribute, text: str) -> Value:
    """The attribute's value, or None if it is not of its kind."""
    match rule.kind:
        case "text":
            return text
        case "choice":
            return text if text in rule.choices else None
        case "yes":
            return {"yes": True, "no": False}.get(text)
        case "mm":
            return float(text) if re.fullmatch(r"\d{1,4}(?:\.\d+)?", text) else None
        case "count":
            return int(text) if re.fullmatch(r"[1-9]\d{0,2}", text) else None
        case "widths":
            parts = text.split()
            return tuple(parts) if all(_WIDTH.fullmatch(p) for p in parts) else None
        case "aligns":
            parts = text.split()
            return (
                tuple(parts)
                if all(p in ("left", "right", "center", "decimal") for p in parts)
                else None
            )
        case "counts":
            parts = text.split()
            return tuple(map(int, parts)) if all(p.isdigit() for p in parts) else None
        case "address":
            return text if not text or _ADDRESS.fullmatch(text) else None
        case _:
            clock = _CLOCK.fullmatch(text)
            return int(clock[1]) * 60 + int(clock[2]) if clock else None


def _form(rule: Attribute) -> str:
    match rule.kind:
        case "choice":
            return _listed(c for c in rule.choices if c)
        case "yes":
            return "yes or no"
        case "mm":
            return "a number of millimetres, as in 12.5"
        case "count":
            return "a whole number from 1 to 999"
        case "widths":
            return "widths as in '22mm 15% auto *'"
        case "aligns":
            return "one of left, right, center, decimal for each column"
        case "counts":
            return "column numbers as in '1 3'"
        case "address":
            return "an address that starts with https://, http://, mailto: or tel:"
        case "clock":
            return "a time as in 10:05"
    return "some words"


def _example(rule: Attribute) -> str:
    return {
        "mm": "12",
        "count": "2",
        "widths": "auto *",
        "clock": "10:05",
        "address": "https://…",
    }.get(rule.kind, "|".join(rule.choices) or "…")


def _listed(names: Iterable[str], sort: bool = False) -> str:
    words = sorted(names) if sort else list(names)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " or " + words[-1]


def _choices(name: str, allowed: Iterable[str], lead: str, nothing: str) -> str:
    names = sorted(allowed)
    if not names:
        return nothing
    near = difflib.get_close_matches(name, names, 1, 0.6)
    return lead + _listed(names) + (f"; did you mean '{near[0]}'?" if near else "")
