"""The words of food that ship with the package, one a line, each with its source.

``classpack/data/food-words.csv`` holds, for English and German, what a food of this name holds by nature or by its usual
recipe (``holds``), what it commonly holds besides (``may_hold``) and what it seems to name and does not (``is_no``). The
sources are published lists of food-allergy charities, food-standards agencies and caterers, read in copies, and the package's
larder; most rows are ``from memory``. It is no legal or medical advice: words only ever add to what an ingredient states.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal, get_args

FOOD_WORDS_FILE = Path(__file__).parent.parent / "data" / "food-words.csv"

LANGUAGES = ("en", "de")

Kind = Literal["food", "recipe", "lookalike", "vague", "absent", "comparison", "claim", "idle"]
KINDS: tuple[Kind, ...] = get_args(Kind)
"""``recipe`` is a food made of foods; a ``lookalike`` only sounds like one; ``vague`` asks which. The rest bear on the next
food: ``absent`` (without) and ``comparison`` (size of) take it away, a ``claim`` (dairy-free) makes a question of some of it,
``idle`` (sugar-free) does nothing."""

Sort = Literal["", "flour", "nuts", "seeds", "spread", "glaze", "bread", "name"]
SORTS: tuple[Sort, ...] = get_args(Sort)
"""What answers a vague word: declared flours, nuts, seeds, fats, glazes, the bread itself, or a declared name that holds the
word."""


@dataclass(frozen=True, slots=True)
class FoodWord:
    """One row. ``flags``: ``whole``, ``start``, ``end`` (where in a German word it may stand), ``opening`` (only as the first
    word of a sentence), ``verb`` (there it is none), ``baked`` (a kind of bread), ``implied`` (a flour that means wheat), ``weak`` (a remark at most),
    ``claim`` and ``choice`` (vegan) for words that promise something on a label."""

    language: str
    word: str
    forms: tuple[str, ...]
    holds: frozenset[str]
    may_hold: frozenset[str]
    is_no: frozenset[str]
    kind: Kind
    answered_by: Sort
    flags: frozenset[str]
    source: str

    @property
    def spellings(self) -> tuple[str, ...]:
        """The word and its forms."""
        return (self.word, *self.forms)


@cache
def food_words() -> tuple[FoodWord, ...]:
    """All rows, in the order of the file, read once."""
    with FOOD_WORDS_FILE.open(encoding="utf-8", newline="") as lines:
        return tuple(_food_word(row) for row in csv.DictReader(lines))


def _food_word(row: dict[str, str]) -> FoodWord:
    kinds: dict[str, Kind] = {one: one for one in KINDS}
    sorts: dict[str, Sort] = {one: one for one in SORTS}
    return FoodWord(
        language=row["language"],
        word=row["word"],
        forms=tuple(row["forms"].split("; ")) if row["forms"] else (),
        holds=frozenset(row["holds"].split()),
        may_hold=frozenset(row["may_hold"].split()),
        is_no=frozenset(row["is_no"].split()),
        kind=kinds[row["kind"]],
        answered_by=sorts[row["answered_by"]],
        flags=frozenset(row["flags"].split()),
        source=row["source"],
    )
