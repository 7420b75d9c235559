"""What hangs at one station: who is here, what is weighed, the tools, the exact clock, what must be washed and kept cold, cautions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from classpack.model.class_plan import PersonPlan, StationPlan
from classpack.model.lesson import Variation
from classpack.model.method import Step
from classpack.model.safety import (
    HOT_HARMS,
    RESERVED,
    TUTOR_STEAM,
    ChilledBread,
    FiredCaution,
    ranked,
)
from classpack.model.timed_day import Entry
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.hygiene import ColdItem, Cooling, WashTime
from classpack.planning.setting_up.bench_rows import BenchRow
from classpack.planning.setting_up.kit import Kit
from classpack.sheets.cards.recipe_card import CardBread, contains, poured, tubs, water_c

MOST_COLUMNS = 5
"""More seats than this have no column each in the weighing table."""
MOST_ON_A_LINE = 4
WAITS = ("rest", "bulk proof")


@dataclass(frozen=True, slots=True)
class BenchPerson:
    """Somebody at the bench and what they make.

    ``contains`` pairs allergen names with the breads they hold for, as on the card. ``own_tools``: their tools are marked with
    the seat and nobody else's.
    """

    name: str
    seat: str
    breads: tuple[CardBread, ...]
    contains: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = ()
    own_tools: bool = False


@dataclass(frozen=True, slots=True)
class BenchEntry:
    """One entry of the station's clock with what its step says and the cautions that guard it.

    ``also`` are short things that follow and stand on the same line. ``proof_end_min`` is when shaped pieces are wanted again: topped, scored or loaded;
    ``cooling`` says when they may be carried and cut. ``wash`` are the reasons for which hands are washed meanwhile, by minute.
    ``helpers`` do it for seats at which nobody is any more. ``cold`` is what leaves the fridge for it. A ``prepare`` entry holds the steps between the final proof and the oven,
    ``step_min`` when each begins. ``signs`` are cautions that stand in full above an earlier entry: here their signs alone. ``chilled``: when what is
    taken out must be eaten or in a fridge.
    """

    entry: Entry
    steps: tuple[Step, ...] = ()
    bread: Variation | None = None
    seats: tuple[str, ...] = ()
    helpers: tuple[str, ...] = ()
    cautions: tuple[FiredCaution, ...] = ()
    ready_when: str = ""
    also: tuple[BenchEntry, ...] = ()
    proof_end_min: int | None = None
    cooling: Cooling | None = None
    wash: tuple[tuple[int, str], ...] = ()
    cold: tuple[ColdItem, ...] = ()
    step_min: tuple[int, ...] = ()
    signs: tuple[FiredCaution, ...] = ()
    chilled: ChilledBread | None = None


@dataclass(frozen=True, slots=True)
class StationSheet:
    """One station's sheet. ``columns`` are the seats and doughs of the weighing table, empty when there are too many.
    ``scales`` are (step, count); ``water_c`` and ``poured`` are as on the card.
    ``cautions`` are those moved here from the cards and those that hold all day, most severe first. ``class_tubs`` are as on the card."""

    name: str
    place: str
    people: tuple[BenchPerson, ...]
    columns: tuple[str, ...]
    rows: tuple[BenchRow, ...]
    kit: Kit
    scales: tuple[tuple[Fraction, int], ...]
    water_c: Fraction | None
    poured: frozenset[str]
    clock: tuple[BenchEntry, ...]
    cautions: tuple[FiredCaution, ...]
    class_tubs: tuple[tuple[str, str], ...] = ()

    @property
    def every_caution(self) -> tuple[FiredCaution, ...]:
        """All that the sheet must print."""
        return (*(fired for one in self.clock for fired in one.cautions), *self.cautions)


def station_sheet(plan: ClassPlan, station: StationPlan) -> StationSheet:
    """The sheet of one station."""
    people = tuple(plan.people[index] for index in station.people)
    rows = plan.bench_rows[station.station.name]
    seats = [one.person.seat for one in people]
    columns = sorted(
        {who for row in rows for share in row.shares for who in share.who},
        key=lambda who: (seats.index(who) if who in seats else -1 if who else len(seats), who),
    )
    return StationSheet(
        name=station.station.name,
        place=station.station.place,
        people=tuple(_person(plan, person) for person in people),
        columns=tuple(columns) if 1 < len(columns) <= MOST_COLUMNS else (),
        rows=rows,
        kit=(*plan.bench_kit[station.station.name], *_vessels(plan, station.station.name)),
        scales=plan.scales_each(len(people)),
        water_c=water_c(plan),
        poured=poured(plan, [line for key in station.units for line in plan.unit(key).lines]),
        clock=_clock(plan, station),
        cautions=plan.hung(station),
        class_tubs=tubs(
            plan, plan.shared, [one.variation for who in people for one in who.portions]
        ),
    )


def _person(plan: ClassPlan, person: PersonPlan) -> BenchPerson:
    breads = tuple(CardBread(plan.lesson.variation(one.variation), one) for one in person.portions)
    return BenchPerson(
        person.person.name,
        person.person.seat,
        breads,
        contains(plan, person, breads),
        person.index in plan.own_tools,
    )


def _vessels(plan: ClassPlan, name: str) -> Kit:
    """The tins and trays of the station."""
    return tuple(
        (line.name, count)
        for line in plan.kit.lines
        if line.vessel
        for place, count in line.places
        if place == name
    )


def _clock(plan: ClassPlan, station: StationPlan) -> tuple[BenchEntry, ...]:
    """The station's clock, short: a lot's proof stands with its shaping, its cooling with its taking out."""
    name = station.station.name
    entries = plan.clocks.station(name)
    hygiene = plan.safety.station(name)
    found = [
        _told(plan, entry, entries)
        for entry in entries
        if entry.kind not in ("final proof", "cool")
    ]
    found.sort(key=lambda one: (one.entry.start_min, one.entry.kind not in WAITS))
    for item in hygiene.cold:
        place = _topped(found, item)
        found[place] = replace(found[place], cold=(*found[place].cold, item))
    for wash in hygiene.washing:
        place = _washed(found, wash)
        found[place] = replace(found[place], wash=(*found[place].wash, (wash.minute, wash.why)))
    return _joined(_guarded_once(_ready_once(found)))


def _topped(found: list[BenchEntry], item: ColdItem) -> int:
    """The place of the entry during which something from the fridge is first put on: its own bread's, where it is for one
    bread, and a topping before the oven rather than another bread's shaping in the same minutes."""
    used = item.used_min[0]
    breads = {use.bread for use in item.uses if use.minute == used} - {""}
    running = [
        (place, one.entry.kind)
        for place, one in enumerate(found)
        if one.entry.start_min <= used <= one.entry.end_min
        and (not breads or one.entry.variation in breads)
        and (
            one.entry.kind == "prepare" or (one.entry.kind == "shape" and used < one.entry.end_min)
        )
    ]
    nearest = [place for kind in ("prepare", "shape") for place, own in running if own == kind]
    return nearest[0] if nearest else _at(found, used)


