"""Method steps as they are written in a lesson: one entry a stage, the stage's name as the first key."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import partial

from classpack.errors import Problem, Spot
from classpack.model.lesson import Bake
from classpack.model.method import (
    HANDS_STAGES,
    STEAM_METHODS,
    WAIT_STAGES,
    Demonstration,
    HandsStage,
    Placeholder,
    Step,
    WaitStage,
)
from classpack.model.taken import Taken
from classpack.quantities import (
    NotUnderstood,
    OvenHeat,
    parse_celsius_span,
    parse_minutes,
    parse_minutes_span,
    parse_oven_heat,
    parse_percent,
    plain,
)
from classpack.reading.plausible import BAKE_MIN, CORE, bake_range
from classpack.reading.sections import Section, nearest
from classpack.reading.sections import known as known_word
from classpack.reading.usual_values import usual_window
from classpack.reading.yaml_lines import Fields, Node, Text

WRITTEN_STAGES = tuple(s for s in (*HANDS_STAGES, *WAIT_STAGES) if s not in ("load", "take out"))
_BAKE = re.compile(r"(?P<time>.+?)\s+at\s+(?P<heat>.+)")
_KIND = re.compile(r"\b(?:conventional|fan|deck|gas)\b", re.IGNORECASE)
_PARTS = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class Method:
    """The steps of a method, its bake if it has one that can be read, how many are written, and where it is loaded."""

    steps: tuple[Step, ...]
    bake: Bake | None
    bakes: int = 0
    load_at: int = 0


def read_step_text(
    node: Text, known: Iterable[str] | None, problems: list[Problem]
) -> tuple[str | Placeholder, ...]:
    """Step text with its placeholders. A name that is not ``known`` is a problem at the text's line (None: not checked)."""
    names = None if known is None else list(known)
    pieces: list[str | Placeholder] = []
    at = 0
    for match in _PARTS.finditer(node.value):
        if match.start() > at:
            pieces.append(node.value[at : match.start()])
        name = match[1].strip()
        if names is not None and name not in names:
            problems.append(
                Problem(
                    node.spot,
                    f"'{{{match[1]}}}' names no ingredient of this bread",
                    nearest(name, names),
                )
            )
        pieces.append(Placeholder(name))
        at = match.end()
    pieces.append(node.value[at:])
    if any(isinstance(part, str) and ("{" in part or "}" in part) for part in pieces):
        problems.append(
            Problem(
                node.spot,
                "a brace stands alone",
                "write an ingredient's name in braces, as in '{water}', or no brace",
            )
        )
    return tuple(part for part in pieces if part != "")


def read_demonstration(section: Section | None) -> Demonstration | None:
    """What the tutor shows before a step."""
    if section is None:
        return None
    minutes = section.read(
        "minutes", lambda t: parse_minutes(t, "'minutes'", "5 min"), "'minutes: 5 min'"
    )
    show = section.text("show", "'show: what to show'")
    demonstration = Demonstration(
        minutes or Fraction(5), show, section.text("say"), section.text("watch")
    )
    section.close()
    return demonstration


@dataclass
class Usual:
    """What is usual for the bread whose steps are read, and the list of what was taken."""

    loss_percent: Fraction = Fraction(12)
    per_shelf: int = 1
    oven_kind: str = "conventional"
    taken: list[Taken] = field(default_factory=list)

    def take(self, section: Section, what: str, text: str) -> None:
        """Note a value that the step ``section`` does not say."""
        self.taken.append(
            Taken(f"{what} of {section.what.removeprefix('the ')}", text, section.spot)
        )


