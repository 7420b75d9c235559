"""Words one slip of the keyboard away from a hazard word: "prehaet", "kinfe". Their cautions do not fire, so the tutor is told.

A remark only: it stops nothing, and an ordinary word that happens to be near ("bowling") is listed in the catalogue.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

from classpack.model.safety import Catalogue, words_of

_LETTERS = "abcdefghijklmnopqrstuvwxyzäöüß"
_SHORTEST = 4
_LOST_OR_DOUBLED_FROM = 5
_WRONG_LETTER_FROM = 7
"""Shorter words have too many neighbours that are words: "bowl" is one letter off "boil"."""


def misspelt(texts: Iterable[str], catalogue: Catalogue) -> tuple[tuple[tuple[str, str], ...], ...]:
    """For each text its words that are one letter off a hazard word, each with that word."""
    slips, known = _tables(*_of(catalogue))
    return tuple(
        tuple((word, slips[word]) for word in words if word in slips and word not in known)
        for words in (dict.fromkeys(catalogue.plain_words(text)) for text in texts)
    )


@lru_cache(maxsize=4)
def _tables(
    triggers: tuple[tuple[str, ...], ...], texts: tuple[str, ...]
) -> tuple[Mapping[str, str], frozenset[str]]:
    hazards = sorted({word for words in triggers for word in words if word.isalpha()}, key=len)
    slips: dict[str, str] = {}
    for word in hazards:
        for slip in _one_slip(word):
            slips.setdefault(slip, word)
    known = {word for text in texts for word in words_of(text)}
    known |= {
        word + end for word in hazards for end in ("", "s", "es", "ed", "er", "r", "d", "ing")
    }
    known |= {word[:-1] for word in hazards}
    return slips, frozenset(known)


def _of(catalogue: Catalogue) -> tuple[tuple[tuple[str, ...], ...], tuple[str, ...]]:
    """What the tables are made of: the hazard words, and every text whose words are ordinary ones."""
    hazards = tuple((*one.words, *one.near_heat) for one in catalogue.triggers if one.harm)
    said: list[str] = [" ".join(catalogue.ordinary), *catalogue.idioms]
    for one in catalogue.cautions:
        said += [one.short, one.full, *one.controls]
    for trigger in catalogue.triggers:
        said += [*trigger.words, *trigger.not_words, *trigger.near_heat]
    return hazards, tuple(said)


def _one_slip(word: str) -> Iterator[str]:
    """What a slip makes of ``word``: two letters swapped, one lost or typed twice, one wrong in a long word."""
    if len(word) < _SHORTEST:
        return
    for n in range(len(word) - 1):
        yield word[:n] + word[n + 1] + word[n] + word[n + 2 :]
    if len(word) >= _LOST_OR_DOUBLED_FROM:
        yield from _lost(word)
    yield from (word[: n + 1] + word[n:] for n in range(len(word)))
    if len(word) >= _WRONG_LETTER_FROM:
        for n in range(1, len(word)):
            yield from (word[:n] + other + word[n + 1 :] for other in _LETTERS)
            yield from (word[:n] + other + word[n:] for other in _LETTERS)


def _lost(word: str) -> Iterable[str]:
    return (word[:n] + word[n + 1 :] for n in range(1, len(word)))
