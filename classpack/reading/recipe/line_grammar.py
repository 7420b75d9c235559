"""One line of a recipe as people write it: yield, tin, step, percentage, heading or ingredient; never left out, never guessed.

    line  = yield | equipment | step | percent | heading | ingredient | unread          (tried in this order)
    item  = [count] measure { ("+" "plus" "minus" "/") measure } ["(" bracket ")"] name { "(" bracket ")" } ["," note]

Of two measures in one line a weight goes before a volume, that before a packet, that before cups and spoons; they are never
averaged, and only ``+`` and ``plus`` add. Sources of the grams: :mod:`classpack.reading.household_weights`.
"""

from __future__ import annotations

import html
import re
from dataclasses import replace
from fractions import Fraction

from classpack.model.larder import Larder
from classpack.model.own_measures import PLAIN_FLOUR_CUP_G
from classpack.quantities import (
    OZ_G,
    US_CUP_ML,
    NotUnderstood,
    celsius_from_fahrenheit,
    parse_number,
    plain,
    tidied,
    unit_of,
    unit_size,
)
from classpack.reading.household_weights import MeasureWeight, measure_weight
from classpack.reading.names import Meaning, understood, without_state
from classpack.reading.recipe.equipment import read_equipment, read_yield
from classpack.reading.recipe.method_prose import read_step
from classpack.reading.recipe.parts import (
    Alternative,
    GramSpan,
    Heat,
    LineQuestion,
    More,
    ReadLine,
    exactly,
)

LONGEST_LINE = 400
"""Longer than any line of a recipe that was met with; a paragraph of a method may be five times that."""

_N = r"\d+/[1-9]\d*|\d+(?:\.\d+)?(?:\s+\d+/[1-9]\d*)?"
_WORDS = {
    "a": "1", "an": "1", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "eight": "8", "nine": "9", "ten": "10", "twelve": "12", "half": "1/2", "ein": "1", "eine": "1", "einen": "1",
    "zwei": "2", "drei": "3", "vier": "4",
}  # fmt: skip
_UNITS = {
    **dict.fromkeys(("T", "Tbs", "Tbsp", "tbs", "tblsp", "Tbl", "Esslöffel", "EL"), "tbsp"),
    **dict.fromkeys(("t", "Tsp", "Teelöffel", "TL"), "tsp"),
    **dict.fromkeys(("c", "C", "Cup", "Cups", "Tasse", "Tassen"), "cup"),
    **dict.fromkeys(("stick", "sticks"), "stick"),
    **dict.fromkeys(["packet", "packets", "package", "packages", "pkg", "pkgs", "envelope", "envelopes", "sachet", "sachets", "pack", "Päckchen", "Packung", "Pck", "Pkt", "Tütchen"], "packet"),
    **dict.fromkeys(("cube", "cubes", "Würfel"), "cube"),
    **dict.fromkeys(("cake", "cakes"), "cake"),
    **dict.fromkeys(("clove", "cloves", "Zehe", "Zehen"), "clove"),
    **dict.fromkeys(("pinch", "pinches", "Prise", "Prisen", "dash"), "pinch"),
    **dict.fromkeys(("knob", "knobs", "Stich"), "knob"),
    **dict.fromkeys(("glug", "glugs", "drizzle", "splash", "Schuss"), "glug"),
    **dict.fromkeys(("handful", "handfuls", "Handvoll"), "handful"),
    **dict.fromkeys(("sprig", "sprigs", "Zweig", "Zweige"), "sprig"),
    **dict.fromkeys(("bunch", "bunches", "Bund"), "bunch"),
    **dict.fromkeys(("Pfund",), "Pfund"),
    "#": "lb", "Ltr": "l", "quart": "quart", "quarts": "quart", "qt": "quart",
}  # fmt: skip
"""Spellings of a recipe's units beyond those of a lesson; only T and t differ by their capital."""
UNMEASURED = {"pinch": ("a pinch, 0.4 g", None), "knob": ("15 g", GramSpan(Fraction(10), None, Fraction(20))),
              "glug": ("1 tbsp", None), "handful": ("30 g", None), "sprig": ("2 g", None), "bunch": ("30 g", None)}  # fmt: skip
"""Amounts no spoon measures, what is offered, and the least and most where anything is known (common practice, no source)."""