def _washed(found: list[BenchEntry], wash: WashTime) -> int:
    """The place of the entry after which hands are washed: before an oven, that in which its own lot was made ready; before a topping,
    that whose step it is, as bench mates may be at another bread of theirs in the same minutes."""
    own = [
        place
        for place, one in enumerate(found)
        if wash.bread
        and one.entry.kind in ("shape", "prepare")
        and (one.entry.variation, one.entry.people) == (wash.bread, wash.people)
        and one.entry.start_min <= wash.minute <= one.entry.end_min
    ]
    if own:
        return own[-1]
    before = [place for place, one in enumerate(found) if wash.minute in one.step_min]
    return before[0] if before else _at(found, wash.minute)


def _guarded_once(found: list[BenchEntry]) -> list[BenchEntry]:
    """A caution stands in full above the first entry it guards; at every later one its sign."""
    shown: set[str] = set()
    result: list[BenchEntry] = []
    for one in found:
        new = tuple(fired for fired in one.cautions if fired.id not in shown)
        again = tuple(fired for fired in one.cautions if fired.id in shown)
        result.append(replace(one, cautions=new, signs=again))
        shown |= {fired.id for fired in new}
    return result


def _told(plan: ClassPlan, entry: Entry, entries: tuple[Entry, ...]) -> BenchEntry:
    bread = plan.lesson.variation(entry.variation) if entry.variation else None
    steps = tuple(plan.lesson.base.method[number] for number in entry.steps)
    told = BenchEntry(entry, steps, bread, cautions=_guards(plan, bread, entry))
    if entry.kind == "event" and entry.what.startswith("show: "):
        bread, steps = shown(plan, entry.what.removeprefix("show: "))
        return replace(told, bread=bread, steps=steps)
    if bread is None:
        return replace(told, ready_when=_ready(steps))
    told = replace(
        told,
        seats=tuple(plan.day.people[index].seat for index in entry.people),
        helpers=tuple(
            plan.day.people[index].seat for index in plan.helpers(entry.station, entry.people) or ()
        ),
    )
    if entry.kind == "shape":
        proof = tuple(step for step in bread.method if step.stage == "final proof")
        end = next(
            one.end_min for one in entries if one.kind == "final proof" and one.lot == entry.lot
        )
        return replace(told, ready_when=_ready(proof), proof_end_min=end)
    if entry.kind == "prepare":
        return replace(told, steps=bread.before_load, step_min=plan.prepared_min(entry))
    if entry.kind == "take out":
        return replace(
            told,
            cooling=plan.safety.cooling_of(bread.name),
            chilled=plan.safety.chilled_of(entry.station, bread.name, entry.people),
        )
    return told


