"""The kitchen file: ovens, scales, tins and tools, and what the wall must say."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TypeVar

from classpack.errors import LessonError, Problem
from classpack.model.kitchen import OVEN_KINDS, Kitchen, Mixer, Oven, Scale, Tin, Tray
from classpack.model.own_measures import OwnMeasures
from classpack.quantities import (
    NotUnderstood,
    parse_cm,
    parse_grams,
    parse_minutes,
)
from classpack.reading.plausible import (
    BOWL_G,
    CLEARANCE_CM,
    MIXER_G,
    MOST_OF_A_KIND,
    OFFSET,
    TIN_ML,
    TRAY_CM,
    country,
    emergency_number,
)
from classpack.reading.sections import Section, nearest, parsed
from classpack.reading.vessel_lines import parse_sides_cm, parse_tin_size
from classpack.reading.yaml_lines import Node, Text, read_nodes

T = TypeVar("T")

_DEGREES = re.compile(r"(?P<sign>[+−-]?)\s?(?P<value>\d+(?:\.\d+)?)\s*°?\s?(?P<unit>[CF])")
_COUNTED = re.compile(r"(?P<count>\d{1,4})\s+(?:of|x)\s+(?P<size>.+)")
_SCALE = re.compile(
    r"(?:(?P<count>\d{1,4})\s*[x×]\s*)?(?P<step>[\d.]+\s*g)\s+steps?\s+to\s+(?P<most>[\d.]+\s*k?g)"
)


def read_kitchen(text: str, file: str, own: OwnMeasures | None = None) -> Kitchen:
    """The kitchen in ``text``; ``own`` is what the tutor's larder says of tins with a trade name.

    Raises:
        LessonError: with every problem found.
    """
    problems: list[Problem] = []
    top = Section(read_nodes(text, file), "the kitchen", problems)
    ovens = tuple(
        _read_oven(key, node, problems)
        for key, node in top.fields("ovens", "the ovens, each as a section below 'ovens:'")
    )
    if top.has("ovens") and not ovens:
        top.problem(
            top.spot_of("ovens"),
            "there is no oven",
            "write at least one, with its kind, shelves and hottest temperature",
        )
    scales = tuple(
        scale
        for entry in top.texts("scales", "the scales, each as '4 x 1 g steps to 5 kg'")
        if (scale := parsed(entry, "scales", _parse_scale, problems))
    )
    if top.has("scales") and not scales:
        top.problem(
            top.spot_of("scales"),
            "there is no scale that can be read",
            "write at least one, as in '4 x 1 g steps to 5 kg'",
        )
    kitchen = Kitchen(
        name=top.text("kitchen", "the kitchen's name, as in 'kitchen: The Net Loft'"),
        file=file,
        ovens=ovens,
        scales=tuple(sorted(scales, key=lambda one: one.step_g)),
        tins=tuple(
            replace(one, spot=spot)
            for key, node in top.fields("tins")
            for one, spot in [
                (
                    parsed(
                        node,
                        key.value,
                        partial(_parse_tin, key.value, own or OwnMeasures()),
                        problems,
                    ),
                    key.spot,
                )
            ]
            if one is not None
        ),
        trays=_read_counted(top, "trays", _parse_tray),
        mixers=tuple(_read_mixer(key, node, problems) for key, node in top.fields("mixers")),
        counts=_read_counts(top),
        circuits=tuple(
            (key.value, most)
            for key, node in top.fields("circuits")
            if (most := parsed(node, key.value, partial(_parse_circuit, key.value), problems))
            is not None
        ),
        sinks=top.whole("sinks", 0, 50),
        fridge_places=top.whole("fridge places", 0, 100) or 0,
        gas=top.yes_no("gas") or any(one.gas for one in ovens),
        bowl_capacity_g=top.read(
            "bowls hold",
            BOWL_G.of(partial(parse_grams, what="'bowls hold'", example="2 kg"), "'bowls hold'"),
        ),
        country=top.read("country", country) or "",
        emergency_number=top.read("emergency number", emergency_number) or "",
        address=top.text("address"),
        first_aider=top.text("first-aider"),
        first_aid_box=top.text("first-aid box"),
        fire_exit=top.text("fire exit"),
        spot=top.spot,
    )
    known = {key.value for key, _ in top.fields("circuits")}
    for oven in ovens:
        if oven.circuit and oven.circuit not in known and oven.spot:
            top.problem(
                oven.spot,
                f"oven {oven.name} is on a circuit '{oven.circuit}' that is not in 'circuits'",
                nearest(oven.circuit, known),
            )
    top.close()
    if problems:
        raise LessonError(problems)
    return kitchen


def _read_counted(top: Section, name: str, parse: Callable[[str, str], T]) -> tuple[T, ...]:
    found = (
        parsed(node, key.value, partial(parse, key.value), top.problems)
        for key, node in top.fields(name)
    )
    return tuple(one for one in found if one is not None)


def _read_oven(key: Text, node: Node, problems: list[Problem]) -> Oven:
    section = Section(node, f"oven {key.value}", problems, key.spot)
    offset = section.read("offset", _parse_offset)
    hottest, fahrenheit = section.read("hottest", _parse_hottest, "'hottest: 250 C'") or (
        Fraction(250),
        False,
    )
    step = section.read("dial step", partial(_parse_dial_step, fahrenheit))
    oven = Oven(
        name=key.value,
        kind=section.choice(
            "kind", OVEN_KINDS, "'kind: conventional', 'fan' or 'deck'", "conventional"
        ),
        places=section.whole("shelves", 1, 40, "how many shelves bake at once, as in 'shelves: 2'")
        or 1,
        hottest_c=hottest,
        offset_c=offset or Fraction(0),
        offset_measured=offset is not None,
        warm_up_min=section.read("warm-up", partial(_minutes, "warm-up", 180)) or Fraction(20),
        recovery_min=section.read("recovery", partial(_minutes, "recovery", 60)) or Fraction(5),
        soak_min=section.read("soak", partial(_minutes, "soak", 180)),
        stone=section.yes_no("stone"),
        clearance_cm=section.read(
            "clearance",
            CLEARANCE_CM.of(
                partial(parse_cm, what="the clearance", example="14 cm"), "the clearance"
            ),
        ),
        circuit=section.text("circuit"),
        gas=section.yes_no("gas"),
        glass_door=section.yes_no("glass door"),
        built_in_steam=section.yes_no("built-in steam"),
        fahrenheit=fahrenheit,
        dial_step=step or Fraction(25 if fahrenheit else 5),
        spot=key.spot,
    )
    section.close()
    return oven


def _minutes(name: str, most: int, text: str) -> Fraction:
    minutes = parse_minutes(text, f"'{name}'", "20 min")
    if minutes > most:
        raise NotUnderstood(f"'{name}' is '{text}'", f"an oven takes at most {most} min")
    return minutes


def _parse_offset(text: str) -> Fraction:
    match = _DEGREES.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(
            f"the offset is '{text}'",
            "write how much hotter the oven is than its dial, as in '+10 C' or '-5 C'",
        )
    value = Fraction(match["value"]) * (Fraction(5, 9) if match["unit"] == "F" else 1)
    value = -value if match["sign"] in ("-", "−") else value
    return OFFSET.check(value, text, "the offset")


def _parse_dial_step(fahrenheit: bool, text: str) -> Fraction:
    """Degrees between two settings of a dial, in the unit its last mark is written in."""
    match = _DEGREES.fullmatch(text.strip())
    unit = "F" if fahrenheit else "C"
    if match is None or match["sign"] or match["unit"] != unit or not 1 <= Fraction(match["value"]) <= 50:  # fmt: skip
        raise NotUnderstood(
            f"'dial step' is '{text}'",
            f"write the degrees between two settings, in the dial's own unit, as in '{25 if fahrenheit else 10} {unit}'",
        )
    return Fraction(match["value"])


def _parse_hottest(text: str) -> tuple[Fraction, bool]:
    """The last mark in °C, and whether the dial is in °F."""
    match = _DEGREES.fullmatch(text.strip())
    if match is None or match["sign"]:
        raise NotUnderstood(
            f"'hottest' is '{text}'", "write the highest mark on the dial, as in '250 C'"
        )
    value = Fraction(match["value"])
    celsius = (value - 32) * Fraction(5, 9) if match["unit"] == "F" else value
    if not 100 <= celsius <= 500:
        raise NotUnderstood(
            f"'hottest' is '{text}'", "ovens for bread reach between 100 C and 500 C"
        )
    return celsius, match["unit"] == "F"


def _parse_scale(text: str) -> Scale:
    match = _SCALE.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(
            f"a scale is '{text}'",
            "write how many, its step and its most, as in '4 x 1 g steps to 5 kg'",
        )
    scale = Scale(parse_grams(match["step"]), parse_grams(match["most"]), int(match["count"] or 1))
    if scale.count > MOST_OF_A_KIND:
        raise NotUnderstood(f"a scale is '{text}'", f"a kitchen has at most {MOST_OF_A_KIND}")
    if scale.capacity_g < scale.step_g * 100:
        raise NotUnderstood(
            f"a scale is '{text}'", "a kitchen scale weighs at least a hundred of its steps"
        )
    return scale


def _parse_count(name: str, text: str) -> int:
    if not re.fullmatch(r"0|[1-9][0-9]{0,3}", text):
        raise NotUnderstood(f"{name} is '{text}'", "write how many there are, from 0 to 9999")
    return int(text)


def _parse_circuit(name: str, text: str) -> int:
    most = _parse_count(name, text)
    if most == 0:
        raise NotUnderstood(
            f"the circuit '{name}' carries no oven", "write how many may be on at once, as in '1'"
        )
    return most


def _parse_tin(name: str, own: OwnMeasures, text: str) -> Tin:
    size, comma, high = text.partition(",")
    match = _COUNTED.fullmatch(size)
    if match is None:
        raise NotUnderstood(
            f"{name} is '{text}'",
            "write how many and the millilitres of water one holds, as in '12 of 2100 ml'",
        )
    tall = re.fullmatch(r"\s*(?P<cm>\S.*?)\s+high", high)
    if comma and tall is None:
        raise NotUnderstood(
            f"{name} is '{text}'",
            "after the comma stands its height, as in '12 of 2100 ml, 8 cm high'",
        )
    return Tin(
        name,
        TIN_ML.check(parse_tin_size(match["size"], own, name).volume_ml, match["size"], name),
        _count_of(match["count"], name),
        parse_cm(tall["cm"], name, "8 cm") if tall else None,
    )


def _parse_tray(name: str, text: str) -> Tray:
    match = _COUNTED.fullmatch(text)
    sides = parse_sides_cm(match["size"]) if match else None
    if match is None or sides is None:
        raise NotUnderstood(
            f"{name} is '{text}'", "write how many and their size, as in '8 of 30 x 40 cm'"
        )
    for side in sides:
        TRAY_CM.check(side, match["size"], name)
    return Tray(name, *sides, _count_of(match["count"], name))


def _count_of(text: str, name: str) -> int:
    count = int(text)
    if count > MOST_OF_A_KIND:
        raise NotUnderstood(
            f"there are {text} of {name}", f"a kitchen has at most {MOST_OF_A_KIND}"
        )
    return count


def _read_mixer(key: Text, node: Node, problems: list[Problem]) -> Mixer:
    section = Section(node, f"mixer {key.value}", problems, key.spot)
    mixer = Mixer(
        name=key.value,
        kind=section.choice("kind", ("bench", "floor"), "'kind: bench' or 'kind: floor'", "floor"),
        capacity_g=section.read(
            "holds",
            MIXER_G.of(partial(parse_grams, what="'holds'", example="3 kg"), "'holds'"),
            "how much dough it takes, as in 'holds: 3 kg'",
        )
        or Fraction(1000),
        count=section.whole("count", 1, 50) or 1,
    )
    section.close()
    return mixer


def _read_counts(top: Section) -> tuple[tuple[str, int], ...]:
    return tuple(
        (key.value, count)
        for key, node in top.fields("tools")
        if (count := parsed(node, key.value, partial(_parse_count, key.value), top.problems))
        is not None
    )
