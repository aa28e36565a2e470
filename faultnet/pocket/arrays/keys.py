"""What stands in brackets: a view of an array, or numbers picked out of it."""

from operator import mul
from typing import Final

from faultnet.pocket.arrays.copies import put
from faultnet.pocket.arrays.kinds import FLOAT
from faultnet.pocket.arrays.layout import Layout, layout_of, row_of
from faultnet.pocket.arrays.made import RIGHT, operand
from faultnet.pocket.arrays.ndarray import Array, Scalar, scalar
from faultnet.pocket.arrays.picks import get_picked, opened, set_picked, step_to

View = tuple[int, Layout]
_MOST: Final = 4096
"""So many views of one layout are kept; then they are found anew."""
_POINT: Final = row_of(())
_CELLS: Final = frozenset((int,) * count for count in range(1, 33))
"""The types in a key that leads to a single number, where there is one for each axis."""


def got(array: Array, key: object) -> Array | Scalar:
    """Return the number, the view or the copy that a key asks for."""
    layout = array.layout
    if type(key) is int:
        offset, made = layout.rows.get(key) or _row(layout, key)
        if made.ndim:
            return Array(
                array.buf, array.at + offset, array.place + offset, made, array.kind, array.fixed
            )
        return scalar(array.buf[array.at + offset], array.kind)
    parts = key if isinstance(key, tuple) else (key,)
    kinds = tuple(map(type, parts))
    if kinds in _CELLS and len(parts) == layout.ndim:
        return scalar(array.buf[array.at + _cell(layout, parts)], array.kind)
    view = _view(layout, parts, kinds)
    if view is None:
        return get_picked(array, parts)
    result = array.lain(*view)
    return result if view[1].ndim or Ellipsis in parts else result.single()


def given(array: Array, key: object, value: object) -> None:
    """Put a number or an array where a key says."""
    array.writable()
    layout = array.layout
    parts = key if isinstance(key, tuple) else (key,)
    kinds = tuple(map(type, parts))
    if kinds in _CELLS and len(parts) == layout.ndim:
        cell = _cell(layout, parts)
        if isinstance(value, float) and array.kind == FLOAT:
            array.buf[array.at + cell] = value
        else:
            put(array.lain(cell, _POINT), operand(value, RIGHT))
        return
    view = _view(layout, parts, kinds)
    if view is None:
        set_picked(array, parts, value)
    else:
        put(array.lain(*view), operand(value, RIGHT))


def _row(layout: Layout, place: int) -> View:
    """Return the offset and the layout of what stands at a place along the first axis."""
    if not layout.ndim:
        raise IndexError("a single number has no places")
    offset = step_to(place, layout.shape[0], layout.steps[0])
    found = layout.rows[place] = offset, layout_of(layout.shape[1:], layout.steps[1:])
    return found


def _cell(layout: Layout, parts: tuple[int, ...]) -> int:
    """Return how far off the number is that a count for each axis leads to."""
    for part, length in zip(parts, layout.shape, strict=True):
        if not 0 <= part < length:
            return sum(map(step_to, parts, layout.shape, layout.steps))
    return sum(map(mul, parts, layout.steps))


def _view(layout: Layout, parts: tuple[object, ...], kinds: tuple[type, ...]) -> View | None:
    """Return the offset and the layout of a view; None where numbers are picked."""
    try:
        known = layout.views.get((parts, kinds))
    except TypeError:  # an array, a list; in older Pythons a slice too
        return _found(layout, parts)
    if known is None:
        known = _found(layout, parts)
        if known is not None:
            if len(layout.views) > _MOST:
                layout.views.clear()
            layout.views[parts, kinds] = known
    return known


def _found(layout: Layout, parts: tuple[object, ...]) -> View | None:
    offset, shape, steps, axis = 0, [], [], 0
    for part in opened(layout, parts):
        if part is None:
            shape.append(1)
            steps.append(0)
            continue
        length, step = layout.shape[axis], layout.steps[axis]
        axis += 1
        if isinstance(part, slice):
            within = range(*part.indices(length))
            shape.append(len(within))
            steps.append(step * within.step)
            offset += within.start * step if within else 0
        elif part.__class__ is int:
            offset += step_to(part, length, step)
        else:
            return None
    return offset, layout_of((*shape, *layout.shape[axis:]), (*steps, *layout.steps[axis:]))