_FILLED = re.compile(r"\b(level|heaped|rounded|packed|sifted|scant|generous|gestrichene?r?|gehäufte?r?|loosely)\b", re.IGNORECASE)  # fmt: skip
_ABOUT = re.compile(r"^(?:about|approx(?:imately)?\.?|ca\.?|circa|etwa|roughly|scant|generous)\s+", re.IGNORECASE)  # fmt: skip
_BRACKET = re.compile(r"\(([^()]*)\)")
_BULLET = re.compile(r"^\s*(?:[-*•·▪◦‣–—☐☑□▢✓]|\[[ xX]?\]|\d{1,2}[.)](?=\s+[A-Za-zÄÖÜäöü]))\s+")
_MORE = re.compile(
    r",?\s*\b(?:plus|and|with|dazu|sowie)\s+(?P<what>(?:a little\s+|some\s+|etwas\s+)?(?:more|extra|mehr)|(?P<amount>[\d/ .-]+\s*\S+?))"
    r"\s*(?P<use>for .+|to .+|if needed|as needed|für .+|zum .+)?$",
    re.IGNORECASE,
)
_PURPOSES = (
    ("dusting", r"dust|board|work ?surface|bench|counter|arbeitsfläche|bestäuben|rolling"),
    ("topping", r"top\b|topping|sprinkl|scatter|finish|bestreuen"),
    ("glaze", r"brush|glaz|wash|bestreichen"),
    ("greasing", r"greas|oiling|\btin\b|\bpan\b|bowl|einfetten|fetten"),
    ("frying", r"fry"),
)
_NO_AMOUNT = re.compile(r"\b(?:to taste|as needed|nach geschmack|nach belieben)\b", re.IGNORECASE)
_SOME = re.compile(r"^(?:some|etwas|a little|ein wenig|a bit of)\s+", re.IGNORECASE)
_PERCENT = re.compile(rf"^(?P<name>[^\d%,]+?)[:,]?\s*(?P<percent>{_N})\s*%$")
_PERCENT_FIRST = re.compile(rf"^(?P<percent>{_N})\s*%\s+(?P<name>\D+)$")
_GERMAN = re.compile(r"\b(?:EL|TL|Mehl|\w+mehl|Hefe|Trockenhefe|Wasser|Salz|Zucker|und|für|etwa|Würfel|Päckchen|Prise|Minuten|backen|Ei|Eier|Öl)\b")  # fmt: skip
_LIQUID = ("water", "milk")


def clean_line(text: str) -> str:
    """A pasted line without bullets, tick boxes and markup, its fractions and dashes as they would be typed."""
    text = html.unescape(re.sub(r"<[^<>]{0,200}>", " ", text))
    return tidied(_BULLET.sub("", tidied(text) if text[:1].isspace() else text))


def is_german(text: str) -> bool:
    """Does a line or recipe read as German: comma for decimals, point for thousands?"""
    return bool(_GERMAN.search(text))


def _german_numbers(text: str) -> str:
    text = re.sub(r"\b(\d{1,3})\.(\d{3})\b(?!\s*(?:kg|l)\b)", r"\1\2", text)
    return re.sub(r"(\d),(\d)", r"\1.\2", text)


def _english_numbers(text: str) -> str:
    return re.sub(r"\b(\d{1,3}),(\d{3})\b", r"\1\2", text)


def read_line(text: str, region: str, larder: Larder, german: bool | None = None) -> ReadLine:
    """One pasted line, read for ``region`` (``US``, ``UK``, ``DE`` ...)."""
    said = clean_line(text)
    if not said:
        return ReadLine(text, "blank")
    if german is None:
        german = region in ("EU", "DE", "AT") and is_german(said)
    said = _german_numbers(said) if german else _english_numbers(said)
    for reader in (read_yield, read_equipment, read_step):
        if len(said) > LONGEST_LINE and reader is not read_step:
            continue
        found = reader(said, region)
        if found is not None:
            return replace(found, text=text)
    if len(said) > LONGEST_LINE:
        return ReadLine(text, "unread", tells=("longer than a line of a recipe",))
    percent = _PERCENT.match(said) or _PERCENT_FIRST.match(said)
    if percent:
        return _read_percent(text, percent, region, larder)
    heading = _heading(said)
    if heading:
        return ReadLine(text, "heading", heading=heading)
    return _read_ingredient(text, said, region, larder)


# ---------------------------------------------------------------- headings, percentages

_PARTS = (
    ("preferment", r"poolish|biga|sponge|levain|starter|pre-?ferment|vorteig|sauerteig"),
    ("soaker", r"soaker|brühstück|quellstück"),
    ("topping", r"topping|belag"),
    ("glaze", r"glaze|egg wash|glasur"),
    ("filling", r"filling|füllung"),
    ("method", r"method|directions|instructions|preparation|steps|zubereitung"),
    ("ingredients", r"ingredients|zutaten"),
    ("equipment", r"equipment|you will need"),
    ("dough", r"dough|final dough|teig|hauptteig|bread"),
)


