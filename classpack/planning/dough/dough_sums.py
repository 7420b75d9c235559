"""The working behind a dough, line by line, so that a tutor can show a class how the numbers come about.

Each line holds its values with their units, and a sentence with the sum written out as on a board. The sources of the rules
are those of the modules that work them out: formulas, preferments, yeast, water and pieces.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from classpack.model.formula import STATED_AS, Formula
from classpack.model.larder import YEAST_FORMS, Larder
from classpack.planning.dough.formulas import (
    RoundedWeights,
    Weights,
    flour_for_dough_g,
    hydration,
    rounded_each,
    true_percents,
    weights_for_flour,
)
from classpack.planning.dough.pieces import baked_g, with_left_behind_g
from classpack.planning.dough.preferments import shares, split_g
from classpack.planning.dough.water import water_c
from classpack.planning.dough.yeast import (
    HAMELMAN,
    YeastFactors,
    converted_g,
    converted_spread_g,
    water_make_up_g,
)
from classpack.quantities import plain


@dataclass(frozen=True, slots=True)
class PieceSum:
    """So many pieces of one bread in this dough; ``loss_percent`` of the dough goes in the oven.

    ``name`` in the number it is said in: ``tin loaf`` for one, ``soft rolls`` for eight.
    """

    name: str
    count: int
    dough_g: Fraction
    loss_percent: Fraction


@dataclass(frozen=True, slots=True)
class WaterSum:
    """What the water temperature is worked out from, °C; no preferment is None."""

    wanted_c: Fraction
    flour_c: Fraction
    room_c: Fraction
    friction_c: Fraction
    preferment_c: Fraction | None = None


@dataclass(frozen=True, slots=True)
class TableRow:
    """One line of the formula table; ``grams`` as weighed. ``kind`` is the larder's (flours come out bold on paper)."""

    ingredient: str
    kind: str
    percent: Fraction
    true_percent: Fraction
    grams: Fraction


@dataclass(frozen=True, slots=True)
class Value:
    """One number of a sum: what it is, how much, and its unit (``g``, ``%``, ``°C``, or empty for a count)."""

    name: str
    value: Fraction
    unit: str


Given = str | tuple[Fraction | tuple[tuple[str, Fraction], ...], int]
"""What goes into a phrase: a name, or a number (or numbers to add up, each with its name) with at most so many decimals."""


@dataclass(frozen=True, slots=True)
class SumLine:
    """One step of the working. ``about`` groups lines: pieces, flour, weights, preferment, hydration, yeast, water, baked.

    ``says`` is the sum in English, for the terminal. A sheet says it in its own words: each of ``told`` is a phrase's name and
    what goes into it, and the phrases follow each other.
    """

    about: str
    values: tuple[Value, ...]
    says: str
    told: tuple[tuple[str, Mapping[str, Given]], ...] = field(default=(), compare=False)


@dataclass(frozen=True, slots=True)
class DoughSums:
    """The formula table and the working, for the terminal and the printed sheet."""

    name: str
    rows: tuple[TableRow, ...]
    total_percent: Fraction
    dough_g: Fraction
    lines: tuple[SumLine, ...]


def _g(grams: Fraction) -> str:
    return f"{plain(grams, 1)} g"


def _p(percent: Fraction) -> str:
    return f"{plain(percent, 2)} %"


def _unnamed(numbers: Iterable[Fraction]) -> tuple[tuple[str, Fraction], ...]:
    """Numbers that are added up without a name."""
    return tuple(("", one) for one in numbers)


