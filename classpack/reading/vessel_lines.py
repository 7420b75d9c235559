"""A piece of dough and what it bakes in, as people write it: millilitres, sides in centimetres or inches, a trade name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from classpack.model.lesson import Vessel
from classpack.model.own_measures import OwnMeasures
from classpack.model.vessel_sizes import DEPTH_CM, TRADE_TINS, tin_from_sides_ml
from classpack.quantities import (
    INCH_CM,
    NotUnderstood,
    parse_amount,
    parse_cm,
    parse_grams,
    parse_number,
    plain,
    tidied,
)
from classpack.reading.plausible import PIECE, TIN_ML

_N = r"\d+/[1-9]\d*|\d+(?:\.\d+)?(?:\s+\d+/[1-9]\d*)?"
_LENGTH_UNIT = r"(?:mm|cm|inches|inch|in\.?|\"|″)"
_BY = r"\s*(?:[x×]|by)\s*"
_SIDES = rf"(?P<a>{_N})\s*(?P<unit_a>{_LENGTH_UNIT})?{_BY}(?P<b>{_N})\s*(?P<unit_b>{_LENGTH_UNIT})?(?:{_BY}(?P<c>{_N}))?[\s-]*(?P<unit>{_LENGTH_UNIT})?"
_SIDES_ALONE = re.compile(_SIDES)
_WEIGHT = rf"(?:{_N})\s*(?:lbs?|pounds?)\.?\s+(?:and\s+)?(?:{_N})\s*(?:oz|ounces?)\.?|(?:{_N})\s*(?:kg|g|oz|ounces?|lbs?|pounds?)\.?"
_PIECE = re.compile(rf"(?P<weight>{_WEIGHT})(?:\s+(?P<where>.+))?")
_TIN = re.compile(
    r"in an? (?P<size>.+?)\s+(?:loaf )?(?P<name>tin|pan|pot|mould|mold|basket)(?:,? (?P<lid>with a lid))?"
)
_ML = re.compile(r"[\d.]+\s*(?:ml|mL|l|L)")
_TRADE = re.compile(rf"(?P<number>{_N})\s*-?\s*(?P<unit>lbs?|pounds?|kg|g)")
_TRAY = re.compile(rf"on an? {_SIDES}\s*(?:baking |sheet |half-sheet )?(?:tray|sheet|pan|tin)")
_ROUND = re.compile(
    rf"as an? (?P<across>{_N})[\s-]*(?P<unit>{_LENGTH_UNIT})\s+(?:round|circle|disc)"
)
_NAMES = {"pan": "tin", "mold": "mould"}
"""US words for the same thing."""


@dataclass(frozen=True, slots=True)
class TinSize:
    """What a tin holds, and how that is known: ``measured``, or ``computed`` from its sides."""

    volume_ml: Fraction
    known: str = "measured"


def parse_tin_size(text: str, own: OwnMeasures, what: str, lidded: bool = False) -> TinSize:
    """``2100 ml``, ``9 x 5 x 3 in``, or a trade name the tutor's larder knows.

    Raises:
        NotUnderstood: none of these; two sides without a depth, and a trade name nobody has measured, are asked.
    """
    said = tidied(text)
    if _ML.fullmatch(said):
        return TinSize(parse_amount(said, what, "2100 ml").value)
    for name, ml in own.tins_ml.items():
        if said in (name, name.removesuffix(" tin"), name.removesuffix(" pan")):
            return TinSize(ml)
    sides = _SIDES_ALONE.fullmatch(said)
    if sides:
        unit = sides["unit"] or sides["unit_b"] or sides["unit_a"]
        if not unit:
            raise NotUnderstood(
                f"{what} is '{text}'", f"say of what, as in '{said} cm' or '{said} in'"
            )
        inches = not unit.endswith("m")
        if not sides["c"]:
            depth = "3 in" if inches else "7.5 cm"
            cm = [_cm(sides[side], unit) for side in ("a", "b")]
            offered = tin_from_sides_ml(cm[0], cm[1], DEPTH_CM["in" if inches else "cm"])
            raise NotUnderstood(
                f"{what} is '{text}', without its depth",
                f"write all three, as in '{sides['a']} x {sides['b']} x {depth}' (about {plain(offered)} ml), or fill it with "
                "water on the scale: grams are millilitres",
            )
        volume = tin_from_sides_ml(*(_cm(sides[side], unit) for side in ("a", "b", "c")))
        return TinSize(Fraction(round(volume * Fraction(97, 88))) if lidded else volume, "computed")
    trade = _TRADE.fullmatch(said)
    if trade:
        name = f"{trade['number']} {'g' if trade['unit'].endswith('g') else 'lb'}"
        known = TRADE_TINS.get(name)
        span = (
            f": tins sold so hold {plain(known.least_ml)} to {plain(known.most_ml)} ml"
            if known
            else ""
        )
        offered = known.offered_ml if known else Fraction(1500)
        raise NotUnderstood(
            f"{what} is '{text}', which is no volume{span}",
            f"fill it with water on the scale, grams are millilitres, and say once in your larder 'measures: {{tins: {{{name} "
            f"tin: {plain(offered)} ml}}}}', or write it here, as in '{plain(offered)} ml'",
        )
    raise NotUnderstood(
        f"{what} is '{text}'",
        "write what it holds or its sides, as in '2100 ml' or '25 x 11 x 7.5 cm'",
    )


def _cm(number: str, unit: str) -> Fraction:
    return parse_number(number) * (INCH_CM if not unit.endswith("m") else parse_cm(f"1 {unit}"))


def parse_sides_cm(text: str) -> tuple[Fraction, Fraction] | None:
    """Two sides of a tray in cm: ``30 x 40 cm``, ``18 x 13 in``; None when it is something else."""
    sides = _SIDES_ALONE.fullmatch(tidied(text))
    unit = (sides["unit"] or sides["unit_b"]) if sides and not sides["c"] else None
    if sides is None or not unit:
        return None
    return _cm(sides["a"], unit), _cm(sides["b"], unit)


def parse_piece(text: str, own: OwnMeasures, what: str = "'piece'") -> tuple[Fraction, Vessel, str]:
    """The dough of one piece in grams, what it bakes in, and a sentence where a volume was computed.

    Raises:
        NotUnderstood: with what would be right.
    """
    said = tidied(text)
    match = _PIECE.fullmatch(said)
    if match is None:
        raise NotUnderstood(
            f"{what} is '{text}'",
            "write the dough's weight and where it goes, as in '820 g in a 2100 ml tin', '400 g on a 30 x 40 cm tray', "
            "'250 g as a 28 cm round' or '90 g'",
        )
    weight = PIECE.check(parse_grams(match["weight"], "the piece"), match["weight"], what)
    vessel, told = _parse_where(match["where"] or "", own)
    return weight, vessel, told


def _parse_where(where: str, own: OwnMeasures) -> tuple[Vessel, str]:
    if not where:
        return Vessel("free"), ""
    if tin := _TIN.fullmatch(where):
        size = parse_tin_size(tin["size"], own, "the tin", bool(tin["lid"]))
        TIN_ML.check(size.volume_ml, tin["size"], "the tin")
        name = _NAMES.get(tin["name"], tin["name"])
        told = ""
        if size.known == "computed":
            less = "3 % for upright sides" if tin["lid"] else "12 % for the slope"
            told = f"a {name} of {tin['size']} holds {plain(size.volume_ml)} ml, computed: its box less {less}; water on a scale tells better"
        return Vessel("tin", name, volume_ml=size.volume_ml), told
    if tray := _TRAY.fullmatch(where):
        unit = tray["unit"] or tray["unit_b"]
        if unit:
            area = _cm(tray["a"], unit) * _cm(tray["b"], unit)
            shown = "cm" if unit == "cm" else "mm" if unit == "mm" else "in"
            return Vessel("tray", f"{tray['a']} × {tray['b']} {shown}", area_cm2=area), ""
    if disc := _ROUND.fullmatch(where):
        across = _cm(disc["across"], disc["unit"])
        shown = disc["unit"] if disc["unit"].endswith("m") else "in"
        area = Fraction(355, 113) * across * across / 4
        return Vessel("round", f"{disc['across']} {shown}", area_cm2=area), ""
    raise NotUnderstood(
        f"the piece stands '{where}'",
        "write 'in a 2100 ml tin', 'on a 30 x 40 cm tray', 'as a 28 cm round', or nothing",
    )
