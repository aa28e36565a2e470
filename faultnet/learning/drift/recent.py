"""How soon what was seen should count for less: the half-life that would have told best.

Each month is foretold out of the months before it. What was seen counts half after every
half-life; the authored number is worth half a case throughout. The first year only gives
something to go by. The half-life under which the counts of the other months were likeliest is
the one to use; none at all (every case counts the same for ever) is among those that are tried.
"""

import math

import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

YEARS = (0.5, 1.0, 2.0, 4.0, math.inf)
"""Half-lives that are tried."""
WORTH = 0.5
"""Cases of a cause that the authored number is worth. Judgement."""
FIRST = 12
"""Months that are not foretold."""
CLEARLY = 2.0
"""How much likelier, as a logarithm, the counts must be for anything to count for less."""


class Recent(msgspec.Struct, frozen=True):
    """A half-life in years, infinite where nothing counts for less, and what speaks for it.

    ``gain`` is the logarithm of how much better the months were foretold than without.
    """

    half_life: float
    gain: float


def recent_weight(counts: Floats, expected: Floats) -> Recent:
    """Return the half-life that tells best, over causes by months of two tables."""
    told = {years: _told(counts, expected, years) for years in YEARS}
    best = max(YEARS, key=lambda years: told[years])
    gain = told[best] - told[math.inf]
    return Recent(best, gain) if gain > CLEARLY else Recent(math.inf, 0.0)


def _told(counts: Floats, expected: Floats, years: float) -> float:
    """The logarithm of how likely the counts were, month by month."""
    kept = 0.5 ** (1.0 / (12.0 * years)) if math.isfinite(years) else 1.0
    seen = np.zeros(len(counts))
    exposed = np.zeros(len(counts))
    log = 0.0
    for month in range(counts.shape[1]):
        seen, exposed = seen * kept, exposed * kept
        due = expected[:, month]
        if month >= FIRST:
            log += _likely(counts[:, month], due, seen + WORTH, exposed + WORTH)
        seen, exposed = seen + counts[:, month], exposed + due
    return log


def _likely(counts: Floats, due: Floats, shape: Floats, rate: Floats) -> float:
    """The logarithm of the negative binomial chance of counts, all causes together."""
    log = 0.0
    for count, expected, a, b in zip(counts, due, shape, rate, strict=True):
        if expected > 0.0:
            log += math.lgamma(a + count) - math.lgamma(a) - math.lgamma(count + 1.0)
            log += a * math.log(b / (b + expected)) + count * math.log(expected / (b + expected))
    return log
