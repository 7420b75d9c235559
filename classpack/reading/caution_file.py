"""Cautions from files: the package's own catalogue, and what a tutor adds to it.

A tutor's file has the same shape and may hold ``cautions`` (with ``words`` of their own) and ``sources``. It adds; it
neither replaces nor weakens a caution of the package: that is done in the lesson, with a reason that is printed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import TypeVar

from classpack.errors import LessonError, Problem
from classpack.model.safety import (
    AUDIENCES,
    CHECKED,
    GROUPS,
    HARMS,
    HAZARDS,
    PLACES,
    SEVERITIES,
    Catalogue,
    Caution,
    FirstAid,
    Settled,
    Severity,
    Source,
    Trigger,
)
from classpack.reading.sections import Section, nearest
from classpack.reading.yaml_lines import Text, read_nodes
from classpack.typeset.sign_names import SIGNS

PACKAGE_FILE = Path(__file__).parent.parent / "data" / "cautions.yaml"
LONGEST_SHORT = 70
LONGEST_SENTENCE = 25
OWN_SOURCE = "house rule"
"""The source of a tutor's own caution that names none."""

T = TypeVar("T")


@lru_cache(maxsize=1)
def package_catalogue() -> Catalogue:
    """The catalogue that comes with the program, read once."""
    return read_catalogue(PACKAGE_FILE.read_text("utf-8"), "cautions.yaml")


def read_catalogue(text: str, file: str) -> Catalogue:
    """A whole catalogue.

    Raises:
        LessonError: with every problem in it.
    """
    problems: list[Problem] = []
    top = Section(read_nodes(text, file), "the catalogue", problems)
    reviewed = top.raw("reviewed by")
    catalogue = Catalogue(
        cautions=(),
        triggers=_each(top, "triggers", _read_trigger, "the triggers"),
        first_aid=_each(top, "first aid", _read_first_aid, "the first aid"),
        sources=_each(top, "sources", _read_source, "the sources"),
        settled=_each(top, "settled", _read_settled),
        idioms=_words(top, "idioms"),
        ordinary=_words(top, "ordinary words"),
        language=top.text("language", default="en"),
        reviewed_by=reviewed.value if isinstance(reviewed, Text) else "",
    )
    known = _Known(catalogue)
    cautions = _each(top, "cautions", lambda n, s: _read_caution(n, s, known), "the cautions")
    top.close()
    if problems:
        raise LessonError(problems)
    return replace(catalogue, cautions=cautions)


def with_own_cautions(catalogue: Catalogue, text: str, file: str) -> Catalogue:
    """``catalogue`` with a tutor's own cautions after the package's.

    A caution may say its ``words`` instead of ``fires when``; it then fires at them, and where a step's ``does`` names it.

    Raises:
        LessonError: with every problem in the tutor's file, a name that is already taken among them.
    """
    problems: list[Problem] = []
    top = Section(read_nodes(text, file), "the cautions file", problems)
    house = Source(OWN_SOURCE, "the tutor's own rule", "", "", "memory")
    sources = (*catalogue.sources, house, *_each(top, "sources", _read_source))
    triggers: list[Trigger] = []
    cautions: list[Caution] = []
    for key, node in top.fields("cautions", "your own, each as a section below 'cautions:'"):
        section = Section(node, f"caution '{key.value}'", problems)
        if catalogue.caution(key.value) is not None:
            top.problem(
                key.spot,
                f"'{key.value}' is already in the catalogue",
                "give yours another name; the lesson can turn the other off, with a reason",
            )
        words = _words(section, "words")
        if words or section.has("words"):
            if catalogue.trigger(key.value) is not None:
                top.problem(
                    key.spot,
                    f"'{key.value}' is already the name of a trigger",
                    "give your caution another name",
                )
            without = _words(section, "not words")
            triggers.append(Trigger(key.value, "", words, without, spot=key.spot))
        known = _Known(
            replace(catalogue, triggers=(*catalogue.triggers, *triggers), sources=sources)
        )
        cautions.append(_read_caution(key, section, known, own=True))
    top.close()
    if problems:
        raise LessonError(problems)
    return replace(
        catalogue,
        cautions=(*catalogue.cautions, *cautions),
        triggers=(*catalogue.triggers, *triggers),
        sources=sources,
    )


