"""Every sentence a person gets, read after the swaps: what it names against what they must not have and what their bread holds.

A placeholder follows a swap; a word typed in a step does not. 'Scatter the sesame' on the card of a class without sesame, or
'almond milk' in the method of a swap, is the one way an allergen can still reach a bowl, and a food that is typed and not
declared is missing from the label: so both are problems. Which words name what is :mod:`classpack.food_words`' to say.

==============================  ==================================================  =======================  ===================
text                            stops                                               asks (stops as well)     remark
==============================  ==================================================  =======================  ===================
step, swap's method, fault      names a reader's need; or what the bread lacks       may hold a need; vague   other food it lacks
keeping line, about, template   names a reader's need; a claim                       may hold a need          what the bread lacks
talk, demonstration             a need, of what nobody's bread holds                 --                       what nobody's holds
name of a bread                 a need; what it lacks; a claim; vegan that is not    vague                    --
==============================  ==================================================  =======================  ===================
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from classpack.errors import Problem, Remark, Spot
from classpack.food_words import NamedFood, Reading, read_foods
from classpack.model.allergens import listed
from classpack.model.class_plan import Change
from classpack.model.larder import Ingredient, Larder
from classpack.model.lesson import Lesson, Use, Variation
from classpack.model.method import Demonstration, Placeholder, Step
from classpack.model.needs import StatedNeed
from classpack.planning.needs.holdings import allergens_of, diet_word, has_word
from classpack.planning.needs.terms import CEREALS, LABELS, NUTS

Place = Literal["step", "keeps", "page", "talk", "name"]
"""``keeps`` is printed for everybody who makes the bread; ``page`` texts only for those whose bread is as everybody's."""

_NUTS = frozenset({*NUTS, "peanuts"})
_ANIMALS = frozenset({"milk", "eggs", "fish", "crustaceans", "molluscs"})
_SEEDS = ("seed", "sesame", "saat", "samen", "kerne", "mohn", "sesam")


@dataclass(frozen=True, slots=True)
class Sentence:
    """One text of the lesson: what it is called in a message, and which bread it belongs to (empty: the base dough)."""

    place: Place
    called: str
    text: str
    bread: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Reader:
    """Somebody who gets the texts of ``bread`` (empty: the base dough's), or (no ``seat``) everybody at once.

    ``declared`` are the names of what is in or on what they make, after the swaps; ``changed`` says that their bread is not
    everybody's.
    """

    seat: str
    bread: str
    declared: frozenset[str]
    needs: tuple[StatedNeed, ...]
    changes: tuple[Change, ...]
    changed: bool = False


@dataclass(slots=True)
class Findings:
    """What the sentences are found to say. Remarks know of no need: they may stand on any sheet."""

    problems: list[Problem] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)


def read_sentences(
    lesson: Lesson,
    larder: Larder,
    readers: Sequence[Reader],
    region: str,
    language: str,
    own_words: Iterable[tuple[str, Spot]] = (),
) -> Findings:
    """Every sentence of ``lesson`` against each of its readers; of several findings about one sentence the worst is told.

    ``own_words`` are lines of the tutor's own templates: everybody reads them, so they are read like a keeping line.
    """
    found = Findings()
    breads = {reader.bread for reader in readers}
    check = _Check(lesson, larder, region, language, _held_by_all(readers))
    for sentence in _sentences(lesson, breads):
        own = [one for one in readers if one.bread == sentence.bread]
        if sentence.place == "page":
            own = [one for one in own if not one.changed]
        if sentence.place == "talk":
            own = list(readers)
        _tell(found, sentence, [check.finding(sentence, reader) for reader in own])
    for text, spot in own_words:
        said = Sentence("keeps", "the template", text, "", spot)
        _tell(found, said, [check.finding(said, reader) for reader in readers])
    for reader in readers:
        for change in reader.changes:
            if change.method:
                spot = _spot_of_swap(lesson, change)
                said = Sentence("step", "the swap's method", change.method, reader.bread, spot)
                _tell(found, said, [check.finding(said, reader)])
    found.problems = list(dict.fromkeys(found.problems))
    found.remarks = list(dict.fromkeys(found.remarks))
    return found


def _held_by_all(readers: Iterable[Reader]) -> frozenset[str]:
    return frozenset[str]().union(*(reader.declared for reader in readers))