def _pieces(pieces: Sequence[PieceSum], left_percent: Fraction) -> Iterator[SumLine]:
    parts = []
    for one in pieces:
        grams = one.count * one.dough_g
        parts.append(grams)
        yield SumLine(
            "pieces",
            (Value("pieces", Fraction(one.count), ""), Value("dough", grams, "g")),
            f"{one.count} {one.name} of {_g(one.dough_g)}: {one.count} × {plain(one.dough_g, 1)} = {_g(grams)}",
            (
                (
                    "piece",
                    {
                        "count": (Fraction(one.count), 0),
                        "name": one.name,
                        "each": (one.dough_g, 1),
                        "grams": (grams, 1),
                    },
                ),
            ),
        )
    needed = sum(parts, Fraction(0))
    if len(parts) > 1:
        added = " + ".join(plain(grams, 1) for grams in parts)
        yield SumLine(
            "pieces",
            (Value("dough", needed, "g"),),
            f"together {added} = {_g(needed)}",
            (("together", {"added": (_unnamed(parts), 1), "grams": (needed, 1)}),),
        )
    if left_percent:
        mixed = with_left_behind_g(needed, left_percent)
        yield SumLine(
            "pieces",
            (Value("left in the bowl", left_percent, "%"), Value("dough to mix", mixed, "g")),
            f"{_p(left_percent)} stays in the bowl and on hands: "
            f"{plain(needed, 1)} ÷ {plain((100 - left_percent) / 100, 4)} = {_g(mixed)} to mix",
            (
                (
                    "left",
                    {
                        "percent": (left_percent, 2),
                        "needed": (needed, 1),
                        "share": ((100 - left_percent) / 100, 4),
                        "grams": (mixed, 1),
                    },
                ),
            ),
        )


def _weights(formula: Formula, mixed_g: Fraction, rounded: RoundedWeights) -> Iterator[SumLine]:
    total = formula.total_percent
    flour = flour_for_dough_g(formula, mixed_g)
    added = " + ".join(plain(line.percent, 2) for line in formula.lines)
    percents = _unnamed(line.percent for line in formula.lines)
    yield SumLine(
        "flour",
        (Value("all percentages", total, "%"),),
        f"all percentages: {added} = {_p(total)}",
        (("percents", {"added": (percents, 2), "total": (total, 2)}),),
    )
    yield SumLine(
        "flour",
        (Value("flour", flour, "g"),),
        f"flour is 100 of them: {plain(mixed_g, 1)} ÷ {plain(total / 100, 4)} = {_g(flour)}",
        (("flour", {"mixed": (mixed_g, 1), "share": (total / 100, 4), "grams": (flour, 1)}),),
    )
    exact = weights_for_flour(formula, flour)
    for line, (name, grams), (_, printed) in zip(
        formula.lines, exact, rounded.weights, strict=True
    ):
        yield SumLine(
            "weights",
            (
                Value(name, line.percent, "%"),
                Value(name, grams, "g"),
                Value("weighed", printed, "g"),
            ),
            f"{name}: {plain(flour, 1)} × {plain(line.percent, 2)} ÷ 100 = {plain(grams, 2)} g, weighed {plain(printed, 2)} g",
            (
                (
                    "weight",
                    {
                        "name": name,
                        "flour": (flour, 1),
                        "percent": (line.percent, 2),
                        "grams": (grams, 2),
                        "weighed": (printed, 2),
                    },
                ),
            ),
        )
    way = "more" if rounded.off_g >= 0 else "less"
    yield SumLine(
        "weights",
        (Value("off", rounded.off_g, "g"), Value("at most", rounded.most_off_g, "g")),
        f"as weighed the dough is {plain(rounded.dough_g, 2)} g, "
        f"{plain(abs(rounded.off_g), 2)} g {way} than wanted "
        f"(half a step of the scale for each line is {plain(rounded.most_off_g, 2)} g)",
        (
            (
                f"off_{way}",
                {
                    "dough": (rounded.dough_g, 2),
                    "off": (abs(rounded.off_g), 2),
                    "most": (rounded.most_off_g, 2),
                },
            ),
        ),
    )


