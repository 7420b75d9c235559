"""The one reader of sentences: which foods a text names, longest words first.

The rules, in the order in which they count:

1. Text and words are folded alike: small letters, no accents (German ä is ae), no apostrophes; a hyphen is a space. A sign of
   punctuation ends a run, and no word of several parts reaches across it. What stands in braces is a placeholder: not read.
2. Of all words of the list that fit, the longest is taken first and used up: *peanut butter* leaves no *butter* behind.
3. German words written together hold the words they are made of: five letters or more anywhere, four at either end.
4. *Almond milk* is almond alone; *almond cream* is almond, and its milk a question; *garlic butter* is butter.
5. What negates touches the next food only, and never what the food's own words say.

Nothing here makes an ingredient hold less than its row states: that is for whoever asks.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache

from classpack.food_words.table import LANGUAGES, FoodWord, Sort, food_words

_PLACEHOLDER = re.compile(r"\{[^{}]*\}")
_HOLE = "0hole0"
"""A placeholder as a word: *cream {}* is a row of the list, and nothing else reaches over it."""
_WORD = re.compile(r"[^\W_]+")
_TOKEN = re.compile(r"[^\W_]+|[.,;:!?()\[\]{}|\"“”„«»•·—–]")
_SENTENCE_ENDS = frozenset(".!?|:;")
_GERMAN_LETTERS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss"})
_APOSTROPHES = str.maketrans("", "", "'’‘`´ʼ\u00ad")

_PLANTS = frozenset(
    {"peanuts", "soya", "sesame", "lupin", "mustard", "celery", "coconut", "chestnut"}
)
_ALONE = {
    "en": frozenset(["milk", "drink", "butter", "flour", "meal", "oil", "paste"]),
    "de": frozenset(["milch", "drink", "butter", "mus", "mehl", "oel", "paste", "creme"]),
}
"""After a plant's name these add nothing: almond milk is almond."""
_ASKS_MILK = {
    "en": frozenset(["cream", "cheese", "yogurt", "yoghurt", "spread"]),
    "de": frozenset(["sahne", "kaese", "joghurt", "aufstrich"]),
}
"""After a plant's name these may be made with milk."""
_OF_A_LOOKALIKE = {"en": frozenset({"flour", "meal"}), "de": frozenset({"mehl"})}

_ARTICLES = {
    "en": frozenset(["a", "an", "the", "any"]),
    "de": frozenset(
        [
            "ein",
            "eine",
            "einen",
            "einem",
            "einer",
            "eines",
            "der",
            "die",
            "das",
            "den",
            "dem",
            "des",
        ]
    ),
}
_ADJECTIVES = {
    "en": frozenset(
        ["fresh", "cold", "warm", "hot", "melted", "soft", "softened", "raw", "beaten", "chopped", "ground", "grated", "sliced", "toasted", "roasted", "salted", "unsalted", "dried", "whole", "plain", "large", "small", "little"]
    ),
    "de": ("frisch", "kalt", "warm", "heiss", "geschmolzen", "weich", "roh", "geschlagen", "gehackt", "gemahlen", "gerieben", "geroestet", "getrocknet", "ganz", "klein", "gross"),
}  # fmt: skip
_OR = {"en": frozenset({"or", "nor"}), "de": frozenset({"oder", "noch"})}

_OWN_NAMES = {
    "milk": ("milk", "milch"),
    "eggs": ("egg", "eggs", "ei", "eier"),
    "fish": ("fish", "fisch"),
    "gluten:wheat": ("wheat", "weizen", "dinkel", "spelt"),
    "gluten:rye": ("rye", "roggen"),
    "gluten:barley": ("barley", "gerste"),
    "peanuts": ("peanut", "peanuts", "erdnuss", "erdnuesse"),
    "soya": ("soya", "soy", "soja"),
    "sesame": ("sesame", "sesam"),
}
"""What a claim never takes away from a food whose own words say it: *gluten-free wheat starch*."""

