"""What an array holds, and the operations by which one number is made of two or of one.

The numbers of the operations are those of `page/loops.js` and of `plain.py`.
"""

from typing import Final

BOOL: Final = 0
INT: Final = 1
FLOAT: Final = 2

WHOLE: Final = 2.0**53
"""Counts up to here are told exactly by a double; beyond it an operation on counts is refused."""

_REAL: Final = ("add", "subtract", "multiply", "divide", "maximum", "minimum")
_COMPARED: Final = (
    "greater",
    "less",
    "equal",
    "not_equal",
    "greater_equal",
    "less_equal",
    "logical_or",
    "logical_and",
)
_BITS: Final = ("bitwise_or", "bitwise_and", "bitwise_xor")
_WHOLE: Final = ("floor_divide", "remainder")
_SHIFTS: Final = ("left_shift", "right_shift")
BINARY: Final = {
    name: number for number, name in enumerate((*_REAL, *_COMPARED, *_BITS, *_WHOLE, *_SHIFTS))
}
UNARY: Final = {
    name: number
    for number, name in enumerate(
        (
            "copy",
            "negative",
            "abs",
            "exp",
            "log",
            "isfinite",
            "isnan",
            "logical_not",
            "truth",
            "trunc",
            "sqrt",
        )
    )
}
NONE: Final = -1
"""There is no such operation on these kinds, or none that is supported here."""


def _made(name: str, one: int, other: int) -> int:
    """Return the kind of what an operation makes of two kinds."""
    both = max(one, other)
    if name in _COMPARED:
        return BOOL
    if name == "divide":
        return FLOAT
    if name in _BITS:
        return NONE if both == FLOAT else both
    if name in _SHIFTS:
        return both if both == INT else NONE
    if both == BOOL and name in {"subtract", *_WHOLE}:
        return NONE
    return both


ADD: Final = BINARY["add"]
MULTIPLY: Final = BINARY["multiply"]
MAXIMUM: Final = BINARY["maximum"]
MINIMUM: Final = BINARY["minimum"]
OR: Final = BINARY["logical_or"]
AND: Final = BINARY["logical_and"]
COPY: Final = UNARY["copy"]
TRUTH: Final = UNARY["truth"]
TRUNC: Final = UNARY["trunc"]


_EXACTLY: Final[dict[type, int]] = {bool: BOOL, int: INT, float: FLOAT}


def kind_of(dtype: object) -> int:
    """Return the kind that a type asks for; a `TypeError` where there is none."""
    if isinstance(dtype, type):
        if dtype in _EXACTLY:
            return _EXACTLY[dtype]
        for base, kind in _EXACTLY.items():
            if issubclass(dtype, base):
                return kind
    raise TypeError(f"arrays hold float, int or bool, not {dtype!r}")


def _loop(name: str, one: int, other: int) -> int:
    """Return the loop of an operation: truths are added up as one or the other."""
    return OR if name == "add" and one == other == BOOL else BINARY[name]


MADE: Final = tuple(
    (_made(name, one, other), _loop(name, one, other))
    for name in BINARY
    for one in range(3)
    for other in range(3)
)
"""The kind that an operation makes of two, and its loop: `9 * operation + 3 * one + other`."""
