"""Tins and what a recipe makes: a tin in a line is no food, and "Serves 12" is no number of pieces."""

from __future__ import annotations

import re
from fractions import Fraction

from classpack.model.vessel_sizes import DEPTH_CM, TRADE_TINS, tin_from_sides_ml
from classpack.quantities import INCH_CM, NotUnderstood, parse_grams, parse_number, plain
from classpack.reading.recipe.parts import LineQuestion, ReadLine, TinSaid, Yield

_N = r"\d+/[1-9]\d*|\d+(?:\.\d+)?(?:\s+\d+/[1-9]\d*)?"
_BY = r"\s*(?:[x×]|by)\s*"
_VESSEL = r"(?P<name>(?:loaf |bread |kastenform)?\s*(?:tins?|pans?|moulds?|form|kastenform)|baking trays?|sheet pans?|baking sheets?|trays?|blech)"
_SIDES = re.compile(
    rf"^(?:(?P<count>\d+|an?|one|two)\s+(?:x\s+)?)??(?P<a>{_N})\s*(?:-?\s*(?:inch(?:es)?|in\.?|cm|\"))?{_BY}(?P<b>{_N})\s*(?:-?\s*(?:inch(?:es)?|in\.?|cm|\"))?"
    rf"(?:{_BY}(?P<c>{_N}))?\s*-?\s*(?P<unit>inch(?:es)?|in\.?|\"|cm)?\s*{_VESSEL}\b(?P<rest>.*)$",
    re.IGNORECASE,
)
_TRADE = re.compile(
    rf"^(?:(?P<count>\d+|an?|one|two)\s*(?:x\s*)?)??(?P<size>{_N})\s*-?\s*(?P<unit>lbs?|pounds?|kg|g)\s*-?\s*{_VESSEL}\b(?P<rest>.*)$",
    re.IGNORECASE,
)
_ML = re.compile(
    rf"^(?:(?P<count>\d+|an?|one|two)\s*(?:x\s*)?)??(?P<size>{_N})\s*(?P<unit>ml|l)\s+{_VESSEL}\b(?P<rest>.*)$",
    re.IGNORECASE,
)
_COUNTS = {"a": 1, "an": 1, "one": 1, "two": 2}
_YIELD = re.compile(
    r"^(?:makes|yields?|serves|ergibt|für|for|makes about|portionen)\b:?\s*(?:about |approx\.? |ca\. |etwa )?"
    r"(?P<count>\d+|an?|one|two|three|four|six|eight|ten|twelve|ein|eine|zwei|drei)?\s*(?:-\s*\d+\s*)?(?P<rest>.*)$",
    re.IGNORECASE,
)
_NUMBERS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "six": 6, "eight": 8, "ten": 10, "twelve": 12, "ein": 1, "eine": 1, "zwei": 2, "drei": 3}  # fmt: skip
_PORTIONS = re.compile(
    r"people|persons|servings|portions|portionen|personen|^$|slices", re.IGNORECASE
)
_EACH = re.compile(
    rf"(?P<about>about |approx\.? |ca\.? |etwa )?(?P<grams>(?:{_N})\s*-?\s*(?:kg|g|lbs?|oz|pounds?|ounces?))\b\.?(?:\s*each|\s*je)?",
    re.IGNORECASE,
)


def read_equipment(said: str, region: str) -> ReadLine | None:
    """A tin or tray, or None where the line is something else."""
    if sides := _SIDES.match(said):
        return _by_sides(said, sides, region)
    if trade := _TRADE.match(said):
        name = f"{trade['size']} {'g' if trade['unit'].lower().endswith('g') else 'lb'}"
        known = TRADE_TINS.get(name)
        offered = known.offered_ml if known else Fraction(1500)
        tin = TinSaid(_count(trade["count"]), trade=name, ml_offered=offered)
        told = (
            f"tins sold so hold {plain(known.least_ml)} to {plain(known.most_ml)} ml"
            if known
            else ""
        )
        return ReadLine(
            said, "equipment", tin=tin, tells=(told,) if told else (),
            asks=(LineQuestion("tin size", f"{plain(offered)} ml until it is measured with water"),),
        )  # fmt: skip
    if ml := _ML.match(said):
        value = parse_number(ml["size"]) * (1000 if ml["unit"] == "l" else 1)
        return ReadLine(said, "equipment", tin=TinSaid(_count(ml["count"]), ml=value))
    return None


