"""The kitchen: ovens, scales, tins, and what the wall must say."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, get_args

from classpack.errors import Spot

OvenKind = Literal["conventional", "fan", "deck"]
OVEN_KINDS: tuple[OvenKind, ...] = get_args(OvenKind)


@dataclass(frozen=True, slots=True)
class Oven:
    """An oven. ``offset_c``: measured minus dial (+10 runs 10 degrees hot). ``places`` are shelves used at once.

    ``fahrenheit`` ovens have their dial in °F; ``dial_step`` is the degrees between two settings, in the dial's own unit.
    ``warm_up_min`` is from cold to 220 °C. ``recovery_min`` is what it needs after the door was open. ``soak_min`` is how long it is
    left at its dial's temperature before the first load, so that walls, ``stone`` or sole are through; None: the usual of such an oven.
    """

    name: str
    kind: OvenKind
    places: int
    hottest_c: Fraction
    offset_c: Fraction = Fraction(0)
    offset_measured: bool = False
    warm_up_min: Fraction = Fraction(20)
    recovery_min: Fraction = Fraction(5)
    soak_min: Fraction | None = None
    stone: bool = False
    clearance_cm: Fraction | None = None
    circuit: str = ""
    gas: bool = False
    glass_door: bool = False
    built_in_steam: bool = False
    fahrenheit: bool = False
    dial_step: Fraction = Fraction(5)
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Scale:
    """A kitchen scale: its step and capacity in grams, and how many there are."""

    step_g: Fraction
    capacity_g: Fraction
    count: int = 1


@dataclass(frozen=True, slots=True)
class Tin:
    """A loaf tin by its measured volume; ``height_cm`` (None: not said) is compared with the room above an oven's shelf."""

    name: str
    volume_ml: Fraction
    count: int
    height_cm: Fraction | None = None
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Tray:
    """A baking tray by its inside width and depth."""

    name: str
    width_cm: Fraction
    depth_cm: Fraction
    count: int


@dataclass(frozen=True, slots=True)
class Mixer:
    """A dough mixer; ``kind`` is ``bench`` or ``floor``; ``capacity_g`` of dough."""

    name: str
    kind: str
    capacity_g: Fraction
    count: int = 1


@dataclass(frozen=True, slots=True)
class Kitchen:
    """Where the class is held. ``counts`` is how many of each tool there are, by the tool's name."""

    name: str
    file: str
    ovens: tuple[Oven, ...]
    scales: tuple[Scale, ...]
    tins: tuple[Tin, ...] = ()
    trays: tuple[Tray, ...] = ()
    mixers: tuple[Mixer, ...] = ()
    counts: tuple[tuple[str, int], ...] = ()
    circuits: tuple[tuple[str, int], ...] = ()
    sinks: int | None = None
    fridge_places: int = 0
    gas: bool = False
    bowl_capacity_g: Fraction | None = None
    country: str = ""
    emergency_number: str = ""
    address: str = ""
    first_aider: str = ""
    first_aid_box: str = ""
    fire_exit: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)
