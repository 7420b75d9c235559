"""What a line of a pasted recipe says, once it is read: its amount in grams with the spread of its sources, and what it asks."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Kind = Literal[
    "title", "ingredient", "heading", "yield", "step", "equipment", "percent", "unread", "blank"
]

QUESTIONS = {
    "how much": "how much of it",
    "range": "which of the two amounts is weighed",
    "which": "which of the foods",
    "cup": "which cup, and how it is filled",
    "salt kind": "which salt: a spoon of coarse salt weighs half of fine",
    "flour kind": "which flour",
    "oil kind": "of what the oil is",
    "food": "which food of the larder",
    "allergens": "what its pack says it is made of",
    "shares": "how much of it in which step",
    "take it": "whether it is used",
    "hold back": "how much is held back",
    "check": "which of two amounts that disagree",
    "weight of": "whether dough or baked bread is meant",
    "pieces": "how many pieces",
    "oven kind": "for which kind of oven",
    "loss": "how much weight is lost in the oven",
    "window": "the least and the most minutes",
    "tin size": "how many millilitres the tin holds",
    "ripening": "how long a preferment ripens",
    "which proof": "whether the proof is the first or the final one",
    "two days": "when the wait begins",
    "unit": "which unit",
    "stage": "what is done",
}
"""Everything a line may ask, by its key, and in words."""


@dataclass(frozen=True, slots=True)
class LineQuestion:
    """What a line leaves open, by its key in :data:`QUESTIONS`, and what is taken until somebody says; empty: nothing is."""

    key: str
    default: str = ""

    def __str__(self) -> str:
        taken = f"taken: {self.default}" if self.default else "nothing is taken until you say"
        return f"{QUESTIONS[self.key]}? {taken}"


@dataclass(frozen=True, slots=True)
class GramSpan:
    """Grams of a line: the least and the most its sources give, and the one taken (None: nobody may take one)."""

    least_g: Fraction
    taken_g: Fraction | None
    most_g: Fraction

    def plus(self, other: GramSpan, sign: int = 1) -> GramSpan:
        """Both together, or less the other."""
        if self.taken_g is None or other.taken_g is None:
            taken = None
        else:
            taken = self.taken_g + sign * other.taken_g
        low, high = (other.least_g, other.most_g) if sign > 0 else (other.most_g, other.least_g)
        return GramSpan(self.least_g + sign * low, taken, self.most_g + sign * high)


def exactly(grams: Fraction) -> GramSpan:
    """A weight as written."""
    return GramSpan(grams, grams, grams)


@dataclass(frozen=True, slots=True)
class Heat:
    """An oven heat or a water temperature: as written, in °C, and what the same line says of fan ovens and gas."""

    written: str
    celsius: Fraction
    to_celsius: Fraction | None = None
    fan_c: Fraction | None = None
    gas: Fraction | None = None
    kind: str = ""


@dataclass(frozen=True, slots=True)
class TimeSpan:
    """Least and most minutes of a step; ``about`` when the recipe says so."""

    least_min: Fraction
    most_min: Fraction
    about: bool = False


@dataclass(frozen=True, slots=True)
class More:
    """A second use in the same line: ``plus more for dusting``."""

    purpose: str
    grams: GramSpan | None = None


@dataclass(frozen=True, slots=True)
class Alternative:
    """The other food of an ``or``."""

    food: str
    grams: GramSpan | None


@dataclass(frozen=True, slots=True)
class Yield:
    """What the recipe makes: pieces with their grams, or portions only."""

    pieces: int | None = None
    name: str = ""
    grams_each: Fraction | None = None
    portions: int | None = None
    about: bool = False


@dataclass(frozen=True, slots=True)
class TinSaid:
    """A tin as the recipe names it: its sides in inches or cm (None: depth unsaid), or a trade name; ``ml`` once known."""

    pieces: int = 1
    inches: tuple[Fraction, Fraction, Fraction | None] | None = None
    cm: tuple[Fraction, Fraction, Fraction | None] | None = None
    trade: str = ""
    ml: Fraction | None = None
    ml_offered: Fraction | None = None
    name: str = "tin"


@dataclass(frozen=True, slots=True)
class ReadLine:
    """One line: what kind it is, what was read, what is told about it, and what it asks."""

    text: str
    kind: Kind
    number: int = 0
    amount: Fraction | None = None
    to: Fraction | None = None
    unit: str = ""
    plus: str = ""
    minus: str = ""
    second: str = ""
    written_name: str = ""
    food: str | None = None
    grams: GramSpan | None = None
    by: str = "nothing"
    purpose: str = "dough"
    note: str = ""
    more: More | None = None
    alternatives: tuple[Alternative, ...] = ()
    percent: Fraction | None = None
    heading: tuple[str, str] | None = None
    yields: Yield | None = None
    tin: TinSaid | None = None
    heat: Heat | None = None
    time: TimeSpan | None = None
    stage: str = ""
    tells: tuple[str, ...] = ()
    asks: tuple[LineQuestion, ...] = ()
