"""Preferments as a lesson writes them, in any of the trade's three ways of stating how much, and soakers line by line."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from classpack.errors import Problem
from classpack.model.formula import (
    LINE_BY_LINE,
    PREFERMENT_KINDS,
    STATED_AS,
    FormulaLine,
    Preferment,
    PrefermentKind,
    Share,
    prefermented_percents,
)
from classpack.model.larder import Larder
from classpack.model.method import Placeholder
from classpack.quantities import (
    NotUnderstood,
    parse_celsius,
    parse_minutes,
    parse_minutes_span,
    parse_percent,
    plain,
)
from classpack.reading.formula_section import known_ingredient
from classpack.reading.method_lines import read_step_text
from classpack.reading.plausible import RIPENING
from classpack.reading.sections import Section, parsed
from classpack.reading.yaml_lines import Node, Text

_WEIGHT = re.compile(
    r"(?P<percent>[\d.]+\s*%)\s+of\s+(?:all\s+)?(?:the\s+)?(?P<final>final\s+)?flour"
)
_HOW_MUCH = (
    "'pre-fermented flour: 30 %', or its weight, as in 'weight: 36 % of all the flour' "
    "or 'weight: 45 % of the final flour'"
)


@dataclass(frozen=True, slots=True)
class _Draft:
    """A preferment whose flour is still to be worked out. ``own`` lines are percent of its own flour, a soaker's of all."""

    key: Text
    kind: PrefermentKind
    share: Share | None
    own: tuple[FormulaLine, ...]
    ripe_min: tuple[Fraction, Fraction]
    ripe_c: Fraction
    culture_percent: Fraction
    text: tuple[str | Placeholder, ...]
    out_before_min: Fraction


def read_preferments(
    section: Section, total: tuple[FormulaLine, ...], larder: Larder
) -> tuple[Preferment, ...]:
    """The ``preferments`` of the base dough's ``section``: each a part of the ``total`` formula, never added to it."""
    drafts = [
        draft
        for key, node in section.fields("preferments")
        if (draft := _read_one(key, node, total, larder, section.problems))
    ]
    soaked = [line for one in drafts if one.share is None for line in one.own]
    flour = sum((x.percent for x in soaked if larder[x.ingredient].kind == "flour"), Fraction(0))
    stated = [one.share for one in drafts if one.share]
    shares = iter(prefermented_percents(stated, flour))
    found = []
    for draft in drafts:
        part = next(shares) if draft.share else Fraction(100)
        if part <= 0:
            section.problem(
                draft.key.spot,
                "the preferments leave no flour for the final dough",
                "a preferment is part of the formula; take less in it",
            )
            continue
        lines = tuple(FormulaLine(x.ingredient, x.percent * part / 100) for x in draft.own)
        found.append(
            Preferment(
                name=draft.key.value,
                kind=draft.kind,
                lines=lines,
                ripe_min=draft.ripe_min,
                ripe_c=draft.ripe_c,
                culture_percent=draft.culture_percent,
                stated_as=draft.share.stated_as if draft.share else LINE_BY_LINE,
                stated_percent=draft.share.percent if draft.share else Fraction(0),
                text=draft.text,
                out_before_min=draft.out_before_min,
                spot=draft.key.spot,
            )
        )
    _check(total, tuple(found), section.problems)
    return tuple(found)