def read_method(
    items: Iterable[Node],
    what: str,
    known: Iterable[str] | None,
    problems: list[Problem],
    usual: Usual | None = None,
) -> Method:
    """All steps of a ``method`` list; ``known`` are the names its placeholders may use (None: any).

    Proofs without a window and bakes without loss, pieces a shelf or kind of oven have the ``usual`` ones, and it says so.
    """
    usual = usual or Usual()
    names = None if known is None else tuple(known)
    steps: list[Step] = []
    bakes: list[tuple[Bake | None, Spot]] = []
    load_at = 0
    for item in items:
        stage = _stage_of(item, what, problems)
        if stage is None:
            continue
        section = Section(item, f"the step '{stage}' of {what}", problems)
        if stage == "bake":
            found = _read_bake(section, names, usual)
            bakes.append((found[1] if found else None, section.spot))
            if found:
                load_at = len(steps)
                steps.extend(found[0])
        elif waits := known_word(stage, WAIT_STAGES):
            steps.append(_read_wait(waits, section, names, usual))
        elif works := known_word(stage, HANDS_STAGES):
            steps.append(_read_hands(works, section, names))
        section.close()
    for _, spot in bakes[1:]:
        problems.append(Problem(spot, f"{what} is baked twice", "write one 'bake' step"))
    return Method(tuple(steps), bakes[0][0] if bakes else None, len(bakes), load_at)


def _stage_of(item: Node, what: str, problems: list[Problem]) -> str | None:
    if not isinstance(item, Fields):
        problems.append(
            Problem(
                item.spot,
                f"a step of {what} has no stage",
                "start it with its stage, as in '- mix: ...'",
            )
        )
        return None
    stages = [key for key, _ in item.fields if key.value in WRITTEN_STAGES]
    if len(stages) == 1:
        return stages[0].value
    if not stages:
        first = item.fields[0][0].value if item.fields else ""
        problems.append(
            Problem(
                item.spot,
                f"the step '{first}' of {what} has no stage",
                nearest(first, WRITTEN_STAGES),
            )
        )
    else:
        problems.append(
            Problem(
                stages[1].spot,
                f"a step of {what} is both '{stages[0].value}' and '{stages[1].value}'",
                "make two steps of it",
            )
        )
    return None


def _text(
    section: Section, name: str, known: Iterable[str] | None, required: str = ""
) -> tuple[str | Placeholder, ...]:
    node = section.raw(name, required)
    if node is None:
        return ()
    if not isinstance(node, Text) or not node.value:
        right = "put a sentence that starts with a brace in quotes"
        section.problem(
            node.spot,
            f"'{name}' is not a text",
            right if isinstance(node, Fields) else "write a sentence",
        )
        return ()
    return read_step_text(node, known, section.problems)


def _window(section: Section, example: str) -> tuple[Fraction, Fraction] | None:
    return section.read("window", lambda t: parse_minutes_span(t, "the window", example))


def _read_hands(stage: HandsStage, section: Section, known: tuple[str, ...] | None) -> Step:
    return Step(
        stage=stage,
        text=_text(section, stage, known),
        head=section.text("head"),
        hands_min=section.read(
            "hands",
            lambda t: parse_minutes(t, "'hands'", "4 min"),
            "a tutor's minutes, as in 'hands: 4 min'",
        )
        or Fraction(1),
        ready_when=section.text("ready when"),
        does=tuple(t.value for t in section.texts("does")),
        demonstration=read_demonstration(section.section("demonstration")),
        meanwhile=section.text("meanwhile"),
        spot=section.spot,
    )


def _read_wait(
    stage: WaitStage, section: Section, known: tuple[str, ...] | None, usual: Usual
) -> Step:
    wait = section.read(stage, lambda t: parse_minutes(t, f"'{stage}'", "45 min"))
    window = _window(section, "35-65 min")
    if stage in ("bulk proof", "final proof"):
        if window is None and not section.has("window") and wait is not None:
            window = usual_window(wait)
            usual.take(section, "the window", f"window: {plain(window[0])}-{plain(window[1])} min")
        if not section.has("ready when"):
            section.problem(
                section.spot,
                f"{section.what} has no 'ready when'",
                "say what to look for, as in 'ready when: doubled'",
            )
    if wait is not None and window is not None and not window[0] <= wait <= window[1]:
        section.problem(
            section.spot_of("window"),
            f"the window does not hold the {stage} itself",
            "the usual minutes must lie inside it",
        )
    return Step(
        stage=stage,
        text=_text(section, "text", known, "what to do, as in 'text: Cover the bowl.'"),
        head=section.text("head"),
        wait_min=wait or Fraction(1),
        window_min=window,
        ready_when=section.text("ready when"),
        does=tuple(t.value for t in section.texts("does")),
        demonstration=read_demonstration(section.section("demonstration")),
        meanwhile=section.text("meanwhile"),
        spot=section.spot,
    )