# ---------------------------------------------------------------- the sentences of a lesson


def _sentences(lesson: Lesson, breads: set[str]) -> Iterator[Sentence]:
    """The texts of the base dough and of the breads somebody makes."""
    at = lesson.base.spot or Spot(lesson.file, 1)
    whole = dict(lesson.text_spots)
    yield Sentence("name", "the lesson's name", lesson.title, "", whole.get("lesson", at))
    yield Sentence("page", "'about'", lesson.about, "", whole.get("about", at))
    for talk in lesson.talks:
        for text in (talk.name, talk.say):
            yield Sentence("talk", "the talk", text, "", talk.spot or at)
    for fault in lesson.faults:
        for text in (fault.seen, fault.because, fault.mend):
            yield Sentence("page", "the fault", text, "", fault.spot or at)
    yield from _of_steps(lesson.base.method, "", lesson.file)
    yield from _of_uses(lesson.base.uses, "", at)
    for bread in lesson.variations:
        if bread.name in breads:
            yield from _of_bread(bread, lesson.file)


def _of_bread(bread: Variation, file: str) -> Iterator[Sentence]:
    at = bread.spot or Spot(file, 1)
    spots = dict(bread.text_spots)
    for key, text in (("name", bread.name), ("one", bread.one), ("many", bread.many)):
        yield Sentence("name", "the bread's name", text, bread.name, spots.get(key, at))
    yield Sentence("keeps", "'keeps'", bread.storage, bread.name, spots.get("keeps", at))
    yield Sentence("page", "'about'", bread.about, bread.name, spots.get("about", at))
    for fault in bread.faults:
        for text in (fault.seen, fault.because, fault.mend):
            yield Sentence("page", "the fault", text, bread.name, fault.spot or at)
    yield from _of_steps(bread.method, bread.name, file)
    yield from _of_uses(bread.uses, bread.name, at)
    yield from _of_demonstration(bread.demonstration, bread.name, at)


def _of_steps(steps: Iterable[Step], bread: str, file: str) -> Iterator[Sentence]:
    for step in steps:
        at = step.spot or Spot(file, 1)
        holes = "".join("{}" if isinstance(part, Placeholder) else part for part in step.text)
        for text in (step.head, holes, step.ready_when, step.meanwhile):
            yield Sentence("step", "the step", text, bread, at)
        yield from _of_demonstration(step.demonstration, bread, at)


def _of_demonstration(shown: Demonstration | None, bread: str, at: Spot) -> Iterator[Sentence]:
    if shown is not None:
        for text in (shown.show, shown.say, shown.watch):
            yield Sentence("talk", "the demonstration", text, bread, at)


def _of_uses(uses: Iterable[Use], bread: str, at: Spot) -> Iterator[Sentence]:
    for use in uses:
        yield Sentence("step", f"the note on {use.ingredient}", use.note, bread, use.spot or at)


def _spot_of_swap(lesson: Lesson, change: Change) -> Spot:
    swaps = (*lesson.swaps, *(swap for bread in lesson.variations for swap in bread.swaps))
    for swap in swaps:
        if swap.spot and swap.method and swap.method in change.method:
            return swap.spot
    return lesson.base.spot or Spot(lesson.file, 1)


# ---------------------------------------------------------------- one sentence, one reader


@dataclass(frozen=True, slots=True)
class _Finding:
    """``rank`` 3 stops for a need, 2 stops, 1 asks, 0 is a remark, -1 nothing."""

    rank: int = -1
    wrong: str = ""
    right: str = ""


_NOTHING = _Finding()


def _tell(found: Findings, sentence: Sentence, findings: Iterable[_Finding]) -> None:
    """One message for one sentence: the worst of what its readers meet in it."""
    worst = max(findings, key=lambda one: one.rank, default=_NOTHING)
    if worst.rank > 0:
        found.problems.append(Problem(sentence.spot, worst.wrong, worst.right))
    elif worst.rank == 0:
        found.remarks.append(Remark("allergens", f"{sentence.spot}: {worst.wrong}; {worst.right}."))


