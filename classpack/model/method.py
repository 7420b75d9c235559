"""Method steps: what the hands do, what the dough does, what the oven does."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, get_args

from classpack.errors import Spot
from classpack.quantities import OvenHeat

HandsStage = Literal[
    "weigh", "mix", "fold", "knead", "divide", "round", "shape", "pan", "top", "fill", "glaze", "score",
    "boil", "bath", "fry", "griddle", "dry pan", "hob", "load", "take out", "finish", "cut", "clean",
]  # fmt: skip
WaitStage = Literal["rest", "bulk proof", "bench rest", "final proof", "bake", "cool"]
Stage = HandsStage | WaitStage

HANDS_STAGES: tuple[HandsStage, ...] = get_args(HandsStage)
"""Stages where hands work. ``load`` and ``take out`` come from a ``bake`` entry of the file."""

HOB_STAGES: tuple[HandsStage, ...] = ("boil", "bath", "fry", "griddle", "dry pan", "hob")
"""Hands at a flame or hotplate: ``boil`` and ``bath`` lower dough into hot liquid, ``fry`` is in oil, ``griddle`` and ``dry pan`` are
without, ``hob`` heats something that is not dough."""

COOKED_STAGES: tuple[HandsStage, ...] = ("take out", "fry", "griddle", "dry pan")
"""After these a bread is no longer raw."""

PROOF_STAGES: tuple[WaitStage, ...] = ("bulk proof", "final proof")

WAIT_STAGES: tuple[WaitStage, ...] = get_args(WaitStage)
"""Stages where the dough or the oven works."""

Steam = Literal["none", "lidded pot", "bowl over", "misted dough", "built-in", "tutor pours"]
STEAM_METHODS: tuple[Steam, ...] = get_args(Steam)
"""How a bake gets its steam. The safety guide ranks them; ``tutor pours`` is never a student's job."""


@dataclass(frozen=True, slots=True)
class Placeholder:
    """A hole in step text: it prints the reader's own scaled amount and the ingredient's name."""

    ingredient: str


@dataclass(frozen=True, slots=True)
class Demonstration:
    """What the tutor shows everybody just before a step: minutes, what to show, say and watch for."""

    minutes: Fraction
    show: str
    say: str = ""
    watch: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step. ``hands_min`` are a tutor's minutes; ``wait_min`` the usual minutes of a wait, ``window_min`` its limits.

    ``does`` are caution triggers the lesson states outright (``knife``, ``boiling water``); the stage and the words
    of the step add to them, nothing takes them away. ``ingredients`` names what the text's placeholders hold.
    """

    stage: Stage
    text: tuple[str | Placeholder, ...]
    head: str = ""
    hands_min: Fraction = Fraction(0)
    wait_min: Fraction = Fraction(0)
    window_min: tuple[Fraction, Fraction] | None = None
    ready_when: str = ""
    heat: OvenHeat | None = None
    steam: Steam = "none"
    does: tuple[str, ...] = ()
    demonstration: Demonstration | None = None
    meanwhile: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)

    @property
    def plain_text(self) -> str:
        """The text with ingredient names only, for matching words."""
        return "".join(p.ingredient if isinstance(p, Placeholder) else p for p in self.text)

    @property
    def ingredients(self) -> tuple[str, ...]:
        """Ingredients named by placeholders, in order."""
        return tuple(p.ingredient for p in self.text if isinstance(p, Placeholder))
