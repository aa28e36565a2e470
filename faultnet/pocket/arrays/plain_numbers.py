"""What the plain loops make of one number or of two, by the numbers of the operations."""

import math
from collections.abc import Callable
from typing import Final


def divide(x: float, y: float) -> float:
    """Return a quotient; infinite or not a number where there is none."""
    if y:
        return x / y
    if x == 0.0 or math.isnan(x) or math.isnan(y):
        return math.nan
    return math.copysign(math.inf, x) * math.copysign(1.0, y)


def _maximum(x: float, y: float) -> float:
    return x if x > y or math.isnan(x) else y


def _minimum(x: float, y: float) -> float:
    return x if x < y or math.isnan(x) else y


def _either(x: float, y: float) -> float:
    return float(x != 0.0 or y != 0.0)


def _both(x: float, y: float) -> float:
    return float(x != 0.0 and y != 0.0)


def _bits(make: Callable[[int, int], int]) -> Callable[[float, float], float]:
    return lambda x, y: float(make(int(x), int(y)))


def floor_divide(x: float, y: float) -> float:
    """Return the whole part of a quotient, rounded down."""
    if not y or not math.isfinite(x):
        return divide(x, y) if not y else math.nan
    return x // y


def remainder(x: float, y: float) -> float:
    """Return what is left of a quotient rounded down."""
    return x % y if y and math.isfinite(x) else math.nan


def _left(x: float, y: float) -> float:
    return math.nan if y < 0 else x * 2.0**y


def _right(x: float, y: float) -> float:
    return math.nan if y < 0 else float(math.floor(x / 2.0**y))


def _exp(x: float) -> float:
    try:
        return math.exp(x)
    except OverflowError:
        return math.inf


def _log(x: float) -> float:
    if x == 0.0:
        return -math.inf
    return math.log(x) if x > 0.0 else math.nan


def _sqrt(x: float) -> float:
    return math.sqrt(x) if x >= 0.0 else math.nan


def _trunc(x: float) -> float:
    return float(math.trunc(x)) if math.isfinite(x) else x


def before(x: float) -> tuple[bool, float]:
    """Return what numbers are ordered by: not a number comes last."""
    return (True, 0.0) if math.isnan(x) else (False, x)


BINARY: Final[tuple[Callable[[float, float], float], ...]] = (
    float.__add__,
    float.__sub__,
    float.__mul__,
    divide,
    _maximum,
    _minimum,
    float.__gt__,
    float.__lt__,
    float.__eq__,
    float.__ne__,
    float.__ge__,
    float.__le__,
    _either,
    _both,
    _bits(int.__or__),
    _bits(int.__and__),
    _bits(int.__xor__),
    floor_divide,
    remainder,
    _left,
    _right,
)
UNARY: Final[tuple[Callable[[float], float], ...]] = (
    lambda x: x,
    float.__neg__,
    abs,
    _exp,
    _log,
    lambda x: float(math.isfinite(x)),
    lambda x: float(math.isnan(x)),
    lambda x: float(x == 0.0),
    lambda x: float(x != 0.0),
    _trunc,
    _sqrt,
)
