"""What nobody may mix up: which station carries what, which tubs are weighed first, who needs tools of their own.

All of it is shareable: it names ingredients, stations and seats, never a person beside a need, and it says what a tub or
a station holds, never what it lacks.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from classpack.model.allergens import IDS
from classpack.model.class_day import ClassDay
from classpack.model.larder import Larder
from classpack.model.needs import PackCheck, StatedNeed, StationCarries, WeighTurn
from classpack.planning.needs.holdings import allergens_of, pack_must_not_list
from classpack.planning.needs.terms import CEREALS, WHOLE_CLASS


def _in_order(allergens: Iterable[str]) -> tuple[str, ...]:
    wanted = frozenset(allergens)
    return tuple(one for one in IDS if one in wanted)


def stations_carry(
    day: ClassDay, used: Sequence[frozenset[str]], larder: Larder
) -> tuple[StationCarries, ...]:
    """What is at each station. ``used`` are each person's final ingredients, by index."""
    found = []
    for station in day.stations:
        names = frozenset[str]().union(
            *(used[i] for i, person in enumerate(day.people) if person.station == station.name)
        )
        holding = [
            (one.name, _in_order(allergens_of(one)))
            for one in larder.ingredients
            if one.name in names and allergens_of(one)
        ]
        found.append(
            StationCarries(
                station.name,
                _in_order(allergen for _, held in holding for allergen in held),
                tuple(holding),
            )
        )
    return tuple(found)


def weigh_turns(names: frozenset[str], larder: Larder) -> tuple[WeighTurn, ...]:
    """All tubs in the order to weigh them: what holds no listed allergen, then gluten cereals, then the rest, with nuts,
    peanuts and sesame last. The order comes from the ingredients alone, so it tells nothing about anybody."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for one in larder.ingredients:
        if one.name in names:
            groups.setdefault(_in_order(allergens_of(one)), []).append(one.name)

    def turn(allergens: tuple[str, ...]) -> tuple[int, tuple[int, ...]]:
        held = frozenset(allergens)
        rank = 3 if held & WHOLE_CLASS else 2 if held - frozenset(CEREALS) else 1 if held else 0
        return rank, tuple(IDS.index(one) for one in allergens)

    return tuple(WeighTurn(held, tuple(groups[held])) for held in sorted(groups, key=turn))


def pack_checks(
    needs: Iterable[StatedNeed], names: frozenset[str], larder: Larder
) -> tuple[PackCheck, ...]:
    """Which packs must not list what, for people with these needs."""
    wanted = tuple(needs)
    found = []
    for one in larder.ingredients:
        if one.name in names:
            labels = tuple(
                dict.fromkeys(label for need in wanted for label in pack_must_not_list(need, one))
            )
            if labels:
                found.append(PackCheck(one.name, labels, one.check_pack))
    return tuple(found)


def joined_checks(checks: Iterable[PackCheck]) -> tuple[PackCheck, ...]:
    """One line an ingredient, for whoever shops."""
    labels: dict[str, dict[str, None]] = {}
    hints: dict[str, str] = {}
    for one in checks:
        labels.setdefault(one.ingredient, {}).update(dict.fromkeys(one.allergens))
        hints[one.ingredient] = one.hint
    return tuple(PackCheck(name, tuple(found), hints[name]) for name, found in labels.items())