_SHORTEST_WITHIN = 5
_SHORTEST_AT_AN_END = 4
_SHORTEST_JOINED = 7
"""*Oatmilk* and *peanutbutter* are read as the two words they are, from seven letters on."""


@dataclass(frozen=True, slots=True)
class NamedFood:
    """One food that a text names. ``said`` are its words as read, ``word`` the list's own word for it.

    ``holds`` and ``may_hold`` are allergen ids. ``asks`` is what would answer a vague word, empty for a clear one. ``weak``
    words are remarked upon at most; ``baked`` ones are kinds of bread.
    """

    said: str
    word: str
    holds: frozenset[str]
    may_hold: frozenset[str]
    asks: Sort = ""
    weak: bool = False
    baked: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """What one text names. ``claims`` are words that promise the absence of something, ``choices`` vegan and its like. ``words``
    are the list's words for all it names, what only sounds like a food among them; a word for any flour, nut or seed is not."""

    foods: tuple[NamedFood, ...] = ()
    claims: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

    @property
    def holds(self) -> frozenset[str]:
        """All that its foods hold."""
        return frozenset[str]().union(*(one.holds for one in self.foods))

    @property
    def may_hold(self) -> frozenset[str]:
        """All that its foods may hold and none of them holds."""
        return frozenset[str]().union(*(one.may_hold for one in self.foods)) - self.holds


@lru_cache(maxsize=16384)
def read_foods(text: str, language: str = "en") -> Reading:
    """The foods that ``text`` names in English (``en``) or German (``de``), in their order; another language's
    texts are read in both.

    >>> [one.word for one in read_foods("Spread with peanut butter, without milk.").foods]
    ['peanut butter']
    """
    if language not in LANGUAGES:
        return read_name(text)
    tokens = _tokens(text, language)
    index = _index(language)
    chosen = _chosen(tokens, index)
    foods: list[NamedFood] = []
    claims: list[str] = []
    choices: list[str] = []
    _carry_out(chosen, tokens, index, foods)
    for match in _all_matches(tokens, index):
        for flag, found in (("claim", claims), ("choice", choices)):
            if flag in match.row.flags:
                found.append(_spelling(match))
    words = [match.row.word for match in chosen if _is_one_food(match.row)]
    return Reading(
        tuple(foods), tuple(dict.fromkeys(claims)), tuple(dict.fromkeys(choices)), tuple(words)
    )


def _is_one_food(row: FoodWord) -> bool:
    return row.kind in ("food", "recipe", "lookalike") or row.answered_by in ("name", "spread")


@lru_cache(maxsize=8192)
def words_known(text: str) -> frozenset[tuple[str, str]]:
    """The single words of a text that the list knows in either language, folded, each with the word of its row."""
    return frozenset(
        (word, row.word)
        for language in LANGUAGES
        for word in _words(text, language)
        if (row := _index(language).single.get(word))
    )


@lru_cache(maxsize=8192)
def read_name(name: str) -> Reading:
    """The foods that a name says in either language: a word that English used up is not read again as German."""
    english = read_foods(name)
    tokens = _tokens(name, "en")
    used = {
        token.word
        for match in _chosen(tokens, _index("en"))
        for token in tokens[match.start : match.end]
    }
    rest = _WORD.sub(lambda found: "|" if fold(found[0], "en") in used else found[0], name)
    german = read_foods(rest, "de")
    return Reading(
        (*english.foods, *german.foods),
        (*english.claims, *german.claims),
        (*english.choices, *german.choices),
        (*english.words, *german.words),
    )


# ---------------------------------------------------------------- folding


def fold(text: str, language: str) -> str:
    """A word as it is compared: small letters without accents and apostrophes, a space for each hyphen."""
    text = unicodedata.normalize("NFKC", text).lower().translate(_APOSTROPHES)
    if language == "de":
        text = text.translate(_GERMAN_LETTERS)
    text = "".join(
        sign
        for sign in unicodedata.normalize("NFKD", text)
        if not unicodedata.combining(sign) and unicodedata.category(sign) != "Cf"
    )
    return text.replace("œ", "oe").replace("æ", "ae").replace("ß", "ss")