def _heading(said: str) -> tuple[str, str] | None:
    """A part's name and what it is; a line without a digit that ends in ':', is all capitals, or says 'For the ...'."""
    if re.search(r"\d", said) or len(said) > 60:
        return None
    marked = re.match(r"^(?:for the|for|für den|für die|für das)\s+(?P<name>.+?):?$", said, re.IGNORECASE)  # fmt: skip
    name = marked["name"] if marked else said.rstrip(":")
    is_part = next(
        (kind for kind, words in _PARTS if re.search(rf"\b(?:{words})\b", name, re.IGNORECASE)), ""
    )
    short = len(name.split()) <= 2 and bool(is_part)
    if said.endswith(":") or (said.isupper() and len(said) > 2) or (marked and is_part) or short:
        return name, is_part or "part"
    return None


def _read_percent(text: str, percent: re.Match[str], region: str, larder: Larder) -> ReadLine:
    name = percent["name"].strip()
    meaning, note = understood(name, region, larder)
    line = ReadLine(
        text, "percent", written_name=name, by="percent", percent=parse_number(percent["percent"]), note=note,
    )  # fmt: skip
    if meaning is None:
        return replace(line, asks=(LineQuestion("food"),))
    return replace(line, food=meaning.food, asks=_food_questions(meaning, larder))


# ---------------------------------------------------------------- ingredients


class _Draft:
    """An ingredient line being read: the brackets and words taken off it, and what is left of it."""

    def __init__(self, said: str, region: str, larder: Larder) -> None:
        self.rest, self.region, self.larder = said, region, larder
        self.notes: list[str] = []
        self.tells: list[str] = []
        self.asks: list[LineQuestion] = []
        self.percent: Fraction | None = None
        self.heat: Heat | None = None
        self.more: More | None = None
        self.more_text: str = ""
        self.purpose = "dough"
        self.brackets: list[str] = []
        self.type_words = ""

    def ask(self, key: str, default: str = "") -> None:
        if key not in [one.key for one in self.asks]:
            self.asks.append(LineQuestion(key, default))


def _read_ingredient(text: str, said: str, region: str, larder: Larder) -> ReadLine:
    draft = _Draft(said, region, larder)
    if re.match(r"^-\s?\d", said):
        draft.ask("check", "the amount without the sign")
        draft.rest = said.lstrip("- ")
        draft.tells.append("a minus sign or a dash of a list?")
    _take_brackets(draft)
    _take_more(draft)
    _take_note(draft)
    draft.rest = _ABOUT.sub("", draft.rest)
    zest = re.match(
        rf"^(?:grated |finely grated )?(zest|juice) of ({_N}|an?|one|half a) (lemon|orange)s?$",
        draft.rest,
    )
    if zest:
        draft.rest = f"{zest[2]} {zest[3]} {zest[1]}"
    some = _SOME.match(draft.rest)
    draft.rest = _SOME.sub("", draft.rest)
    measures = _take_measures(draft)
    name = _name(draft)
    if not name or not re.search(r"[^\W\d_]{2}", name):
        return ReadLine(text, "unread")
    options = re.split(r"\s+(?:or|oder)\s+", name)
    meaning, state = understood(_in_words(options[0]), region, larder)
    if meaning is None and not measures.found and not some and not draft.notes and draft.purpose == "dough":  # fmt: skip
        return ReadLine(text, "unread")
    line = ReadLine(text, "ingredient", written_name=options[0], purpose=draft.purpose, percent=draft.percent, heat=draft.heat)  # fmt: skip
    note = ", ".join(dict.fromkeys(part for part in (*draft.notes, measures.note, state) if part))
    return _weighed_line(line, note, measures, meaning, options[1:], draft)


def _in_words(name: str) -> str:
    return re.sub(r"^(?:of|the)\s+", "", name.strip(" .,:;"))


