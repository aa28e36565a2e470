"""Ranges against the quantiles of SciPy, and against how often they hold the true number."""

import numpy as np
import pytest
from scipy.stats import beta, binom

from faultnet.advice.imagined import generator_of
from faultnet.learning.estimate.estimate import Rounds, estimate
from faultnet.learning.estimate.priors import Priors
from faultnet.learning.estimate.range_of import range_of_chance, range_of_factor
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.learning.source import CasesAtHand
from faultnet.network.places import put
from tests.learning.estimate.small import closed_case, small

STRENGTHS = frozenset({"strength", "leak"})
SETS, CASES = 4, 30


@pytest.mark.parametrize("value", [0.001, 0.03, 0.3, 0.5, 0.9, 0.999])
@pytest.mark.parametrize("cases", [1.0, 20.0, 3000.0])
def test_a_range_is_the_shortest_one_that_holds_so_much(value, cases):
    found = range_of_chance(value, cases, 0.9)
    spread = beta(1.0 + cases * value, 1.0 + cases * (1.0 - value))
    assert spread.cdf(found.high) - spread.cdf(found.low) == pytest.approx(0.9, abs=2e-3)
    assert found.low <= value <= found.high
    low = np.linspace(0.0, 0.1, 201)[:-1]
    assert found.high - found.low <= (spread.ppf(low + 0.9) - spread.ppf(low)).min() * 1.001


def test_the_range_of_a_factor_is_as_wide_on_either_side():
    found = range_of_factor(4.0, 0.5, 0.9)
    assert found.high / 4.0 == pytest.approx(4.0 / found.low)
    assert np.log(found.high / 4.0) == pytest.approx(1.6449 * 0.5, rel=1e-4)


def test_ranges_hold_true_strengths_as_often_as_they_say():
    """Strengths drawn from what the authored are worth; within what so many draws allow."""
    inside = []
    priors = Priors()
    for seed in range(SETS):
        truth = drawn(seed, priors)
        network = put(small().network, {p: v for ps, v in truth.values() for p in ps})
        cases = tuple(closed_case(small(), network, seed, k) for k in range(CASES))
        found = estimate(
            small(), CasesAtHand(cases), kinds=STRENGTHS, rounds=Rounds(most=4, least=-1e9)
        )
        inside += [
            each.interval.low <= truth[each.number][1] <= each.interval.high
            for each in found.numbers
        ]
    low, high = binom(len(inside), 0.9).ppf([0.0005, 0.9995])
    assert len(inside) >= 80
    assert low <= sum(inside) <= high


def drawn(seed, priors):
    """True strengths of one level each; those of several stay as they are authored."""
    rng = generator_of(seed, 10**6)
    unknowns = Unknowns(small(), STRENGTHS, priors)
    truth = {}
    for k, unknown in enumerate(unknowns.all):
        value = unknown.authored.value
        if len(unknowns.beside[k]) == 1:
            value = rng.beta(1.0 + unknown.worth * value, 1.0 + unknown.worth * (1.0 - value))
        truth[unknown.authored.number] = (unknown.authored.places, value)
    return truth


def test_more_cases_make_ranges_narrower():
    widths = []
    for count in (10, 60):
        cases = tuple(closed_case(small(), small().network, 1, k) for k in range(count))
        found = estimate(
            small(), CasesAtHand(cases), kinds=STRENGTHS, rounds=Rounds(most=1, least=-1e9)
        )
        widths.append([each.interval.high - each.interval.low for each in found.numbers])
    assert np.mean(widths[1]) < 0.9 * np.mean(widths[0])
