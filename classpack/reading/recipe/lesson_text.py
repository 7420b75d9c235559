"""The files of a class from a pasted recipe: a lesson a tutor would have written, a larder, a kitchen and a class day.

Every amount stands in grams with the pasted line beside it; what was taken without being said has a comment that says so, and
what cannot be taken is written so that ``check`` stops at its line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from classpack.model.larder import Larder
from classpack.model.regions import Region
from classpack.quantities import TSP_ML, plain
from classpack.reading.names import STATES
from classpack.reading.recipe.equipment import one_of, read_equipment
from classpack.reading.recipe.method_prose import window_of
from classpack.reading.recipe.parts import LineQuestion, ReadLine, TinSaid
from classpack.reading.recipe.whole_recipe import ReadRecipe, RecipePart

HANDS_MIN = {
    "weigh": 4, "mix": 4, "fold": 3, "knead": 8, "divide": 3, "round": 3, "shape": 4, "pan": 1, "top": 2, "fill": 3,
    "glaze": 2, "score": 1, "cut": 2, "finish": 2, "clean": 2,
}  # fmt: skip
"""A tutor's minutes where the recipe says none (the project's choice)."""
LEFT_PERCENT = Fraction(2)
DOUGH_C = 25
ASKED = "asked"

_DEFAULT_G: dict[str, Fraction | int] = {"knob": 15, "glug": 14, "handful": 30, "pinch": Fraction(2, 5), "sprig": 2, "bunch": 30}  # fmt: skip
_USE_PURPOSE = {"greasing": "oiling", "dusting": "dusting", "topping": "topping", "glaze": "glaze", "filling": "filling", "frying": "oiling"}  # fmt: skip
_PREFERMENTS = {"poolish": "poolish", "biga": "biga", "levain": "levain", "starter": "levain", "sauerteig": "levain"}  # fmt: skip


@dataclass
class Lines:
    """YAML being written: lines with their depth, and a comment at their end."""

    lines: list[str] = field(default_factory=list)

    def add(self, depth: int, text: str, comment: str = "") -> None:
        """One line; a comment is one line too, whatever was pasted."""
        said = f"{'  ' * depth}{text}"
        self.lines.append(f"{said}  # {one_line(comment)}" if comment else said)

    @property
    def text(self) -> str:
        """The whole file."""
        return "\n".join(self.lines) + "\n"


def one_line(text: str) -> str:
    """Pasted text for a comment: on one line, without signs that cannot be seen."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())[:300]


def quoted(text: str) -> str:
    """Text as a YAML scalar in double quotes; braces, which hold ingredients in a lesson, become brackets."""
    text = one_line(text).replace("{", "(").replace("}", ")")
    return _in_quotes(text)


