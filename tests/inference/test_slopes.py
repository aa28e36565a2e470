"""Slopes against differences, weighed anew, and against counting all joint states."""

import math

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.gates import LEAK
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.inference.slopes import slopes
from faultnet.network.network import Network, cause_absence, cause_probability
from tests.inference.networks import random_network, random_observed
from tests.inference.reference import likelihood, worlds

STEP = 1e-4
replace = msgspec.structs.replace


def moved(items, place, **changes):
    """Return a tuple with one entry changed."""
    return tuple(replace(x, **changes) if k == place else x for k, x in enumerate(items))


def plus(values, place, step):
    return tuple(x + step * (k == place) for k, x in enumerate(values))


def with_link(network, key, step):
    finding, place, level = key
    links = network.findings[finding].links
    links = moved(links, place, levels=plus(links[place].levels, level, step))
    return replace(network, findings=moved(network.findings, finding, links=links))


def with_gate(network, key, step):
    finding, rule, level = key
    entry = network.findings[finding]
    if rule == LEAK:
        changes = {"leak": plus(entry.leak, level, step)}
    else:
        levels = plus(entry.follows[rule].levels, level, step)
        changes = {"follows": moved(entry.follows, rule, levels=levels)}
    return replace(network, findings=moved(network.findings, finding, **changes))


def with_bring(network, key, step):
    cause, place = key
    brings = network.causes[cause].brings
    brings = moved(brings, place, probability=brings[place].probability + step)
    return replace(network, causes=moved(network.causes, cause, brings=brings))


def with_root(network, key, step):
    root, state = key
    prior = plus(network.roots[root].prior, state, step)
    return replace(network, roots=moved(network.roots, root, prior=prior))


KINDS = {"links": with_link, "gates": with_gate, "brings": with_bring, "roots": with_root}


def rows_of(network):
    return [Row(), *(Row(absent=(c,)) for c in range(len(network.causes)))]


def weighed(network, observed):
    query = Query(network, observed)
    return query.weigh(rows_of(network))


def compared(network: Network, observed) -> int:
    """Hold every slope against a difference; return how many there were."""
    try:
        found = slopes(Query(network, observed), rows_of(network))
    except ImpossibleEvidenceError:
        return 0
    totals = weighed(network, observed)
    assert found.totals == pytest.approx(totals, rel=1e-9)
    count = 0
    for kind, change in KINDS.items():
        for key, slope in getattr(found, kind).items():
            high, low = (weighed(change(network, key, s), observed) for s in (STEP, -STEP))
            wanted = (high - low) / (2 * STEP)
            assert slope == pytest.approx(wanted, rel=1e-5, abs=1e-7), (kind, key)
            count += 1
    return count


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(12))
def test_slopes_are_what_differences_come_to(seed, faults):
    network = random_network(seed, faults=faults)
    compared(network, random_observed(seed, network))


@given(
    st.integers(0, 10**6),
    st.integers(0, 2),
    st.integers(1, 3),
    st.integers(1, 3),
    st.sampled_from(["several", "one"]),
)
@settings(max_examples=25, deadline=None)
def test_slopes_are_what_differences_come_to_whatever_the_sizes(
    seed, roots, causes, findings, faults
):
    network = random_network(seed, roots=roots, causes=causes, findings=findings, faults=faults)
    compared(network, random_observed(seed, network))


@pytest.mark.parametrize("seed", range(8))
def test_slopes_of_links_are_what_counting_all_joint_states_gives(seed):
    """A weight is linear in a link that is tried in one place: two values give the slope."""
    network = random_network(seed, roots=1, causes=2, findings=2)
    observed = random_observed(seed, network, rounds=1)
    try:
        found = slopes(Query(network, observed), [Row()])
    except ImpossibleEvidenceError:
        return

    def counted(other):
        return math.fsum(w.weight * likelihood(other, observed, w) for w in worlds(other, observed))

    for key, slope in found.links.items():
        if len(found.uses[key[:2]]) == 1:
            levels = network.findings[key[0]].links[key[1]].levels
            step = (1.0 - sum(levels)) / 2.0
            wanted = (counted(with_link(network, key, step)) - counted(network)) / step
            assert slope[0] == pytest.approx(wanted, rel=1e-9, abs=1e-13)


