"""How warm the water must be for the wanted dough, with ice when the tap is too warm, and guards against scalds and dead yeast.

* 3 factors: water = 3 x wanted - room - flour - friction. Wihlfahrt, *A Treatise on Baking* (1913-), "The temperature of the
  bread dough" (without friction); SFBI course notes 2009; Hamelman, *Bread* (2004). 4 factors with a preferment: the same books.
* Friction is a **difference** and already counted for all factors: from °F it is only times 5/9. Its published values
  spread widely (by hand 1 to 7 K in the sum); measure your own: 3 x dough got - (room + flour + water).
* Ice = water x (tap - wanted) / (tap + 79.9): latent heat of melting over the heat of water, 334.6 / 4.186 K. Physics; the
  rule in °F (tap + 112) is the trade's, from memory. Slow melting, flour and bowl are left out.
* Yeast is wetted at no more than 43 °C (US Armed Forces Recipe Service, 2003) and dies near 60 °C (Kentucky extension
  column, 2015). This program remarks above 40 °C and refuses above 45 °C; it plans no dough above 30 °C (its own choice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from classpack.errors import Problem, Remark, Spot
from classpack.quantities import plain, rounded_to

WARM_WATER_C = Fraction(40)
HOTTEST_WATER_C = Fraction(45)
HOTTEST_DOUGH_C = Fraction(30)
ICE_MELT_K = Fraction("79.9")


@dataclass(frozen=True, slots=True)
class Friction:
    """What mixing adds, in kelvin and counted for the whole sum: ``least``, ``usual``, ``most``, and the source."""

    mixed_by: str
    least_c: Fraction
    usual_c: Fraction
    most_c: Fraction
    source: str


def _friction(mixed_by: str, least: int, usual: int, most: int, source: str) -> Friction:
    return Friction(mixed_by, Fraction(least), Fraction(usual), Fraction(most), source)


FRICTIONS = (
    _friction("hand", 1, 3, 7, "2 to 12 °F: magazine 2012 (5 °F), Hamelman's readers, teaching site"),
    _friction("bench", 6, 12, 13, "stand mixer 20 to 24 °F: magazine 2012, blog on Hamelman"),
    _friction("floor", 11, 14, 19, "spiral 20, high-speed 25, planetary 35 °F: teaching site, trade column 2018"),
)  # fmt: skip


def friction_of(mixed_by: str) -> Friction:
    """The published friction of ``hand``, a ``bench`` or a ``floor`` mixer; by hand when it is none of them."""
    return next((one for one in FRICTIONS if one.mixed_by == mixed_by), FRICTIONS[0])


def water_c(
    wanted_c: Fraction,
    flour_c: Fraction,
    room_c: Fraction,
    friction_c: Fraction,
    preferment_c: Fraction | None = None,
) -> Fraction:
    """Water for a dough of ``wanted_c``; with a preferment by four factors, else by three. Exact, in any one scale.

    >>> water_c(Fraction(25), Fraction(20), Fraction(20), Fraction(3))
    Fraction(32, 1)
    """
    others = [flour_c, room_c] + ([] if preferment_c is None else [preferment_c])
    return (len(others) + 1) * wanted_c - sum(others, Fraction(0)) - friction_c


def dough_c(
    water: Fraction,
    flour_c: Fraction,
    room_c: Fraction,
    friction_c: Fraction,
    preferment_c: Fraction | None = None,
) -> Fraction:
    """The dough that water of this temperature makes: :func:`water_c` the other way round."""
    parts = [water, flour_c, room_c] + ([] if preferment_c is None else [preferment_c])
    return (sum(parts, Fraction(0)) + friction_c) / len(parts)


def friction_found_c(
    dough_got_c: Fraction, water: Fraction, flour_c: Fraction, room_c: Fraction
) -> Fraction:
    """Your own friction, from one batch measured: 3 x dough - (room + flour + water)."""
    return 3 * dough_got_c - (room_c + flour_c + water)


# ---------------------------------------------------------------- ice


def ice_g(water_g: Fraction, tap_c: Fraction, wanted_c: Fraction) -> Fraction:
    """How much of ``water_g`` is weighed as ice so that all of it comes to ``wanted_c`` (0 °C or more) once melted.

    0 when the tap is cold enough. The rest is tap water.
    """
    if wanted_c >= tap_c:
        return Fraction(0)
    return water_g * (tap_c - wanted_c) / (tap_c + ICE_MELT_K)


# ---------------------------------------------------------------- advice


@dataclass(frozen=True, slots=True)
class WaterAdvice:
    """The water of one dough. ``use_c`` is None when no water can do it, and the remarks say what to do instead.

    ``needed_c`` is what the sum gives. ``ice_percent`` is ice as percent of all the water (0: none). ``comes_to_c`` is the
    dough that ``use_c`` makes.
    """

    needed_c: Fraction
    use_c: Fraction | None
    ice_percent: Fraction
    comes_to_c: Fraction | None
    remarks: tuple[Remark, ...]


def dough_problem(wanted_c: Fraction, spot: Spot) -> Problem | None:
    """A wanted dough too warm for this program."""
    if wanted_c <= HOTTEST_DOUGH_C:
        return None
    return Problem(
        spot,
        f"the dough temperature is {plain(wanted_c, 1)} C",
        f"this program plans no dough above {plain(HOTTEST_DOUGH_C)} C; 24 to 27 C is usual for wheat dough",
    )


def water_advice(
    wanted_c: Fraction,
    flour_c: Fraction,
    room_c: Fraction,
    friction_c: Fraction,
    preferment_c: Fraction | None = None,
    tap_c: Fraction | None = None,
) -> WaterAdvice:
    """The water to use, to the whole degree, within the guards; ``tap_c`` is the coldest the tap gives (None: not asked).

    Above 45 °C it is refused: warmer flour or a warmer room must do it, or a longer proof. Below 0 °C ice water cannot.
    """
    needed = water_c(wanted_c, flour_c, room_c, friction_c, preferment_c)
    use = rounded_to(needed, Fraction(1))

    def comes_to(water: Fraction) -> Fraction:
        return dough_c(water, flour_c, room_c, friction_c, preferment_c)

    def advice(water: Fraction | None, ice: Fraction, *texts: str) -> WaterAdvice:
        remarks = tuple(Remark("water", text) for text in texts)
        return WaterAdvice(needed, water, ice, None if water is None else comes_to(water), remarks)

    if needed > HOTTEST_WATER_C:
        return advice(
            None,
            Fraction(0),
            f"the dough would need water of {plain(needed, 0)} °C, which is refused above {plain(HOTTEST_WATER_C)} °C; "
            f"bring the flour into the warm, or take {plain(WARM_WATER_C)} °C for a dough of "
            f"{plain(comes_to(WARM_WATER_C), 0)} °C and let it proof longer",
        )
    if use > WARM_WATER_C:
        return advice(
            use,
            Fraction(0),
            f"water of {plain(use)} °C is warmer than {plain(WARM_WATER_C)} °C: mix it into the flour before the yeast, "
            "and let no child pour it",
        )
    if needed < 0:
        return advice(
            None,
            Fraction(0),
            f"no water is cold enough (the sum gives {plain(needed, 0)} °C); chill the flour or the preferment, "
            f"ice water makes a dough of {plain(comes_to(Fraction(0)), 0)} °C",
        )
    if tap_c is not None and use < tap_c:
        ice = ice_g(Fraction(100), tap_c, use)
        return advice(
            use,
            ice,
            f"the tap gives {plain(tap_c, 0)} °C and the dough wants {plain(use)} °C: weigh {plain(ice, 0)} % of the water as ice",
        )
    return advice(use, Fraction(0))


# ---------------------------------------------------------------- the strip


@dataclass(frozen=True, slots=True)
class StripCell:
    """Water for one flour and room. ``state`` is ``""``, ``ice``, ``too cold``, ``warm`` or ``refused``; then ``water_c`` may be None."""

    room_c: Fraction
    water_c: Fraction | None
    state: str


@dataclass(frozen=True, slots=True)
class StripRow:
    """One flour temperature, and the water for each room temperature."""

    flour_c: Fraction
    cells: tuple[StripCell, ...]


def _cell(needed: Fraction, room_c: Fraction, tap_c: Fraction | None) -> StripCell:
    use = rounded_to(needed, Fraction(1))
    if needed > HOTTEST_WATER_C:
        return StripCell(room_c, None, "refused")
    if needed < 0:
        return StripCell(room_c, None, "too cold")
    if use > WARM_WATER_C:
        return StripCell(room_c, use, "warm")
    if tap_c is not None and use < tap_c:
        return StripCell(room_c, use, "ice")
    return StripCell(room_c, use, "")


DEGREES = tuple(Fraction(c) for c in (16, 18, 20, 22, 24, 26, 28))
"""Flour and room temperatures of the strip unless others are asked for."""


def strip(
    wanted_c: Fraction,
    friction_c: Fraction,
    flours_c: Sequence[Fraction] = DEGREES,
    rooms_c: Sequence[Fraction] = DEGREES,
    preferment_c: Fraction | None = None,
    tap_c: Fraction | None = None,
) -> tuple[StripRow, ...]:
    """Water temperatures to read off on the day: a row for each flour temperature, a column for each room."""
    return tuple(
        StripRow(
            flour,
            tuple(
                _cell(water_c(wanted_c, flour, room, friction_c, preferment_c), room, tap_c)
                for room in rooms_c
            ),
        )
        for flour in flours_c
    )
