"""A step of a recipe: its stage by its verb, its minutes and its oven. Amounts in prose are names only, never weighed again."""

from __future__ import annotations

import re
from fractions import Fraction

from classpack.quantities import (
    celsius_from_fahrenheit,
    celsius_from_gas_mark,
    parse_number,
)
from classpack.reading.recipe.parts import Heat, LineQuestion, ReadLine, TimeSpan

_N = r"\d+/[1-9]\d*|\d+(?:\.\d+)?(?:\s+\d+/[1-9]\d*)?"
_STAGES = (
    ("cool", r"cool|auskühlen|abkühlen"),
    ("bake", r"bake|preheat|oven to|backen|vorheizen|aufheizen|gebacken"),
    ("bulk proof", r"rise|rises|rising|prove|proof|double|doubled|ferment|gehen"),
    ("knead", r"knead|kneten|verkneten"),
    ("fold", r"stretch and fold|stretch-and-fold|folds?\b"),
    ("divide", r"divide|teilen|cut (?:the dough )?into"),
    ("shape", r"shape|form|roll|flatten|press|stretch|formen|plait|braid|rundwirken"),
    ("pan", r"place|put|transfer|line|grease|tip|legen|setzen|einfetten"),
    ("score", r"score|slash|einschneiden"),
    ("glaze", r"brush|glaze|bestreichen"),
    ("top", r"sprinkle|scatter|top with|bestreuen|drizzle"),
    ("rest", r"rest|autolyse|sit|stand|ruhen|quellen|let stand|leave"),
    ("weigh", r"weigh|measure|abwiegen"),
    ("mix", r"mix|stir|combine|whisk|beat|add|pour|rub|melt|dissolve|sprinkle the yeast|mischen|verrühren|vermengen|rühren|hinzufügen|zugeben"),
)  # fmt: skip
_STARTS = re.compile(
    r"^(?:\d+\.\s*)?(?:then\s+|now\s+|next,?\s+|meanwhile,?\s+)?(?:preheat|heat|bake|mix|stir|combine|whisk|beat|add|pour|rub|knead|fold|stretch|"
    r"let|leave|allow|cover|rest|prove|proof|raise|divide|cut|shape|form|roll|flatten|press|place|put|transfer|line|grease|oil|turn|tip|brush|"
    r"glaze|score|slash|sprinkle|scatter|cool|remove|take|weigh|measure|make|set|melt|dissolve|punch|knock|in an?|in the|once|when|after|"
    r"until|use|dust|repeat|return|lower|spray|tuck|pinch|seal|gently|lightly|lift|slide|store|serve|enjoy|wrap|chill|refrigerate|warm|proceed|"
    r"bei|den|die|das|alle|zu|mehl|teig|aus|mit|in|im|nach|abgedeckt)\b",
    re.IGNORECASE,
)
_GERMAN_VERB = re.compile(
    r"(?:backen|kneten|mischen|verrühren|vermengen|gehen lassen|ruhen lassen|formen|teilen|vorheizen|auskühlen lassen|bestreichen|legen|geben|lassen)\.?$",
    re.IGNORECASE,
)
_HOUR = r"(?:hours?|hrs?\.?|h|Stunden?|Std\.?)"
_MINUTE = r"(?:minutes?|mins?\.?|Minuten?|Min\.?)"
_TIME = re.compile(
    rf"(?P<about>about|approximately|approx\.?|around|roughly|etwa|ca\.?)?\s*(?P<low>{_N})\s*(?P<unit_low>{_HOUR}|{_MINUTE})?\s*(?:(?:-|to|or|bis)\s*(?P<high>{_N})\s*)?(?P<unit>{_HOUR}|{_MINUTE})\b",
    re.IGNORECASE,
)
_AN_HOUR = re.compile(r"\b(?:about |for )?(?P<half>half )?an hour(?P<and> and a half)?\b", re.IGNORECASE)  # fmt: skip
_OVERNIGHT = re.compile(r"\bover ?night\b|\büber nacht\b", re.IGNORECASE)
_UNTIL = re.compile(r"\buntil\s+(?P<cue>[^.;]+?)(?:,\s*(?:about|approximately|around)?\s*\d.*)?(?:[.;]|$)|\bbis\s+(?P<bis>[^\d.;]+?)(?:[.;]|$)", re.IGNORECASE)  # fmt: skip
_DEGREES = re.compile(r"(?P<value>\d{2,3})\s*(?:°|degrees?)?\s*(?P<unit>[CF])\b(?!\w)(?P<fan>\s*(?:fan|umluft|heißluft))?", re.IGNORECASE)  # fmt: skip
_FAN_FIRST = re.compile(r"(?:umluft|heißluft|fan(?: oven)?)\s*:?\s*(?P<value>\d{2,3})\s*°?\s*C?", re.IGNORECASE)  # fmt: skip
_GAS = re.compile(r"gas\s*(?:mark\s*)?(?P<mark>\d|½|1/2|1/4)", re.IGNORECASE)
_CONVENTIONAL = re.compile(r"ober-?/?\s?unterhitze|conventional|top and bottom heat", re.IGNORECASE)
_INSIDE = re.compile(r"inside|internal|core|thermometer|kerntemperatur|registers|reads", re.IGNORECASE)  # fmt: skip
_BARE = re.compile(r"\b(?:oven to|at|to)\s+(?P<value>[1-5]\d{2})\b(?!\s*(?:°|[CFgm]|degrees))", re.IGNORECASE)  # fmt: skip


