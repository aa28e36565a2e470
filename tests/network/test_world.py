"""Imagined sites against exact marginals: as often as the engine says, within stated bounds.

Each figure is a share of independent draws. By Bernstein's inequality (S. Bernstein, 1924; in
Boucheron, Lugosi and Massart, Concentration Inequalities, 2013; from memory) it lies beyond its
bound with a chance of at most ALARM over all figures of a network together. Seeds are fixed.
"""

from collections import Counter
from math import log, sqrt

import msgspec
import numpy as np
import pytest

from faultnet.inference.lattice import Lattice
from faultnet.inference.observed import Mend, Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.network.network import Bring, Cause, Finding, Link, Network, Root
from faultnet.network.world import draw_world, shown, thrown_anew
from tests.inference.networks import random_network

ALARM = 1e-6
DRAWS = 3000


def bound(p, draws, figures):
    """Return how far a share of draws may lie from its probability."""
    chance = log(2 * figures / ALARM)
    first = chance / (3 * draws)
    return first + sqrt(first**2 + 2 * p * (1 - p) * chance / draws)


def worlds_of(network, seed, draws):
    rng = np.random.default_rng(seed)
    return [draw_world(network, rng) for _ in range(draws)]


def shares(network, worlds):
    """Return how often each variable was in each state, by ids."""
    counts = Counter()
    for world in worlds:
        for root, state in zip(network.roots, world.roots, strict=True):
            counts[root.id, root.states[state]] += 1
        for k, cause in enumerate(network.causes):
            counts[cause.id, "present" if k in world.present else "absent"] += 1
        for finding, value in zip(network.findings, shown(network, world), strict=True):
            counts[finding.id, "cannot" if value < 0 else finding.answers[value]] += 1
    return {key: count / len(worlds) for key, count in counts.items()}


def beyond(network, worlds, evidence=None):
    """Return the figures that lie beyond their bounds."""
    exact = Lattice(network).beliefs(evidence or {})
    figures = {(v, s): p for v, states in exact.items() for s, p in states.items()}
    found = shares(network, worlds)
    assert found.keys() <= figures.keys()
    return {
        key: (found.get(key, 0.0), p)
        for key, p in figures.items()
        if abs(found.get(key, 0.0) - p) > bound(p, len(worlds), len(figures))
    }


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_roots_causes_and_findings_come_as_often_as_the_engine_says(seed, faults):
    network = random_network(seed, faults=faults)
    assert not beyond(network, worlds_of(network, seed, DRAWS))


@pytest.mark.parametrize("seed", [5, 6])
def test_what_goes_together_goes_together(seed):
    network = random_network(seed, causes=4, findings=5)
    worlds = worlds_of(network, seed, DRAWS)
    for k, finding in enumerate(network.findings):
        part = [world for world in worlds if shown(network, world)[k] == 1]
        if len(part) > DRAWS // 20:
            assert not beyond(network, part, {finding.id: finding.answers[1]})


@pytest.mark.parametrize("seed", [8, 9, 10])
def test_after_a_repair_what_is_left_shows_again(seed):
    network = random_network(seed, causes=3, findings=4)
    rng = np.random.default_rng(seed)
    counts = Counter()
    for world in worlds_of(network, seed, DRAWS):
        before = shown(network, world)
        after = shown(network, thrown_anew(network, world, rng), mended={0})
        counts.update((k, a, b) for k, (a, b) in enumerate(zip(before, after, strict=True)))
    assert any(finding.fitful for finding in network.findings)
    mended = Observed(2, mends=(Mend(0, 0, 1.0),))
    total = Query(network, mended).weigh([Row()])[0]
    pairs = [
        (k, a, b)
        for k, f in enumerate(network.findings)
        for a in range(len(f.answers) + bool(f.needs))
        for b in range(len(f.answers) + bool(f.needs))
    ]
    for k, a, b in pairs:
        finding = network.findings[k]
        size = len(finding.answers) + bool(finding.needs)
        told = {(k, r): tuple(float(i == x) for i in range(size)) for r, x in ((0, a), (1, b))}
        asked = msgspec.structs.replace(mended, findings=told)
        query = Query(network, asked)
        p = query.weigh([Row()])[0] / total if query.possible() else 0.0
        seen = [-1 if x == len(finding.answers) else x for x in (a, b)]
        share = counts[k, *seen] / DRAWS
        assert abs(share - p) <= bound(p, DRAWS, len(pairs)), (finding.id, a, b)


def test_the_shipped_system(subject):
    assert not beyond(subject.network, worlds_of(subject.network, 1, 500))


@pytest.mark.parametrize("seed", [2, 3, 4])
def test_the_bound_finds_calls_with_nothing_at_fault(seed):
    """As they would come if it were forgotten that somebody called."""
    worlds = worlds_of(random_network(seed, faults="any"), seed, DRAWS)
    assert beyond(random_network(seed), worlds)


def test_the_bound_finds_a_link_that_is_wrong():
    network = random_network(2)
    findings = tuple(msgspec.structs.replace(f, links=f.links[1:]) for f in network.findings)
    worlds = worlds_of(msgspec.structs.replace(network, findings=findings), 2, DRAWS)
    assert beyond(network, worlds)


def test_a_cause_that_comes_twice_throws_twice():
    network = Network(
        "twice",
        (Root("wet", ("no", "yes"), (0.5, 0.5)),),
        (Cause("a", 0.9, brings=(Bring(1, 0.8),)), Cause("b", 0.7)),
        (Finding("f", ("no", "yes"), (0.0,), (Link(1, (0.5,)),)),),
        "several",
    )
    worlds = worlds_of(network, 3, DRAWS)
    assert any(world.causes == (0, 1, 1) and world.own == 2 for world in worlds)
    assert not beyond(network, worlds)


@pytest.mark.parametrize("faults", ["several", "one"])
def test_a_network_without_possible_causes_is_refused(faults):
    network = Network("none", (), (Cause("a", 0.0),), (), faults)
    with pytest.raises(ValueError, match="no cause"):
        draw_world(network, np.random.default_rng(0))
