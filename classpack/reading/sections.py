"""Reading one section of a file: ask for fields by name and kind, gather every problem, report what nobody asked for."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable
from typing import Literal, TypeVar, overload

from classpack.errors import Problem, Spot
from classpack.quantities import NotUnderstood
from classpack.reading.yaml_lines import Fields, Items, Node, Text

T = TypeVar("T")
Word = TypeVar("Word", bound=str)

LONGEST_NAME = 60
MOST_ENTRIES = 1_000
"""More entries than any section or list of a class needs; the rest is not read."""
LONGEST_WORD = 80


def known(word: str, choices: Iterable[Word]) -> Word | None:
    """The choice that ``word`` is, as the type checker knows it; None when it is none of them."""
    return next((choice for choice in choices if choice == word), None)


def nearest(word: str, choices: Iterable[str]) -> str:
    """What would be right, for a misspelt ``word``: the nearest choice, else the choices themselves."""
    known = list(dict.fromkeys(choices))
    close = difflib.get_close_matches(word[:LONGEST_WORD], known, 1, 0.6)
    if not close:  # capitals are no other word
        small = {one.casefold(): one for one in known}
        close = [
            small[one]
            for one in difflib.get_close_matches(word[:LONGEST_WORD].casefold(), small, 1, 0.6)
        ]
    if not close and len(word) >= 4:  # 'salt' for 'fine salt'
        close = [one for one in known if word.casefold() in one.casefold()]
    if close:
        return f"did you mean '{close[0]}'?"
    if not known:
        return "there is none to choose from"
    shown = ", ".join(known[:12]) + (" ..." if len(known) > 12 else "")
    return f"choose from: {shown}"


def _text_hint(node: Node) -> str:
    if isinstance(node, Fields):
        return "a text; one that starts with a brace goes in quotes"
    return "a text"


class Section:
    """A mapping being read. ``what`` names it in errors ("the kitchen", "tin loaf").

    Every problem goes into ``problems``; the methods return None (or the default) where a field is absent or wrong, so
    that reading goes on and all problems are told at once. Call :meth:`close` last: it reports fields nobody asked for.
    """

    def __init__(
        self, node: Node | None, what: str, problems: list[Problem], spot: Spot | None = None
    ) -> None:
        self.what = what
        self.problems = problems
        self.asked: set[str] = set()
        self.is_section = isinstance(node, Fields)
        if isinstance(node, Fields):
            self.node = node
        else:
            self.node = Fields((), node.spot if node else (spot or Spot("", 1)))
            if node is not None:
                problems.append(
                    Problem(
                        node.spot,
                        f"{what} is not a section",
                        "write its fields below it, each as 'name: value'",
                    )
                )

    @property
    def spot(self) -> Spot:
        """Where the section starts."""
        return self.node.spot

    def problem(self, spot: Spot, wrong: str, right: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(spot, wrong, right))

    def has(self, name: str) -> bool:
        """Is the field there?"""
        return self.node.get(name) is not None

    def spot_of(self, name: str) -> Spot:
        """Where the value of ``name`` stands, or the section's start if it is absent."""
        node = self.node.get(name)
        return node.spot if node else self.spot

    def raw(self, name: str, required: str = "") -> Node | None:
        """The node under ``name``. ``required`` is what to write when it is missing; empty means optional."""
        self.asked.add(name)
        node = self.node.get(name)
        if node is None and required and self.is_section:
            self.problem(self.spot, f"{self.what} has no '{name}'", f"write {required}")
        return node

    def text(self, name: str, required: str = "", default: str = "") -> str:
        """A text that is not empty."""
        node = self.raw(name, required)
        if node is None:
            return default
        if not isinstance(node, Text) or not node.value:
            self.problem(
                node.spot, f"'{name}' is not a text", f"write {required or _text_hint(node)}"
            )
            return default
        return node.value

    def read(self, name: str, parse: Callable[[str], T], required: str = "") -> T | None:
        """A value that ``parse`` understands; its :class:`NotUnderstood` becomes a problem at the value."""
        node = self.raw(name, required)
        if node is None:
            return None
        return parsed(node, name, parse, self.problems)

    def whole(self, name: str, least: int, most: int, required: str = "") -> int | None:
        """A whole number between ``least`` and ``most``."""

        def parse(text: str) -> int:
            if (
                not text.isascii()
                or not text.isdigit()
                or len(text) > 9
                or (len(text) > 1 and text[0] == "0")
            ):
                raise NotUnderstood(
                    f"'{name}' is '{text}'", f"write a whole number from {least} to {most}"
                )
            if not least <= int(text) <= most:
                raise NotUnderstood(
                    f"'{name}' is {text}", f"it must lie between {least} and {most}"
                )
            return int(text)

        return self.read(name, parse, required)

    @overload
    def choice(
        self, name: str, choices: Iterable[Word], required: str = "", *, default: Word
    ) -> Word: ...

    @overload
    def choice(self, name: str, choices: Iterable[Word], required: str, default: Word) -> Word: ...

    @overload
    def choice(
        self, name: str, choices: Iterable[Word], required: str = ""
    ) -> Word | Literal[""]: ...

    def choice(
        self, name: str, choices: Iterable[str], required: str = "", default: str = ""
    ) -> str:
        """One of ``choices``; without a default, empty where the file says none of them."""
        known = list(choices)
        node = self.raw(name, required)
        if node is None:
            return default
        if isinstance(node, Text) and node.value in known:
            return node.value
        said = node.value if isinstance(node, Text) else "a section"
        self.problem(node.spot, f"'{name}' is '{said}'", nearest(said, known))
        return default

    def yes_no(self, name: str, default: bool = False) -> bool:
        """``yes`` or ``no``."""
        return self.choice(name, ("yes", "no"), default="yes" if default else "no") == "yes"

    def texts(self, name: str, required: str = "") -> tuple[Text, ...]:
        """A list of texts; one text alone counts as a list of one."""
        node = self.raw(name, required)
        if node is None:
            return ()
        if isinstance(node, Text):
            return (node,) if node.value else ()
        if isinstance(node, Items):
            good = []
            for item in node.items:
                if isinstance(item, Text) and item.value:
                    good.append(item)
                else:
                    self.problem(
                        item.spot, f"an entry of '{name}' is not a text", "write one text an entry"
                    )
            return tuple(good)
        self.problem(
            node.spot, f"'{name}' is not a list", "write each entry on a line of its own after '- '"
        )
        return ()

    def items(self, name: str, required: str = "") -> tuple[Node, ...]:
        """The entries of a list."""
        node = self.raw(name, required)
        if node is None:
            return ()
        if not isinstance(node, Items):
            self.problem(
                node.spot,
                f"'{name}' is not a list",
                "write each entry on a line of its own after '- '",
            )
            return ()
        return self.not_too_many(name, node.items)

    def fields(self, name: str, required: str = "") -> tuple[tuple[Text, Node], ...]:
        """The fields of a section whose keys are names (ingredients, variations ...)."""
        node = self.raw(name, required)
        if node is None:
            return ()
        if not isinstance(node, Fields):
            self.problem(
                node.spot,
                f"'{name}' is not a section",
                "write its entries below it, each as 'name: value'",
            )
            return ()
        for key, _ in node.fields[:MOST_ENTRIES]:
            if not key.value:
                self.problem(
                    key.spot, f"an entry of '{name}' has no name", "write one before the colon"
                )
            elif len(key.value) > LONGEST_NAME:
                self.problem(
                    key.spot,
                    f"the name '{key.value[:20]} ...' has {len(key.value)} signs",
                    f"keep it to {LONGEST_NAME}, so that it stands on a label",
                )
        return self.not_too_many(name, node.fields)

    def not_too_many(self, name: str, entries: tuple[T, ...]) -> tuple[T, ...]:
        """The entries, cut off after ``MOST_ENTRIES`` with a problem."""
        if len(entries) > MOST_ENTRIES:
            self.problem(
                self.spot_of(name),
                f"'{name}' has {len(entries)} entries",
                f"keep it to {MOST_ENTRIES}",
            )
        return entries[:MOST_ENTRIES]

    def section(self, name: str, what: str = "", required: str = "") -> Section | None:
        """A section inside this one."""
        node = self.raw(name, required)
        return Section(node, what or f"'{name}'", self.problems) if node is not None else None

    def close(self, *also: str) -> None:
        """Report every field that was not asked for (``also`` names further known ones)."""
        known = [*sorted(self.asked), *also]
        for key, _ in self.node.fields[:MOST_ENTRIES]:
            if key.value not in known:
                self.problem(
                    key.spot, f"{self.what} has no field '{key.value}'", nearest(key.value, known)
                )


def parsed(node: Node, name: str, parse: Callable[[str], T], problems: list[Problem]) -> T | None:
    """``parse`` applied to a text node, or None and a problem at its place."""
    if not isinstance(node, Text):
        problems.append(Problem(node.spot, f"'{name}' is a section or list", "write one value"))
        return None
    try:
        return parse(node.value)
    except NotUnderstood as error:
        problems.append(Problem(node.spot, error.wrong, error.right))
        return None