def _words(text: str, language: str) -> tuple[str, ...]:
    return tuple(_TOKEN.findall(fold(_PLACEHOLDER.sub(f" {_HOLE} ", text), language)))


@dataclass(frozen=True, slots=True)
class _Token:
    """A word, or (``run`` -1) a sign between runs. ``opens``: the first word of a sentence."""

    word: str
    run: int
    opens: bool


def _tokens(text: str, language: str) -> list[_Token]:
    """The words of a text, each with the number of its run: no match reaches from one run into another."""
    found: list[_Token] = []
    run, opens = 0, True
    for word in _words(text, language):
        if word[0].isalnum():
            found.append(_Token(word, run, opens))
            opens = False
            run += word == _HOLE
        else:
            run += 1
            found.append(_Token(word, -1, False))
            opens = opens or word in _SENTENCE_ENDS
    return found


# ---------------------------------------------------------------- the index


@dataclass(frozen=True, slots=True)
class _Index:
    """The rows of one language: by the first of their words, and by the whole word for those of one."""

    language: str
    by_first: dict[str, list[tuple[tuple[str, ...], FoodWord]]]
    single: dict[str, FoodWord]


@cache
def _index(language: str) -> _Index:
    by_first: dict[str, list[tuple[tuple[str, ...], FoodWord]]] = {}
    single: dict[str, FoodWord] = {}
    phrases: dict[tuple[str, ...], FoodWord] = {}
    for row in food_words():
        if row.language != language:
            continue
        for spelling in row.spellings:
            phrases.setdefault(_words(spelling, language), row)
    for words, row in list(phrases.items()):
        joined = ("".join(words),)
        if len(words) > 1 and len(joined[0]) >= _SHORTEST_JOINED:
            phrases.setdefault(joined, row)
        if language == "en" and row.kind in ("food", "recipe", "vague"):
            for more in _plurals(words):
                phrases.setdefault(more, row)
    for words, row in phrases.items():
        by_first.setdefault(words[0], []).append((words, row))
        if len(words) == 1:
            single[words[0]] = row
    return _Index(language, by_first, single)


