"""The rules by which needs are met, place by place: first for the whole class, then for each person."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from classpack.errors import Problem
from classpack.model.allergens import IDS
from classpack.model.class_day import Making, MustNotHave, Person
from classpack.model.class_plan import Change
from classpack.model.larder import Ingredient
from classpack.model.needs import RESULTS, Outcome, Reason, Removal, Result, StatedNeed
from classpack.planning.needs.holdings import excluded_by, stated_allergens
from classpack.planning.needs.problems import TUTOR, Unmet, problem
from classpack.planning.needs.stated import Stated
from classpack.planning.needs.swaps import Place, SettledPlace, excluded_at
from classpack.planning.needs.terms import WHOLE_CLASS
from classpack.planning.needs.vocabulary import list_for


@dataclass(frozen=True, slots=True)
class Ban:
    """Something the whole class goes without. ``index`` is whose need it is, -1 the tutor's, None the class file's word."""

    need: StatedNeed
    index: int | None
    tutor_says: bool = False


class Rules:
    """A class being resolved: class-wide changes are made at once, each person's when asked for."""

    def __init__(self, stated: Stated) -> None:
        self.stated = stated
        self.problems: list[Problem] = []
        self.unmet: dict[tuple[int | None, str], Unmet] = {}
        self.changes: dict[tuple[str, str], Change] = {}
        self.failed: dict[tuple[str, str], str] = {}
        self._removed: dict[tuple[str, str], tuple[list[str], dict[str, None]]] = {}
        self.bans = tuple(self._bans())
        self._near_flour = tuple(
            need
            for index, needs in enumerate(stated.needs)
            for need in needs
            if self._counts(index, need) and need.kind in ("allergy", "coeliac")
        )
        for place in stated.places():
            self._for_everyone(place)

    # ------------------------------------------------------------ out for the whole class

    def _counts(self, index: int, need: StatedNeed) -> bool:
        """Does the need of this person bear on the room? Of those who only watch, what travels through the air does."""
        if self.stated.makings[index]:
            return True
        travels = bool(need.allergens & WHOLE_CLASS) or need.severe
        return self.stated.attends[index] and need.kind == "allergy" and travels

    def _bans(self) -> Iterable[Ban]:
        stated = self.stated
        for text in stated.day.leave_out:
            if ban := self._left_out(text):
                yield ban
        for index, person in enumerate(stated.day.people):
            decision = person.decision
            everyone = decision is not None and decision.what == "left out for everyone"
            wanted = [need for need in stated.needs[index] if need.kind != "state"]
            if decision is not None and everyone and not wanted:
                self.problems.append(
                    Problem(
                        decision.spot or person.spot or stated.where,
                        "the decision leaves out for everyone what this person must not have, and no such need is stated",
                        "write what they must not have below 'needs:', or take the decision away",
                    )
                )
            for need in wanted:
                if self._counts(index, need) and (everyone or self._whole_class(need)):
                    yield Ban(need, index, everyone)
        for need in stated.tutor_needs:
            if need.kind in ("allergy", "coeliac"):
                yield Ban(need, TUTOR)

    def _whole_class(self, need: StatedNeed) -> bool:
        if need.kind not in ("allergy", "coeliac"):
            return False
        return (
            need.whole_class
            or bool(need.allergens & WHOLE_CLASS)
            or is_room_need(need)
            or any(
                _flies(one) and excluded_by(need, one) for one in self.stated.ingredients_in_use()
            )
        )

    def _left_out(self, text: str) -> Ban | None:
        """The class file's ``leave out for everyone``: an ingredient, an allergen or a diet; where a word is two, both."""
        stated = self.stated
        known = stated.larder.get(text) is not None
        found, _ = stated.words.understood(MustNotHave(text), stated.where)
        terms = [term for term in found if term.kind != "state"]
        if not terms and not known:
            self.problems.append(
                Problem(
                    stated.where,
                    f"'{text}' is left out for everyone, and is neither an ingredient nor an allergen known here",
                    f"write an ingredient of the larder, or one of: {list_for(stated.day.region)}",
                )
            )
            return None
        none = frozenset[str]()
        need = StatedNeed(
            typed=text,
            id=f"left out: {text}",
            label=text,
            kind="diet",
            allergens=none.union(*(term.allergens for term in terms)),
            tags=none.union(*(term.tags for term in terms)),
            ingredients=none.union({text} if known else (), *(t.ingredients for t in terms)),
            words=none.union(*(term.words for term in terms)),
            severe=False,
        )
        return Ban(need, None, True)

    def _for_everyone(self, place: Place) -> None:
        """Take a place's ingredient out for everyone, if a ban or somebody who uses the same tub asks for it."""
        stated = self.stated
        ingredient = stated.larder.get(place.ingredient)
        if ingredient is None:
            return
        users = self._users(place) if place.shared else []
        against = [ban for ban in self.bans if excluded_by(ban.need, ingredient)]
        banned = {(ban.index, ban.need.id) for ban in against}
        against += [
            Ban(need, index)
            for index, need in users
            if excluded_at(need, ingredient, place.after_bake) and (index, need.id) not in banned
        ]
        if not against:
            return
        room = [ban for ban in against if is_room_need(ban.need) and _flies(ingredient)]
        settled = (
            SettledPlace(None, "no swap keeps flour out of the air")
            if room
            else stated.swaps.settle(
                place,
                frozenset({place.variation}) if place.variation else stated.active,
                lambda one, after: self._keeps_out(one, after, (need for _, need in users)),
                [ban.need for ban in against],
                any(ban.tutor_says for ban in against),
            )
        )
        if settled.change is None:
            self.failed[place.variation, place.ingredient] = settled.why_not
            if stated.in_use(place):
                self._cannot(place, ingredient, room or against, bool(room), settled.why_not)
            return
        self.changes[place.variation, place.ingredient] = settled.change
        if stated.in_use(place):
            key = (place.ingredient, settled.change.into)
            where, why = self._removed.setdefault(key, ([], {}))
            where.append(place.variation)
            why.update(dict.fromkeys(ban.need.label for ban in against))

    def _users(self, place: Place) -> list[tuple[int, StatedNeed]]:
        """Needs of everybody who uses a shared tub."""
        return [
            (index, need)
            for index, makes in enumerate(self.stated.makings)
            if any(place.variation in ("", making.variation) for making in makes)
            for need in self.stated.needs[index]
        ]

    def _cannot(
        self, place: Place, ingredient: Ingredient, bans: Sequence[Ban], room: bool, why_not: str
    ) -> None:
        for ban in bans:
            held = words(excluded_at(ban.need, ingredient, place.after_bake))
            what = f"{place.ingredient} ({held})"
            unmet = self.unmet.setdefault((ban.index, ban.need.id), Unmet(ban.need, ban.index))
            if room and not unmet.room:
                unmet.room, unmet.details = True, []
            if unmet.room and not room:
                continue
            unmet.everyone = unmet.everyone or ban in self.bans
            unmet.in_dough = unmet.in_dough or place.in_formula
            unmet.details.append(
                what
                if room
                else f"{what} in {place.where} cannot be taken out for everyone: {why_not}"
            )

    def _keeps_out(
        self, ingredient: Ingredient, after_bake: bool, needs: Iterable[StatedNeed]
    ) -> str:
        """Why an ingredient may not come in: allergens nobody knows, what the class goes without, a flour that somebody in
        the room is allergic to, or one of ``needs``."""
        if stated_allergens(ingredient) - set(IDS):
            return "allergens nobody knows"
        wide = [ban.need for ban in self.bans]
        if _flies(ingredient):
            wide += self._near_flour
        for need in wide:
            if held := excluded_by(need, ingredient):
                return words(held)
        for need in needs:
            if held := excluded_at(need, ingredient, after_bake):
                return words(held)
        return ""

    @property
    def removals(self) -> tuple[Removal, ...]:
        """What the whole class goes without, where, and for which needs."""
        return tuple(
            Removal(name, into, tuple(where), tuple(why))
            for (name, into), (where, why) in self._removed.items()
        )

    # ------------------------------------------------------------ each person

    def person(
        self, index: int, makes: Sequence[Making]
    ) -> tuple[tuple[Change, ...], tuple[Outcome, ...], list[Unmet]]:
        """One person's changes and outcomes, and what is not met, if they make ``makes``."""
        stated = self.stated
        breads = frozenset(making.variation for making in makes)
        changes: list[Change] = []
        unmet: list[Unmet] = []
        reasons: dict[str, list[Reason]] = {name: [] for name in ("", *breads)}
        own = [place for name in sorted(breads) for place in stated.of[name]]
        for place in (*stated.base, *own) if makes else ():
            change, why = self._at(index, place, breads, unmet)
            changes += [change] if change else []
            reasons[place.variation] += why
        outcomes = []
        for making in makes:
            both = (*reasons[""], *reasons[making.variation])
            result: Result = max((one.action for one in both), key=RESULTS.index, default="fine")
            outcomes.append(Outcome(index, making.variation, result, both))
        return tuple(changes), tuple(outcomes), unmet

    def _at(
        self, index: int, place: Place, breads: frozenset[str], unmet: list[Unmet]
    ) -> tuple[Change | None, list[Reason]]:
        """What one person uses at one place: the lesson's ingredient, everyone's change, or a change of their own."""
        stated = self.stated
        ingredient = stated.larder.get(place.ingredient)
        if ingredient is None:
            return None, []
        needs = stated.needs[index]
        key = (place.variation, place.ingredient)
        change = self.changes.get(key)
        everyone = change is not None
        now = stated.larder.get(change.into) if change else ingredient
        against = [n for n in needs if excluded_at(n, ingredient, place.after_bake)]
        still = [n for n in needs if now and excluded_at(n, now, place.after_bake)]
        if still and now:
            settled = SettledPlace(None, self.failed.get(key, "several people use it from one tub"))
            if key not in self.failed and not place.shared:
                settled = stated.swaps.settle(
                    place,
                    frozenset({place.variation}) if place.variation else breads,
                    lambda one, after: self._keeps_out(one, after, needs),
                    needs,
                )
            if settled.change is None:
                for need in still:
                    held = words(excluded_at(need, now, place.after_bake))
                    detail = f"{now.name} ({held}) in {place.where}: {settled.why_not}"
                    unmet.append(Unmet(need, index, [detail], in_dough=place.in_formula))
                return None, []
            change, everyone = settled.change, False
            against += [n for n in still if n not in against]
        if change is None:
            return None, []
        return change, [_reason(n, ingredient, place, change, everyone) for n in against]

    # ------------------------------------------------------------ what is not met

    def not_met(self) -> list[Problem]:
        """A problem for every need that is not met, with the breads that would do instead."""
        found = []
        for (index, _), one in self.unmet.items():
            seat, fine = "", []
            if index is not None and index != TUTOR:
                seat = self.stated.day.people[index].seat
                fine = self._would_do(index)
            found.append(problem(one, seat, fine, self.stated.where))
        return found

    def _would_do(self, index: int) -> list[str]:
        stated = self.stated
        made = {making.variation for making in stated.makings[index]}
        return [
            name
            for name in stated.of
            if name not in made
            and not any(
                (place.variation, place.ingredient) in self.failed
                for place in (*stated.base, *stated.of[name])
            )
            and not self.person(index, (Making(name, 1),))[2]
        ]


