"""A small generator of whole numbers that is the same on every machine and every Python: no plan hangs on luck."""

from __future__ import annotations


class Chance:
    """A linear congruential generator modulo 2**64 (Knuth, The Art of Computer Programming 2, section 3.3.4, MMIX line).

    >>> chance = Chance(7)
    >>> [chance.below(6) for _ in range(8)]
    [0, 2, 1, 4, 3, 1, 4, 0]
    """

    __slots__ = ("state",)

    def __init__(self, seed: int) -> None:
        self.state = (seed * 0x9E3779B97F4A7C15 + 1) & 0xFFFFFFFFFFFFFFFF

    def below(self, limit: int) -> int:
        """A number from 0 to ``limit`` - 1; ``limit`` is 1 or more, and small beside 2**31."""
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) & 0xFFFFFFFFFFFFFFFF
        return (self.state >> 33) * limit >> 31
