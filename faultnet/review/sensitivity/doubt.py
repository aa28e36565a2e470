"""How far a number may be off, by where it comes from; and how far it is from another.

Chances are measured on their log-odds, factors and minutes on their logarithm. That a
number is off is taken as normal there, with a deviation by where it comes from; .5 says
that one of .28 (``sometimes``) is one of .19 to .39 two times out of three. These
deviations are a judgement.
"""

from math import erfc, exp, inf, log, sqrt

from faultnet.model.origin import Number

DEVIATION = {"judgement": 0.5, "memory": 0.5, "practice": 0.35}
"""By provenance; a published source has ``PUBLISHED``."""
PUBLISHED = 0.2


def deviation(number: Number) -> float:
    """Return how far a number may be off; of several sources the surest counts."""
    return min((DEVIATION.get(each, PUBLISHED) for each in number.provenance), default=0.5)


def spot(kind: str, value: float) -> float:
    """Return where a value lies on the scale on which it is off evenly."""
    if kind != "chance":
        return log(value) if value > 0.0 else -inf
    if value <= 0.0:
        return -inf
    return log(value) - log(1.0 - value) if value < 1.0 else inf


def value_at(kind: str, at: float) -> float:
    """Return the value at a spot."""
    if kind != "chance":
        return exp(at)
    return 1.0 / (1.0 + exp(-at))


def distance(kind: str, value: float, other: float) -> float:
    """Return how far two values are apart."""
    return abs(spot(kind, value) - spot(kind, other))


def beyond(far: float, off: float) -> float:
    """Return the chance that a number is off by more than a distance, to one side."""
    return 0.5 * erfc(far / off / sqrt(2.0))