class _Check:
    """What one class declares, to hold a sentence against."""

    def __init__(
        self, lesson: Lesson, larder: Larder, region: str, language: str, held: frozenset[str]
    ) -> None:
        self.lesson, self.larder, self.language, self.held = lesson, larder, language, held
        self.listed = listed(region)
        self.written: dict[str, list[Ingredient]] = {
            bread: self._known(names) for bread, names in _as_written(lesson).items()
        }

    def _known(self, names: Iterable[str]) -> list[Ingredient]:
        return [one for name in sorted(names) if (one := self.larder.get(name))]

    def finding(self, sentence: Sentence, reader: Reader) -> _Finding:
        """What ``reader`` meets in the sentence."""
        for need in reader.needs if sentence.place != "talk" else ():
            text = sentence.text.casefold()
            other = need.kind == "allergy" and has_word(text, sorted(need.words))
            if word := other or diet_word(text, need.words):
                return self._stop_for(word, need.label, sentence, reader)
        reading = read_foods(sentence.text, self.language)
        if not reading.foods and not reading.claims and not reading.choices:
            return _NOTHING
        declared = self._known(reader.declared)
        if sentence.place == "talk":
            declared = self._known(self.held)
        held = frozenset[str]().union(*(allergens_of(one) for one in declared))
        own = self._own_names(sentence)
        findings = [
            self._of_food(food, sentence, reader, declared, held)
            for food in reading.foods
            if not (food.baked and food.word in own)
        ]
        findings += self._of_claims(reading, sentence, held)
        return max(findings, key=lambda one: one.rank, default=_NOTHING)

    def _own_names(self, sentence: Sentence) -> frozenset[str]:
        """The baked words of the bread's own name: its own list answers them."""
        name = sentence.bread or self.lesson.title
        texts = [name]
        if sentence.place in ("talk", "name") or not sentence.bread:
            texts += [self.lesson.title, *(bread.name for bread in self.lesson.variations)]
        return frozenset(
            food.word
            for text in texts
            for food in read_foods(text, self.language).foods
            if food.baked
        )

    def _of_claims(
        self, reading: Reading, sentence: Sentence, held: frozenset[str]
    ) -> Iterator[_Finding]:
        if sentence.place in ("keeps", "page", "name"):
            for claim in reading.claims:
                yield _Finding(
                    2,
                    f"{sentence.called} says '{claim}'",
                    "leave the words out: bread made in this room is not called free from anything",
                )
        if sentence.place == "name":
            for choice in reading.choices:
                if held & _ANIMALS and choice.startswith(("vegan", "plant", "pflanz")):
                    yield _Finding(
                        2,
                        f"{sentence.called} says '{choice}', and it holds {_labels(held & _ANIMALS)}",
                        "leave the word out, or leave out what is from an animal",
                    )

    def _of_food(
        self,
        food: NamedFood,
        sentence: Sentence,
        reader: Reader,
        declared: Sequence[Ingredient],
        held: frozenset[str],
    ) -> _Finding:
        names, may = food.holds, food.may_hold
        if food.asks:
            if self._answered(food, declared):
                return _NOTHING
            written = self._answered(food, self.written.get(sentence.bread, ()))
            if written:
                names, may = frozenset[str]().union(*map(allergens_of, written)), frozenset()
        elif same := _declared_as(food, declared):
            names = names - allergens_of(same)
            may = frozenset()  # its pack check asks already
        must_not = [need for need in reader.needs if need.kind != "state"]
        unwanted = frozenset[str]().union(*(need.allergens for need in must_not))
        if sentence.place == "talk":
            unwanted -= held
        lacks = names - held
        if names & unwanted:
            return self._stop(food, names & unwanted, sentence, reader)
        must_hold = sentence.place in ("step", "name") or sentence.called == "the fault"
        if must_hold and lacks & self.listed:
            return self._undeclared(food, lacks & self.listed, sentence)
        if may & unwanted and sentence.place != "talk":
            return self._asks_for(food, may & unwanted, sentence, reader)
        if food.asks and not names and not food.weak and sentence.place in ("step", "name"):
            return _Finding(
                1,
                f"{sentence.called} says '{food.said}', and nothing it is made of says which",
                f"name the food in braces, among the {_where(sentence)}, or leave the word out",
            )
        if lacks:
            beside = "it is not in the contains-line; leave it so if it is eaten beside the bread"
            return _Finding(0, f"{sentence.called} says '{food.said}' ({_labels(lacks)})", beside)
        return _NOTHING

    def _answered(self, food: NamedFood, ingredients: Iterable[Ingredient]) -> list[Ingredient]:
        return [one for one in ingredients if self._answers(food, one)]

    def _answers(self, food: NamedFood, one: Ingredient) -> bool:
        if food.asks in ("flour", "bread"):
            return one.kind in ("flour", "starter") or bool(allergens_of(one) & set(CEREALS))
        if food.asks == "nuts":
            return bool(allergens_of(one) & _NUTS)
        if food.asks == "seeds":
            return any(word in one.name.casefold() for word in _SEEDS)
        if food.asks == "glaze":
            return one.kind in ("milk", "egg") or one.name in self._glazes()
        if food.asks == "spread" and (one.kind == "fat" or "milk" in allergens_of(one)):
            return True
        return _called(food.word, one.name)

    def _glazes(self) -> frozenset[str]:
        uses = [use for bread in self.lesson.variations for use in bread.uses]
        return frozenset(use.ingredient for use in uses if use.purpose == "glaze")

    def _stop_for(self, word: str, label: str, sentence: Sentence, reader: Reader) -> _Finding:
        """A word of an allergy or a diet that no law lists."""
        who = f"{reader.seat} must not have it" if reader.seat else "the class goes without it"
        right = "write the ingredient's name in braces, so that it follows the swap, or leave the word out"
        return _Finding(3, f"{sentence.called} says '{word}' ({label}), and {who}", right)

    def _stop(
        self, food: NamedFood, held: frozenset[str], sentence: Sentence, reader: Reader
    ) -> _Finding:
        who = f"{reader.seat} must not have it" if reader.seat else "the class goes without it"
        wrong = f"{sentence.called} says '{food.said}' ({_labels(held)}), and {who}"
        if sentence.place == "name":
            return _Finding(3, wrong, "give the version without it a name of its own")
        return _Finding(3, wrong, _in_braces(food, sentence))

    def _undeclared(self, food: NamedFood, lacks: frozenset[str], sentence: Sentence) -> _Finding:
        what = sentence.bread or "the base dough"
        wrong = f"{sentence.called} says '{food.said}' ({_labels(lacks)}), and {what} is made without it"
        if sentence.place == "name":
            return _Finding(
                2, wrong, "call it after what it holds, or put it among the ingredients"
            )
        return _Finding(2, wrong, _in_braces(food, sentence))

    def _asks_for(
        self, food: NamedFood, may: frozenset[str], sentence: Sentence, reader: Reader
    ) -> _Finding:
        who = f"{reader.seat} must not have it" if reader.seat else "the class goes without it"
        return _Finding(
            1,
            f"{sentence.called} says '{food.said}', which may hold {_labels(may)}, and {who}",
            f"name what it is, in braces, among the {_where(sentence)}, or leave the word out",
        )


