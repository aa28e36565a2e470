"""What a cause does to open axes: each effect a shift along one of them."""

from collections.abc import Sequence
from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

Array: TypeAlias = npt.NDArray[np.float64]
Weight: TypeAlias = "float | Array"
"""A number, a vector by row, or an array that stands over the axes of others."""

ONE = 1.0


class Shift(msgspec.Struct, frozen=True, eq=False):
    """An effect on one axis: by state what stays there, and what moves where.

    ``moves`` holds a state, the one that it leads to, and the chance.
    """

    place: int
    stays: Array
    moves: list[tuple[int, int, Weight]]


def shown(shifts: Sequence[Shift], array: Array) -> Array:
    """The array after some effects; itself where there are none."""
    for shift in shifts:
        result = array * shift.stays
        for source, target, chance in shift.moves:
            there = at_state(result, shift.place, target)
            there += at_state(array, shift.place, source) * chance
        array = result
    return array


def unshown(shifts: Sequence[Shift], adjoint: Array) -> Array:
    """The adjoint before some effects; itself where there are none."""
    for shift in reversed(shifts):
        result = adjoint * shift.stays
        for source, target, chance in shift.moves:
            here = at_state(result, shift.place, source)
            here += at_state(adjoint, shift.place, target) * chance
        adjoint = result
    return adjoint


def is_one(weight: Weight) -> bool:
    """Whether a weight changes nothing."""
    return isinstance(weight, float) and weight == ONE


def is_nothing(weight: Weight) -> bool:
    """Whether a weight is zero everywhere."""
    return not (weight if isinstance(weight, float) else weight.any())


def both(one: Weight, other: Weight) -> Weight:
    """The product of two weights; what is plainly one or zero costs no array."""
    for weight, rest in ((one, other), (other, one)):
        if isinstance(weight, float) and weight in (0.0, ONE):
            return rest if weight else 0.0
    return one * other


def either(one: Weight, other: Weight) -> Weight:
    """The sum of two weights; what is plainly zero costs no array."""
    for weight, rest in ((one, other), (other, one)):
        if isinstance(weight, float) and weight == 0.0:
            return rest
    return one + other


def at_state(array: Array, place: int, state: int) -> Array:
    """A view of an array at one state of an axis."""
    return array[(slice(None),) * place + (state,)]


def stacked(values: Sequence[Weight], place: int, ndim: int) -> Array:
    """Weights by state of an axis, to stand over arrays that have it at a place.

    ``ndim`` is the number of their axes; the weights stand over arrays without the axis.
    """
    if all(isinstance(value, float) for value in values):
        shape = [1] * ndim
        shape[place] = len(values)
        return np.array(values).reshape(shape)
    whole = np.asarray(sum(values))
    shape = [*(1,) * (ndim - 1 - whole.ndim), *whole.shape]
    shape.insert(place, len(values))
    result = np.empty(shape)
    for state, value in enumerate(values):
        result[(slice(None),) * place + (state,)] = value
    return result
