"""Safety as values: the catalogue of cautions, what fired at a step and why, and where each one is printed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal, get_args

from classpack.errors import Spot

Severity = Literal["NOTICE", "CAUTION", "WARNING", "DANGER"]
SEVERITIES: tuple[Severity, ...] = get_args(Severity)
"""Signal words, mildest first: ANSI Z535.4-2007 as a label maker quotes it; ISO 3864-2:2016 gives WARNING etc. alike."""


Audience = Literal["learner", "tutor", "both"]
AUDIENCES: tuple[Audience, ...] = get_args(Audience)
"""Whose paper a caution may stand on; a ``tutor`` caution stands on the tutor's sheet only."""

CautionPlace = Literal["step", "station", "home", "wall"]
PLACES: tuple[CautionPlace, ...] = get_args(CautionPlace)
"""Where a learner's caution belongs: before its step on the card, on the station sheet, at the card's end, or on the wall sheet
where it holds for everybody all day."""

Checked = Literal["read", "read second-hand", "memory"]
CHECKED: tuple[Checked, ...] = get_args(Checked)
"""How far a statement was checked: seen at the publisher, seen as reported by another, or not seen."""

HAZARDS = (
    "heat", "sharp", "machine", "electric", "dust", "floor", "lifting", "food", "allergen", "chemical", "people",
)  # fmt: skip
"""Kinds of hazard, as a risk assessment sorts them."""

HARMS = (
    "hot oil", "flame and gas", "steam", "hot liquid", "moving parts", "electric", "chemicals", "hot surface", "something hot", "hot food", "blade",
    "raw egg and meat", "time and temperature", "raw flour", "lifting", "slips", "dust",
)  # fmt: skip
"""What can hurt, the worst first by what it does to a person in a minute: project's judgement, no source. A step that poses one of
them fires a caution that guards against the same one; a caution against another does not answer for it."""

HOT_HARMS = (
    "hot oil",
    "flame and gas",
    "steam",
    "hot liquid",
    "hot surface",
    "something hot",
    "hot food",
)
"""``something hot`` is what the words do not say more of: a caution against any of the others before it answers for it."""

NOTHING = "nothing"
"""What ``does`` says where a word only looks dangerous."""

HEALTH_GROUPS = ("pregnant", "older", "immune-weak", "has-asthma")
"""Groups that are health data: they raise a signal word on the tutor's confidential sheet only, never on shared paper."""

GROUPS = ("children", "floor-mixer", *HEALTH_GROUPS)
"""Groups for whom a signal word is raised."""

RESERVED = ("hot-oven", "oven-door-steam")
"""Always printed on the card at every loading, baking and taking-out; they cannot be moved or turned off."""

TUTOR_STEAM = "steam-pour-water"
"""Holds a place on the card at the loading where the tutor adds steam; it cannot be moved or turned off either."""

_WORD = re.compile(r"[^\W_]+(?:['-][^\W_]+)*|[.;:!?]")


@lru_cache(maxsize=4096)
def words_of(text: str) -> tuple[str, ...]:
    """The words of a text in small letters, as cautions look for them; the end of a sentence counts as a word.

    >>> words_of("Pre-heat the oven. Baker’s per cent")
    ('pre-heat', 'the', 'oven', '.', "baker's", 'per', 'cent')
    """
    return tuple(_WORD.findall(text.lower().replace("’", "'")))


def severity_rank(word: Severity) -> int:
    """0 for NOTICE up to 3 for DANGER."""
    return SEVERITIES.index(word)


@dataclass(frozen=True, slots=True)
class Source:
    """Where a statement comes from. ``body`` is who publishes it; ``year`` as printed, may be empty."""

    id: str
    title: str
    body: str
    year: str
    checked: Checked

    def __str__(self) -> str:
        return ", ".join(part for part in (self.body, self.title, self.year) if part)


@dataclass(frozen=True, slots=True)
class FirstAid:
    """What to do when it happened: one line for a card and the steps for the wall."""

    id: str
    title: str
    card: str
    steps: tuple[str, ...]
    sources: tuple[str, ...]
    checked: Checked


