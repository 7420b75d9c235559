"""What to offer for a name that the larder does not know: the same food or nothing, never one with another allergen.

A slip of a letter or two is the same word (``almound``); else what is offered is called by the same words of
:mod:`classpack.food_words`, or is of the same sort and holds nothing that the typed words do not say. ``Vegan butter`` is no butter.
"""

from __future__ import annotations

import difflib

from classpack.food_words import Reading, read_name, words_known
from classpack.model.allergens import BY_ID
from classpack.model.larder import Ingredient, Larder

MOST_OFFERED = 3
_ONE_SLIP_FROM, _TWO_SLIPS_FROM = 5, 9
"""Letters from which one wrong letter, or two, are taken for a slip."""


def offered(name: str, larder: Larder) -> str:
    """What to write instead of ``name``, for a problem's advice."""
    said = read_name(name)
    if slip := _slip_of(name, said, larder):
        return f"did you mean '{slip}'?"
    near = _near(name, said, larder)
    if near:
        those = ", ".join(with_what_it_holds(larder[one]) for one in near)
        is_are = "is" if len(near) == 1 else "are"
        return f"the nearest {is_are} {those}; or write it into your own larder"
    holds = [one.everyday.lower() for id, one in BY_ID.items() if id in said.holds]
    allergens = f"[{', '.join(holds)}]" if holds else "what its pack lists, or none"
    return f"nothing in the larder is this; write it into your own, as in '{name}: {{allergens: {allergens}}}'"


def with_what_it_holds(one: Ingredient) -> str:
    """An ingredient's name with its allergens, and whether its pack must be read."""
    holds = [found.everyday for id, found in BY_ID.items() if id in one.allergens]
    if one.check_pack or one.may_list:
        holds.append("read its pack")
    return f"{one.name} ({', '.join(holds) or 'states no allergen'})"


def found_by(word: str, larder: Larder) -> list[Ingredient]:
    """Every ingredient whose name holds ``word``, or that is called by the same food word."""
    rows, sought = set(read_name(word).words), word.casefold().strip()
    return [
        one
        for one in larder.ingredients
        if sought in one.name.casefold() or rows & set(read_name(one.name).words)
    ]


def _slip_of(name: str, said: Reading, larder: Larder) -> str:
    """The one ingredient that ``name`` is a slip for, or nothing."""
    if said.claims or said.choices:
        return ""
    typed = name.casefold()
    allowed = (len(typed) >= _ONE_SLIP_FROM) + (len(typed) >= _TWO_SLIPS_FROM)
    kept = words_known(name)
    found = [
        (slips, one.name)
        for one in larder.ingredients
        if abs(len(one.name) - len(typed)) <= allowed
        and (slips := _slips(typed, one.name.casefold(), allowed)) <= allowed
        and (said.holds == one.allergens if said.words else said.holds <= one.allergens)
        and all(_keeps(one.name, word, row) for word, row in kept)
    ]
    return min(found)[1] if found else ""


def _keeps(name: str, word: str, row: str) -> bool:
    """Is a word that the list knows still there in ``name``? A slip makes no oat of a goat."""
    same = any(other == row for _, other in words_known(name))
    return same or any(one.startswith(word) for one in _words(name))


def _slips(one: str, other: str, most: int) -> int:
    """Letters put in, left out or wrong between two words; more than ``most`` are not counted out."""
    row = list(range(len(other) + 1))
    for number, sign in enumerate(one, 1):
        before, row[0] = row[0], number
        for at, letter in enumerate(other, 1):
            before, row[at] = row[at], min(row[at] + 1, row[at - 1] + 1, before + (sign != letter))
        if min(row) > most:
            return most + 1
    return row[-1]


def _near(name: str, said: Reading, larder: Larder) -> list[str]:
    """Up to three ingredients of the same words or the same sort that hold nothing ``name`` does not say."""
    safe = [one for one in larder.ingredients if one.allergens <= said.holds]
    rows = set(said.words)
    same = [one for one in safe if rows & set(read_name(one.name).words)]
    if not same and not said.claims and not said.choices:
        same = [one for one in safe if _of_the_sort(name, said, one)]
    return difflib.get_close_matches(name, [one.name for one in same], MOST_OFFERED, 0)


def _of_the_sort(name: str, said: Reading, one: Ingredient) -> bool:
    typed, known = _words(name), _words(one.name)
    if set(typed) <= set(known) or (set(known) <= set(typed) and one.allergens == said.holds):
        return True
    return bool(said.holds) and one.allergens == said.holds and typed[-1:] == known[-1:]


def _words(name: str) -> list[str]:
    return name.casefold().replace("-", " ").split()
