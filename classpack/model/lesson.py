"""A lesson: one base dough and the breads made from it."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from classpack.errors import Spot
from classpack.model.formula import Formula
from classpack.model.method import Demonstration, Step
from classpack.model.printed_formula import PrintedFormula
from classpack.model.taken import Taken
from classpack.quantities import Amount, OvenHeat

PER = ("piece", "tray", "student", "station", "class")
"""What an amount outside the formula is counted by."""

PURPOSES = ("topping", "filling", "glaze", "dusting", "oiling")


@dataclass(frozen=True, slots=True)
class Use:
    """An ingredient used outside the dough's formula: a topping, a glaze, flour for the bench, oil for the tin."""

    ingredient: str
    amount: Amount
    per: str
    purpose: str = "topping"
    note: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class KitItem:
    """A tool: ``count`` of it per piece, tray, student, station or class."""

    name: str
    count: Fraction
    per: str
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Swap:
    """One ingredient for another wherever it stands: ``ratio`` is grams of the new for a gram of the old.

    ``into`` empty means the topping is left out. ``method`` is a sentence printed with the step when something changes.
    """

    out: str
    into: str
    ratio: Fraction = Fraction(1)
    method: str = ""
    only_in: tuple[str, ...] = ()
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Vessel:
    """What a piece proves and bakes in or on. ``tin`` has ``volume_ml``; ``tray``/``round`` an area in cm²."""

    kind: str
    name: str = ""
    volume_ml: Fraction | None = None
    area_cm2: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Bake:
    """One bake. ``heat`` as written; ``span_c`` the temperatures it tolerates, in the same kind of oven.

    ``loss_percent`` is of the dough weight. ``pieces_per_shelf`` is how many pieces one oven shelf takes.
    """

    minutes: Fraction
    heat: OvenHeat
    span_c: tuple[Fraction, Fraction]
    loss_percent: Fraction
    pieces_per_shelf: int
    steam: str = "none"
    core_c: tuple[Fraction, Fraction] | None = None
    carry_after_min: Fraction | None = None
    slice_after_min: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Fault:
    """What can go wrong with a bread, why, and what to do next time."""

    seen: str
    because: str
    mend: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)


READIED = ("top", "fill", "glaze", "score")
"""Stages that make shaped dough ready for the oven."""


@dataclass(frozen=True, slots=True)
class Variation:
    """One bread made from the base dough. ``pieces`` is one student's share unless the class day says otherwise."""

    name: str
    one: str
    many: str
    piece_dough_g: Fraction
    pieces: int
    vessel: Vessel
    pieces_per_tray: int
    uses: tuple[Use, ...]
    method: tuple[Step, ...]
    bake: Bake
    home_pieces: int
    kit: tuple[KitItem, ...] = ()
    swaps: tuple[Swap, ...] = ()
    faults: tuple[Fault, ...] = ()
    storage: str = ""
    about: str = ""
    stressed: tuple[str, ...] = ()
    demonstration: Demonstration | None = None
    spot: Spot | None = field(default=None, compare=False, repr=False)
    text_spots: tuple[tuple[str, Spot], ...] = field(default=(), compare=False, repr=False)

    @property
    def before_proof(self) -> tuple[Step, ...]:
        """The steps up to the final proof; without one, up to toppings and cuts, or to the loading."""
        stages = [step.stage for step in self.method]
        if "final proof" in stages:
            return self.method[: stages.index("final proof")]
        end = stages.index("load")
        while end and stages[end - 1] in READIED:
            end -= 1
        return self.method[:end]

    @property
    def before_load(self) -> tuple[Step, ...]:
        """The steps between the final proof and the oven; without a final proof, the toppings and cuts just before the oven."""
        stages = [step.stage for step in self.method]
        begin = len(self.before_proof) + ("final proof" in stages)
        return self.method[begin : stages.index("load")]


@dataclass(frozen=True, slots=True)
class BaseDough:
    """The dough everything is made from. ``left_percent`` of the dough stays in bowl and hands.

    ``stated`` is the formula as typed with the total beside it, when the file states one at ``stated_spot``.
    """

    name: str
    formula: Formula
    method: tuple[Step, ...]
    dough_c: Fraction
    left_percent: Fraction
    mixed_by: str = "hand"
    mixed_by_stated: bool = True
    uses: tuple[Use, ...] = ()
    kit: tuple[KitItem, ...] = ()
    reads: str = "percent"
    stated: PrintedFormula | None = None
    stated_spot: Spot | None = field(default=None, compare=False, repr=False)
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Talk:
    """A talk or teaching point for everybody; ``when`` is ``start`` or the stage in whose wait it fits."""

    name: str
    minutes: Fraction
    say: str
    when: str = "bulk proof"
    spot: Spot | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Lesson:
    """A base dough and its variations, as read and checked.

    ``off`` are cautions turned off, with their reasons; ``moved`` those the tutor wants on the station sheet, not on the card.
    ``read_as`` says which names were read as another of the same food; ``measured`` how each ingredient written in household
    measures became grams; ``taken`` what it does not say and a program can know.
    """

    title: str
    file: str
    base: BaseDough
    variations: tuple[Variation, ...]
    about: str = ""
    swaps: tuple[Swap, ...] = ()
    faults: tuple[Fault, ...] = ()
    talks: tuple[Talk, ...] = ()
    off: tuple[tuple[str, str], ...] = ()
    moved: tuple[str, ...] = ()
    read_as: tuple[str, ...] = ()
    measured: tuple[tuple[str, str], ...] = ()
    taken: tuple[Taken, ...] = ()
    caution_spots: tuple[tuple[str, Spot], ...] = field(default=(), compare=False, repr=False)
    text_spots: tuple[tuple[str, Spot], ...] = field(default=(), compare=False, repr=False)

    def spot_of_talk(self, name: str) -> Spot | None:
        """Where the talk called ``name`` is written."""
        return next((talk.spot for talk in self.talks if talk.name == name), None)

    def variation(self, name: str) -> Variation:
        """The variation called ``name``.

        Raises:
            KeyError: there is none.
        """
        for one in self.variations:
            if one.name == name:
                return one
        raise KeyError(name)
