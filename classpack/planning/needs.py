"""People's needs resolved: what each person makes and eats in the end, with every reason. Everything here fails closed.

The rules, in the order they are applied:

1. A need nobody understands, a person nobody asked, an ingredient nobody can vouch for: each is a problem, none a guess.
2. **Out for the whole class**: what a nut, peanut or sesame allergy excludes; what the tutor is allergic to; what the class
   file or a decision leaves out for everyone; a flour somebody is allergic to (it flies). Swapped or left out everywhere,
   demonstration and spare included.
3. **Wheat and gluten**: where a flour or starter holds them, a wheat allergy or coeliac disease is never met by a swap.
4. **One tub, one answer**: what a station or the class uses from one tub, and what ripens in a preferment, is changed for
   everyone as soon as one person who uses it must not have it.
5. **Each person**: the lesson's own swaps, else a topping or glaze left out, else a problem.
6. A change in the base dough is never spread to a shared dough for one person's sake: that person mixes alone.
7. At the end every person's final ingredients are worked out again from the changes, and looked at once more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from classpack.errors import LessonError, Problem, Spot
from classpack.model.allergens import IDS
from classpack.model.class_day import ClassDay, Making, Need, Person
from classpack.model.class_plan import Change, Version
from classpack.model.diets import Diet
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Lesson
from classpack.model.needs import RESULTS, NeedsPlan, Outcome, Reason, Removal, StatedNeed
from classpack.planning.cross_contact import joined_checks, stations_carry, weigh_turns
from classpack.planning.needs_holdings import excluded_by, stated_allergens
from classpack.planning.needs_sheet import ClassNeeds, needs_sheet, own_tools, register_rows
from classpack.planning.needs_swaps import (
    Place,
    Settled,
    Swaps,
    excluded_at,
    places_of,
    places_of_base,
)
from classpack.planning.needs_vocabulary import (
    WHOLE_CLASS,
    is_none,
    list_for,
    vocabulary,
)
from classpack.planning.needs_words import words_in_steps

TUTOR = -1
"""The index that stands for the tutor."""

DECIDE = "decide and give the reason, as in 'decision: {what: watches only, reason: ...}': watches only, does not attend"


def resolve(
    lesson: Lesson,
    day: ClassDay,
    larder: Larder,
    diets: tuple[Diet, ...] = (),
    keep_days: int = 30,
) -> NeedsPlan:
    """What everybody makes, uses and must be asked again.

    Args:
        diets: ways of eating the tutor defined in the class file.
        keep_days: how long after the class the needs sheet may be kept.

    Raises:
        LessonError: with a problem, at its place in the file, for every need that is not met.
    """
    return _Resolver(lesson, day, larder, diets).plan(keep_days)


def shareable(day: ClassDay) -> ClassDay:
    """The class day without anything about anybody's health or belief, for everything that is not confidential."""
    people = tuple(replace(person, needs=(), asked=True, decision=None) for person in day.people)
    return replace(day, people=people, tutor_needs=())


def final_ingredients(
    lesson: Lesson, changes: Sequence[Change], makings: Iterable[Making]
) -> frozenset[str]:
    """Every ingredient that is in or on what is made, bench and tin included, once ``changes`` are made.

    Changes count from the lesson as written. One for a bread goes before one for the base dough, which also holds for what
    the bread uses; of two alike the later counts.
    """
    breads = [lesson.variation(name) for name in dict.fromkeys(one.variation for one in makings)]
    if not breads:
        return frozenset()
    base = [line.ingredient for line in lesson.base.formula.lines]
    base += [line.ingredient for one in lesson.base.formula.preferments for line in one.lines]
    base += [use.ingredient for use in lesson.base.uses]
    found = {_changed(name, "", changes) for name in base}
    for bread in breads:
        found |= {_changed(use.ingredient, bread.name, changes) for use in bread.uses}
    return frozenset(found - {""})


