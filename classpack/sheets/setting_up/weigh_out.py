"""The weigh-out sheet, its tub labels and the table for spreadsheets: what is weighed, in which order, for which place."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.allergens import BY_ID
from classpack.model.language import Language
from classpack.planning.amounts.amount_parts import AmountPart
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.weigh_out import IngredientTubs, SharedOut, Tub, WeighOut
from classpack.quantities import plain
from classpack.sheets.exports.csv_text import Cell


@dataclass(frozen=True, slots=True)
class WeighTurnRows:
    """One turn: its number, what its tubs hold (everyday names; none: nothing that is listed), its ingredients."""

    number: int
    holds: tuple[str, ...]
    ingredients: tuple[IngredientTubs, ...]


@dataclass(frozen=True, slots=True)
class WeighSheet:
    """The weigh-out sheet. ``pots`` is how many tubs stand ready in the end."""

    turns: tuple[WeighTurnRows, ...]
    on_the_day: tuple[IngredientTubs, ...]
    preferments: tuple[SharedOut, ...]
    pots: int


@dataclass(frozen=True, slots=True)
class TubLabel:
    """One label. ``part`` of ``parts`` when an amount fills more than one tub; ``grams`` are then those of this one."""

    tub: Tub
    grams: Fraction
    holds: tuple[str, ...]
    part: int
    parts: int
    cold: bool


def weigh_sheet(weighed: WeighOut) -> WeighSheet:
    """The sheet of all tubs."""
    turns = tuple(
        WeighTurnRows(number, everyday(turn.allergens), turn.ingredients)
        for number, turn in enumerate(weighed.turns, 1)
    )
    return WeighSheet(turns, weighed.on_the_day, weighed.preferments, weighed.pots)


def tub_labels(weighed: WeighOut, kept_cold: Collection[str] = ()) -> tuple[TubLabel, ...]:
    """A label for every tub, in the order they are weighed.

    Args:
        kept_cold: what is bought warm and kept in the fridge once it is opened or cut, as the prep sheet says.
    """
    return tuple(
        TubLabel(
            tub,
            _in_part(tub, part),
            everyday(turn.allergens),
            part,
            tub.pots,
            one.storage != "ambient" or one.ingredient in kept_cold,
        )
        for turn in weighed.turns
        for one in turn.ingredients
        for tub in one.tubs
        for part in range(1, tub.pots + 1)
    )


def _in_part(tub: Tub, part: int) -> Fraction:
    """What stands in one of several tubs, if each is one weighing; else what they hold together."""
    each = [one.grams for one in tub.weighings for _ in range(one.times)]
    return each[part - 1] if len(each) == tub.pots else tub.grams


def everyday(allergens: tuple[str, ...]) -> tuple[str, ...]:
    """Allergen ids as everybody says them."""
    return tuple(BY_ID[id].everyday for id in allergens)


def weigh_rows(plan: ClassPlan, weighed: WeighOut) -> list[list[Cell]]:
    """Every tub as a row, then what is weighed on the day (without a turn), then each ingredient's allowance."""
    language = plan.language
    rows: list[list[Cell]] = [list(language.columns("weighing columns"))]
    groups = [
        (number, ", ".join(map(language.allergen, turn.allergens)), one)
        for number, turn in enumerate(weighed.turns, 1)
        for one in turn.ingredients
    ]
    groups += [(0, "", one) for one in weighed.on_the_day]
    for number, holds, one in groups:
        for tub in one.tubs:
            rows.append(
                [
                    number or None,
                    holds,
                    one.ingredient,
                    language.text(f"for {tub.kind}"),
                    language.texts.get(f"for {tub.where}", tub.where),
                    tub.grams,
                    tub.count,
                    tub.step_g or None,
                    _divides(tub, language),
                ]
            )
        if one.allowance_g:
            rows.append(
                [
                    number or None,
                    holds,
                    one.ingredient,
                    language.text("for allowance"),
                    "",
                    one.allowance_g,
                    None,
                    None,
                    "",
                ]
            )
    return rows


def _divides(tub: Tub, language: Language) -> str:
    said = [language.text("fridge lot", lot=tub.lot, lots=tub.lots)] if tub.lots > 1 else []
    for share in tub.shares:
        shared = language.text("shared dough" if share.dough else "shared by all")
        parts = () if share.dough else share.parts
        who = " ".join(share.seats) or shared
        said.append(f"{who}: {_amount(share.grams, share.count, parts, language)}")
    if tub.parts:
        said.append(_amount(tub.grams, tub.count, tub.parts, language))
    return "; ".join(said)


def _amount(
    grams: Fraction, count: Fraction | None, parts: tuple[AmountPart, ...], language: Language
) -> str:
    """An amount, or the parts it is made up of."""
    if not parts:
        return language.number(plain(count) if count is not None else f"{plain(grams)} g")
    said = []
    for part in parts:
        one = language.text(
            f"part {part.purpose}", amount=_amount(part.grams, part.count, (), language)
        )
        if part.bread:
            one = language.text("part of a bread", part=one, bread=part.bread)
        said.append(one)
    return " + ".join(said)
