"""How a sheet is set: its look, its kind, one step of the type ladder, and inline content as styled words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from classpack.errors import Problem
from classpack.typeset.fonts import missing_letters_words, tidy
from classpack.typeset.look import Kind, LadderStep, Look, Type
from classpack.typeset.page_text import Element
from classpack.typeset.text import Ink, Paragraph, TextSpan

Content = Sequence[Element | str]


@dataclass(frozen=True)
class Setting:
    """What every rule needs: look, kind, one step of its ladder, and the words of the line code."""

    look: Look
    kind: Kind
    step: LadderStep
    code_words: dict[str, str]
    inks: dict[tuple[str, float, bool, bool], Ink] = field(default_factory=dict)

    @cached_property
    def width(self) -> float:
        """From margin to margin."""
        return self.kind.paper[0] - 2 * self.kind.grid.margin

    @cached_property
    def ink_colour(self) -> str:
        return self.look.colours["ink"]

    def colour(self, tone: str) -> str:
        return self.look.colours[tone]

    def ink(self, tone: str, size: float, bold: bool = False, italic: bool = False) -> Ink:
        key = (tone, size, bold, italic)
        ink = self.inks.get(key)
        if ink is None:
            ink = self.inks[key] = Ink(self.look.fonts.face(bold, italic), size, self.colour(tone))
        return ink

    def type(self, name: str) -> Type:
        return self.step[name]

    def plain(
        self, text: str, type_: Type, tone: str = "ink", bold: bool = False
    ) -> list[TextSpan]:
        """Words of an attribute."""
        ink = self.ink(tone, type_.size, bold)
        parts = self.look.fonts.split(tidy(text).strip(" "), bold, False)
        return [
            TextSpan(t, ink if ink.face is face else replace(ink, face=face))
            for face, t in parts
            if t
        ]

    def spans(
        self,
        content: Content,
        type_: Type,
        tone: str = "ink",
        bold: bool = False,
        ends: bool = True,
    ) -> list[TextSpan]:
        """Inline content as spans, outer white space taken off."""
        out: list[TextSpan] = []
        self._collect(content, type_.size, tone, bold, False, "", False, out)
        if ends:
            while out and out[0].text != "\n" and not out[0].blank and not out[0].text.lstrip(" "):
                out.pop(0)
            while (
                out and out[-1].text != "\n" and not out[-1].blank and not out[-1].text.rstrip(" ")
            ):
                out.pop()
            if out and not out[0].blank and out[0].text != "\n":
                out[0] = replace(out[0], text=out[0].text.lstrip(" "))
            if out and not out[-1].blank and out[-1].text != "\n":
                out[-1] = replace(out[-1], text=out[-1].text.rstrip(" "))
        return out

    def _collect(
        self,
        content: Content,
        size: float,
        tone: str,
        bold: bool,
        italic: bool,
        link: str,
        tied: bool,
        out: list[TextSpan],
    ) -> None:
        for child in content:
            if isinstance(child, str):
                text = tidy(child)
                if tied:
                    text = text.replace(" ", "\u00a0")
                ink = self.ink(tone, size, bold, italic)
                for face, part in self.look.fonts.split(text, bold, italic):
                    out.append(
                        TextSpan(part, ink if face is ink.face else replace(ink, face=face), link)
                    )
                continue
            inner = child.children
            match child.tag:
                case "strong":
                    self._collect(inner, size, tone, True, italic, link, tied, out)
                case "em":
                    self._collect(inner, size, tone, bold, True, link, tied, out)
                case "soft":
                    self._collect(inner, size, "soft", bold, italic, link, tied, out)
                case "accent":
                    self._collect(inner, size, "accent", True, italic, link, tied, out)
                case "small":
                    smaller = max(9.5 if size > 9.5 else 7, round(size * 0.82 * 2) / 2)
                    self._collect(inner, smaller, tone, bold, italic, link, tied, out)
                case "nobr":
                    self._collect(inner, size, tone, bold, italic, link, True, out)
                case "link":
                    self._collect(inner, size, "accent", bold, italic, child.text("to"), tied, out)
                case "br":
                    out.append(TextSpan("\n", self.ink(tone, size)))
                case "tick":
                    out.append(TextSpan("☐", self.ink(tone, size)))
                case _:
                    out.append(
                        TextSpan("", self.ink(tone, size), blank=child.points("width") or 40)
                    )

    def paragraph(
        self,
        content: Content,
        measure: float,
        size: str = "body",
        tone: str = "ink",
        bold: bool = False,
        align: float = 0,
        tag: str = "P",
    ) -> Paragraph:
        type_ = self.type(size)
        return Paragraph(
            self.spans(content, type_, tone, bold), measure, type_.leading, type_.size, align, tag
        )

    def loose(self, size: str) -> float:
        """White between paragraphs of one entry."""
        return 1.0 + self.type(size).leading * 0.03

    @cached_property
    def edge(self) -> float:
        """The right margin seen from the text edge."""
        return self.width - self.kind.grid.text


def missing_letters(look: Look, element: Element) -> list[Problem]:
    """A problem for every text of the element that holds a letter no font has."""
    problems: list[Problem] = []
    texts = [value for value in element.values.values() if isinstance(value, str)]
    texts += [child for child in element.children if isinstance(child, str)]
    for text in texts:
        lacking = look.fonts.lacks(text)
        if lacking:
            right = "write it in Latin, Greek or Cyrillic letters, or add a font to look.yaml"
            problems.append(
                Problem(element.spot, missing_letters_words(lacking, tidy(text).strip()), right)
            )
    for child in element.children:
        if isinstance(child, Element):
            problems += missing_letters(look, child)
    return problems