def _take_brackets(draft: _Draft) -> None:
    for inside in _BRACKET.findall(draft.rest):
        inside = inside.strip()
        if re.fullmatch(rf"(?:{_N})\s*%", inside):
            draft.percent = parse_number(inside.rstrip("% "))
        elif heat := _water_heat(inside):
            draft.heat = heat
            draft.tells.append("the water's temperature is kept as the recipe's wish; the class day works out its own")  # fmt: skip
            if (heat.to_celsius or heat.celsius) > 45:
                draft.ask("check", "the class day's own water")
        elif re.match(r"^(?:Type|Typ)\b|^(?:Gr\.?|Größe)\s", inside, re.IGNORECASE):
            draft.type_words = inside
        elif inside.casefold() == "optional":
            draft.ask("take it", "no")
        elif re.match(rf"^(?:about |ca\.? ?)?(?:{_N})", inside):
            draft.brackets.append(inside)
        else:
            draft.notes.append(inside)
    draft.rest = " ".join(_BRACKET.sub(" ", draft.rest).replace("(", " ").replace(")", " ").split())


def _water_heat(inside: str) -> Heat | None:
    match = re.fullmatch(rf"({_N})\s*(?:°\s?[CF])?\s*(?:-|to|bis)?\s*({_N})?\s*°?\s?([CF])(?:\s*/.*)?", inside)  # fmt: skip
    if match is None:
        return None
    to_c = celsius_from_fahrenheit if match[3] == "F" else Fraction
    low, high = parse_number(match[1]), parse_number(match[2]) if match[2] else None
    written = f"{match[1]}{f'–{match[2]}' if match[2] else ''} °{match[3]}"
    return Heat(written, to_c(low), to_c(high) if high is not None else None)


def _take_more(draft: _Draft) -> None:
    match = _MORE.search(draft.rest)
    if match is None or match.start() == 0:
        return
    use = match["use"] or ""
    if not use and not re.search(r"more|extra|mehr", match["what"]):
        return
    purpose = _purpose(use) or ("adjusting" if "need" in use else "dusting")
    draft.more = More(purpose)
    draft.more_text = (match["amount"] or "").strip()
    if purpose == "adjusting":
        draft.ask("hold back", f"{draft.more_text} set aside at the bench" if draft.more_text else "a tablespoon set aside")  # fmt: skip
    else:
        draft.ask("how much", _offered(purpose))
    draft.rest = draft.rest[: match.start()]


def _offered(purpose: str) -> str:
    return {"dusting": "20 g a student", "greasing": "1 tsp a tin", "topping": "3 g a piece", "glaze": "5 g a piece", "frying": "50 g a student"}.get(purpose, "")  # fmt: skip


def _purpose(text: str) -> str:
    return next(
        (purpose for purpose, words in _PURPOSES if re.search(words, text, re.IGNORECASE)), ""
    )


def _take_note(draft: _Draft) -> None:
    head, comma, note = draft.rest.partition(",")
    if comma and head.strip():
        for part in note.split(","):
            part = part.strip()
            purpose = _purpose(part) if re.match(r"^(?:for|to|zum|für)\b", part) else ""
            if purpose:
                draft.purpose = purpose
            elif part.casefold() == "optional":
                draft.ask("take it", "no")
            elif part:
                draft.notes.append(part)
                if part.casefold() == "divided":
                    draft.ask("shares", "the amounts that the method names; the rest in the last step that names it")  # fmt: skip
        draft.rest = head.strip()
    use = re.search(r"\s+(?P<use>(?:for|für|zum)\s+.+)$", draft.rest)
    if use and _purpose(use["use"]):
        draft.purpose = _purpose(use["use"])
        draft.rest = draft.rest[: use.start()]
    taste = _NO_AMOUNT.search(draft.rest)
    if taste:
        draft.notes.append(taste[0])
        draft.rest = draft.rest[: taste.start()].strip(" ,")


# ---------------------------------------------------------------- measures


class _Measure:
    """One measure: an amount or a range, its unit, and a size in a bracket that is of each of them."""

    def __init__(self, amount: Fraction, to: Fraction | None, unit: str, text: str) -> None:
        self.amount, self.to, self.unit, self.text = amount, to, unit, text


class _Measures:
    """All measures of a line: the first with what is added to it, and the others that say the same again."""

    def __init__(self) -> None:
        self.first: _Measure | None = None
        self.plus: _Measure | None = None
        self.minus: _Measure | None = None
        self.others: list[_Measure] = []
        self.each: _Measure | None = None
        self.note = ""
        self.packed = False
        self.size = ""

    @property
    def found(self) -> bool:
        """Is there any amount?"""
        return self.first is not None


_MEASURE = re.compile(
    rf"^(?P<count>\d+\s*[x×]\s*)?(?P<n>{_N}|(?:{'|'.join(_WORDS)})\b)(?:\s*(?:-|to|or|bis)\s*(?P<to>{_N}))?\s*-?\s*"
    rf"(?P<filled>(?:level|heaped|rounded|scant|generous|gestrichene?r?|gehäufte?r?|gestr\.|geh\.)\s+)?"
    rf"(?P<unit>fl\.?\s?oz\.?|fluid ounces?|US cups?|metric cups?|[^\W\d_]+\.?|#)?(?=[\s/,+)-]|$)",
    re.IGNORECASE,
)


