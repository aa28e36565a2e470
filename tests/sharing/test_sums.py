"""Sums in an order of their own: the same to the last bit, few at a time, and more exact."""

import operator
from math import fsum, log2

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from faultnet.sharing.sharing import Here
from faultnet.sharing.sums import added_up


def summed(numbers):
    return added_up(Here(1), float, numbers, operator.add)


@given(st.lists(st.integers(-(2**30), 2**30), min_size=1, max_size=300))
def test_whole_numbers_are_added_exactly(numbers):
    assert summed(numbers) == sum(numbers)


@given(st.lists(st.text(max_size=2), min_size=1, max_size=100))
def test_neighbours_stay_in_order(texts):
    assert added_up(Here(1), str, texts, operator.add) == "".join(texts)


def test_rounding_stays_within_the_bound_of_pairwise_summation():
    """Higham, Accuracy and Stability, 2nd ed., (4.6): log2(n) u sum|x|, to first order."""
    numbers = np.random.default_rng(1).lognormal(0, 3, 10_000).tolist()
    exact = fsum(numbers)
    bound = (int(log2(len(numbers))) + 1) * 2.0**-53 * exact * 1.01
    assert abs(summed(numbers) - exact) <= bound


def test_the_order_is_that_of_a_tree():
    def add(one, other):
        return f"({one}{other})"

    assert added_up(Here(1), str, range(7), add) == "(((01)(23))((45)6))"


def test_few_sums_are_kept_at_a_time():
    alive, most = 0, 0

    def one(_part):
        nonlocal alive, most
        alive += 1
        most = max(most, alive)
        return 1

    def add(one, other):
        nonlocal alive
        alive -= 1
        return one + other

    assert added_up(Here(1), one, range(1000), add) == 1000
    assert most <= log2(1000) + 1 + 1


def test_no_parts_have_no_sum():
    with pytest.raises(ValueError, match="no parts"):
        summed([])
