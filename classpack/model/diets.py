"""A way of eating the tutor defines in the class file: what is not eaten, by ingredient, allergen or tag."""

from __future__ import annotations

from dataclasses import dataclass, field

from classpack.errors import Spot


@dataclass(frozen=True, slots=True)
class Diet:
    """``name`` is what a person's needs call it. ``without`` names ingredients of the larder, allergen ids and tags
    (``alcohol``, ``pork`` ...), as written; whoever resolves needs finds out which is which and refuses the rest."""

    name: str
    without: tuple[str, ...]
    spot: Spot | None = field(default=None, compare=False, repr=False)
