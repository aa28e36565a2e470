"""Probabilities that were told beside what came, counted on a fixed grid; bins are made of it.

The grid is fine near nought, where most causes lie, and holds the tenths, so that bins of
equal width are exact. Bins of equal counts are made of whole cells. However many cases are
counted, a grid stays as large as it is.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import msgspec
import numpy as np
from numpy.typing import NDArray

from faultnet.learning.measures.figures import Share, Summed

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

WIDTHS = np.linspace(0.0, 1.0, 11)
"""The ends of bins of equal width."""
ENDS = np.unique(
    np.concatenate((np.geomspace(1e-6, 0.05, 189), np.linspace(0.0, 1.0, 401), WIDTHS))
)[1:]
"""The upper ends of the cells; what is just at an end lies below it."""
BINS = 10


class Bin(msgspec.Struct, frozen=True):
    """Some of the probabilities that were told: their range, their mean, what came."""

    low: float
    high: float
    told: float
    came: Share


class Grid(Summed, frozen=True):
    """How many probabilities were told in each cell, their sum, and how many came true."""

    counts: Counts = msgspec.field(default_factory=lambda: np.zeros(len(ENDS), np.int64))
    hits: Counts = msgspec.field(default_factory=lambda: np.zeros(len(ENDS), np.int64))
    sums: Floats = msgspec.field(default_factory=lambda: np.zeros(len(ENDS)))

    @property
    def count(self) -> int:
        """How many probabilities there are."""
        return int(self.counts.sum())

    def equal_widths(self) -> tuple[Bin, ...]:
        """Return the bins by tenths that hold anything."""
        at = np.searchsorted(ENDS, WIDTHS[1:-1], side="right")
        return tuple(self._bins([0, *at.tolist(), len(ENDS)]))

    def equal_counts(self, bins: int = BINS) -> tuple[Bin, ...]:
        """Return bins that hold about as many each, as far as cells allow."""
        below = np.cumsum(self.counts)
        wanted = below[-1] * np.arange(1, bins) / bins
        at = np.searchsorted(below, wanted, side="left") + 1
        return tuple(self._bins(np.unique(np.concatenate(([0], at, [len(ENDS)]))).tolist()))

    def _bins(self, places: Sequence[int]) -> Iterator[Bin]:
        for begin, end in pairwise(places):
            count = int(self.counts[begin:end].sum())
            if count:
                low = float(ENDS[begin - 1]) if begin else 0.0
                told = float(self.sums[begin:end].sum()) / count
                came = Share(int(self.hits[begin:end].sum()), count)
                yield Bin(low, float(ENDS[end - 1]), told, came)


def gridded(told: Floats, came: NDArray[np.bool_]) -> Grid:
    """Return probabilities on the grid, with whether each came true."""
    at = np.searchsorted(ENDS, np.clip(told, 0.0, 1.0), side="left")
    size = len(ENDS)
    return Grid(
        np.bincount(at, minlength=size),
        np.bincount(at[came], minlength=size),
        np.bincount(at, weights=told, minlength=size).astype(np.float64),
    )


def off(bins: Sequence[Bin]) -> float:
    """Return how far what came is off what was told, in the mean (expected calibration error).

    M. P. Naeini and others, AAAI 2015, after A. H. Murphy's reliability of 1973, without squares.
    """
    count = sum(each.came.of for each in bins)
    far = sum(each.came.of * abs(each.came.value - each.told) for each in bins)
    return far / count if count else math.nan


def off_by_chance(bins: Sequence[Bin]) -> float:
    """Return how far off it would be by chance alone, if every probability were right.

    The mean deviation of a share from its probability, by the normal law.
    """
    count = sum(each.came.of for each in bins)
    far = sum(
        math.sqrt(2.0 / math.pi * each.came.of * max(each.told * (1.0 - each.told), 0.0))
        for each in bins
    )
    return far / count if count else math.nan