def _read_one(
    key: Text, node: Node, total: tuple[FormulaLine, ...], larder: Larder, problems: list[Problem]
) -> _Draft | None:
    section = Section(node, f"the preferment '{key.value}'", problems)
    before = len(problems)
    if larder.get(key.value) is not None:
        section.problem(
            key.spot,
            f"the preferment '{key.value}' has the name of an ingredient in the larder",
            f"give it one of its own, as in 'our {key.value}'",
        )
    kind = section.choice("kind", PREFERMENT_KINDS, f"one of {', '.join(PREFERMENT_KINDS)}")
    ripe = section.read(
        "ripens",
        lambda t: parse_minutes_span(t, "'ripens'", "12-16 h"),
        "how long it ripens, as in 'ripens: 12-16 h'",
    )
    ripe_c = section.read(
        "at",
        RIPENING.of(lambda t: parse_celsius(t, "'at'", "20 C"), "'at'"),
        "at what temperature, as in 'at: 20 C'",
    )
    culture = section.read("culture", lambda t: parse_percent(t, "the culture", "20 %"))
    out_before = section.read(
        "out of the fridge before",
        lambda t: parse_minutes(t, "'out of the fridge before'", "60 min"),
    )
    stated = None
    if section.has("holds") or (kind == "soaker" and not section.has("pre-fermented flour")):
        own = _read_holds(section, larder)
        if kind not in ("", "soaker"):
            section.problem(
                section.spot_of("holds"),
                f"the {kind} '{key.value}' is written line by line",
                "only a soaker is; write 'pre-fermented flour' and 'hydration' instead",
            )
    else:
        stated = _read_how_much(section)
        own = _read_own(section, key, total, larder)
    text = _read_text(section, own, len(problems) == before) if section.has("text") else ()
    kinds = {larder[line.ingredient].kind for line in own}
    if kind == "soaker" and (culture or section.has("yeast")):
        section.problem(
            key.spot,
            f"the soaker {key.value} holds yeast",
            "leave the yeast out or call it a sponge",
        )
    dead = kind != "soaker" and not culture and not kinds & {"yeast", "starter"}
    if dead and len(problems) == before:
        section.problem(
            key.spot,
            f"nothing in {key.value} ferments",
            "write its yeast or its ripe culture, of its own flour, as in 'yeast: 0.1 %' or 'culture: 20 %'",
        )
    section.close()
    if len(problems) > before or not kind or ripe is None or ripe_c is None:
        return None
    weight = sum((line.percent for line in own), Fraction(0))
    share = Share(*stated, weight) if stated else None
    return _Draft(
        key, kind, share, own, ripe, ripe_c, culture or Fraction(0), text, out_before or Fraction(0)
    )


def _read_how_much(section: Section) -> tuple[Fraction, str] | None:
    """The percentage as written, and what it is a share of."""
    if section.has("weight"):
        if section.has("pre-fermented flour"):
            section.raw("pre-fermented flour")
            section.problem(
                section.spot_of("weight"),
                f"{section.what} states both its weight and its flour",
                "keep one: they must not disagree",
            )
        return section.read("weight", _parse_weight)
    flour = section.read("pre-fermented flour", _above_0_to_100_percent, _HOW_MUCH)
    section.asked.add("weight")
    return None if flour is None else (flour, STATED_AS[0])


def _parse_weight(text: str) -> tuple[Fraction, str]:
    match = _WEIGHT.fullmatch(text)
    if match is None:
        raise NotUnderstood(
            f"the weight is '{text}'",
            "say of which flour, as in '36 % of all the flour' or '45 % of the final flour'",
        )
    percent = parse_percent(match["percent"], "the weight", "36 % of all the flour")
    if percent == 0:
        raise NotUnderstood(
            f"the weight is '{text}'", "take the preferment away, or write more than nothing"
        )
    return percent, STATED_AS[2] if match["final"] else STATED_AS[1]


def _above_0_to_100_percent(text: str) -> Fraction:
    percent = parse_percent(text, "the pre-fermented flour", "30 %")
    if not 0 < percent <= 100:
        raise NotUnderstood(
            f"the pre-fermented flour is '{text}'",
            "it is a part of the whole flour: more than 0 %, at most 100 %",
        )
    return percent


# ---------------------------------------------------------------- what is in it


def _read_own(
    section: Section, key: Text, total: tuple[FormulaLine, ...], larder: Larder
) -> tuple[FormulaLine, ...]:
    """Flours, water, yeast and what else is in it, in percent of its own flour."""
    hydration = section.read(
        "hydration",
        lambda t: parse_percent(t, "the hydration", "100 %"),
        "'hydration: 100 %' (of its own flour)",
    )
    yeast = section.read("yeast", lambda t: parse_percent(t, "the yeast", "0.1 %"))
    lines = _flours(section, total, larder)
    if hydration:
        lines += _from_total("water", hydration, total, larder, key, section.problems)
    if yeast:
        lines += _from_total("yeast", yeast, total, larder, key, section.problems)
    lines += _lines(section, "also in it", larder)
    return tuple(lines)


