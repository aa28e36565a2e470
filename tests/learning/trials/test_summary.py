"""Intervals of means, held against the normal one."""

import numpy as np
import pytest

from faultnet.learning.trials.summary import means


def test_interval_of_many_calls_is_the_normal_one():
    values = np.random.default_rng(3).exponential(10.0, size=(2000, 1))
    (found,) = means(values)
    half = 1.96 * values.std() / np.sqrt(len(values))
    assert found.mean == pytest.approx(values.mean())
    assert found.high - found.low == pytest.approx(2 * half, rel=0.06)


def test_interval_holds_the_mean_as_often_as_it_says():
    rng = np.random.default_rng(8)
    held = [means(rng.exponential(1.0, size=(100, 5))) for _ in range(12)]
    inside = [m.low <= 1.0 <= m.high for each in held for m in each]
    assert 0.85 <= np.mean(inside) <= 1.0


def test_one_call_has_no_width():
    (found,) = means(np.array([[4.0]]))
    assert (found.low, found.mean, found.high) == (4.0, 4.0, 4.0)