def _ready(steps: tuple[Step, ...]) -> str:
    return next((step.ready_when for step in reversed(steps) if step.ready_when), "")


def _ready_once(found: list[BenchEntry]) -> list[BenchEntry]:
    """A bread's cue stands at its first lot only, and only at proofs."""
    seen: set[str] = set()
    result = []
    for one in found:
        if one.entry.kind not in ("bulk proof", "shape") or one.ready_when in seen:
            one = replace(one, ready_when="")
        seen.add(one.ready_when)
        result.append(one)
    return result


def _at(found: list[BenchEntry], minute: int) -> int:
    """The place of the hands' entry that runs at ``minute`` (a loading only as it begins), else the last begun before."""
    hands = [
        (place, one.entry)
        for place, one in enumerate(found)
        if one.entry.kind in ("shape", "prepare", "take out", "hands", "clean")
        or (one.entry.kind == "load" and one.entry.start_min == minute)
    ]
    begun = [place for place, entry in hands if entry.start_min <= minute]
    running = [place for place in begun if minute < found[place].entry.end_min]
    nearest = [
        place
        for kind in ("prepare", "load", "shape")
        for place in running
        if found[place].entry.kind == kind
    ]
    return (nearest[:1] or running[-1:] or begun[-1:] or [0])[0]


def _joined(found: list[BenchEntry]) -> tuple[BenchEntry, ...]:
    """Short things that follow each other stand on one line: hands' steps with each other, events with each other or a wait."""
    joins = {"event": ("event", *WAITS), "hands": ("hands",)}
    result: list[BenchEntry] = []
    for one in found:
        last = result[-1] if result else None
        if (
            last is not None
            and last.entry.kind in joins.get(one.entry.kind, ())
            and len(last.also) < MOST_ON_A_LINE - 1
            and not one.wash
        ):
            result[-1] = replace(last, also=(*last.also, one))
        else:
            result.append(one)
    return tuple(result)


def shown(plan: ClassPlan, name: str) -> tuple[Variation | None, tuple[Step, ...]]:
    """What a demonstration shows: a bread by its name, or a step of the base dough by its number."""
    if any(bread.name == name for bread in plan.lesson.variations):
        return plan.lesson.variation(name), ()
    return None, (plan.lesson.base.method[int(name.split(" ", 1)[0]) - 1],)


def _guards(plan: ClassPlan, bread: Variation | None, entry: Entry) -> tuple[FiredCaution, ...]:
    """What guards the hands at one entry: the ovens' at every loading and taking-out, else what is hot in its steps."""
    method = plan.lesson.base.method
    if bread is None:
        numbers: Iterable[int] = entry.steps
        bread = next(iter(plan.made), None)
        if bread is None or entry.kind != "hands":
            return ()
    elif entry.kind in ("load", "take out", "prepare", "shape"):
        first, load = len(method), _load(bread)
        proof = len(bread.before_proof)
        numbers = {
            "load": [first + load],
            "take out": [
                first + n for n, one in enumerate(bread.method) if one.stage == "take out"
            ],
            "shape": range(first, first + proof),
            "prepare": range(first + proof, first + load),
        }[entry.kind]
    else:
        return ()
    if entry.kind in ("load", "take out"):
        placed = plan.placed(bread.name).before
        held = (*RESERVED, TUTOR_STEAM)
        return tuple(one for n in numbers for one in placed[n] if one.id in held)
    fired = dict(plan.fired.fired)[bread.name]
    every = {one.id: one for n in numbers for one in fired[n] if _is_hot(one)}
    return ranked(every.values())


def _load(bread: Variation) -> int:
    return [step.stage for step in bread.method].index("load")


def _is_hot(one: FiredCaution) -> bool:
    caution = one.caution
    hot = set(caution.guards) & set(HOT_HARMS) - {"hot food"}
    return bool(hot) and caution.audience != "tutor" and not caution.reserved
