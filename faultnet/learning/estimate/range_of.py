"""The range that a number lies in, by how many cases speak of it."""

from math import exp
from statistics import NormalDist

import numpy as np

from faultnet.learning.proposed import Interval

POINTS = 4001
"""Points at which the density of a chance is worked out."""
STARTS = 401
"""Ranges that the shortest is found among."""
WIDE = 9.0
"""Deviations that they reach to either side."""


def range_of_chance(value: float, cases: float, holds: float) -> Interval:
    """Return the shortest range of a chance that is likeliest at a value, after so many cases.

    It is that of a beta distribution whose top is there: a chance of which nothing came true
    in some cases is near nought, and how near they say too.
    """
    up, down = 1.0 + cases * value, 1.0 + cases * (1.0 - value)
    middle = np.log(up / down)
    spread = np.sqrt(1.0 / up + 1.0 / down)
    x = middle + spread * np.linspace(-WIDE, WIDE, POINTS)
    # On the log-odds the density of a beta distribution is smooth to its ends.
    log_density = up * x - (up + down) * np.logaddexp(0.0, x)
    density = np.exp(log_density - log_density.max())
    below = np.cumsum((density[1:] + density[:-1]) / 2.0)
    below = np.append(0.0, below) / below[-1]
    lows = np.linspace(0.0, 1.0 - holds, STARTS)
    low, high = (
        1.0 / (1.0 + np.exp(-np.interp(share, below, x))) for share in (lows, lows + holds)
    )
    shortest = int(np.argmin(high - low))
    return Interval(min(float(low[shortest]), value), max(float(high[shortest]), value), holds)


def range_of_factor(value: float, deviation: float, holds: float) -> Interval:
    """Return the range of a factor whose logarithm has a deviation."""
    far = NormalDist().inv_cdf((1.0 + holds) / 2.0) * deviation
    return Interval(value * exp(-far), value * exp(far), holds)
