"""Another flour in part: what it does to the water, and how little is known about it.

No published constant holds for the water wholemeal takes. Advice read runs from none to 20-30 % of the flour's weight, flour by
flour; one army kitchen's white bread has 60.5 % and its wholewheat 65.5 % water (US Armed Forces Recipe Service D-008, D-010);
a home rule gives 66-70 % on the white part and 90 % on the wholemeal part; textbooks add 2 to 5 points (from memory).
So a span is given and a test bake of five bowls named: 100 g flour with 55, 60, 65, 70 and 75 g water (*The Sourdough
Framework*). Let wholemeal dough rest half an hour before kneading (Tufts Food Lab).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from classpack.model.formula import Formula, FormulaLine
from classpack.model.larder import Larder
from classpack.planning.dough.formulas import hydration
from classpack.planning.dough.preferments import final_lines
from classpack.quantities import NotUnderstood, plain

MORE_WATER_POINTS = (Fraction(0), Fraction(5), Fraction(20))
"""Least, usual and most points of hydration more when *all* the white flour becomes wholemeal."""
REST_MIN = Fraction(30)


@dataclass(frozen=True, slots=True)
class FlourChange:
    """A formula with another flour in part. Its water is *not* changed: the advice is for the tutor to decide.

    ``water_percent`` is the hydration as it stands; ``more_points`` least, usual and most to add, to be given a little at a time.
    """

    formula: Formula
    swapped_percent: Fraction
    water_percent: Fraction
    more_points: tuple[Fraction, Fraction, Fraction]

    @property
    def says(self) -> str:
        """The advice in a sentence, its uncertainty included."""
        least, usual, most = self.more_points
        return (
            f"{plain(self.swapped_percent, 1)} % of the flour is another: from {plain(self.water_percent, 1)} % water try "
            f"{plain(self.water_percent + usual, 1)} %, held back and added by feel; published advice runs from "
            f"{plain(self.water_percent + least, 1)} to {plain(self.water_percent + most, 1)} %, flour by flour, "
            f"so test it on bowls of 100 g first; rest the dough {plain(REST_MIN)} min before kneading"
        )


def with_flour(
    formula: Formula, larder: Larder, out: str, into: str, percent: Fraction
) -> FlourChange:
    """``percent`` of the formula's flour ``out`` (of the whole flour) becomes ``into``, in the final dough only.

    Flour, water and everything else add up as before; preferments stay as they are.

    Raises:
        NotUnderstood: the final dough has not so much of ``out``, or ``into`` is no flour.
    """
    if larder[into].kind != "flour":
        raise NotUnderstood(f"{into} is no flour", "name a flour of the larder")
    free = sum(
        (line.percent for line in final_lines(formula) if line.ingredient == out), Fraction(0)
    )
    if not 0 < percent <= free:
        raise NotUnderstood(
            f"{plain(percent)} % of {out} is to become {into}",
            f"the final dough has {plain(free)} % {out}; take from that",
        )
    lines: list[FormulaLine] = []
    left = percent
    for line in formula.lines:
        take = min(left, line.percent) if line.ingredient == out else Fraction(0)
        left -= take
        if take < line.percent:
            lines.append(replace(line, percent=line.percent - take))
        if take:
            lines.append(FormulaLine(into, take, line.spot))
    changed = replace(formula, lines=_together(lines, into))
    least, usual, most = (points * percent / 100 for points in MORE_WATER_POINTS)
    return FlourChange(
        changed, percent, hydration(formula, larder).true_percent, (least, usual, most)
    )


def _together(lines: list[FormulaLine], name: str) -> tuple[FormulaLine, ...]:
    """The lines with all of ``name`` on the first of its lines."""
    whole = sum((line.percent for line in lines if line.ingredient == name), Fraction(0))
    kept: list[FormulaLine] = []
    for line in lines:
        if line.ingredient != name:
            kept.append(line)
        elif all(one.ingredient != name for one in kept):
            kept.append(replace(line, percent=whole))
    return tuple(kept)
