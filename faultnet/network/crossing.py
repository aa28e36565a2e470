"""Where a smooth function crosses nothing, when it is known to do so between two points."""

from collections.abc import Callable

MOST = 60
"""Steps at most; a smooth function takes a handful."""


def crossing(
    function: Callable[[float], float],
    low: float,
    high: float,
    ends: tuple[float, float] | None = None,
    nearness: float = 1e-15,
) -> float:
    """Return where a function is nothing between two points at which its signs differ.

    ``ends`` are its values there, where they are known. It stops when the crossing is held
    to a share of ``nearness``. The rule is that of false position with the stale end
    halved ("Illinois"; Dowell and Jarratt 1971, BIT 11, from memory).
    """
    at_low, at_high = ends or (function(low), function(high))
    if at_low * at_high > 0.0:
        raise ValueError("the signs at both ends are the same")
    side = 0
    for _ in range(MOST):
        if at_low == 0.0:
            return low
        if at_high == 0.0:
            return high
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        if not low < middle < high:
            middle = (low + high) / 2.0
        if abs(high - low) <= nearness * abs(middle) or middle in (low, high):
            return middle
        value = function(middle)
        if value * at_high > 0.0:
            near, high, at_high = abs(high - middle), middle, value
            at_low *= 0.5 if side == 1 else 1.0
            side = 1
        else:
            near, low, at_low = abs(middle - low), middle, value
            at_high *= 0.5 if side == -1 else 1.0
            side = -1
        if near <= nearness * abs(middle):
            return middle
    return (low + high) / 2.0
