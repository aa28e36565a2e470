"""The range that a number lies in, by how many cases speak of it."""

from math import exp
from statistics import NormalDist

import numpy as np

from faultnet.learning.proposed import Interval

POINTS = 4001
"""Points at which the density of a chance is worked out."""
WIDE = 9.0
"""Deviations that they reach to either side."""


def range_of_chance(value: float, cases: float, holds: float) -> Interval:
    """Return the middle range of a chance that is likeliest at a value, after so many cases.

    It is that of a beta distribution whose top is there; so the first number of cases without
    any in which a thing came true says something too.
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
    ends = np.interp([(1.0 - holds) / 2.0, (1.0 + holds) / 2.0], below, x)
    low, high = (1.0 / (1.0 + np.exp(-ends))).tolist()
    return Interval(low, high, holds)


def range_of_factor(value: float, deviation: float, holds: float) -> Interval:
    """Return the range of a factor whose logarithm has a deviation."""
    far = NormalDist().inv_cdf((1.0 + holds) / 2.0) * deviation
    return Interval(value * exp(-far), value * exp(far), holds)
