"""What a tutor's own templates say that classpack's do not: the lines somebody wrote, with their places.

A word typed into a template is printed for everybody, so it is read like the lesson's sentences (``planning.needs.sentences``).
"""

from __future__ import annotations

import re
from pathlib import Path

from classpack.errors import Spot

_MARKS = re.compile(r"\{[{%#].*?[%#}]\}|<[^<>]*>|\{[\w ]*\}|^\s*[\w ]+:\s|#.*$|[\"'|>]")
"""What is no word for a reader: template code, elements, places for values, a phrase's key, a remark, quotes."""


def own_words(templates: Path, shipped: Path, language: str) -> tuple[tuple[str, Spot], ...]:
    """Each line of ``templates`` in the language of the class that no file of that name among the ``shipped`` ones has.

    Files that cannot be read are left to whoever opens them next: they are told there.
    """
    if templates.resolve() == shipped.resolve():
        return ()
    found = []
    for path in sorted(templates.rglob("*")):
        name = path.relative_to(templates)
        words = name.parts[0] == "words"
        if path.suffix not in {".xml", ".html", ".yaml"} or (words and language not in name.parts):
            continue
        if name.parts[0] not in {"words", "pdf", "html"}:
            continue
        try:
            lines = path.read_text("utf-8-sig").splitlines()
            known = (
                set((shipped / name).read_text("utf-8").splitlines())
                if (shipped / name).is_file()
                else set()
            )
        except (OSError, UnicodeDecodeError):
            continue
        for number, line in enumerate(lines, 1):
            text = " ".join(_MARKS.sub(" ", line).split()) if line not in known else ""
            if text:
                found.append((text, Spot(str(path), number)))
    return tuple(found)
