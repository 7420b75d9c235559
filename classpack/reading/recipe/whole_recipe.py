"""A whole recipe: its title, its lines in their parts, and what this recipe's own cup of flour weighs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction

from classpack.errors import LessonError, Problem, Spot
from classpack.model.larder import Larder
from classpack.model.own_measures import PLAIN_FLOUR_CUP_G
from classpack.quantities import plain
from classpack.reading.household_weights import measure_weight
from classpack.reading.recipe.line_grammar import clean_line, is_german, read_line
from classpack.reading.recipe.method_prose import read_step, sentences
from classpack.reading.recipe.parts import ReadLine

LONGEST_RECIPE = 60_000
MOST_LINES = 400


@dataclass(frozen=True, slots=True)
class RecipePart:
    """A part of the recipe by its heading: ``kind`` is dough, preferment, soaker, topping, glaze or filling."""

    name: str
    kind: str
    lines: tuple[ReadLine, ...]


@dataclass(frozen=True, slots=True)
class ReadRecipe:
    """Every line of a pasted recipe. ``lines`` are all of them, in order; ``parts`` the ingredients; ``steps`` the method."""

    title: str
    region: str
    german: bool
    lines: tuple[ReadLine, ...]
    parts: tuple[RecipePart, ...]
    steps: tuple[ReadLine, ...]
    flour_cup_g: Fraction | None = None

    def counted(self) -> dict[str, int]:
        """How many lines were read, asked and not understood; blank lines are none."""
        counts = Counter(
            "not understood" if line.kind == "unread" else "asked" if line.asks else "read"
            for line in self.lines
            if line.kind != "blank"
        )
        return {name: counts[name] for name in ("read", "asked", "not understood")}


def read_recipe(text: str, file: str, region: str, larder: Larder) -> ReadRecipe:
    """The recipe in ``text``, read for ``region``.

    Raises:
        LessonError: the text is empty, too long, or nothing in it is a recipe of a dough that rises.
    """
    if len(text) > LONGEST_RECIPE or text.count("\n") > MOST_LINES:
        raise _refused(file, f"the recipe has {len(text)} signs", "paste one recipe at a time")
    german = region in ("EU", "DE", "AT") and is_german(text)
    own_cup = _own_cup(text, region, larder, german)
    if own_cup is not None:
        larder = replace(
            larder, measures=replace(larder.measures, flour_cup_g=own_cup), _by_name={}
        )
    lines = _Reader(region, larder, german).read(text)
    title = next((line.written_name for line in lines if line.kind == "title"), "My bread")
    steps = tuple(step for line in lines if line.kind == "step" for step in _steps_of(line, region))
    recipe = ReadRecipe(title, region, german, lines, _parts(lines), steps, own_cup)
    _check(recipe, file, larder)
    return recipe


def _refused(file: str, wrong: str, right: str) -> LessonError:
    return LessonError([Problem(Spot(file, 1), wrong, right)])


def _own_cup(text: str, region: str, larder: Larder, german: bool) -> Fraction | None:
    """What this recipe's cup of white flour weighs, where one of its lines gives cups and grams that agree."""
    for raw in text.splitlines():
        line = read_line(raw, region, larder, german)
        flour = line.food and larder.get(line.food)
        if not flour or flour.kind != "flour" or line.unit != "cup" or not line.amount:
            continue
        if line.by == "written weight" and line.grams and not any(one.key == "check" for one in line.asks):  # fmt: skip
            known = measure_weight(larder.shipped_name(flour.name), "cup")
            if known is not None and line.grams.taken_g is not None:
                cup = line.grams.taken_g / line.amount
                return cup * PLAIN_FLOUR_CUP_G / known.taken_g
    return None


