"""What answers say about causes, and what causes show alone, against every joint state."""

from dataclasses import dataclass
from itertools import combinations

import msgspec
import numpy as np
import pytest

from faultnet.advice.observe import said
from faultnet.inference.observed import Observed
from faultnet.model.evidence import Answer
from faultnet.network.network import cause_roots
from faultnet.review.facts.alone import Alone
from faultnet.review.facts.sweeping import Sweeping
from faultnet.review.facts.told import Told
from tests.inference.reference import likelihood, worlds

GRADED = """\
causes:
  coarse:
    title: Coarse
    how-common: 0.2
    shows:
      gauge-falls:
        - {strength: {slowly: 0.1, quickly: 0.6}, when: {tank: captive-air}}
        - {strength: {slowly: 0.6, quickly: 0.1}, when: {tank: plain}}
      motor-silent: sometimes
    repair: mend-line
"""


@dataclass
class Brute:
    """Every joint state of a network, each with its share of all calls."""

    subject: object
    states: list

    @classmethod
    def of(cls, subject, network=None):
        network = network or subject.network
        observed = Observed()
        found = [
            (w, w.weight * likelihood(network, observed, w)) for w in worlds(network, observed)
        ]
        total = sum(weight for _, weight in found)
        return cls(subject, [(w, weight / total) for w, weight in found])

    def chance(self, holds):
        """P(holds), and P(holds and cause) by cause."""
        causes = np.zeros(len(self.subject.network.causes))
        total = 0.0
        for world, weight in self.states:
            share = weight * holds(world)
            if share:
                total += share
                causes[[c.cause for c in world.copies]] += share
        return total, causes


def without_looks(subject):
    """The subject without the findings that looks make: fewer joint states."""
    kept = tuple(f for f in subject.network.findings if not f.id.startswith("found-"))
    assert [f.id for f in subject.network.findings[: len(kept)]] != []
    order = {f.id: k for k, f in enumerate(kept)}
    old = [f.id for f in subject.network.findings]

    def moved(places):
        return tuple(order[old[p]] for p in places)

    findings = tuple(
        msgspec.structs.replace(
            f,
            hidden_by=moved(f.hidden_by),
            needs=moved(f.needs),
            follows=tuple(
                msgspec.structs.replace(r, source=order[old[r.source]]) for r in f.follows
            ),
        )
        for f in kept
    )
    network = msgspec.structs.replace(subject.network, findings=findings)
    return msgspec.structs.replace(subject, network=network)


@pytest.fixture
def subject(trial):
    return without_looks(trial(GRADED))


def abnormal(subject, finding):
    index = subject.findings[finding]
    return lambda world: float(world.values[index][0] > 0)


def test_findings_roots_and_pairs(subject):
    told, brute = Told(subject), Brute.of(subject)
    assert told.causes == pytest.approx(brute.chance(lambda _: 1.0)[1], rel=1e-9)
    for finding in subject.findings:
        total, causes = brute.chance(abnormal(subject, finding))
        assert told.often[finding] == pytest.approx(total, rel=1e-9)
        assert told.after(finding) == pytest.approx(causes / total, rel=1e-9)
    for root, index in subject.roots.items():
        for k, (state, chances) in enumerate(told.after_root(root).items()):
            total, causes = brute.chance(lambda world, k=k, i=index: float(world.roots[i] == k))
            assert chances == pytest.approx(causes / total, rel=1e-9), state
    pairs = list(combinations(subject.findings, 2))
    totals, causes = told.of_pairs(pairs)
    for pair, total, row in zip(pairs, totals, causes, strict=True):
        one, other = (abnormal(subject, finding) for finding in pair)
        expected = brute.chance(lambda world, a=one, b=other: a(world) * b(world))
        assert total == pytest.approx(expected[0], rel=1e-9, abs=1e-15)
        if expected[0] > 1e-9:
            assert row == pytest.approx(expected[1] / expected[0], rel=1e-7)


@pytest.mark.parametrize("speaker", ["caller", "technician"])
def test_what_somebody_says(subject, speaker):
    told, brute = Told(subject), Brute.of(subject)
    for finding, index in subject.findings.items():
        for answer, chances in told.after_word(finding, speaker).items():
            heard = said(subject, Answer(finding, answer, speaker))
            total, causes = brute.chance(lambda world, h=heard, i=index: h[world.values[i][0]])
            assert chances == pytest.approx(causes / max(total, 1e-300), rel=1e-9), answer


def test_what_a_cause_shows_alone(subject):
    alone = Alone(subject)
    network = subject.network
    one = tuple(
        msgspec.structs.replace(c, probability=1 / len(network.causes), factors=(), brings=())
        for c in network.causes
    )
    brute = Brute.of(subject, msgspec.structs.replace(network, causes=one, faults="one"))
    seen = set()
    for column, row in zip(alone.columns, alone.shown, strict=True):

        def layout(world, states=column.states):
            return float(all(world.roots[r] == s for r, s in states))

        def both(world, c=column, holds=layout):
            value = world.values[c.finding][0]
            cannot = len(network.findings[c.finding].answers)
            return holds(world) * float((cannot if value == -1 else value) == c.answer)

        there, shown = brute.chance(layout)[1], brute.chance(both)[1]
        possible = there > 0.0
        assert (np.isnan(row) == ~possible).all()
        assert row[possible] == pytest.approx(shown[possible] / there[possible], rel=1e-9)
        seen.add((network.findings[column.finding].id, len(column.states), column.answer))
    assert ("gauge-falls", 1, 3) in seen
    assert ("tap-spits-air", 0, 1) in seen
    assert any(cause_roots(cause) for cause in network.causes)


def test_a_sweep_is_made_of_shares_of_all_calls(subject):
    sweeping = Sweeping(subject.network)
    none = sweeping.weigh([])
    assert len(none.totals) == 0
    both = sweeping.weigh([sweeping.expander.root(0, 0), sweeping.expander.root(0, 1)])
    assert both.totals.sum() == pytest.approx(1.0)
