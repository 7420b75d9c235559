"""What a template may cost: rounds, time and text. Templates are passed around, so one must not hang a computer or fill its memory.

The first limit is counted and the same on every machine: every round of a loop, every call, every included file is a round. The time
limit is for what takes long in other ways.
"""

from __future__ import annotations

import functools
import re
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sized
from typing import Any

import jinja2
from jinja2 import nodes
from jinja2.compiler import CodeGenerator
from jinja2.exceptions import SecurityError
from jinja2.sandbox import ImmutableSandboxedEnvironment

MOST_ROUNDS = 500_000
"""Two hundred times what the longest sheet of a class of twelve takes (the run sheet, 2,475)."""
MOST_SECONDS = 10.0
"""Of the processor's time, not the clock's: a busy machine is no mistake of a template."""
MOST_TEXT = 4_000_000
"""Letters of one filled template, or of one value in it."""
MOST_BITS = 4096
"""Of a whole number that a template works out."""
LETTERS_A_ROUND = 64
"""A round that writes much counts as several."""
GONE = ("format", "pprint")
"""Filters that write any width, or what a value looks like inside."""
_WIDE = re.compile(r"%[^a-zA-Z%]*\d{4,}")


class TooMuch(Exception):
    """A template takes more than it may."""


class Budget:
    """What one filling has used."""

    def __init__(self) -> None:
        self.rounds = 0
        self.looked = 0
        self.until = time.process_time() + MOST_SECONDS

    def spend(self, rounds: int = 1) -> None:
        """Count rounds.

        Raises:
            TooMuch: there were too many, or they took too long.
        """
        self.rounds += rounds
        if self.rounds > MOST_ROUNDS:
            raise TooMuch(f"this goes round more than {MOST_ROUNDS:,} times")
        if self.rounds - self.looked > 200:
            self.looked = self.rounds
            if time.process_time() > self.until:
                raise TooMuch(f"this takes longer than {MOST_SECONDS:g} seconds")


def text_of(pieces: Iterable[str]) -> str:
    """The pieces a template yields, as one text.

    Raises:
        TooMuch: it is longer than any sheet.
    """
    found, length = [], 0
    for piece in pieces:
        length += len(piece)
        if length > MOST_TEXT:
            raise TooMuch(f"this yields more than {MOST_TEXT:,} letters")
        found.append(piece)
    return "".join(found)


class _Unfolded(CodeGenerator):
    """Works nothing out while it compiles: what a filter makes of a fixed value depends on the language, compiled templates
    do not."""

    def _output_child_to_const(self, node: nodes.Expr, *args: Any) -> str:
        if not isinstance(node, nodes.TemplateData):
            raise nodes.Impossible
        return super()._output_child_to_const(node, *args)


class LimitedEnvironment(ImmutableSandboxedEnvironment):
    """jinja2's sandbox with a budget. Set ``budget`` anew before each filling."""

    code_generator_class = _Unfolded
    intercepted_binops = frozenset(["+", "*", "**", "%"])

    def __init__(self, **options: Any) -> None:
        super().__init__(optimized=False, **options)
        self.budget = Budget()
        for name in GONE:
            del self.filters[name]
        del self.globals["lipsum"]
        self.filters = {name: _limited(one) for name, one in self.filters.items()}
        self.filters |= {"_rounds": self._rounds, "_joined": _joined}

    def _generate(self, source: nodes.Template, *args: Any, **named: Any) -> str:
        for loop in list(source.find_all(nodes.For)):
            literal = sum(len(one.data) for one in loop.find_all(nodes.TemplateData))
            weight = nodes.Const(1 + literal // LETTERS_A_ROUND, lineno=loop.lineno)
            loop.iter = nodes.Filter(loop.iter, "_rounds", [weight], [], None, None, lineno=loop.lineno)  # fmt: skip
        for expression in list(source.find_all(nodes.Concat)):
            whole = nodes.Concat(expression.nodes, lineno=expression.lineno)
            expression.nodes = [nodes.Filter(whole, "_joined", [], [], None, None, lineno=expression.lineno)]  # fmt: skip
        return super()._generate(source, *args, **named)

    def _rounds(self, things: Any, weight: int) -> Any:
        if not isinstance(things, Sized):
            things = tuple(self._counted(things))
        self.budget.spend(len(things) * weight)
        return things

    def _counted(self, things: Any) -> Iterator[Any]:
        for thing in things:
            self.budget.spend()
            yield thing

    def _load_template(self, *args: Any, **named: Any) -> jinja2.Template:
        self.budget.spend()
        return super()._load_template(*args, **named)

    def wrap_str_format(self, value: Any) -> Any:
        if super().wrap_str_format(value) is not None:
            raise SecurityError("a text's format is not for templates")
        return None

    def call(self, context: Any, function: Any, /, *args: Any, **named: Any) -> Any:
        self.budget.spend()
        owner = getattr(function, "__self__", None)
        if isinstance(owner, str):
            _raise_if_large(owner, *args, *named.values())
        return super().call(context, function, *args, **named)

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        if operator == "%" and isinstance(left, str) and _WIDE.search(left):
            raise TooMuch("this writes a text of more than a thousand letters' width")
        if operator == "+" and isinstance(left, Sized) and isinstance(right, Sized):
            if len(left) + len(right) > MOST_TEXT:
                raise TooMuch(f"this yields more than {MOST_TEXT:,} letters")
        elif operator == "*":
            if isinstance(left, Sized) or isinstance(right, Sized):
                _raise_if_large(left, right)
            elif _bits(left) + _bits(right) > MOST_BITS:
                raise TooMuch("this yields a number that is too large")
        elif operator == "**" and _bits(left) * abs(right) > MOST_BITS:
            raise TooMuch("this yields a number that is too large")
        return super().call_binop(context, operator, left, right)


def _bits(number: Any) -> int:
    return number.bit_length() if isinstance(number, int) else 64


def _raise_if_large(*parts: Any) -> None:
    """Whether what is made of these could be larger than any text: a width, a count, the texts to be put together."""
    size = 1
    for part in parts:
        if isinstance(part, int):
            size *= max(1, abs(part))
        elif isinstance(part, Sized) and not isinstance(part, Mapping):
            size *= max(1, len(part))
    if size > MOST_TEXT:
        raise TooMuch(f"this yields more than {MOST_TEXT:,} letters")


def _joined(text: Any) -> Any:
    if len(text) > MOST_TEXT:
        raise TooMuch(f"this yields more than {MOST_TEXT:,} letters")
    return text


def _limited(filter_: Callable[..., Any]) -> Callable[..., Any]:
    """A filter of jinja2 that refuses what would make a huge text of it."""

    @functools.wraps(filter_)
    def limited(*args: Any, **named: Any) -> Any:
        _raise_if_large(*args, *named.values())
        return filter_(*args, **named)

    return limited