def _unit(spelling: str) -> str:
    bare = spelling.rstrip(".")
    if bare in _UNITS:
        return _UNITS[bare]
    folded = bare if len(bare) == 1 else bare.casefold()
    known = {
        unit.casefold() if len(unit) > 1 else unit: meaning for unit, meaning in _UNITS.items()
    }
    return known.get(folded) or unit_of(bare) or unit_of(folded) or ""


def _one_measure(text: str) -> tuple[_Measure, str] | None:
    """The measure a text starts with, and the rest; a number before a word that is no unit counts pieces."""
    match = _MEASURE.match(text)
    if match is None:
        return None
    number = _WORDS.get(match["n"].casefold(), match["n"])
    try:
        amount = parse_number(number)
        to = parse_number(match["to"]) if match["to"] else None
    except NotUnderstood:
        return None
    if match["count"]:
        amount *= int(re.sub(r"\D", "", match["count"]))
    unit = _unit(match["unit"]) if match["unit"] else ""
    to_text = match["to"]
    if amount == 0:
        return None
    if unit:
        end = match.end()
        shown = f"{match['n']}{f'-{to_text}' if to_text else ''} {unit}"
        return _Measure(amount, to, unit, shown), text[end:].strip()
    end = match.start("unit") if match["unit"] else match.end()
    return _Measure(amount, to, "each", text[:end].strip()), text[end:].strip()


def _take_measures(draft: _Draft) -> _Measures:
    found = _Measures()
    first = _one_measure(draft.rest)
    for inside in draft.brackets:
        of_each = re.search(r"\beach\b", inside)
        one = _one_measure(re.sub(r"^(?:about|ca\.?)\s+", "", inside))
        ounces = _one_measure(one[1]) if one is not None and one[0].unit == "lb" else None
        if one is not None and ounces is not None and ounces[0].unit == "oz":
            total = one[0].amount * 16 + ounces[0].amount
            one = (_Measure(total, None, "oz", f"{one[0].text} {ounces[0].text}"), ounces[1])
        if one is None or (one[0].unit == "each"):
            draft.notes.append(inside)
        elif of_each or (
            first is not None
            and first[0].unit in ("packet", "cube", "cake")
            and one[0].unit == "oz"
        ):  # "1 (1/4-ounce) envelope": the size of each
            found.each = one[0]
        else:
            found.others.append(one[0])
    if first is None:
        return found
    found.first, rest = first
    while joined := re.match(r"^(?P<sign>\+|plus\b|and\b|minus\b|/)\s*(?=\d)", rest):
        one = _one_measure(rest[joined.end() :])
        if one is None:
            break
        measure, rest = one
        if joined["sign"] == "/":
            found.others.append(measure)
        elif joined["sign"] == "minus":
            found.minus = measure
        else:
            found.plus = measure
    second = _one_measure(rest)
    if second and found.first.unit in ("lb", "kg") and second[0].unit in ("oz", "g"):
        found.plus, rest = second
    elif second and second[0].unit != "each" and second[1]:
        found.others.append(second[0])
        rest = second[1]
    packed = re.match(r"^(?:\S+ly )?(packed|sifted|heaped|level|rounded)\s+", rest)
    if packed:
        found.note = packed[1]
        found.packed = packed[1] == "packed"
        rest = rest[packed.end() :]
    word, _, after = rest.partition(" ")
    if found.first.unit in ("g", "oz") and _unit(word) in ("packet", "cube", "cake") and after:
        found.note, rest = f"1 {word}", after
    size = re.match(r"^(extra large|large|medium|small|jumbo)\s+", rest, re.IGNORECASE)
    if size:
        found.size = size[1].casefold()
        rest = rest[size.end() :]
    draft.rest = rest
    return found


def _name(draft: _Draft) -> str:
    name = _in_words(draft.rest)
    name = re.sub(r"\s+", " ", name).strip(" -–.")
    return f"{name} {draft.type_words}".strip() if draft.type_words.startswith("Typ") else name


# ---------------------------------------------------------------- grams

_RANKS = ("written weight", "written volume", "packet", "spoon", "cup", "count", "nothing")


