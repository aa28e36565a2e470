"""Axes folded, against NumPy: extremes, truths and counts bit for bit, sums to their rounding."""

import numpy as np
import pytest
from hypothesis import strategies as st

from tests.pocket.drawn import PLAIN, POCKET, arrays, given, near, same, shapes

ROW_LEAST = shapes(least=1, least_side=1)


@st.composite
def lying(draw, dtype=None, elements=None, shape=None):
    """An array in both ways, its axes turned at random."""
    lengths = draw(shape or ROW_LEAST)
    pair = draw(arrays(lengths, dtype, elements))
    order = draw(st.permutations(range(len(lengths))))
    return tuple(a.transpose(order) for a in pair)


def _axes(draw, count):
    axes = draw(st.lists(st.integers(0, count - 1), unique=True, min_size=1))
    some = tuple(axis - count if draw(st.booleans()) else axis for axis in axes)
    return draw(st.sampled_from((None, some, some[0])))


@given(lying(), st.sampled_from(("min", "max", "any", "all")), st.booleans(), st.data())
def test_extremes_and_truths(pair, name, keepdims, data):
    axis = _axes(data.draw, pair[0].ndim)
    theirs, ours = (getattr(a, name)(axis=axis, keepdims=keepdims) for a in pair)
    if name in {"min", "max"}:
        theirs, ours = theirs + 0, ours + 0  # of two noughts either may be the least
    same(theirs, ours)


@given(lying(dtype=int), st.booleans(), st.data())
def test_counts_are_summed_to_the_last(pair, keepdims, data):
    axis = _axes(data.draw, pair[0].ndim)
    same(*(a.sum(axis=axis, keepdims=keepdims) for a in pair))
    same(*((a > 0).sum(axis=axis, keepdims=keepdims) for a in pair))
    same(
        *(
            m.cumsum(a, axis=axis if isinstance(axis, int) else None)
            for m, a in zip((np, POCKET), pair, strict=True)
        )
    )


@given(lying(dtype=float, elements=PLAIN), st.booleans(), st.data())
def test_sums_and_products(pair, keepdims, data):
    axis = _axes(data.draw, pair[0].ndim)
    scale = float(np.abs(pair[0]).sum())
    near(*(a.sum(axis=axis, keepdims=keepdims) for a in pair), scale)
    near(*((a / 1e3).prod(axis=axis, keepdims=keepdims) for a in pair), 1.0)
    along = axis if isinstance(axis, int) else None
    near(np.cumsum(pair[0], axis=along), POCKET.cumsum(pair[1], axis=along), scale)
    near(np.add.reduce(pair[0], axis=axis), POCKET.add.reduce(pair[1], axis=axis), scale)


@given(lying(), st.booleans(), st.data())
def test_orders_and_extremes_along_an_axis(pair, whole, data):
    axis = None if whole else data.draw(st.integers(-pair[0].ndim, pair[0].ndim - 1))
    for name in ("argmin", "argmax"):
        same(*(getattr(m, name)(a, axis=axis) for m, a in zip((np, POCKET), pair, strict=True)))
    orders = np.argsort(pair[0], axis=axis, kind="stable"), POCKET.argsort(pair[1], axis=axis)
    same(*orders)
    if axis is not None:
        same(
            np.take_along_axis(pair[0], orders[0], axis),
            POCKET.take_along_axis(pair[1], orders[1], axis),
        )


@given(lying(dtype=float, elements=PLAIN), st.data())
def test_parts_along_an_axis(pair, data):
    axis = data.draw(st.integers(0, pair[0].ndim - 1))
    places = st.integers(0, pair[0].shape[axis] - 1)
    starts = data.draw(st.lists(places, min_size=1, max_size=5))
    near(
        np.add.reduceat(pair[0], starts, axis=axis),
        POCKET.add.reduceat(pair[1], starts, axis=axis),
        float(np.abs(pair[0]).sum()),
    )


@given(st.integers(1, 3), st.lists(st.integers(0, 3), min_size=6, max_size=6))
def test_order_by_several_keys(count, values):
    keys = [values[k % 2 :: 2] for k in range(count)]
    theirs = np.lexsort([np.array(key) for key in keys])
    same(theirs, POCKET.lexsort([POCKET.array(key) for key in keys]))


@given(arrays(dtype=int), st.integers(0, 9))
def test_different_counts(pair, least):
    for theirs, ours in zip(
        np.unique(pair[0], return_inverse=True),
        POCKET.unique(pair[1], return_inverse=True),
        strict=True,
    ):
        same(theirs, ours)
    row = np.abs(pair[0]).ravel() % 7
    same(
        np.bincount(row, minlength=least),
        POCKET.bincount(POCKET.asarray(row.tolist(), dtype=int), minlength=least),
    )


@given(st.lists(st.tuples(st.integers(0, 5), PLAIN), min_size=1))
def test_weights_by_count(found):
    places, weights = [p for p, _ in found], [w for _, w in found]
    same(
        np.bincount(places, weights, minlength=4) + 0.0,
        POCKET.bincount(POCKET.array(places), POCKET.array(weights), minlength=4) + 0.0,
    )


@given(arrays(shape=(0, 3), dtype=float))
def test_of_nothing(pair):
    for axis in (0, 1, None):
        same(*(a.sum(axis=axis) for a in pair))
        same(*(a.prod(axis=axis) for a in pair))
        same(*(a.all(axis=axis) for a in pair))
    same(*(a.max(axis=1) for a in pair))
    for axis in (0, None):
        with pytest.raises(ValueError, match="no numbers"):
            pair[1].max(axis=axis)
