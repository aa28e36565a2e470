"""Numbers put in order, told apart and counted."""

import math
from array import array as numbers

from faultnet.pocket.arrays.copies import flat
from faultnet.pocket.arrays.folding import argsort, axes_of
from faultnet.pocket.arrays.kinds import FLOAT, INT
from faultnet.pocket.arrays.layout import row_of
from faultnet.pocket.arrays.made import asarray
from faultnet.pocket.arrays.ndarray import NOUGHT, Array, lie_in
from faultnet.pocket.arrays.picks import get_picked
from faultnet.pocket.arrays.places import counts


def lexsort(keys: object) -> Array:
    """Return the order by the last of some keys; where that is equal by the one before it."""
    rows = [asarray(key) for key in keys] if isinstance(keys, list | tuple) else []
    if not rows or any(row.layout.ndim != 1 for row in rows):
        raise TypeError("keys are some rows of numbers")
    order = argsort(rows[0])
    for row in rows[1:]:
        again = argsort(get_picked(row, (order,)))
        order = asarray(get_picked(order, (again,)))
    return order


def unique(value: object, return_inverse: bool = False) -> Array | tuple[Array, Array]:
    """Return the numbers that there are, in order; if asked, with where each of all is found."""
    array = asarray(value)
    found = flat(array)
    different = sorted(set(found))
    if array.kind == FLOAT and any(map(math.isnan, different)):
        raise ValueError("what is no number is not told apart")
    result = lie_in(numbers("d", different), row_of((len(different),)), array.kind)
    if not return_inverse:
        return result
    place = {number: k for k, number in enumerate(different)}
    where = numbers("d", [place[number] for number in found])
    return result, lie_in(where, row_of(array.layout.shape), INT)


def bincount(value: object, weights: object = None, minlength: int = 0) -> Array:
    """Return how often each count occurs in a row, or the sum of its weights."""
    array = asarray(value)
    if array.layout.ndim != 1 or (array.kind == FLOAT and array.layout.size):
        raise TypeError("only counts in one row are counted")
    places = list(map(int, flat(array)))
    if places and min(places) < 0:
        raise ValueError("counts below nought have no place")
    parts = [1.0] * len(places) if weights is None else flat(asarray(weights))
    total = NOUGHT * max([minlength, *(place + 1 for place in places)])
    for place, part in zip(places, parts, strict=True):
        total[place] += part
    return lie_in(total, row_of((len(total),)), INT if weights is None else FLOAT)


def take_along_axis(value: object, places: object, axis: int) -> Array:
    """Return, along an axis, the numbers at the places that are given for each row."""
    array, order = asarray(value), asarray(places)
    at = axes_of(array.layout.ndim, axis).pop()
    key: list[object] = []
    for k, length in enumerate(order.layout.shape):
        shape = tuple(length if j == k else 1 for j in range(order.layout.ndim))
        every = counts(list(range(length)))
        key.append(order if k == at else every.lain(0, row_of(shape)))
    return asarray(get_picked(array, tuple(key)))
