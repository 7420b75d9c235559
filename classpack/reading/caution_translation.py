"""The catalogue of cautions in another language: its texts only.

Which caution fires, its signal word, its sign, its place and its sources are those of the package's catalogue and cannot be
translated away; a text that is missing is a problem, never an English one. Words of that language are added to each trigger,
so that the second net holds in it too; ``stems`` are looked for inside words (``ofen`` in ``Backofen``).
"""

from __future__ import annotations

from dataclasses import replace

from classpack.errors import LessonError, Problem, Spot
from classpack.model.safety import Catalogue, Caution, FirstAid, Settled, Trigger
from classpack.reading.caution_file import LONGEST_SENTENCE, sentences
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import Text, read_nodes

LONGEST_SHORT = 80
"""Signs of a card's line: more than the 70 of English, since other languages need more for the same."""


def translated(catalogue: Catalogue, text: str, file: str) -> Catalogue:
    """``catalogue`` with the texts of ``text``.

    Raises:
        LessonError: with every text that is missing, too long or not known.
    """
    problems: list[Problem] = []
    top = Section(
        read_nodes(text, file, soft_hyphens=True), "the translation", problems, Spot(file, 1)
    )
    language = top.text("language", "the language, as in 'language: de'")
    reviewed = top.raw("reviewed by", "'reviewed by: \"\"' until a person signs")
    cautions = _within(top, "cautions")
    aids = _within(top, "first aid")
    settled = _within(top, "settled")
    triggers = _within(top, "triggers")
    idioms = _small(top, "idioms")
    ordinary = _small(top, "ordinary words")
    found = replace(
        catalogue,
        cautions=tuple(_caution(one, cautions) for one in catalogue.cautions),
        triggers=tuple(_trigger(one, triggers) for one in catalogue.triggers),
        first_aid=tuple(_aid(one, aids) for one in catalogue.first_aid),
        settled=tuple(_settled(one, settled) for one in catalogue.settled),
        idioms=(*catalogue.idioms, *idioms),
        ordinary=(*catalogue.ordinary, *ordinary),
        language=language,
        reviewed_by=reviewed.value if isinstance(reviewed, Text) else "",
    )
    for section in (cautions, aids, settled, triggers, top):
        section.close()
    if problems:
        raise LessonError(problems)
    return found


def _within(top: Section, name: str) -> Section:
    found = top.section(name, f"'{name}'", f"its texts below '{name}:'")
    return found or Section(None, f"'{name}'", top.problems, top.spot)


def _caution(one: Caution, cautions: Section) -> Caution:
    section = cautions.section(one.id, f"caution '{one.id}'", f"its texts below '{one.id}:'")
    if section is None:
        return one
    short = section.text("short", "the card's line")
    full = section.text("full", "the text for station sheets")
    who = section.text("at risk", "who is at risk")
    named = section.text("named", "its line with {names}" if one.named else "")
    last = section.text("named last", "its line with {names}" if one.named_last else "")
    controls = tuple(text.value for text in section.texts("controls", "what makes it safer"))
    section.close()
    if controls and len(controls) != len(one.controls):
        section.problem(
            section.spot_of("controls"),
            f"'controls' has {len(controls)} lines",
            f"translate all {len(one.controls)}, in the same order",
        )
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
    return replace(
        one, short=short, full=full, who=who, controls=controls, named=named, named_last=last
    )


def _aid(one: FirstAid, aids: Section) -> FirstAid:
    section = aids.section(one.id, f"first aid '{one.id}'", f"its texts below '{one.id}:'")
    if section is None:
        return one
    title = section.text("title", "what happened")
    card = section.text("card", "the line for a card")
    steps = tuple(step.value for step in section.texts("steps", "what to do, step by step"))
    section.close()
    if steps and len(steps) != len(one.steps):
        section.problem(
            section.spot_of("steps"),
            f"'steps' has {len(steps)} lines",
            f"translate all {len(one.steps)}, in the same order",
        )
    return replace(one, title=title, card=card, steps=steps)


def _settled(one: Settled, settled: Section) -> Settled:
    section = settled.section(one.topic, f"'{one.topic}'", f"its texts below '{one.topic}:'")
    if section is None:
        return one
    published = section.text("published", "what the published rules say")
    rule = section.text("rule", "the rule that is printed")
    section.close()
    return replace(one, published=published, rule=rule)


def _trigger(one: Trigger, triggers: Section) -> Trigger:
    """Words are needed where the English trigger has some: otherwise the net has a hole in this language."""
    needed = f"'words' or 'stems' below '{one.id}:'" if one.words else ""
    section = triggers.section(one.id, f"trigger '{one.id}'", needed)
    if section is None:
        return one
    words = _small(section, "words")
    stems = _small(section, "stems")
    near_heat = _small(section, "near heat")
    near_heat_stems = _small(section, "near heat stems")
    without = _small(section, "not words")
    not_beside = _small(section, "not beside")
    section.close()
    return replace(
        one,
        words=(*one.words, *words),
        not_words=(*one.not_words, *without),
        stems=stems,
        near_heat=(*one.near_heat, *near_heat),
        near_heat_stems=near_heat_stems,
        not_beside=(*one.not_beside, *not_beside),
    )


def _small(section: Section, name: str) -> tuple[str, ...]:
    return tuple(word.value.lower().replace("’", "'") for word in section.texts(name))