def _preferments(formula: Formula, larder: Larder, flour_g: Fraction) -> Iterator[SumLine]:
    if not formula.preferments:
        return
    split = split_g(formula, flour_g)
    for part, column in zip(formula.preferments, split.preferments, strict=True):
        said = shares(formula, part, larder)
        listed = " + ".join(f"{name} {plain(grams, 1)}" for name, grams in column.weights)
        by_weight = (
            f" (by weight it is {_p(said.weight_on_all_flour)} of all the flour, "
            f"{_p(said.weight_on_final_flour)} of the final dough's)"
        )
        says = f"{part.name}: {listed} = {_g(column.total_g)}"
        told: list[tuple[str, Mapping[str, Given]]] = [
            (
                "preferment",
                {
                    "name": part.name,
                    "added": (tuple(column.weights), 1),
                    "grams": (column.total_g, 1),
                },
            )
        ]
        if said.prefermented_flour:
            says += f"; it holds {_p(said.prefermented_flour)} of all the flour"
            told.append(("preferment_holds", {"percent": (said.prefermented_flour, 2)}))
            if part.kind == "levain" or part.stated_as != STATED_AS[0]:
                says += by_weight
                told.append(
                    (
                        "preferment_by_weight",
                        {
                            "all": (said.weight_on_all_flour, 2),
                            "final": (said.weight_on_final_flour, 2),
                        },
                    )
                )
            says += f", hydration {_p(said.hydration)}"
            told.append(("preferment_hydration", {"percent": (said.hydration, 2)}))
        yield SumLine(
            "preferment",
            (
                Value("pre-fermented flour", said.prefermented_flour, "%"),
                Value("weight on all flour", said.weight_on_all_flour, "%"),
                Value("weight on final flour", said.weight_on_final_flour, "%"),
                Value("hydration", said.hydration, "%"),
                Value(part.name, column.total_g, "g"),
            ),
            says,
            tuple(told),
        )
    listed = " + ".join(f"{name} {plain(grams, 1)}" for name, grams in split.final.weights)
    yield SumLine(
        "preferment",
        (Value("final dough", split.final.total_g, "g"),),
        f"final dough: {listed} = {_g(split.final.total_g)}, the total formula again",
        (
            (
                "final_dough",
                {"added": (tuple(split.final.weights), 1), "grams": (split.final.total_g, 1)},
            ),
        ),
    )


def _hydration(formula: Formula, larder: Larder) -> SumLine:
    water = hydration(formula, larder)
    says = f"hydration: {plain(water.added, 2)} water"
    told: list[tuple[str, Mapping[str, Given]]] = [("water", {"water": (water.added, 2)})]
    if water.inside:
        says += f" + {plain(water.inside, 2)} inside milk, eggs, fat or honey"
        told.append(("water_inside", {"water": (water.inside, 2)}))
    if water.starter_flour:
        says += f" + {plain(water.starter_water, 2)} in the starter, over 100 + {plain(water.starter_flour, 2)} flour"
        told.append(
            (
                "water_starter",
                {"water": (water.starter_water, 2), "flour": (water.starter_flour, 2)},
            )
        )
    says += f" = {_p(water.true_percent)}"
    told.append(("water_is", {"percent": (water.true_percent, 2)}))
    if water.unknown:
        says += f" (the water inside {', '.join(water.unknown)} is not known)"
        told.append(("water_unknown", {"names": ", ".join(water.unknown)}))
    values = (Value("hydration", water.true_percent, "%"),)
    return SumLine("hydration", values, says, tuple(told))


def _yeasts(
    formula: Formula, larder: Larder, weighed: Weights, factors: YeastFactors
) -> Iterator[SumLine]:
    for name, grams in weighed:
        have = larder[name].yeast_form
        if have not in YEAST_FORMS:
            continue
        for form in YEAST_FORMS:
            if form == have:
                continue
            turned = converted_g(grams, have, form, factors)
            low, high = converted_spread_g(grams, have, form)
            factor = factors.of(form) / factors.of(have)
            says = (
                f"{_g(grams)} {have} yeast as {form}: × {plain(factor, 2)} = {_g(turned)} "
                f"(published factors give {plain(low, 1)} to {plain(high, 1)} g)"
            )
            told: list[tuple[str, Mapping[str, Given]]] = [
                (
                    f"yeast_{have.replace(' ', '_')}_as_{form.replace(' ', '_')}",
                    {
                        "grams": (grams, 1),
                        "factor": (factor, 2),
                        "turned": (turned, 1),
                        "low": (low, 1),
                        "high": (high, 1),
                    },
                )
            ]
            if have == "fresh":
                more_g = water_make_up_g(grams, turned)
                says += f", and {_g(more_g)} more water to weigh the same"
                told.append(("yeast_water", {"grams": (more_g, 1)}))
            values = (Value(have, grams, "g"), Value(form, turned, "g"))
            yield SumLine("yeast", values, says, tuple(told))


