"""What the tutor defines in the class file: a way of eating, or an allergy that no law lists."""

from __future__ import annotations

from dataclasses import dataclass, field

from classpack.errors import Spot


@dataclass(frozen=True, slots=True)
class Diet:
    """``name`` is what a person's needs call it. ``without`` names ingredients of the larder, allergen ids and tags
    (``alcohol``, ``pork`` ...), as written; whoever resolves needs finds out which is which and refuses the rest.

    Of an ``allergy``, ``without`` are ingredients that hold the food under another name, ``words`` what it is called, in any
    language: a whole word, or with a hyphen a part of one (``Mohn-`` is in Mohnfüllung); ``whole_class``: nobody uses it.
    """

    name: str
    without: tuple[str, ...]
    spot: Spot | None = field(default=None, compare=False, repr=False)
    words: tuple[str, ...] = ()
    allergy: bool = False
    whole_class: bool = False
