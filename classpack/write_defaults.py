"""``check --write-defaults``: what was taken for granted is written into the lesson's own file, where the tutor can see and change it."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from classpack.class_files import kitchens_kind
from classpack.errors import LessonError, Problem, Spot
from classpack.model.taken import Taken
from classpack.places import read_text
from classpack.planning.plan.sources import Sources
from classpack.reading.lesson_file import read_lesson

MARK = "taken for granted"


def write_defaults(sources: Sources) -> tuple[str, int]:
    """Write what the lesson left unsaid into its file; the file's name and how many values were written.

    The new text is read before it replaces the old one and must give the same lesson.

    Raises:
        LessonError: the values cannot be written where they belong, as in a step in braces; nothing is changed then.
    """
    lesson = sources.lesson
    taken = tuple(dict.fromkeys(lesson.taken))
    path = Path(lesson.file)
    if not taken:
        return lesson.file, 0
    old = read_text(path, lesson.file)
    new = with_defaults(old, taken)
    read = read_lesson(new, lesson.file, sources.larder, kitchens_kind(sources.kitchen))
    if read.taken or (read.base, read.variations) != (lesson.base, lesson.variations):
        raise LessonError([_cannot(lesson.file, taken)])
    fresh = path.with_name(f".{path.name}.new")
    fresh.write_text(new, encoding="utf-8")
    os.replace(fresh, path)
    return lesson.file, len(taken)


def _cannot(file: str, taken: Iterable[Taken]) -> Problem:
    said = ", ".join(dict.fromkeys(one.text.split(":")[0].strip() for one in taken))
    return Problem(
        Spot(file, 1),
        "what was taken for granted cannot be written into this file",
        f"write it by hand: {said}",
    )


def with_defaults(text: str, taken: Iterable[Taken]) -> str:
    """``text`` of a lesson with each value on a line of its own, or at the end of the value it belongs to."""
    lines = text.split("\n")
    for one in sorted(taken, key=lambda one: (one.spot.line, one.where != "end"), reverse=True):
        at = one.spot.line - 1
        if one.where == "end":
            lines[at] = _at_the_end(lines[at], one.spot.column - 1, one.text)
            continue
        indent = " " * (one.spot.column - 1)
        first, *rest = one.text.split("\n")
        added = [f"{indent}{first}  # {MARK}", *(f"{indent}{line}" for line in rest)]
        place = at + 1 if one.where == "after" else at
        lines[place:place] = added
    return "\n".join(lines)


def _at_the_end(line: str, start: int, more: str) -> str:
    """``more`` after the value that starts at ``start``, inside its quotes, before a comment."""
    quote = line[start] if line[start : start + 1] in ("'", '"') else ""
    if quote:
        end = line.index(quote, start + 1)
    else:
        comment = line.find(" #", start)
        end = len(line[: comment if comment >= 0 else len(line)].rstrip())
    return line[:end] + more + line[end:]