def _read_bake(
    section: Section, known: tuple[str, ...] | None, usual: Usual
) -> tuple[tuple[Step, ...], Bake] | None:
    found = section.read("bake", partial(_parse_bake, usual.oven_kind))
    written = section.node.get("bake")
    if found and isinstance(written, Text) and not _KIND.search(written.value):
        what = f"the oven of {section.what.removeprefix('the ')}"
        usual.taken.append(Taken(what, f" {usual.oven_kind}", written.spot, "end"))
    span = section.read(
        "range", lambda t: bake_range(parse_celsius_span(t, "the range", "220-240 C"), t)
    )
    core = section.read("ready inside", _core)
    loss = section.read("loss", _below_60_percent)
    if not section.has("loss"):
        loss = usual.loss_percent
        usual.take(section, "the loss", f"loss: {plain(loss)} %")
    shelf = section.whole("per shelf", 1, 500)
    if not section.has("per shelf"):
        shelf = usual.per_shelf
        usual.take(section, "the pieces on a shelf", f"per shelf: {shelf}")
    steam = section.choice("steam", STEAM_METHODS, default="none")
    carry = section.read("carry after", lambda t: parse_minutes(t, "'carry after'", "20 min"))
    cut = section.read("slice after", lambda t: parse_minutes(t, "'slice after'", "60 min"))
    does = tuple(t.value for t in section.texts("does"))
    load_text = _text(section, "load", known, "how the bread goes in, as in 'load: ...'")
    out_text = _text(section, "take out", known, "how the bread comes out, as in 'take out: ...'")
    ready = section.text("ready when", "what a finished bread looks like, as in 'ready when: ...'")
    meanwhile = section.text("meanwhile")
    if found is None:
        return None
    minutes, heat = found
    if span is None:
        span = (heat.celsius, heat.celsius)
    elif not span[0] <= heat.celsius <= span[1]:
        section.problem(
            section.spot_of("range"),
            "the range does not hold the bake's own temperature",
            "the temperature of the bake must lie inside it",
        )
    load = Step("load", load_text, heat=heat, steam=steam, does=does, spot=section.spot)
    bake = Step(
        "bake",
        (),
        wait_min=minutes,
        heat=heat,
        steam=steam,
        ready_when=ready,
        meanwhile=meanwhile,
        spot=section.spot,
    )
    out = Step(
        "take out", out_text, heat=heat, steam=steam, does=does, ready_when=ready, spot=section.spot
    )
    return (load, bake, out), Bake(
        minutes=minutes,
        heat=heat,
        span_c=span,
        loss_percent=loss or Fraction(0),
        pieces_per_shelf=shelf or 1,
        steam=steam,
        core_c=core,
        carry_after_min=carry,
        slice_after_min=cut,
    )


def _core(text: str) -> tuple[Fraction, Fraction]:
    low, high = parse_celsius_span(text, "'ready inside'", "94-98 C")
    return CORE.check(low, text, "'ready inside'"), CORE.check(high, text, "'ready inside'")


def _parse_bake(usual_kind: str, text: str) -> tuple[Fraction, OvenHeat]:
    match = _BAKE.fullmatch(text)
    if match is None:
        raise NotUnderstood(
            f"'bake' is '{text}'",
            "write the time and the oven, as in '32 min at 230 C conventional'",
        )
    example = "32 min at 230 C conventional"
    minutes = parse_minutes(match["time"], "the bake's time", example)
    return (
        BAKE_MIN.check(minutes, match["time"], "the bake's time"),
        parse_oven_heat(match["heat"], "the bake's oven", example, usual_kind),
    )


def _below_60_percent(text: str) -> Fraction:
    percent = parse_percent(text, "'loss'", "12 %")
    if percent >= 60:
        raise NotUnderstood(
            f"'loss' is '{text}'", "bread loses 5 % to 20 % in the oven; did you mean 12 %?"
        )
    return percent
