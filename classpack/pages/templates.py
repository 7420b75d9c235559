"""Templates: jinja2 set up once. Filling one yields page text (or HTML, CSV); a mistake in it becomes ``file:line``.

Templates are sandboxed and everything they print is escaped, so neither a template nor a name in a booking list can reach
outside the page. Elements carry their place in the template along, so that a wrong attribute is told there and not at
some line of the filled text.
"""

from __future__ import annotations

import dataclasses
import re
import traceback
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType
from typing import Any

import jinja2
from jinja2.exceptions import SecurityError

from classpack.errors import LessonError, Problem, Spot
from classpack.pages.compiled import compiled_templates
from classpack.pages.filters import Format, as_read, format_of, number_filters
from classpack.pages.template_limits import Budget, LimitedEnvironment, TooMuch, text_of
from classpack.pages.text_file import inside, template_text
from classpack.pages.words import PhraseError, read_words
from classpack.typeset.page_text import SPOT, Sheet, TemplateError, parse

_TAG = re.compile(
    r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}|<!--.*?-->|<([a-z][a-z-]*)(?=[\s/>{])", re.DOTALL
)
_MARK = re.compile(rf' {SPOT}="[^"]*"')


class NotPrintable(Exception):
    """Something reached the page without its filter."""


class _Loader(jinja2.BaseLoader):
    """Reads templates and writes each element's place beside it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def get_source(
        self, environment: jinja2.Environment, template: str
    ) -> tuple[str, str, Callable[[], bool]]:
        path = self.folder / template
        if not inside(path, self.folder) or not path.is_file():
            raise jinja2.TemplateNotFound(template)
        source = template_text(path, f"{self.folder.name}/{template}", self.folder)
        if template.endswith(".xml"):
            source = _with_places(source, f"{self.folder.name}/{template}")
        return source, f"{self.folder.name}/{template}", lambda: True


def _with_places(source: str, name: str) -> str:
    """The source with a mark in every start tag; line numbers stay as they are."""
    out: list[str] = []
    at = line = 0
    line_start = 0
    for match in _TAG.finditer(source):
        if match[1] is None:
            continue
        line += source.count("\n", at, match.start())
        line_start = source.rfind("\n", 0, match.start()) + 1
        out.append(source[at : match.end()])
        out.append(f' {SPOT}="{name}:{line + 1}:{match.start() - line_start + 1}"')
        line += source.count("\n", match.start(), match.end())
        at = match.end()
    out.append(source[at:])
    return "".join(out)


class _Missing(jinja2.StrictUndefined):
    """Says what there is when a template asks for what there is not."""

    @property
    def _undefined_message(self) -> str:
        name, thing = self._undefined_name, self._undefined_obj
        if self._undefined_hint:
            return str(self._undefined_hint)
        if thing is jinja2.utils.missing:
            return f"there is no value '{name}' here"
        has = _parts_of(thing)
        listed = f"; it has {', '.join(has)}" if has else ""
        return f"the {_kind_of(thing)} has no '{name}'{listed}"


def _parts_of(thing: object) -> list[str]:
    """What a template may ask a value for: a mapping's keys, a dataclass's fields."""
    if isinstance(thing, Mapping):
        return sorted(map(str, thing))
    return [f.name for f in dataclasses.fields(thing)] if dataclasses.is_dataclass(thing) else []


def _kind_of(thing: object) -> str:
    """A class's name as words: ``RecipeCard`` is a recipe card."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", type(thing).__name__).lower()


def _printable(value: Any) -> Any:
    if value is None:
        raise NotPrintable("None would print here")
    if isinstance(value, (Fraction, Decimal, float)):
        raise NotPrintable(f"the bare number {value} would print here, without its unit")
    if isinstance(value, bool):
        raise NotPrintable(f"{value} would print here")
    return value


