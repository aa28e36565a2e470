"""The arithmetic of measures against scikit-learn, SciPy and published figures.

scikit-learn: F. Pedregosa and others, Journal of Machine Learning Research 12 (2011) 2825-2830.
"""

import numpy as np
import pytest
from scipy.stats import binomtest, norm, sem
from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss, log_loss, top_k_accuracy_score

from faultnet.advice.ranking import Beliefs
from faultnet.learning.measures import ranked as measures
from faultnet.learning.measures.figures import Mean, Share, mean
from faultnet.learning.measures.grid import Grid, gridded, off
from faultnet.learning.measures.ranked import Ranked, ranked
from faultnet.network.build import UNLISTED

NAMES = [*(f"cause-{k}" for k in range(7)), UNLISTED]


def drawn(seed, cases, most):
    """Chances of causes by case, and which of them were there: from one to ``most``."""
    rng = np.random.default_rng(seed)
    told = rng.beta(0.4, 2.0, (cases, len(NAMES))).clip(1e-4, 1 - 1e-4)
    came = np.zeros((cases, len(NAMES)), bool)
    for row in came:
        row[rng.choice(len(NAMES), rng.integers(1, most + 1), replace=False)] = True
    return told, came


def summed(told, came):
    """Our sums over the same cases."""
    sums = Ranked()
    for chances, there in zip(told, came, strict=True):
        beliefs = Beliefs(dict(zip(NAMES, chances.tolist(), strict=True)), {}, 1.0)
        true = frozenset(name for name, is_there in zip(NAMES, there, strict=True) if is_there)
        sums += ranked(beliefs, true, seen=False)[0]
    return sums


@pytest.mark.parametrize(
    ("told", "came", "score"), [(0.7, True, 0.09), (0.3, True, 0.49), (0.5, True, 0.25)]
)
def test_brier_scores_of_the_glossary(told, came, score):
    """(p - x)^2 of one event: American Meteorological Society, Glossary, Brier score."""
    grid_told, there = np.array([told]), np.array([came])
    assert float(np.sum((grid_told - there) ** 2)) == pytest.approx(score)
    beliefs = Beliefs({"cause-0": told, UNLISTED: 0.0}, {}, 1.0)
    assert ranked(beliefs, frozenset({"cause-0"}), seen=False)[0].brier.value == pytest.approx(
        score
    )


def test_each_cause_there_or_not_against_scikit_learn():
    told, came = drawn(1, 200, 3)
    sums = summed(told, came)
    each = len(NAMES)
    assert sums.log_loss.value == pytest.approx(
        each * log_loss(came.ravel(), told.ravel()), rel=1e-12
    )
    assert sums.brier.value == pytest.approx(
        each * brier_score_loss(came.ravel(), told.ravel()), rel=1e-12
    )


def test_one_cause_of_many_against_scikit_learn():
    told, came = drawn(2, 200, 1)
    sums, true = summed(told, came), came.argmax(axis=1)
    shares = told / told.sum(axis=1, keepdims=True)
    labels = np.arange(len(NAMES))
    assert sums.one_log_loss.value == pytest.approx(log_loss(true, shares, labels=labels))
    brier = brier_score_loss(true, shares, labels=labels, scale_by_half=False)
    assert sums.one_brier.value == pytest.approx(brier)
    for k, share in ((1, sums.best.one), (3, sums.best.three), (5, sums.best.five)):
        assert share.value == pytest.approx(top_k_accuracy_score(true, told, k=k, labels=labels))


def test_what_was_ruled_out_costs_the_most_that_anything_costs():
    beliefs = Beliefs({"cause-0": 0.0, "cause-1": 1.0}, {}, 1.0)
    beliefs.causes[UNLISTED] = 0.0
    figures, _ = ranked(beliefs, frozenset({"cause-0"}), seen=False)
    assert figures.ruled_out == 1
    assert figures.one_log_loss.value == pytest.approx(-np.log(measures.LEAST))


@pytest.mark.parametrize("seed", range(3))
def test_reliability_against_scikit_learn(seed):
    """Bins of equal widths are the same; their weighted distance is off alike."""
    rng = np.random.default_rng(seed)
    told = np.concatenate((rng.beta(0.3, 2.0, 3000), np.linspace(0.0, 1.0, 41)))
    came = rng.random(len(told)) < told**1.3
    grid = Grid()
    for k in range(0, len(told), 500):
        grid += gridded(told[k : k + 500], came[k : k + 500])
    bins = grid.equal_widths()
    shares, means = calibration_curve(came, told, n_bins=10)
    assert [each.came.value for each in bins] == pytest.approx(shares, rel=1e-12)
    assert [each.told for each in bins] == pytest.approx(means, rel=1e-12)
    counts = np.array([each.came.of for each in bins])
    far = float(counts @ np.abs(shares - means)) / len(told)
    assert off(bins) == pytest.approx(far, rel=1e-12)


@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_ranges_of_shares_as_published(hits, of, low, high):
    """R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I; from memory."""
    assert Share(hits, of).interval == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize("of", [1, 2, 7, 40, 1000])
def test_ranges_of_shares_against_scipy(of):
    for hits in {0, 1, of // 3, of - 1, of}:
        interval = binomtest(hits, of).proportion_ci(0.95, method="wilson")
        assert Share(hits, of).interval == pytest.approx((interval.low, interval.high), abs=1e-12)


def test_range_of_a_mean_against_scipy():
    values = np.random.default_rng(4).lognormal(3.0, 0.6, 50)
    found = sum(map(mean, values.tolist()), Mean())
    assert found.value == pytest.approx(values.mean(), rel=1e-12)
    assert found.interval == pytest.approx(norm.interval(0.95, values.mean(), sem(values)))
