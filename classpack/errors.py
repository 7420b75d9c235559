"""What can go wrong, and how it is said: ``file:line:column: what is wrong; what would be right``."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

LONGEST_SAID = 300
LONGEST_ADVICE = 700
"""What would be right may be a whole list to choose from: every need that is understood."""


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """A spot in a file the tutor can open: the path as it was given, line and column counted from 1."""

    file: str
    line: int
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing to mend before anything is printed.

    >>> print(Problem(Spot("lessons/rye.yaml", 14, 12), "water is 'lots'", "write a percentage, as in 'water: 65 %'"))
    lessons/rye.yaml:14:12: water is 'lots'; write a percentage, as in 'water: 65 %'
    """

    spot: Spot
    wrong: str
    right: str

    def __str__(self) -> str:
        return f"{self.spot}: {_short(self.wrong)}; {_short(self.right, LONGEST_ADVICE)}"


def _short(text: str, longest: int = LONGEST_SAID) -> str:
    """At most a few printed lines: a page pasted into a number's place is not quoted whole."""
    return text if len(text) <= longest else f"{text[: longest - 6]} [...]"


@dataclass(frozen=True, slots=True, order=True)
class Remark:
    """Something the tutor should know although the pack is printed: a default used, a class that runs late.

    ``about`` names the part it concerns (``"weighing"``, ``"day"``, ``"buying"`` ...); ``text`` is a whole sentence.
    """

    about: str
    text: str

    def __str__(self) -> str:
        return f"remark ({self.about}): {self.text}"


class LessonError(Exception):
    """A pack cannot be made. Holds every problem found, each said once: files in the order they came, lines in theirs."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        found = list(dict.fromkeys(problems))
        files = list(dict.fromkeys(one.spot.file for one in found))
        self.problems: tuple[Problem, ...] = tuple(
            sorted(found, key=lambda one: (files.index(one.spot.file), one))
        )
        super().__init__("\n".join(map(str, self.problems)))
