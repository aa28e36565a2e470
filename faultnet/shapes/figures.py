"""Shares, means and probabilities as they were told, each with its range."""

import math
from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from faultnet.learning.measures.figures import Mean, Share
    from faultnet.learning.measures.grid import Bin, Grid


class ShareShape(msgspec.Struct, frozen=True):
    """``hits`` of ``of``, with the range that the share lies in with a probability of 95 %."""

    value: float | None
    low: float | None
    high: float | None
    hits: int
    of: int


class MeanShape(msgspec.Struct, frozen=True):
    """The mean of so many numbers, with the range that it lies in with 95 %."""

    value: float | None
    low: float | None
    high: float | None
    count: int


class BinShape(msgspec.Struct, frozen=True):
    """Probabilities from ``low`` to ``high``: the mean that was told, and how often it came."""

    low: float
    high: float
    told: float
    came: ShareShape


class ReliabilityShape(msgspec.Struct, frozen=True):
    """Probabilities beside what came, in bins of equal widths and of equal counts.

    ``off`` is how far what came is off what was told, in the mean over bins of equal counts
    (the expected calibration error), ``off_widths`` over the others; ``off_by_chance`` what
    ``off`` would be if every probability were right.
    """

    count: int
    off: float | None
    off_by_chance: float | None
    off_widths: float | None
    equal_counts: tuple[BinShape, ...]
    equal_widths: tuple[BinShape, ...]


def reliability_shape(grid: "Grid") -> ReliabilityShape:
    """Return probabilities beside what came."""
    from faultnet.learning.measures.grid import off, off_by_chance

    counts, widths = grid.equal_counts(), grid.equal_widths()
    return ReliabilityShape(
        grid.count,
        number(off(counts)),
        number(off_by_chance(counts)),
        number(off(widths)),
        tuple(map(_bin, counts)),
        tuple(map(_bin, widths)),
    )


def share_shape(share: "Share") -> ShareShape:
    """Return a share with its range."""
    low, high = map(number, share.interval)
    return ShareShape(number(share.value), low, high, share.hits, share.of)


def mean_shape(mean: "Mean") -> MeanShape:
    """Return a mean with its range."""
    low, high = map(number, mean.interval)
    return MeanShape(number(mean.value), low, high, mean.count)


def number(value: float) -> float | None:
    """Return a number, or None for what is none."""
    return value if math.isfinite(value) else None


def _bin(each: "Bin") -> BinShape:
    return BinShape(each.low, each.high, each.told, share_shape(each.came))
