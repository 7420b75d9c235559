"""Health and belief stand in ``confidential/`` and nowhere else: what to look for, and a look for it.

``needs_words`` turns a resolved class into what must not be found; ``assert_nowhere`` searches texts for it. The names of
allergens themselves stand on labels and cards and illnesses in safety sheets, so they are looked for only beside a person;
what a person said, a reason of the tutor's and the questions to them are looked for alone.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from classpack.model.needs import NeedsPlan

_ILLNESS = (
    "coeliac",
    "celiac",
    "anaphyla",
    "pregnan",
    "immune",
    "asthma",
    "vegan",
    "vegetarian",
    "allergic to",
)
"""Beside a person's name or seat, none of these may stand, whatever is stated."""


@dataclass(frozen=True, slots=True)
class NeedsWords:
    """``alone`` may stand nowhere. Of ``beside``, no first may stand within a line of its second."""

    alone: tuple[str, ...]
    beside: tuple[tuple[str, str], ...]


def _flat(text: str) -> str:
    return unicodedata.normalize("NFKC", text).casefold()


def needs_words(plan: NeedsPlan, also_safe: Iterable[str] = ()) -> NeedsWords:
    """What may not be found outside ``confidential/``. ``also_safe`` are texts that stand elsewhere for other reasons."""
    safe = {_flat(one) for one in also_safe}
    alone: dict[str, None] = {}
    beside: dict[tuple[str, str], None] = {}
    for one in plan.sheet.people:
        spoken = [need.note for need in one.needs]
        spoken += [one.decision.reason] if one.decision else []
        spoken += [need.typed for need in one.needs if " " in need.typed and need.kind == "state"]
        spoken += [f"told us about {need.label}" for need in one.needs if one.index >= 0]
        alone.update((text, None) for text in spoken if text and _flat(text) not in safe)
        if not one.needs:
            continue
        words = [word for need in one.needs for word in (need.typed, need.label, need.severity)]
        for who in (one.name, one.seat):
            beside.update(((who, word), None) for word in (*words, *_ILLNESS) if who and word)
    return NeedsWords(tuple(alone), tuple(beside))


def assert_nowhere(words: NeedsWords, texts: Mapping[str, str]) -> None:
    """Fail with every place where a confidential word stands. ``texts`` are outputs, file names, logs ..., by name.

    A person's own card names what their bread holds, so give it without its contains-line and ingredient rows, or give the
    lines as the reader sees them: words are looked for beside a name on the same line only.
    """
    found = []
    for where, text in texts.items():
        flat = _flat(text)
        found += [f"{where}: '{word}'" for word in words.alone if _flat(word) in flat]
        lines = flat.splitlines() or [flat]
        for who in dict.fromkeys(who for who, _ in words.beside):
            name = _whole(who)
            told = [line for line in lines if name.search(line)]
            found += [
                f"{where}: '{word}' beside '{who}': {line.strip()[:120]}"
                for other, word in words.beside
                if other == who
                for line in told
                if _whole(word, open_end=True).search(line)
            ]
    assert not found, "confidential words outside confidential/:\n" + "\n".join(found)


def _whole(text: str, open_end: bool = False) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(_flat(text))}" + ("" if open_end else r"(?!\w)"))
