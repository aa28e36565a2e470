"""The network of record: pgmpy on it says what the sweep says.

pgmpy is a library of others; it knows nothing of gates, presences or sweeps.
"""

import subprocess
import sys

import msgspec
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.model.finding import CANNOT
from faultnet.network.network import Bring, Cause, Finding, Link, Network, Root
from faultnet.network.pgmpy_model import pgmpy_probability
from faultnet.network.record import TROUBLE, record_beliefs, record_network, record_tables
from tests.inference.networks import random_network, random_observed

CLOSE = 1e-9

seeds = st.integers(0, 10**6)
networks = st.builds(
    random_network,
    seeds,
    roots=st.integers(0, 3),
    causes=st.integers(1, 4),
    findings=st.integers(1, 5),
    faults=st.sampled_from(["several", "one", "any"]),
)
modest = settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def answers(finding):
    return (*finding.answers, CANNOT) if finding.needs else finding.answers


def evidence_of(network, observed):
    """The same evidence by name."""
    roots = {network.roots[r]: chances for r, chances in observed.roots.items()}
    evidence = {
        root.id: dict(zip(root.states, chances, strict=True)) for root, chances in roots.items()
    }
    for (index, _), chances in observed.findings.items():
        finding = network.findings[index]
        evidence[finding.id] = dict(zip(answers(finding), chances, strict=True))
    return evidence


def swept_beliefs(network, observed):
    """What the sweep says of everything, by the variables of the record."""
    query = Query(network, observed)
    masses = query.masses()
    beliefs = {}
    for index, root in enumerate(network.roots):
        if index in query.known:
            beliefs[root.id] = {
                s: float(k == query.known[index]) for k, s in enumerate(root.states)
            }
        else:
            shares = masses.roots[index] / masses.total
            beliefs[root.id] = dict(zip(root.states, shares, strict=True))
    for index, cause in enumerate(network.causes):
        without = query.weigh([Row(absent=(index,))])[0] / masses.total
        beliefs[cause.id] = {"absent": without, "present": 1.0 - without}
        own = f"{cause.id}.of-itself"
        share = masses.causes[index] / masses.total
        beliefs[own] = {"absent": 1.0 - share, "present": share}
    for index, finding in enumerate(network.findings):
        beliefs[finding.id] = {
            state: swept_total(network, answered(network, observed, index, k)) / masses.total
            for k, state in enumerate(answers(finding))
        }
    return beliefs


def answered(network, observed, finding, answer):
    size = len(answers(network.findings[finding]))
    before = observed.findings.get((finding, 0), (1.0,) * size)
    chances = tuple(p * (k == answer) for k, p in enumerate(before))
    return msgspec.structs.replace(observed, findings={**observed.findings, (finding, 0): chances})


def swept_total(network, observed):
    try:
        return Query(network, observed).masses().total
    except ImpossibleEvidenceError:
        return 0.0


@given(networks, seeds)
@modest
def test_pgmpy_on_the_record_says_what_the_sweep_says(network, seed):
    observed = random_observed(seed, network, rounds=1)
    evidence = evidence_of(network, observed)
    written = {variable.id for variable in record_tables(network).variables}
    possible = swept_total(network, observed) > 0.0
    event(f"possible: {possible}")
    if not possible:
        with pytest.raises(ValueError, match="impossible"):
            record_beliefs(network, evidence, list(written)[:1])
        return
    wanted = swept_beliefs(network, observed)
    targets = [variable for variable in wanted if variable in written]
    got = record_beliefs(network, evidence, targets)
    for variable in targets:
        assert got[variable] == pytest.approx(wanted[variable], abs=CLOSE), variable


@given(networks, seeds)
@modest
def test_the_evidence_is_as_probable(network, seed):
    if network.faults == "one":  # weights: only their ratios mean anything
        network = msgspec.structs.replace(network, faults="several")
    observed = random_observed(seed, network, rounds=1)
    known = {v: {s: 1.0} for v, s in TROUBLE[network.faults].items()}
    evidence = evidence_of(network, observed) | known
    got = pgmpy_probability(record_tables(network), evidence)
    assert got == pytest.approx(swept_total(network, observed), rel=CLOSE)


