"""What the grams of one ingredient are for: flour for the dough and flour for the bench are told apart wherever they are weighed.

Station sheet, weigh-out and tub labels all take the parts of an amount from here, so that none of them gives a sum where a card
gives two amounts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.class_plan import Weighed


@dataclass(frozen=True, slots=True)
class AmountPart:
    """What one ingredient is taken for. ``purpose`` is as on :class:`~classpack.model.class_plan.Weighed`; ``bread`` is named only
    where the same purpose serves several of somebody's breads. ``count`` is set for things counted."""

    purpose: str
    bread: str
    grams: Fraction
    count: Fraction | None = None

    @property
    def what(self) -> tuple[str, str]:
        """What it is for, without how much."""
        return self.purpose, self.bread


def parts_of(lines: Iterable[tuple[str, Weighed]]) -> tuple[AmountPart, ...]:
    """The parts of one amount, in the order they are weighed.

    Args:
        lines: the bread each line is for (empty for dough, bench and bowl), and the line; one ingredient's, one reader's.

    >>> def line(grams, purpose):
    ...     return Weighed("flour", Fraction(grams), Fraction(grams), Fraction(1), purpose=purpose)
    >>> [(one.purpose, int(one.grams)) for one in parts_of([("", line(450, "dough")), ("", line(20, "dusting"))])]
    [('dough', 450), ('dusting', 20)]
    """
    found: dict[tuple[str, str], list[Weighed]] = {}
    for bread, line in lines:
        found.setdefault((line.purpose, bread), []).append(line)
    purposes = [purpose for purpose, _ in found]
    return tuple(
        AmountPart(purpose, bread if purposes.count(purpose) > 1 else "", *added_up(some))
        for (purpose, bread), some in found.items()
    )


def added_up(lines: Iterable[Weighed]) -> tuple[Fraction, Fraction | None]:
    """Grams and count of lines together; no count where one of them is weighed."""
    every = tuple(lines)
    counts = [line.count for line in every if line.count is not None]
    grams = sum((line.grams for line in every), Fraction(0))
    return grams, sum(counts, Fraction(0)) if len(counts) == len(every) else None


def must_be_told(amounts: Iterable[tuple[AmountPart, ...]]) -> bool:
    """Whether the parts of amounts that stand side by side are more than one purpose for everybody, so that a sum would mislead."""
    every = tuple(amounts)
    return any(len(parts) > 1 for parts in every) or (
        len({part.purpose for parts in every for part in parts}) > 1
    )
