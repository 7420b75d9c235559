"""What a class day states about its people, in the program's terms: who comes, who makes what, who must not have what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from classpack.errors import Problem, Spot
from classpack.model.allergens import IDS
from classpack.model.class_day import ClassDay, Making, MustNotHave, Person
from classpack.model.diets import Diet
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Lesson
from classpack.model.needs import StatedNeed
from classpack.planning.needs.holdings import stated_allergens
from classpack.planning.needs.names_and_notes import name_problem, note_problem
from classpack.planning.needs.swaps import Place, Swaps, places_of, places_of_base
from classpack.planning.needs.vocabulary import Vocabulary, is_none, vocabulary


@dataclass(frozen=True, slots=True)
class Stated:
    """A class before anything is resolved. Tuples are by person index; ``of`` gives each bread's own places.

    ``active`` are the breads somebody makes, or the tutor demonstrates or keeps spare. ``problems`` are those found so far.
    """

    lesson: Lesson
    day: ClassDay
    larder: Larder
    words: Vocabulary
    where: Spot
    needs: tuple[tuple[StatedNeed, ...], ...]
    tutor_needs: tuple[StatedNeed, ...]
    attends: tuple[bool, ...]
    makings: tuple[tuple[Making, ...], ...]
    active: frozenset[str]
    base: tuple[Place, ...]
    of: dict[str, tuple[Place, ...]]
    swaps: Swaps
    problems: tuple[Problem, ...]

    def places(self) -> Iterator[Place]:
        """Every place of the lesson, the base dough's first."""
        yield from self.base
        for places in self.of.values():
            yield from places

    def in_use(self, place: Place) -> bool:
        """Does anybody make or show the bread it belongs to?"""
        return not place.variation or place.variation in self.active

    def ingredients_in_use(self) -> list[Ingredient]:
        """What the lesson as written brings into the room."""
        names = [place.ingredient for place in self.places() if self.in_use(place)]
        return [one for name in dict.fromkeys(names) if (one := self.larder.get(name))]


def stated(
    lesson: Lesson,
    day: ClassDay,
    larder: Larder,
    diets: tuple[Diet, ...],
    language: Language = ENGLISH,
) -> Stated:
    """The class as it stands in the files, with a problem for whatever cannot be understood or vouched for."""
    where = day.spot or Spot(day.file, 1)
    words, _ = vocabulary(day.region, diets, larder, where, language)
    problems = people_problems(day, larder, diets, language)
    attends = _attends(day)
    needs = tuple(_understood(one.needs, words, one.spot or where)[0] for one in day.people)
    tutor_needs, _ = _understood(day.tutor_needs, words, where)
    makings = tuple(final_makings(person) for person in day.people)
    made = {making.variation for makes in makings for making in makes}
    made |= {making.variation for making in (*day.demonstration, *day.spare)}
    result = Stated(
        lesson=lesson,
        day=day,
        larder=larder,
        words=words,
        where=where,
        needs=needs,
        tutor_needs=tutor_needs,
        attends=attends,
        makings=makings,
        active=frozenset(made),
        base=places_of_base(lesson),
        of={one.name: places_of(one) for one in lesson.variations},
        swaps=Swaps(lesson, larder),
        problems=(),
    )
    return replace(result, problems=(*problems, *_not_vouched_for(result)))


def people_problems(
    day: ClassDay,
    larder: Larder | None,
    diets: tuple[Diet, ...],
    language: Language = ENGLISH,
    seats_sure: bool = True,
) -> tuple[Problem, ...]:
    """What people state that nobody understands, and whom nobody asked: needs neither lesson nor kitchen.

    Args:
        larder: None when it cannot be read; then nothing is said about what the tutor's own diets leave out.
        seats_sure: False when bookings are still to be mended, so that seats may change; then no seat is named.
    """
    where = day.spot or Spot(day.file, 1)
    words, found = vocabulary(day.region, diets, larder or Larder(()), where, language)
    problems = list(found) if larder is not None else []
    attends = _attends(day)
    for person, comes in zip(day.people, attends, strict=True):
        spot = person.spot or where
        if named := name_problem(person, where, language):
            problems.append(named)
        if comes:
            needs, wrong = _understood(person.needs, words, spot)
            problems += wrong
            problems += [
                told for need in needs if need.note and (told := note_problem(need, needs, spot))
            ]
    problems += _understood(day.tutor_needs, words, where)[1]
    return (*problems, *_not_asked(day, attends, where, seats_sure))


def _attends(day: ClassDay) -> tuple[bool, ...]:
    return tuple(
        person.decision is None or person.decision.what != "does not attend"
        for person in day.people
    )


def final_makings(person: Person) -> tuple[Making, ...]:
    """What a person makes once the tutor's decision is taken into account."""
    decision = person.decision
    if decision is None or decision.what == "left out for everyone":
        return person.makes
    return decision.makes if decision.what == "makes" else ()


def _understood(
    needs: Sequence[MustNotHave], words: Vocabulary, where: Spot
) -> tuple[tuple[StatedNeed, ...], list[Problem]]:
    """The needs of one person, each once, the severer counting."""
    found: dict[str, StatedNeed] = {}
    problems: list[Problem] = []
    nones = []
    for need in needs:
        spot = need.spot or where
        if is_none(need.name, words.language):
            nones.append(spot)
            continue
        understood, wrong = words.understood(need, spot)
        problems += wrong
        for one in understood:
            before = found.get(one.id)
            found[one.id] = one if before is None or (one.severe and not before.severe) else before
    if nones and len(needs) > len(nones):
        problems.append(
            Problem(
                nones[0],
                "'none' stands beside other needs",
                "ask again, and write either 'none' or what the person must not have",
            )
        )
    return tuple(found.values()), problems


def _not_asked(
    day: ClassDay, attends: Sequence[bool], where: Spot, seats_sure: bool
) -> list[Problem]:
    if day.ask_at_the_door:
        return []
    return [
        Problem(
            person.spot or where,
            f"nobody asked {f'the person at seat {person.seat}' if seats_sure else 'this person'} about allergies and diets",
            "ask, and write 'needs: none' or what they must not have; or write 'ask at the door: yes' for the class",
        )
        for person, comes in zip(day.people, attends, strict=True)
        if comes and not person.asked and not person.needs
    ]


def _not_vouched_for(one: Stated) -> list[Problem]:
    """Ingredients of the lesson and its swaps that nobody says the allergens of, or says them in unknown words."""
    lesson = one.lesson
    named: dict[str, Spot | None] = {place.ingredient: place.spot for place in one.places()}
    for swap in (*lesson.swaps, *(s for bread in lesson.variations for s in bread.swaps)):
        if swap.into:
            named.setdefault(swap.into, swap.spot)
    found = []
    for name, spot in named.items():
        ingredient = one.larder.get(name)
        at = spot or Spot(lesson.file, 1)
        if ingredient is None:
            found.append(
                Problem(
                    at,
                    f"nobody says which allergens '{name}' holds: it is not in the larder",
                    "add it to your larder with its allergens, or 'allergens: none'",
                )
            )
            continue
        found += [
            Problem(
                ingredient.spot or at,
                f"{name} states the allergen '{allergen}', which is not known here",
                f"write it as one of: {', '.join(IDS)}",
            )
            for allergen in sorted(stated_allergens(ingredient) - set(IDS))
        ]
    return found