def test_the_random_cases_are_worth_it():
    """Most are possible, and every mechanism is among them."""
    cases = [(n := random_network(s), random_observed(s, n, rounds=1)) for s in range(60)]
    assert sum(swept_total(*case) > 0.0 for case in cases) >= 40
    findings = [finding for network, _ in cases for finding in network.findings]
    for mechanism in ("hidden_by", "needs", "follows", "when"):
        assert sum(bool(getattr(finding, mechanism)) for finding in findings) >= 10
    assert sum(len(f.answers) > 2 for f in findings) >= 10
    causes = [cause for network, _ in cases for cause in network.causes]
    assert sum(bool(cause.brings) for cause in causes) >= 10
    soft = [c for _, observed in cases for c in observed.findings.values() if max(c) < 1.0]
    assert len(soft) >= 10


@given(networks)
@modest
def test_no_table_grows_with_its_gate(network):
    ids = {cause.id for cause in network.causes}
    for variable in record_tables(network).variables:
        own = variable.id.removesuffix(".of-itself") in ids
        counting = variable.id.startswith("trouble") and network.faults == "one"
        assert len(variable.parents) <= 3 or own or counting, variable.id


def wide_network(causes):
    """A finding with many causes, many hiders and many needs."""
    shown = tuple(Finding(f"sign-{k}", ("no", "yes"), (0.1,)) for k in range(causes))
    links = tuple(Link(k, (0.5,)) for k in range(causes))
    half = causes // 2
    wide = Finding(
        "wide",
        ("no", "yes"),
        (0.01,),
        links,
        hidden_by=tuple(range(half)),
        needs=tuple(range(half, causes)),
    )
    own = tuple(Cause(f"cause-{k}", 0.1) for k in range(causes))
    return Network("wide", (), own, (*shown, wide), "several")


def test_a_wide_gate_is_a_chain():
    model = record_network(wide_network(20))
    assert model.check_model()
    assert max(len(model.get_parents(node)) for node in model.nodes()) == 3
    assert max(cpd.values.size for cpd in model.get_cpds()) <= 24


def test_the_variables_are_called_what_they_are():
    roots = (
        Root("source", ("well", "cistern"), (0.5, 0.5)),
        Root("frost", ("no", "yes"), (0.8, 0.2)),
    )
    both = ((0, (True, False)), (1, (False, True)))
    causes = (
        Cause("split", 0.1, when=both, brings=(Bring(1, 0.5),)),
        Cause("worn", 0.1, factors=((1, (1.0, 2.0)),)),
    )
    findings = (
        Finding("silent", ("no", "yes"), (0.01,)),
        Finding("leak", ("no", "yes"), (0.01,), (Link(1, (0.5,), both),), hidden_by=(0,)),
        Finding("held", ("no", "yes"), (0.01,), (Link(0, (0.5,)),), needs=(0, 1)),
    )
    network = Network("named", roots, causes, findings, "several")
    assert [variable.id for variable in record_tables(network).variables] == [
        "source",
        "frost",
        "split",
        "worn.with.split",
        "worn.of-itself",
        "worn",
        "trouble",
        "silent",
        "leak.0.leak",
        "leak.1.worn.with.split.when",
        "leak.1.worn.with.split",
        "leak.2.worn.of-itself.when",
        "leak.2.worn.of-itself",
        "leak",
        "held.0.leak",
        "held.1.split",
        "held.takeable",
        "held",
    ]
    held = record_tables(network).variables[-1]
    assert held.states == ("no", "yes", "cannot")


def test_a_cause_brought_along_counts_as_present_but_not_as_trouble():
    """By hand: a and b each .5 of themselves, a brings b with .5; at least one there."""
    causes = (Cause("a", 0.5, brings=(Bring(1, 0.5),)), Cause("b", 0.5))
    network = Network("pair", (), causes, (), "several")
    beliefs = record_beliefs(network, {}, ["a", "b", "b.of-itself"])
    assert beliefs["a"]["present"] == pytest.approx(2 / 3)
    assert beliefs["b.of-itself"]["present"] == pytest.approx(2 / 3)
    # a alone 1/3, half of which brought b; the rest has b of itself.
    assert beliefs["b"]["present"] == pytest.approx(5 / 6)


def test_two_things_of_one_name_are_refused():
    network = Network("twice", (Root("a", ("x",), (1.0,)),), (Cause("a", 0.1),), ())
    with pytest.raises(ValueError, match="a stands twice"):
        record_tables(network)


def test_no_engine_imports_pgmpy():
    """Compiling and answering must not wait for it; only the record turns to it."""
    code = (
        "import sys; import faultnet.network.record, faultnet.network.pgmpy_model;"
        "import faultnet.inference.query, faultnet.inference.clique_tree;"
        "sys.exit('pgmpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
