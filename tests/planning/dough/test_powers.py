"""Powers without floating point, checked against the standard library's."""

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.planning.dough.powers import power


@settings(max_examples=80, deadline=None)
@given(
    st.fractions(min_value=F(1, 50), max_value=50, max_denominator=50),
    st.fractions(min_value=-3, max_value=3, max_denominator=20),
)
def test_a_power_is_that_of_the_standard_library(base, exponent):
    assert float(power(base, exponent)) == pytest.approx(float(base) ** float(exponent), abs=2e-6)


def test_whole_exponents_are_exact():
    assert power(F(2, 3), F(-2)) == F(9, 4)
    assert power(F(8), F(1, 3)) == 2
    assert power(F(1, 32), F(2, 5)) == F(1, 4)


def test_only_numbers_above_nothing_have_a_power():
    with pytest.raises(ValueError, match="must be above 0"):
        power(F(0), F(1, 2))
