"""Which allergens a set of ingredients carries, what each region's law calls them, and how a label makes them stand out.

The vocabulary is :mod:`classpack.model.allergens`. Nothing here ever says that a food lacks something: an empty contains-line
is an empty text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from classpack.model.allergens import ALLERGENS, BY_ID, GROUPS, IDS, Allergen, label_name, listed
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Ingredient

__all__ = [
    "ALLERGENS",
    "BY_ID",
    "GROUPS",
    "IDS",
    "Allergen",
    "ContainsLine",
    "LabelSpan",
    "around",
    "carried",
    "contains_line",
    "in_order",
    "label_name",
    "listed",
    "may_contain_line",
    "members",
    "named_spans",
    "plain_text",
]

SHORTEST_PART = 3
"""Words up to this length are looked for as whole words in every language: German ``Ei`` is no part of ``Weizen``."""


@dataclass(frozen=True, slots=True)
class LabelSpan:
    """A run of text. ``emphasised`` asks for bold; where the law wants emphasis the text is in capitals as well."""

    text: str
    emphasised: bool = False


@dataclass(frozen=True, slots=True)
class ContainsLine:
    """What a product contains, by the names of one region's law.

    ``names`` are those the region lists. ``also`` are stated allergens it does not list: they do not belong in a
    contains-line there, and a card may still name them apart.
    """

    region: str
    names: tuple[str, ...]
    also: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """``Contains: Wheat, Egg.`` (UK, EU, US) or ``Contains wheat, gluten.`` (AU, NZ); empty when nothing is listed."""
        if not self.names:
            return ""
        lead = "Contains" if self.region in ("AU", "NZ") else "Contains:"
        return f"{lead} {', '.join(self.names)}."

    @property
    def spans(self) -> tuple[LabelSpan, ...]:
        """The same with every name emphasised."""
        if not self.names:
            return ()
        lead = "Contains " if self.region in ("AU", "NZ") else "Contains: "
        found = [LabelSpan(lead)]
        for number, name in enumerate(self.names):
            found += [LabelSpan(", ")] * (number > 0) + [LabelSpan(name, True)]
        return (*found, LabelSpan("."))


def carried(ingredients: Iterable[Ingredient]) -> frozenset[str]:
    """Every allergen that one of ``ingredients`` or a part of it carries."""
    found: set[str] = set()
    for one in ingredients:
        found |= one.allergens.union(*(part.carries for part in one.parts))
    return frozenset(found)


def in_order(ids: Iterable[str]) -> tuple[str, ...]:
    """Ids in the vocabulary's order, each once."""
    wanted = set(ids)
    return tuple(one for one in IDS if one in wanted)


def members(word: str) -> frozenset[str]:
    """The ids that a need's word stands for: one id, or all members of ``nuts`` or ``gluten``."""
    return frozenset(GROUPS.get(word, (word,) if word in BY_ID else ()))


def contains_line(ingredients: Iterable[Ingredient], region: str) -> ContainsLine:
    """The contains-line of a product made from ``ingredients``.

    In Australia and New Zealand a gluten cereal adds ``gluten`` (Food Standards Code, Standard 1.2.3). In the US the species
    of fish, crustacean or unusual milk replaces the group's name where the larder tells it (21 U.S.C. 343(w), from memory;
    FDA allergen guidance, edition 5, 2025).
    """
    used = tuple(ingredients)
    names: list[str] = []
    also: list[str] = []
    gluten = False
    for id in in_order(carried(used)):
        name = label_name(id, region)
        if not name:
            also.append(BY_ID[id].everyday)
            continue
        if gluten and not id.startswith("gluten:"):
            names.append("gluten")
            gluten = False
        names += _species(id, used) or [name] if region == "US" else [name]
        gluten = gluten or (region in ("AU", "NZ") and id.startswith("gluten:"))
    if gluten:
        names.append("gluten")
    return ContainsLine(region, tuple(dict.fromkeys(names)), tuple(also))


def _species(id: str, used: tuple[Ingredient, ...]) -> list[str]:
    if id not in ("fish", "crustaceans", "milk", "eggs"):
        return []
    group = label_name(id, "US")
    carriers = [one for one in used if id in one.allergens]
    names = [one.species[:1].upper() + one.species[1:] or group for one in carriers]
    return list(dict.fromkeys(names))


def may_contain_line(
    ids: Iterable[str], region: str, contained: Iterable[str] = (), language: Language = ENGLISH
) -> tuple[LabelSpan, ...]:
    """The tutor's own risk statement, ``May contain: ALMONDS.``: each named singly, what is contained anyway left out.

    Voluntary, and only after a risk assessment found what cannot be removed (FSA technical guidance, August 2023).
    """
    there = set(contained)
    names = [
        language.label(one, region) or language.allergen(one)
        for one in in_order(ids)
        if one not in there
    ]
    if not names:
        return ()
    found: list[LabelSpan] = []
    for number, name in enumerate(names):
        shown = name.lower() if region == "US" else name.upper()
        found += [LabelSpan(", ")] * (number > 0) + [LabelSpan(shown, region != "US")]
    return around(language.text("may contain", list="{list}"), found)


def around(text: str, spans: Iterable[LabelSpan]) -> tuple[LabelSpan, ...]:
    """``spans`` in the place of ``{list}`` in a text."""
    before, _, after = text.partition("{list}")
    return tuple(span for span in (LabelSpan(before), *spans, LabelSpan(after)) if span.text)


def named_spans(
    text: str, ids: Iterable[str], region: str, language: Language = ENGLISH
) -> tuple[tuple[LabelSpan, ...], frozenset[str]]:
    """``text`` with the words that name ``ids`` emphasised, and the ids that it names.

    Emphasis has two cues, capitals and ``emphasised``, so it survives plain text and black-and-white print (EU 1169/2011,
    Art. 21(1)(b): set apart by font, style or background). The US asks for none. Languages that write words together
    have the part of the word set apart: ``WEIZENmehl``.
    """
    marks: list[tuple[int, int]] = []
    named: set[str] = set()
    for id in ids:
        for word in language.words(id):
            sought = re.escape(word)
            if not language.allergens or len(word) <= SHORTEST_PART:
                sought = rf"(?<!\w){sought}(?!\w)"
            for match in re.finditer(sought, text, re.IGNORECASE):
                named.add(id)
                if not any(start < match.end() and match.start() < end for start, end in marks):
                    marks.append(match.span())
    if region == "US":
        return ((LabelSpan(text),) if text else ()), frozenset(named)
    spans: list[LabelSpan] = []
    at = 0
    for start, end in sorted(marks):
        if start > at:
            spans.append(LabelSpan(text[at:start]))
        spans.append(LabelSpan(text[start:end].upper(), True))
        at = end
    if at < len(text):
        spans.append(LabelSpan(text[at:]))
    return tuple(spans), frozenset(named)


def plain_text(spans: Iterable[LabelSpan]) -> str:
    """The text of the spans; the capitals stay."""
    return "".join(span.text for span in spans)
