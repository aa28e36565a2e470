"""How soon the old fades, of counts whose course is known."""

import math

import numpy as np
import pytest

from faultnet.learning.drift.recent import recent_weight

EXPECTED = np.full((60, 36), 0.4)
"""Many causes, each of them seen now and then."""


@pytest.mark.parametrize("seed", range(4))
def test_many_rare_causes_that_do_not_drift_fade_never(seed):
    counts = np.random.default_rng(seed).poisson(EXPECTED).astype(float)
    assert math.isinf(recent_weight(counts, EXPECTED).half_life)


def test_where_a_cause_has_changed_the_old_fades():
    rates = 40.0 * EXPECTED[:3] * np.repeat([0.3, 1.0, 2.5], 12)
    counts = np.random.default_rng(5).poisson(rates).astype(float)
    found = recent_weight(counts, 40.0 * EXPECTED[:3])
    assert found.half_life <= 1.0
    assert found.gain > 20.0


def test_no_months_say_nothing():
    assert math.isinf(recent_weight(np.zeros((2, 0)), np.zeros((2, 0))).half_life)
