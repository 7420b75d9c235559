"""``look.yaml`` to paper sizes, grids, type, colours and fonts: everything about looks that needs no code."""

from __future__ import annotations

import re
import struct
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from reportlab.pdfbase.ttfonts import TTFError

from classpack.errors import Problem, Spot
from classpack.pages.text_file import template_text
from classpack.reading.yaml_lines import Fields, Items, Node, Text, read_nodes
from classpack.typeset.fonts import ROLES, Fonts, open_family
from classpack.typeset.look import PAPERS, SMALLEST, STYLES, Grid, Kind, LadderStep, Look, Type
from classpack.typeset.page_text import POINTS_PER_MM, TemplateError


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
    reader = _LookFile(str(path), read_nodes(template_text(path, str(path)), str(path)))
    if paper not in PAPERS:
        reader.stop(
            Spot(str(path), 1), f"there is no paper '{paper}'", f"choose {', '.join(PAPERS)}"
        )
    if style not in STYLES:
        reader.stop(
            Spot(str(path), 1), f"there is no style '{style}'", f"choose {', '.join(STYLES)}"
        )
    return reader.look(templates, paper, style, school, logo, colours)


class _LookFile:
    """Takes ``look.yaml`` apart; the first thing that does not fit stops it."""

    def __init__(self, file: str, root: Node) -> None:
        self.file = file
        self.root = self.fields(root, "the look")

    def stop(self, spot: Spot, wrong: str, right: str) -> None:
        raise TemplateError([Problem(spot, wrong, right)])

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

    def types(self, node: Node | None, base: Mapping[str, Type]) -> dict[str, Type]:
        """Sizes over those of ``base``; ``scale`` sets all type of the base smaller, in half points."""
        types = dict(base)
        if node is None:
            return types
        for key, value in self.fields(node, "sizes").fields:
            if key.value == "scale":
                factor = self.number(value, "scale")
                for name in types:
                    if name not in ("footer", "gap", "tick"):
                        types[name] = _scaled(types[name], factor)
            else:
                types[key.value] = self.type(value, key.value)
        return types

    def grid(self, node: Node | None, base: dict[str, float]) -> dict[str, float]:
        grid = dict(base)
        for key, value in self.fields(node, "grid").fields if node else ():
            if key.value not in Grid.__slots__:
                self.stop(
                    key.spot,
                    f"the grid has no '{key.value}'",
                    f"it has {', '.join(Grid.__slots__)}",
                )
            grid[key.value] = self.number(value, key.value)
        return grid

    def kinds(self, paper: str) -> dict[str, tuple[dict[str, float], list[dict[str, Type]]]]:
        """Grid and ladder of every kind, with ``like`` and the A5 changes worked in."""
        found: dict[str, tuple[dict[str, float], list[dict[str, Type]]]] = {}
        changes = self.root.get("A5 cards") if paper.startswith("A5") else None
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
            grid, steps = self.changed(entry, base)
            missing = [name for name in Grid.__slots__ if name not in grid]
            if missing:
                self.stop(
                    key.spot,
                    f"kind '{key.value}' has no {', '.join(missing)} in its grid",
                    "give it in points",
                )
            found[key.value] = (grid, steps)
        for key, node in self.fields(changes, "A5 cards").fields if changes else ():
            if key.value not in found:
                self.stop(key.spot, f"there is no kind '{key.value}'", f"choose {', '.join(found)}")
            found[key.value] = self.changed(self.fields(node, key.value), found[key.value])
        return found

    def changed(
        self, entry: Fields, base: tuple[dict[str, float], list[dict[str, Type]]]
    ) -> tuple[dict[str, float], list[dict[str, Type]]]:
        first = self.types(entry.get("sizes"), base[1][0])
        steps = [first]
        ladder = entry.get("steps")
        for node in ladder.items if isinstance(ladder, Items) else ():
            steps.append(self.types(node, first))
        return self.grid(entry.get("grid"), base[0]), steps

    def colours(self, node: Node | None) -> dict[str, str]:
        return {
            key.value: self.colour(value.value if isinstance(value, Text) else "", value.spot)
            for key, value in (self.fields(node, "colours").fields if node else ())
        }

    def colour(self, text: str, spot: Spot) -> str:
        if not re.fullmatch(r"#?[0-9A-Fa-f]{6}", text):
            self.stop(spot, f"'{text}' is no colour", "write six hexadecimal digits, as in 00485A")
        text = text.removeprefix("#")
        return " ".join(f"{int(text[i : i + 2], 16) / 255:.3g}" for i in (0, 2, 4))

    def look(
        self,
        folder: Path,
        paper: str,
        style: str,
        school: str,
        logo: Path | None,
        own_colours: Mapping[str, str],
    ) -> Look:
        styles = self.fields(self.part("styles").get(style), f"style '{style}'")
        papers: dict[str, tuple[float, float]] = {}
        for key, node in self.part("papers").fields:
            sides = node.value.split() if isinstance(node, Text) else []
            if len(sides) != 2:
                self.stop(
                    node.spot,
                    f"paper '{key.value}' is not two lengths",
                    "write millimetres, as in '210 297'",
                )
            papers[key.value] = (float(sides[0]) * POINTS_PER_MM, float(sides[1]) * POINTS_PER_MM)
        colours = self.colours(self.root.get("colours"))
        top = Spot(self.file, 1)
        for name, colour in own_colours.items():
            if name not in colours:
                self.stop(top, f"there is no colour '{name}'", f"choose {', '.join(colours)}")
            colours[name] = self.colour(colour, top)
        colours |= self.colours(styles.get("colours"))
        least = styles.get("least body")
        kinds: dict[str, Kind] = {}
        for name, (grid, steps) in self.kinds(paper).items():
            size = (
                papers["A5" if name == "card" else "A4"]
                if paper.startswith("A5")
                else papers[paper]
            )
            if least is not None and name != "labels":
                grid, steps = _large(grid, steps, self.number(least, "least body"))
            kinds[name] = Kind(
                name,
                size,
                Grid(**grid),
                tuple(LadderStep(MappingProxyType(step)) for step in steps),
            )
        thicker, filled = styles.get("thicker"), styles.get("filled")
        return Look(
            MappingProxyType(kinds),
            MappingProxyType(papers),
            MappingProxyType(colours),
            self.fonts(folder),
            style,
            self.number(thicker, "thicker") if thicker else 1,
            not (isinstance(filled, Text) and filled.value == "no"),
            (papers["A4"][1], papers["A4"][0]) if paper == "A5-on-A4" else None,
            school,
            logo,
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
    return Type(size, round(type_.leading * factor * 4) / 4)


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