def _by(unit: str) -> str:
    if unit in ("g", "kg", "mg", "oz", "lb", "Pfund"):
        return "written weight"
    if unit in ("ml", "cl", "dl", "l", "fl oz", "pint", "quart", "US fl oz", "UK fl oz", "US pint", "UK pint"):  # fmt: skip
        return "written volume"
    if unit in ("packet", "cube", "cake"):
        return "packet"
    if "cup" in unit:
        return "cup"
    if unit in ("tsp", "tbsp"):
        return "spoon"
    return "nothing" if unit in UNMEASURED else "count"


def _weighed_line(
    line: ReadLine,
    note: str,
    measures: _Measures,
    meaning: Meaning | None,
    others: list[str],
    draft: _Draft,
) -> ReadLine:
    region, larder = draft.region, draft.larder
    first = measures.first
    food = meaning.food if meaning else None
    if first is not None and first.unit in ("cube", "cake") and line.written_name.casefold() in ("hefe", "yeast"):  # fmt: skip
        meaning, food = Meaning(("fresh yeast",)), "fresh yeast"
    if first is not None and first.unit == "packet" and line.written_name.casefold() == "yeast":
        meaning = Meaning(("active dry yeast", "instant yeast"), True, "a packet holds dried yeast")
        food = meaning.food
    if meaning is None:
        draft.ask("food")
    else:
        for question in _food_questions(meaning, larder):
            draft.ask(question.key, question.default)
        if meaning.note:
            draft.tells.append(meaning.note)
    if line.purpose == "dusting" and first is None and meaning is not None and meaning.asks:
        food = None  # the dough's own main flour
    grams: GramSpan | None = None
    by = "nothing"
    if first is not None and food is not None:
        grams, by = _grams(measures, food, meaning, draft)
    elif first is not None:
        by = _by(first.unit)
        if by == "written weight":
            grams = _span(first, "", draft, measures)
    if first is None or first.unit in UNMEASURED:
        draft.ask("how much", UNMEASURED[first.unit][0] if first is not None else _unsaid(line, food, larder))  # fmt: skip
    if first is not None and first.to is not None:
        draft.ask("range", f"{plain(first.amount)} weighed, {plain(first.to)} on the shopping list")
    if by == "cup" and food and _asks_cup(food) and not _cup_known(food, larder):
        draft.ask("cup", _cup_offer(region, larder))
    alternatives = tuple(_alternative(one, measures, draft) for one in others)
    if alternatives:
        draft.ask("which", f"the first, {food}")
    more = draft.more
    if more is not None and draft.more_text and food:
        one = _one_measure(draft.more_text)
        if one is not None:
            more = replace(more, grams=_span(one[0], food, draft, _Measures()))
    return replace(
        line,
        amount=first.amount if first else None,
        to=first.to if first else None,
        unit=first.unit if first else "",
        plus=measures.plus.text if measures.plus else "",
        minus=measures.minus.text if measures.minus else "",
        second=measures.others[0].text if measures.others else _each_said(measures),
        food=food, grams=grams, by=by, note=note, more=more, alternatives=alternatives,
        tells=tuple(draft.tells), asks=tuple(draft.asks),
    )  # fmt: skip


def _each_said(measures: _Measures) -> str:
    """The size in a bracket, ``each`` where there are several."""
    if measures.each is None or measures.first is None:
        return ""
    return f"{measures.each.text} each" if measures.first.amount > 1 else measures.each.text


def _unsaid(line: ReadLine, food: str | None, larder: Larder) -> str:
    if line.purpose != "dough":
        return _offered(line.purpose)
    one = larder.get(food) if food else None
    return "2 % of the flour" if one is not None and one.kind == "salt" else ""


def _food_questions(meaning: Meaning, larder: Larder) -> tuple[LineQuestion, ...]:
    if not meaning.asks:
        return ()
    kinds = {larder[food].kind for food in meaning.foods}
    kind = "flour" if "flour" in kinds else next(iter(kinds), "")
    if len(meaning.foods) == 1 and "pack" in meaning.note:
        return (LineQuestion("allergens"),)
    if kind == "salt":
        return (LineQuestion("salt kind"),)
    key = {"flour": "flour kind", "fat": "oil kind"}.get(kind, "food")
    return (LineQuestion(key, meaning.food),)


def _alternative(name: str, measures: _Measures, draft: _Draft) -> Alternative:
    """The other food of an ``or``, in the line's own measure where it has none."""
    own = _one_measure(name)
    measure, name = own if own is not None else (measures.first, name)
    meaning, _ = understood(_in_words(name), draft.region, draft.larder)
    food = meaning.food if meaning else name
    grams = _span(measure, food, draft, measures) if measure is not None and meaning else None
    return Alternative(food, grams)


