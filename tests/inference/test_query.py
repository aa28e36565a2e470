"""The sweep against brute force on random small networks with every mechanism."""

import math

import msgspec
import pytest

from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.downsets import Expander
from faultnet.inference.observed import Mend, Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from tests.inference.networks import random_network, random_observed
from tests.inference.reference import likelihood, worlds


def weighed(network, observed):
    return [
        (w.weight * chance, w)
        for w in worlds(network, observed)
        if (chance := likelihood(network, observed, w))
    ]


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(40))
def test_beliefs_equal_brute_force(seed, faults):
    network = random_network(seed, faults=faults)
    observed = random_observed(seed, network)
    reference = weighed(network, observed)
    total = math.fsum(w for w, _ in reference)
    query = Query(network, observed)
    if total == 0.0:
        with pytest.raises(ImpossibleEvidenceError):
            query.masses()
        return
    masses = query.masses()
    assert masses.total == pytest.approx(total, rel=1e-9)
    for cause in range(len(network.causes)):
        if any(b.cause == cause for c in network.causes for b in c.brings) and faults != "one":
            continue
        wanted = math.fsum(w for w, x in reference if x.present(cause, observed.now))
        assert masses.causes[cause] == pytest.approx(wanted, rel=1e-9, abs=1e-15)
    for root, by_state in masses.roots.items():
        for state, mass in enumerate(by_state):
            wanted = math.fsum(w for w, x in reference if x.roots[root] == state)
            assert mass == pytest.approx(wanted, rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("seed", range(60))
def test_joint_answers_as_rows_equal_brute_force(seed):
    network = random_network(seed + 1000)
    observed = random_observed(seed, network)
    reference = weighed(network, observed)
    total = math.fsum(w for w, _ in reference)
    if total == 0.0:
        return
    now = observed.now
    free = [f for f in range(len(network.findings)) if (f, now) not in observed.findings]
    query = Query(network, observed, candidates=free)
    expander = Expander(query)
    for first in free:
        for second in [f for f in free if f >= first]:
            for one in range(len(network.findings[first].answers) + 1):
                for two in range(len(network.findings[second].answers) + 1):
                    if not network.findings[first].needs and one == len(network.findings[first].answers):
                        continue
                    if not network.findings[second].needs and two == len(network.findings[second].answers):
                        continue
                    terms = expander.joint(
                        [expander.answer(first, one)]
                        + ([expander.answer(second, two)] if second != first else [])
                    )
                    pairs = expander.rows(terms)
                    got = sum(
                        c * w
                        for (_, c), w in zip(pairs, query.weigh([r for r, _ in pairs]), strict=True)
                    )
                    wanted = math.fsum(
                        w
                        for w, x in reference
                        if _level(network, x, first, now) == one
                        and (second == first or _level(network, x, second, now) == two)
                    )
                    assert got == pytest.approx(wanted, rel=1e-9, abs=1e-12 * total)


def _level(network, world, finding, round_):
    value = world.values[finding][round_]
    return len(network.findings[finding].answers) if value == -1 else value


@pytest.mark.parametrize("seed", range(60))
def test_mending_ends_the_complaint_as_in_a_further_round(seed):
    """W(S): one more round with S mended in which every complaint reads normal."""
    network = open_network(seed)
    observed = random_observed(seed, network)
    now = observed.now
    complaints = [
        f for (f, r), x in observed.findings.items() if r == now and x[0] == 0.0
    ]
    if not complaints:
        return
    reference_total = math.fsum(w for w, _ in weighed(network, observed))
    if reference_total == 0.0:
        return
    closure = set(complaints)
    for f in sorted(range(len(network.findings)), reverse=True):
        if f in closure:
            closure |= {link.source for link in network.findings[f].follows}
    late = range(len(network.causes))
    query = Query(network, observed, ending=complaints, late=late)
    rows = [Row(mended=frozenset(s)) for s in ((), (0,), (1, 2), (0, 1, 2))]
    got = query.weigh_mended([(Row(), rows)])[0]
    for row, weight in zip(rows, got, strict=True):
        normal = {
            (f, now + 1): tuple(float(k == 0) for k in range(len(network.findings[f].answers)))
            for f in closure
        }
        after = Observed(
            observed.rounds + 1,
            observed.roots,
            observed.findings | normal,
            observed.mends + tuple(Mend(c, now, 1.0) for c in row.mended),
            observed.brought_in,
            observed.redraws,
        )
        wanted = math.fsum(w for w, _ in weighed(network, after))
        assert weight == pytest.approx(wanted, rel=1e-9, abs=1e-15)


def open_network(seed):
    """A random network in which nothing hides, withholds or comes and goes."""
    network = random_network(seed + 2000)
    findings = tuple(
        msgspec.structs.replace(f, hidden_by=(), needs=(), fitful=False, when=())
        for f in network.findings
    )
    return msgspec.structs.replace(network, findings=findings)


def test_the_random_cases_are_not_all_impossible():
    possible = sum(bool(weighed(n, random_observed(s, n))) for s, n in _some_networks())
    assert possible >= 20


def _some_networks():
    return [(seed, random_network(seed)) for seed in range(40)]
