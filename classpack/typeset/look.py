"""How sheets look, as a value: paper sizes, grids, type, colours and fonts. Read from ``look.yaml`` elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from classpack.typeset.fonts import Fonts

PAPERS = ("A4", "Letter", "A5", "A5-on-A4")
STYLES = ("normal", "large-print", "high-contrast", "mono")
SMALLEST = 9.5
"""No type on any sheet but labels is smaller, in points."""


@dataclass(frozen=True, slots=True)
class Type:
    """A type size and the distance from line to line, both in points."""

    size: float
    leading: float


@dataclass(frozen=True, slots=True)
class Grid:
    """The page's lines in points: margins from the paper's edge, the rest from the left margin."""

    margin: float
    top: float
    foot: float
    clock: float
    spine: float
    text: float
    tick: float


@dataclass(frozen=True, slots=True)
class LadderStep:
    """One step of a kind's type ladder: every size by its name in ``look.yaml``."""

    types: Mapping[str, Type]

    def __getitem__(self, name: str) -> Type:
        return self.types[name]

    def points(self, name: str) -> float:
        return self.types[name].size


@dataclass(frozen=True, slots=True)
class Kind:
    """How one kind of sheet is set: its paper in points, its grid, and its ladder from roomy to dense."""

    name: str
    paper: tuple[float, float]
    grid: Grid
    steps: tuple[LadderStep, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """Everything the drawing needs to know. Colours are page code (``0.102 0.102 0.102``)."""

    kinds: Mapping[str, Kind]
    papers: Mapping[str, tuple[float, float]]
    colours: Mapping[str, str]
    fonts: Fonts
    style: str
    thicker: float
    """Hairlines are this many times their weight."""
    filled: bool
    """Whether large areas may be solid (ink-saving: no)."""
    cards_on: tuple[float, float] | None
    """The paper two A5 pages share, landscape, in points; None if each page is a paper of its own."""
    school: str
    logo: Path | None


def ladder_of(look: Look, kind: str, paper: str, turned: bool) -> Kind:
    """The kind as a sheet wants it: on its own paper, or landscape."""
    found = look.kinds[kind]
    if paper and paper in look.papers:
        found = replace(found, paper=look.papers[paper])
    if turned:
        found = replace(found, paper=(found.paper[1], found.paper[0]))
    return found
