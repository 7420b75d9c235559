"""How long a proof takes when the dough is warmer or colder, or the yeast more or less, than the lesson meant. Never a promise.

The lesson's own window is scaled; the answer is again least, usual and most minutes, and the "ready when" cue decides.

* Temperature, three rules side by side, since sources conflict: the time halves for every 8 K (baker's yeast of sourdough
  between 20 and 28 °C: M. Gänzle's summary of Gänzle, Ehmann, Hammes 1998, *Appl. Environ. Microbiol.* 64:2616), for every
  10 K (trade rule, from memory), and by the cardinal temperature model (Rosso et al. 1993) with baker's yeast growing from 4
  over 32.3 to 45.4 °C (Salvadó et al. 2011, *AEM* 77:2292; both from memory). Growth is not the same as gas in a dough.
* Yeast: half the yeast, twice the time (US household rule: *Foods That Will Win the War*, 1918) is the simple rule; measured by
  others it is 1.6 times (*Manual for Army Bakers*, 1916: 5 h, 8 h with half the yeast; *The Sourdough Framework*: 5, 8, 12 h).
  So exponent -1, range -0.6 to -1; fair within a factor of three.
* Below 10 °C a dough practically stops (bakers' glossary).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from classpack.planning.dough.powers import power
from classpack.quantities import plain

YEAST_GROWS_C = (Fraction(4), Fraction("32.3"), Fraction("45.4"))
"""Least, best and greatest growth temperature of baker's yeast (Salvadó et al. 2011, from memory)."""
SOURDOUGH_YEAST_GROWS_C = (Fraction(8), Fraction(28), Fraction(35))
"""The same for the yeast of sourdough (Gänzle et al. 1998, as summarised)."""
GOOD_C = (Fraction(15), Fraction(30))
"""Dough temperatures between which the rules agree fairly."""
POSSIBLE_C = (Fraction(10), Fraction(35))
"""Outside these no minutes are given at all."""
GOOD_YEAST = (Fraction(1, 3), Fraction(3))
YEAST_EXPONENTS = (Fraction(-6, 10), Fraction(-1), Fraction(-1))
"""Least, usual and most lengthening; -1 is the simple rule."""

SUPPORT_TEMPERATURE = "trade rules and a growth model that differ; a rule of thumb"
SUPPORT_YEAST = (
    "two sources say the time doubles with half the yeast, two say 1.6 times; a rule of thumb"
)


def growth(
    celsius: Fraction, cardinal: tuple[Fraction, Fraction, Fraction] = YEAST_GROWS_C
) -> Fraction:
    """The rate of growth as a share of the best, by the cardinal temperature model with inflection (Rosso et al. 1993).

    >>> f"{float(growth(Fraction(25))):.4f}"
    '0.8234'
    """
    low, best, high = cardinal
    if not low < celsius < high:
        return Fraction(0)
    above = (celsius - high) * (celsius - low) ** 2
    below = (best - low) * (
        (best - low) * (celsius - best) - (best - high) * (best + low - 2 * celsius)
    )
    return above / below


def _halving_every(kelvin: int) -> Callable[[Fraction, Fraction], Fraction]:
    def factor(meant_c: Fraction, is_c: Fraction) -> Fraction:
        return power(Fraction(2), (meant_c - is_c) / kelvin)

    return factor


def _by_growth(meant_c: Fraction, is_c: Fraction) -> Fraction:
    return growth(meant_c) / growth(is_c)


_RULES = (_halving_every(8), _halving_every(10), _by_growth)


@dataclass(frozen=True, slots=True)
class Times:
    """By how much a time is multiplied, or the minutes themselves: ``least``, ``usual``, ``most``."""

    least: Fraction
    usual: Fraction
    most: Fraction


def temperature_factor(meant_c: Fraction, is_c: Fraction) -> Times | None:
    """How much longer a proof takes at ``is_c`` than at ``meant_c``: the least, middle and most of the three rules.

    None when either lies outside 10 to 35 °C.
    """
    low, high = POSSIBLE_C
    if not (low <= meant_c <= high and low <= is_c <= high):
        return None
    least, usual, most = sorted(rule(meant_c, is_c) for rule in _RULES)
    return Times(least, usual, most)


def yeast_factor(ratio: Fraction) -> Times:
    """How much longer it takes with ``ratio`` times the yeast (above 0).

    >>> yeast_factor(Fraction(1, 2)).usual
    Fraction(2, 1)
    """
    weak, simple, _ = (power(ratio, one) for one in YEAST_EXPONENTS)
    return Times(min(weak, simple), simple, max(weak, simple))


@dataclass(frozen=True, slots=True)
class ProofTime:
    """Minutes of a proof under other conditions. ``minutes`` is None when no rule holds.

    ``good``: within the range where the rules agree fairly. ``support``: how well supported they are. ``says``: one sentence,
    always to be printed with the "ready when" cue beside it.
    """

    minutes: Times | None
    good: bool
    support: str
    says: str


def proof_time(
    window: Times,
    meant_c: Fraction,
    is_c: Fraction,
    yeast_ratio: Fraction = Fraction(1),
) -> ProofTime:
    """The lesson's window (minutes) at another dough temperature and with ``yeast_ratio`` times the yeast, in the same form.

    Unchanged conditions give the window back exactly.
    """
    factor = temperature_factor(meant_c, is_c)
    if factor is None or yeast_ratio <= 0:
        low, high = POSSIBLE_C
        return ProofTime(
            None,
            False,
            SUPPORT_TEMPERATURE,
            f"at {plain(is_c, 0)} °C no time can be given (the rules hold from {plain(low)} to {plain(high)} °C); "
            "go by the dough alone",
        )
    by_yeast = yeast_factor(yeast_ratio)
    minutes = Times(
        window.least * factor.least * by_yeast.least,
        window.usual * factor.usual * by_yeast.usual,
        window.most * factor.most * by_yeast.most,
    )
    good = (
        all(GOOD_C[0] <= one <= GOOD_C[1] for one in (meant_c, is_c))
        and GOOD_YEAST[0] <= yeast_ratio <= GOOD_YEAST[1]
    )
    support = SUPPORT_TEMPERATURE if yeast_ratio == 1 else SUPPORT_YEAST
    says = (
        f"about {plain(minutes.usual, 0)} min, {plain(minutes.least, 0)} to {plain(minutes.most, 0)}, "
        f"with the dough at {plain(is_c, 0)} °C"
    )
    if yeast_ratio != 1:
        says += f" and {plain(yeast_ratio, 2)} times the yeast"
    if not good:
        says += "; outside the range where the rules agree, so watch the dough early"
    return ProofTime(minutes, good, support, says)
