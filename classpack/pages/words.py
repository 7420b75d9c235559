"""Phrases in the language of the pack: ``words/<language>/*.yaml``. A phrase that is missing is an error that names it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from markupsafe import Markup

from classpack.errors import Problem, Spot
from classpack.pages.text_file import template_text
from classpack.reading.yaml_lines import Fields, Items, Node, Text, read_nodes
from classpack.typeset.page_text import TemplateError


class PhraseError(Exception):
    """A phrase that is not there or is filled in wrongly. ``wrong`` and ``right`` are the halves of an error line."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong, self.right = wrong, right
        super().__init__(f"{wrong}; {right}")


class Phrases:
    """The phrases of one file or section, reached as ``words.card.title`` or ``words.stages['bulk proof']``."""

    def __init__(self, name: str, phrases: Mapping[str, object]) -> None:
        self._name = name
        self._phrases = phrases

    def __getitem__(self, key: object) -> object:
        if key in self._phrases:
            return self._phrases[str(key)]
        raise PhraseError(f"{self._name} has no phrase '{key}'", f"add '{key}: …' to it")

    def __getattr__(self, key: str) -> object:
        if key.startswith("_"):
            raise AttributeError(key)
        return self[key]

    def __contains__(self, key: object) -> bool:
        return key in self._phrases

    def __iter__(self) -> object:
        return iter(self._phrases)

    def get(self, key: str, otherwise: object = None) -> object:
        """A phrase that may be missing."""
        return self._phrases.get(key, otherwise)


def _value(name: str, node: Node) -> object:
    if isinstance(node, Text):
        return node.value
    if isinstance(node, Items):
        return tuple(_value(name, item) for item in node.items)
    return Phrases(
        name, {key.value: _value(f"{name} ({key.value})", value) for key, value in node.fields}
    )


def read_words(folder: Path, language: str) -> Phrases:
    """All phrases of a language.

    Args:
        folder: the templates folder.
        language: a folder under ``words/``, as in ``en``.

    Raises:
        TemplateError: there is no such language, or a file is not 'key: value'.
    """
    if not re.fullmatch(r"[A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*", language):
        raise TemplateError(
            [
                Problem(
                    Spot(str(folder / "words"), 1),
                    f"'{language}' is no language",
                    "write it as in 'en' or 'nb'",
                )
            ]
        )
    place = folder / "words" / language
    if not place.is_dir():
        there = sorted(p.name for p in (folder / "words").glob("*") if p.is_dir())
        raise TemplateError(
            [
                Problem(
                    Spot(str(place), 1),
                    f"there are no words in '{language}'",
                    f"choose {', '.join(there) or 'a folder under words'}",
                )
            ]
        )
    files: dict[str, object] = {}
    for path in sorted(place.glob("*.yaml")):
        name = f"{folder.name}/words/{language}/{path.name}"
        node = read_nodes(template_text(path, name, folder), name, soft_hyphens=True)
        if not isinstance(node, Fields):
            raise TemplateError(
                [
                    Problem(
                        node.spot,
                        "phrases are not 'key: value'",
                        "write one phrase a line, as in 'title: Shopping list'",
                    )
                ]
            )
        files[path.stem] = _value(name, node)
    return Phrases(f"{folder.name}/words/{language}", files)


_PLACE = re.compile(r"\{([a-z_][a-z0-9_ ]*)\}")


def put(phrase: object, **values: object) -> str:
    """A phrase with its ``{places}`` filled in; each must be given, and each given must have its place.

    >>> put("{count} of {all}", count=3, all=12)
    '3 of 12'
    """
    text = str(phrase)
    wanted = set(_PLACE.findall(text))
    lacking, unused = sorted(wanted - set(values)), sorted(set(values) - wanted)
    if lacking or unused:
        what = (
            f"does not get {', '.join(lacking)}"
            if lacking
            else f"has no place for {', '.join(unused)}"
        )
        raise PhraseError(
            f"the phrase '{text}' {what}",
            "give the same names in the template and in the words file",
        )
    return _PLACE.sub(lambda match: unescaped(values[match[1]]), text)


def unescaped(value: object) -> str:
    """A value as text; what a template's macro made is escaped already and would be escaped again when it is printed.

    >>> from markupsafe import escape
    >>> unescaped(escape("a finger's dent"))
    "a finger's dent"
    """
    if not isinstance(value, Markup):
        return str(value)
    if (
        "<" in value
    ):  # what was escaped has none: these are marks of the page, and would be printed as letters
        raise PhraseError(
            f"marks are put into a plain phrase: '{value[:60]}'",
            "write the marks around the phrase, not inside what it is given",
        )
    return value.unescape()
