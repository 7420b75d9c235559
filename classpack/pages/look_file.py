"""``look.yaml`` to paper sizes, grids, type, colours and fonts: everything about looks that needs no code."""

from __future__ import annotations

import re
import struct
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from reportlab.pdfbase.ttfonts import TTFError

from classpack.errors import Problem, Spot
from classpack.pages.text_file import inside, template_text
from classpack.reading.school_section import LEAST_CONTRAST, contrast_on_white
from classpack.reading.sections import nearest
from classpack.reading.yaml_lines import Fields, Items, Node, Text, read_nodes
from classpack.typeset.fonts import ROLES, Fonts, open_family
from classpack.typeset.look import PAPERS, SMALLEST, STYLES, Grid, Kind, LadderStep, Look, Type
from classpack.typeset.page_text import POINTS_PER_MM, TemplateError
from classpack.typeset.vocabulary import KINDS

PAPER_MM = (74.0, 1189.0)
"""A side of a sheet: from the short side of A7 to the long side of A0 (ISO 216:2007, table 1)."""
SIZES: Mapping[str, tuple[float, float]] = {
    "title": (12, 120), "least title": (12, 120), "deck": (SMALLEST, 60), "over": (SMALLEST, 60),
    "word": (SMALLEST, 60), "clock": (SMALLEST, 80), "minutes": (SMALLEST, 60), "body": (11, 80),
    "second": (SMALLEST, 80), "lead": (11, 80), "note": (10, 80), "small": (SMALLEST, 60),
    "huge": (12, 120), "heading 2": (11, 80), "heading 3": (11, 80), "heading 4": (10, 80),
    "caution": (11, 80), "table": (10, 80), "column head": (SMALLEST, 60),
    "running title": (11, 60), "running number": (11, 60), "footer": (SMALLEST, 14),
    "gap": (2, 40), "pad": (2, 40), "sign": (28, 200), "tick": (8, 60),
}  # fmt: skip
"""Every size a kind has, in points, the least and the most. 28 points are 10 mm: a safety sign can be told from arm's length."""
CARD_LEAST = dict.fromkeys(("body", "lead", "note", "caution", "table"), 12.0)
"""Cards are read at the bench, with the hands in dough."""
NO_TYPE = ("gap", "pad", "sign", "tick")
LABEL_LEAST = 8.0
LEADING = (1.1, 2.5)
"""From line to line, in type sizes."""
GRID: Mapping[str, tuple[float, float]] = {
    "margin": (14, 120), "top": (14, 120), "foot": (30, 120), "clock": (0, 200), "spine": (0, 220),
    "text": (0, 240), "tick": (0, 60),
}  # fmt: skip
"""The lines of the page in points; 14 points are the 5 mm a printer leaves white. Labels have none of them."""
CLOCK_TO_SPINE, SPINE_TO_TEXT = 5.0, 10.0
"""Less, and the clock, the spine's discs and the words stand in each other, in points."""
LEAST_COLUMN, LEAST_HEIGHT = 150.0, 200.0
"""What must be left of the paper for words, in points: 150 hold four words of body text."""
COLOURS = {
    "ink": 11.0, "soft": LEAST_CONTRAST, "accent": LEAST_CONTRAST, "red": 4.5, "blue": 4.5,
    "green": 4.5, "yellow": 1.0, "white": 1.0,
}  # fmt: skip
"""The contrast of each colour with white; ink reads on the yellow plate as well, at 11 / 2.4 = 4.5. Words: WCAG 2.2, success criterion 1.4.6; signs, whose words are large: 1.4.3 (2023)."""
PALE = {"yellow": 2.4, "white": 1.05}
"""The most contrast with white of what ink stands on."""


