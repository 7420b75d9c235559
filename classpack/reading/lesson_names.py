"""A lesson's names as the larder has them: every name of an ingredient, wherever a lesson or class day writes one."""

from __future__ import annotations

import re
from dataclasses import replace

from classpack.errors import Problem
from classpack.model.larder import Larder
from classpack.reading.names import understood, with_allergens
from classpack.reading.yaml_lines import Fields, Items, Node, Text

NAMED_BELOW = ("formula", "weights", "final dough", "holds", "flours", "also in it", "toppings", "also used", "stock")  # fmt: skip
"""Sections whose keys are ingredients."""
NAMED_BY = ("out", "in", "named for")
"""Fields whose values are ingredients."""
_BRACES = re.compile(r"\{([^{}]*)\}")


def with_larder_names(node: Node, larder: Larder, problems: list[Problem], told: list[str]) -> Node:
    """``node`` with each ingredient under the larder's own name for that food.

    A name that may mean several foods is a problem at its place; a name nobody knows is left for its reader to refuse.
    ``told`` gets a sentence for every other name.
    """
    return _Renamer(larder, problems, told).walk(node, "")


class _Renamer:
    def __init__(self, larder: Larder, problems: list[Problem], told: list[str]) -> None:
        self.larder, self.problems, self.told = larder, problems, told
        self.asked: set[str] = set()

    def walk(self, node: Node, below: str) -> Node:
        if isinstance(node, Items):
            return replace(node, items=tuple(self.walk(one, below) for one in node.items))
        if isinstance(node, Fields):
            return self.fields(node, below)
        if below in NAMED_BY:
            return replace(node, value=self.named(node)[0])
        return replace(node, value=_BRACES.sub(lambda hole: self.hole(hole[1], node), node.value))

    def fields(self, node: Fields, below: str) -> Fields:
        found: list[tuple[Text, Node]] = []
        seen: dict[str, str] = {}
        for key, value in node.fields:
            name = key.value
            if below in NAMED_BELOW:
                name, _ = self.named(key)
                if name in seen and key.value != name:
                    self.problems.append(
                        Problem(
                            key.spot,
                            f"'{key.value}' is {name}, which '{seen[name]}' says already",
                            "write both amounts as one line",
                        )
                    )
                seen.setdefault(name, key.value)
            found.append((replace(key, value=name), self.walk(value, key.value)))
        return Fields(tuple(found), node.spot)

    def hole(self, name: str, text: Text) -> str:
        said, note = self.named(replace(text, value=name.strip()))
        return (
            f"{{{said}}}{f' ({note})' if note else ''}" if said != name.strip() else f"{{{name}}}"
        )

    def named(self, key: Text) -> tuple[str, str]:
        """The larder's name for ``key``, and its words of state; ``key`` itself where nothing of that name is known."""
        name = key.value
        meaning, note = understood(name, self.larder.measures.written_in, self.larder)
        if meaning is None or not meaning.foods:
            return name, ""
        if meaning.asks and len(meaning.foods) > 1:
            right = f"write which: {with_allergens(meaning.foods, self.larder)}"
            self.ask(key, f"'{name}' may be several foods", right)
        elif meaning.asks:
            right = f"if it is {with_allergens(meaning.foods, self.larder)}, write that name"
            self.ask(key, f"'{name}': {meaning.note or 'its pack says what it is'}", right)
        elif self.larder.own_name(name).casefold() != meaning.food.casefold():
            note_of = meaning.note or ("its name elsewhere" if meaning.elsewhere else "")
            near = f" ({note_of})" if note_of else ""
            self.told.append(f"{name} is read as {meaning.food}{near}")
        return meaning.food, note

    def ask(self, key: Text, wrong: str, right: str) -> None:
        """Each name is asked once, where it stands first."""
        if key.value not in self.asked:
            self.asked.add(key.value)
            self.problems.append(Problem(key.spot, wrong, right))