def decided(index: int, person: Person, makes: Sequence[Making]) -> tuple[Outcome, ...]:
    """What became of the breads a decision took away."""
    decision = person.decision
    if decision is None or decision.what == "left out for everyone":
        return ()
    kept = {making.variation for making in makes}
    result: Result = "makes something else" if makes else "not possible"
    instead = ", ".join(sorted(kept)) or decision.what
    return tuple(
        Outcome(
            index,
            one.variation,
            result,
            (Reason("", "", "", one.variation, result, instead, False, decision.reason),),
        )
        for one in person.makes
        if one.variation not in kept
    )


def _reason(
    need: StatedNeed, ingredient: Ingredient, place: Place, change: Change, everyone: bool
) -> Reason:
    held = words(excluded_at(need, ingredient, place.after_bake))
    return Reason(
        need=need.label,
        ingredient=ingredient.name,
        holds=held,
        variation=place.variation,
        action="swapped" if change.into else "left out",
        into=change.into,
        for_everyone=everyone,
    )


def words(held: Iterable[str]) -> str:
    """What is held, each once, for a sentence."""
    return ", ".join(dict.fromkeys(held))


def is_room_need(need: StatedNeed) -> bool:
    """Coeliac disease or a wheat allergy: flour of it in the room cannot be swapped away."""
    return need.kind == "coeliac" or (need.kind == "allergy" and "gluten:wheat" in need.allergens)


def _flies(ingredient: Ingredient) -> bool:
    """Is it a flour, something sold beside flour (bran, ground almonds), or a starter kept alive with flour?"""
    return ingredient.kind in ("flour", "starter") or ingredient.aisle == "flour"
