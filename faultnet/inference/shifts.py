"""What a cause does to open axes, on arrays of many rows: each effect a shift along one."""

from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

Array: TypeAlias = npt.NDArray[np.float64]
Weight: TypeAlias = "float | Array"
"""A number, a vector by row, or an array that stands over the axes of others."""

ONE = 1.0


class Shift(msgspec.Struct, frozen=True, eq=False):
    """An effect on one axis: per state, highest first, what stays and what moves where.

    ``pair`` holds (stays quiet, is shown, stays shown) of an axis of two states.
    """

    place: int
    moves: list[tuple[int, Weight, list[tuple[int, Weight]]]]
    pair: tuple[Weight, Weight, Weight] | None


def shown(shifts: list[Shift], array: Array) -> Array:
    """A fresh array after some effects."""
    result = None
    for shift in shifts:
        if result is None and shift.pair is not None:
            result = _pair(array, shift, forward=True)
            continue
        result = array.copy() if result is None else result
        for source, stays, targets in shift.moves:
            here = at_state(result, shift.place, source)
            for target, chance in targets:
                there = at_state(result, shift.place, target)
                there += here * _thin(chance, shift.place)
            if not is_one(stays):
                here *= _thin(stays, shift.place)
    return array.copy() if result is None else result


def unshown(shifts: list[Shift], adjoint: Array) -> Array:
    """A fresh adjoint before some effects."""
    result = None
    for shift in shifts:
        if result is None and shift.pair is not None:
            result = _pair(adjoint, shift, forward=False)
            continue
        result = adjoint.copy() if result is None else result
        for source, stays, targets in reversed(shift.moves):
            here = at_state(result, shift.place, source)
            if not is_one(stays):
                here *= _thin(stays, shift.place)
            for target, chance in targets:
                here += at_state(result, shift.place, target) * _thin(chance, shift.place)
    return adjoint.copy() if result is None else result


def _pair(array: Array, shift: Shift, *, forward: bool) -> Array:
    """The effect on an axis of two states, in a fresh array."""
    assert shift.pair is not None
    quiet, shows, stays = (_thin(value, shift.place) for value in shift.pair)
    zero, one = at_state(array, shift.place, 0), at_state(array, shift.place, 1)
    result = np.empty_like(array)
    low, high = at_state(result, shift.place, 0), at_state(result, shift.place, 1)
    np.multiply(zero, quiet, out=low)
    np.multiply(one, stays, out=high)
    if forward:
        high += zero * shows
    else:
        low += one * shows
    return result


def is_one(weight: Weight) -> bool:
    """Whether a weight changes nothing."""
    return isinstance(weight, float) and weight == ONE


def at_state(array: Array, place: int, state: int) -> Array:
    """A view of an array at one state of an axis."""
    return array[(slice(None),) * place + (state,)]


def _thin(value: Weight, place: int) -> Weight:
    return value if isinstance(value, float) else at_state(value, place, 0)
