"""Every answer of every open finding, and all causes after it, against brute force."""

import math

import msgspec
import numpy as np
import pytest

from faultnet.inference import what_ifs as module
from faultnet.inference.downsets import ALWAYS, Expander
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.inference.what_ifs import answers, what_ifs
from tests.inference.networks import random_network, random_observed
from tests.inference.test_query import answer_count, weighed

CLOSE = 1e-9


def free_now(network, observed):
    findings = range(len(network.findings))
    return [f for f in findings if (f, observed.now) not in observed.findings]


def only_of_themselves(network):
    """Causes that no other brings along."""
    brought = {b.cause for c in network.causes for b in c.brings if network.faults != "one"}
    return sorted(set(range(len(network.causes))) - brought)


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(40))
def test_answers_and_the_causes_after_them_equal_brute_force(seed, faults):
    network = random_network(seed + 3000, faults=faults, causes=2 + seed % 2)
    observed = random_observed(seed, network, rounds=1 + (seed % 4 == 3))
    reference = weighed(network, observed)
    total = math.fsum(w for w, _ in reference)
    free = free_now(network, observed)
    if not total:
        with pytest.raises(ImpossibleEvidenceError):
            what_ifs(network, observed, free)
        return
    ready = what_ifs(network, observed, free)
    expander = Expander(ready.query)
    asked = [(f, a) for f in free for a in range(answer_count(network.findings[f]))]
    found = answers(ready, [ALWAYS, *(expander.answer(f, a) for f, a in asked)])
    assert found.totals[0] == pytest.approx(total, rel=CLOSE)
    for k, (finding, answer) in enumerate([(None, None), *asked]):
        agreeing = [
            (w, x)
            for w, x in reference
            if finding is None or shown(network, x, observed.now, finding) == answer
        ]
        wanted = math.fsum(w for w, _ in agreeing)
        assert found.totals[k] == pytest.approx(wanted, abs=1e-12 * total)
        for cause in only_of_themselves(network):
            there = math.fsum(w for w, x in agreeing if x.present(cause, observed.now))
            assert found.causes[k, cause] == pytest.approx(there, abs=1e-12 * total)


def shown(network, world, now, finding):
    """The answer of a finding by index; ``cannot`` comes after the last level."""
    value = world.values[finding][now]
    return len(network.findings[finding].answers) if value == -1 else value


def sparse(network):
    """Each finding shown by two of its causes at most, so that some say nothing of it."""
    findings = tuple(
        msgspec.structs.replace(f, links=f.links[k % 3 : k % 3 + 2])
        for k, f in enumerate(network.findings)
    )
    return msgspec.structs.replace(network, findings=findings)


@pytest.mark.parametrize("faults", ["several", "one"])
@pytest.mark.parametrize("seed", range(40))
def test_rows_equal_the_sweep_of_each_row(seed, faults, monkeypatch):
    """Many rows in small chunks, against the engine row by row."""
    monkeypatch.setattr(module, "CHUNK", 1)
    monkeypatch.setattr(module, "LEAST", 2)
    network = random_network(seed + 4000, causes=14, findings=9, roots=4, faults=faults)
    network = sparse(network)
    observed = random_observed(seed, network, rounds=1 + seed % 2)
    told = dict(list(observed.findings.items())[: 1 + seed % 3])
    observed = msgspec.structs.replace(observed, findings=told)
    free = free_now(network, observed)
    try:
        ready = what_ifs(network, observed, free)
    except ImpossibleEvidenceError:
        with pytest.raises(ImpossibleEvidenceError):
            Query(network, observed, candidates=free).masses()
        return
    rows = [Row(), *(Row(limits=((f, 0),)) for f in free), Row(absent=(0, 3))]
    for root, entry in enumerate(network.roots):
        rows.append(Row(roots=((root, (True, *(False for _ in entry.states[1:]))),)))
    rows.append(Row(limits=tuple((f, 0) for f in free)))
    masses = ready.masses(rows)
    counted = Query(network, observed, candidates=free)
    weights = counted.weigh(rows)
    close = 1e-12 * float(weights.max())
    assert masses.totals == pytest.approx(weights, abs=close)
    for cause in only_of_themselves(network):
        without = [Row(r.limits, r.roots, absent=(*r.absent, cause)) for r in rows]
        wanted = weights - counted.weigh(without)
        assert masses.causes[:, cause] == pytest.approx(wanted, abs=close)
    assert np.all(masses.causes >= 0.0)
