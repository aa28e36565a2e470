"""One number moved to where counts are likeliest."""

import numpy as np
import pytest

from faultnet.learning.estimate.tilted import FAR, Tilted

EVERY = slice(None)


def test_in_one_cell_it_is_the_share():
    tilted = Tilted(np.array([3.0]), np.array([7.0]), np.array([0.5]))
    moved = tilted.move(EVERY)
    assert 1.0 / (1.0 + np.exp(-0.5 - moved)) == pytest.approx(0.3)
    assert tilted.odds[0] == pytest.approx(0.5 + moved)


def test_the_prior_counts_as_cases():
    tilted = Tilted(np.array([3.0]), np.array([7.0]), np.array([0.0]))
    moved = tilted.move(EVERY, (5.0, 5.0, 0.0))
    assert 1.0 / (1.0 + np.exp(-moved)) == pytest.approx(8.0 / 20.0)


def test_where_it_never_came_true_it_goes_far_and_stops():
    moved = Tilted(np.array([0.0]), np.array([7.0]), np.array([-3.0])).move(EVERY)
    assert -FAR - 2.0 <= moved < -15.0


def test_nothing_moves_where_nothing_speaks():
    assert Tilted(np.zeros(1), np.zeros(1), np.zeros(1)).move(EVERY) == 0.0


def test_a_normal_prior_holds_it_back():
    tilted = Tilted(np.array([5.0]), np.array([0.0]), np.array([0.0]))
    moved = tilted.move(EVERY, normal=(0.0, 100.0))
    assert moved == pytest.approx(5.0 * (1.0 - 1.0 / (1.0 + np.exp(-moved))) / 100.0)
