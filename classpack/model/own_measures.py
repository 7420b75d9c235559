"""What a tutor has said once about their measures: where their recipes are written, and what their cup and tins hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from classpack.quantities import HOUSEHOLDS, UNSAID, Household

PLAIN_FLOUR_CUP_G = Fraction(125)
"""A US cup of white wheat flour, spooned and levelled: USDA SR28 (2015), row 20581."""


@dataclass(frozen=True, slots=True)
class OwnMeasures:
    """The tutor's answers. ``written_in`` is the region whose cups and pints are meant, empty when nobody has said.

    ``flour_cup_g`` is their cup of white flour, ``tins_ml`` the tins known by a trade name, as in ``2 lb tin``.
    """

    written_in: str = ""
    cup_ml: Fraction | None = None
    flour_cup_g: Fraction | None = None
    tins_ml: Mapping[str, Fraction] = field(default_factory=dict)

    @property
    def household(self) -> Household:
        """What a cup, a pint, a fluid ounce and a tablespoon hold."""
        known = HOUSEHOLDS.get(self.written_in, UNSAID)
        return replace(known, cup_ml=self.cup_ml) if self.cup_ml is not None else known

    def written_for(self, region: str) -> OwnMeasures:
        """The same answers for a recipe written in ``region``; empty leaves the tutor's own."""
        return replace(self, written_in=region) if region else self