def read_look(
    templates: Path,
    *,
    paper: str = "A4",
    style: str = "normal",
    school: str = "",
    logo: Path | None = None,
    colours: Mapping[str, str] = MappingProxyType({}),
) -> Look:
    """The look in ``look.yaml`` of a templates folder.

    Args:
        templates: the folder that holds ``look.yaml`` and ``fonts/``.
        paper: one of ``PAPERS``. With A5 the cards are A5 and everything else A4; ``A5-on-A4`` prints two cards on a sheet.
        style: one of ``STYLES``.
        school: the school's name, printed in the running foot of sheets that have none of their own.
        logo: a picture that ``logo.check_logo`` takes, for mastheads that ask for it.
        colours: by name in place of those of the file, as ``1A1A1A``.

    Raises:
        TemplateError: the file does not say what it must, or an unknown paper, style or colour is asked for.
    """
    path = templates / "look.yaml"
    reader = _LookFile(str(path), read_nodes(template_text(path, str(path), templates), str(path)))
    if paper not in PAPERS:
        reader.stop(
            Spot(str(path), 1), f"there is no paper '{paper}'", f"choose {', '.join(PAPERS)}"
        )
    if style not in STYLES:
        reader.stop(
            Spot(str(path), 1), f"there is no style '{style}'", f"choose {', '.join(STYLES)}"
        )
    return reader.look(templates, paper, style, school, logo, colours)


@dataclass(frozen=True, slots=True)
class _Style:
    colours: Mapping[str, str]
    thicker: float
    least_body: float
    filled: bool


