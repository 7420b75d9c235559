"""What is said about a day plan: whether it fits, why not, what would help, and how much a cold room matters.

Every value carries a plain ``text``; templates may word it anew from the other fields. Minutes as in ``model.day``.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WaitTooLong:
    """One wait beyond its longest: ``what`` is 'bulk proof', 'final proof', 'half-baked bread' (out of an oven that
    failed), 'rest', 'first step' or 'event'; ``name`` says whose."""

    what: str
    station: int | None
    lot: int | None
    name: str
    over_min: int

    @property
    def text(self) -> str:
        match self.what:
            case "event" | "first step":
                return f"{self.name} starts {self.over_min} min later than it should"
            case "half-baked bread":
                return f"half-baked bread, {self.name}, waits {self.over_min} min for another oven"
            case "rest":
                return f"the rest before {self.name} is {self.over_min} min too long"
        return f"the {self.what} of the {self.name} is {self.over_min} min too long"


@dataclass(frozen=True, slots=True)
class Bound:
    """No plan ends before ``finish_min``. ``kind``: 'chain' (of ``station``, ending with ``product``), 'ovens' or 'events'."""

    kind: str
    finish_min: int
    station: str = ""
    product: str = ""

    @property
    def text(self) -> str:
        match self.kind:
            case "chain" if self.product:
                return f"the {self.product} of {self.station} cannot be ready before minute {self.finish_min}, goodbye included"
            case "chain":
                return f"{self.station} cannot be cleaned up before minute {self.finish_min}, goodbye included"
            case "ovens":
                return f"the ovens cannot bake everything before minute {self.finish_min}, goodbye included"
        return f"the talks last until minute {self.finish_min}, goodbye included"


@dataclass(frozen=True, slots=True)
class DayVerdict:
    """Whether a plan fits, and why not.

    ``kind``: 'fits', 'late', 'waits' (in time, but doughs wait too long) or 'late and waits'. ``spare_min``: negative when late.
    ``free_finish_min``, ``free_over_proof_min``: what a plan with ovens without limit gives (``None`` when the class fits and it was
    not asked). ``shares``: of a late class, (cause, minutes) that add up to the lateness; a cause is 'delay' (so far behind already), 'ovens',
    'kit' (too few tins or mixers), 'chain' (one product's own steps, proofs, bake and cooling; proven), 'hands' (everything else that
    waits for something) or 'unknown' (a class too large for the search to say). ``latest_bound``: the chain or oven work that ends latest, whatever the plan.
    """

    kind: str
    spare_min: int
    waits: tuple[WaitTooLong, ...]
    free_finish_min: int | None
    free_over_proof_min: int | None
    shares: tuple[tuple[str, int], ...]
    latest_bound: Bound
    proven: bool
    text: str


@dataclass(frozen=True, slots=True)
class Remedy:
    """A change that was planned anew and helped.

    ``kind`` is one of ``planning.day_remedies.KINDS``, ``what`` the oven, product, station or kit it is about. Gains are against the
    class as it is; ``proven``: without the change no plan could end as early. ``fits``: with it the class fits.
    """

    kind: str
    what: str
    gain_min: int
    gain_over_proof_min: int
    finish_min: int
    over_proof_min: int
    fits: bool
    proven: bool
    text: str


@dataclass(frozen=True, slots=True)
class RoomChange:
    """The finish if the doughs are ``degrees_c`` warmer (negative: colder) than planned."""

    degrees_c: int
    finish_min: int
    over_proof_min: int
    spare_min: int
    text: str


@dataclass(frozen=True, slots=True)
class SlowRoom:
    """The end of the class if everybody is a quarter slower; ``spare_min`` is negative when that is late."""

    finish_min: int
    spare_min: int
    over_proof_min: int


@dataclass(frozen=True, slots=True)
class LotLimit:
    """The latest moments of one lot: shaped by ``shape_by_min`` (bulk proof), in the oven by ``load_by_min`` (final proof), and how
    many minutes after the planned ones these are (negative: the plan is already beyond)."""

    station: int
    lot: int
    shape_by_min: int
    shape_slack_min: int
    load_by_min: int
    load_slack_min: int
