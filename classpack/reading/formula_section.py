"""The base dough's formula as a lesson writes it: baker's percentages or weights, and a total that may stand beside them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from classpack.errors import Problem, Spot
from classpack.model.formula import FormulaLine
from classpack.model.larder import Larder
from classpack.model.printed_formula import Printed, PrintedFormula, PrintedLine
from classpack.quantities import NotUnderstood, parse_amount, parse_percent, plain
from classpack.reading.household_weights import short_from, weighed, weighed_from
from classpack.reading.same_food import offered
from classpack.reading.sections import Section, parsed
from classpack.reading.yaml_lines import Node, Text


@dataclass(frozen=True, slots=True)
class FormulaRead:
    """The lines in baker's percentages, how they were written (``percent`` or ``weights``), and the total stated beside them.

    ``measured`` says of each ingredient written in household measures how it became grams.
    """

    lines: tuple[FormulaLine, ...]
    reads: str
    stated: PrintedFormula | None
    stated_spot: Spot | None
    measured: tuple[tuple[str, str], ...] = ()


def known_ingredient(name: Text, larder: Larder, problems: list[Problem]) -> bool:
    """Is ``name`` in the larder? If not, it is a problem at its place."""
    if larder.get(name.value) is None:
        problems.append(
            Problem(
                name.spot,
                f"no ingredient '{name.value}' in the larder",
                offered(name.value, larder),
            )
        )
        return False
    return True


def read_formula(section: Section, larder: Larder) -> FormulaRead:
    """The formula of the base dough's ``section``; its flours add up to 100."""
    if section.has("formula") and section.has("weights"):
        section.raw("formula")
        section.problem(
            section.spot_of("weights"),
            "both 'formula' and 'weights' are given",
            "keep one: they must not disagree",
        )
    before = len(section.problems)
    reads = "weights" if section.has("weights") else "percent"
    measured: list[tuple[str, str]] = []
    if reads == "weights":
        lines, written = _lines_from_weights(section, larder, measured)
    else:
        lines, written = _lines_from_percent(section, larder)
    total = section.raw("total")
    stated = _stated(total, reads, written, section.problems) if total else None
    if (
        len(section.problems) > before
    ):  # a line that cannot be read may have been the flour that lacks
        return FormulaRead(lines, reads, None, None)
    flours = [line for line in lines if larder[line.ingredient].kind == "flour"]
    flour = sum((line.percent for line in flours), Fraction(0))
    where = section.spot_of(reads if reads == "weights" else "formula")
    if lines and not flours:
        section.problem(
            where, "no line of the formula is a flour", "write the flours; together they are 100 %"
        )
    elif flours and reads == "percent" and flour != 100:
        section.problem(where, f"the flours add up to {plain(flour, 9)}", "they must add up to 100")
    spot = total.spot if stated and total else None
    return FormulaRead(lines, reads, stated, spot, tuple(measured))


def _lines_from_percent(
    section: Section, larder: Larder
) -> tuple[tuple[FormulaLine, ...], tuple[PrintedLine, ...]]:
    lines, written = [], []
    for key, node in section.fields(
        "formula", "the formula, as in 'formula:' and below it 'water: 65 %'"
    ):
        percent = parsed(
            node, key.value, partial(_percent_above_0, name=key.value), section.problems
        )
        if known_ingredient(key, larder, section.problems) and percent is not None:
            lines.append(FormulaLine(key.value, percent, key.spot))
            is_flour = larder[key.value].kind == "flour"
            number = Printed(percent, _last_place(node))
            written.append(PrintedLine(key.value, None, number, is_flour))
    return tuple(lines), tuple(written)


def _percent_above_0(text: str, name: str) -> Fraction:
    if re.fullmatch(r"[\d.]+", text):
        raise NotUnderstood(f"{name} is '{text}'", f"say of what, as in '{name}: {text} %'")
    percent = parse_percent(text, name)
    if percent == 0:
        raise NotUnderstood(f"{name} is '{text}'", "take the line away, or write more than nothing")
    return percent


def _lines_from_weights(
    section: Section, larder: Larder, measured: list[tuple[str, str]]
) -> tuple[tuple[FormulaLine, ...], tuple[PrintedLine, ...]]:
    found: list[tuple[Text, Fraction]] = []
    written = []
    for key, node in section.fields("weights"):
        amount = parsed(
            node,
            key.value,
            partial(
                parse_amount,
                what=key.value,
                example="325 g",
                household=larder.measures.household,
            ),
            section.problems,
        )
        if not known_ingredient(key, larder, section.problems) or amount is None:
            continue
        try:
            grams = weighed(amount, key.value, larder)
        except NotUnderstood as error:
            section.problem(key.spot, error.wrong, error.right)
            continue
        if said := weighed_from(amount, key.value, grams, larder):
            measured.append((short_from(amount, key.value, grams, larder), said))
        if grams:
            found.append((key, grams))
            is_flour = larder[key.value].kind == "flour"
            step = _last_place(node) * grams / _typed(node, amount.value)
            written.append(PrintedLine(key.value, Printed(grams, step), None, is_flour))
    flour = sum((g for key, g in found if larder[key.value].kind == "flour"), Fraction(0))
    lines = tuple(
        FormulaLine(key.value, g / flour * 100 if flour else Fraction(0), key.spot)
        for key, g in found
    )
    return lines, tuple(written)


# ---------------------------------------------------------------- the total beside it

_DECIMAL = re.compile(r"\d+(?:\.(?P<places>\d+))?")


def _last_place(node: Node) -> Fraction:
    """The last place of the first number in a text: 0.01 for ``0.75 kg``."""
    match = _DECIMAL.match(node.value) if isinstance(node, Text) else None
    return Fraction(1, 10 ** len(match["places"] or "")) if match else Fraction(1)


def _typed(node: Node, otherwise: Fraction) -> Fraction:
    match = _DECIMAL.match(node.value) if isinstance(node, Text) else None
    return Fraction(match[0]) if match and Fraction(match[0]) else otherwise


def _stated(
    node: Node, reads: str, lines: tuple[PrintedLine, ...], problems: list[Problem]
) -> PrintedFormula | None:
    """The formula as written with its total; whether it adds up is for planning to say."""
    if reads == "percent":
        percent = parsed(
            node, "total", partial(parse_percent, what="the total", example="170 %"), problems
        )
        if percent is None:
            return None
        return PrintedFormula(lines, None, Printed(percent, _last_place(node)))
    amount = parsed(
        node, "total", partial(parse_amount, what="the total", example="975 g"), problems
    )
    if amount is None:
        return None
    if amount.unit != "g":
        said = node.value if isinstance(node, Text) else ""
        problems.append(
            Problem(node.spot, f"the total is '{said}'", "write it in grams, as in '975 g'")
        )
        return None
    step = _last_place(node) * amount.value / _typed(node, amount.value)
    return PrintedFormula(lines, Printed(amount.value, step), None)
