"""What is said about each preferment and soaker: how to mix it, how it is stated, and how ripe it must be."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import MixUnit, Weighed
from classpack.model.formula import Preferment
from classpack.model.method import Step
from classpack.planning.dough.preferments import Shares
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.cards.step_words import Words, step_words


@dataclass(frozen=True, slots=True)
class PrefermentNote:
    """One preferment as it is mixed for this class.

    ``words`` is how to mix it in the lesson's words with this class's amounts; empty when the lesson does not say, and the
    template's sentence for its ``kind`` is printed. ``culture_g`` of ripe culture goes in on top of ``lines`` and as much is
    kept back (0: none). ``shares`` are its percentages in all three conventions; ``stated_as`` is the lesson's.
    """

    name: str
    kind: str
    words: Words
    lines: tuple[Weighed, ...]
    mixed_g: Fraction
    culture_g: Fraction
    ripe_min: tuple[Fraction, Fraction]
    ripe_c: Fraction
    shares: Shares
    stated_as: str
    stated_percent: Fraction

    @property
    def ferments(self) -> bool:
        """Is it more than a soaker?"""
        return self.kind != "soaker"


def preferment_notes(plan: ClassPlan) -> tuple[PrefermentNote, ...]:
    """The notes on everything that is mixed beforehand, in the order it is planned; none for a straight dough."""
    return tuple(_note(plan, unit) for unit in plan.units if unit.kind == "preferment")


def _note(plan: ClassPlan, unit: MixUnit) -> PrefermentNote:
    formula = plan.lesson.base.formula
    named = [one for one in formula.preferments if unit.key.startswith(one.name)]
    part = max(named, key=lambda one: len(one.name))
    flour_g = sum(
        (line.grams for line in unit.lines if plan.larder[line.ingredient].kind == "flour"),
        Fraction(0),
    )
    return PrefermentNote(
        name=unit.key,
        kind=part.kind,
        words=_words(plan, unit, part),
        lines=unit.lines,
        mixed_g=unit.dough_g,
        culture_g=flour_g * part.culture_percent / 100,
        ripe_min=part.ripe_min,
        ripe_c=part.ripe_c,
        shares=plan.preferment_shares[part.name],
        stated_as=part.stated_as,
        stated_percent=part.stated_percent,
    )


def _words(plan: ClassPlan, unit: MixUnit, part: Preferment) -> Words:
    """Its text with the amounts of this class; one mixed apart for somebody has their changes in it."""
    changes = list(plan.for_everyone)
    key = unit.key.removeprefix(part.name).strip()
    changes += [
        one for person in plan.people if person.unit == key for one in person.version.changes
    ]
    return step_words(Step("mix", part.text), unit.lines, changes)