def read_step(said: str, region: str) -> ReadLine | None:
    """A step of the method, or None where the line is something else."""
    if not _STARTS.match(said) and not _GERMAN_VERB.search(said):
        return None
    stage = stage_of(said)
    if not stage and not (said.endswith(".") or len(said.split()) > 7):
        return None
    if re.match(r"^(?:in|oil|rest|warm|beat|roll|top)\b", said, re.IGNORECASE) and not said.endswith(".") and len(said.split()) < 4:  # fmt: skip
        return None
    asks: list[LineQuestion] = []
    heat = read_heat(said, region)
    time = read_time(said)
    if heat is not None and stage == "bake":
        if time is not None and not heat.kind:
            asks.append(LineQuestion("oven kind", "conventional"))
        if time is not None:
            asks.append(LineQuestion("loss", "12 %"))
    elif stage == "bake" and (bare := _BARE.search(said)):
        value = Fraction(bare["value"])
        fahrenheit = region in ("US", "CA") and value >= 200
        celsius = celsius_from_fahrenheit(value) if fahrenheit else value
        heat = Heat(f"{bare['value']} °{'F' if fahrenheit else 'C'}", celsius)
        asks.append(LineQuestion("oven kind", f"{heat.written} conventional"))
    if stage in ("bulk proof", "final proof") and time is not None and time.least_min == time.most_min:  # fmt: skip
        low, high = window_of(time.least_min)
        asks.append(LineQuestion("window", f"{low} to {high} min"))
    if _OVERNIGHT.search(said):
        asks.append(LineQuestion("two days", "12 h"))
    if not stage:
        asks.append(LineQuestion("stage", "mix"))
    until = _UNTIL.search(said)
    cue = ""
    if until:
        cue = f"ready when {(until['cue'] or until['bis'] or '').strip()}"
    elif re.search(r"\bby hand\b", said, re.IGNORECASE):
        cue = "by hand"
    return ReadLine(
        said, "step", stage=stage, heat=heat, time=time, note=cue, asks=tuple(asks), by="nothing"
    )


_WAITS = ("cool", "bake", "bulk proof")
_VESSEL = re.compile(r"\b(?:tins?|pans?|trays?|sheets?|basket|blech|form)\b", re.IGNORECASE)