@dataclass(frozen=True, slots=True)
class Settled:
    """Where published rules differ: what they say, and the stricter rule that is printed."""

    topic: str
    published: str
    rule: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Trigger:
    """What makes a caution fire. ``words`` are looked for in step text as whole words, small letters; ``not_words`` are
    taken out of the text first. ``near_heat`` are words that say so only at a hot stage ("take out"). ``said`` are other names a
    lesson's ``does`` may use for it. ``stems`` are looked for inside words, for languages that write words together.

    ``harm`` is which of :data:`HARMS` it poses. One that ``asks`` fires nothing: where nothing guards against its harm, the
    tutor is asked, and ``asks`` is what ``does`` may then say.
    """

    id: str
    when: str
    words: tuple[str, ...] = ()
    not_words: tuple[str, ...] = ()
    said: tuple[str, ...] = ()
    stems: tuple[str, ...] = ()
    near_heat: tuple[str, ...] = ()
    near_heat_stems: tuple[str, ...] = ()
    not_beside: tuple[str, ...] = ()
    harm: str = ""
    asks: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)

    @property
    def hot(self) -> bool:
        """Does it tell of heat?"""
        return self.harm in HOT_HARMS

    @property
    def names(self) -> tuple[str, ...]:
        """What ``does`` may call it, plain words first."""
        return (self.id.replace("-", " "), self.id, *self.said)