def _as_written(lesson: Lesson) -> Mapping[str, set[str]]:
    """What the lesson puts into each bread, and ("" ) into any of them, before a swap."""
    base = {line.ingredient for line in lesson.base.formula.lines}
    base |= {line.ingredient for one in lesson.base.formula.preferments for line in one.lines}
    base |= {use.ingredient for use in lesson.base.uses}
    found = {
        bread.name: base | {use.ingredient for use in bread.uses} for bread in lesson.variations
    }
    found[""] = base.union(*found.values())
    return found


def _declared_as(food: NamedFood, declared: Iterable[Ingredient]) -> Ingredient | None:
    """The declared ingredient that the words of a food name, whole or in part."""
    said = food.said.casefold()
    return next((one for one in declared if said in one.name.casefold()), None)


def _called(word: str, name: str) -> bool:
    """Does a declared name hold every part of a vague word? *Oiled* is answered by olive oil."""
    parts = word.casefold().replace("-", " ").split()
    return all(part.removesuffix("s").removesuffix("ed") in name.casefold() for part in parts)


def _in_braces(food: NamedFood, sentence: Sentence) -> str:
    return (
        f"put '{{{food.word}}}' in braces and among the {_where(sentence)}, or leave the word out"
    )


def _where(sentence: Sentence) -> str:
    return "toppings" if sentence.bread else "dough's ingredients"


def _labels(ids: Iterable[str]) -> str:
    wanted = set(ids)
    return ", ".join(label for one, label in LABELS.items() if one in wanted)