class _LookFile:
    """Takes ``look.yaml`` apart. Numbers and colours out of bounds are gathered; what cannot be read at all stops it."""

    def __init__(self, file: str, root: Node) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.root = self.fields(root, "the look")

    def stop(self, spot: Spot, wrong: str, right: str) -> None:
        raise TemplateError([*self.problems, Problem(spot, wrong, right)])

    def note(self, spot: Spot, wrong: str, right: str) -> None:
        self.problems.append(Problem(spot, wrong, right))

    def bounded(self, spot: Spot, what: str, value: float, bounds: tuple[float, float]) -> float:
        """The value, noted where it lies outside its bounds."""
        least, most = bounds
        if not least <= value <= most:
            self.note(spot, f"{what} is {value:g}", f"it must lie between {least:g} and {most:g}")
        return value

    def fields(self, node: Node | None, what: str) -> Fields:
        if not isinstance(node, Fields):
            spot = node.spot if node else Spot(self.file, 1)
            self.stop(
                spot,
                f"{what} is missing or not a list of 'key: value'",
                "take it from the look.yaml that came along",
            )
        assert isinstance(node, Fields)
        return node

    def part(self, name: str) -> Fields:
        return self.fields(self.root.get(name), f"'{name}'")

    def number(self, node: Node, what: str) -> float:
        if not isinstance(node, Text) or not re.fullmatch(r"\d+(\.\d+)?", node.value):
            self.stop(node.spot, f"{what} is not a number", "write points, as in '12.5'")
        assert isinstance(node, Text)
        return float(node.value)

    def type(self, node: Node, name: str) -> Type:
        match = (
            re.fullmatch(r"(\d+(?:\.\d+)?)(?:/(\d+(?:\.\d+)?))?", node.value)
            if isinstance(node, Text)
            else None
        )
        if not match:
            self.stop(
                node.spot,
                f"'{name}' is not a type size",
                "write size/leading in points, as in '13/17.5'",
            )
        assert match
        size = float(match[1])
        return Type(size, float(match[2]) if match[2] else size * 1.2)

    def bounded_type(self, kind: str, spot: Spot, name: str, type_: Type) -> Type:
        """The type, noted where nobody could read it or nothing else would have room."""
        least, most = SIZES[name]
        if kind == "labels" and name not in NO_TYPE:
            least = LABEL_LEAST
        elif kind == "card":
            least = CARD_LEAST.get(name, least)
        self.bounded(spot, f"'{name}'", type_.size, (least, most))
        tight, loose = (factor * type_.size for factor in LEADING)
        if name not in NO_TYPE and not tight <= type_.leading + 0.01 <= loose + 0.02:
            wrong = f"the lines of '{name}' are {type_.leading:g} points apart"
            self.note(spot, wrong, f"for {type_.size:g} points write {tight:.4g} to {loose:.4g}")
        return type_

    def types(self, kind: str, node: Node | None, base: Mapping[str, Type]) -> dict[str, Type]:
        """Sizes over those of ``base``; ``scale`` sets all type of the base smaller, in half points."""
        types = dict(base)
        if node is None:
            return types
        for key, value in self.fields(node, "sizes").fields:
            if key.value == "scale":
                factor = self.bounded(value.spot, "'scale'", self.number(value, "scale"), (0.4, 2))
                for name in types:
                    if name not in ("footer", "gap", "tick"):
                        scaled = _scaled(types[name], factor)
                        types[name] = self.bounded_type(kind, value.spot, name, scaled)
            elif key.value in SIZES:
                type_ = self.type(value, key.value)
                types[key.value] = self.bounded_type(kind, value.spot, key.value, type_)
            else:
                self.stop(key.spot, f"there is no size '{key.value}'", nearest(key.value, SIZES))
        return types

    def grid(self, kind: str, node: Node | None, base: dict[str, float]) -> dict[str, float]:
        grid = dict(base)
        for key, value in self.fields(node, "grid").fields if node else ():
            if key.value not in Grid.__slots__:
                self.stop(
                    key.spot,
                    f"the grid has no '{key.value}'",
                    f"it has {', '.join(Grid.__slots__)}",
                )
            bounds = (0.0, GRID[key.value][1]) if kind == "labels" else GRID[key.value]
            number = self.number(value, key.value)
            grid[key.value] = self.bounded(value.spot, f"'{key.value}'", number, bounds)
        if node and {"clock", "spine", "text"} <= grid.keys():
            clock, spine, text = grid["clock"], grid["spine"], grid["text"]
            if (clock or spine or text) and not (
                clock + CLOCK_TO_SPINE <= spine and spine + SPINE_TO_TEXT <= text
            ):
                self.note(
                    node.spot,
                    f"clock, spine and text are {clock:g}, {spine:g} and {text:g}: they would stand in each other",
                    f"spine is at least {CLOCK_TO_SPINE:g} more than clock, text {SPINE_TO_TEXT:g} more than spine; or all three are 0",
                )
        return grid

    def kinds(self, paper: str) -> dict[str, tuple[dict[str, float], list[dict[str, Type]]]]:
        """Grid and ladder of every kind, with ``like`` and the A5 changes worked in."""
        found: dict[str, tuple[dict[str, float], list[dict[str, Type]]]] = {}
        changes = self.root.get("A5 cards")
        for key, node in self.part("kinds").fields:
            entry = self.fields(node, f"kind '{key.value}'")
            like = entry.get("like")
            base: tuple[dict[str, float], list[dict[str, Type]]] = ({}, [{}])
            if isinstance(like, Text):
                if like.value not in found:
                    self.stop(
                        like.spot,
                        f"there is no kind '{like.value}' above",
                        "name one that stands further up",
                    )
                base = found[like.value]
            grid, steps = self.changed(key.value, entry, base)
            missing = [name for name in Grid.__slots__ if name not in grid]
            if missing:
                self.stop(
                    key.spot,
                    f"kind '{key.value}' has no {', '.join(missing)} in its grid",
                    "give it in points",
                )
            if lacking := [name for name in SIZES if name not in steps[0]]:
                self.stop(
                    key.spot,
                    f"kind '{key.value}' has no {', '.join(lacking)} in its sizes",
                    "give it in points, or write 'like:' and a kind that has it",
                )
            found[key.value] = (grid, steps)
        for name in KINDS:
            if name not in found:
                spot = self.part("kinds").spot
                self.stop(
                    spot, f"there is no kind '{name}'", "take it from the look.yaml that came along"
                )
        for key, node in self.fields(changes, "A5 cards").fields if changes else ():
            if key.value not in found:
                self.stop(key.spot, f"there is no kind '{key.value}'", f"choose {', '.join(found)}")
            entry = self.fields(node, key.value)
            changed = self.changed(key.value, entry, found[key.value])
            if paper.startswith("A5"):
                found[key.value] = changed
        return found

    def changed(
        self, kind: str, entry: Fields, base: tuple[dict[str, float], list[dict[str, Type]]]
    ) -> tuple[dict[str, float], list[dict[str, Type]]]:
        first = self.types(kind, entry.get("sizes"), base[1][0])
        steps = [first]
        ladder = entry.get("steps")
        for node in ladder.items if isinstance(ladder, Items) else ():
            steps.append(self.types(kind, node, first))
        return self.grid(kind, entry.get("grid"), base[0]), steps

    def colours(self, node: Node | None) -> dict[str, str]:
        found: dict[str, str] = {}
        for key, value in self.fields(node, "colours").fields if node else ():
            if key.value not in COLOURS:
                self.stop(
                    key.spot, f"there is no colour '{key.value}'", f"choose {', '.join(COLOURS)}"
                )
            text = value.value if isinstance(value, Text) else ""
            found[key.value] = self.colour(text, value.spot)
            contrast = contrast_on_white(text.removeprefix("#"))
            if contrast < COLOURS[key.value]:
                self.note(
                    value.spot,
                    f"'{key.value}' is too pale to read on paper, {contrast:.1f} to 1",
                    f"choose a darker one: it needs {COLOURS[key.value]:g} to 1",
                )
            most = PALE.get(key.value, contrast)
            if contrast > most:
                self.note(
                    value.spot,
                    f"'{key.value}' is too dark: what stands on it could not be read",
                    f"choose a paler one: at most {most:g} to 1 from white",
                )
        return found

    def colour(self, text: str, spot: Spot) -> str:
        if not re.fullmatch(r"#?[0-9A-Fa-f]{6}", text):
            self.stop(spot, f"'{text}' is no colour", "write six hexadecimal digits, as in 00485A")
        text = text.removeprefix("#")
        return " ".join(f"{int(text[i : i + 2], 16) / 255:.3g}" for i in (0, 2, 4))

    def style(self, name: str) -> _Style:
        """One style; all are looked at, whichever is printed."""
        node = self.fields(self.part("styles").get(name), f"style '{name}'")
        numbers = {"thicker": 1.0, "least body": 0.0}
        for key, bounds in (("thicker", (0.5, 4.0)), ("least body", (12.0, 24.0))):
            if value := node.get(key):
                number = self.number(value, key)
                numbers[key] = self.bounded(value.spot, f"'{key}'", number, bounds)
        filled = node.get("filled")
        if filled and not (isinstance(filled, Text) and filled.value in ("yes", "no")):
            self.note(filled.spot, "'filled' is neither yes nor no", 'write "yes" or "no"')
        no = isinstance(filled, Text) and filled.value == "no"
        colours = self.colours(node.get("colours"))
        return _Style(colours, numbers["thicker"], numbers["least body"], not no)

    def look(
        self,
        folder: Path,
        paper: str,
        style: str,
        school: str,
        logo: Path | None,
        own_colours: Mapping[str, str],
    ) -> Look:
        styles = {name: self.style(name) for name in STYLES}
        chosen = styles[style]
        papers: dict[str, tuple[float, float]] = {}
        for key, node in self.part("papers").fields:
            sides = node.value.split() if isinstance(node, Text) else []
            if len(sides) != 2:
                self.stop(
                    node.spot,
                    f"paper '{key.value}' is not two lengths",
                    "write millimetres, as in '210 297'",
                )
            lengths = [
                self.bounded(
                    node.spot,
                    f"a side of paper '{key.value}' in mm",
                    self.number(Text(side, node.spot), f"a side of paper '{key.value}'"),
                    PAPER_MM,
                )
                for side in sides
            ]
            papers[key.value] = (lengths[0] * POINTS_PER_MM, lengths[1] * POINTS_PER_MM)
        for name in ("A4", "A5", "Letter"):
            if name not in papers:
                spot = self.part("papers").spot
                self.stop(spot, f"there is no paper '{name}'", "write its two sides in millimetres")
        colours = self.colours(self.root.get("colours"))
        if lacking := [name for name in COLOURS if name not in colours]:
            spot = self.part("colours").spot
            self.stop(
                spot, f"there is no colour {', '.join(lacking)}", "write six hexadecimal digits"
            )
        top = Spot(self.file, 1)
        for name, colour in own_colours.items():
            if name not in colours:
                self.stop(top, f"there is no colour '{name}'", f"choose {', '.join(colours)}")
            colours[name] = self.colour(colour, top)
        colours |= chosen.colours
        kinds: dict[str, Kind] = {}
        for name, (grid, steps) in self.kinds(paper).items():
            size = (
                papers["A5" if name == "card" else "A4"]
                if paper.startswith("A5")
                else papers[paper]
            )
            if chosen.least_body and name != "labels":
                grid, steps = _large(grid, steps, chosen.least_body)
            if not self.problems:
                self.raise_if_no_room(name, size, grid)
            kinds[name] = Kind(
                name,
                size,
                Grid(**grid),
                tuple(LadderStep(MappingProxyType(step)) for step in steps),
            )
        fonts = self.fonts(folder)
        if self.problems:
            raise TemplateError(self.problems)
        return Look(
            MappingProxyType(kinds),
            MappingProxyType(papers),
            MappingProxyType(colours),
            fonts,
            style,
            chosen.thicker,
            chosen.filled,
            (papers["A4"][1], papers["A4"][0]) if paper == "A5-on-A4" else None,
            school,
            logo,
        )

    def raise_if_no_room(
        self, name: str, paper: tuple[float, float], grid: Mapping[str, float]
    ) -> None:
        """Between the margins there is room for words, also when a sheet is turned.

        Raises:
            TemplateError: at the kind's line, with what was noted before.
        """
        column = min(paper) - 2 * grid["margin"] - grid["text"]
        height = min(paper) - grid["top"] - grid["foot"]
        if column < LEAST_COLUMN or height < LEAST_HEIGHT:
            spot = next((key.spot for key, _ in self.part("kinds").fields if key.value == name))
            self.stop(
                spot,
                f"kind '{name}' has {column:.0f} by {height:.0f} points left for words on its paper",
                f"leave {LEAST_COLUMN:g} by {LEAST_HEIGHT:g}: take a larger paper, smaller margins or a text edge further left",
            )

    def fonts(self, folder: Path) -> Fonts:
        families = []
        for key, node in self.part("fonts").fields:
            files = node.value.split() if isinstance(node, Text) else []
            if len(files) != len(ROLES):
                self.stop(
                    node.spot,
                    f"family '{key.value}' does not name four files",
                    f"name {', '.join(ROLES)}, in this order",
                )
            paths = [folder / file for file in files]
            for path in paths:
                if not inside(path, folder):
                    self.stop(
                        node.spot,
                        f"the font file '{path.name}' is not in the templates' folder",
                        "copy it there: a folder of templates is whole in itself",
                    )
                if not path.is_file():
                    self.stop(
                        node.spot,
                        f"there is no font file '{path.name}'",
                        f"put it beside the others in '{path.parent.name}/'",
                    )
            try:
                families.append(open_family((paths[0], paths[1], paths[2], paths[3])))
            except (OSError, TTFError, struct.error, IndexError, KeyError, ValueError):
                self.stop(
                    node.spot,
                    f"a font of '{key.value}' is no whole TrueType file",
                    "take it from classpack's own 'fonts/', or from its maker again",
                )
        return Fonts(tuple(families))


def _scaled(type_: Type, factor: float) -> Type:
    """Set smaller or larger in steps of half a point, but never under the smallest type there is."""
    size = max(min(SMALLEST, type_.size), round(type_.size * factor * 2) / 2)
    return Type(size, max(LEADING[0] * size, round(type_.leading * factor * 4) / 4))


def _large(
    grid: dict[str, float], steps: list[dict[str, Type]], least: float
) -> tuple[dict[str, float], list[dict[str, Type]]]:
    """Large print: the roomiest step, grown until its body text has ``least`` points; the clock column grows along."""
    first = steps[0]
    factor = max(1.0, least / first["body"].size)
    if factor == 1.0:
        return grid, steps[:1]
    grown = {
        name: type_ if name in ("title", "gap", "pad", "sign") else _scaled(type_, factor)
        for name, type_ in first.items()
    }
    for name in ("table", "note", "second", "small"):
        if grown[name].size < least - 2:
            grown[name] = Type(least - 2, (least - 2) * 1.3)
    widths = {
        name: grid[name] * (1 + (factor - 1) * 0.85) for name in ("clock", "spine", "text", "tick")
    }
    return grid | widths, [grown]
