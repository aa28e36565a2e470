"""Arrays in other shapes: axes moved, opened, joined and repeated."""

from collections.abc import Sequence
from math import prod

from faultnet.pocket.arrays.copies import copied, flat, put, widened
from faultnet.pocket.arrays.folding import axes_of
from faultnet.pocket.arrays.kinds import FLOAT
from faultnet.pocket.arrays.layout import Ints, layout_of, restepped, row_of, together
from faultnet.pocket.arrays.made import Shape, asarray, shape_of
from faultnet.pocket.arrays.ndarray import Array, fresh
from faultnet.pocket.arrays.picks import get_picked
from faultnet.pocket.arrays.places import counts

_ALL = slice(None)


def reshape(array: Array, *asked: object) -> Array:
    """Return the same numbers in another shape: a view where that can be, else a copy."""
    shape = asked[0] if len(asked) == 1 and not isinstance(asked[0], int) else asked
    layout = array.layout
    known = layout.views.get(("reshape", shape)) if isinstance(shape, tuple) else None
    if known is not None:
        return array.lain(*known)
    lengths = _lengths(shape, layout.size)
    steps = restepped(layout, lengths)
    if steps is None:
        return copied(array).lain(0, row_of(lengths))
    made = layout_of(lengths, steps)
    if isinstance(shape, tuple):
        layout.views["reshape", shape] = 0, made
    return array.lain(0, made)


def _lengths(asked: object, size: int) -> Ints:
    """Return a shape in which the one open length, -1, is filled in."""
    if not isinstance(asked, list | tuple):
        raise TypeError(f"{asked!r} is not a shape")
    lengths = [int(n) for n in asked]
    if lengths.count(-1) == 1:
        known = prod(n for n in lengths if n != -1)
        lengths[lengths.index(-1)] = size // known if known else 0
    if prod(lengths) != size or min(lengths, default=0) < 0:
        raise ValueError(f"{size} numbers do not fit the shape {tuple(asked)}")
    return tuple(lengths)


def transpose(array: Array, *asked: object) -> Array:
    """Return a view with the axes in another order."""
    if len(asked) == 1 and not isinstance(asked[0], int):
        asked = tuple(asked[0]) if isinstance(asked[0], list | tuple) else ()
    layout = array.layout
    if not asked:
        return array.turned
    known = layout.views.get(("transpose", asked))
    if known is None:
        order = [int(axis) % layout.ndim for axis in asked if isinstance(axis, int)]
        if sorted(order) != list(range(layout.ndim)):
            raise ValueError(f"axes {asked} are not each of {layout.ndim} once")
        shape = tuple(layout.shape[axis] for axis in order)
        known = 0, layout_of(shape, tuple(layout.steps[axis] for axis in order))
        layout.views["transpose", asked] = known
    return array.lain(*known)


def moveaxis(value: object, source: int, target: int) -> Array:
    """Return a view in which one axis stands elsewhere."""
    array = asarray(value)
    count = array.layout.ndim
    one, other = axes_of(count, source).pop(), axes_of(count, target).pop()
    order = [k for k in range(count) if k != one]
    order.insert(other, one)
    return transpose(array, tuple(order))


def expand_dims(value: object, axis: int) -> Array:
    """Return a view with one more axis, of one place."""
    array = asarray(value)
    layout = array.layout
    known = layout.views.get(("expand", axis))
    if known is None:
        at = axes_of(layout.ndim + 1, axis).pop()
        shape, steps = layout.shape, layout.steps
        made = layout_of((*shape[:at], 1, *shape[at:]), (*steps[:at], 0, *steps[at:]))
        known = layout.views["expand", axis] = 0, made
    return array.lain(*known)


def ravel(array: Array) -> Array:
    """Return the numbers in a row, the last axis fastest."""
    return reshape(array, (-1,))


def broadcast_to(value: object, shape: Shape) -> Array:
    """Return a view in which an array is as wide as a shape; it may not be written."""
    return widened(asarray(value), shape_of(shape))


def concatenate(parts: Sequence[object], axis: int = 0) -> Array:
    """Return arrays set one behind the other along an axis."""
    arrays = [asarray(part) for part in parts]
    if not arrays:
        raise ValueError("there is nothing to set in a row")
    first = arrays[0].layout
    at = axes_of(first.ndim, axis).pop()
    for one in arrays[1:]:
        _fits(first.shape, one.layout.shape, at)
    lengths = [one.layout.shape[at] for one in arrays]
    made = row_of((*first.shape[:at], sum(lengths), *first.shape[at + 1 :]))
    result = fresh(made, max(one.kind for one in arrays))
    offset = 0
    for one, length in zip(arrays, lengths, strict=True):
        if one.layout.size:
            put(result.lain(offset, layout_of(one.layout.shape, made.steps)), one)
        offset += length * made.steps[at]
    return result


