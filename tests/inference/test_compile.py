"""Both engines behind the protocol, on authored networks, against brute force."""

import subprocess
import sys
from itertools import combinations

import numpy as np
import pytest

from faultnet.inference import choose, compile_network
from faultnet.inference.choose import RecordTree
from faultnet.inference.clique_tree import CliqueTree
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.inference.lattice import PRESENCE, Lattice
from faultnet.inference.observed import Observed
from faultnet.network.network import Cause, Finding, Link, Network, Root
from faultnet.network.recorder import record_tables
from tests.inference.networks import random_network
from tests.inference.reference import likelihood, worlds
from tests.inference.tables import random_tables

CLOSE = 1e-9


class Worlds:
    """Every joint state by name, with its weight."""

    def __init__(self, network, evidence):
        self.weights = []
        for world in worlds(network, Observed()):
            states = self.named(network, world)
            weight = world.weight * likelihood(network, Observed(), world)
            for name, said in evidence.items():
                said_so = {said: 1.0} if isinstance(said, str) else said
                weight *= said_so.get(states[name], 0.0)
            if weight:
                self.weights.append((weight, states))

    @staticmethod
    def named(network, world):
        states = {r.id: r.states[s] for r, s in zip(network.roots, world.roots, strict=True)}
        for k, cause in enumerate(network.causes):
            states[cause.id] = PRESENCE[world.present(k, 0)]
        for finding, (value,) in zip(network.findings, world.values, strict=True):
            states[finding.id] = "cannot" if value < 0 else finding.answers[value]
        return states

    def total(self, **known):
        return sum(w for w, s in self.weights if all(s[k] == v for k, v in known.items()))


def said_of(engine, rng):
    """A hard or soft word on some roots, causes and findings."""
    evidence = {}
    for name in engine.ids:
        states = engine.states(name)
        pick = rng.random()
        if pick < 0.15:
            evidence[name] = str(rng.choice(states))
        elif pick < 0.3:
            evidence[name] = {s: float(rng.random()) for s in states}
    return evidence


def engines(network):
    return [Lattice(network), RecordTree(network, record_tables(network))]


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(12))
def test_beliefs_on_any_variable_given_a_word_on_any(seed, faults):
    network = random_network(seed + 50, causes=3, findings=3, faults=faults)
    rng = np.random.default_rng(seed)
    evidence = said_of(Lattice(network), rng)
    reference, bare = Worlds(network, evidence), Worlds(network, {})
    for engine in engines(network):
        if not reference.total():
            assert engine.probability(evidence) == 0.0
            with pytest.raises(ImpossibleEvidenceError):
                engine.beliefs(evidence)
            continue
        wanted = reference.total() / bare.total()
        assert engine.probability(evidence) == pytest.approx(wanted, rel=CLOSE)
        beliefs = engine.beliefs(evidence)
        assert list(beliefs) == engine.ids
        for name, by_state in beliefs.items():
            for state, chance in by_state.items():
                share = reference.total(**{name: state}) / reference.total()
                assert chance == pytest.approx(share, abs=CLOSE), (engine.name, name)


@pytest.mark.parametrize("seed", range(8))
def test_what_if_on_any_variable_and_on_two_together(seed):
    network = random_network(seed + 80, causes=2, findings=3)
    evidence = said_of(Lattice(network), np.random.default_rng(seed))
    reference = Worlds(network, evidence)
    if not reference.total():
        return
    for engine in engines(network):
        ids = engine.ids
        candidates = [*ids, *list(combinations(ids, 2))[::3]]
        asked = engine.what_if(evidence, ids, candidates)
        assert list(asked) == candidates
        for candidate, answers in asked.items():
            names = (candidate,) if isinstance(candidate, str) else candidate
            for answer, (chance, beliefs) in answers.items():
                states = (answer,) if isinstance(answer, str) else answer
                known = dict(zip(names, states, strict=True))
                weight = reference.total(**known)
                assert chance == pytest.approx(weight / reference.total(), abs=CLOSE)
                assert bool(beliefs) == bool(weight)
                for name, by_state in beliefs.items():
                    for state, got in by_state.items():
                        same = known.get(name, state) == state
                        both = reference.total(**{**known, name: state}) if same else 0.0
                        assert got == pytest.approx(both / weight, abs=CLOSE)


def test_the_random_words_are_worth_it():
    """Most are possible, and causes are among what they are about."""
    about, possible = set(), 0
    for seed in range(12):
        network = random_network(seed + 50, causes=3, findings=3)
        evidence = said_of(Lattice(network), np.random.default_rng(seed))
        about |= {name.partition("-")[0] for name in evidence}
        possible += bool(Worlds(network, evidence).total())
    assert about == {"root", "cause", "finding"}
    assert possible >= 8