def _grams(
    measures: _Measures, food: str, meaning: Meaning | None, draft: _Draft
) -> tuple[GramSpan | None, str]:
    """The grams of the best measure in the line, and what they rest on; the others are held against it."""
    first = measures.first
    assert first is not None
    whole = _span(first, food, draft, measures)
    for part, sign in ((measures.plus, 1), (measures.minus, -1)):
        if part is not None and whole is not None:
            added = _span(part, food, draft, measures)
            whole = whole.plus(added, sign) if added is not None else None
    by = _by(first.unit)
    if measures.each is not None:
        each = _span(measures.each, food, draft, measures)
        metric = measures.each.unit in ("g", "kg")
        if each is not None and each.taken_g is not None:
            taken = first.amount * each.taken_g
            known = whole if whole is not None and not metric else exactly(taken)
            low = min(known.least_g, Fraction(round(taken)) if taken >= 10 else taken)
            whole = GramSpan(low, taken, max(known.most_g, taken))
            by = "written weight" if metric and first.unit != "each" else by
    for other in measures.others:
        also, rank = _span(other, food, draft, measures), _by(other.unit)
        if first.unit in ("cube", "cake", "packet") and rank == "written weight":
            whole, by = also, rank
        elif also is None or whole is None:
            whole, by = (also, rank) if whole is None else (whole, by)
        else:
            whole, by = _held_together(whole, by, first, also, rank, other, food, draft)
    return whole, by


def _held_together(
    whole: GramSpan, by: str, first: _Measure, also: GramSpan, rank: str, other: _Measure, food: str, draft: _Draft
) -> tuple[GramSpan, str]:  # fmt: skip
    """Two measures of one amount: the better is taken, a metric one before others; told or asked where they disagree."""
    metric = other.unit in ("g", "kg", "ml", "cl", "l")
    better = _RANKS.index(rank) < _RANKS.index(by) or (rank == by and metric)
    if by == "count" and first.unit == "stick":
        better = rank == "written weight"
    taken, other_one = (also, whole) if better else (whole, also)
    cup_rank = {by, rank} & {"cup", "spoon"}
    if (cup_rank and rank == "written weight" and not taken.least_g * Fraction(99, 100) <= other_one.most_g) or (cup_rank and taken.taken_g is not None and taken.taken_g < other_one.least_g * Fraction(97, 100)):  # fmt: skip
        draft.ask("check", "the written grams")
        draft.tells.append(
            f"{plain(taken.taken_g or Fraction(0), 0)} g and {first.text} do not agree"
        )
    elif cup_rank and by == "cup" and rank == "written weight" and taken.taken_g is not None:
        draft.tells.append(f"this recipe fills its cup with {plain(taken.taken_g / first.amount, 0)} g")  # fmt: skip
    elif taken.taken_g and other_one.taken_g:
        apart = abs(taken.taken_g - other_one.taken_g) / taken.taken_g
        if apart > Fraction(5, 100) and not cup_rank:
            draft.ask("check", "the written grams" if rank == "written weight" else first.text)
    exact = {by, rank} <= {"written weight"} or (
        {by, rank} == {"cup", "written volume"} and draft.larder[food].kind in _LIQUID
    )
    if exact and taken.taken_g is not None and other_one.taken_g is not None:
        nominal = other_one.taken_g
        taken = GramSpan(min(taken.taken_g, nominal), taken.taken_g, max(taken.taken_g, nominal))
    return taken, rank if better else by


def _span(measure: _Measure, food: str, draft: _Draft, measures: _Measures) -> GramSpan | None:
    """One measure of a food in grams, the larger amount of a range by the heavier measure."""
    one = _unit_weight(measure.unit, food, draft, measures)
    if one is None:
        return None
    most = measure.to if measure.to is not None else measure.amount
    taken = None if one.taken_g is None else measure.amount * one.taken_g
    return GramSpan(measure.amount * one.least_g, taken, most * one.most_g)


