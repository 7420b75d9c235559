"""Filled bread's two hours from the oven to home. The two hours: Food Standards Australia New Zealand's first limit, and inside the
four of SI 2005/2059 and of the FDA Food Code 3-501.19."""

from dataclasses import dataclass
from fractions import Fraction

import pytest

from classpack.model.safety import FiredCaution
from classpack.planning.safety.chilled_home import HOME_MIN, chilled_breads
from classpack.planning.safety.hygiene import OUT_MIN, Cooling
from classpack.reading.caution_file import package_catalogue

FILLED = package_catalogue().caution("store-filled")
assert FILLED is not None
HOME = (("pizza", (FiredCaution(FILLED, FILLED.severity, ()),)), ("loaf", ()))
COOLING = {
    name: Cooling(name, Fraction(5), Fraction(5), Fraction(5), ()) for name in ("pizza", "loaf")
}


@dataclass(frozen=True)
class Load:
    variation: str
    out_min: int
    lot: int = 0
    people: tuple[int, ...] = (0,)
    kind: str = "load"


@dataclass(frozen=True)
class Clocks:
    stations: tuple[tuple[str, tuple[Load, ...]], ...]


def found(*loads: Load, end: int = 300):
    return chilled_breads(Clocks((("A", loads),)), HOME, COOLING, end)


def test_only_bread_that_spoils_has_a_clock():
    (one,) = found(Load("loaf", 100), Load("pizza", 200))
    assert (one.bread, one.out_min, one.by_min) == ("pizza", 200, 200 + OUT_MIN)


@pytest.mark.parametrize(
    ("out", "into"),
    [
        (160, 220),  # out 140 min before the end: into the fridge once it has stopped steaming
        (300 + HOME_MIN - OUT_MIN - 1, 284),  # a minute too early for the way home
        (300 + HOME_MIN - OUT_MIN, None),  # late enough
    ],
)
def test_bread_that_is_out_early_goes_into_the_fridge_and_late_bread_home(out, into):
    (one,) = found(Load("pizza", out))
    assert one.fridge_min == into
    if into is not None:
        assert out < into <= one.by_min
