"""Scores and answers of a risk assessment, as a tutor fills them in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

BANDS: Mapping[int, tuple[tuple[int, int, str], ...]] = {
    3: ((1, 2, "low"), (3, 4, "medium"), (6, 9, "high")),
    5: ((1, 4, "low"), (5, 9, "medium"), (10, 15, "high"), (16, 25, "stop")),
}
"""By the scale's highest mark: 3 by 3 (this project's bands) and 5 by 5 (one published set; others differ)."""


@dataclass(frozen=True, slots=True)
class Score:
    """Likelihood and severity, each from 1 up to the scale's highest mark."""

    likelihood: int
    severity: int

    @property
    def product(self) -> int:
        """Likelihood times severity."""
        return self.likelihood * self.severity


def band(score: Score, scale: int) -> str:
    """The band of a score on a scale of 3 or 5.

    >>> band(Score(2, 3), 3), band(Score(3, 5), 5)
    ('high', 'high')
    """
    return next(name for low, high, name in BANDS[scale] if low <= score.product <= high)


@dataclass(frozen=True, slots=True)
class RiskAnswer:
    """What the tutor's own file says of one hazard; everything it leaves out stays blank on the form."""

    already_done: tuple[str, ...] = ()
    before: Score | None = None
    after: Score | None = None
    action: str = ""
    owner: str = ""
    by: str = ""