class _Reader:
    """Reads line by line, knowing whether it stands among the ingredients or in the method."""

    def __init__(self, region: str, larder: Larder, german: bool) -> None:
        self.region, self.larder, self.german = region, larder, german
        self.in_method = False
        self.titled = False

    def read(self, text: str) -> tuple[ReadLine, ...]:
        """All lines, each with its number."""
        return tuple(
            replace(self.line(raw), number=number)
            for number, raw in enumerate(text.splitlines(), start=1)
        )

    def line(self, raw: str) -> ReadLine:
        """One line in its place."""
        found = read_line(raw, self.region, self.larder, self.german)
        if found.kind == "blank":
            return found
        if not self.titled:
            self.titled = True
            known = found.kind in ("ingredient", "percent") and (found.amount or found.percent)
            if not known and found.kind not in ("yield", "equipment") and len(raw) <= 120:
                title = clean_line(raw).lstrip("# ").strip()
                return ReadLine(raw, "title", written_name=title)
        if found.kind == "heading" and found.heading:
            self.in_method = found.heading[1] == "method"
        elif self.in_method and found.kind in ("ingredient", "unread", "percent"):
            return ReadLine(raw, "step")
        elif found.kind == "step" and found.stage:
            self.in_method = True
        return found


def _steps_of(line: ReadLine, region: str) -> tuple[ReadLine, ...]:
    """A paragraph of the method as one step a sentence; a sentence of no stage stays with the one before."""
    steps: list[ReadLine] = []
    for sentence in sentences(clean_line(line.text)):
        step = read_step(sentence, region)
        if step is None or (not step.stage and steps):
            if steps:
                steps[-1] = replace(steps[-1], text=f"{steps[-1].text} {sentence}")
            else:
                steps.append(ReadLine(sentence, "step"))
            continue
        steps.append(step)
    return tuple(replace(step, number=line.number) for step in steps)


def _parts(lines: tuple[ReadLine, ...]) -> tuple[RecipePart, ...]:
    found: list[tuple[str, str, list[ReadLine]]] = [("dough", "dough", [])]
    for line in lines:
        if line.kind == "heading" and line.heading:
            name, kind = line.heading
            if kind in ("preferment", "soaker", "topping", "glaze", "filling"):
                found.append((name, kind, []))
            elif kind in ("dough", "ingredients", "part"):
                found.append((name, "dough", []))
        elif line.kind in ("ingredient", "percent"):
            found[-1][2].append(line)
    return tuple(RecipePart(name, kind, tuple(inside)) for name, kind, inside in found if inside)


def _check(recipe: ReadRecipe, file: str, larder: Larder) -> None:
    """A recipe that no dough comes of is refused in a sentence that helps."""
    foods = [line for part in recipe.parts for line in part.lines]
    if not foods:
        raise _refused(
            file,
            "no line of the text is an ingredient",
            "paste the recipe with its amounts, one ingredient a line, as in '500 g strong white flour'",
        )
    kinds = {larder[line.food].kind for line in foods if line.food and larder.get(line.food)}
    unknown = [line.written_name for line in foods if line.food is None and line.purpose == "dough"]
    if "flour" not in kinds and not any("flour" in name or "mehl" in name.casefold() for name in unknown):  # fmt: skip
        raise _refused(
            file,
            "no line of the recipe is a flour",
            "a dough's flours are its 100 %: write each on a line of its own, as in '500 g strong white flour'",
        )
    rises = kinds & {"yeast", "starter"} or any(part.kind == "preferment" for part in recipe.parts)
    if not rises and not any("yeast" in name or "starter" in name or "hefe" in name.casefold() for name in unknown):  # fmt: skip
        raise _refused(
            file,
            "nothing in the recipe ferments: it reads as a cake, scone or soda bread",
            "classpack plans doughs that rise with yeast or a starter; add its line if it was left out",
        )
    percents = [
        line.percent
        for line in foods
        if line.kind == "percent" and line.percent is not None and line.food and larder[line.food].kind == "flour"
    ]  # fmt: skip
    if percents and sum(percents) != 100:
        raise _refused(
            file,
            f"the flours of the recipe add up to {plain(sum(percents, Fraction(0)))} %",
            "baker's percentages are of all the flour: the flours together are 100 %",
        )
