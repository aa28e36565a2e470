"""Operations number by number against NumPy: bit for bit, `exp` and `log` to one last place."""

import numpy as np
import pytest
from hypothesis import strategies as st

from tests.pocket.drawn import NUMBERS, POCKET, arrays, given, kind_of, narrowed, same, shapes

FLOATS = ("add", "subtract", "multiply", "divide", "maximum", "minimum")
COMPARED = ("greater", "less", "equal", "not_equal", "greater_equal", "less_equal")
LOGICAL = ("logical_and", "logical_or")
COUNTED = ("floor_divide", "remainder", "bitwise_and", "bitwise_or", "bitwise_xor")


@st.composite
def pairs(draw, kinds=(float, int, bool)):
    """Two arrays that go together, each in both ways."""
    shape = draw(shapes())
    first = draw(arrays(shape, draw(st.sampled_from(kinds))))
    other = draw(arrays(narrowed(draw, shape), draw(st.sampled_from(kinds))))
    if draw(st.booleans()):
        first = tuple(a.T for a in first)
        other = tuple(
            np.broadcast_to(a, shape).T if a is other[0] else POCKET.broadcast_to(a, shape).T
            for a in other
        )
    return (first, other) if draw(st.booleans()) else (other, first)


def _done(work):
    """Return what a piece of work makes, or that it is refused."""
    with np.errstate(all="ignore"):
        try:
            return work()
        except TypeError:
            return None


def _agree(name, one, other, unsigned=False):
    theirs = _done(lambda: getattr(np, name)(one[0], other[0]))
    ours = _done(lambda: getattr(POCKET, name)(one[1], other[1]))
    assert (theirs is None) == (ours is None)
    if theirs is None:
        return
    if unsigned:  # of two noughts either may be the larger
        theirs, ours = theirs + 0.0, ours + 0.0
    same(theirs, ours)


@given(pairs(), st.sampled_from(FLOATS + COMPARED + LOGICAL))
def test_two_arrays_make_one(pair, name):
    _agree(name, *pair, unsigned=name in {"maximum", "minimum"})


@given(pairs((int, bool)), st.sampled_from(COUNTED))
def test_counts_make_counts(pair, name):
    one, other = pair
    if name in {"floor_divide", "remainder"} and not np.asarray(other[0]).all():
        return  # refused; see test_arrays_refused
    if name in {"floor_divide", "remainder"} and kind_of(one[0]) is kind_of(other[0]) is bool:
        return
    _agree(name, one, other)


@given(pairs((float,)), st.sampled_from(("floor_divide", "remainder")))
def test_quotients_of_floats_rounded_down(pair, name):
    (one, _), (other, _) = pair
    bounded = np.isfinite(one).all() and np.isfinite(other).all() and other.all()
    if bounded and (np.abs(other) > 1e-3).all() and (np.abs(one) < 1e9).all():
        _agree(name, *pair)


@given(arrays(dtype=int), st.integers(0, 20), st.sampled_from(("left_shift", "right_shift")))
def test_counts_are_shifted(pair, places, name):
    theirs, ours = pair
    same(getattr(np, name)(theirs, places), getattr(POCKET, name)(ours, places))


SIGNS = ("+", "-", "*", "/", "<", "<=", ">", ">=", "==", "!=")


@given(arrays(), st.sampled_from(SIGNS), st.data())
def test_an_array_and_a_single_number(pair, sign, data):
    number = data.draw(NUMBERS[data.draw(st.sampled_from((float, int, bool)))])
    for text in (f"a {sign} b", f"b {sign} a"):
        with np.errstate(all="ignore"):
            theirs = _done(lambda: eval(text, {"a": pair[0], "b": number}))  # noqa: B023, S307
            ours = _done(lambda: eval(text, {"a": pair[1], "b": number}))  # noqa: B023, S307
        assert (theirs is None) == (ours is None)
        if theirs is not None:
            same(theirs, ours)


@given(NUMBERS[float], NUMBERS[float], st.sampled_from(SIGNS))
def test_single_numbers_out_of_arrays(one, other, sign):
    with np.errstate(all="ignore"):
        theirs = eval(f"a {sign} b", {"a": np.float64(one), "b": np.float64(other)})  # noqa: S307
        ours = eval(f"a {sign} b", {"a": POCKET.float64(one), "b": POCKET.float64(other)})  # noqa: S307
        same(theirs, ours)
        mixed = eval(f"b {sign} a", {"a": POCKET.float64(one), "b": other})  # noqa: S307
        same(eval(f"b {sign} a", {"a": np.float64(one), "b": other}), mixed)  # noqa: S307


def test_what_is_not_true_is_false():
    found = POCKET.array([1.0, 2.0])
    assert not (~(found[0] < found[1]))
    assert (~(found[0] > found[1])).all()
    assert not (~(found < 3.0)).any()
    assert (found[0] < found[1]) + 1 == 2
    assert ((found > 0.0).any() + (found > 0.0).any()) == 1


@given(arrays(), st.sampled_from(("negative", "abs", "isfinite", "isnan", "logical_not")))
def test_one_array_makes_one(pair, name):
    theirs, ours = (
        _done(lambda: getattr(np, name)(pair[0])),
        _done(lambda: getattr(POCKET, name)(pair[1])),
    )
    assert (theirs is None) == (ours is None)
    if theirs is not None:
        same(theirs, ours)


@given(arrays(dtype=float), st.sampled_from(("exp", "log", "sqrt")))
def test_powers_and_logarithms(pair, name):
    with np.errstate(all="ignore"):
        same(getattr(np, name)(pair[0]), getattr(POCKET, name)(pair[1]), ulps=1)


@given(arrays(dtype=int))
def test_bits_turned_round(pair):
    same(~pair[0], ~pair[1])
    same(~(pair[0] > 0), ~(pair[1] > 0))


@given(pairs(), st.data())
def test_where_takes_from_one_or_the_other(pair, data):
    (one, first), (other, second) = pair
    shape = np.broadcast_shapes(one.shape, other.shape)
    truths = data.draw(arrays(narrowed(data.draw, shape), bool))
    same(np.where(truths[0], one, other), POCKET.where(truths[1], first, second))


@given(pairs((float,)), st.data())
def test_only_where_it_is_asked_for(pair, data):
    (one, first), (other, second) = pair
    shape = np.broadcast_shapes(one.shape, other.shape)
    truths, out = data.draw(arrays(shape, bool)), data.draw(arrays(shape, float))
    with np.errstate(all="ignore"):
        theirs = np.divide(one, other, out=out[0], where=truths[0])
    ours = POCKET.divide(first, second, out=out[1], where=truths[1])
    assert ours is out[1]
    same(theirs, ours)


@given(arrays(dtype=float), st.floats(-10, 0), st.floats(0, 10))
def test_numbers_are_brought_within_bounds(pair, low, high):
    same(np.clip(pair[0], low, high) + 0.0, POCKET.clip(pair[1], low, high) + 0.0)


@given(arrays(dtype=float, shape=(2, 3)), arrays(dtype=float, shape=(4,)))
def test_each_of_one_with_each_of_another(one, other):
    with np.errstate(all="ignore"):
        same(np.multiply.outer(one[0], other[0]), POCKET.multiply.outer(one[1], other[1]))
        same(np.outer(one[0], other[0]), POCKET.outer(one[1], other[1]))


def test_counts_beyond_what_a_double_tells_are_refused():
    large = POCKET.array([2**53 - 1, 2])
    with pytest.raises(OverflowError):
        large * large