def _read_holds(section: Section, larder: Larder) -> tuple[FormulaLine, ...]:
    """A soaker's lines, in percent of all the flour."""
    section.raw(
        "holds",
        "what is soaked, in percent of all the flour, as in 'holds:' and below it 'water: 12 %'",
    )
    for name in ("hydration", "flours", "also in it", "weight", "pre-fermented flour"):
        if section.has(name):
            section.raw(name)
            section.problem(
                section.spot_of(name),
                f"{section.what} has 'holds' and '{name}'",
                "'holds' says everything in it; take the other away",
            )
    section.asked.add("yeast")
    lines = _lines(section, "holds", larder)
    if (
        section.has("holds")
        and not any(larder[x.ingredient].kind == "water" for x in lines)
        and lines
    ):
        section.problem(
            section.spot_of("holds"), f"{section.what} has no water to soak in", "add its water"
        )
    return tuple(lines)


def _lines(section: Section, name: str, larder: Larder) -> list[FormulaLine]:
    lines = []
    for key, node in section.fields(name):
        percent = parsed(
            node,
            key.value,
            partial(parse_percent, what=key.value, example="10 %"),
            section.problems,
        )
        if known_ingredient(key, larder, section.problems) and percent:
            lines.append(FormulaLine(key.value, percent))
    return lines


def _flours(section: Section, total: tuple[FormulaLine, ...], larder: Larder) -> list[FormulaLine]:
    written = section.fields("flours")
    if not written:
        flours = [line for line in total if larder[line.ingredient].kind == "flour"]
        most = max(flours, key=lambda line: line.percent, default=None)
        return [FormulaLine(most.ingredient, Fraction(100))] if most else []
    found = []
    for key, node in written:
        part = parsed(
            node,
            key.value,
            partial(parse_percent, what=key.value, example="100 %"),
            section.problems,
        )
        if known_ingredient(key, larder, section.problems) and part is not None:
            found.append(FormulaLine(key.value, part))
    if len(found) == len(written) and sum((line.percent for line in found), Fraction(0)) != 100:
        section.problem(
            section.spot_of("flours"),
            "the flours of the preferment do not add up to 100",
            "they are percent of the preferment's own flour",
        )
    return found


def _from_total(
    kind: str,
    percent: Fraction,
    total: tuple[FormulaLine, ...],
    larder: Larder,
    key: Text,
    problems: list[Problem],
) -> list[FormulaLine]:
    for line in total:
        if larder[line.ingredient].kind == kind:
            return [FormulaLine(line.ingredient, percent)]
    problems.append(
        Problem(
            key.spot,
            f"{key.value} needs {kind}, the formula has none",
            f"add {kind} to the formula",
        )
    )
    return []


def _read_text(
    section: Section, own: tuple[FormulaLine, ...], whole: bool
) -> tuple[str | Placeholder, ...]:
    node = section.raw("text")
    if not isinstance(node, Text) or not node.value:
        section.problem(
            section.spot_of("text"),
            "'text' is not a text",
            "put a sentence that starts with a brace in quotes",
        )
        return ()
    known = [line.ingredient for line in own] if whole else None
    return read_step_text(node, known, section.problems)


def _check(
    total: tuple[FormulaLine, ...], preferments: tuple[Preferment, ...], problems: list[Problem]
) -> None:
    """No preferment, and not all of them together, may take more of anything than the formula has."""
    left = {line.ingredient: line.percent for line in total}
    for one in preferments:
        for line in one.lines:
            has = left.get(line.ingredient, Fraction(0))
            if line.percent > has and one.spot:
                whole = next((x.percent for x in total if x.ingredient == line.ingredient), has)
                said = "the whole formula has" if has == whole else "the others leave"
                problems.append(
                    Problem(
                        one.spot,
                        f"{one.name} takes {plain(line.percent)} % {line.ingredient}, {said} {plain(has)} %",
                        "a preferment is part of the formula, not added to it",
                    )
                )
            left[line.ingredient] = has - line.percent
