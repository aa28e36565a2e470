"""Groups that are drawn towards what they share, as far as they differ no more than by chance.

Three kinds of numbers, one manner. Each row is one number (a cause, a circumstance, a step),
each column a group (a region, a firm). The groups' true numbers scatter about the row's centre;
how widely, for all rows alike, is what makes the counts likeliest with the true numbers summed
out. The wider they scatter, the less each is drawn towards the centre.

- Rates: y events where x were expected; gamma about the centre, Poisson about the rate.
  As Gaver & O'Muircheartaigh (1987), Technometrics 29:1-15, did for pumps.
- Shares: y of n; beta about the centre, binomial about the share.
- Sizes: a measured size with its standard deviation; normal about the centre, both times.
"""

import math
from collections.abc import Callable

import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

CLOSEST = 1e4
"""The concentration at which groups are taken as alike."""
WIDEST = 0.05
POINTS = 1201
"""Points at which a density is looked at to find its quantiles."""
TAIL = 12.0
"""How far out a tail is followed, where it falls by a factor e in one."""
ROUNDS = 200
"""Rounds of expectation and maximisation for a centre."""
TURNS = 40
"""Turns of the search for the likeliest scatter; each cuts what is left by a third."""

_log_gamma = np.vectorize(math.lgamma, otypes=[float])


class Drawn(msgspec.Struct, frozen=True):
    """The number of one group: drawn towards the centre, with an interval."""

    value: float
    low: float
    high: float


class Rates(msgspec.Struct, frozen=True):
    """Gamma about each row's centre with the shape ``concentration``: worth so many events."""

    centres: tuple[float, ...]
    concentration: float

    def drawn(self, row: int, events: float, expected: float, holds: float) -> Drawn:
        """Return the rate of one group; events over expected, drawn towards the centre."""
        shape = self.concentration + events
        rate = self.concentration / self.centres[row] + expected
        middle, off = math.log(shape / rate), 1.0 / math.sqrt(shape)
        at = np.linspace(middle - 8.0 * off - TAIL / shape, middle + 9.0 * off, POINTS)
        low, high = _ends(np.exp(at), shape * at - rate * np.exp(at), holds)
        return Drawn(shape / rate, low, high)


class Shares(msgspec.Struct, frozen=True):
    """Beta about each row's centre; ``concentration`` is worth so many cases."""

    centres: tuple[float, ...]
    concentration: float

    def drawn(self, row: int, yes: float, cases: float, holds: float) -> Drawn:
        """Return the share of one group."""
        a = self.concentration * self.centres[row] + yes
        b = self.concentration * (1.0 - self.centres[row]) + cases - yes
        middle, off = math.log(a / b), math.sqrt(1.0 / a + 1.0 / b)
        reach = 8.0 * off
        at = np.linspace(middle - reach - TAIL / a, middle + reach + TAIL / b, POINTS)
        share = np.exp(-np.logaddexp(0.0, -at))
        log = -a * np.logaddexp(0.0, -at) - b * np.logaddexp(0.0, at)
        low, high = _ends(share, log, holds)
        return Drawn(a / (a + b), low, high)


class Sizes(msgspec.Struct, frozen=True):
    """Normal about each row's centre with the standard deviation ``scatter``."""

    centres: tuple[float, ...]
    scatter: float

    def drawn(self, row: int, size: float, off: float, far: float) -> Drawn:
        """Return the size of one group, and ``far`` standard deviations to either side."""
        before, told = self.scatter**2, off**2
        share = before / (before + told)
        value = self.centres[row] + share * (size - self.centres[row])
        reach = far * math.sqrt(share * told)
        return Drawn(value, value - reach, value + reach)


def rates_of(events: Floats, expected: Floats, centre: float | None = None) -> Rates:
    """Return how rates scatter; rows without events stay out of it. Shape (rows, groups).

    Without a ``centre``, each row has its likeliest one.
    """
    some = (events.sum(axis=1) > 0.0) & (expected.sum(axis=1) > 0.0)
    y, x = events[some], expected[some]
    whole = np.ones(len(events))
    if not some.any():
        return Rates(tuple(whole.tolist()), CLOSEST)

    def centres(shape: float) -> Floats:
        if centre is not None:
            return np.full(len(y), centre)
        middle: Floats = y.sum(axis=1) / x.sum(axis=1)
        for _ in range(ROUNDS):
            middle = ((shape + y) / (shape / middle[:, None] + x)).mean(axis=1)
        return middle

    def likely(shape: float) -> float:
        rate = shape / centres(shape)[:, None]
        logs = _log_gamma(shape + y) - math.lgamma(shape)
        logs += shape * np.log(rate / (rate + x)) - y * np.log(rate + x)
        return float(logs.sum())

    shape = _likeliest(likely)
    whole[some] = centres(shape)
    return Rates(tuple(whole.tolist()), shape)


def shares_of(yes: Floats, cases: Floats) -> Shares:
    """Return how shares scatter; a centre is the share of all groups together."""
    centres = (yes.sum(axis=1) + 0.5) / (cases.sum(axis=1) + 1.0)

    def likely(concentration: float) -> float:
        a, b = concentration * centres[:, None], concentration * (1.0 - centres[:, None])
        logs = _log_beta(a + yes, b + cases - yes) - _log_beta(a, b)
        return float(logs.sum())

    return Shares(tuple(centres.tolist()), _likeliest(likely))


def sizes_of(sizes: Floats, offs: Floats) -> Sizes:
    """Return how sizes scatter; what is not known has an infinite ``off``.

    Centres are means that weigh each group by how surely it is known.
    """

    def centres(scatter: float) -> Floats:
        weights = 1.0 / (scatter**2 + offs**2)
        total = np.maximum(weights.sum(axis=1), 1e-300)
        middle: Floats = (weights * sizes).sum(axis=1) / total
        return middle

    def likely(concentration: float) -> float:
        variance = 1.0 / concentration + offs**2
        known = np.isfinite(offs)
        far = (sizes - centres(concentration**-0.5)[:, None])[known]
        logs = -0.5 * (far**2 / variance[known] + np.log(variance[known]))
        return float(logs.sum())

    scatter = _likeliest(likely) ** -0.5
    return Sizes(tuple(centres(scatter).tolist()), scatter)


def _likeliest(likely: Callable[[float], float]) -> float:
    """Return the concentration under which the data are likeliest, by golden section."""
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    low, high = math.log(WIDEST), math.log(CLOSEST)
    near, far = high - golden * (high - low), low + golden * (high - low)
    at_near, at_far = likely(math.exp(near)), likely(math.exp(far))
    for _ in range(TURNS):
        if at_near > at_far:
            high, far, at_far = far, near, at_near
            near = high - golden * (high - low)
            at_near = likely(math.exp(near))
        else:
            low, near, at_near = near, far, at_far
            far = low + golden * (high - low)
            at_far = likely(math.exp(far))
    return math.exp((low + high) / 2.0)


def _ends(values: Floats, log: Floats, holds: float) -> tuple[float, float]:
    """The values between which a density holds so much; points are evenly spaced in it."""
    weights = np.exp(log - log.max())
    below = np.cumsum(weights) - weights / 2.0
    tail = (1.0 - holds) / 2.0
    low, high = np.interp([tail, 1.0 - tail], below / weights.sum(), values)
    return float(low), float(high)


def _log_beta(a: Floats, b: Floats) -> Floats:
    beta: Floats = _log_gamma(a) + _log_gamma(b) - _log_gamma(a + b)
    return beta
