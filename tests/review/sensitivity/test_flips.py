"""Crossings of straight lines and of curves, on lines and curves that can be solved by hand."""

import numpy as np
import pytest

from faultnet.network.crossing import crossing
from faultnet.review.sensitivity.flips import best_rival, crossings, first_crossing, lead

FIRST = np.array([False, True, True])


def test_two_lines_cross_where_they_are_level():
    # 0.5 - 0.1 t = 0.3 + 0.9 t at t = 0.2; the other one is level at t = -0.4 and beyond
    weights, slopes = np.array([0.5, 0.3, 0.1]), np.array([-0.1, 0.9, -1.1])
    low, high = crossings(weights, slopes, FIRST, 0.5, (0.0, 1.0))
    assert high.value == pytest.approx(0.7)
    assert high.cause == 1
    assert low.value == pytest.approx(0.1)
    assert low.cause == 2


def test_a_crossing_beyond_the_ends_is_none():
    weights, slopes = np.array([0.5, 0.3, 0.1]), np.array([-0.1, 0.9, -1.1])
    assert crossings(weights, slopes, FIRST, 0.5, (0.2, 0.6)) == (None, None)


def test_a_rival_that_passes_one_look_alike_only_is_not_first():
    alike = np.array([False, False, True])
    weights, slopes = np.array([0.5, 0.2, 0.3]), np.array([0.0, 0.0, -1.0])
    low, high = crossings(weights, slopes, alike, 0.5, (0.0, 1.0))
    assert low.value == pytest.approx(0.3)
    assert high is None


def test_lines_that_are_level_for_good_never_cross():
    weights, slopes = np.array([0.5, 0.5]), np.array([0.1, 0.1 + 1e-15])
    assert crossings(weights, slopes, np.array([False, True]), 0.5, (0.0, 1.0)) == (None, None)


def test_a_curve_is_followed_to_where_it_is_level():
    def curve(x):
        return np.array([1.0, x**3, 0.5])

    found = first_crossing(curve, FIRST, np.linspace(0.5, 2.0, 4), lambda x: x)
    assert found.value == pytest.approx(1.0, rel=1e-11)
    assert found.cause == 1
    assert first_crossing(curve, FIRST, np.linspace(0.5, 0.1, 4), lambda x: x) is None


def test_who_leads_and_by_how_much():
    assert lead(np.array([0.2, 0.4, 0.1]), FIRST) == pytest.approx(np.log(2.0))
    assert best_rival(np.array([0.9, 0.1, 0.4]), FIRST) == 2
    assert lead(np.array([0.0, 0.1, 0.0]), FIRST) == np.inf
    assert lead(np.array([0.5, 0.0, 0.0]), FIRST) == -np.inf


@pytest.mark.parametrize("power", [1, 3, 9])
def test_a_crossing_is_found_to_the_last_digits(power):
    calls = []

    def function(x):
        calls.append(x)
        return x**power - 0.2

    assert crossing(function, 0.0, 1.0) == pytest.approx(0.2 ** (1 / power), rel=1e-14)
    assert len(calls) < 40


def test_a_crossing_needs_two_signs():
    with pytest.raises(ValueError, match="the same"):
        crossing(lambda x: x + 1.0, 0.0, 1.0)
