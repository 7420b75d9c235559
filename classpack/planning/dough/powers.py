"""Powers with a broken exponent, for the two rules of the trade that need them, the same on every computer.

Yeast against time (``ratio ** -0.68``) and dough temperature against time (``2 ** (kelvin / 10)``) have no exact
fraction as an answer. ``decimal`` works them out to forty figures, and six decimals of them are kept.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

_PLACES = 10**6
_FIGURES = 40
_HAIR = Decimal(1).scaleb(-30)
"""So that the third root of 8 is 2 and not just under it."""


def power(base: Fraction, exponent: Fraction) -> Fraction:
    """``base ** exponent`` to six decimals, rounded down; exact when the exponent is whole.

    Args:
        base: above 0, and best within 0.001 to 1000.
        exponent: any fraction.

    Raises:
        ValueError: ``base`` is not above 0.

    >>> power(Fraction(2), Fraction(1, 2)), power(Fraction(4), Fraction(-1))
    (Fraction(1414213, 1000000), Fraction(1, 4))
    """
    if base <= 0:
        raise ValueError(f"the base is {base}, it must be above 0")
    if exponent.denominator == 1:
        exact: Fraction = base**exponent.numerator
        return exact
    with localcontext(prec=_FIGURES):
        value = _decimal(base) ** _decimal(exponent) + _HAIR
        return Fraction(int(value * _PLACES), _PLACES)


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)
