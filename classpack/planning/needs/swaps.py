"""Where an ingredient stands in a lesson, and what may take its place there.

Only the lesson's own swaps are used. A chain of swaps is followed (butter → margarine → oil), each ingredient once, so a
circle ends nothing and never runs for ever. What stands in one tub for a station or the class, and what ripens in a
preferment mixed for everybody, cannot differ from person to person: such a place is ``shared``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction

from classpack.errors import Spot
from classpack.model.class_plan import Change
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Lesson, Swap, Use, Variation
from classpack.model.needs import StatedNeed
from classpack.planning.needs.holdings import excluded_by, pack_must_not_list, unsafe_uncooked

MAY_BE_LEFT_OUT = frozenset({"topping", "glaze"})
"""Uses a bread can do without, unless it is named for them. A filling, dusting or oiling needs the lesson's word for it."""

Banned = Callable[[Ingredient, bool], str]
"""Says why an ingredient may not go into a place (what of it is excluded), or nothing. The flag: is it put on after the bake?"""


@dataclass(frozen=True, slots=True)
class Place:
    """One ingredient in the base dough and what is used with it (``variation`` empty), or among a bread's own uses.

    ``after_bake``: no bake follows, or nobody says so. ``shared``: it cannot differ from person to person.
    """

    variation: str
    ingredient: str
    in_formula: bool
    shared: bool
    optional: bool
    after_bake: bool
    spot: Spot | None

    @property
    def where(self) -> str:
        """In words for a message."""
        return f"the {self.variation}" if self.variation else "the base dough"


@dataclass(frozen=True, slots=True)
class Route:
    """A way from one ingredient to another by the lesson's swaps."""

    into: str
    ratio: Fraction
    method: str
    steps: int


@dataclass(frozen=True, slots=True)
class SettledPlace:
    """What became of one place: the change, or None with the reason nothing fits."""

    change: Change | None
    why_not: str = ""


def places_of_base(lesson: Lesson) -> tuple[Place, ...]:
    """Every ingredient of the base dough and of what is used with it, each once."""
    base = lesson.base
    ripened = {line.ingredient for one in base.formula.preferments for line in one.lines}
    formula = {line.ingredient: line.spot for line in base.formula.lines}
    formula |= {name: base.spot for name in sorted(ripened) if name not in formula}
    uses = _by_name(base.uses)
    return tuple(
        Place(
            variation="",
            ingredient=name,
            in_formula=name in formula,
            shared=name in ripened
            or any(use.per in ("station", "class") for use in uses.get(name, ())),
            optional=name not in formula
            and all(use.purpose in MAY_BE_LEFT_OUT for use in uses.get(name, ())),
            after_bake=False,
            spot=formula.get(name) or (uses[name][0].spot if name in uses else base.spot),
        )
        for name in dict.fromkeys([*formula, *uses])
    )


def places_of(variation: Variation) -> tuple[Place, ...]:
    """Every ingredient of a bread's own uses, each once."""
    return tuple(
        Place(
            variation=variation.name,
            ingredient=name,
            in_formula=False,
            shared=any(use.per in ("station", "class") for use in uses),
            optional=name not in variation.stressed
            and all(use.purpose in MAY_BE_LEFT_OUT for use in uses),
            after_bake=_after_bake(variation, name),
            spot=uses[0].spot or variation.spot,
        )
        for name, uses in _by_name(variation.uses).items()
    )


def _by_name(uses: Iterable[Use]) -> dict[str, list[Use]]:
    found: dict[str, list[Use]] = {}
    for use in uses:
        found.setdefault(use.ingredient, []).append(use)
    return found


def _after_bake(variation: Variation, ingredient: str) -> bool:
    """Is it put on after the bake? True also when no step says when: unknown is not baked."""
    bakes = [n for n, step in enumerate(variation.method) if step.stage == "bake"]
    named = [n for n, step in enumerate(variation.method) if ingredient in step.ingredients]
    return not bakes or not named or max(named) > bakes[-1]


class Swaps:
    """The lesson's swaps, asked for one place at a time."""

    def __init__(self, lesson: Lesson, larder: Larder) -> None:
        self.larder = larder
        found = [(swap, frozenset(swap.only_in)) for swap in lesson.swaps]
        for one in lesson.variations:
            found += [(swap, frozenset({one.name})) for swap in one.swaps]
        self.from_: dict[str, list[tuple[Swap, frozenset[str]]]] = {}
        for swap, only in found:
            self.from_.setdefault(swap.out, []).append((swap, only))

    def _allowed(self, name: str, breads: frozenset[str]) -> Iterable[Swap]:
        return (
            swap
            for swap, only in self.from_.get(name, ())
            if not only or (breads and breads <= only)
        )

    def routes(self, name: str, breads: frozenset[str]) -> tuple[Route, ...]:
        """Every way on from ``name`` that is allowed in all of ``breads``, shortest first, then in file order."""
        found: list[Route] = []
        seen = {name}
        row = [Route(name, Fraction(1), "", 0)]
        while row:
            further = []
            for route in row:
                for swap in self._allowed(route.into, breads):
                    if swap.into in seen or not swap.into:
                        continue
                    seen.add(swap.into)
                    # what the steps between would have changed never happens: only the last method counts
                    further.append(
                        Route(swap.into, route.ratio * swap.ratio, swap.method, route.steps + 1)
                    )
            found += further
            row = further
        return tuple(found)

    def settle(
        self,
        place: Place,
        breads: frozenset[str],
        banned: Banned,
        needs: Iterable[StatedNeed],
        tutor_says: bool = False,
    ) -> SettledPlace:
        """The best change that takes ``place``'s ingredient out: another ingredient, else nothing, else no change.

        Args:
            breads: the breads the place's ingredient ends up in.
            banned: why an ingredient may not go there, or nothing.
            needs: whose packs are checked: an ingredient whose pack needs no check goes first.
            tutor_says: the tutor wrote that it is left out, so it may be, in the dough excepted.
        """
        wanted = tuple(needs)
        good: list[tuple[int, int, int, Route]] = []
        bad: list[str] = []
        for route in self.routes(place.ingredient, breads):
            ingredient = self.larder.get(route.into)
            why = "is not in the larder" if ingredient is None else ""
            if ingredient is not None:
                held = banned(ingredient, place.after_bake)
                why = f"brings {held}" if held else ""
            if why or ingredient is None:
                bad.append(f"the swap to {route.into} {why}")
                continue
            checks = sum(bool(pack_must_not_list(need, ingredient)) for need in wanted)
            good.append((checks, route.steps, len(good), route))
        if good:
            best = min(good, key=lambda one: one[:3])[3]
            return SettledPlace(
                Change(place.ingredient, best.into, best.ratio, best.method, place.variation)
            )
        leave = next((s for s in self._allowed(place.ingredient, breads) if not s.into), None)
        if not place.in_formula and (leave or place.optional or tutor_says):
            method = leave.method if leave else ""
            return SettledPlace(Change(place.ingredient, "", Fraction(0), method, place.variation))
        why_not = ", ".join(bad) if bad else "the lesson has no swap for it"
        if place.in_formula:
            why_not += " and a dough's own ingredient cannot be left out"
        return SettledPlace(None, why_not)


def excluded_at(need: StatedNeed, ingredient: Ingredient, after_bake: bool) -> tuple[str, ...]:
    """What of ``ingredient`` the need excludes where it stands."""
    if after_bake and need.kind == "state":
        why = unsafe_uncooked(need, ingredient)
        return (why,) if why else ()
    return excluded_by(need, ingredient)
