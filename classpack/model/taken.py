"""A value that no file says, taken for granted because a program can know it: told in one remark, and written down when asked."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from classpack.errors import Spot


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken: ``what`` names it in a sentence; ``text`` stands at ``spot``, on a line of its own after it or before
    it (``key: value``), or at the end of the value that stands there."""

    what: str
    text: str
    spot: Spot = field(compare=False)
    where: Literal["after", "before", "end"] = "after"

    def __str__(self) -> str:
        key, colon, value = self.text.partition(":")
        return (
            f"{self.what}: {' '.join(value.split()).rstrip()}"
            if colon
            else f"{self.what}: {key.strip()}"
        )