def _changed(name: str, variation: str, changes: Sequence[Change]) -> str:
    into = name
    for change in changes:
        if change.out == name and change.variation in ("", variation):
            into = change.into
    return into


@dataclass(frozen=True, slots=True)
class _Ban:
    """Something the whole class goes without. ``index`` is who needs it, None when the class file says so."""

    need: StatedNeed
    index: int | None
    tutor_says: bool = False


@dataclass(slots=True)
class _Unmet:
    """Why one need of one person is not met."""

    need: StatedNeed
    index: int | None
    details: list[str] = field(default_factory=list)
    room: bool = False
    everyone: bool = False
    in_dough: bool = False


class _Resolver:
    def __init__(
        self, lesson: Lesson, day: ClassDay, larder: Larder, diets: tuple[Diet, ...]
    ) -> None:
        self.lesson, self.day, self.larder = lesson, day, larder
        self.problems: list[Problem] = []
        self.where = day.spot or Spot(day.file, 1)
        self.words, wrong = vocabulary(day.region, diets, larder, self.where)
        self.problems += wrong
        self.swaps = Swaps(lesson, larder)
        self.needs = [self._stated(person.needs, person.spot) for person in day.people]
        self.tutor_needs = self._stated(day.tutor_needs, day.spot)
        self.attends = tuple(
            person.decision is None or person.decision.what != "does not attend"
            for person in day.people
        )
        self.makings = tuple(_final_makings(person) for person in day.people)
        made = {making.variation for makes in self.makings for making in makes}
        made |= {making.variation for making in (*day.demonstration, *day.spare)}
        self.active = frozenset(made)
        self.base = places_of_base(lesson)
        self.of = {one.name: places_of(one) for one in lesson.variations}
        self.class_changes: dict[tuple[str, str], Change] = {}
        self.class_failed: dict[tuple[str, str], str] = {}
        self.removals: dict[tuple[str, str], tuple[list[str], dict[str, None]]] = {}
        self.unmet: dict[tuple[int | None, str], _Unmet] = {}

    # ------------------------------------------------------------ what is stated

    def _stated(self, needs: Sequence[Need], where: Spot | None) -> tuple[StatedNeed, ...]:
        found: list[StatedNeed] = []
        nones = []
        for need in needs:
            spot = need.spot or where or self.where
            if is_none(need.name):
                nones.append(spot)
                continue
            stated, wrong = self.words.understood(need, spot)
            found += stated
            self.problems += wrong
        if nones and len(needs) > len(nones):
            self.problems.append(
                Problem(
                    nones[0],
                    "'none' stands beside other needs",
                    "ask again, and write either 'none' or what the person must not have",
                )
            )
        return tuple(found)

    def _asked(self) -> None:
        for index, person in enumerate(self.day.people):
            if person.asked or person.needs or self.day.ask_at_the_door or not self.attends[index]:
                continue
            self.problems.append(
                Problem(
                    person.spot or self.where,
                    f"nobody asked the person at seat {person.seat} about allergies and diets",
                    "ask, and write 'needs: none' or what they must not have; or write 'ask at the door: yes' for the class",
                )
            )

    def _vouched_for(self) -> None:
        """Every ingredient of the lesson and its swaps must be known, with allergens from the vocabulary."""
        places = [*self.base, *(place for places in self.of.values() for place in places)]
        named: dict[str, Spot | None] = {place.ingredient: place.spot for place in places}
        for swap in (*self.lesson.swaps, *(s for one in self.lesson.variations for s in one.swaps)):
            if swap.into:
                named.setdefault(swap.into, swap.spot)
        for name, spot in named.items():
            ingredient = self.larder.get(name)
            if ingredient is None:
                self.problems.append(
                    Problem(
                        spot or Spot(self.lesson.file, 1),
                        f"nobody says which allergens '{name}' holds: it is not in the larder",
                        "add it to your larder with its allergens, or 'allergens: none'",
                    )
                )
                continue
            for allergen in sorted(stated_allergens(ingredient) - set(IDS)):
                self.problems.append(
                    Problem(
                        ingredient.spot or spot or Spot(self.lesson.file, 1),
                        f"{name} states the allergen '{allergen}', which is not known here",
                        f"write it as one of: {', '.join(IDS)}",
                    )
                )

    # ------------------------------------------------------------ out for the whole class

    def _bans(self) -> list[_Ban]:
        found = [ban for text in self.day.leave_out if (ban := self._left_out(text))]
        for index, person in enumerate(self.day.people):
            if not self.attends[index]:
                continue
            everyone = (
                person.decision is not None and person.decision.what == "left out for everyone"
            )
            if everyone and not any(need.kind != "state" for need in self.needs[index]):
                assert person.decision is not None
                self.problems.append(
                    Problem(
                        person.decision.spot or person.spot or self.where,
                        "the decision leaves out for everyone what this person must not have, and they have no such need",
                        "write what they must not have below 'needs:', or take the decision away",
                    )
                )
            for need in self.needs[index]:
                if need.kind != "state" and (everyone or self._for_whole_class(need)):
                    found.append(_Ban(need, index, everyone))
        found += [
            _Ban(need, TUTOR) for need in self.tutor_needs if need.kind in ("allergy", "coeliac")
        ]
        return found

    def _for_whole_class(self, need: StatedNeed) -> bool:
        if need.kind not in ("allergy", "coeliac"):
            return False
        if need.allergens & WHOLE_CLASS or _is_room_need(need):
            return True
        return any(
            _flies(ingredient) and excluded_by(need, ingredient)
            for ingredient in self._in_the_room()
        )

    def _in_the_room(self) -> list[Ingredient]:
        names = [place.ingredient for place in self.base]
        names += [place.ingredient for name in self.active for place in self.of.get(name, ())]
        return [one for name in dict.fromkeys(names) if (one := self.larder.get(name))]

    def _left_out(self, text: str) -> _Ban | None:
        known = self.larder.get(text) is not None
        terms, _ = self.words.understood(Need(text), self.where)
        terms = tuple(term for term in terms if term.kind != "state")
        if not terms and not known:
            self.problems.append(
                Problem(
                    self.where,
                    f"'{text}' is left out for everyone, and is neither an ingredient nor an allergen known here",
                    f"write an ingredient of the larder, or one of: {list_for(self.day.region)}",
                )
            )
            return None
        need = StatedNeed(
            typed=text,
            id=f"left out: {text}",
            label=text,
            kind="diet",
            allergens=frozenset[str]().union(*(term.allergens for term in terms)),
            tags=frozenset[str]().union(*(term.tags for term in terms)),
            ingredients=frozenset({text} if known else ()).union(
                *(term.ingredients for term in terms)
            ),
            words=frozenset[str]().union(*(term.words for term in terms)),
            severe=False,
        )
        return _Ban(need, None, True)

    def _banned(self, bans: Sequence[_Ban]) -> None:
        """Class-wide changes, for every place of the lesson."""
        self.bans = tuple(bans)
        self.flying = [
            need
            for index, needs in enumerate(self.needs)
            if self.attends[index]
            for need in needs
            if need.kind in ("allergy", "coeliac")
        ]
        for place in (*self.base, *(p for places in self.of.values() for p in places)):
            ingredient = self.larder.get(place.ingredient)
            if ingredient is None:
                continue
            users = self._users(place) if place.shared else []
            against = [ban for ban in bans if excluded_by(ban.need, ingredient)]
            against += [
                _Ban(need, index)
                for index, need in users
                if excluded_at(need, ingredient, place.after_bake)
                and all((ban.index, ban.need.id) != (index, need.id) for ban in against)
            ]
            if against:
                self._take_out(place, ingredient, against, [need for _, need in users])

    def _take_out(
        self, place: Place, ingredient: Ingredient, against: list[_Ban], users: list[StatedNeed]
    ) -> None:
        key = (place.variation, place.ingredient)
        in_use = not place.variation or place.variation in self.active
        room = [ban for ban in against if _is_room_need(ban.need) and _flies(ingredient)]
        breads = frozenset({place.variation}) if place.variation else self.active
        needs = [ban.need for ban in against]
        settled = (
            Settled(None, "flour")
            if room
            else self.swaps.settle(
                place,
                breads,
                lambda one, after: self._may_not_go_in(one, after, users),
                needs,
                any(ban.tutor_says for ban in against),
            )
        )
        if settled.change is not None:
            self.class_changes[key] = settled.change
            where, why = self.removals.setdefault((place.ingredient, settled.change.into), ([], {}))
            where.append(place.where)
            why.update(dict.fromkeys(ban.need.label for ban in against))
            return
        self.class_failed[key] = settled.why_not
        if not in_use:
            return
        for ban in room or against:
            held = _words(excluded_at(ban.need, ingredient, place.after_bake))
            unmet = self._not_met(ban.index, ban.need)
            unmet.room = unmet.room or bool(room)
            unmet.everyone = unmet.everyone or ban in self.bans
            unmet.in_dough = unmet.in_dough or place.in_formula
            unmet.details.append(
                f"{place.ingredient} ({held})"
                if room
                else f"{place.ingredient} ({held}) in {place.where} cannot be taken out for everyone: {settled.why_not}"
            )

    def _may_not_go_in(
        self, ingredient: Ingredient, after_bake: bool, needs: Iterable[StatedNeed]
    ) -> str:
        """Why an ingredient may not come in: what the class goes without, a flour somebody is allergic to, ``needs``."""
        if stated_allergens(ingredient) - set(IDS):
            return "allergens nobody knows"
        for ban in self.bans:
            if held := excluded_by(ban.need, ingredient):
                return _words(held)
        if _flies(ingredient):
            for need in self.flying:
                if held := excluded_by(need, ingredient):
                    return _words(held)
        for need in needs:
            if held := excluded_at(need, ingredient, after_bake):
                return _words(held)
        return ""

    def _users(self, place: Place) -> list[tuple[int, StatedNeed]]:
        """Needs of everybody who uses a shared tub."""
        return [
            (index, need)
            for index, makes in enumerate(self.makings)
            if makes and any(place.variation in ("", making.variation) for making in makes)
            for need in self.needs[index]
        ]

    # ------------------------------------------------------------ each person

    def _person(
        self, index: int, makes: Sequence[Making]
    ) -> tuple[list[Change], list[Outcome], list[_Unmet]]:
        """One person's changes and outcomes, and what is not met, if they make ``makes``."""
        breads = frozenset(making.variation for making in makes)
        changes: list[Change] = []
        unmet: list[_Unmet] = []
        reasons: dict[str, list[Reason]] = {name: [] for name in ("", *breads)}
        for place in (*self.base, *(p for name in sorted(breads) for p in self.of[name])):
            change, why = self._at(index, place, breads, unmet)
            if change is not None:
                changes.append(change)
            reasons[place.variation] += why
        outcomes = []
        for making in makes:
            why = [*reasons[""], *reasons[making.variation]]
            result = max((one.action for one in why), key=RESULTS.index, default="fine")
            outcomes.append(Outcome(index, making.variation, result, tuple(why)))
        return changes, outcomes, unmet

    def _at(
        self, index: int, place: Place, breads: frozenset[str], unmet: list[_Unmet]
    ) -> tuple[Change | None, list[Reason]]:
        ingredient = self.larder.get(place.ingredient)
        if ingredient is None:
            return None, []
        needs = self.needs[index]
        key = (place.variation, place.ingredient)
        against = [n for n in needs if excluded_at(n, ingredient, place.after_bake)]
        change = self.class_changes.get(key)
        everyone = change is not None
        now = self.larder.get(change.into) if change else ingredient
        still = [n for n in needs if now and excluded_at(n, now, place.after_bake)]
        if still:
            scope = frozenset({place.variation}) if place.variation else breads
            if key in self.class_failed or place.shared:
                settled = Settled(
                    None, self.class_failed.get(key, "it is used from one tub by several")
                )
            else:
                settled = self.swaps.settle(
                    place, scope, lambda one, after: self._may_not_go_in(one, after, needs), needs
                )
            if settled.change is None:
                held = _words(
                    dict.fromkeys(
                        w
                        for n in still
                        for w in excluded_at(n, now or ingredient, place.after_bake)
                    )
                )
                unmet += [
                    _Unmet(
                        n,
                        index,
                        [f"{place.ingredient} ({held}) in {place.where}: {settled.why_not}"],
                    )
                    for n in still
                ]
                return change, []
            change, everyone = settled.change, False
        if change is None:
            return None, []
        against += [n for n in still if n not in against]
        return change, [_reason(n, ingredient, place, change, everyone) for n in against]

    def _not_met(self, index: int | None, need: StatedNeed) -> _Unmet:
        return self.unmet.setdefault((index, need.id), _Unmet(need, index))

    # ------------------------------------------------------------ all of it

    def plan(self, keep_days: int) -> NeedsPlan:
        self._asked()
        self._vouched_for()
        self._banned(self._bans())
        versions: list[Version] = []
        outcomes: list[tuple[Outcome, ...]] = []
        for index, person in enumerate(self.day.people):
            makes = self.makings[index]
            changes, found, unmet = self._person(index, makes) if makes else ([], [], [])
            for one in unmet:
                if (index, one.need.id) not in self.unmet:
                    self.unmet[index, one.need.id] = one
                elif not self.unmet[index, one.need.id].room:
                    mine = self.unmet[index, one.need.id].details
                    mine += [d for d in one.details if not any(d.split(":")[0] in m for m in mine)]
            versions.append(Version(tuple(changes)))
            outcomes.append((*found, *_decided(index, person, makes)))
        self._watching()
        self.problems += [self._problem(one) for one in self.unmet.values()]
        self.problems += words_in_steps(
            self.lesson,
            self.active,
            [ban.need for ban in self.bans],
            self.needs,
            self.makings,
        )
        if self.problems:
            raise LessonError(self.problems)
        return self._finished(versions, outcomes, keep_days)

    def _finished(
        self, versions: list[Version], outcomes: list[tuple[Outcome, ...]], keep_days: int
    ) -> NeedsPlan:
        day, lesson = self.day, self.lesson
        everyone = tuple(self.class_changes.values())
        used = [
            final_ingredients(lesson, versions[i].changes, makes)
            for i, makes in enumerate(self.makings)
        ]
        tutor_uses = final_ingredients(lesson, everyone, (*day.demonstration, *day.spare))
        self._look_again(used, tutor_uses, versions)
        room = tutor_uses.union(*used)
        mixes_alone = frozenset(
            i
            for i, version in enumerate(versions)
            if self.makings[i]
            and day.mixed_by != "each person"
            and _dough(version.changes, lesson) != _dough(everyone, lesson)
        )
        facts = ClassNeeds(
            lesson=lesson,
            day=day,
            larder=self.larder,
            needs=tuple(self.needs),
            tutor_needs=self.tutor_needs,
            makings=self.makings,
            attends=self.attends,
            versions=tuple(versions),
            for_everyone=everyone,
            outcomes=tuple(outcomes),
            used=tuple(used),
            room=room,
            by_bread=self._by_bread(versions, everyone),
            whole_class=frozenset((b.index, b.need.id) for b in self.bans if b.index is not None),
            removals=tuple(
                Removal(name, into, tuple(where), tuple(why))
                for (name, into), (where, why) in self.removals.items()
            ),
        )
        sheet = needs_sheet(facts, keep_days)
        return NeedsPlan(
            versions=tuple(versions),
            makings=self.makings,
            attends=self.attends,
            for_everyone=everyone,
            mixes_alone=mixes_alone,
            own_tools=own_tools(facts),
            stations=stations_carry(day, used, self.larder),
            weigh_turns=weigh_turns(room, self.larder),
            register=register_rows(facts),
            buy_checks=joined_checks(c for one in sheet.people for c in one.pack_checks),
            sheet=sheet,
        )

    def _by_bread(
        self, versions: list[Version], everyone: tuple[Change, ...]
    ) -> tuple[tuple[str, frozenset[str]], ...]:
        """What each bread in the room holds, in anybody's version of it."""
        found: dict[str, frozenset[str]] = {}
        tables = [(makes, versions[i].changes) for i, makes in enumerate(self.makings)]
        for makes, changes in [*tables, ((*self.day.demonstration, *self.day.spare), everyone)]:
            for making in makes:
                names = final_ingredients(self.lesson, changes, (making,))
                found[making.variation] = found.get(making.variation, frozenset()) | names
        return tuple((name, found[name]) for name in self.of if name in found)

    def _look_again(
        self, used: list[frozenset[str]], tutor_uses: frozenset[str], versions: list[Version]
    ) -> None:
        """The last look: what everybody really gets, against what they must not have."""
        found: list[Problem] = []
        for index, names in enumerate(used):
            wanted = [*self.needs[index], *(ban.need for ban in self.bans)]
            found += self._still_there(names, wanted, self.day.people[index].spot)
        found += self._still_there(tutor_uses, [ban.need for ban in self.bans], self.day.spot)
        if found:
            raise LessonError(found)

    def _still_there(
        self, names: frozenset[str], needs: Iterable[StatedNeed], spot: Spot | None
    ) -> list[Problem]:
        return [
            Problem(
                need.spot or spot or self.where,
                f"the need '{need.typed}' is not met: {name} is still used",
                "add a swap to the lesson that does not lead back to it",
            )
            for need in needs
            for name in sorted(names)
            if excluded_by(need, self.larder[name])
        ]

    def _watching(self) -> None:
        """Who only watches still breathes the flour: a wheat allergy that may be severe is not met by watching."""
        for (index, _), one in list(self.unmet.items()):
            if index is None or index == TUTOR or not one.room:
                continue
            decision = self.day.people[index].decision
            if (
                decision
                and decision.what == "watches only"
                and not (_breathes(one.need) and one.need.severe)
            ):
                del self.unmet[index, one.need.id]

    def _problem(self, one: _Unmet) -> Problem:
        typed = one.need.typed if len(one.need.typed) <= 60 else one.need.typed[:57] + "..."
        if one.index is None:
            return Problem(
                self.where,
                f"'{typed}' cannot be left out for everyone: {'; '.join(dict.fromkeys(one.details))}",
                "add a swap to the lesson, or take the breads that hold it out of the class",
            )
        spot = one.need.spot or self.where
        seat = "the tutor" if one.index == TUTOR else f"seat {self.day.people[one.index].seat}"
        details = list(dict.fromkeys(one.details))
        if one.room:
            held = ", ".join(details)
            wrong = f"the need '{typed}' of {seat} cannot be met in this room: there is {held} in the air and on every bench, and no swap mends that"
            right = "offer a class in a room without it, and write 'decision: {what: does not attend, reason: ...}'"
            if one.index == TUTOR:
                right = "let another tutor teach this class, or choose a lesson without it"
            elif not (_breathes(one.need) and one.need.severe):
                right += "; they may also choose 'watches only', knowing of the flour in the air"
            return Problem(spot, wrong, right)
        wrong = f"the need '{typed}' of {seat} is not met: {'; '.join(details)}"
        if one.index == TUTOR:
            return Problem(spot, wrong, "add a swap to the lesson, or choose breads without it")
        if one.everyone:
            leave = "" if one.in_dough else f", or write 'leave out for everyone: {one.need.label}'"
            return Problem(
                spot,
                wrong,
                f"add a swap to the lesson{leave}, or take the breads that hold it out of the class, or write "
                "'decision: {what: does not attend, reason: ...}'",
            )
        return Problem(spot, wrong, self._ways_out(one.index, one.in_dough))

    def _ways_out(self, index: int, in_dough: bool) -> str:
        fine = [
            name
            for name in self.of
            if not self._class_fails(name)
            and not self._person(index, (Making(name, 1),))[2]
            and all(making.variation != name for making in self.makings[index])
        ]
        something_else = ""
        if fine:
            more = f" ({', '.join(fine[1:])} would do too)" if len(fine) > 1 else ""
            something_else = f"'decision: {{makes: {fine[0]}, reason: ...}}'{more}, or "
        left_out = "" if in_dough else ", 'left out for everyone'"
        return (
            f"add a swap to the lesson, or write {something_else}'decision: {{what: watches only, reason: ...}}' "
            f"('does not attend'{left_out} are the other choices)"
        ).replace("('does not attend' are the other choices)", "(or 'does not attend')")

    def _class_fails(self, name: str) -> bool:
        return any(
            (p.variation, p.ingredient) in self.class_failed for p in (*self.base, *self.of[name])
        )


