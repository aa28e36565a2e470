"""Figures that add up: shares and means, each with its interval."""

import math
from typing import Self

import msgspec

HOLDS = 0.95
"""The probability with which an interval holds."""
Z = 1.959963984540054
"""The standard normal below which 97.5 % lie, so that an interval leaves 2.5 % on each side."""


class Summed(msgspec.Struct, frozen=True):
    """Something whose fields add up, each with its like."""

    def __add__(self, other: Self) -> Self:
        """Return both together."""
        pairs = zip(msgspec.structs.astuple(self), msgspec.structs.astuple(other), strict=True)
        return type(self)(*(one + more for one, more in pairs))


class Share(Summed, frozen=True):
    """How many of so many."""

    hits: int = 0
    of: int = 0

    @property
    def value(self) -> float:
        """The share from 0 to 1; not a number where there is nothing to count."""
        return self.hits / self.of if self.of else math.nan

    @property
    def interval(self) -> tuple[float, float]:
        """The range that the share lies in with the probability ``HOLDS``.

        E. B. Wilson, Journal of the American Statistical Association 22 (1927) 209-212.
        """
        if not self.of:
            return math.nan, math.nan
        n, p, square = self.of, self.value, Z * Z
        middle = (p + square / (2 * n)) / (1 + square / n)
        half = Z / (1 + square / n) * math.sqrt(p * (1 - p) / n + square / (4 * n * n))
        low = 0.0 if self.hits == 0 else middle - half
        high = 1.0 if self.hits == n else middle + half
        return low, high


class Mean(Summed, frozen=True):
    """So many numbers: their sum, and the sum of their squares."""

    count: int = 0
    total: float = 0.0
    squares: float = 0.0

    @property
    def value(self) -> float:
        """The mean; not a number where there is none."""
        return self.total / self.count if self.count else math.nan

    @property
    def interval(self) -> tuple[float, float]:
        """The range that the mean lies in with the probability ``HOLDS``, by the normal law."""
        if self.count < 2:
            return math.nan, math.nan
        spread = max(self.squares - self.total * self.value, 0.0) / (self.count - 1)
        half = Z * math.sqrt(spread / self.count)
        return self.value - half, self.value + half


def share(hit: bool) -> Share:
    """Return one case as a share."""
    return Share(int(hit), 1)


def mean(value: float) -> Mean:
    """Return one number as a mean."""
    return Mean(1, value, value * value)
