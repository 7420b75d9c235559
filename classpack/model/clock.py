"""The night the clocks are moved, as a value: on which date, at which hour, by how much, and where that is not all of the country."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

LIMITS: Mapping[str, str] = {
    "EU": "in central European time",
    "US": "but not in Hawaii and most of Arizona",
    "AU": "but not in Queensland, Western Australia and the Northern Territory",
    "CA": "but not in every province",
}
UNSURE = ("AU", "CA")


@dataclass(frozen=True, slots=True)
class ClockChange:
    """Clocks are moved by ``by_min`` (60 forward, -60 back) on ``date``, ``at_min`` minutes after midnight by the clock before.

    ``limits`` is empty where that holds everywhere in the country, else a key of :data:`LIMITS`.
    """

    date: datetime.date
    at_min: int
    by_min: int
    limits: str = ""

    @property
    def sure(self) -> bool:
        """May times be reckoned with it? Not where it depends on a state that no file names."""
        return self.limits not in UNSURE
