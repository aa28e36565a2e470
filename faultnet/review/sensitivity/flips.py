"""Where along the values of a number another cause comes first."""

from collections.abc import Callable

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.network.crossing import crossing

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Curve = Callable[[float], Array]
"""The weights of causes by a number."""

LEVEL = 1e-11
"""Weights that differ by less, as a share, are level."""


class Crossing(msgspec.Struct, frozen=True):
    """The value at which another cause, by place, draws level with the first one."""

    value: float
    cause: int


def lead(weights: Array, rivals: Flags) -> float:
    """Return by how much the best rival leads, on the logarithm of weights; below zero if none."""
    own, other = weights[~rivals].max(), weights[rivals].max(initial=0.0)
    if other <= 0.0:
        return -np.inf
    return float(np.log(other) - np.log(own)) if own > 0.0 else np.inf


def best_rival(weights: Array, rivals: Flags) -> int:
    """Return which rival has the largest weight."""
    return int(np.argmax(np.where(rivals, weights, -1.0)))


def crossings(
    weights: Array, slopes: Array, rivals: Flags, value: float, ends: tuple[float, float]
) -> tuple[Crossing | None, Crossing | None]:
    """Return the nearest crossings below and above a value where weights are straight lines.

    Each two lines cross where ``weight + slope . (x - value)`` of both is the same; looked
    at are the crossings of a rival with the first cause or one that looks like it.
    """
    scale = float(weights.max())
    gap = np.subtract.outer(weights[~rivals], weights[rivals]).ravel()
    steep = np.subtract.outer(slopes[~rivals], slopes[rivals]).ravel()
    span = max(ends[1] - value, value - ends[0])
    real = np.abs(steep) * span > LEVEL * scale
    at = np.sort(value - gap[real] / steep[real])
    below, above = at[(at <= value) & (at >= ends[0])], at[(at >= value) & (at <= ends[1])]

    def line(x: float) -> Array:
        return np.asarray(weights + slopes * (x - value))

    def first(found: Array, side: float) -> Crossing | None:
        for x in found:
            past = line(float(x) + side * span * 1e-9)
            if lead(past, rivals) > 0.0:
                return Crossing(float(x), best_rival(past, rivals))
        return None

    return first(below[::-1], -1.0), first(above, 1.0)


def first_crossing(
    curve: Curve, rivals: Flags, spots: Array, at: Callable[[float], float]
) -> Crossing | None:
    """Return the nearest crossing on a curve that is no line: looked for spot by spot.

    ``spots`` lead away from the number on the scale that ``at`` turns into values. Between
    two spots the lead is followed until it is nothing; a rival that comes first and falls
    back again between two spots is not seen.
    """
    before = spots[0]
    behind = lead(curve(at(float(before))), rivals)
    for spot in spots[1:]:
        ahead = lead(curve(at(float(spot))), rivals)
        if ahead > 0.0:
            low, high = sorted(((float(before), behind), (float(spot), ahead)))
            found = _followed(curve, rivals, (low, high), at)
            past = curve(at(found + (float(spot) - found) * 1e-6))
            return Crossing(at(found), best_rival(past, rivals))
        before, behind = spot, ahead
    return None


def _followed(
    curve: Curve,
    rivals: Flags,
    ends: tuple[tuple[float, float], tuple[float, float]],
    at: Callable[[float], float],
) -> float:
    (low, at_low), (high, at_high) = ends
    if at_low == 0.0 or at_high == 0.0:
        return low if at_low == 0.0 else high
    bounded = (max(min(x, 1e3), -1e3) for x in (at_low, at_high))

    def leads(x: float) -> float:
        return max(min(lead(curve(at(x)), rivals), 1e3), -1e3)

    one, other = bounded
    return crossing(leads, low, high, (one, other), 1e-12)
