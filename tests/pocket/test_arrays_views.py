"""Views of arrays, and what is written through them, against NumPy bit for bit."""

from operator import iadd

import numpy as np
import pytest
from hypothesis import strategies as st

from tests.pocket.drawn import (
    NUMBERS,
    POCKET,
    arrays,
    given,
    keys,
    kind_of,
    narrowed,
    same,
    shapes,
    twin,
)


def _reshaped(draw, shape):
    """Another shape for as many numbers."""
    left, result = int(np.prod(shape)), []
    while left > 1 and len(result) < 4:
        result.append(draw(st.sampled_from([n for n in range(1, left + 1) if left % n == 0])))
        left //= result[-1]
    if left == 0:
        return draw(st.permutations(shape))
    return tuple([*result, left] if left > 1 or draw(st.booleans()) else result)


def _moved(draw, shape):
    way = draw(st.sampled_from(("key", "T", "transpose", "reshape", "expand", "move", "swap")))
    axes = st.integers(-len(shape), len(shape) - 1) if shape else st.just(0)
    if way == "key":
        key = keys(draw, shape)
        return lambda _, array: array[key]
    if way == "transpose":
        order = draw(st.permutations(range(len(shape))))
        return lambda _, array: array.transpose(order)
    if way == "reshape":
        lengths = _reshaped(draw, shape)
        return lambda _, array: array.reshape(lengths)
    if way == "expand":
        axis = draw(st.integers(-len(shape) - 1, len(shape)))
        return lambda m, array: m.expand_dims(array, axis)
    if way == "move" and shape:
        one, other = draw(axes), draw(axes)
        return lambda m, array: m.moveaxis(array, one, other)
    return lambda _, array: array.T


@st.composite
def views(draw):
    """An array in both ways, and a chain of views of it in both."""
    theirs, ours = draw(arrays())
    one, other = theirs, ours
    for _ in range(draw(st.integers(1, 4))):
        step = _moved(draw, one.shape)
        one, other = step(np, one), step(POCKET, other)
        if not isinstance(one, np.ndarray):
            break
    return theirs, ours, one, other


@given(views())
def test_chains_of_views_hold_what_they_hold_in_numpy(case):
    theirs, ours, one, other = case
    same(one, other)
    same(theirs, ours)


@given(views(), st.data())
def test_what_is_written_through_a_view_stands_in_the_array(case, data):
    theirs, ours, one, other = case
    if not isinstance(one, np.ndarray):
        return
    key = keys(data.draw, one.shape)
    value = data.draw(NUMBERS[kind_of(theirs)])
    one[key] = value
    other[key] = value
    same(theirs, ours)
    shape = narrowed(data.draw, one.shape)
    row, twin_of_row = data.draw(arrays(shape, kind_of(theirs)))
    one[...] = row
    other[...] = twin_of_row
    same(one, other)
    same(theirs, ours)


@given(views(), st.sampled_from("+-*"), st.data())
def test_arithmetic_in_place_reaches_the_array(case, sign, data):
    theirs, ours, one, other = case
    if not isinstance(one, np.ndarray) or (kind_of(theirs) is bool and sign == "-"):
        return
    row, twin_of_row = data.draw(arrays(narrowed(data.draw, one.shape), kind_of(theirs)))
    with np.errstate(all="ignore"):
        exec(f"one {sign}= row; other {sign}= twin_of_row", {}, locals())  # noqa: S102 -- one of three
    same(theirs, ours)


@given(st.data())
def test_parts_of_one_array_may_overlap(data):
    theirs, ours = data.draw(arrays((7, 3), float))
    start, stop = data.draw(st.integers(0, 3)), data.draw(st.integers(4, 7))
    length = stop - start
    with np.errstate(all="ignore"):
        theirs[start:stop] += theirs[7 - length :]
    ours[start:stop] += ours[7 - length :]
    same(theirs, ours)
    theirs[:6] = theirs[1:]
    ours[:6] = ours[1:]
    same(theirs, ours)
    with np.errstate(all="ignore"):
        theirs *= theirs[2]
    ours *= ours[2]
    same(theirs, ours)


def test_a_fixed_array_and_its_views_are_not_written():
    array = POCKET.zeros((2, 3))
    before = array[0]
    array.flags.writeable = False
    for view in (
        array,
        array[1],
        array.T,
        array.reshape(3, 2),
        POCKET.broadcast_to(array, (4, 2, 3)),
    ):
        with pytest.raises(ValueError, match="read-only"):
            view[0] = 1.0
        with pytest.raises(ValueError, match="read-only"):
            iadd(view, 1.0)
    before[0] = 2.0
    assert array.tolist() == [[2.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    array.copy()[0] = 1.0


@given(arrays(), st.sampled_from((float, int, bool)), st.booleans())
def test_an_array_of_another_kind(pair, dtype, copy):
    theirs, ours = pair
    if dtype is int and kind_of(theirs) is float and not (np.abs(theirs) < 2**53).all():
        with pytest.raises(OverflowError):
            ours.astype(int)
        return
    same(theirs.astype(dtype, copy=copy), ours.astype(dtype, copy=copy))


@given(shapes(), st.data())
def test_arrays_made_of_lists(shape, data):
    theirs, _ = data.draw(arrays(shape))
    listed = theirs.tolist()
    same(np.array(listed), POCKET.array(listed))
    same(np.asarray([theirs, theirs]), POCKET.asarray([twin(theirs), twin(theirs)]))


def test_arrays_made_of_shapes():
    for make in (
        lambda m: m.zeros((2, 0, 3)),
        lambda m: m.zeros(3, dtype=bool),
        lambda m: m.ones((2, 2), dtype=int),
        lambda m: m.ones(3),
        lambda m: m.full((2, 3), 7),
        lambda m: m.full(2, -1.5),
        lambda m: m.full(2, True),  # noqa: FBT003 -- the value that fills
        lambda m: m.arange(5),
        lambda m: m.arange(2, 9, 3),
        lambda m: m.arange(5, 2),
        lambda m: m.eye(3),
        lambda m: m.indices((2, 3)),
        lambda m: m.ones_like(m.arange(3)),
        lambda m: m.zeros_like(m.ones((2, 2))),
        lambda m: m.full_like(m.arange(3), 4),
        lambda m: m.diag(m.arange(3)),
        lambda m: m.diag(m.arange(6).reshape(2, 3)),
        lambda m: m.diagonal(m.arange(24).reshape(2, 3, 4), axis1=1, axis2=2),
    ):
        same(make(np), make(POCKET))