class _Known:
    """What a caution may refer to."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.triggers = [one.id for one in catalogue.triggers if not one.asks]
        self.harms = {one.id: one.harm for one in catalogue.triggers if one.harm}
        self.aids = [aid.id for aid in catalogue.first_aid]
        self.sources = [source.id for source in catalogue.sources]


def _each(
    top: Section, name: str, read: Callable[[Text, Section], T], required: str = ""
) -> tuple[T, ...]:
    found = []
    for key, node in top.fields(name, required):
        section = Section(node, f"'{key.value}'", top.problems)
        found.append(read(key, section))
        section.close()
    return tuple(found)


def _words(section: Section, name: str) -> tuple[str, ...]:
    return tuple(word.value.lower().replace("’", "'") for word in section.texts(name))


def _named(
    section: Section, name: str, known: Iterable[str], required: str = ""
) -> tuple[str, ...]:
    choices = list(known)
    found = section.texts(name, required)
    for text in found:
        if text.value not in choices:
            section.problem(
                text.spot, f"'{name}' names '{text.value}'", nearest(text.value, choices)
            )
    return tuple(text.value for text in found)


def _read_trigger(key: Text, section: Section) -> Trigger:
    return Trigger(
        id=key.value,
        when=section.text("when", "when it fires"),
        words=_words(section, "words"),
        not_words=_words(section, "not words"),
        said=_words(section, "said"),
        near_heat=_words(section, "near heat"),
        not_beside=_words(section, "not beside"),
        harm=section.choice("harm", HARMS),
        asks=section.text("asks"),
        spot=key.spot,
    )


def _read_first_aid(key: Text, section: Section) -> FirstAid:
    return FirstAid(
        id=key.value,
        title=section.text("title", "what happened, as in 'title: Cut'"),
        card=section.text("card", "the line for a card"),
        steps=tuple(step.value for step in section.texts("steps", "what to do, step by step")),
        sources=tuple(source.value for source in section.texts("sources", "where it comes from")),
        checked=section.choice("checked", CHECKED, "read or memory", "memory"),
    )


def _read_source(key: Text, section: Section) -> Source:
    return Source(
        id=key.value,
        title=section.text("title", "the document's title"),
        body=section.text("body"),
        year=section.text("year"),
        checked=section.choice("checked", CHECKED, "", "memory"),
    )


def _read_settled(key: Text, section: Section) -> Settled:
    return Settled(
        topic=key.value,
        published=section.text("published", "what the published rules say"),
        rule=section.text("rule", "the rule that is printed"),
        sources=tuple(source.value for source in section.texts("sources", "where they stand")),
    )


def _read_caution(key: Text, section: Section, known: _Known, own: bool = False) -> Caution:
    by_words = own and section.has("words")
    every = section.has("fires when all")
    field = "fires when all" if every else "fires when"
    named = _named(
        section,
        field,
        known.triggers,
        "" if by_words else "what it fires at, as in 'fires when: [uses-oven]'",
    )
    raised = section.section("raised for", f"'raised for' of {key.value}")
    raise_for: tuple[tuple[str, Severity], ...] = ()
    if raised is not None:
        raise_for = tuple(
            (group, word)
            for group in GROUPS
            if raised.has(group) and (word := raised.choice(group, SEVERITIES))
        )
        raised.close(*GROUPS)
    short = section.text("short", "the card's line, as in 'short: \"Dry gloves only.\"'")
    full = section.text("full", "" if own else "the text for station sheets", default=short)
    _check_lengths(section, short, full)
    guards = _named(section, "guards", HARMS) or tuple(
        dict.fromkeys(known.harms[one] for one in named if one in known.harms)
    )
    caution = Caution(
        id=key.value,
        hazard=section.choice("hazard", HAZARDS, "what kind it is, as in 'hazard: heat'", "people"),
        triggers=(*named, key.value) if by_words else named,
        severity=section.choice(
            "word", SEVERITIES, "DANGER, WARNING, CAUTION or NOTICE", "CAUTION"
        ),
        sign=section.choice("sign", SIGNS, "" if own else "an ISO 7010 sign", "W001"),
        short=short,
        full=full,
        who=section.text("at risk", "" if own else "who is at risk", "everyone near"),
        controls=tuple(
            text.value for text in section.texts("controls", "" if own else "what makes it safer")
        ),
        sources=_named(section, "sources", known.sources, "" if own else "where it comes from")
        or (OWN_SOURCE,),
        checked=section.choice("checked", CHECKED, "" if own else "read or memory", "memory"),
        audience=section.choice("for", AUDIENCES, "", "both"),
        place=section.choice("place", PLACES, "", "step"),
        combine_all=every,
        raise_for=raise_for,
        alt_sign=section.choice("or", SIGNS),
        first_aid=section.choice("first aid", known.aids),
        kept=section.yes_no("kept"),
        fallback=section.yes_no("fallback"),
        own=own,
        guards=guards,
        named=section.text("named"),
        named_last=section.text("named last"),
        spot=key.spot,
    )
    if own:
        section.close("words", "not words")
    return caution


def _check_lengths(section: Section, short: str, full: str) -> None:
    if len(short) > LONGEST_SHORT:
        section.problem(
            section.spot_of("short"),
            f"'short' has {len(short)} signs",
            f"keep it to {LONGEST_SHORT}, it stands on a card",
        )
    for sentence in sentences(full):
        if len(sentence.split()) > LONGEST_SENTENCE:
            section.problem(
                section.spot_of("full"),
                f"a sentence of 'full' has {len(sentence.split())} words",
                f"keep each to {LONGEST_SENTENCE}",
            )


def sentences(text: str) -> tuple[str, ...]:
    """The sentences of a text.

    >>> sentences("Wait. Then open! Is it done?")
    ('Wait.', 'Then open!', 'Is it done?')
    """
    return tuple(re.split(r"(?<=[.!?])\s+", text.strip()))
