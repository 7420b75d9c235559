"""Tables as CSV text that spreadsheets open right: RFC 4180, and no cell that a spreadsheet would run as a formula.

Only text is made here; the writer puts the byte order mark and UTF-8 around it. A text that starts like a formula gets an
apostrophe in front (OWASP, *CSV Injection*); a number given as a number does not, so ``-2.5`` stays a number.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from classpack.model.language import ENGLISH, Language
from classpack.planning.shopping.basket import ShoppingLine, ShoppingList
from classpack.quantities import Amount, plain, show_amount

Cell = str | int | Fraction | None

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def csv_text(
    rows: Iterable[Sequence[Cell]], delimiter: str = ",", decimal: str = ".", places: int = 3
) -> str:
    """The rows as CSV, each line ended by CR LF.

    Args:
        rows: cells are texts, numbers or None (an empty cell).
        delimiter: one sign; spreadsheets of countries with a decimal comma want ``;``.
        decimal: the decimal sign of numbers; must not be the delimiter.
        places: at most so many decimals.
    """
    if delimiter == decimal:
        raise ValueError("a number's decimal sign cannot also part the cells")
    return "".join(
        delimiter.join(_cell(cell, delimiter, decimal, places) for cell in row) + "\r\n"
        for row in rows
    )


def _cell(cell: Cell, delimiter: str, decimal: str, places: int) -> str:
    if cell is None:
        return ""
    if not isinstance(cell, str):
        text = plain(Fraction(cell), places).replace(".", decimal)
    else:
        text = cell.replace("\0", "")
        if text.lstrip(" \N{NO-BREAK SPACE}").startswith(_FORMULA_STARTS) or text.startswith(
            _FORMULA_STARTS
        ):
            text = f"'{text}"
    if any(sign in text for sign in (delimiter, '"', "\r", "\n")) or text != text.strip():
        return '"' + text.replace('"', '""') + '"'
    return text


def shopping_rows(
    shopping: ShoppingList,
    coin_places: int,
    language: Language = ENGLISH,
) -> list[list[Cell]]:
    """The shopping list as rows: a head, every line to buy by aisle, what is in the cupboard, the total.

    Amounts are rounded up to whole grams or pieces, so nobody buys too little; money is in whole coins of
    ``coin_places`` decimals. A cost that is not known is an empty cell.
    """
    coin = Fraction(1, 10**coin_places)
    columns = language.columns("shopping columns")
    rows: list[list[Cell]] = [list(columns)]
    for aisle in shopping.aisles:
        rows += [_row(language.aisle(aisle.name), line, coin, language) for line in aisle.lines]
    cupboard, total = language.text("shopping cupboard"), language.text("shopping total")
    rows += [_row(cupboard, line, coin, language) for line in shopping.cupboard]
    rows.append([total, *[None] * (len(columns) - 4), shopping.total * coin, None, None])
    return rows


def _row(aisle: str, line: ShoppingLine, coin: Fraction, language: Language) -> list[Cell]:
    if line.in_cupboard:
        buy = ""
    elif line.buy:
        packs = " + ".join(f"{one.count} × {_pack(one.pack)}" for one in line.buy)
        buy = language.number(packs)
    else:
        buy = language.number(show_amount(Amount(_up(line.to_buy), line.unit)))
    return [
        aisle,
        line.ingredient,
        language.text("each") if line.unit == "each" else line.unit,
        _up(line.need),
        _down(line.have),
        buy,
        _down(line.left),
        None if line.cost is None else line.cost * coin,
        ", ".join(language.need(one) for one in line.must_not_list),
        line.check_pack,
    ]


def _pack(size: Amount) -> str:
    for whole, name, unit in (("kg", "g", 1000), ("l", "ml", 1000)):
        if size.unit == name and size.value >= unit:
            return f"{plain(size.value / unit)} {whole}"
    return show_amount(size)


def _up(value: Fraction) -> Fraction:
    """Whole units, up; amounts under 10 keep a tenth, so that 0.4 g of saffron does not become 1 g."""
    step = Fraction(1) if value >= 10 else Fraction(1, 10)
    return -(-value // step) * step


def _down(value: Fraction) -> Fraction:
    step = Fraction(1) if value >= 10 else Fraction(1, 10)
    return value // step * step
