"""Taking what a bread leaves out of a sentence, so that what is left still reads as a sentence.

``Brush the rolls with {milk}. Scatter {sesame seeds} on top.`` for somebody who uses no sesame says only the first. What cannot
be cut cleanly keeps its place, and the template says there that the reader has nothing to put in.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

Part = TypeVar("Part")

_END = re.compile(r"(?<=[.!?;])\s+")
_IT = re.compile(r"\b(?:it|them|they|its|their)\b")
_JOIN = re.compile(r"(?:, (?:and |then )?| and (?:then )?| then )")


@dataclass(frozen=True, slots=True)
class Cut:
    """The place of something that is left out."""


def as_left(parts: Sequence[str | Part | Cut]) -> list[str | Part | Cut]:
    """``parts`` of a text with every :class:`Cut` taken out, if a whole sentence, clause or entry of a list goes with it.

    >>> as_left(["Brush with ", 1, ". Scatter ", Cut(), " on top."])
    ['Brush with ', 1, '.']
    >>> as_left(["Press it flat, and scatter the leaves and ", Cut(), "."])
    ['Press it flat, and scatter the leaves.']
    >>> as_left(["Spread ", 1, " to the rim, tear ", Cut(), " and share it out on top."])
    ['Spread ', 1, ' to the rim.']
    >>> as_left(["Scatter ", Cut(), " and ", 2, " on top."])
    ['Scatter ', 2, ' on top.']
    >>> as_left(["Brush with ", Cut(), " and scatter ", 3, " on top."])
    ['Scatter ', 3, ' on top.']
    >>> as_left(["Beat ", Cut(), " with ", 4, "."])
    ['Beat ', Cut(), ' with ', 4, '.']
    """
    found: list[str | Part | Cut] = []
    for sentence in _sentences(parts):
        left = _sentence(sentence)
        if left and found:
            found.append(" ")
        found += left
    return _merged(found)


def _sentences(parts: Sequence[str | Part | Cut]) -> list[list[str | Part | Cut]]:
    """The sentences, each without the blank after it."""
    found: list[list[str | Part | Cut]] = [[]]
    for part in parts:
        if not isinstance(part, str):
            found[-1].append(part)
            continue
        for number, text in enumerate(_END.split(part)):
            if number:
                found.append([])
            if text:
                found[-1].append(text)
    return [one for one in found if one]


def _live(parts: Sequence[str | Part | Cut]) -> bool:
    return any(not isinstance(part, (str, Cut)) for part in parts)


def _sentence(parts: list[str | Part | Cut]) -> list[str | Part | Cut]:
    parts = _off_the_list(parts)
    if not any(isinstance(part, Cut) for part in parts):
        return parts
    clauses = _clauses(parts)
    kept = [not any(isinstance(part, Cut) for part in clause) for _, clause in clauses]
    for number, (_, clause) in enumerate(clauses):
        if not kept[number] and _live(clause):
            return parts  # something that is used stands in the same clause
        if number and not kept[number - 1] and not _live(clause) and _says_it(clause):
            kept[number] = False
    if not kept[0] and not any(
        _live(clause) for keep, (_, clause) in zip(kept, clauses, strict=True) if keep
    ):
        return []  # the sentence begins with it, so all of it is about it
    left: list[str | Part | Cut] = []
    for keep, (join, clause) in zip(kept, clauses, strict=True):
        if not keep:
            continue
        if left:
            left += [join, *clause]
        else:
            first = clause[0]
            left = [
                first[:1].upper() + first[1:] if isinstance(first, str) else first,
                *clause[1:],
            ]
    end = parts[-1][-1:] if isinstance(parts[-1], str) else ""
    last = left[-1]
    if end in (".", "!", "?", ";") and not (isinstance(last, str) and last.endswith(end)):
        left.append(end)
    return left


def _says_it(clause: Sequence[str | Part | Cut]) -> bool:
    """Does a clause speak of what the one before named?"""
    return any(isinstance(part, str) and _IT.search(part) for part in clause)


def _clauses(
    parts: Sequence[str | Part | Cut],
) -> list[tuple[str, list[str | Part | Cut]]]:
    """The clauses of a sentence, each with the words that join it to the one before."""
    found: list[tuple[str, list[str | Part | Cut]]] = [("", [])]
    for part in parts:
        if not isinstance(part, str):
            found[-1][1].append(part)
            continue
        at = 0
        for match in _JOIN.finditer(part):
            if match.start() > at:
                found[-1][1].append(part[at : match.start()])
            if found[-1][1]:
                found.append((match.group(), []))
            at = match.end()
        if at < len(part):
            found[-1][1].append(part[at:])
    return [one for one in found if one[1]]


def _off_the_list(parts: list[str | Part | Cut]) -> list[str | Part | Cut]:
    """An entry of a list goes with the word that joins it to its neighbour."""
    parts = list(parts)
    number = 0
    while number < len(parts):
        if isinstance(parts[number], Cut):
            after = parts[number + 1] if number + 2 < len(parts) else None
            before = parts[number - 1] if number >= 2 else None
            if isinstance(after, str) and _JOIN.fullmatch(after) and _thing(parts[number + 2]):
                del parts[number : number + 2]
                continue
            if isinstance(before, str) and _JOIN.fullmatch(before) and _thing(parts[number - 2]):
                del parts[number - 1 : number + 1]
                continue
        number += 1
    return parts


def _thing(part: str | Part | Cut) -> bool:
    return not isinstance(part, (str, Cut))


def _merged(parts: Sequence[str | Part | Cut]) -> list[str | Part | Cut]:
    """Text beside text is one text."""
    found: list[str | Part | Cut] = []
    for part in parts:
        last = found[-1] if found else None
        if isinstance(part, str) and isinstance(last, str):
            found[-1] = last + part
        else:
            found.append(part)
    return found
