"""Single numbers and truths that are asked as arrays are, and reckon as they do."""

import math
import operator
from collections.abc import Callable

from faultnet.pocket.arrays.plain_numbers import divide, floor_divide, remainder


class Number(float):
    """A number out of an array: a float that, divided by nought, is infinite or no number."""

    __slots__ = ()
    __hash__ = float.__hash__


class Truth(int):
    """A truth out of an array: what is not true is false, and two together stay a truth."""

    __slots__ = ()

    def __repr__(self) -> str:
        return repr(bool(self))

    def __invert__(self) -> "Truth":
        return Truth(not self)

    def __neg__(self) -> int:
        raise TypeError("a truth has no negative")

    def item(self) -> bool:
        """Return it as a plain truth."""
        return bool(self)

    any = all = tolist = item


def _power(x: float, y: float) -> float:
    try:
        return math.pow(x, y)
    except OverflowError:
        odd = x < 0.0 and y % 2.0 == 1.0
        return -math.inf if odd else math.inf
    except ValueError:
        return math.inf if x == 0.0 else math.nan


def _made(make: Callable[[float, float], float], *, turned: bool) -> Callable[..., object]:
    def apply(self: Number, other: object) -> object:
        if not isinstance(other, int | float):
            return NotImplemented
        one, two = float(self), float(other)
        return Number(make(two, one) if turned else make(one, two))

    return apply


def _single(make: Callable[[float], float]) -> Callable[[float], Number]:
    return lambda self: Number(make(self))


def _compared(make: Callable[[float, float], bool]) -> Callable[..., object]:
    def apply(self: Number, other: object) -> object:
        return Truth(make(self, other)) if isinstance(other, int | float) else NotImplemented

    return apply


def _joined(name: str, make: Callable[[int, int], int]) -> Callable[..., object]:
    plain = getattr(int, name)

    def apply(self: Truth, other: object) -> object:
        if isinstance(other, Truth | bool):
            return Truth(make(int(self), int(other)))
        return plain(self, other)

    return apply


def _refused(_: int, __: int) -> int:
    raise TypeError("a truth is not taken from a truth")


def _give_manners() -> None:
    reckoned: dict[str, Callable[[float, float], float]] = {
        "truediv": divide,
        "floordiv": floor_divide,
        "mod": remainder,
        "pow": _power,
    }
    for name, make in reckoned.items():
        setattr(Number, f"__{name}__", _made(make, turned=False))
        setattr(Number, f"__r{name}__", _made(make, turned=True))
    for name in ("add", "radd", "sub", "rsub", "mul", "rmul"):
        setattr(Number, f"__{name}__", _made(getattr(float, f"__{name}__"), turned=False))
    for name in ("neg", "abs"):
        setattr(Number, f"__{name}__", _single(getattr(float, f"__{name}__")))
    for name in ("lt", "le", "gt", "ge", "eq", "ne"):
        setattr(Number, f"__{name}__", _compared(getattr(float, f"__{name}__")))
    joined: dict[str, Callable[[int, int], int]]
    joined = {"and": operator.and_, "or": operator.or_, "xor": operator.xor}
    joined |= {"add": operator.or_, "mul": operator.and_, "sub": _refused}
    for name, join in joined.items():
        for side in ("", "r"):
            setattr(Truth, f"__{side}{name}__", _joined(f"__{side}{name}__", join))


_give_manners()