def test_the_random_cases_have_slopes():
    counts = []
    for seed in range(6):
        network = random_network(seed)
        counts.append(compared(network, random_observed(seed, network)))
    assert sum(counts) > 50


@pytest.mark.parametrize("seed", range(10))
def test_the_ends_of_a_cause_give_the_whole_curve_of_its_chance(seed):
    """Other chances of a cause, and other factors, without a further sweep."""
    network = random_network(seed)
    observed = random_observed(seed, network)
    query = Query(network, observed)
    try:
        found = slopes(query, rows_of(network))
    except ImpossibleEvidenceError:
        return
    for index, cause in enumerate(network.causes):
        for chance in (0.01, 0.3, 0.9):
            other = replace(cause, probability=chance)
            changed = replace(network, causes=moved(network.causes, index, probability=chance))
            assert found.causes[index].weigh(network, other, query.known) == pytest.approx(
                weighed(changed, observed), rel=1e-9, abs=1e-15
            )
            assert cause_probability(other, dict.fromkeys(range(9), 0)) + cause_absence(
                other, dict.fromkeys(range(9), 0)
            ) == pytest.approx(1.0)


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(8))
def test_a_chance_is_tried_as_often_as_counting_all_joint_states_gives(seed, faults):
    """In one round: a link once for each copy of its cause, a rule while its source shows."""
    network = random_network(seed, faults=faults)
    observed = random_observed(seed, network, rounds=1)
    try:
        found = slopes(Query(network, observed), [Row()])
    except ImpossibleEvidenceError:
        return
    every = [(w, w.weight * likelihood(network, observed, w)) for w in worlds(network, observed)]

    def holds(condition, world):
        return all(allowed[world.roots[r]] for r, allowed in condition)

    def tried(finding, link, world):
        return holds(network.findings[finding].when + link.when, world)

    for (finding, place), weight in found.tries.items():
        link = network.findings[finding].links[place]
        wanted = sum(
            p * sum(c.cause == link.source for c in w.copies)
            for w, p in every
            if tried(finding, link, w)
        )
        assert weight[0] == pytest.approx(wanted, rel=1e-9, abs=1e-15)
    for (finding, rule), weight in found.gate_tries.items():
        entry = network.findings[finding]
        if rule == LEAK:
            wanted = sum(p for w, p in every if holds(entry.when, w))
        else:
            link = entry.follows[rule]
            wanted = sum(
                p for w, p in every if tried(finding, link, w) and w.values[link.source][0] > 0
            )
        assert weight[0] == pytest.approx(wanted, rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("seed", range(8))
def test_what_a_cause_brings_is_tried_while_it_is_there(seed):
    """Without what it brings, which is a copy like any other, a cause is there as often."""
    network = random_network(seed)
    observed = random_observed(seed, network, rounds=1)
    query = Query(network, observed)
    try:
        found = slopes(query, [Row()])
    except ImpossibleEvidenceError:
        return
    for (cause, place), weight in found.bring_tries.items():
        when = network.causes[network.causes[cause].brings[place].cause].when
        present, _ = found.causes[cause].shares(network, network.causes[cause], query.known)
        if not when:
            assert weight[0] == pytest.approx(present.sum(), rel=1e-9)
        else:
            assert weight[0] <= found.totals[0] * (1 + 1e-12)


@pytest.mark.parametrize("faults", ["several", "one"])
@pytest.mark.parametrize("seed", range(6))
def test_causes_and_roots_are_the_same_without_throws(seed, faults):
    network = random_network(seed, faults=faults)
    query = Query(network, random_observed(seed, network))
    try:
        found, less = slopes(query, [Row()]), slopes(query, [Row()], throws=False)
    except ImpossibleEvidenceError:
        return
    assert not less.links
    for cause, ends in found.causes.items():
        assert less.causes[cause].present == pytest.approx(ends.present, rel=1e-9)
        assert less.causes[cause].absent == pytest.approx(ends.absent, rel=1e-9)
    for key, slope in found.roots.items():
        assert less.roots[key] == pytest.approx(slope, rel=1e-9)
