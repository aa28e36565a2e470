"""Groups drawn towards what they share: against published pumps and a reference library."""

import math

import numpy as np
import pytest
from scipy import optimize, stats

from faultnet.learning.regions.shrinkage import (
    CLOSEST,
    Rates,
    Shares,
    rates_of,
    shares_of,
    sizes_of,
)

# Gaver & O'Muircheartaigh (1987), Technometrics 29:1-15: failures of ten pump systems of a
# power plant, and thousands of hours in operation.
FAILURES = np.array([[5.0, 1, 5, 14, 3, 19, 1, 1, 4, 22]])
HOURS = np.array([[94.3, 15.7, 62.9, 126, 5.24, 31.4, 1.05, 1.05, 2.1, 10.5]])


def negative_binomial(shape, centre):
    """The likelihood of the failures by scipy.stats, the true rates summed out."""
    chance = (shape / centre) / (shape / centre + HOURS)
    return stats.nbinom.logpmf(FAILURES, shape, chance).sum()


def test_the_pumps_scatter_as_a_reference_optimiser_has_it():
    found = rates_of(FAILURES, HOURS)
    reference = optimize.minimize(
        lambda logs: -negative_binomial(*np.exp(logs)), [0.0, 0.0], tol=1e-10
    )
    shape, centre = np.exp(reference.x)
    assert (found.concentration, found.centres[0]) == pytest.approx((shape, centre), rel=1e-3)
    # Gaver and O.Muircheartaigh fitted the gamma of these pumps by maximum likelihood too: shape
    # 0.82 and 1.26 thousand hours, from memory.
    assert (shape, shape / centre) == pytest.approx((0.82, 1.26), abs=0.01)


def test_a_centre_may_be_given():
    found = rates_of(FAILURES, HOURS, 0.5)
    reference = optimize.minimize_scalar(
        lambda log: -negative_binomial(math.exp(log), 0.5), bounds=(-3, 5), method="bounded"
    )
    assert found.centres == (0.5,)
    assert found.concentration == pytest.approx(math.exp(reference.x), rel=1e-3)


def test_the_pumps_are_drawn_together_as_published():
    # The pumps example of the BUGS manual, after George, Makov & Smith (1993), fully Bayesian;
    # posterior means of the rates, from memory. The scatter is a point estimate here, so
    # that pumps with few hours differ by up to a fifth.
    published = [0.060, 0.102, 0.089, 0.116, 0.60, 0.61, 0.90, 0.90, 1.58, 1.99]
    found = rates_of(FAILURES, HOURS)
    rates = [
        found.drawn(0, failures, hours, 0.9).value
        for failures, hours in zip(FAILURES[0], HOURS[0], strict=True)
    ]
    assert rates == pytest.approx(published, rel=0.2)


@pytest.mark.parametrize("events", [0.0, 1.0, 40.0])
def test_the_interval_of_a_rate_is_that_of_gamma(events):
    drawn = Rates((0.7,), 0.8).drawn(0, events, 12.0, 0.9)
    gamma = stats.gamma(0.8 + events, scale=1.0 / (0.8 / 0.7 + 12.0))
    assert (drawn.low, drawn.high) == pytest.approx(gamma.ppf([0.05, 0.95]), rel=2e-3)
    assert drawn.value == pytest.approx(gamma.mean())


@pytest.mark.parametrize(("yes", "cases"), [(0, 3), (3, 3), (40, 200)])
def test_the_interval_of_a_share_is_that_of_beta(yes, cases):
    drawn = Shares((0.2,), 5.0).drawn(0, yes, cases, 0.9)
    beta = stats.beta(1.0 + yes, 4.0 + cases - yes)
    assert (drawn.low, drawn.high) == pytest.approx(beta.ppf([0.05, 0.95]), rel=2e-3)


def test_shares_scatter_as_the_beta_binomial_has_it():
    # Reference: scipy.stats.betabinom.
    yes, cases = np.array([[3.0, 9, 30, 2]]), np.array([[40.0, 30, 60, 20]])
    found = shares_of(yes, cases)
    (centre,) = found.centres

    def unlikely(log):
        k = math.exp(log)
        return -stats.betabinom.logpmf(yes, cases, k * centre, k * (1 - centre)).sum()

    reference = optimize.minimize_scalar(unlikely, bounds=(-2, 6), method="bounded")
    assert found.concentration == pytest.approx(math.exp(reference.x), rel=1e-3)


def test_groups_that_differ_by_chance_alone_are_taken_as_alike():
    rng = np.random.default_rng(1)
    expected = rng.uniform(5.0, 30.0, (40, 5))
    found = rates_of(rng.poisson(expected).astype(float), expected)
    assert found.concentration > 100.0
    same = rates_of(np.round(expected), expected)
    assert same.concentration == pytest.approx(CLOSEST, rel=0.01)


def test_a_known_scatter_is_found():
    rng = np.random.default_rng(2)
    expected = np.full((80, 6), 15.0)
    rates = rng.gamma(4.0, 1.0 / 4.0, expected.shape)
    found = rates_of(rng.poisson(rates * expected).astype(float), expected)
    assert found.concentration == pytest.approx(4.0, rel=0.2)


def test_sizes_scatter_and_are_drawn():
    rng = np.random.default_rng(3)
    offs = np.full((60, 5), 0.2)
    sizes = rng.normal(1.0, math.hypot(0.3, 0.2), offs.shape)
    sizes[0], offs[0] = [1.6, 0.0, 0.0, 0.0, 0.0], [0.2, np.inf, np.inf, np.inf, np.inf]
    found = sizes_of(sizes, offs)
    assert found.scatter == pytest.approx(0.3, rel=0.15)
    drawn = found.drawn(1, 2.0, 0.2, 1.645)
    assert found.centres[1] < drawn.value < 2.0
    assert found.centres[0] == pytest.approx(1.6)
    nothing = found.drawn(1, 0.0, math.inf, 1.645)
    assert nothing.value == pytest.approx(found.centres[1])
