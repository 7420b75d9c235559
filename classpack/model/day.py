"""The day as a planning problem, and the plan that answers it.

Minutes are whole and counted from the start of the class: minute 0 is the start, a negative minute is before it.
Temperatures are whole degrees Celsius on *one* scale: whoever builds a :class:`DayProblem` has already converted a fan
oven, a deck oven or a measured offset, and turns a planned temperature back into the dial of that oven afterwards.
All members of a station work in step at the dough; then those who make the same breads are one pair of hands, as slow as the slowest.

Lots and steps are named by numbers counted from 0: ``(station, lot)`` is the lot ``stations[station].lots[lot]``.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Window:
    """Shortest, usual and longest minutes of a proof. Never shorter than ``least``; beyond ``most`` it is over-proof."""

    least: int
    usual: int
    most: int


@dataclass(frozen=True, slots=True)
class DayPool:
    """Things shared by all stations: tins, mixers, scales, sinks. ``count`` of them, 1 or more."""

    name: str
    count: int


@dataclass(frozen=True, slots=True)
class DayStep:
    """One hands-on dough step of a station, ``minutes`` long (the slowest member's).

    ``wait_least`` to ``wait_most`` minutes lie between the end of the step before and the start of this one (``None``: no
    limit; both unused for a first step). One thing of the pool ``pool`` is in use during the step (``None``: nothing).
    """

    name: str
    minutes: int
    wait_least: int = 0
    wait_most: int | None = None
    pool: str | None = None


@dataclass(frozen=True, slots=True)
class DayProduct:
    """What pieces of one product need, wherever they are made.

    ``proof`` runs from the end of shaping to the start of preparing for the oven, or of the load where nothing is prepared;
    its longest counts to the load, less the minutes of preparing. ``oven_low_c`` to ``oven_high_c`` is the range in which
    it bakes well, ``oven_best_c`` the wished temperature in it (``None``: the middle). ``cool_min``: from out of the oven
    until it may be carried or cut, whichever the class waits for. ``pieces_per_place`` pieces stand on one oven place;
    ``places_differ`` names ovens in which it is another number (0: it does not go into that oven). Each piece takes one thing
    of ``pool`` (its tin) from the start of shaping until it is out.
    """

    name: str
    proof: Window
    bake_min: int
    oven_low_c: int
    oven_high_c: int
    cool_min: int
    pieces_per_place: int
    oven_best_c: int | None = None
    places_differ: tuple[tuple[str, int], ...] = ()
    pool: str | None = None


@dataclass(frozen=True, slots=True)
class DayLot:
    """All pieces of one product at one station: shaped in one go (``shape_min``), baked in one load.

    ``prepare_min``: the hands' minutes between proof and load, for topping, glazing, scoring, stretching (0: none).
    ``bake_left_min``: what is left of its bake when it was taken out of an oven that failed (``None``: all of it); from ``now_min``
    on, each minute that it waits for another oven is a wait too long. ``hands``: which pairs of hands of its station it takes.
    """

    product: str
    pieces: int
    shape_min: int
    prepare_min: int = 0
    bake_left_min: int | None = None
    hands: tuple[int, ...] = (0,)


@dataclass(frozen=True, slots=True)
class DayStation:
    """A bench: its dough steps are done by all together, its lots by ``hands`` pairs of hands side by side.

    ``bulk`` runs from the end of the last step to the start of the shaping of *each* lot. A dough made beforehand has no
    steps and ``bulk_began_min``, the (usually negative) minute at which its bulk proof began. ``hands_from_min``: nothing
    earlier. ``first_step_latest_min``: latest start of the first step (``None``: none). ``tutors``: the demonstration batch;
    its hands are the tutor's, so they load no oven meanwhile, and no event waits for its steps.
    """

    name: str
    steps: tuple[DayStep, ...]
    bulk: Window
    lots: tuple[DayLot, ...]
    cleanup_min: int
    bulk_began_min: int | None = None
    hands_from_min: int = 0
    first_step_latest_min: int | None = None
    tutors: bool = False
    hands: int = 1


@dataclass(frozen=True, slots=True)
class DayEvent:
    """Something for everybody: nobody's hands work meanwhile; doughs and ovens go on.

    It starts when every station of students has ended its step ``after_step`` and has ended before any of them starts
    its step ``before_step``, and before anybody, the tutor too, shapes ``before_product`` (``None``: no such limit). ``is_break``: may be left out to save time.
    """

    name: str
    minutes: int
    after_step: str | None = None
    before_step: str | None = None
    before_product: str | None = None
    earliest_min: int = 0
    latest_min: int | None = None
    needs_tutor: bool = True
    is_break: bool = False


@dataclass(frozen=True, slots=True)
class DayOven:
    """An oven: so many equal places, one temperature at a time.

    ``between_loads_min``: from one load's end (its last lot out and unloaded) to the next, for the door to recover.
    ``up_per_10_c`` and ``down_per_10_c``: minutes for a change of ten degrees, from the last lot out. The oven may be switched
    on ``on_before_min`` minutes before minute 0 (negative: after it) and starts at ``start_c``. Loads lie between ``from_min`` and
    ``until_min`` (``None``: open). ``soak_min``: it stays so long at the temperature of its first load before that goes in.
    """

    name: str
    places: int
    max_c: int
    up_per_10_c: Fraction | int
    down_per_10_c: Fraction | int
    between_loads_min: int
    on_before_min: int = 30
    start_c: int = 20
    from_min: int = 0
    until_min: int | None = None
    soak_min: int = 0

    @property
    def first_ready_min(self) -> int:
        """Before this minute plus its heating-up the first load cannot go in."""
        return self.soak_min - self.on_before_min


@dataclass(frozen=True, slots=True)
class ColdHold:
    """Fridge places to spare. A shaped lot of one of ``products`` may stand cold up to ``most_min`` minutes just before it is
    prepared or loaded; those minutes are no over-proof. A lot takes as many fridge places as oven places (``pieces_per_place``).
    Less than ``least_min`` would cool nothing."""

    places: int
    most_min: int
    products: frozenset[str] = frozenset()
    least_min: int = 0


@dataclass(frozen=True, slots=True)
class Load:
    """``lots`` as (station, lot), in together at ``start_min``, at ``oven_c``; each comes out after its own bake minutes."""

    oven: int
    start_min: int
    oven_c: int
    lots: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Begun:
    """What has begun before ``DayProblem.now_min``, with its start; ``None`` for what has not. Shapes as in :class:`DayPlan`.
    ``chills`` [station][lot]: since when a lot is in the fridge."""

    events: tuple[int | None, ...]
    steps: tuple[tuple[int | None, ...], ...]
    shapes: tuple[tuple[int | None, ...], ...]
    chills: tuple[tuple[int | None, ...], ...]
    prepares: tuple[tuple[int | None, ...], ...]
    cleanups: tuple[int | None, ...]
    loads: tuple[Load, ...]


@dataclass(frozen=True, slots=True)
class DayProblem:
    """A class day to be planned. Check it with ``planning.day_faults.day_faults`` before planning.

    ``closing_min``: tasting, packing, goodbye, after everything else. ``assistants``: 0 when the tutor loads the ovens.
    ``loading_min``, ``unloading_min``: the loader's minutes from the start of a load and from each coming out.
    ``prepared_most_min``: a topped or scored lot stands no longer before its load. Nothing that has not ``begun`` is planned before ``now_min``.
    """

    class_min: int
    closing_min: int
    stations: tuple[DayStation, ...]
    products: tuple[DayProduct, ...]
    ovens: tuple[DayOven, ...]
    events: tuple[DayEvent, ...] = ()
    pools: tuple[DayPool, ...] = ()
    assistants: int = 0
    loading_min: int = 2
    unloading_min: int = 2
    prepared_most_min: int = 10
    cold: ColdHold | None = None
    now_min: int = 0
    begun: Begun | None = None


@dataclass(frozen=True, slots=True)
class Choices:
    """What the planner chose; everything else of a plan follows from it. Only of use for planning again from here.

    ``loads``: (oven, lots) in the order they are decided. ``holds``: per station, the minute before which its last step does not
    start. ``events``: per event, (loads decided before it, not before minute); -1 loads: before the dough steps. ``early``: lots
    shaped before all others of their station, in this order.
    """

    loads: tuple[tuple[int, tuple[tuple[int, int], ...]], ...]
    holds: tuple[int, ...]
    events: tuple[tuple[int, int], ...]
    early: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Held:
    """Why something starts when it does and not earlier. ``cause`` is a word of ``planning.day_reasons.CAUSES``; ``by`` names the
    station, event, oven or pool it waited for (empty if none)."""

    cause: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class PlanReasons:
    """A :class:`Held` for each start of the plan, in the same shapes; ``loads`` in the order of ``DayPlan.loads``."""

    events: tuple[Held, ...]
    steps: tuple[tuple[Held, ...], ...]
    shapes: tuple[tuple[Held, ...], ...]
    prepares: tuple[tuple[Held, ...], ...]
    cleanups: tuple[Held, ...]
    loads: tuple[Held, ...]


@dataclass(frozen=True, slots=True)
class Shortened:
    """A proof that the plan lets be shorter than usual: ``what`` is a product, or empty for the bulk proof. It may be as short as
    ``minutes``; the recipe's is ``usual_min``."""

    what: str
    usual_min: int
    minutes: int


@dataclass(frozen=True, slots=True)
class DayPlan:
    """When everything starts. ``event_starts`` per event; ``step_starts`` [station][step]; ``shape_starts`` [station][lot];
    ``prepare_starts`` [station][lot], that of the load where nothing is prepared; ``cleanup_starts`` per station; ``loads`` by
    start; ``cold_min`` [station][lot], minutes in the fridge just before it is prepared or loaded.

    ``over_proof_min``: minutes beyond the longest bulk and final proof, added up over all lots. ``over_wait_min``: minutes
    beyond the longest rest between steps and beyond a latest start, and those that half-baked bread waits. ``finish_min``: the end of the class. ``spare_min``: class
    length less finish (negative: late). ``proven``: no plan can be better in over-proof and finish. ``shortened``: proofs that may be
    shorter than usual; the least harm first. ``usual_finish_min``: where some are, the end of the class that was found with all of them
    at their usual times (``None``: none was looked for, as a bound forbids it).
    """

    event_starts: tuple[int, ...]
    step_starts: tuple[tuple[int, ...], ...]
    shape_starts: tuple[tuple[int, ...], ...]
    prepare_starts: tuple[tuple[int, ...], ...]
    cleanup_starts: tuple[int, ...]
    loads: tuple[Load, ...]
    cold_min: tuple[tuple[int, ...], ...]
    over_proof_min: int
    over_wait_min: int
    finish_min: int
    spare_min: int
    proven: bool
    shortened: tuple[Shortened, ...]
    usual_finish_min: int | None
    reasons: PlanReasons
    choices: Choices

    @property
    def fits(self) -> bool:
        """No dough waits too long and the class ends in time."""
        return self.over_proof_min == 0 and self.over_wait_min == 0 and self.spare_min >= 0