def _count(text: str | None) -> int:
    return 1 if text is None else int(_COUNTS.get(text.casefold(), text if text.isdigit() else 1))


def _by_sides(said: str, sides: re.Match[str], region: str) -> ReadLine | None:
    unit = sides["unit"] or ""
    inches = not unit.casefold().startswith("cm") if unit else region == "US"
    a, b = parse_number(sides["a"]), parse_number(sides["b"])
    c = parse_number(sides["c"]) if sides["c"] else None
    flat = re.search(r"tray|sheet|blech", sides["name"], re.IGNORECASE)
    each = INCH_CM if inches else Fraction(1)
    three = (a, b, c)
    pieces = _count(sides["count"])
    if flat:
        tin = TinSaid(pieces, three if inches else None, None if inches else three, name="tray")
        return ReadLine(said, "equipment", tin=tin)
    depth = c * each if c is not None else DEPTH_CM["in" if inches else "cm"]
    ml = tin_from_sides_ml(a * each, b * each, depth)
    tin = TinSaid(
        pieces, three if inches else None, None if inches else three,
        ml=ml if c is not None else None, ml_offered=ml,
    )  # fmt: skip
    asks = () if c is not None else (LineQuestion("tin size", f"{'3 in' if inches else '7.5 cm'} deep, {plain(ml)} ml, its box less 12 % for the slope"),)  # fmt: skip
    return ReadLine(said, "equipment", tin=tin, asks=asks)


def read_yield(said: str, region: str) -> ReadLine | None:
    """What the recipe makes, or None where the line says something else."""
    match = _YIELD.match(said)
    if match is None or (said[:3].casefold() in ("for", "für") and not match["count"]):
        return None
    rest = match["rest"].strip(" .:")
    if not match["count"]:
        return None
    count = int(_NUMBERS.get(match["count"].casefold(), 0) or match["count"])
    serves = said.casefold().startswith("serves")
    bare = re.sub(r"\(.*?\)", " ", rest)
    bare = _EACH.sub(" ", bare).strip(" ,.")
    if serves or _PORTIONS.search(bare):
        return ReadLine(
            said, "yield", yields=Yield(portions=count), asks=(LineQuestion("pieces", "one loaf"),)
        )
    if len(bare.split()) > 4 or count > 500:
        return None
    each = _EACH.search(rest)
    grams = None
    if each:
        try:
            grams = parse_grams(each["grams"].replace("-", " "))
        except NotUnderstood:
            grams = None
    about = bool(each and each["about"])
    asks = (LineQuestion("weight of", "dough as it is divided where the sum of the dough is within 5 % of it; else baked bread"),) if grams else ()  # fmt: skip
    return ReadLine(said, "yield", yields=Yield(count, one_of(bare), grams, None, about), asks=asks)


def one_of(name: str) -> str:
    """The name of one piece: ``loaves`` is ``loaf``.

    >>> one_of("loaves"), one_of("soft rolls"), one_of("Brote")
    ('loaf', 'soft roll', 'Brot')
    """
    name = re.sub(r"^(?:large|small|medium|big)\s+", "", name.strip()).strip() or "loaf"
    for many, one in (("loaves", "loaf"), ("Brote", "Brot"), ("ies", "y"), ("rolls", "roll"), ("ss", "ss"), ("s", "")):  # fmt: skip
        if name.endswith(many):
            return name[: -len(many)] + one
    return name
