"""The mean of times that spread log-normally, from counts of minutes on a fine scale.

What is known of the mean and of the spread is laid out on a grid and normed: no draws, no
approximation but that of the grid. Three things make it fit for times off a clock:

- A time can be no time of the step at all: the clock ran on overnight, or was started when
  the work was over. It is then anything from ``SHORTEST`` to ``LONGEST``, each as likely as
  any other on the scale of logarithms; how many are stray is found out with the rest. So a
  time far out counts as stray, by how far out it is, instead of pulling the mean along;
  nothing is cut off at a place that somebody chose before there were times.
- Of a step that was broken off only the least is known that it would have taken.
- The authored number is worth so many cases about the mean, whatever the spread.
"""

import math
from collections.abc import Mapping

import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SHORTEST = 0.25
"""Minutes; what is less is no time that anybody worked."""
LONGEST = 7 * 24 * 60.0
"""Minutes; what is more is no time of a step."""
RUNG = 0.02
"""Times are counted on a scale whose rungs lie two per cent apart."""
STRAYS = np.array([0.01, 0.05, 0.15, 0.35])
"""Shares of times that may be off a clock that ran on, or started late."""
STRAYS_LIKELY = np.array([0.5, 0.3, 0.15, 0.05])
"""How likely each of them is before any times were seen. Judgement."""
SPREAD = 0.5
"""The standard deviation of the logarithm of a step's times before any were seen. Judgement."""
SPREAD_OFF = 0.4
"""How far the logarithm of that spread may be off, as a standard deviation. Judgement."""
SPREADS = np.geomspace(0.08, 2.5, 29)
MEANS = 97
"""Points of the grid at which the mean is looked at."""
FAR = 6.5
"""Standard deviations to either side that the grid covers."""

_RANGE = math.log(LONGEST / SHORTEST)


class Tally(msgspec.Struct, frozen=True):
    """Counts of times by their rung; those of steps that were broken off stand apart."""

    done: Mapping[int, int] = {}
    broken_off: Mapping[int, int] = {}


class Mean(msgspec.Struct, frozen=True):
    """What is known of the mean, in minutes; ``stray`` is how many times were none."""

    value: float
    low: float
    high: float
    stray: float


class Prior(msgspec.Struct, frozen=True):
    """Minutes that are worth so many cases; with none they say nothing."""

    minutes: float
    cases: float


def rung_of(minutes: float) -> int:
    """Return the rung that a time from ``SHORTEST`` to ``LONGEST`` is counted on."""
    return round(math.log(minutes) / RUNG)


def mean_of(tally: Tally, prior: Prior, holds: float) -> Mean:
    """Return the mean and its interval, which holds with the probability ``holds``.

    Raises ``ValueError`` where there are neither times nor a prior.
    """
    if not tally.done and not prior.cases:
        raise ValueError("no times, and no number before them")
    seen = _Seen(tally, prior)
    means = seen.means()
    weights = seen.weights(means)
    tail = (1.0 - holds) / 2.0
    low, value, high = _quantiles(means, weights.sum(axis=(1, 2)), (tail, 0.5, 1.0 - tail))
    spread = float(SPREADS @ weights.sum(axis=(0, 2)))
    stray = seen.stray(value, spread, float(STRAYS @ weights.sum(axis=(0, 1))))
    return Mean(math.exp(value), math.exp(low), math.exp(high), stray)


class _Seen:
    """The times of one step, laid out for the grid."""

    def __init__(self, tally: Tally, prior: Prior) -> None:
        self.at, self.counts = _laid_out(tally.done)
        self.cut_at, self.cut_counts = _laid_out(tally.broken_off)
        self.prior = prior
        self.authored = math.log(max(prior.minutes, SHORTEST))

    def means(self) -> Floats:
        """The logarithms of means that are to be looked at: first roughly, then closer."""
        ends = [self.authored] if self.prior.cases else []
        ends += [self.at[0] - 1.0, self.at[-1] + 2.0] if self.at.size else []
        rough = np.linspace(min(ends) - 3.0, max(ends) + 3.0, MEANS)
        for _ in range(2):
            weights = self.weights(rough).sum(axis=(1, 2))
            middle = float(weights @ rough)
            off = math.sqrt(float(weights @ (rough - middle) ** 2))
            reach = FAR * max(off, float(rough[1] - rough[0]) / 2.0)
            rough = np.linspace(middle - reach, middle + reach, MEANS)
        return rough

    def weights(self, means: Floats) -> Floats:
        """What all weigh; together one. Shape (means, spreads, shares that are stray)."""
        prior = -0.5 * ((np.log(SPREADS) - math.log(SPREAD)) / SPREAD_OFF) ** 2
        log = np.zeros((means.size, SPREADS.size, STRAYS.size))
        log += prior[:, None] + np.log(STRAYS_LIKELY)
        mean = means[:, None]
        if self.prior.cases:
            far = (mean - self.authored) / SPREADS
            log += (-0.5 * self.prior.cases * far**2 - np.log(SPREADS))[:, :, None]
        for at, count in zip(self.at, self.counts, strict=True):
            log += count * _log_mixed(_density(at, mean, SPREADS), 1.0 / _RANGE)
        for at, count in zip(self.cut_at, self.cut_counts, strict=True):
            left = max(math.log(LONGEST) - at, RUNG) / _RANGE
            log += count * _log_mixed(_beyond(at, mean, SPREADS), left)
        weights = np.exp(log - log.max())
        normed: Floats = weights / weights.sum()
        return normed

    def stray(self, mean: float, spread: float, share: float) -> float:
        """How many times are probably none of this step."""
        stray = share / _RANGE
        ordinary = (1.0 - share) * _density(self.at, np.array(mean), np.array(spread))
        return float(self.counts @ (stray / (stray + ordinary)))


def _laid_out(counts: Mapping[int, int]) -> tuple[Floats, Floats]:
    rungs = sorted(counts)
    at = np.array(rungs, dtype=float) * RUNG
    return at, np.array([counts[rung] for rung in rungs], dtype=float)


def _density(at: Floats | float, mean: Floats, spread: Floats) -> Floats:
    """The density of ordinary times at a logarithm, where the log-normal has such a mean."""
    far = (at - (mean - spread**2 / 2.0)) / spread
    density: Floats = np.exp(-0.5 * far**2) / (spread * math.sqrt(2.0 * math.pi))
    return density


def _beyond(at: float, mean: Floats, spread: Floats) -> Floats:
    """The chance of a longer ordinary time."""
    far = (at - (mean - spread**2 / 2.0)) / spread
    longer: Floats = np.vectorize(math.erfc)(far / math.sqrt(2.0)) / 2.0
    return longer


def _log_mixed(ordinary: Floats, stray: float) -> Floats:
    """The logarithm of what is so likely if ordinary and so if stray, for each share."""
    mixed: Floats = np.log(ordinary[:, :, None] * (1.0 - STRAYS) + stray * STRAYS)
    return mixed


def _quantiles(at: Floats, weights: Floats, wanted: tuple[float, ...]) -> list[float]:
    """The places below which such shares of the weight lie."""
    below = np.cumsum(weights) - weights / 2.0
    return [float(each) for each in np.interp(wanted, below, at)]
