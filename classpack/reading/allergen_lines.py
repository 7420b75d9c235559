"""Lines that state allergens, of an ingredient and of its parts. Unknown, vague and empty lines are problems, never 'none'."""

from __future__ import annotations

from classpack.errors import Problem, Spot
from classpack.model.allergens import BY_ID as ALLERGEN
from classpack.model.allergens import GROUPS, WORDS, allergen_id
from classpack.model.larder import Part
from classpack.reading.sections import Section, nearest
from classpack.reading.yaml_lines import Fields, Node, Text


def read_allergens(entry: Section, key: Text) -> frozenset[str] | None:
    """The stated allergens; None and a problem where nothing usable is stated."""
    if not entry.has("allergens"):
        entry.asked.add("allergens")
        word = next(
            (one for one in key.value.lower().split() if allergen_id(one)),
            "milk",
        )
        entry.problem(
            key.spot,
            f"{key.value} has no allergens line",
            f"write 'allergens: {word}', or 'none' if it carries none",
        )
        return None
    return _allergen_words(
        entry.texts("allergens"), entry.spot_of("allergens"), key.value, entry.problems
    )


def _allergen_words(
    texts: tuple[Text, ...], spot: Spot, name: str, problems: list[Problem]
) -> frozenset[str] | None:
    words = [
        (word.strip().lower(), text.spot)
        for text in texts
        for word in text.value.split(",")
        if word.strip()
    ]
    if not words:
        problems.append(
            Problem(
                spot,
                f"{name} has an empty allergens line",
                "write each allergen, or 'none' if it carries none",
            )
        )
        return None
    if [word for word, _ in words] == ["none"]:
        return frozenset()
    found: set[str] = set()
    good = True
    for word, spot in words:
        known = allergen_id(word)
        if known:
            found.add(known)
            continue
        good = False
        if word == "none":
            problems.append(
                Problem(spot, f"{name} has 'none' beside other allergens", "keep one of the two")
            )
        elif word in GROUPS:
            members = ", ".join(ALLERGEN[id].words[-1] for id in GROUPS[word])
            problems.append(
                Problem(spot, f"'{word}' does not say which", f"name each of: {members}")
            )
        else:
            problems.append(
                Problem(spot, f"no allergen '{word}' is known", nearest(word, ("none", *_CHOICES)))
            )
    return frozenset(found) if good else None


_CHOICES = tuple(word for word in WORDS if ":" not in word)


def read_parts(entry: Section, allergens: frozenset[str] | None) -> tuple[Part, ...]:
    parts = _part_list(entry.fields("parts"), entry.problems)
    held: frozenset[str] = frozenset().union(*(one.carries for one in parts))
    if allergens is not None:
        for id in ALLERGEN:
            if id in held - allergens:
                name = ALLERGEN[id].everyday
                entry.problem(
                    entry.spot_of("parts"),
                    f"a part of {entry.what} carries {name}, and its allergens line does not",
                    f"add '{name}' to the allergens line",
                )
    return parts


def _part_list(fields: tuple[tuple[Text, Node], ...], problems: list[Problem]) -> tuple[Part, ...]:
    parts: list[Part] = []
    for key, node in fields:
        if isinstance(node, Fields):
            inner = Section(node, key.value, problems)
            held = read_allergens(inner, key)
            below = _part_list(inner.fields("parts"), problems)
            inner.close()
            parts.append(Part(key.value, held or frozenset(), below))
        else:
            texts = (
                (node,)
                if isinstance(node, Text)
                else tuple(one for one in node.items if isinstance(one, Text))
            )
            held = _allergen_words(texts, node.spot, key.value, problems)
            parts.append(Part(key.value, held or frozenset()))
    return tuple(parts)
