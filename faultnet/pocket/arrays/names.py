"""The names under which the rooms find arrays and what is done with them."""

from math import inf, nan
from typing import Final, Self

from faultnet.pocket.arrays import manner
from faultnet.pocket.arrays.copies import copied, in_row
from faultnet.pocket.arrays.elementwise import binary, masked, onto, unary, where_else
from faultnet.pocket.arrays.folding import (
    Axes,
    argmax,
    argmin,
    argsort,
    cumsum,
    fold,
    sums_from,
)
from faultnet.pocket.arrays.kinds import BINARY, MAXIMUM, MINIMUM
from faultnet.pocket.arrays.made import (
    arange,
    array,
    asarray,
    eye,
    full,
    full_like,
    indices,
    ones,
    ones_like,
    zeros,
    zeros_like,
)
from faultnet.pocket.arrays.ndarray import Array, Scalar
from faultnet.pocket.arrays.number import Number
from faultnet.pocket.arrays.ordering import bincount, lexsort, take_along_axis, unique
from faultnet.pocket.arrays.places import flatnonzero, nonzero
from faultnet.pocket.arrays.products import einsum, matmul, tensordot
from faultnet.pocket.arrays.shaping import (
    Broadcast,
    broadcast_to,
    concatenate,
    diag,
    diagonal,
    expand_dims,
    ix_,
    moveaxis,
    ravel,
    ravel_multi_index,
    repeat,
    reshape,
    tile,
    vstack,
)


class Operation:
    """An operation on two arrays, number by number, with what else is made by it."""

    __slots__ = ("_number", "name")

    def __init__(self, name: str) -> None:
        self.name = name
        self._number = BINARY[name]

    def __call__(
        self, one: object, other: object, out: Array | None = None, *, where: object = None
    ) -> Array | Scalar:
        """Return what is made of two; put it into `out` where that is given."""
        if out is None:
            if where is not None:
                raise TypeError("where something is made only in part, say what it is put into")
            return binary(self._number, one, other)
        if where is None:
            return onto(self._number, out, one, other)
        return masked(self._number, (one, other), out, where)

    def outer(self, one: object, other: object) -> Array | Scalar:
        """Return what is made of each of one with each of the other."""
        a, b = asarray(one), asarray(other)
        wide = reshape(a, (*a.layout.shape, *(1,) * b.layout.ndim))
        return binary(self._number, wide, b)

    def reduce(self, value: object, axis: Axes = 0, *, keepdims: bool = False) -> Array | Scalar:
        """Fold an array along an axis."""
        return fold(self._number, asarray(value), axis, keepdims)

    def reduceat(self, value: object, starts: object, axis: int = 0) -> Array:
        """Return the sums of the parts that begin at some places along an axis."""
        if self.name != "add":
            raise TypeError("parts are only added up")
        return sums_from(value, starts, axis)


class ErrState:
    """Arrays here never warn; so there is nothing to quieten."""

    def __init__(self, **_: str) -> None:
        pass

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        pass


def _outer(one: object, other: object) -> Array | Scalar:
    """Return the products of each of one row with each of another."""
    return _TIMES.outer(ravel(asarray(one)), ravel(asarray(other)))


def _where(condition: object, *parts: object) -> object:
    """Take numbers from one or the other as a condition says, or return where it holds."""
    return where_else(condition, *parts) if parts else nonzero(condition)


def _clip(value: object, low: float, high: float) -> Array | Scalar:
    """Return numbers brought within bounds."""
    return binary(MINIMUM, binary(MAXIMUM, value, low), high)


def _of_one(name: str) -> object:
    def apply(value: object) -> Array | Scalar:
        return unary(name, value)

    return apply


def _folded(name: str) -> object:
    def apply(value: object, axis: Axes = None, *, keepdims: bool = False) -> Array | Scalar:
        return fold(manner.FOLDED[name], asarray(value), axis, keepdims)

    return apply


_TIMES: Final = Operation("multiply")
_AS_THEY_ARE: Final = (
    arange,
    argmax,
    argmin,
    argsort,
    array,
    asarray,
    bincount,
    broadcast_to,
    concatenate,
    cumsum,
    diag,
    diagonal,
    einsum,
    expand_dims,
    eye,
    flatnonzero,
    full,
    full_like,
    indices,
    ix_,
    lexsort,
    matmul,
    moveaxis,
    nonzero,
    ones,
    ones_like,
    ravel_multi_index,
    repeat,
    take_along_axis,
    tensordot,
    tile,
    unique,
    vstack,
    zeros,
    zeros_like,
)
NAMES: Final[dict[str, object]] = (
    {one.__name__: one for one in _AS_THEY_ARE}
    | {name: Operation(name) for name in BINARY}
    | {
        name: _of_one(name)
        for name in ("abs", "exp", "isfinite", "isnan", "log", "logical_not", "negative", "sqrt")
    }
    | {name: _folded(name) for name in manner.FOLDED}
    | {"broadcast": Broadcast, "errstate": ErrState, "ndarray": Array}
    | {"ascontiguousarray": in_row, "clip": _clip, "copy": copied, "empty": zeros}
    | {"empty_like": zeros_like, "outer": _outer, "where": _where, "inf": inf, "nan": nan}
    | {
        "float64": Number,
        "floating": Number,
        "intp": int,
        "int64": int,
        "bool_": bool,
        "newaxis": None,
    }
)
"""What stands in the place of the package `numpy`."""