def _fits(one: Ints, other: Ints, axis: int) -> None:
    if len(one) != len(other) or one[:axis] + one[axis + 1 :] != other[:axis] + other[axis + 1 :]:
        raise ValueError(f"shapes {one} and {other} cannot be set in a row along axis {axis}")


def vstack(parts: Sequence[object]) -> Array:
    """Return rows set one below the other."""
    arrays = [asarray(part) for part in parts]
    return concatenate([reshape(a, (1, -1)) if a.layout.ndim < 2 else a for a in arrays])


def repeat(value: object, times: int, axis: int) -> Array:
    """Return an array in which each place along an axis comes several times."""
    array = asarray(value)
    at = axes_of(array.layout.ndim, axis).pop()
    lengths = array.layout.shape
    wide = (*lengths[: at + 1], int(times), *lengths[at + 1 :])
    opened = expand_dims(array, at + 1)
    result = copied(widened(opened, wide))
    return result.lain(0, row_of((*lengths[:at], lengths[at] * int(times), *lengths[at + 1 :])))


def tile(value: object, times: Sequence[int]) -> Array:
    """Return an array repeated as a whole along each axis."""
    array, counted = asarray(value), shape_of(times)
    count = max(array.layout.ndim, len(counted))
    lengths = (1,) * (count - array.layout.ndim) + array.layout.shape
    often = (1,) * (count - len(counted)) + counted
    narrow = tuple(n for length in lengths for n in (1, length))
    wide = tuple(n for pair in zip(often, lengths, strict=True) for n in pair)
    result = copied(widened(reshape(array, narrow), wide))
    return result.lain(0, row_of(tuple(a * b for a, b in zip(often, lengths, strict=True))))


def take(array: Array, places: object, axis: int | None = None) -> Array:
    """Return a copy of what stands at some places along an axis, or among all."""
    source = ravel(array) if axis is None else array
    at = axes_of(source.layout.ndim, 0 if axis is None else axis).pop()
    return asarray(get_picked(source, (*(_ALL,) * at, asarray(places))))


def diagonal(value: object, axis1: int = 0, axis2: int = 1) -> Array:
    """Return a view of what stands at the same place of two axes; it may not be written."""
    array = asarray(value)
    layout = array.layout
    one, other = (axes_of(layout.ndim, axis).pop() for axis in (axis1, axis2))
    rest = [k for k in range(layout.ndim) if k not in (one, other)]
    shape = (*(layout.shape[k] for k in rest), min(layout.shape[one], layout.shape[other]))
    steps = (*(layout.steps[k] for k in rest), layout.steps[one] + layout.steps[other])
    result = array.lain(0, layout_of(shape, steps))
    result.fixed = True
    return result


def diag(value: object) -> Array:
    """Return the diagonal of a square, or a square with a row as its diagonal."""
    array = asarray(value)
    if array.layout.ndim == 2:
        return diagonal(array)
    if array.layout.ndim != 1:
        raise ValueError("only a row or a table has a diagonal")
    length = array.layout.size
    result = fresh(row_of((length, length)), array.kind)
    put(result.lain(0, layout_of((length,), (length + 1,))), array)
    return result


def ix_(*lists: object) -> tuple[Array, ...]:
    """Return lists of places such that all of one go with all of another."""
    result = []
    for k, one in enumerate(map(asarray, lists)):
        shape = tuple(-1 if j == k else 1 for j in range(len(lists)))
        result.append(
            reshape(counts([]) if one.kind == FLOAT and not one.layout.size else one, shape)
        )
    return tuple(result)


class Broadcast:
    """The shape of arrays that are walked together."""

    def __init__(self, *parts: object) -> None:
        self.shape = together(*(asarray(part).layout.shape for part in parts))


def ravel_multi_index(places: Sequence[object], shape: Shape) -> Array:
    """Return where, all in a row, the places along each axis of a shape lead."""
    row = row_of(shape_of(shape))
    lists = [asarray(one) for one in places]
    if len(lists) != row.ndim:
        raise ValueError(f"{len(lists)} lists of places for {row.ndim} axes")
    wide = together(*(one.layout.shape for one in lists))
    total = [0] * row_of(wide).size
    for one, length, step in zip(lists, row.shape, row.steps, strict=True):
        found = list(map(int, flat(widened(one, wide))))
        if not all(0 <= place < length for place in found):
            raise ValueError(f"a place is outside of an axis of {length}")
        total = [so_far + place * step for so_far, place in zip(total, found, strict=True)]
    return counts(total).lain(0, row_of(wide))