class Templates:
    """The templates of one folder in one language.

    Args:
        folder: holds ``pdf/``, ``html/`` and ``words/<language>/``.
        language: as in ``en``.
        filters: more filters by name, or others in place of those of ``filters.number_filters``.
        form: how numbers, dates and degrees are written; the language's own when not given.

    Raises:
        TemplateError: the words cannot be read.
    """

    def __init__(
        self,
        folder: Path,
        language: str = "en",
        filters: Mapping[str, Callable[..., Any]] = MappingProxyType({}),
        form: Format | None = None,
    ) -> None:
        self.folder, self.language = folder, language
        self.words = read_words(folder, language)
        try:
            self.form = form or format_of(self.words)
            own = number_filters(self.form)
        except PhraseError as error:
            raise TemplateError(
                [Problem(Spot(f"words/{language}/format.yaml", 1), error.wrong, error.right)]
            ) from None
        self._environment = LimitedEnvironment(
            loader=_Loader(folder),
            undefined=_Missing,
            autoescape=True,
            trim_blocks=True,
            lstrip_blocks=True,
            finalize=_printable,
            auto_reload=False,
            bytecode_cache=compiled_templates(),
        )
        self._environment.globals["words"] = self.words
        self._environment.filters.update({**own, **filters})

    def fill(self, name: str, **values: Any) -> str:
        """The text a template yields.

        Raises:
            TemplateError: at ``file:line``, for every kind of mistake in the template, the words or the values' names.
        """
        return _MARK.sub("", as_read(self._filled(name, values), self.form))

    def pages(self, name: str, **values: Any) -> tuple[Sheet, ...]:
        """The sheets a template yields; mistakes in the page text are told at their line in the template.

        Raises:
            TemplateError: as ``fill``, and for page text that is not what ``templates/README.md`` allows.
        """
        shown = f"{self.folder.name}/{name}"
        sheets = parse(as_read(self._filled(name, values), self.form), shown)
        if not sheets:
            wrong, right = (
                "there is no sheet",
                'write <sheet title="..."> with blocks inside </sheet>',
            )
            raise TemplateError([Problem(Spot(shown, 1), wrong, right)])
        return sheets

    def allergen(self, name: str) -> str:
        """What an allergen is called in the language of the templates that have a filter for it."""
        return str(self._environment.filters["allergen"](name))

    def _filled(self, name: str, values: dict[str, Any]) -> str:
        shown = f"{self.folder.name}/{name}"
        try:
            self._environment.budget = Budget()
            return text_of(self._environment.get_template(name).generate(values))
        except jinja2.TemplateSyntaxError as error:
            spot = Spot(error.filename or shown, error.lineno)
            raise TemplateError(
                [
                    Problem(
                        spot,
                        _sentence(error.message or "this cannot be read"),
                        "see templates/README.md",
                    )
                ]
            ) from None
        except jinja2.TemplateNotFound as error:
            raise TemplateError(
                [
                    Problem(
                        _place(error, shown),
                        f"there is no template '{error.name}'",
                        f"put it in '{self.folder.name}/'",
                    )
                ]
            ) from None
        except LessonError:
            raise
        except RecursionError:
            wrong, right = "this template includes itself without end", "take one of the two away"
            raise TemplateError([Problem(Spot(shown, 1), wrong, right)]) from None
        except TooMuch as error:
            right = "keep to the loops a sheet needs"
            raise TemplateError([Problem(_place(error, shown), str(error), right)]) from None
        except MemoryError:
            wrong, right = "this takes more memory than there is", "keep to the loops a sheet needs"
            raise TemplateError([Problem(Spot(shown, 1), wrong, right)]) from None
        except PhraseError as error:
            raise TemplateError([Problem(_place(error, shown), error.wrong, error.right)]) from None
        except NotPrintable as error:
            raise TemplateError(
                [
                    Problem(
                        _place(error, shown),
                        str(error),
                        "use a filter such as grams, minutes or count, or test for it",
                    )
                ]
            ) from None
        except SecurityError as error:
            raise TemplateError(
                [
                    Problem(
                        _place(error, shown),
                        _sentence(str(error)),
                        "templates only choose words and order",
                    )
                ]
            ) from None
        except jinja2.UndefinedError as error:
            wrong, _, right = str(error).partition("; ")
            raise TemplateError(
                [Problem(_place(error, shown), wrong, right or "check its name")]
            ) from None
        except (
            TypeError,
            ValueError,
            KeyError,
            AttributeError,
            ArithmeticError,
            jinja2.TemplateError,
        ) as error:
            raise TemplateError(
                [
                    Problem(
                        _place(error, shown),
                        f"this cannot be worked out: {error}",
                        "check the filter and its value",
                    )
                ]
            ) from error


def _place(error: BaseException, name: str) -> Spot:
    """The innermost template line an error came through."""
    for frame in reversed(traceback.extract_tb(error.__traceback__)):
        if frame.filename.endswith(
            (".xml", ".html", ".csv", ".txt", ".ics")
        ) and not frame.filename.endswith(".py"):
            return Spot(frame.filename, frame.lineno or 1)
    return Spot(name, 1)


def _sentence(text: str) -> str:
    text = text.strip().rstrip(".")
    return text[:1].lower() + text[1:]