def _final_makings(person: Person) -> tuple[Making, ...]:
    decision = person.decision
    if decision is None or decision.what == "left out for everyone":
        return person.makes
    return decision.makes if decision.what == "makes" else ()


def _decided(index: int, person: Person, makes: Sequence[Making]) -> list[Outcome]:
    """What became of the breads a decision took away."""
    decision = person.decision
    if decision is None or decision.what == "left out for everyone":
        return []
    kept = {making.variation for making in makes}
    result = "makes something else" if makes else "not possible"
    instead = ", ".join(sorted(kept)) or decision.what
    return [
        Outcome(
            index,
            one.variation,
            result,
            (Reason("", "", "", one.variation, result, instead, False, decision.reason),),
        )
        for one in person.makes
        if one.variation not in kept
    ]


def _reason(
    need: StatedNeed, ingredient: Ingredient, place: Place, change: Change, everyone: bool
) -> Reason:
    held = _words(excluded_at(need, ingredient, place.after_bake))
    if not held:
        held = f"what takes its place holds {need.label}"
    done = f"{change.into} instead" if change.into else "left out"
    text = f"{ingredient.name} ({held}) in {place.where}: {done}{', for everyone' if everyone else ''}."
    action = "swapped" if change.into else "left out"
    return Reason(
        need.label, ingredient.name, held, place.where, action, change.into, everyone, text
    )


def _words(held: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(held))


def _dough(changes: Iterable[Change], lesson: Lesson) -> frozenset[tuple[str, str]]:
    """The changes that alter what is mixed."""
    formula = lesson.base.formula
    mixed = {line.ingredient for line in formula.lines}
    mixed |= {line.ingredient for one in formula.preferments for line in one.lines}
    return frozenset((c.out, c.into) for c in changes if not c.variation and c.out in mixed)


def _is_room_need(need: StatedNeed) -> bool:
    """Coeliac disease or a wheat allergy: flour of it in the room cannot be swapped away."""
    return need.kind == "coeliac" or _breathes(need)


def _breathes(need: StatedNeed) -> bool:
    return need.kind == "allergy" and "gluten:wheat" in need.allergens


def _flies(ingredient: Ingredient) -> bool:
    """Is it a flour, or a starter kept alive with one?"""
    return ingredient.kind in ("flour", "starter")