def _plurals(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    *before, last = words
    if len(last) > 2 and not last.endswith("s"):
        yield (*before, last + "s")
        if last.endswith("y"):
            yield (*before, last[:-1] + "ies")
        if last.endswith(("ch", "sh", "x", "o")):
            yield (*before, last + "es")


# ---------------------------------------------------------------- matches


@dataclass(frozen=True, slots=True)
class _Match:
    """A row that fits the words from ``start`` to before ``end``; ``letters`` is the part of a written-together word."""

    start: int
    end: int
    row: FoodWord
    said: str
    letters: tuple[int, int] | None = None
    asks_milk: bool = field(default=False)

    @property
    def rank(self) -> tuple[int, int, int]:
        """Most words first, then most letters, then the first in the text."""
        return -(self.end - self.start), -len(self.said), self.start


def _spelling(match: _Match) -> str:
    """The words as the list spells them: *Käse*, where *kaese* was compared."""
    language = match.row.language
    spelled = (one for one in match.row.spellings if " ".join(_words(one, language)) == match.said)
    return next(spelled, match.said)


def _all_matches(tokens: list[_Token], index: _Index) -> list[_Match]:
    found = []
    for at, token in enumerate(tokens):
        for words, row in index.by_first.get(token.word, ()):
            end = at + len(words)
            wrong_place = "opening" in row.flags and not token.opens
            if end > len(tokens) or wrong_place or ("verb" in row.flags and token.opens):
                continue
            if all(
                other.word == word and other.run == token.run
                for other, word in zip(tokens[at:end], words, strict=True)
            ):
                found.append(_Match(at, end, row, " ".join(words)))
    return found


def _chosen(tokens: list[_Token], index: _Index) -> list[_Match]:
    """The matches that count, in the order of the text; a word that is used is used up."""
    matches = _all_matches(tokens, index)
    matches += list(_with_a_plant(matches, tokens, index))
    taken = [False] * len(tokens)
    found = []
    for match in sorted(matches, key=lambda one: one.rank):
        if not any(taken[match.start : match.end]):
            taken[match.start : match.end] = [True] * (match.end - match.start)
            found.append(match)
    if index.language == "de":
        for at, token in enumerate(tokens):
            if not taken[at] and token.run >= 0:
                found += [
                    _Match(at, at + 1, row, token.word[start:end], (start, end), asks)
                    for start, end, row, asks in _inside(token.word)
                ]
    return sorted(found, key=lambda one: (one.start, one.letters or (0, 0)))


def _with_a_plant(
    matches: Iterable[_Match], tokens: list[_Token], index: _Index
) -> Iterator[_Match]:
    """*Almond milk*, *lupin flour*, *cashew cream*: the plant takes the word behind it with it."""
    for match in matches:
        if match.end >= len(tokens) or tokens[match.end].run != tokens[match.start].run:
            continue
        behind = tokens[match.end].word
        said = f"{match.said} {behind}"
        lookalike = match.row.kind == "lookalike" and behind in _OF_A_LOOKALIKE[index.language]
        if not lookalike and not _is_plant(match.row, match.said):
            continue
        if lookalike or behind in _ALONE[index.language]:
            yield replace(match, end=match.end + 1, said=said)
        elif behind in _ASKS_MILK[index.language]:
            yield replace(match, end=match.end + 1, said=said, asks_milk=True)


def _is_plant(row: FoodWord, said: str) -> bool:
    plants = all(one in _PLANTS or one.partition(":")[0] in ("nuts", "gluten") for one in row.holds)
    return row.kind == "food" and bool(row.holds) and plants and not said.endswith("s")


@lru_cache(maxsize=8192)
def _inside(word: str) -> tuple[tuple[int, int, FoodWord, bool], ...]:
    """The German words inside one that is written together, longest first and none twice: from, to, row, asks for milk."""
    index = _index("de")
    length = len(word)
    found: list[tuple[int, int, FoodWord, bool]] = []
    for size in range(length - 1, _SHORTEST_AT_AN_END - 1, -1):
        for start in range(length - size + 1):
            end = start + size
            row = index.single.get(word[start:end])
            if row is None or any(start < to and at < end for at, to, _, _ in found):
                continue
            if _may_stand(row, size, start == 0, end == length):
                found.append((start, end, row, False))
    return tuple(_with_what_is_behind(sorted(found, key=lambda one: one[:2]), word))


def _may_stand(row: FoodWord, size: int, at_start: bool, at_end: bool) -> bool:
    where = row.flags & {"start", "end", "whole"}
    if row.kind in ("absent", "comparison", "idle", "claim") or "whole" in where:
        return False
    if where:
        return (at_start and "start" in where) or (at_end and "end" in where)
    return size >= _SHORTEST_WITHIN or at_start or at_end


def _with_what_is_behind(
    parts: list[tuple[int, int, FoodWord, bool]], word: str
) -> Iterator[tuple[int, int, FoodWord, bool]]:
    skip = -1
    for at, (start, end, row, _) in enumerate(parts):
        if at == skip:
            continue
        behind = parts[at + 1] if at + 1 < len(parts) else None
        asks = False
        if behind and behind[0] - end <= 1 and behind[2].kind == "vague" and row.kind != "vague":
            skip = at + 1  # Walnusskerne, Mohnsaat: it is said which
        elif behind and behind[0] - end <= 1 and _is_plant(row, ""):
            other = word[behind[0] : behind[1]]
            if other in _ALONE["de"] or other in _ASKS_MILK["de"]:
                skip, asks = at + 1, other in _ASKS_MILK["de"]
        yield start, end, row, asks


# ---------------------------------------------------------------- what negates


def _carry_out(
    chosen: list[_Match], tokens: list[_Token], index: _Index, foods: list[NamedFood]
) -> None:
    """Name the foods, each as what stands before it leaves it."""
    gone = _absent(chosen, tokens, index)
    for number, match in enumerate(chosen):
        if match.row.kind in ("absent", "comparison", "claim", "idle") or number in gone:
            continue
        food = NamedFood(
            _spelling(match),
            match.row.word,
            match.row.holds,
            match.row.may_hold | ({"milk"} if match.asks_milk else frozenset()),
            match.row.answered_by,
            "weak" in match.row.flags,
            "baked" in match.row.flags,
        )
        for before in _claims_before(chosen, number, tokens, index):
            food = _claimed(food, match.row, before)
        if food.holds or food.may_hold or food.asks:
            foods.append(food)


def _claims_before(
    chosen: list[_Match], number: int, tokens: list[_Token], index: _Index
) -> Iterator[_Match]:
    """Every claim in front of a food with nothing but adjectives and other claims between."""
    at = number
    while at > 0:
        before = chosen[at - 1]
        if before.row.kind not in ("claim", "idle"):
            return
        if not _only_plain(tokens, before.end, chosen[at].start, index):
            return
        if before.row.kind == "claim":
            yield before
        at -= 1


def _claimed(food: NamedFood, row: FoodWord, claim: _Match) -> NamedFood:
    """A food behind *dairy-free* or *vegan*: what the claim is about becomes a question, never nothing."""
    words = set(_words(food.said, row.language))
    kept = {one for one in food.holds if words & set(_OWN_NAMES.get(one, ()))}
    if row.kind == "food":
        kept |= {
            one for one in food.holds if one.startswith(("gluten:", "nuts:")) or one == "peanuts"
        }
    moved = (food.holds & claim.row.may_hold) - kept
    return replace(
        food,
        said=f"{_spelling(claim)} {food.said}",
        holds=food.holds - moved,
        may_hold=food.may_hold | moved,
    )


def _absent(chosen: list[_Match], tokens: list[_Token], index: _Index) -> set[int]:
    """The numbers of the matches that are not there: the next food of each negator, and its chain of *or*."""
    gone: set[int] = set()
    for number, match in enumerate(chosen):
        if match.row.kind not in ("absent", "comparison"):
            continue
        if match.start and tokens[match.start - 1].word in _OR[index.language]:
            continue  # 'with or without nuts' says nothing
        gone |= _chain(chosen, number, tokens, index)
    parts = {chosen[one].start for one in gone if chosen[one].letters}
    return gone | {at for at, match in enumerate(chosen) if match.start in parts}


def _chain(chosen: list[_Match], number: int, tokens: list[_Token], index: _Index) -> set[int]:
    """The next food behind a negator, and with it all of *egg, milk or butter*; of *egg and milk* the egg alone."""
    either = _OR[index.language]
    chain: list[int] = []
    joined = False
    at = chosen[number].end
    for following in range(number + 1, len(chosen)):
        other = chosen[following]
        between = [token.word for token in tokens[at : other.start]]
        if other.row.kind in ("absent", "comparison"):
            break
        if chain and other.start == chosen[chain[-1]].start:
            continue  # another part of the same written-together word
        if chain:
            joins = bool(between) and between[0] in either
            if (joined and not joins) or (not joins and between[:1] != [","]):
                break
            joined = joins
            between = between[1:]
        if not _plain(between, index):
            break
        at = other.end
        if other.row.kind not in ("claim", "idle"):
            chain.append(following)
    return set(chain if joined else chain[:1])


def _only_plain(tokens: list[_Token], start: int, end: int, index: _Index) -> bool:
    return _plain([token.word for token in tokens[start:end]], index)


def _plain(words: Iterable[str], index: _Index) -> bool:
    """Nothing but articles and plain adjectives?"""
    adjectives = _ADJECTIVES[index.language]
    return all(
        word in _ARTICLES[index.language]
        or (word.startswith(adjectives) if isinstance(adjectives, tuple) else word in adjectives)
        for word in words
    )
