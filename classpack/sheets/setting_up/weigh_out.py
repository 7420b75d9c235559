"""The weigh-out sheet, its tub labels and the table for spreadsheets: what is weighed, in which order, for which place."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.allergens import BY_ID
from classpack.model.language import Language
from classpack.planning.amounts.amount_parts import AmountPart
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.setting_up.weigh_out import KINDS, IngredientTubs, SharedOut, Tub, WeighOut
from classpack.quantities import plain
from classpack.sheets.exports.csv_text import Cell

Place = tuple[str, str]
"""Kind and name of what a tub is for, as :class:`Tub` has them; a column of the sheet."""


@dataclass(frozen=True, slots=True)
class WeighRow:
    """One ingredient. ``cells`` are the tubs of each place of its table (none, or several that leave the fridge at different
    hours); ``whole`` is the ingredient's own sum over all places, with the allowance that stays in its pack."""

    cells: tuple[tuple[Tub, ...], ...]
    whole: IngredientTubs


@dataclass(frozen=True, slots=True)
class WeighBand:
    """One turn: its number (0: weighed on the day), what its tubs hold (everyday names), its ingredients."""

    number: int
    holds: tuple[str, ...]
    rows: tuple[WeighRow, ...]


@dataclass(frozen=True, slots=True)
class WeighTable:
    """Ingredients by places. ``summed``: the last column says each ingredient's sum over all tables."""

    places: tuple[Place, ...]
    bands: tuple[WeighBand, ...]
    summed: bool


@dataclass(frozen=True, slots=True)
class WeighSheet:
    """The weigh-out sheet. ``rounds`` are (number, what its tubs hold, its ingredients), number 0 what is weighed on the day;
    ``places`` are the columns; ``pots`` is how many tubs stand ready in the end."""

    rounds: tuple[tuple[int, tuple[str, ...], tuple[IngredientTubs, ...]], ...]
    places: tuple[Place, ...]
    preferments: tuple[SharedOut, ...]
    pots: int

    @property
    def turns(self) -> int:
        """How many rounds of weighing there are before the class."""
        return sum(1 for number, *_ in self.rounds if number)

    def tables(self, most: int) -> tuple[WeighTable, ...]:
        """One table where at most ``most`` places stand side by side, else one for each round and some of the places."""
        if len(self.places) <= most:
            return (_weigh_table(self.rounds, self.places, True),)
        tables = [
            _weigh_table(
                (one,), self.places[first : first + most], first + most >= len(self.places)
            )
            for one in self.rounds
            for first in range(0, len(self.places), most)
        ]
        return tuple(table for table in tables if any(band.rows for band in table.bands))


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
    """The sheet of all tubs, rounds in the order they are weighed."""
    rounds = [
        (number, everyday(turn.allergens), turn.ingredients)
        for number, turn in enumerate(weighed.turns, 1)
    ]
    rounds += [(0, (), weighed.on_the_day)] if weighed.on_the_day else []
    met = [(tub.kind, tub.where) for *_, all_of in rounds for one in all_of for tub in one.tubs]
    places = sorted(dict.fromkeys(met), key=lambda place: KINDS.index(place[0]))
    return WeighSheet(tuple(rounds), tuple(places), weighed.preferments, weighed.pots)


def _weigh_table(
    turns: Sequence[tuple[int, tuple[str, ...], Sequence[IngredientTubs]]],
    places: tuple[Place, ...],
    summed: bool,
) -> WeighTable:
    bands = []
    for number, holds, ingredients in turns:
        rows = [
            WeighRow(
                tuple(
                    tuple(tub for tub in one.tubs if (tub.kind, tub.where) == place)
                    for place in places
                ),
                one,
            )
            for one in ingredients
        ]
        here = tuple(row for row in rows if summed or any(row.cells))
        bands.append(WeighBand(number, holds, here))
    return WeighTable(places, tuple(bands), summed)


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


def weigh_rows(plan: ClassPlan) -> list[list[Cell]]:
    """Every tub as a row, then what is weighed on the day (without a turn), then each ingredient's allowance."""
    language, weighed = plan.language, plan.weighed
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
