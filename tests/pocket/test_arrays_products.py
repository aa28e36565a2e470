"""Sums of products against NumPy, to their rounding."""

import numpy as np
from hypothesis import strategies as st

from tests.pocket.drawn import PLAIN, POCKET, arrays, given, near, same

SCALE = 1e7


@st.composite
def named(draw):
    """Two arrays with their axes named, and the names of the axes of their product."""
    lengths = {letter: draw(st.integers(0, 3)) for letter in "abcde"}
    names = [
        "".join(draw(st.lists(st.sampled_from("abcde"), unique=True, max_size=4))) for _ in range(2)
    ]
    both = sorted(set("".join(names)))
    result = "".join(draw(st.lists(st.sampled_from(both), unique=True))) if both else ""
    pairs = [draw(arrays(tuple(lengths[c] for c in name), float, PLAIN)) for name in names]
    return f"{names[0]},{names[1]}->{result}", pairs


@given(named())
def test_products_by_letters(case):
    spec, ((one, first), (other, second)) = case
    near(np.einsum(spec, one, other), POCKET.einsum(spec, first, second), SCALE)


TABLES = (
    ((3,), (3,)),
    ((2, 3), (3,)),
    ((3,), (3, 4)),
    ((2, 3), (3, 4)),
    ((5, 2, 3), (3, 4)),
    ((5, 2, 3), (5, 3, 4)),
    ((2, 3), (5, 3, 1)),
    ((1, 2, 3), (5, 3, 4)),
    ((2, 0), (0, 3)),
    ((0, 3), (3, 2)),
    ((5, 2, 3), (3,)),
    ((3,), (5, 3, 2)),
    ((2, 1, 2, 3), (4, 3, 2)),
)


@given(st.sampled_from(TABLES), st.booleans(), st.data())
def test_products_of_tables(tables, turned, data):
    pairs = [data.draw(arrays(shape, float, PLAIN)) for shape in tables]
    if turned and len(tables[0]) == 2:
        pairs[0] = tuple(a.T.copy().T for a in pairs[0])
    near(pairs[0][0] @ pairs[1][0], pairs[0][1] @ pairs[1][1], SCALE)


@given(arrays((2, 3), int), arrays((3, 2), int))
def test_products_of_counts_are_exact(one, other):
    same(one[0] @ other[0], one[1] @ other[1])
    same(one[0] @ other[0].astype(float), one[1] @ other[1].astype(float))


@given(st.integers(0, 3), st.data())
def test_products_over_the_last_axes_of_one(count, data):
    shared = tuple(data.draw(st.integers(1, 3)) for _ in range(count))
    one = data.draw(arrays((2, *shared), float, PLAIN))
    other = data.draw(arrays((*shared, 2), float, PLAIN))
    near(np.tensordot(one[0], other[0], count), POCKET.tensordot(one[1], other[1], count), SCALE)