def wide(findings, causes=30):
    """Every cause may show every finding: as many axes as findings that are seen."""
    rng = np.random.default_rng(3)
    links = tuple(Link(k, (0.3,)) for k in range(causes))
    return Network(
        "wide",
        (Root("frost", ("no", "yes"), (0.8, 0.2)),),
        tuple(Cause(f"c{k}", float(p)) for k, p in enumerate(rng.random(causes) * 0.1)),
        tuple(Finding(f"f{k}", ("no", "yes"), (0.01,), links) for k in range(findings)),
        "several",
    )


def sparse(causes):
    """A chain: every finding has two causes, and neighbours share one."""
    findings = tuple(
        Finding(f"f{k}", ("no", "yes"), (0.01,), (Link(k, (0.4,)), Link(k + 1, (0.6,))))
        for k in range(causes - 1)
    )
    return Network("sparse", (), tuple(Cause(f"c{k}", 0.1) for k in range(causes)), findings)


def test_authored_knowledge_goes_to_the_lattice():
    engine = compile_network(wide(4))
    assert engine.name == "lattice"
    assert engine.predicted_cells({"f0": "yes"}, ["c0"]) <= 16


def test_tables_go_to_the_clique_tree():
    engine = compile_network(random_tables(3))
    assert isinstance(engine, CliqueTree)
    assert engine.name == "clique tree"


def test_the_engine_predicted_cheaper_is_taken(monkeypatch):
    """Seen alike: where the lattice has an axis for each finding, the tree has small cliques."""
    network = sparse(6)
    evidence = {f.id: "yes" for f in network.findings}
    lattice = Lattice(network)
    tree = RecordTree(network, record_tables(network))
    monkeypatch.setattr(choose, "CHEAP", 0)
    chosen = compile_network(network, evidence=evidence)
    causes = [cause.id for cause in network.causes]
    cheaper = min((lattice, tree), key=lambda e: e.predicted_cells(evidence, causes))
    assert chosen.name == cheaper.name
    dense = wide(8)
    seen = {f.id: "yes" for f in dense.findings}
    assert compile_network(dense, evidence=seen).name == "lattice"


def test_what_is_too_large_is_refused_with_its_size_and_what_to_leave_out():
    network = wide(12)
    evidence = {f.id: "yes" for f in network.findings}
    with pytest.raises(TooLargeError) as refused:
        Lattice(network, limit=2**8).beliefs(evidence, ["c0"])
    assert refused.value.cells == Lattice(network).predicted_cells(evidence, ["c0"]) > 2**8
    assert refused.value.limit == 2**8
    assert set(refused.value.leave_out) == set(evidence)
    tables = record_tables(network)
    with pytest.raises(TooLargeError, match="say what is known of") as tree:
        compile_network(tables, limit=2**8).beliefs(evidence, ["c0"])
    assert tree.value.cells > 2**8
    assert set(tree.value.leave_out) <= {v.id for v in tables.variables}


@pytest.mark.parametrize(
    "evidence", [{"nobody": "yes"}, {"c0": "yes"}, {"f0": "perhaps"}, {"frost": {"mild": 1.0}}]
)
def test_unknown_names_are_refused(evidence):
    for engine in engines(wide(2, 3)):
        with pytest.raises(KeyError):
            engine.beliefs(evidence, ["c0"])


def test_a_rare_answer_loses_nothing():
    """P(both signs | cause) by hand; the second sign is all but impossible otherwise."""
    causes = (Cause("c", 1e-9),)
    findings = (
        Finding("a", ("no", "yes"), (1e-7,), (Link(0, (0.5,)),)),
        Finding("b", ("no", "yes"), (1e-7,), (Link(0, (0.5,)),)),
    )
    network = Network("rare", (), causes, findings)
    with_cause = 1e-9 * (1 - 0.5 * (1 - 1e-7)) ** 2
    wanted = with_cause / (with_cause + (1 - 1e-9) * 1e-14)
    for engine in engines(network):
        after = engine.what_if({"a": "yes"}, ["c"], ["b"])["b"]["yes"][1]
        assert after["c"]["present"] == pytest.approx(wanted, rel=1e-12)


def test_the_rooms_themselves_are_light():
    code = (
        "import sys, faultnet.network, faultnet.inference;"
        "sys.exit(bool({'numpy', 'pgmpy', 'msgspec'} & sys.modules.keys()))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
