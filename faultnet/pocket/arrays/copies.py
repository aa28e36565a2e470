"""Copies of arrays: in a row, of another kind, into a place of another."""

from typing import Final

from faultnet.pocket.arrays import loops
from faultnet.pocket.arrays.kinds import BOOL, COPY, FLOAT, INT, TRUNC, TRUTH
from faultnet.pocket.arrays.layout import Layout, layout_of, row_of, spread
from faultnet.pocket.arrays.ndarray import READERS, Array, fresh

_BLOCK: Final = loops.BLOCK
_four: Final = loops.FOUR
_unary: Final = loops.unary


def copied(source: Array, kind: int | None = None) -> Array:
    """Return a copy in a row, of the same kind or of another."""
    kind = source.kind if kind is None else kind
    result = fresh(row_of(source.layout.shape), kind)
    _fill(result, source)
    return result


def in_row(source: Array, kind: int | None = None) -> Array:
    """Return an array, or a copy of it where it does not lie in a row or is of another kind."""
    if source.layout.row and (kind is None or kind == source.kind):
        return source
    return copied(source, kind)


def cast(source: Array, kind: int) -> Array:
    """Return an array of some kind, the same where it is of that kind."""
    return source if source.kind == kind else copied(source, kind)


def put(target: Array, source: Array) -> None:
    """Copy numbers into an array of the same or a wider shape; a `ValueError` if they differ."""
    if source.buf is target.buf and source.layout.size > 1:
        source = copied(source)
    if target.kind == INT and source.kind == FLOAT:
        source = copied(source, INT)
    _fill(target, source)


def _fill(target: Array, source: Array) -> None:
    operation, kind = COPY, target.kind
    if kind < source.kind:
        operation = TRUTH if kind == BOOL else TRUNC
    plan = target.layout.copies.get(source.layout)
    if plan is None:
        plan = target.layout.copied(source.layout)
    _four(_BLOCK, 0, operation, plan, target.place, source.place)
    _unary()
    if operation == TRUNC:
        told(target)


def told(counts: Array) -> Array:
    """Return counts in a row; an `OverflowError` where a double does not tell one exactly."""
    loops.THREE(_BLOCK, 0, counts.place, counts.layout.size, 0)
    if not loops.bounded():
        raise OverflowError("counts beyond what arrays tell exactly, or division by nought")
    return counts


def flat(source: Array) -> list[float]:
    """Return all numbers, the last axis fastest, as doubles."""
    lying = in_row(source)
    if len(lying.buf) == lying.layout.size:
        return lying.buf.tolist()
    return lying.buf[lying.at : lying.at + lying.layout.size].tolist()


def values(source: Array) -> list[float]:
    """Return all numbers, the last axis fastest, as floats, ints or bools."""
    found = flat(source)
    return found if source.kind == FLOAT else list(map(READERS[source.kind], found))


def tolist(source: Array) -> object:
    """Return nested lists of numbers, or the one number."""
    found = values(source)
    shape = source.layout.shape
    return _nested(found, shape) if shape else found[0]


def _nested(found: list[float], shape: tuple[int, ...]) -> list[object]:
    if len(shape) == 1:
        return list(found)
    inner = row_of(shape[1:]).size
    return [_nested(found[k * inner : (k + 1) * inner], shape[1:]) for k in range(shape[0])]


def widened(source: Array, shape: tuple[int, ...]) -> Array:
    """Return a view in which an array is as wide as a shape; it may not be written."""
    layout = source.layout
    if layout.shape == shape:
        wide: Layout = layout
    else:
        wide = layout_of(shape, spread(layout, shape))
    result = source.lain(0, wide)
    result.fixed = True
    return result
