"""Arrays drawn at random, in NumPy and in what stands in for it, and how they are compared."""

import math
from types import SimpleNamespace

import numpy as np
from hypothesis import given as tried
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as drawn_arrays

from faultnet.pocket.arrays.names import NAMES

EXAMPLES = 25


def given(*drawn):
    """Try a test with values drawn at random, however long one takes on a busy machine."""
    return lambda test: settings(max_examples=EXAMPLES, deadline=None)(tried(*drawn)(test))


POCKET = SimpleNamespace(**NAMES)
"""The arrays of the page, under the names of NumPy."""

TYPES = (float, int, bool)
SPECIAL = (math.nan, math.inf, -math.inf, 0.0, -0.0, 5e-324, 1e308, -1e308)
NUMBERS = {
    float: st.one_of(st.floats(-1e6, 1e6), st.sampled_from(SPECIAL)),
    int: st.integers(-1000, 1000),
    bool: st.booleans(),
}
PLAIN = st.floats(-1e3, 1e3, allow_subnormal=False)
"""Floats of which sums and products stay finite."""


def shapes(least=0, most=4, side=4, least_side=0):
    return drawn_arrays.array_shapes(
        min_dims=least, max_dims=most, min_side=least_side, max_side=side
    )


@st.composite
def arrays(draw, shape=None, dtype=None, elements=None):
    """A NumPy array and its equal."""
    kind = dtype or draw(st.sampled_from(TYPES))
    lengths = draw(shapes()) if shape is None else shape
    numbers = NUMBERS[kind] if elements is None else elements
    theirs = draw(drawn_arrays.arrays(kind, lengths, elements=numbers, fill=st.nothing()))
    return theirs, twin(theirs)


def twin(theirs):
    """Return the array of the page with the numbers of one of NumPy's."""
    return POCKET.array(theirs.ravel().tolist(), dtype=kind_of(theirs)).reshape(theirs.shape)


def kind_of(theirs):
    return {"f": float, "i": int, "b": bool}[np.asarray(theirs).dtype.kind]


def narrowed(draw, shape):
    """A shape that goes together with another: axes of one place, or none at all in front."""
    lengths = [1 if draw(st.booleans()) else n for n in shape]
    return tuple(lengths[draw(st.integers(0, len(lengths))) :])


def keys(draw, shape):
    """A key of places, slices, new axes and dots."""
    key = []
    for length in shape[: draw(st.integers(0, len(shape)))]:
        if draw(st.integers(0, 5)) == 0:
            key.append(None)
        if length and draw(st.booleans()):
            key.append(draw(st.integers(-length, length - 1)))
        else:
            key.append(draw(st.slices(length)))
    if draw(st.booleans()):
        key.append(Ellipsis)
    return tuple(key)


def same(theirs, ours, ulps=0):
    """Assert that two results are the same: kind, shape and every number, to the sign of nought."""
    left = np.asarray(theirs)
    assert np.ndim(theirs) == ours_ndim(ours)
    right = np.asarray(ours.tolist() if hasattr(ours, "tolist") else ours)
    assert left.shape == getattr(ours, "shape", ())
    if left.size:
        assert left.dtype.kind == right.dtype.kind, (left.dtype, right.dtype)
    right = right.reshape(left.shape)
    if ulps:
        np.testing.assert_array_max_ulp(left, right, ulps)
    else:
        np.testing.assert_array_equal(left, right)
        if left.dtype.kind == "f":
            signed = ~np.isnan(left)
            np.testing.assert_array_equal(np.signbit(left)[signed], np.signbit(right)[signed])


def ours_ndim(ours):
    return len(getattr(ours, "shape", ()))


def near(theirs, ours, scale):
    """Assert that sums agree to the rounding of their parts."""
    left = np.asarray(theirs, dtype=float)
    right = np.asarray(ours.tolist() if hasattr(ours, "tolist") else ours, dtype=float)
    assert left.shape == right.reshape(left.shape).shape
    np.testing.assert_allclose(right.reshape(left.shape), left, rtol=1e-13, atol=1e-13 * scale)