@dataclass(frozen=True, slots=True)
class Caution:
    """One safety sentence.

    ``short`` is the card's line (at most 70 signs), ``full`` stands on station sheets (sentences of at most 25 words),
    ``controls`` are the tutor's, strongest first. ``kept`` cautions (food safety of toppings, the first washing of hands)
    are never moved off the card. A ``fallback`` fires only where no other caution of its hazard does. ``own`` is the tutor's own.
    ``guards`` are the :data:`HARMS` it guards against. ``named`` is its line where its ingredients are known, ``named_last`` where
    besides one station alone uses them, after everybody else's toppings; both with ``{names}``, the latter with ``{seats}`` and ``{clock}``.
    """

    id: str
    hazard: str
    triggers: tuple[str, ...]
    severity: Severity
    sign: str
    short: str
    full: str
    who: str
    controls: tuple[str, ...]
    sources: tuple[str, ...]
    checked: Checked
    audience: Audience = "both"
    place: CautionPlace = "step"
    combine_all: bool = False
    raise_for: tuple[tuple[str, Severity], ...] = ()
    alt_sign: str = ""
    first_aid: str = ""
    kept: bool = False
    fallback: bool = False
    own: bool = False
    guards: tuple[str, ...] = ()
    named: str = ""
    named_last: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)

    @property
    def reserved(self) -> bool:
        """Does it hold a place at every loading and taking-out?"""
        return self.id in RESERVED

    @property
    def may_be_moved(self) -> bool:
        """May the tutor move it from the card to the station sheet?"""
        return not (self.reserved or self.kept or self.id == TUTOR_STEAM)

    @property
    def may_be_turned_off(self) -> bool:
        """May the tutor turn it off, with a reason? Not what guards ovens, toppings, allergies or lives."""
        return self.may_be_moved and self.hazard != "allergen" and self.severity != "DANGER"

    def severity_for(self, groups: frozenset[str]) -> Severity:
        """The signal word when these ``groups`` (of :data:`GROUPS`) apply: the highest of them."""
        words = [self.severity, *(word for group, word in self.raise_for if group in groups)]
        return max(words, key=severity_rank)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Cautions in file order, triggers, first aid and sources. ``reviewed_by`` is who signed for a translation: the
    wording written for this program (``language`` ``en``) needs nobody; any other language empty means 'not reviewed'.
    ``idioms`` are ways of speaking that name a hazard and mean none; ``ordinary`` words that are one letter off a hazard's."""

    cautions: tuple[Caution, ...]
    triggers: tuple[Trigger, ...]
    first_aid: tuple[FirstAid, ...]
    sources: tuple[Source, ...]
    settled: tuple[Settled, ...] = ()
    idioms: tuple[str, ...] = ()
    ordinary: tuple[str, ...] = ()
    language: str = "en"
    reviewed_by: str = ""
    _caution: dict[str, Caution] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )
    _trigger: dict[str, Trigger] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )
    _phrases: dict[tuple[str, ...], list[tuple[Trigger, bool]]] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )
    _hits: dict[tuple[str, bool], tuple[tuple[Trigger, str], ...]] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )
    _order: dict[str, int] = field(init=False, default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        for number, caution in enumerate(self.cautions):
            self._caution[caution.id] = caution
            self._order[caution.id] = number
        for trigger in self.triggers:
            for name in trigger.names if not trigger.asks else ():
                self._trigger.setdefault(name, trigger)

    @property
    def reviewed(self) -> bool:
        """Has a person signed for the wording?"""
        return self.language == "en" or bool(self.reviewed_by)

    def caution(self, name: str) -> Caution | None:
        """The caution with this id, or None."""
        return self._caution.get(name)

    def order(self, name: str) -> int:
        """The place of a caution in the file."""
        return self._order[name]

    def trigger(self, name: str) -> Trigger | None:
        """The trigger a lesson calls ``name`` (``boiling water``, ``hot oil``, ``knife``), or None."""
        return self._trigger.get(name.strip().lower())

    def hits(self, text: str, near_heat: bool = True) -> tuple[tuple[Trigger, str], ...]:
        """Triggers whose words stand in ``text``, each with the first of its words, in file order.

        A word inside one of the trigger's ``not_words`` does not count ("oven off" is no hot oven), nor one inside an idiom.
        Without ``near_heat`` the words that need a hot stage do not count either.
        """
        key = text, near_heat
        if key in self._hits:
            return self._hits[key]
        if not self._phrases:
            for trigger in self.triggers:
                for phrase in (*trigger.words, *trigger.near_heat):
                    near = phrase not in trigger.words
                    self._phrases.setdefault(words_of(phrase), []).append((trigger, near))
        words = self.plain_words(text)
        longest = max(map(len, self._phrases), default=0)
        found: dict[str, str] = {}
        for start in range(len(words)):
            for end in range(start + 1, min(start + longest, len(words)) + 1):
                for trigger, near in self._phrases.get(words[start:end], ()):
                    if trigger.id in found or (near and not near_heat):
                        continue
                    if not _vetoed(words, start, end, trigger):
                        found[trigger.id] = " ".join(words[start:end])
        for trigger in self.triggers:
            stems = (*trigger.stems, *(trigger.near_heat_stems if near_heat else ()))
            if stems and trigger.id not in found:
                found |= _inside(words, trigger, stems)
        result = tuple((one, found[one.id]) for one in self.triggers if one.id in found)
        self._hits[key] = result
        return result

    def plain_words(self, text: str) -> tuple[str, ...]:
        """The words of a text, an idiom each a full stop: what is said in passing burns nobody."""
        words = words_of(text)
        for idiom in map(words_of, self.idioms):
            if not idiom or idiom[0] not in words:
                continue
            for start in range(len(words) - len(idiom), -1, -1):
                if words[start : start + len(idiom)] == idiom:
                    words = (*words[:start], ".", *words[start + len(idiom) :])
        return words

    @property
    def trigger_names(self) -> tuple[str, ...]:
        """What ``does`` may say, in file order."""
        return (*(one.names[0] for one in self.triggers if not one.asks), NOTHING)

    def aid(self, name: str) -> FirstAid:
        """The first aid called ``name``.

        Raises:
            KeyError: there is none.
        """
        return next(one for one in self.first_aid if one.id == name)

    def source(self, name: str) -> Source:
        """The source called ``name``.

        Raises:
            KeyError: there is none.
        """
        for one in self.sources:
            if one.id == name:
                return one
        raise KeyError(name)


def _inside(words: tuple[str, ...], trigger: Trigger, stems: tuple[str, ...]) -> dict[str, str]:
    """The first word that one of a trigger's stems stands in, by the trigger's id."""
    for number, word in enumerate(words):
        there = any(stem in word for stem in stems)
        if there and not _vetoed(words, number, number + 1, trigger):
            return {trigger.id: word}
    return {}


def _vetoed(words: tuple[str, ...], start: int, end: int, trigger: Trigger) -> bool:
    for phrase in map(words_of, trigger.not_words):
        for first in range(max(0, start - len(phrase) + 1), end):
            if words[first : first + len(phrase)] == phrase:
                return True
    if not trigger.not_beside:
        return False
    before = [n for n in range(start) if words[n] in ".;:!?"]
    after = [n for n in range(end, len(words)) if words[n] in ".;:!?"]
    sentence = words[before[-1] + 1 if before else 0 : after[0] if after else len(words)]
    return any(f" {phrase} " in f" {' '.join(sentence)} " for phrase in trigger.not_beside)


@dataclass(frozen=True, slots=True)
class PlaceFacts:
    """What of the place and the class fires or raises cautions: nothing here is health data, so shared paper may depend on it.

    ``ingredients`` gives, for each ingredient's name, the triggers it carries (``egg``, ``perishable``, ``nuts-seeds`` ...).
    ``mixed_by`` is ``hand`` or the mixer; ``children`` is True when anyone under 16 takes part;
    ``gluten_room`` when the class file answers for a room without gluten.
    """

    gas: bool = False
    glass_door: bool = False
    floor_mixer: bool = False
    built_in_steam: bool = False
    mixed_by: str = "hand"
    children: bool = False
    gluten_room: bool = False
    ingredients: Mapping[str, frozenset[str]] = field(default_factory=dict)

    @property
    def groups(self) -> frozenset[str]:
        """The groups that raise signal words on shared paper."""
        found = {"children": self.children, "floor-mixer": self.floor_mixer}
        return frozenset(name for name, holds in found.items() if holds)


@dataclass(frozen=True, slots=True, order=True)
class Why:
    """Why a caution fired: ``kind`` is ``stage``, ``stated``, ``word``, ``kitchen``, ``people``, ``ingredient`` or ``class``."""

    kind: str
    what: str

    def __str__(self) -> str:
        return f"{self.kind} '{self.what}'"


@dataclass(frozen=True, slots=True)
class FiredCaution:
    """A caution that fired, with the signal word it is printed with and every reason. ``today`` is its line with today's
    ingredients, seats and time, where a sheet knows them."""

    caution: Caution
    severity: Severity
    why: tuple[Why, ...]
    today: str = ""

    @property
    def line(self) -> str:
        """What is printed of it beside its sign."""
        return self.today or self.caution.short

    @property
    def id(self) -> str:
        """The caution's id."""
        return self.caution.id


@dataclass(frozen=True, slots=True)
class TurnedOff:
    """A caution that fired and was turned off by the tutor, with the reason that is printed."""

    fired: FiredCaution
    reason: str


@dataclass(frozen=True, slots=True)
class Placed:
    """Where the cautions of one product are printed.

    ``before[n]`` stand before step ``n`` on the card, ``at_home`` at the card's end, ``station`` on the station sheet,
    ``tutor`` on the tutor's sheet; ``off`` were turned off with a reason; ``earlier`` are already printed further up the
    same card; ``wall`` hang on the wall sheet. Each id stands in one of these places only (reserved ones before several steps); together they are all
    that fired.
    """

    before: tuple[tuple[FiredCaution, ...], ...]
    at_home: tuple[FiredCaution, ...]
    station: tuple[FiredCaution, ...]
    tutor: tuple[FiredCaution, ...]
    off: tuple[TurnedOff, ...]
    earlier: tuple[FiredCaution, ...] = ()
    wall: tuple[FiredCaution, ...] = ()

    @property
    def on_card(self) -> frozenset[str]:
        """Ids printed on the card."""
        groups = (*self.before, self.at_home)
        return frozenset(one.id for group in groups for one in group)

    @property
    def all_ids(self) -> frozenset[str]:
        """Ids of everything that was placed or turned off."""
        rest = frozenset(one.id for one in (*self.station, *self.tutor, *self.earlier, *self.wall))
        return self.on_card | rest | frozenset(one.fired.id for one in self.off)


def ranked(group: Iterable[FiredCaution]) -> tuple[FiredCaution, ...]:
    """The highest word first, then what hurts worst, else as they came."""
    return tuple(sorted(group, key=lambda one: (-severity_rank(one.severity), harm_rank(one))))


def harm_rank(one: FiredCaution) -> int:
    """0 for the worst of what a caution guards against; an allergic reaction stands with poison, the rest comes last. Hands are
    washed before anything else."""
    if one.id == "wash-hands":
        return 0
    ranks = [HARMS.index(harm) for harm in one.caution.guards]
    if one.caution.hazard == "allergen":
        ranks.append(HARMS.index("chemicals"))
    return min(ranks, default=len(HARMS))


STORE_FILLED = "store-filled"
"""The caution of filled bread and chilled toppings on the way home."""


@dataclass(frozen=True, slots=True)
class ChilledBread:
    """One lot, in minutes from the start of the class: when it is out of the oven, when its two hours are over, and when it goes
    into the kitchen's fridge unless it is eaten (None: it goes home in time)."""

    bread: str
    station: str
    lot: int
    people: tuple[int, ...]
    out_min: int
    by_min: int
    fridge_min: int | None
