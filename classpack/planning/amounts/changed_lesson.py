"""The lesson as it is made once changes hold for everybody: what goes out stands nowhere in it any more."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from classpack.model.class_plan import Change
from classpack.model.lesson import Lesson, Use, Variation
from classpack.model.method import Placeholder, Step
from classpack.planning.amounts.scaling import changed_formula


def changed_lesson(lesson: Lesson, changes: Iterable[Change]) -> Lesson:
    """``lesson`` with formula, uses and step text changed. What is left out loses its placeholder as well."""
    all_changes = tuple(changes)
    if not all_changes:
        return lesson
    base = _swaps(all_changes, "")
    dough = replace(
        lesson.base,
        formula=changed_formula(lesson.base.formula, all_changes),
        uses=_uses(lesson.base.uses, base),
        method=_method(lesson.base.method, base),
    )
    return replace(
        lesson, base=dough, variations=tuple(_bread(one, all_changes) for one in lesson.variations)
    )


def _swaps(changes: tuple[Change, ...], variation: str) -> dict[str, Change]:
    return {change.out: change for change in changes if change.variation == variation}


def _bread(bread: Variation, changes: tuple[Change, ...]) -> Variation:
    own = _swaps(changes, bread.name)
    topped = {use.ingredient for use in bread.uses}
    # a step of a bread names its own topping first, and the dough's ingredient only where it has no such topping
    spoken = {
        name: change for name, change in _swaps(changes, "").items() if name not in topped
    } | own
    return replace(bread, uses=_uses(bread.uses, own), method=_method(bread.method, spoken))


def _uses(uses: tuple[Use, ...], swaps: dict[str, Change]) -> tuple[Use, ...]:
    found = []
    for use in uses:
        change = swaps.get(use.ingredient)
        if change is None:
            found.append(use)
        elif change.into:
            amount = replace(use.amount, value=use.amount.value * change.ratio)
            found.append(replace(use, ingredient=change.into, amount=amount))
    return tuple(found)


def _method(method: tuple[Step, ...], swaps: dict[str, Change]) -> tuple[Step, ...]:
    return tuple(
        replace(step, text=tuple(part for said in step.text for part in _said(said, swaps)))
        for step in method
    )


def _said(part: str | Placeholder, swaps: dict[str, Change]) -> tuple[str | Placeholder, ...]:
    if isinstance(part, str) or part.ingredient not in swaps:
        return (part,)
    into = swaps[part.ingredient].into
    return (Placeholder(into),) if into else ()
