"""The lesson as it is made once changes hold for everybody: what goes out stands nowhere in it any more."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from classpack.model.class_plan import Change
from classpack.model.left_out_words import Cut, as_left
from classpack.model.lesson import Lesson, Use, Variation
from classpack.model.method import Placeholder, Step
from classpack.planning.amounts.scaling import changed_formula

_BRACES = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class _Name:
    """An ingredient's name in a text."""

    name: str


def changed_lesson(lesson: Lesson, changes: Iterable[Change]) -> Lesson:
    """``lesson`` with formula, uses and step text changed. What is left out loses its placeholder as well."""
    all_changes = tuple(changes)
    base = _swaps(all_changes, "")
    dough = replace(
        lesson.base,
        formula=changed_formula(lesson.base.formula, all_changes),
        uses=_uses(lesson.base.uses, base),
        method=_method(lesson.base.method, base),
    )
    return replace(
        lesson,
        base=dough,
        about=told(lesson.about, _anywhere(all_changes)),
        variations=tuple(_bread(one, all_changes) for one in lesson.variations),
    )


def told(text: str, swaps: Mapping[str, Change]) -> str:
    """A text of the lesson (``about``, ``keeps``) with the names in its braces as they are made; what speaks of something left
    out is cut away.

    >>> told("Soft rolls with a thin crust and {sesame seeds}.", {})
    'Soft rolls with a thin crust and sesame seeds.'
    """
    parts: list[str | _Name | Cut] = []
    for number, piece in enumerate(_BRACES.split(text)):
        if number % 2 == 0:
            parts += [piece] if piece else []
            continue
        change = swaps.get(piece.strip())
        name = change.into if change else piece.strip()
        parts.append(_Name(name) if name else Cut())
    left = as_left(parts) if any(isinstance(part, Cut) for part in parts) else parts
    return "".join(
        part.name if isinstance(part, _Name) else part for part in left if not isinstance(part, Cut)
    )


def told_bread(bread: Variation, changes: Iterable[Change]) -> Variation:
    """A bread whose texts for the reader are as one person makes it."""
    swaps = _spoken(bread, tuple(changes))
    return replace(bread, about=told(bread.about, swaps), storage=told(bread.storage, swaps))


def _anywhere(changes: tuple[Change, ...]) -> dict[str, Change]:
    return {change.out: change for change in changes}


def _swaps(changes: tuple[Change, ...], variation: str) -> dict[str, Change]:
    return {change.out: change for change in changes if change.variation == variation}


def _bread(bread: Variation, changes: tuple[Change, ...]) -> Variation:
    own, spoken = _swaps(changes, bread.name), _spoken(bread, changes)
    made = replace(bread, uses=_uses(bread.uses, own), method=_method(bread.method, spoken))
    return told_bread(made, changes)


def _spoken(bread: Variation, changes: tuple[Change, ...]) -> dict[str, Change]:
    """A text of a bread names its own topping first, and the dough's ingredient only where it has no such topping."""
    topped = {use.ingredient for use in bread.uses}
    base = {name: one for name, one in _swaps(changes, "").items() if name not in topped}
    return base | _swaps(changes, bread.name)


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
