"""The course of a count: against the optimiser of scipy, and at its stated rate."""

import math

import numpy as np
import pytest
from scipy import optimize, stats

from faultnet.learning.drift.course import _Seen, _tail, course_of

MONTHS = np.arange(24240.0, 24240.0 + 48.0)


def counts(seed, trend=0.0, height=0.0, expected=6.0):
    rng = np.random.default_rng(seed)
    turn = 2 * np.pi * MONTHS / 12
    log = trend * (MONTHS - MONTHS.mean()) / 12 + height * np.cos(turn)
    return rng.poisson(expected * np.exp(log)).astype(float)


def look(seen, wave=True):
    return course_of(MONTHS, seen, np.full(48, 6.0), wave=wave)


def test_the_likelihood_ratio_agrees_with_a_general_optimiser():
    # Reference: scipy.optimize.minimize on the Poisson likelihood, scipy.stats.chi2.
    seen, expected = counts(5, trend=0.3, height=0.4), np.full(48, 6.0)
    years = (MONTHS - MONTHS.mean()) / 12
    turn = 2 * np.pi * MONTHS / 12
    whole = np.column_stack([np.ones(48), years, np.cos(turn), np.sin(turn)])

    def least(columns):
        def cost(at):
            log = columns @ at
            return (expected * np.exp(log) - seen * log).sum()

        return optimize.minimize(cost, np.zeros(columns.shape[1]), tol=1e-12).fun

    found = look(seen)
    for value, columns, free in (
        (found.p_trend, whole[:, [0, 2, 3]], 1),
        (found.p_wave, whole[:, :2], 2),
    ):
        gain = 2 * (least(columns) - least(whole)) / found.spread
        assert value == pytest.approx(stats.chi2.sf(gain, free), rel=1e-3)


@pytest.mark.parametrize("free", [1, 2])
def test_the_tail_is_that_of_chi_square(free):
    assert [_tail(x, free) for x in (0.0, 1.0, 9.0)] == pytest.approx(
        stats.chi2.sf([0.0, 1.0, 9.0], free)
    )


def test_trend_and_wave_are_found():
    found = look(counts(1, trend=math.log(1.5), height=math.log(2.0), expected=20.0))
    assert found.p_trend < 1e-6
    assert found.p_wave < 1e-6
    assert math.exp(found.trend) == pytest.approx(1.5, rel=0.1)
    assert found.peak in (11, 0, 1)
    low, high = found.interval(found.peak, 1.645)
    assert low < found.factor(found.peak) < high


@pytest.mark.parametrize(("expected", "least", "most"), [(0.5, 0.5, 0.95), (50.0, 0.99, 1.0)])
def test_small_counts_are_shrunk_more(expected, least, most):
    seen = counts(2, height=1.0, expected=expected)
    shrunk = look(seen).wave
    bare, _ = _Seen(MONTHS, seen, np.full(48, 6.0)).fit([0, 1, 2, 3])
    assert least < math.hypot(*shrunk) / math.hypot(*bare[2:]) < most


def test_chance_is_told_as_often_as_it_says():
    chances = [look(counts(seed)) for seed in range(400)]
    for name in ("p_trend", "p_wave"):
        told = sum(getattr(each, name) < 0.05 for each in chances)
        # 400 x 0.05 = 20; three standard deviations of the binomial are 13.
        assert told <= 33


def test_counts_that_come_in_heaps_say_less():
    rng = np.random.default_rng(3)
    heaps = rng.negative_binomial(1.0, 1.0 / 7.0, 48).astype(float)
    assert look(heaps).spread > 3.0
    assert look(heaps).p_trend > 0.001


def test_without_a_wave_only_the_trend_is_looked_at():
    found = look(counts(4, height=1.0), wave=False)
    assert (found.p_wave, found.wave, found.factor(0)) == (1.0, (0.0, 0.0), 1.0)


def test_a_cause_never_seen_has_no_course():
    found = look(np.zeros(48))
    assert (found.p_trend, found.p_wave) == pytest.approx((1.0, 1.0), abs=1e-6)
