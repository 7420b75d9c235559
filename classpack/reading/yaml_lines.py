"""YAML to nodes that know where they stand. Every scalar stays the text that was typed.

Nothing is resolved: ``no``, ``1:30``, ``0230`` and ``2027-03-13`` are text until somebody asks for a quantity, so the
traps of YAML 1.1 do not exist here. References, anchors and tags are refused, a key given twice is an error, and depth,
length and number of values are bounded, so a file can neither run code nor explode.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

from classpack.errors import LessonError, Problem, Spot

LONGEST_FILE = 1_000_000
DEEPEST = 24
MOST_VALUES = 50_000
LONGEST_TEXT = 4_000


@dataclass(frozen=True, slots=True)
class Text:
    """One scalar as typed (quotes taken off), in Unicode normal form C."""

    value: str
    spot: Spot = field(compare=False)


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    spot: Spot = field(compare=False)


@dataclass(frozen=True, slots=True)
class Fields:
    """A mapping with text keys, in file order, no key twice."""

    fields: tuple[tuple[Text, Node], ...]
    spot: Spot = field(compare=False)

    def get(self, name: str) -> Node | None:
        """The value under ``name``, or None."""
        return next((node for key, node in self.fields if key.value == name), None)


Node = Text | Items | Fields

SOFT_HYPHEN = "\N{SOFT HYPHEN}"
_NOT_WRITTEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]"
)
"""Control signs, halves of signs, and signs that only some programs take for the end of a line, so that line numbers differ."""
_BRACE_FIRST = re.compile(r"(?:[^'\"{}\[\]#]*(?:: |- ))?\{[^{}]*\} ?[^ ,#]")

_Loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

_SCANNER_WORDS = (
    ("found a tab character", "there is a tab in the indentation", "indent with spaces"),
    (
        "cannot start any token",
        "this sign cannot start a value",
        "put the whole text in quotes",
    ),
    (
        "block sequence entries are not allowed",
        "a list may not start here",
        "write each entry on a line of its own after '- '",
    ),
    (
        "did not find expected <document start>",
        "a second document starts here",
        "keep one document a file; take '...' away",
    ),
    (
        "did not find expected node content",
        "a value is missing here",
        "write it, and close every bracket and brace",
    ),
    ("directive", "a line starts with '%'", "put the text in quotes, or write it after its key"),
    ("incompatible YAML document", "a line starts with '%'", "take the line away"),
    (
        "mapping values are not allowed",
        "there is a second ': ' in this line, or the line is indented wrongly",
        "put a text that has ': ' in it in quotes, and line up the keys",
    ),
    (
        "did not find expected key",
        "this line does not fit the lines above it",
        "line up the keys, and close every quote",
    ),
    (
        "did not find expected '-' indicator",
        "this line does not fit the list above it",
        "start each entry with '- ' in the same column",
    ),
    ("could not find expected ':'", "a key without its ': '", "write 'key: value'"),
    (
        "expected <block end>",
        "this line does not fit the lines above it",
        "line up the keys and close every quote",
    ),
    ("found unexpected end of stream", "a quote is opened and not closed", "close the quote"),
    (
        "did not find expected ',' or",
        "a bracket or brace is opened and not closed",
        "close it, and put a text that has brackets or braces in quotes",
    ),
    (
        "exceeded maximum nesting depth",
        f"nested more than {DEEPEST} deep",
        "keep it flat",
    ),
    (
        "unknown escape character",
        "a backslash in double quotes has a meaning of its own",
        "write two of them, or use single quotes",
    ),
    (
        "found unexpected document indicator",
        "a second document starts here",
        "keep one document a file; take '---' away",
    ),
)


def read_nodes(text: str, file: str, soft_hyphens: bool = False) -> Node:
    """The one document in ``text``. Only wording may hold ``soft_hyphens``: in a name nobody would see why it differs.

    Raises:
        LessonError: the text is not YAML, is too large, or uses references, anchors, tags or a key twice.
    """
    if len(text) > LONGEST_FILE:
        raise LessonError(
            [
                Problem(
                    Spot(file, 1),
                    f"the file has more than {LONGEST_FILE} signs",
                    "keep lessons short",
                )
            ]
        )
    if cut := _NOT_WRITTEN.search(text):
        said = f"U+{ord(cut[0]):04X} stands here, a sign that no lesson needs"
        raise LessonError([Problem(_spot_at(text, cut.start(), file), said, "take it away")])
    lines = text.splitlines()
    reader = _Reader(file, soft_hyphens)
    try:
        events = iter(yaml.parse(text, Loader=_Loader))
        node = reader.document(events)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        spot = Spot(file, mark.line + 1, mark.column + 1) if mark else Spot(file, 1)
        if spot.line > len(lines) > 0:  # found missing at the end of the file
            spot = Spot(file, len(lines), len(lines[-1]) + 1)
        said = f"{error.problem or ''} {error.context or ''}"
        written = lines[mark.line][:400] if mark and mark.line < len(lines) else ""
        if mark and written[mark.column : mark.column + 1] == "\t":
            said = "found a tab character"
        if mark and _BRACE_FIRST.match(written.strip()) and "expected key" in said:
            spot = Spot(file, mark.line + 1, written.index("{") + 1)
            wrong, right = (
                "a text that starts with a brace is not in quotes",
                "put all of it in quotes",
            )
            raise LessonError([*reader.problems, Problem(spot, wrong, right)]) from None
        for sign, wrong, right in _SCANNER_WORDS:
            if sign in said:
                raise LessonError([*reader.problems, Problem(spot, wrong, right)]) from None
        raise LessonError(
            [*reader.problems, Problem(spot, "this is not YAML", "see the example lessons")]
        ) from None
    except yaml.reader.ReaderError as error:
        spot = _spot_at(text, error.position if isinstance(error.position, int) else 0, file)
        raise LessonError([Problem(spot, "a control sign stands here", "take it away")]) from None
    except RecursionError:
        raise LessonError(
            [Problem(Spot(file, 1), "the file is nested too deeply", "keep it flat")]
        ) from None
    if reader.problems:
        raise LessonError(reader.problems)
    if node is None:
        raise LessonError([Problem(Spot(file, 1), "the file is empty", "see the example lessons")])
    return node


def _spot_at(text: str, at: int, file: str) -> Spot:
    before = text[:at]
    return Spot(file, before.count("\n") + 1, len(before) - before.rfind("\n"))


class _Reader:
    def __init__(self, file: str, soft_hyphens: bool) -> None:
        self.file, self.soft_hyphens = file, soft_hyphens
        self.problems: list[Problem] = []
        self.count = 0

    def spot(self, event: yaml.Event) -> Spot:
        mark = event.start_mark
        return Spot(self.file, mark.line + 1, mark.column + 1) if mark else Spot(self.file, 1)

    def stop(self, event: yaml.Event, wrong: str, right: str) -> LessonError:
        return LessonError([*self.problems, Problem(self.spot(event), wrong, right)])

    def document(self, events: Iterator[yaml.Event]) -> Node | None:
        node: Node | None = None
        for event in events:
            if isinstance(event, yaml.StreamEndEvent):
                return node
            if isinstance(
                event, (yaml.StreamStartEvent, yaml.DocumentStartEvent, yaml.DocumentEndEvent)
            ):
                continue
            if node is not None:
                raise self.stop(event, "a second document starts here", "keep one document a file")
            node = self.node(event, events, 0)
        return node

    def node(self, event: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Node:
        self.count += 1
        if self.count > MOST_VALUES:
            raise self.stop(
                event, f"the file holds more than {MOST_VALUES} values", "keep lessons short"
            )
        if depth > DEEPEST:
            raise self.stop(event, f"nested more than {DEEPEST} deep", "keep it flat")
        if isinstance(event, yaml.AliasEvent):
            raise self.stop(
                event,
                f"'*{event.anchor}' refers to another place",
                "write the value out, or put a text that starts with '*' in quotes",
            )
        if getattr(event, "anchor", None):
            raise self.stop(
                event,
                f"'&{getattr(event, 'anchor', '')}' is an anchor",
                "write the value out, or put a text that starts with '&' in quotes",
            )
        tag = getattr(event, "tag", None)
        if tag not in (None, "!"):
            raise self.stop(
                event,
                f"the tag '{tag}' is not used here",
                "take it away, or put a text that starts with '!' in quotes",
            )
        if isinstance(event, yaml.ScalarEvent):
            return self.text(event)
        if isinstance(event, yaml.SequenceStartEvent):
            items: list[Node] = []
            for inner in events:
                if isinstance(inner, yaml.SequenceEndEvent):
                    break
                items.append(self.node(inner, events, depth + 1))
            return Items(tuple(items), self.spot(event))
        return self.fields(event, events, depth)

    def fields(self, event: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Fields:
        found: list[tuple[Text, Node]] = []
        lines: dict[str, int] = {}
        for inner in events:
            if isinstance(inner, yaml.MappingEndEvent):
                break
            key = self.node(inner, events, depth + 1)
            value = self.node(next(events), events, depth + 1)
            if not isinstance(key, Text):
                self.problems.append(
                    Problem(
                        key.spot,
                        "a key is a list or a section",
                        "a key must be plain text; put braces in quotes",
                    )
                )
            elif key.value in lines:
                self.problems.append(
                    Problem(
                        key.spot,
                        f"'{key.value}' is given twice, first on line {lines[key.value]}",
                        "keep one of them",
                    )
                )
            else:
                lines[key.value] = key.spot.line
                found.append((key, value))
        return Fields(tuple(found), self.spot(event))

    def text(self, event: yaml.ScalarEvent) -> Text:
        spot = self.spot(event)
        value = " ".join(unicodedata.normalize("NFC", event.value).split())
        if len(value) > LONGEST_TEXT:
            self.problems.append(
                Problem(spot, f"a text of {len(value)} signs", f"keep it under {LONGEST_TEXT}")
            )
        for sign in value:
            if sign == SOFT_HYPHEN and self.soft_hyphens:
                continue
            if unicodedata.category(sign) in ("Cc", "Cf", "Co", "Cs", "Cn"):
                self.problems.append(
                    Problem(
                        spot,
                        f"the text holds U+{ord(sign):04X}, a sign that cannot be seen or printed",
                        "type the text again without it",
                    )
                )
                break
        return Text(value, spot)
