"""Arrays made of lists, of single numbers and of shapes."""

import typing
from array import array as numbers
from collections.abc import Sequence
from itertools import chain
from typing import Final

from faultnet.pocket.arrays.copies import cast, copied, flat
from faultnet.pocket.arrays.kinds import BOOL, FLOAT, INT, WHOLE, kind_of
from faultnet.pocket.arrays.layout import ROWS, Layout, row_of
from faultnet.pocket.arrays.ndarray import NOUGHT, Array, fresh, lie_in
from faultnet.pocket.arrays.number import Number, Truth

Shape = int | Sequence[int]
Found = tuple[tuple[int, ...], Sequence[float], int]
_KINDS: Final = {float: FLOAT, Number: FLOAT, int: INT, bool: BOOL, Truth: BOOL}
_FLOATS: Final = {float}
_ONE: Final = numbers("d", [1.0])


def _points() -> tuple[Array, ...]:
    return tuple(fresh(row_of(()), kind) for kind in (BOOL, INT, FLOAT))


LEFT: Final = _points()
RIGHT: Final = _points()
"""Single numbers of each kind, kept for operations with a plain number on one side."""


def operand(value: object, points: tuple[Array, ...]) -> Array:
    """Return what an operation is done with as an array; a plain number in one that is kept."""
    if isinstance(value, Array):
        return value
    if isinstance(value, float):
        result = points[FLOAT]
    elif isinstance(value, int):
        if not -WHOLE <= value <= WHOLE:
            raise OverflowError(f"{value} is a count beyond what arrays tell exactly")
        result = points[BOOL if isinstance(value, bool | Truth) else INT]
    else:
        return asarray(value)
    result.buf[0] = value
    return result


def shape_of(asked: object) -> tuple[int, ...]:
    """Return a shape that was asked for as a number, or as several."""
    if isinstance(asked, Array):
        asked = flat(asked)
    lengths = tuple(map(int, asked)) if isinstance(asked, list | tuple) else (asked,)
    if not all(isinstance(n, int) and n >= 0 for n in lengths):
        raise ValueError(f"{asked!r} is not a shape")
    return tuple(int(n) for n in lengths if isinstance(n, int))


def _row(shape: Shape) -> Layout:
    """Return the layout in a row of a shape that was asked for."""
    known = ROWS.get(shape) if isinstance(shape, tuple) else None
    return known or row_of(shape_of(shape))


def asarray(value: object, dtype: object = None) -> Array:
    """Return an array as it is, or one made of nested lists or of a number."""
    if isinstance(value, Array):
        return value if dtype is None else cast(value, kind_of(dtype))
    if isinstance(value, list) and set(map(type, value)) == _FLOATS:
        made = lie_in(numbers("d", value), row_of((len(value),)), FLOAT)
    else:
        shape, found, kind = _found(value)
        made = lie_in(_stored(found, kind), row_of(shape), kind)
    return made if dtype is None else cast(made, kind_of(dtype))


def array(value: object, dtype: object = None) -> Array:
    """Return an array made anew of an array, of nested lists or of a number."""
    if isinstance(value, Array):
        return copied(value, None if dtype is None else kind_of(dtype))
    return asarray(value, dtype)


def kind_in(value: object) -> int | None:
    """Return the kind of a single number; None for what is none."""
    known = _KINDS.get(value.__class__)
    if known is not None:
        return known
    for base, kind in ((bool, BOOL), (int, INT), (float, FLOAT)):
        if isinstance(value, base):
            return kind
    return None


def _found(value: object) -> Found:
    """Return the shape, the numbers and the kind of nested lists or of a number."""
    if isinstance(value, list | tuple | range):
        return _listed(value)
    if isinstance(value, Array):
        return value.layout.shape, flat(value), value.kind
    kind = kind_in(value)
    if kind is None or not isinstance(value, int | float):
        raise TypeError(f"arrays hold numbers, not {value!r}")
    return (), [value], kind


def _listed(items: Sequence[object]) -> Found:
    if not items:
        return (0,), [], FLOAT
    kinds = {_KINDS.get(kind) for kind in set(map(type, items))}
    if None not in kinds:
        single = typing.cast("Sequence[float]", items)
        return (len(items),), single, max(kind for kind in kinds if kind is not None)
    parts = [_found(item) for item in items]
    shapes = {shape for shape, _, _ in parts}
    if len(shapes) > 1:
        raise ValueError(f"rows of unlike shapes: {sorted(shapes)}")
    found = list(chain.from_iterable(part for _, part, _ in parts))
    return (len(parts), *shapes.pop()), found, max(kind for _, _, kind in parts)


def _stored(found: Sequence[float], kind: int) -> "numbers[float]":
    if kind == INT and found and not -WHOLE <= min(found) <= max(found) <= WHOLE:
        raise OverflowError("a count beyond what arrays tell exactly")
    return numbers("d", found)


def zeros(shape: Shape, dtype: object = float) -> Array:
    """Return an array of noughts."""
    return fresh(_row(shape), kind_of(dtype))


def ones(shape: Shape, dtype: object = float) -> Array:
    """Return an array of ones."""
    layout = _row(shape)
    return lie_in(_ONE * layout.size, layout, kind_of(dtype))


def full(shape: Shape, value: float, dtype: object = None) -> Array:
    """Return an array of one number."""
    one = asarray(value, dtype)
    if one.layout.shape:
        raise ValueError("an array is filled with a single number")
    layout = _row(shape)
    return lie_in(one.buf * layout.size, layout, one.kind)


def zeros_like(like: object, dtype: object = None) -> Array:
    """Return noughts in the shape of an array."""
    model = asarray(like)
    return fresh(row_of(model.layout.shape), model.kind if dtype is None else kind_of(dtype))


def ones_like(like: object, dtype: object = None) -> Array:
    """Return ones in the shape of an array."""
    return full_like(like, 1, dtype)


def full_like(like: object, value: float, dtype: object = None) -> Array:
    """Return one number in the shape and of the kind of an array."""
    model = asarray(like)
    return full(model.layout.shape, value, model.dtype if dtype is None else dtype)


def arange(start: int, stop: int | None = None, step: int = 1) -> Array:
    """Return counts from a start up to, and without, a stop."""
    first, end = (0, start) if stop is None else (start, stop)
    found = range(int(first), int(end), int(step))
    if (first, end, step) != (found.start, found.stop, found.step):
        raise TypeError("arange counts in whole numbers only")
    return lie_in(numbers("d", found), row_of((len(found),)), INT)


def eye(length: int) -> Array:
    """Return a square of ones from corner to corner, noughts elsewhere."""
    buf = NOUGHT * (length * length)
    buf[:: length + 1] = _ONE * length
    return lie_in(buf, row_of((length, length)), FLOAT)


def indices(shape: Sequence[int]) -> Array:
    """Return, for each axis, the place along it of each number of a shape."""
    lengths = shape_of(shape)
    layout = row_of(lengths)
    found = [
        place // step % length
        for length, step in zip(lengths, layout.steps, strict=True)
        for place in range(layout.size)
    ]
    return lie_in(numbers("d", found), row_of((len(lengths), *lengths)), INT)
