"""Powers with a broken exponent, for the two rules of the trade that need them, without floating point.

Yeast against time (``ratio ** -0.68``) and dough temperature against time (``2 ** (kelvin / 10)``) have no exact
fraction as an answer. It is rounded to a thousandth of a thousandth here, from whole numbers only, so that every
computer prints the same minutes.
"""

from __future__ import annotations

from fractions import Fraction

_PLACES = 10**6


def _whole_root(value: int, degree: int) -> int:
    """The greatest whole number whose ``degree``-th power is not above ``value`` (0 or more)."""
    low, high = 0, 1 << (value.bit_length() // degree + 1)
    while low < high:
        middle = (low + high + 1) // 2
        if middle**degree <= value:
            low = middle
        else:
            high = middle - 1
    return low


def power(base: Fraction, exponent: Fraction) -> Fraction:
    """``base ** exponent`` to six decimals, rounded down; exact when the exponent is whole.

    Args:
        base: above 0, and best within 0.001 to 1000.
        exponent: any fraction; its denominator is brought to at most 100.

    Raises:
        ValueError: ``base`` is not above 0.

    >>> power(Fraction(2), Fraction(1, 2)), power(Fraction(4), Fraction(-1))
    (Fraction(1414213, 1000000), Fraction(1, 4))
    """
    if base <= 0:
        raise ValueError(f"the base is {base}, it must be above 0")
    exponent = exponent.limit_denominator(100)
    if exponent.denominator == 1:
        return base**exponent.numerator
    whole: Fraction = base**exponent.numerator
    scaled = whole * Fraction(_PLACES) ** exponent.denominator
    return Fraction(_whole_root(int(scaled), exponent.denominator), _PLACES)