def _in_quotes(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def key(name: str) -> str:
    """A name as a key: quoted where YAML would read more than a name in it."""
    plain_name = re.fullmatch(r"[^\W\d][\w '’äöüß.%-]*", name) and ": " not in name
    return name if plain_name else _in_quotes(one_line(name))


@dataclass(frozen=True, slots=True)
class _Line:
    """An ingredient of the dough: its food, grams, the pasted line, and a reason why it cannot be taken."""

    food: str
    grams: Fraction | None
    line: ReadLine
    refused: str = ""


@dataclass(frozen=True, slots=True)
class RecipeFiles:
    """The files by name, and the sentences for the terminal: what was taken, what is asked, what was not understood."""

    files: dict[str, str]
    class_file: str
    told: tuple[str, ...]


def recipe_files(recipe: ReadRecipe, larder: Larder, region: Region) -> RecipeFiles:
    """A lesson, larder, kitchen and class day from ``recipe``."""
    writer = _Writer(recipe, larder, region)
    files = {
        "lesson.yaml": writer.lesson(),
        "larder.yaml": writer.larder_file(),
        "kitchen.yaml": writer.kitchen(),
        "class.yaml": writer.class_day(),
    }
    return RecipeFiles(files, "class.yaml", tuple(writer.told()))


class _Writer:
    def __init__(self, recipe: ReadRecipe, larder: Larder, region: Region) -> None:
        self.recipe, self.larder, self.region = recipe, larder, region
        self.bread = self._bread_name()
        self.pieces = self._pieces()
        self.tin = self._tin()
        self.dough, self.uses = self._split()
        self.before = self._preferments()
        self.ripening = self._ripening_steps()
        self.steps = tuple(
            step for step in recipe.steps if step not in [one for _, one in self.ripening]
        )
        self._salt_of_flour()

    # ------------------------------------------------------------ what the recipe comes to

    def _bread_name(self) -> str:
        named = next((line.yields.name for line in self.recipe.lines if line.yields and line.yields.name), "")  # fmt: skip
        name = named if named and named not in ("loaf", "Brot") else self.recipe.title
        name = "".join(sign for sign in one_line(name) if sign.isalnum() or sign in " '-&").strip()
        return (one_of(name)[:50].strip() or "loaf").casefold() if not self.recipe.german else name[:50].strip() or "Brot"  # fmt: skip

    def _pieces(self) -> int:
        return next(
            (
                line.yields.pieces
                for line in self.recipe.lines
                if line.yields and line.yields.pieces
            ),
            1,
        )

    def _tin(self) -> TinSaid | None:
        tins = [line.tin for line in self.recipe.lines if line.tin]
        if tins:
            return tins[0]
        for step in self.recipe.steps:
            found = re.search(r"\d[\d./ ]*\s*-?\s*(?:inch(?:es)?|in\.?|cm|lb)?\s*(?:[x×]\s*\d[\d./ x×]*)?\s*-?\s*(?:inch(?:es)?|in\.?|cm|lb)?\s*-?\s*(?:loaf |bread )?(?:pan|tin)s?\b", step.text)  # fmt: skip
            line = read_equipment(found[0].strip(), self.recipe.region) if found else None
            if line is not None:
                return line.tin
        return None

    def _split(self) -> tuple[list[_Line], list[tuple[str, Fraction | None, str, ReadLine]]]:
        """What is dough, and what is beside it: (food, grams of all, purpose, line)."""
        dough: list[_Line] = []
        uses: list[tuple[str, Fraction | None, str, ReadLine]] = []
        for part in self.recipe.parts:
            for line in part.lines:
                beside = part.kind if part.kind in ("topping", "glaze", "filling") else ""
                purpose = line.purpose if line.purpose != "dough" else beside
                if any(one.key == "take it" for one in line.asks):
                    continue
                grams = self._grams_of(line)
                if purpose and part.kind != "preferment":
                    uses.append((line.food or "", grams, _USE_PURPOSE.get(purpose, "topping"), line))  # fmt: skip
                elif part.kind in ("dough", "preferment", "soaker"):
                    dough.append(_Line(line.food or line.written_name, grams, line, self._refused(line)))  # fmt: skip
                if line.more and line.more.purpose != "adjusting":
                    uses.append((line.food or "", None, _USE_PURPOSE.get(line.more.purpose, "dusting"), line))  # fmt: skip
        return dough, uses

    def _refused(self, line: ReadLine) -> str:
        """Why no default may stand for the line: its food, its allergens or its salt are not known."""
        for question in line.asks:
            if question.key in ("allergens", "salt kind") or (question.key == "food" and not question.default):  # fmt: skip
                return str(question)
        return ""

    def _grams_of(self, line: ReadLine) -> Fraction | None:
        if line.kind == "percent":
            return line.percent
        if line.grams is not None and line.grams.taken_g is not None:
            return line.grams.taken_g
        if line.unit in _DEFAULT_G:
            return Fraction(_DEFAULT_G[line.unit]) * (line.amount or 1)
        return None

    def _salt_of_flour(self) -> None:
        flour = self._flour_g(self.dough)
        self.dough = [
            _Line(one.food, flour / 50, one.line, one.refused)
            if one.grams is None and not one.refused and self._kind(one.food) == "salt"
            else one
            for one in self.dough
        ]

    def _kind(self, food: str) -> str:
        one = self.larder.get(food)
        return one.kind if one else ""

    def _flour_g(self, lines: list[_Line]) -> Fraction:
        return sum((one.grams or Fraction(0) for one in lines if self._kind(one.food) == "flour"), Fraction(0))  # fmt: skip

    @property
    def by_percent(self) -> bool:
        """Is the recipe in baker's percentages only?"""
        return all(one.line.kind == "percent" for one in self.dough)

    def _preferments(self) -> list[tuple[RecipePart, list[_Line]]]:
        return [
            (part, [one for one in self.dough if one.line in part.lines])
            for part in self.recipe.parts
            if part.kind in ("preferment", "soaker")
        ]

    def _ripening_steps(self) -> list[tuple[RecipePart, ReadLine]]:
        """Steps that make a preferment: they name it and wait for hours, or stand before anything else is done."""
        found: list[tuple[RecipePart, ReadLine]] = []
        for number, step in enumerate(self.recipe.steps):
            for part, _ in self.before:
                names = rf"\b{re.escape(part.name)}\b"
                hours = step.time is not None and step.time.most_min >= 180
                first = number == len(found)
                if first and (hours or re.search(names, step.text, re.IGNORECASE)) and not re.search(r"\b(?:add|zugeben|dazu)\b", step.text, re.IGNORECASE):  # fmt: skip
                    found.append((part, step))
                    break
        return found

    # ------------------------------------------------------------ the lesson

    def lesson(self) -> str:
        """The lesson's YAML."""
        out = Lines()
        counted = self.recipe.counted()
        out.add(0, "# From a pasted recipe. Each line of it stands beside what was read; 'asked' marks what was taken until you say.")  # fmt: skip
        out.add(0, f"# Lines: {', '.join(f'{number} {name}' for name, number in counted.items())}.")
        for line in self.recipe.lines:
            if line.kind == "unread":
                out.add(0, f"# not understood: {one_line(line.text)}")
        out.add(0, f"lesson: {quoted(self.recipe.title)}")
        out.add(0, f"written in: {self.region.household}")
        out.add(0, "")
        out.add(0, "base:")
        out.add(1, f"name: {'Teig' if self.recipe.german else 'Dough'}")
        self._formula(out)
        self._before(out)
        out.add(1, f"dough temperature: {DOUGH_C} C", "taken: usual for bread with yeast")
        out.add(
            1, f"left in the bowl: {plain(LEFT_PERCENT)} %", "taken: what sticks to bowl and hands"
        )
        self._base_uses(out)
        split = self._first_proof()
        out.add(1, "method:")
        self._steps(out, self.steps[:split], "base")
        out.add(0, "")
        out.add(0, "variations:")
        out.add(1, f"{key(self.bread)}:")
        if self.recipe.german:
            out.add(
                2, f"many: {quoted(self.bread)}", "taken: the German plural is for you to write"
            )
        self._piece(out)
        self._bread_uses(out)
        out.add(2, "method:")
        self._steps(out, self.steps[split:], "bread")
        return out.text

    def _formula(self, out: Lines) -> None:
        out.add(1, "formula:" if self.by_percent else "weights:")
        merged: dict[str, list[_Line]] = {}
        for one in self.dough:
            merged.setdefault(one.line.written_name if one.refused else one.food, []).append(one)
        for food, lines in merged.items():
            refused = next((one.refused for one in lines if one.refused), "")
            said = " + ".join(one_line(one.line.text) for one in lines)
            total = sum((one.grams or Fraction(0) for one in lines), Fraction(0))
            unit = "%" if self.by_percent else "g"
            if refused or total == 0:
                written = lines[0].line
                amount = f"{plain(written.amount)} {written.unit}" if written.amount else "how much"
                out.add(2, f"{key(food)}: {amount}", f"{said}; {ASKED}: {refused or 'how much of it'}")  # fmt: skip
                continue
            out.add(2, f"{key(food)}: {plain(total, 1 if total >= 10 else 2)} {unit}", self._beside(lines, said))  # fmt: skip

    def _beside(self, lines: list[_Line], said: str) -> str:
        """The pasted line, how wide its sources are, and what was taken."""
        parts = [said]
        for one in lines:
            grams = one.line.grams
            if grams and grams.most_g > grams.least_g * Fraction(105, 100):
                parts.append(f"{plain(grams.least_g, 0)} to {plain(grams.most_g, 0)} g by its sources")  # fmt: skip
            parts += one.line.tells
            parts += [f"{ASKED}: {question}" for question in one.line.asks]
            if one.line.alternatives:
                others = ", ".join(other.food for other in one.line.alternatives)
                parts.append(f"or: {others}")
        return "; ".join(dict.fromkeys(parts))

    def _before(self, out: Lines) -> None:
        """Preferments and soakers, as shares of all the flour."""
        flour = self._flour_g(self.dough)
        if not self.before or not flour:
            return
        out.add(1, "preferments:")
        for part, lines in self.before:
            kind = next((kind for word, kind in _PREFERMENTS.items() if word in part.name.casefold()), "sponge")  # fmt: skip
            out.add(2, f"{key(one_line(part.name).casefold())}:")
            if part.kind == "soaker":
                self._soaker(out, part, lines, flour)
                continue
            own = self._flour_g(lines)
            out.add(3, f"kind: {kind}")
            if not own:
                out.add(3, "pre-fermented flour: ask", f"{ASKED}: no line of it is a flour")
                continue
            out.add(3, f"pre-fermented flour: {plain(own * 100 / flour, 4)} %")
            water = self._sum(lines, "water")
            out.add(3, f"hydration: {plain(water * 100 / own, 4)} %")
            yeast = self._sum(lines, "yeast")
            if yeast:
                out.add(3, f"yeast: {plain(yeast * 100 / own, 4)} %")
            rest = [one for one in lines if self._kind(one.food) not in ("flour", "water", "yeast")]
            if rest:
                out.add(3, "also in it:")
                for one in rest:
                    out.add(4, f"{key(one.food)}: {plain((one.grams or Fraction(0)) * 100 / own, 4)} %", one.line.text)  # fmt: skip
            flours = [one for one in lines if self._kind(one.food) == "flour"]
            if len({one.food for one in self.dough if self._kind(one.food) == "flour"}) > 1:
                out.add(3, "flours:")
                for one in flours:
                    out.add(4, f"{key(one.food)}: {plain((one.grams or Fraction(0)) * 100 / own, 4)} %")  # fmt: skip
            self._ripens(out, part, "10-14 h")
            out.add(3, "at: 20 C", "taken: a cool room")

    def _ripens(self, out: Lines, part: RecipePart, usual: str) -> None:
        """How long a part ripens, and how the recipe says it is mixed."""
        steps = [step for one, step in self.ripening if one is part]
        times = [step.time for step in steps if step.time is not None and step.time.most_min >= 60]
        if times:
            low, high = times[0].least_min, times[0].most_min
            if low == high:
                low, high = low * Fraction(5, 6), high * Fraction(7, 6)
            out.add(3, f"ripens: {plain(low, 0)}-{plain(high, 0)} min", "the recipe's time" if times[0].least_min < times[0].most_min else "the recipe's time, a sixth less to a sixth more: taken")  # fmt: skip
        else:
            out.add(3, f"ripens: {usual}", f"{ASKED}: {LineQuestion('ripening', '12 h')}")
        if steps:
            out.add(3, f"text: {quoted(' '.join(step.text for step in steps))}")

    def _soaker(self, out: Lines, part: RecipePart, lines: list[_Line], flour: Fraction) -> None:
        out.add(3, "kind: soaker")
        out.add(3, "holds:")
        for one in lines:
            out.add(4, f"{key(one.food)}: {plain((one.grams or Fraction(0)) * 100 / flour, 4)} %", one.line.text)  # fmt: skip
        self._ripens(out, part, "8-14 h")
        out.add(3, "at: 5 C", "taken: in the fridge")

    def _sum(self, lines: list[_Line], kind: str) -> Fraction:
        return sum((one.grams or Fraction(0) for one in lines if self._kind(one.food) == kind), Fraction(0))  # fmt: skip

    def _main_flour(self) -> str:
        flours = [one for one in self.dough if self._kind(one.food) == "flour"]
        return max(flours, key=lambda one: one.grams or 0).food if flours else "strong white flour"

    def _base_uses(self, out: Lines) -> None:
        dusting = [(food, line) for food, _, purpose, line in self.uses if purpose == "dusting"]
        if dusting:
            food, line = dusting[0]
            flour = food if self._kind(food) == "flour" else self._main_flour()
            out.add(1, "also used:")
            out.add(2, f"{key(flour)}: 20 g per student for dusting", f"{line.text}; {ASKED}: how much? taken: 20 g a student")  # fmt: skip

    def _bread_uses(self, out: Lines) -> None:
        toppings, others = Lines(), Lines()
        seen: set[tuple[str, str]] = set()
        for food, grams, purpose, line in self.uses:
            if purpose == "dusting" or (food, purpose) in seen:
                continue
            seen.add((food, purpose))
            where = others if purpose == "oiling" else toppings
            for_what = "" if purpose == "topping" else f" for {purpose}"
            name = food or line.written_name
            if grams is None:
                offered = "1 tsp" if purpose == "oiling" else "5 g" if purpose == "glaze" else "3 g"
                if offered == "1 tsp" and not self._spoon(name):
                    offered = "5 g"
                where.add(3, f"{key(name)}: {offered} per piece{for_what}", f"{line.text}; {ASKED}: how much? taken: {offered}")  # fmt: skip
            else:
                each = grams / self.pieces
                where.add(3, f"{key(name)}: {plain(each, 1)} g per piece{for_what}", line.text)
        for name, lines in (("toppings", toppings), ("also used", others)):
            if lines.lines:
                out.add(2, f"{name}:")
                out.lines += lines.lines

    def _spoon(self, name: str) -> bool:
        one = self.larder.get(name)
        return one is not None and one.g_per_ml is not None and one.g_per_ml * TSP_ML > 1

    def _piece(self, out: Lines) -> None:
        total = sum((one.grams or Fraction(0) for one in self.dough), Fraction(0))
        if self.by_percent:
            total = total * 5  # of 500 g of flour
        each = total * (100 - LEFT_PERCENT) / 100 / self.pieces
        said = next((line for line in self.recipe.lines if line.yields), None)
        comment = f"{said.text}: " if said else ""
        grams = Fraction(max(1, round(each / 5) * 5 if each >= 50 else round(each)))
        comment += f"{plain(total, 0)} g of dough, {plain(LEFT_PERCENT)} % less, in {self.pieces}"
        stated = said.yields.grams_each if said and said.yields else None
        if stated and abs(stated - each) <= each / 20:
            grams, comment = Fraction(round(stated)), f"{comment}; the recipe says {plain(stated, 0)} g, within 5 % of it: dough"  # fmt: skip
        elif stated:
            comment += f"; {ASKED}: the recipe says {plain(stated, 0)} g each, which is not within 5 %: baked bread?"  # fmt: skip
        if self.by_percent:
            comment += "; taken: 500 g of flour a piece"
        where = ""
        if self.tin is not None and self.tin.name == "tin":
            ml = self.tin.ml or self.tin.ml_offered or Fraction(1500)
            where = f" in a {plain(ml)} ml tin"
            if self.tin.ml is None:
                comment += f"; {ASKED}: {LineQuestion('tin size', f'{plain(ml)} ml until it is measured with water')}"  # fmt: skip
        out.add(2, f"piece: {plain(grams)} g{where}", comment)
        out.add(
            2, f"pieces: {1 if grams >= 300 else min(self.pieces, 8)}", "one student's share, taken"
        )

    # ------------------------------------------------------------ the method

    def _first_proof(self) -> int:
        """How many steps belong to the dough: up to and with the last proof before it is divided or shaped."""
        steps = self.steps
        shaped = next(
            (n for n, step in enumerate(steps) if step.stage in ("divide", "shape", "pan", "score") or (step.stage == "bake" and step.time)),
            len(steps),
        )  # fmt: skip
        proofs = [n for n in range(shaped) if steps[n].stage == "bulk proof"]
        if proofs:
            return proofs[-1] + 1
        return shaped

    def _steps(
        self, out: Lines, steps: tuple[ReadLine, ...], side: Literal["base", "bread"]
    ) -> None:
        depth = 2 if side == "base" else 3
        proofs = [step for step in steps if step.stage == "bulk proof"]
        heat_step = next((step for step in steps if step.stage == "bake" and step.heat and not step.time), None)  # fmt: skip
        bakes = [step for step in steps if step.stage == "bake" and step.time] if side == "bread" else []  # fmt: skip
        named: set[str] = set()
        if side == "base" and not any(step.stage in ("mix", "knead", "weigh") for step in steps):
            out.add(depth, '- mix: "Mix the dough."', f"{ASKED}: the recipe does not say how it is mixed")  # fmt: skip
            out.add(depth + 1, f"hands: {HANDS_MIN['mix'] + HANDS_MIN['knead']} min", "taken")
        for step in steps:
            if step.stage == "bake":
                if step in bakes[:1]:
                    self._bake(out, depth, step, heat_step)
                else:
                    out.add(depth, f"# read, the plan heats the ovens: {one_line(step.text)}")
            elif step.stage == "bulk proof":
                last = step is proofs[-1]
                stage = ("bulk proof" if side == "base" else "final proof") if last else "rest"
                self._wait(out, depth, step, stage)
            elif step.stage in ("rest", "cool"):
                if step.stage == "cool" or step.time is not None:
                    self._wait(out, depth, step, step.stage if side == "base" or step.stage == "cool" else "bench rest")  # fmt: skip
                else:
                    self._wait(out, depth, step, "rest" if side == "base" else "bench rest")
            else:
                self._hands(out, depth, step, named if side == "base" else None)
        if side == "base" and not proofs:
            out.add(depth, "- bulk proof: 60 min", f"{ASKED}: the recipe names no rise before shaping; 60 min taken")  # fmt: skip
            out.add(depth + 1, "window: 45-90 min", "taken")
            out.add(depth + 1, 'text: "Cover the dough and let it rise."')
            out.add(depth + 1, "ready when: it has doubled", "taken")
        if side == "bread" and not bakes:
            heat = (
                heat_step.heat.written if heat_step and heat_step.heat else self.region.usual_heat
            )
            self._bake_lines(out, depth, "30 min", heat, f"{ASKED}: the recipe names no time in the oven; 30 min taken", "")  # fmt: skip

    def _hands(self, out: Lines, depth: int, step: ReadLine, named: set[str] | None) -> None:
        stage = step.stage or "mix"
        text = one_line(step.text).replace("{", "(").replace("}", ")")
        if named is not None:
            text = self._with_names(text, named)
        out.add(depth, f"- {stage}: {_in_quotes(text)}", "" if step.stage else f"{ASKED}: what is done? taken: mix")  # fmt: skip
        if step.time is not None and stage not in ("divide", "pan"):
            out.add(depth + 1, f"hands: {plain(step.time.most_min)} min")
        else:
            out.add(depth + 1, f"hands: {HANDS_MIN.get(stage, 2)} min", "taken: a tutor's minutes")
        if step.note.startswith("ready when "):
            out.add(depth + 1, f"ready when: {quoted(step.note[11:])}")

    def _with_names(self, text: str, named: set[str]) -> str:
        """The text with each ingredient of the dough in braces where the method names it first."""
        spots: list[tuple[int, int, str]] = []
        for one in self.dough:
            if one.food in named or one.refused:
                continue
            for word in self._words_of(one):
                found = re.search(rf"(?:\b(?:all )?(?:of )?(?:the|your)\s+)?(?<![\w{{]){re.escape(word)}(?![\w}}])", text, re.IGNORECASE)  # fmt: skip
                if found and not any(a < found.end() and found.start() < b for a, b, _ in spots):
                    spots.append((found.start(), found.end(), one.food))
                    named.add(one.food)
                    break
        for start, end, food in sorted(spots, reverse=True):
            text = f"{text[:start]}{{{food}}}{text[end:]}"
        return text

    def _words_of(self, one: _Line) -> list[str]:
        """What a method may call an ingredient, the longest first; one word alone only where one ingredient has it."""
        names = {one.food, one.line.written_name}
        names |= {" ".join(word for word in name.split() if word.casefold() not in STATES) for name in names}  # fmt: skip
        last = {name.split()[-1] for name in names if name.split()}
        mine = sum(
            1 for other in {line.food: line for line in self.dough}.values()
            if last & {name.split()[-1] for name in (other.food, other.line.written_name) if name.split()}
        )  # fmt: skip
        if mine == 1:
            names |= last
        return sorted((name for name in names if len(name) > 1), key=len, reverse=True)

    def _wait(self, out: Lines, depth: int, step: ReadLine, stage: str) -> None:
        least, most = (step.time.least_min, step.time.most_min) if step.time else (None, None)
        usual = {"bulk proof": 60, "final proof": 45, "rest": 10, "bench rest": 10, "cool": 20}[
            stage
        ]
        minutes = least if least is not None else Fraction(usual)
        out.add(depth, f"- {stage}: {plain(minutes)} min", "" if least is not None else f"{ASKED}: how long? taken: {usual} min")  # fmt: skip
        if stage in ("bulk proof", "final proof"):
            if most is not None and least is not None and most > least:
                out.add(depth + 1, f"window: {plain(least)}-{plain(most)} min", "both ends of the recipe's time")  # fmt: skip
            else:
                low, high = window_of(minutes)
                out.add(depth + 1, f"window: {low}-{high} min", "taken: three quarters to one and a half of it")  # fmt: skip
        out.add(depth + 1, f"text: {quoted(step.text)}")
        ready = step.note[11:] if step.note.startswith("ready when ") else ""
        if ready or stage in ("bulk proof", "final proof"):
            out.add(depth + 1, f"ready when: {quoted(ready or 'it has grown and a finger dent fills slowly')}", "" if ready else "taken")  # fmt: skip

    def _bake(self, out: Lines, depth: int, step: ReadLine, heated: ReadLine | None) -> None:
        heat = step.heat or (heated.heat if heated else None)
        written = f"{heat.written.replace('°', '').replace('  ', ' ')}" if heat else self.region.usual_heat  # fmt: skip
        time = step.time
        assert time is not None
        said = [one_line(step.text)]
        if heat is None:
            said.append(f"{ASKED}: how hot? taken: {written}")
        said += [f"{ASKED}: {question}" for question in step.asks]
        if time.most_min > time.least_min:
            said.append(f"{plain(time.least_min)} to {plain(time.most_min)} min: the shorter is planned, then look")  # fmt: skip
        ready = step.note[11:] if step.note.startswith("ready when ") else ""
        self._bake_lines(out, depth, f"{plain(time.least_min)} min", written, "; ".join(said), ready)  # fmt: skip

    def _bake_lines(self, out: Lines, depth: int, time: str, heat: str, comment: str, ready: str) -> None:  # fmt: skip
        kind = "" if re.search(r"fan|gas", heat) else " conventional"
        out.add(depth, f"- bake: {time} at {heat}{kind}", comment)
        out.add(depth + 1, "loss: 12 %", "taken: most breads lose 10 to 15 % of their dough in the oven")  # fmt: skip
        out.add(depth + 1, f"per shelf: {self._per_shelf()}", "taken, for a household oven's shelf")
        load = "In den Ofen schieben, mit trockenen Handschuhen." if self.recipe.german else "Load it with dry gloves, or give it to your tutor."  # fmt: skip
        unload = "Mit zwei trockenen Handschuhen herausnehmen, auf ein Gitter stellen." if self.recipe.german else "Lift it out with two dry gloves and set it on a wire rack."  # fmt: skip
        out.add(depth + 1, f"load: {quoted(load)}", "taken")
        out.add(depth + 1, f"take out: {quoted(unload)}", "taken")
        out.add(depth + 1, f"ready when: {quoted(ready or ('goldbraun und hohl klingend' if self.recipe.german else 'it is well browned and sounds hollow underneath'))}", "" if ready else "taken")  # fmt: skip

    def _per_shelf(self) -> int:
        return 2 if self.tin is not None else 8 if self.pieces > 4 else 1

    # ------------------------------------------------------------ the other files

    def larder_file(self) -> str:
        """What the tutor says once: their cup of flour, their tins; packs and prices come later."""
        out = Lines()
        out.add(
            0,
            "# Your own larder: what you buy, and what your measures hold. Answers here serve every lesson.",
        )
        out.add(0, f"currency: {self.region.currency}")
        out.add(0, "measures:")
        out.add(
            1,
            f"written in: {self.region.household}",
            "whose cups, spoons and pints your recipes mean",
        )
        if self.recipe.flour_cup_g is not None:
            out.add(1, f"cup of flour: {plain(self.recipe.flour_cup_g, 1)} g", "this recipe's own: it gives cups and grams")  # fmt: skip
        elif any(question.key == "cup" for line in self.recipe.lines for question in line.asks):
            grams = self.region.flour_cup_g
            out.add(1, f"cup of flour: {plain(grams, 0)} g", f"{ASKED}: how do you fill it? taken: spooned and levelled; sifted {plain(grams * 113 / 125, 0)}, scooped {plain(grams * 139 / 125, 0)}")  # fmt: skip
        return out.text

    def kitchen(self) -> str:
        """A kitchen to correct: one oven, a few tools."""
        out = Lines()
        out.add(0, "# Taken for granted, all of it: change what your kitchen is.")
        out.add(0, "kitchen: My kitchen")
        out.add(0, f"country: {self.region.country}")
        out.add(
            0, f"emergency number: {_in_quotes(self.region.emergency)}", "taken from the country"
        )
        for name in ("address", "first-aider", "first-aid box", "fire exit"):
            out.add(0, f"{name}: to be written in")
        out.add(0, "ovens:")
        out.add(1, "Oven:")
        out.add(2, "kind: conventional")
        out.add(2, "shelves: 2")
        out.add(2, f"hottest: {'500 F' if self.region.heat == 'F' else '250 C'}")
        out.add(0, "scales:")
        out.add(1, "- 4 x 1 g steps to 5 kg")
        out.add(1, "- 1 x 0.1 g steps to 500 g")
        if self.tin is not None and self.tin.name == "tin":
            ml = self.tin.ml or self.tin.ml_offered or Fraction(1500)
            out.add(0, "tins:")
            out.add(1, f"loaf tin: 4 of {plain(ml)} ml", "measure one with water")
        out.add(0, "trays:")
        out.add(1, "flat tray: 4 of 30 x 40 cm")
        out.add(0, "sinks: 1")
        return out.text

    def class_day(self) -> str:
        """A class day of four to begin with."""
        out = Lines()
        out.add(0, f"class: {quoted(self.recipe.title)}")
        out.add(0, "lesson: lesson.yaml")
        out.add(0, "kitchen: kitchen.yaml")
        out.add(0, "larder: larder.yaml")
        out.add(0, "date: 2027-05-08", "to be changed")
        out.add(0, "start: 10:00")
        out.add(0, "end: 15:00")
        out.add(0, f"region: {self.region.code}")
        if self.recipe.german:
            out.add(0, "language: de")
        out.add(0, "mixing: each person")
        out.add(0, "pace: 1.5", "beginners take one and a half of a tutor's minutes")
        out.add(0, "ask at the door: yes")
        out.add(0, "stations:")
        out.add(1, "A: first bench")
        out.add(
            0,
            "# Nobody has been asked yet: write who comes, and what each must not eat. 'none' is an answer somebody gave.",
        )
        out.add(0, "people:")
        for number in range(1, 5):
            out.add(1, f"- name: {'Gast' if self.recipe.german else 'Guest'} {number}")
            out.add(2, "station: A")
            out.add(2, f"makes: {key(self.bread)}")
            out.add(2, "needs: none")
        return out.text

    def told(self) -> list[str]:
        """What the terminal says of every line that is not simply read."""
        said = []
        for line in self.recipe.lines:
            if line.kind == "unread":
                said.append(f"line {line.number}, not understood: {one_line(line.text)[:100]}")
            inside = [
                q for step in self.recipe.steps if step.number == line.number for q in step.asks
            ]
            for question in dict.fromkeys((*(line.asks if line.kind != "step" else ()), *inside)):
                said.append(f"line {line.number}, asked: {one_line(line.text)[:80]}: {question}")
        return said
