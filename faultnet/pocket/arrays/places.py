"""Where the numbers are that are not nought."""

from array import array as numbers

from faultnet.pocket.arrays.copies import flat
from faultnet.pocket.arrays.kinds import INT
from faultnet.pocket.arrays.layout import row_of
from faultnet.pocket.arrays.made import asarray
from faultnet.pocket.arrays.ndarray import Array, lie_in


def nonzero(value: object) -> tuple[Array, ...]:
    """Return, for each axis, the places of the numbers that are not nought."""
    array = asarray(value)
    if not array.layout.ndim:
        raise ValueError("a single number has no places")
    found = [place for place, number in enumerate(flat(array)) if number]
    row = row_of(array.layout.shape)
    if row.ndim == 1:
        return (counts(found),)
    axes = zip(row.shape, row.steps, strict=True)
    return tuple(counts([place // step % length for place in found]) for length, step in axes)


def flatnonzero(value: object) -> Array:
    """Return the places, all in a row, of the numbers that are not nought."""
    return counts([place for place, number in enumerate(flat(asarray(value))) if number])


def counts(found: list[int]) -> Array:
    """Return a row of counts."""
    return lie_in(numbers("d", found), row_of((len(found),)), INT)