def stage_of(said: str) -> str:
    """The stage of a sentence: a bake or proof before hands, else the first of its verbs that names one."""
    done = _UNTIL.sub("", said) or said
    if re.search(r"\b(?:doubled?|risen|verdoppelt)\b", said, re.IGNORECASE) and not re.search(r"\bbake", said, re.IGNORECASE):  # fmt: skip
        return "bulk proof"
    places: list[tuple[int, str]] = []
    for stage, words in _STAGES:
        verb = re.search(rf"\b(?:{words})(?:s|d|ed|ing)?\b", done, re.IGNORECASE)
        if verb is None or (stage == "pan" and not _VESSEL.search(said)):
            continue
        if stage in _WAITS:
            return stage
        places.append((verb.start(), stage))
    return min(places)[1] if places else ""


def window_of(minutes: Fraction) -> tuple[int, int]:
    """Three quarters to one and a half of a single time (the project's choice), on five minutes."""
    low = max(5, round(minutes * Fraction(3, 4) / 5) * 5)
    return low, round(minutes * Fraction(3, 2) / 5) * 5


def read_time(said: str) -> TimeSpan | None:
    """The longest time in a sentence, as a span."""
    spans = []
    for match in _TIME.finditer(said):
        unit = match["unit"]
        high_factor = 60 if re.fullmatch(_HOUR, unit, re.IGNORECASE) else 1
        low_unit = match["unit_low"] or unit
        low_factor = 60 if re.fullmatch(_HOUR, low_unit, re.IGNORECASE) else 1
        low = parse_number(match["low"]) * low_factor
        high = parse_number(match["high"]) * high_factor if match["high"] else low
        spans.append(TimeSpan(min(low, high), max(low, high), bool(match["about"])))
    hour = _AN_HOUR.search(said)
    if hour:
        minutes = Fraction(30 if hour["half"] else 90 if hour["and"] else 60)
        spans.append(TimeSpan(minutes, minutes, True))
    if not spans and _OVERNIGHT.search(said):
        return TimeSpan(Fraction(720), Fraction(720), True)
    return max(spans, key=lambda one: one.most_min, default=None)


def read_heat(said: str, region: str) -> Heat | None:
    """The oven's heat in a sentence, with what it says of fan ovens and gas; never an inside temperature."""
    degrees = [
        match
        for match in _DEGREES.finditer(said)
        if not (_INSIDE.search(said[max(0, match.start() - 40) : match.end() + 15]))
    ]
    fan = _FAN_FIRST.search(said)
    gas = _GAS.search(said)
    mark = parse_number(gas["mark"]) if gas else None
    plain_ones = [one for one in degrees if not one["fan"] and not (fan and fan.start() <= one.start() < fan.end())]  # fmt: skip
    fan_c = Fraction(fan["value"]) if fan else next((Fraction(one["value"]) for one in degrees if one["fan"]), None)  # fmt: skip
    if fan_c is not None and plain_ones and fan_c == Fraction(plain_ones[0]["value"]):
        fan_c = None
    kind = "conventional" if fan_c or mark is not None or _CONVENTIONAL.search(said) else ""
    if plain_ones:
        first = plain_ones[0]
        value = Fraction(first["value"])
        fahrenheit = first["unit"].upper() == "F"
        celsius = celsius_from_fahrenheit(value) if fahrenheit else value
        if celsius < 100:
            return None
        return Heat(f"{first['value']} °{first['unit'].upper()}", celsius, None, fan_c, mark, kind)
    if fan_c is not None:
        return Heat(f"{fan_c} °C fan", fan_c, None, fan_c, mark, "fan")
    if mark is not None:
        return Heat(f"gas mark {gas['mark'] if gas else ''}", celsius_from_gas_mark(mark), None, None, mark, "conventional")  # fmt: skip
    return None


def sentences(said: str) -> list[str]:
    """A paragraph in sentences, each a step of its own."""
    parts = re.split(r"(?<=[.!;])\s+(?=[A-ZÄÖÜ])|,?\s+then\s+(?=\w)", said)
    return [part.strip() for part in parts if part.strip()]
