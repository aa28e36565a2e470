"""Numbers get no more digits than their interval bears out, and sums stay what they are."""

from math import fsum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from faultnet.learning.proposal.rounding import rounded, shares, within_one
from faultnet.learning.proposed import Interval


@pytest.mark.parametrize(
    ("value", "low", "high", "told"),
    [
        (0.52137, 0.45, 0.59, 0.52),
        (0.021457, 0.016, 0.027, 0.021),
        (22.374, 19.1, 26.2, 22.4),
        (77.3, 60.0, 95.0, 77.0),
        (0.0004, 0.0, 0.3, 0.0004),
        (0.9996, 0.99, 1.0, 0.9996),
        (0.0, 0.0, 0.1, 0.0),
    ],
)
def test_digits_that_the_interval_bears_out(value, low, high, told):
    assert rounded(value, Interval(low, high), chance=value < 1.0) == told


@given(st.lists(st.floats(0.001, 1.0), min_size=2, max_size=6))
def test_shares_come_to_one_and_none_is_lost(values):
    told = shares(values)
    assert fsum(told) == pytest.approx(1.0, abs=1e-9)
    assert min(told) > 0.0


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=5))
def test_strengths_come_to_one_at_most(values):
    told = within_one(values)
    assert fsum(told) <= 1.0 + 1e-9
    assert all(new <= old + 1e-12 for new, old in zip(told, values, strict=True))