def _unit_weight(unit: str, food: str, draft: _Draft, measures: _Measures) -> GramSpan | None:
    larder, region = draft.larder, draft.region
    if unit in UNMEASURED:
        return UNMEASURED[unit][1]
    if unit == "Pfund":
        return exactly(Fraction(500))
    household = larder.measures.written_for(region).household
    shipped = larder.shipped_name(food) if food else ""
    if unit in ("stick", "packet", "cube", "cake", "clove"):
        return _from_table(measure_weight(shipped, unit))
    if unit == "each":
        return _piece(shipped, draft, measures)
    if unit == "quart":
        pint = household.pint_ml
        size: tuple[Fraction, str] | None = None if pint is None else (pint * 2, "ml")
    else:
        size = unit_size(unit, household)
    if size is None and unit == "cup":
        size = (Fraction(250), "ml")
        draft.ask("cup", "a metric cup of 250 ml")
    if size is None:
        draft.ask("unit")
        return None
    amount, base = size
    if base == "g":
        return exactly(amount)
    kosher = draft.rest.casefold().startswith("kosher") or "kosher" in draft.rest.casefold()
    if kosher:
        weight = measure_weight("fine salt", "kosher tsp")
        return None if weight is None else _times(weight, amount / 5, no_taken=True)
    if _by(unit) in ("cup", "spoon"):
        return _by_cup_or_spoon(unit, amount, shipped, larder, measures)
    one = larder.get(food)
    return None if one is None or one.g_per_ml is None else exactly(amount * one.g_per_ml)


def _by_cup_or_spoon(
    unit: str, ml: Fraction, shipped: str, larder: Larder, measures: _Measures
) -> GramSpan | None:
    spoon, cup = measure_weight(shipped, "tsp"), measure_weight(shipped, "cup")
    if measures.packed:
        cup = measure_weight(shipped, "packed cup") or cup
    if "cup" in unit and cup is not None:
        own = larder.measures.flour_cup_g
        one = larder.get(shipped)
        if own is not None and cup.asks and one is not None and one.kind == "flour":
            return exactly(own * cup.taken_g / PLAIN_FLOUR_CUP_G)
        return _times(cup, ml / US_CUP_ML)
    if "cup" not in unit and spoon is not None:
        return _times(spoon, ml / 5)
    if cup is not None:
        return _times(cup, ml / US_CUP_ML)
    one = larder.get(shipped)
    if one is None or one.g_per_ml is None:
        return None
    grams = ml * one.g_per_ml
    return GramSpan(grams * Fraction(19, 20), grams, grams * Fraction(21, 20))


def _times(weight: MeasureWeight, factor: Fraction, no_taken: bool = False) -> GramSpan:
    return GramSpan(
        weight.least_g * factor,
        None if no_taken else weight.taken_g * factor,
        weight.most_g * factor,
    )


def _from_table(weight: MeasureWeight | None) -> GramSpan | None:
    return None if weight is None else GramSpan(weight.least_g, weight.taken_g, weight.most_g)


_EGG = {"US": "US large", "CA": "US large", "AU": "AU large", "NZ": "AU large"}


def _piece(shipped: str, draft: _Draft, measures: _Measures) -> GramSpan | None:
    """One piece: an egg by its region's size, an onion by its own, what the larder says of one of them else."""
    if shipped == "egg":
        german = re.search(r"Gr(?:\.|öße)?\s*(S|M|L|XL)\b", draft.type_words)
        size = german[1] if german else {"large": "L", "medium": "M", "small": "S", "extra large": "XL"}.get(measures.size, "M")  # fmt: skip
        name = _EGG.get(draft.region, f"EU {size}")
        if draft.region in ("US", "CA") and measures.size in ("medium", "extra large"):
            name = f"US {measures.size}"
        weight = _from_table(measure_weight("egg", name))
        if weight is not None and weight.taken_g is not None:
            draft.tells.append(f"an egg of size {name.split(' ', 1)[1]} is {plain(weight.taken_g)} g without its shell")  # fmt: skip
        return weight
    sizes = (measures.size or "medium", "each", "lemon")
    known = next((found for size in sizes if (found := measure_weight(shipped, size))), None)
    if known is not None:
        return _from_table(known)
    one = draft.larder.get(shipped)
    return None if one is None or one.g_per_each is None else exactly(one.g_per_each)


def _asks_cup(food: str) -> bool:
    weight = measure_weight(food, "cup")
    return weight is not None and weight.asks


def _cup_known(food: str, larder: Larder) -> bool:
    one = larder.get(food)
    return larder.measures.flour_cup_g is not None and one is not None and one.kind == "flour"


def _cup_offer(region: str, larder: Larder) -> str:
    cup_ml = larder.measures.written_for(region).household.cup_ml or Fraction(250)
    grams = plain(PLAIN_FLOUR_CUP_G * cup_ml / US_CUP_ML, 0)
    return f"a cup of {plain(cup_ml, 0)} ml, spooned and levelled: {grams} g of white flour"


__all__ = ["LONGEST_LINE", "OZ_G", "clean_line", "is_german", "read_line", "without_state"]
