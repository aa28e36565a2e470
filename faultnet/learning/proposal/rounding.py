"""Numbers as an author would write them: no more digits than the cases bear out."""

from collections.abc import Sequence
from math import floor, fsum, log10

from faultnet.learning.proposed import Interval

FINEST = 3
"""Digits that mean something, at most."""
SHARES = 3
"""Digits of a share of a layout."""
EPSILON = 1e-9


def rounded(value: float, interval: Interval, *, chance: bool) -> float:
    """Return a value with as many digits as a tenth of its interval has, and no more.

    What is not nothing does not become nothing, and a chance that is not certain not certain.
    """
    if value <= 0.0:
        return 0.0
    most = FINEST - 1 - floor(log10(value))
    width = interval.high - interval.low
    digits = min(most, -floor(log10(width / 10.0))) if width > 0.0 else most
    while digits < most and not _kept(value, round(value, digits), chance=chance):
        digits += 1
    told = round(value, digits)
    return told if _kept(value, told, chance=chance) else value


def shares(values: Sequence[float]) -> tuple[float, ...]:
    """Return shares that come to one, the largest taking what rounding leaves."""
    total = fsum(values)
    told = [max(round(value / total, SHARES), 10.0**-SHARES) for value in values]
    largest = max(range(len(told)), key=lambda k: told[k])
    told[largest] = round(told[largest] + 1.0 - fsum(told), SHARES)
    return tuple(told)


def within_one(values: Sequence[float]) -> tuple[float, ...]:
    """Return strengths that come to one at most, all made smaller alike where they do not."""
    total = fsum(values)
    if total <= 1.0 + EPSILON:
        return tuple(values)
    scale = 10**SHARES
    return tuple(floor(value / total * scale) / scale for value in values)


def _kept(value: float, told: float, *, chance: bool) -> bool:
    """Whether rounding left a number what it is: something, and not certain."""
    return told > 0.0 and not (chance and told >= 1.0 > value)