def _water(sums: WaterSum) -> SumLine:
    water = water_c(sums.wanted_c, sums.flour_c, sums.room_c, sums.friction_c, sums.preferment_c)
    factors = 3 if sums.preferment_c is None else 4
    parts = [("flour", sums.flour_c), ("room", sums.room_c)]
    if sums.preferment_c is not None:
        parts.append(("preferment", sums.preferment_c))
    parts.append(("friction", sums.friction_c))
    less = "".join(f" − {plain(value, 1)} {name}" for name, value in parts)
    return SumLine(
        "water",
        (Value("water", water, "°C"),),
        f"water for a dough of {plain(sums.wanted_c, 1)} °C: {factors} × {plain(sums.wanted_c, 1)}{less} = "
        f"{plain(water, 1)} °C",
        (
            (
                "water_c" if sums.preferment_c is None else "water_c_preferment",
                {
                    "wanted": (sums.wanted_c, 1),
                    "water": (water, 1),
                    **{name: (value, 1) for name, value in parts},
                },
            ),
        ),
    )


def whole_grams(grams: Fraction) -> Fraction:
    """The step of a kitchen scale, whatever is weighed."""
    return Fraction(1)


def dough_sums(
    formula: Formula,
    larder: Larder,
    pieces: Sequence[PieceSum],
    left_percent: Fraction,
    step_of: Callable[[Fraction], Fraction] = whole_grams,
    water: WaterSum | None = None,
    factors: YeastFactors = HAMELMAN,
) -> DoughSums:
    """The working of one dough for these pieces (one or more kinds); ``step_of`` gives the step of the scale for an amount."""
    needed = sum((one.count * one.dough_g for one in pieces), Fraction(0))
    mixed = with_left_behind_g(needed, left_percent)
    flour = flour_for_dough_g(formula, mixed)
    rounded = rounded_each(weights_for_flour(formula, flour), step_of)
    rows = tuple(
        TableRow(line.ingredient, larder[line.ingredient].kind, line.percent, true, grams)
        for line, (_, true), (_, grams) in zip(
            formula.lines, true_percents(formula), rounded.weights, strict=True
        )
    )
    lines = [
        *_pieces(pieces, left_percent),
        *_weights(formula, mixed, rounded),
        *_preferments(formula, larder, flour),
        _hydration(formula, larder),
        *_yeasts(formula, larder, rounded.weights, factors),
    ]
    if water is not None:
        lines.append(_water(water))
    for one in pieces:
        baked = baked_g(one.dough_g, one.loss_percent)
        lines.append(
            SumLine(
                "baked",
                (Value("dough", one.dough_g, "g"), Value("baked", baked, "g")),
                f"{one.name}: {plain(one.dough_g, 1)} × {plain((100 - one.loss_percent) / 100, 4)} = {_g(baked)} baked, "
                f"for a bake loss of {_p(one.loss_percent)}",
                (
                    (
                        "baked",
                        {
                            "name": one.name,
                            "dough": (one.dough_g, 1),
                            "share": ((100 - one.loss_percent) / 100, 4),
                            "grams": (baked, 1),
                            "loss": (one.loss_percent, 2),
                        },
                    ),
                ),
            )
        )
    return DoughSums(formula.name, rows, formula.total_percent, rounded.dough_g, tuple(lines))
