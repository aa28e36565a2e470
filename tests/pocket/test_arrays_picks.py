"""Numbers picked by lists of places and by truths, and arrays joined, against NumPy bit for bit."""

import numpy as np
import pytest
from hypothesis import reject
from hypothesis import strategies as st

from tests.pocket.drawn import NUMBERS, POCKET, arrays, given, kind_of, narrowed, same, shapes, twin


@st.composite
def picks(draw, array):
    """A key with lists of places, truths, places, slices, new axes and dots, in both ways."""
    shape, theirs, ours, axis = array.shape, [], [], 0
    wide = draw(shapes(most=2, side=3))
    while axis < len(shape):
        way = draw(st.sampled_from(("list", "array", "place", "slice", "truths", "new", "end")))
        length = shape[axis]
        if way == "end":
            break
        if way == "new":
            theirs.append(None)
            ours.append(None)
            continue
        if way in {"list", "array"} and length:
            narrow = narrowed(draw, wide)
            size = int(np.prod(narrow))
            found = draw(st.lists(st.integers(-length, length - 1), min_size=size, max_size=size))
            places = np.array(found, dtype=int).reshape(narrow)
            theirs.append(places)
            listed = way == "list" and places.ndim and places.size
            ours.append(places.tolist() if listed else twin(places))
        elif way == "place" and length:
            theirs.append(draw(st.integers(-length, length - 1)))
            ours.append(theirs[-1])
        elif way == "truths" and not any(isinstance(k, np.ndarray) for k in theirs):
            truths = np.array(draw(st.lists(st.booleans(), min_size=length, max_size=length)), bool)
            wide = (int(truths.sum()),)
            theirs.append(truths)
            ours.append(twin(truths))
        else:
            theirs.append(draw(st.slices(length)))
            ours.append(theirs[-1])
        axis += 1
    if draw(st.booleans()):
        theirs.append(Ellipsis)
        ours.append(Ellipsis)
    return tuple(theirs), tuple(ours)


@st.composite
def picked(draw):
    pair = draw(arrays(draw(shapes(least=1, most=4))))
    order = draw(st.permutations(range(pair[0].ndim)))
    turned = tuple(a.transpose(order) for a in pair)
    keys = draw(picks(turned[0]))
    try:
        turned[0][keys[0]]
    except IndexError:  # lists that do not go together
        with pytest.raises((IndexError, ValueError)):
            turned[1][keys[1]]
        reject()
    return pair, turned, keys


@given(picked())
def test_what_is_picked(case):
    _, (theirs, ours), (one, other) = case
    same(theirs[one], ours[other])


@given(picked(), st.data())
def test_what_is_put_where_is_picked(case, data):
    (base, twin_of_base), (theirs, ours), (one, other) = case
    kind = kind_of(theirs)
    value = data.draw(NUMBERS[kind])
    theirs[one] = value
    ours[other] = value
    same(base, twin_of_base)
    row, twin_of_row = data.draw(arrays(narrowed(data.draw, theirs[one].shape), kind))
    theirs[one] = row
    ours[other] = twin_of_row
    same(base, twin_of_base)


@given(picked())
def test_what_is_picked_is_a_copy(case):
    (base, _), (theirs, ours), (_, other) = case
    found = ours[other]
    if any(isinstance(k, POCKET.ndarray | list) for k in other) and getattr(found, "shape", ()):
        found[...] = 1
        same(theirs, ours)
        assert base is not found


@given(arrays(), st.data())
def test_truths_over_several_axes(pair, data):
    truths = data.draw(arrays(pair[0].shape, bool))
    if pair[0].ndim:
        same(pair[0][truths[0]], pair[1][truths[1]])
        for theirs, ours in zip(np.nonzero(truths[0]), POCKET.nonzero(truths[1]), strict=True):
            same(theirs, ours)
    same(np.flatnonzero(pair[0]), POCKET.flatnonzero(pair[1]))


@given(arrays(shape=(3, 4, 2)), st.lists(st.integers(-3, 2)), st.lists(st.integers(0, 3)))
def test_lists_that_go_each_with_each(pair, rows, columns):
    theirs = pair[0][np.ix_(np.array(rows, int), np.array(columns, int))]
    ours = pair[1][POCKET.ix_(rows, columns)]
    same(theirs, ours)
    for axis, places in ((0, rows), (1, columns)):
        same(
            pair[0].take(np.array(places, int), axis=axis),
            pair[1].take(POCKET.array(places, dtype=int), axis=axis),
        )


@given(arrays(shape=(2, 3)), arrays(shape=(4, 3)), arrays(shape=(3,)))
def test_arrays_joined(one, other, row):
    for theirs, ours in zip(
        *(
            [
                m.concatenate([a, b]),
                m.concatenate([a.T, b.T], axis=-1),
                m.concatenate([a], axis=1),
                m.vstack([a, r, b]),
            ]
            for m, a, b, r in ((np, one[0], other[0], row[0]), (POCKET, one[1], other[1], row[1]))
        ),
        strict=True,
    ):
        same(theirs, ours)


@given(arrays(shape=(2, 3, 2)), st.integers(0, 3), st.integers(-3, 2))
def test_arrays_repeated(pair, times, axis):
    for way in (
        lambda m, a: m.repeat(a, times, axis=axis),
        lambda m, a: m.repeat(a.T, times, axis=axis),
        lambda m, a: m.tile(a, (times, 1, 2, 1)),
        lambda m, a: m.tile(a[0], (2, 2)),
    ):
        same(way(np, pair[0]), way(POCKET, pair[1]))


def test_where_places_along_axes_lead():
    for way in (
        lambda m: m.ravel_multi_index([m.array([0, 1, 1]), m.array([2, 0, 1])], (2, 3)),
        lambda m: m.ravel_multi_index([m.array([[0], [1]]), m.array([2, 0])], (2, 3)),
    ):
        same(way(np), way(POCKET))
