"""Axes folded: sums, products, extremes and truths, whole or in parts."""

from collections.abc import Iterable
from math import inf
from typing import Final

from faultnet.pocket.arrays import loops
from faultnet.pocket.arrays.copies import in_row, told
from faultnet.pocket.arrays.elementwise import finished
from faultnet.pocket.arrays.kinds import ADD, AND, BOOL, INT, MAXIMUM, MINIMUM, MULTIPLY, OR
from faultnet.pocket.arrays.layout import Layout, row_of, row_steps
from faultnet.pocket.arrays.made import asarray
from faultnet.pocket.arrays.ndarray import NOUGHT, Array, Scalar, fresh

START: Final = {ADD: 0.0, MULTIPLY: 1.0, MINIMUM: inf, MAXIMUM: -inf, OR: 0.0, AND: 1.0}
"""What a fold starts with, by its operation."""
_ORDER, _SUMS, _LARGEST, _SMALLEST, _SUMS_FROM = range(5)
Axes = int | Iterable[int] | None


def fold(operation: int, array: Array, axis: Axes, keepdims: bool) -> Array | Scalar:
    """Fold an array along one axis, several or all."""
    layout = array.layout
    if axis.__class__ is list:
        axis = tuple(axis)
    known = layout.folds.get((axis, keepdims)) or _folding(layout, axis, keepdims)
    made, plan, size = known
    if not layout.size and size and operation in (MINIMUM, MAXIMUM):
        raise ValueError("of no numbers there is no least or largest")
    buf = NOUGHT * size
    place = buf.buffer_info()[0] >> 3
    loops.SIX(loops.BLOCK, 0, operation, plan, place, array.place, size, START[operation])
    loops.fold()
    return finished(Array(buf, 0, place, made, _kind(operation, array.kind)))


def _kind(operation: int, kind: int) -> int:
    if operation in (OR, AND):
        return BOOL
    return max(kind, INT) if operation in (ADD, MULTIPLY) else kind


def _folding(layout: Layout, axis: Axes, keepdims: bool) -> tuple[Layout, int, int]:
    """Return the layout of what is folded, the plan and how many numbers there are."""
    gone = axes_of(layout.ndim, axis)
    kept = tuple(1 if k in gone else n for k, n in enumerate(layout.shape))
    steps = tuple(0 if k in gone else s for k, s in enumerate(row_steps(kept)))
    shape = kept if keepdims else tuple(n for k, n in enumerate(layout.shape) if k not in gone)
    made = row_of(shape)
    known = made, loops.plan(layout.shape, (steps, layout.steps)), made.size
    layout.folds[axis, keepdims] = known
    return known


def axes_of(count: int, axis: Axes) -> set[int]:
    """Return axes counted from the first; an `IndexError` for one that is not there."""
    if axis is None:
        return set(range(count))
    asked = [axis] if isinstance(axis, int) else list(axis)
    for one in asked:
        if not -count <= one < count:
            raise IndexError(f"there is no axis {one} among {count}")
    found = {one % count for one in asked}
    if len(found) != len(asked):
        raise ValueError(f"axes {asked} name one axis twice")
    return found


def _along(which: int, array: Array, axis: int, made: Array, more: tuple[int, int]) -> None:
    """Run a loop along one axis of an array in a row."""
    shape = array.layout.shape
    outer, inner = row_of(shape[:axis]).size, row_of(shape[axis + 1 :]).size
    asked = (which, outer, shape[axis], inner, made.place, array.place, *more)
    loops.EIGHT(loops.BLOCK, 0, *asked)
    loops.along()


def _whole(value: object, axis: int | None) -> tuple[Array, int]:
    """Return an array in a row and an axis of it: the only one, where none is named."""
    array = in_row(asarray(value))
    if axis is None or not array.layout.ndim:
        return array.lain(0, row_of((array.layout.size,))), 0
    return array, axes_of(array.layout.ndim, axis).pop()


def argsort(value: object, axis: int = -1, kind: str | None = None) -> Array:
    """Return the order of the numbers along an axis, equal ones as they were."""
    if kind not in (None, "stable"):
        raise ValueError(f"arrays are ordered in the stable way, not by {kind!r}")
    array, at = _whole(value, axis)
    made = fresh(array.layout, INT)
    _along(_ORDER, array, at, made, (made.place, 0))
    return made


def cumsum(value: object, axis: int | None = None) -> Array:
    """Return the sums up to each number along an axis."""
    array, at = _whole(value, axis)
    made = fresh(array.layout, max(array.kind, INT))
    _along(_SUMS, array, at, made, (made.place, 0))
    return told(made) if made.kind == INT else made


def argmax(value: object, axis: int | None = None) -> Array | Scalar:
    """Return the place of the largest along an axis, or among all."""
    return _extreme(_LARGEST, value, axis)


def argmin(value: object, axis: int | None = None) -> Array | Scalar:
    """Return the place of the least along an axis, or among all."""
    return _extreme(_SMALLEST, value, axis)


def _extreme(which: int, value: object, axis: int | None) -> Array | Scalar:
    array, at = _whole(value, axis)
    shape = array.layout.shape
    if not shape[at]:
        raise ValueError("of no numbers there is no least or largest")
    made = fresh(row_of((*shape[:at], *shape[at + 1 :])), INT)
    _along(which, array, at, made, (made.place, 0))
    return finished(made)


def sums_from(value: object, starts: object, axis: int = 0) -> Array:
    """Return the sums of the parts that begin at some places along an axis."""
    array, at = _whole(value, axis)
    begins = in_row(asarray(starts))
    shape, count = array.layout.shape, begins.layout.size
    if begins.kind != INT or begins.layout.ndim != 1:
        raise TypeError("parts begin at counts in one row")
    if not all(0 <= start < shape[at] for start in begins.buf[begins.at : begins.at + count]):
        raise IndexError(f"a part begins outside of {shape[at]}")
    made = fresh(row_of((*shape[:at], count, *shape[at + 1 :])), max(array.kind, INT))
    _along(_SUMS_FROM, array, at, made, (begins.place, count))
    return told(made) if made.kind == INT else made
