"""Does this dough look like bread? Ranges for salt, yeast, water, fat and sugar, each with its reason.

Outside the usual range is a remark: a tutor may well mean it. Far outside is a problem, and asks whether a point slipped.

* Salt: 1-2 % of flour, sweet doughs a third of that (Wihlfahrt, *A Treatise on Baking*, 1913-); printed formulas 1.25-2.5 %
  (US Army 1916; Hamelman, *Bread*, 2004; US mill sheets).
* Yeast, fresh: 0.6-3.5 % in the formulas of the same books; USDA school rolls (1988) take 3.9 % active dry. 0.15 g dry
  yeast per kg flour needs 8 h and more, 1 % an hour (*The Sourdough Framework*).
* Hydration: 41 % (bagel, US Armed Forces 2003) to 81 % (ciabatta, dawghousebakery.com).
* Sugar: above about 10 % slows yeast (from memory); one packet of yeast more above 20 % (packer's chart, 2010).
* Fat: 1.25-4 % in the lean formulas; rich doughs up to about 60 % (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.errors import Spot
from classpack.model.formula import Formula, FormulaLine
from classpack.model.larder import YEAST_FORMS, Larder
from classpack.planning.dough.formulas import hydration
from classpack.planning.dough.preferments import own_lines
from classpack.planning.dough.yeast import converted_g
from classpack.quantities import plain


@dataclass(frozen=True, slots=True)
class Objection:
    """One thing odd about a dough. ``severity`` is ``remark`` or ``problem``; ``right`` a question or the usual range."""

    severity: str
    about: str
    wrong: str
    right: str
    spot: Spot | None = None


@dataclass(frozen=True, slots=True)
class Range:
    """The usual range in percent of flour, the hard limits beyond which a point has slipped, and a reason for each side."""

    least: Fraction
    most: Fraction
    hard_least: Fraction
    hard_most: Fraction
    low_reason: str
    high_reason: str


def _range(
    least: str, most: str, hard_least: str, hard_most: str, low_reason: str, high_reason: str
) -> Range:
    return Range(
        Fraction(least),
        Fraction(most),
        Fraction(hard_least),
        Fraction(hard_most),
        low_reason,
        high_reason,
    )


_SLOW = "so little takes the whole night to raise a dough"
_FAST = "so much raises the dough before a class can shape it and tastes of yeast"
SALT = _range(
    "1", "2.5", "0.25", "5",
    "the dough runs fast and slack and tastes flat", "it slows the yeast and tastes salty",
)  # fmt: skip
SALT_SWEET = _range("0.3", "2", "0.1", "5", SALT.low_reason, SALT.high_reason)
YEAST = {
    "fresh": _range("0.2", "6", "0.01", "10", _SLOW, _FAST),
    "active dry": _range("0.12", "2.8", "0.004", "4.5", _SLOW, _FAST),
    "instant": _range("0.1", "2.2", "0.003", "4", _SLOW, _FAST),
}
HYDRATION = _range(
    "48", "90", "25", "130",
    "the dough is too stiff to knead by hand", "the dough runs; beginners cannot shape it by hand",
)  # fmt: skip
FAT = _range(
    "0", "25", "0", "90",
    "", "it keeps the dough from holding together unless worked in cold and late",
)  # fmt: skip
SUGAR = _range(
    "0", "15", "0", "60",
    "", "above about 10 % sugar slows the yeast and browns the crust early",
)  # fmt: skip

_SWEET_PERCENT = 5


def slipped_point(value: Fraction, usual: Range) -> tuple[Fraction, ...]:
    """What may have been meant: the value over a hundred or ten, or times ten, where that is usual; smallest first."""
    return tuple(
        other
        for other in (value / 100, value / 10, value * 10)
        if usual.least <= other <= usual.most
    )


def _asks(value: Fraction, usual: Range) -> str:
    meant = slipped_point(value, usual)
    said = f"{plain(usual.least)} to {plain(usual.most)} % is usual"
    if usual.least == 0:
        said = f"up to {plain(usual.most)} % is usual"
    if not meant:
        return said
    return f"did you mean {' or '.join(f'{plain(one)} %' for one in meant)}? {said}"


def objection(
    about: str, value: Fraction, usual: Range, spot: Spot | None = None
) -> Objection | None:
    """What there is to say about ``value`` percent of flour, None if it is usual."""
    if usual.least <= value <= usual.most:
        return None
    low = value < usual.least
    hard = value < usual.hard_least or value >= usual.hard_most
    reason = usual.low_reason if low else usual.high_reason
    return Objection(
        "problem" if hard else "remark",
        about,
        f"{plain(value)} % {about} is {'far ' if hard else ''}{'less' if low else 'more'} than usual: {reason}",
        _asks(value, usual),
        spot,
    )


def _of_kind(formula: Formula, larder: Larder, *kinds: str) -> list[FormulaLine]:
    return [line for line in formula.lines if larder[line.ingredient].kind in kinds]


def _together(lines: Iterable[FormulaLine]) -> Fraction:
    return sum((line.percent for line in lines), Fraction(0))


def _spot(lines: Sequence[FormulaLine]) -> Spot | None:
    return lines[0].spot if lines else None


def _yeast(lines: Sequence[FormulaLine], larder: Larder) -> tuple[str, Fraction] | None:
    """The form of the first yeast, and all of them together in that form."""
    known = [line for line in lines if larder[line.ingredient].yeast_form in YEAST_FORMS]
    if not known:
        return None
    form = larder[known[0].ingredient].yeast_form
    together = sum(
        (converted_g(line.percent, larder[line.ingredient].yeast_form, form) for line in known),
        Fraction(0),
    )
    return form, together


def _ten_times(parts: Sequence[tuple[str, Fraction, Range]]) -> Objection | None:
    """Everything but the flour ten times off the usual, the same way: then it is the flour."""
    for factor, flour in ((Fraction(1, 10), "little"), (Fraction(10), "much")):
        off = [not usual.least <= value <= usual.most for _, value, usual in parts]
        fits = [usual.least <= value * factor <= usual.most for _, value, usual in parts]
        if len(parts) >= 2 and all(fits) and all(off):
            said = ", ".join(f"{name} {plain(value)} %" for name, value, _ in parts)
            return Objection(
                "problem",
                "flour",
                f"everything is ten times off the usual: {said}",
                f"is the flour ten times too {flour}?",
            )
    return None


def _swapped(salt: Fraction, form: str, yeast: Fraction, sweet: bool) -> Objection | None:
    """Salt and dried yeast that would both be usual the other way round."""
    if form == "fresh" or sweet or salt >= 1 or not Fraction(13, 10) <= yeast <= Fraction(5, 2):
        return None
    if not YEAST[form].least <= salt:
        return None
    return Objection(
        "problem" if salt * 2 <= yeast else "remark",
        "salt",
        f"there is more yeast ({plain(yeast)} %) than salt ({plain(salt)} %)",
        f"are they swapped? Salt {plain(yeast)} % and yeast {plain(salt)} % would be usual",
    )


def dough_objections(formula: Formula, larder: Larder) -> tuple[Objection, ...]:
    """Everything odd about the dough, preferments included; empty for a usual bread."""
    salts = _of_kind(formula, larder, "salt")
    yeasts = _of_kind(formula, larder, "yeast")
    starters = _of_kind(formula, larder, "starter")
    fats = _of_kind(formula, larder, "fat")
    sugars = _of_kind(formula, larder, "sugar")
    waters = _of_kind(formula, larder, "water", "milk", "egg")
    salt, sugar = _together(salts), _together(sugars)
    water = hydration(formula, larder).true_percent
    sweet = sugar >= _SWEET_PERCENT
    salt_usual = SALT_SWEET if sweet else SALT
    yeast = _yeast(yeasts, larder)
    leavened = bool(starters) or any(one.kind == "levain" for one in formula.preferments)

    parts = [("water", water, HYDRATION)] if waters else []
    parts += [("salt", salt, salt_usual)] if salts else []
    parts += [("yeast", yeast[1], YEAST[yeast[0]])] if yeast else []
    by_ten = _ten_times(parts)
    if by_ten is not None:
        return (by_ten,)

    found: list[Objection | None] = []
    if salts:
        found.append(objection("salt", salt, salt_usual, _spot(salts)))
    else:
        found.append(
            Objection("remark", "salt", f"there is no salt: {SALT.low_reason}", _asks(salt, SALT))
        )
    if yeast:
        usual = YEAST[yeast[0]]
        found.append(_swapped(salt, *yeast, sweet) if salts else None)
        if yeast[1] > usual.most or not leavened:
            found.append(objection(f"{yeast[0]} yeast", yeast[1], usual, _spot(yeasts)))
    elif not yeasts and not leavened:
        found.append(
            Objection("remark", "yeast", "nothing in the formula raises the dough", "add its yeast")
        )
    found.append(objection("water", water, HYDRATION, _spot(waters)))
    found.append(objection("fat", _together(fats), FAT, _spot(fats)))
    found.append(objection("sugar", sugar, SUGAR, _spot(sugars)))
    found.extend(_preferment_objections(formula, larder))
    return tuple(one for one in found if one is not None)


def _preferment_objections(formula: Formula, larder: Larder) -> Iterable[Objection | None]:
    for part in formula.preferments:
        if not any(larder[line.ingredient].kind == "flour" for line in part.lines):
            continue
        own = [x for x in own_lines(part, larder) if larder[x.ingredient].kind == "yeast"]
        yeast = _yeast(own, larder)
        if yeast and yeast[1] > YEAST[yeast[0]].most:
            yield objection(
                f"{yeast[0]} yeast in the {part.name}", yeast[1], YEAST[yeast[0]], part.spot
            )
