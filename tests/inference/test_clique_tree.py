"""The clique tree against every joint state of small tables, and against the sweep."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from faultnet.inference import clique_tree, marginals, questions, weights
from faultnet.inference import cliques as cliques_module
from faultnet.inference.clique_tree import CliqueTree
from faultnet.inference.cliques import cells, find_cliques, join_cliques, merged
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.inference.families import Families
from faultnet.inference.query import Query
from faultnet.inference.questions import Pattern, groups_of
from faultnet.network.record import TROUBLE, record_tables
from faultnet.network.tables import Tables, Variable
from tests.inference.networks import random_network, random_observed
from tests.inference.tables import Joint, random_evidence, random_tables

CLOSE = 1e-12

seeds = st.integers(0, 10**6)
tables_drawn = st.builds(random_tables, seeds, variables=st.integers(1, 6))
modest = settings(max_examples=60, deadline=None)


@given(tables_drawn, seeds)
@modest
def test_beliefs_equal_the_sum_over_all_joint_states(tables, seed):
    evidence = random_evidence(seed, tables)
    joint = Joint(tables, evidence)
    total = joint.probability()
    engine = CliqueTree(tables)
    assert engine.probability(evidence) == pytest.approx(total, rel=CLOSE)
    if total == 0.0:
        with pytest.raises(ImpossibleEvidenceError):
            engine.beliefs(evidence)
        return
    beliefs = engine.beliefs(evidence)
    assert list(beliefs) == [v.id for v in tables.variables]
    for variable in tables.variables:
        for state in variable.states:
            wanted = joint.probability(**{variable.id: state}) / total
            assert beliefs[variable.id][state] == pytest.approx(wanted, rel=CLOSE, abs=1e-15)


@given(tables_drawn, seeds)
@modest
def test_what_if_equals_asking_again(tables, seed):
    evidence = random_evidence(seed, tables)
    joint = Joint(tables, evidence)
    total = joint.probability()
    engine = CliqueTree(tables)
    ids = [v.id for v in tables.variables]
    candidates = [*ids, (ids[0], ids[-1])] if len(ids) > 1 else ids
    if total == 0.0:
        with pytest.raises(ImpossibleEvidenceError):
            engine.what_if(evidence, ids, candidates)
        return
    asked = engine.what_if(evidence, ids, candidates)
    assert list(asked) == candidates
    for candidate, answers in asked.items():
        assert sum(p for p, _ in answers.values()) == pytest.approx(1.0, rel=CLOSE)
        for answer, (probability, beliefs) in answers.items():
            names = (candidate,) if isinstance(candidate, str) else candidate
            states = (answer,) if isinstance(answer, str) else answer
            known = dict(zip(names, states, strict=True))
            weight = joint.probability(**known)
            assert probability == pytest.approx(weight / total, rel=CLOSE, abs=1e-15)
            assert bool(beliefs) == (weight > 0.0)
            for target, by_state in beliefs.items():
                for state, got in by_state.items():
                    same = known.get(target, state) == state
                    both = joint.probability(**{**known, target: state}) if same else 0.0
                    assert got == pytest.approx(both / weight, rel=CLOSE, abs=1e-15)


@pytest.mark.parametrize("seed", range(40))
def test_what_if_through_many_cliques(seed, monkeypatch):
    """Cliques are kept apart, so that chances are carried from one to the next."""
    monkeypatch.setattr(cliques_module, "TINY", 0)
    tables = random_tables(seed, variables=8, parents=2)
    rng = np.random.default_rng(seed)
    ids = [v.id for v in tables.variables]
    evidence = random_evidence(seed, tables) if seed % 2 else {}
    joint = Joint(tables, evidence)
    total = joint.probability()
    if total == 0.0:
        return
    picked = [[ids[k] for k in rng.permutation(8)[: rng.integers(1, 8)]] for _ in range(2)]
    for candidate, answers in CliqueTree(tables).what_if(evidence, *picked).items():
        for answer, (probability, beliefs) in answers.items():
            weight = joint.probability(**{candidate: answer})
            assert probability == pytest.approx(weight / total, rel=CLOSE, abs=1e-15)
            for target, by_state in beliefs.items():
                for state, got in by_state.items():
                    same = target != candidate or state == answer
                    both = joint.probability(**{candidate: answer, target: state}) if same else 0.0
                    assert got == pytest.approx(both / weight, rel=CLOSE, abs=1e-15)


def test_the_random_tables_are_worth_it():
    """Most evidence is possible, and some of it is not."""
    drawn = [random_tables(seed) for seed in range(60)]
    totals = [Joint(t, random_evidence(s, t)).probability() for s, t in enumerate(drawn)]
    assert sum(total > 0.0 for total in totals) >= 40
    assert sum(total == 0.0 for total in totals) >= 2
    assert sum(len(v.parents) > 1 for t in drawn for v in t.variables) >= 40


@given(seeds, st.sampled_from(["several", "one", "any"]))
@settings(max_examples=40, deadline=None)
def test_two_engines_agree_on_one_network(seed, faults):
    """The sweep on a network, the clique tree on its tables of record."""
    network = random_network(seed, faults=faults)
    observed = random_observed(seed, network, rounds=1)
    tables = record_tables(network)
    states = {v.id: v.states for v in tables.variables}
    evidence = dict(TROUBLE[faults])
    for (finding, _), chances in observed.findings.items():
        name = network.findings[finding].id
        evidence[name] = dict(zip(states[name], chances, strict=True))
    for root, chances in observed.roots.items():
        name = network.roots[root].id
        evidence[name] = dict(zip(states[name], chances, strict=True))
    engine = CliqueTree(tables)
    query = Query(network, observed)
    try:
        masses = query.masses()
    except ImpossibleEvidenceError:
        assert engine.probability(evidence) == 0.0
        return
    if faults != "one":  # with weights only ratios mean anything
        assert engine.probability(evidence) == pytest.approx(masses.total, rel=1e-9)
    beliefs = engine.beliefs(evidence)
    for index, cause in enumerate(network.causes):
        own = f"{cause.id}.of-itself"
        got = beliefs[own if own in beliefs else cause.id]["present"]
        assert got == pytest.approx(masses.causes[index] / masses.total, abs=1e-9)
    for index, by_state in masses.roots.items():
        shares = list(beliefs[network.roots[index].id].values())
        assert shares == pytest.approx(list(by_state / masses.total), abs=1e-9)


@given(st.integers(1, 12), seeds)
@modest
def test_the_cliques_form_a_tree(count, seed):
    rng = np.random.default_rng(seed)
    sizes = [int(n) for n in rng.integers(2, 5, count)]
    scopes = [sorted({int(v) for v in rng.integers(0, count, 3)}) for _ in range(count)]
    cliques = find_cliques(scopes, sizes)
    held = {v for scope in scopes for v in scope}
    check_trees(join_cliques(cliques, sizes), cliques, held)
    check_trees(join_cliques(merged(join_cliques(cliques, sizes), sizes), sizes), None, held)
    assert all(any(set(scope) <= clique for clique in cliques) for scope in scopes)


def check_trees(trees, cliques, held):
    """Each variable sits on one connected piece: it enters the trees from a root once."""
    found = [clique for order in trees for clique, _ in order]
    assert not any(one < other for one in found for other in found)
    if cliques is not None:
        assert sorted(map(sorted, cliques)) == sorted(map(sorted, found))
    entries = dict.fromkeys(held, 0)
    for order in trees:
        for place, (clique, parent) in enumerate(order):
            assert place == 0 or parent < place
            for variable in clique:
                entries[variable] += place == 0 or variable not in order[parent][0]
        # What hangs on a clique follows it at once: the parents form the way back.
        for place in range(1, len(order)):
            way, last = {place - 1}, place - 1
            while last:
                last = order[last][1]
                way.add(last)
            assert order[place][1] in way
    assert set(entries.values()) <= {1}


def test_a_ring_needs_no_clique_above_three():
    ring = [(k, (k + 1) % 20) for k in range(20)]
    cliques = find_cliques(ring, [2] * 20)
    assert max(map(len, cliques)) == 3
    assert sum(cells(c, [2] * 20) for c in cliques) == 18 * 8


def square(side):
    """Variables on a grid, each with its left and its upper neighbour as parents."""
    made = []
    for row, column in product(range(side), repeat=2):
        parents = [f"v{row - 1}-{column}"] * (row > 0) + [f"v{row}-{column - 1}"] * (column > 0)
        chances = np.full((2,) * (len(parents) + 1), 0.5)
        made.append(Variable(f"v{row}-{column}", ("no", "yes"), tuple(parents), chances))
    return Tables("square", tuple(made))


def test_what_is_too_large_is_refused_before_it_is_made():
    with pytest.raises(TooLargeError) as refused:
        CliqueTree(square(30)).beliefs({})
    assert refused.value.cells > refused.value.limit == clique_tree.CELL_LIMIT
    ids = {v.id for v in square(30).variables}
    assert refused.value.leave_out
    assert set(refused.value.leave_out) <= ids
    assert CliqueTree(square(6)).predicted_cells({}) < 2**12


def test_rows_in_small_parts_give_the_same(monkeypatch):
    tables = random_tables(1, variables=9)
    whole = everything(tables)
    monkeypatch.setattr(questions, "ROW_CELLS", 1)
    same_answers(everything(tables), whole)


def ring(count):
    """Roots in a ring, with a child of every two neighbours."""
    rng = np.random.default_rng(1)
    roots = [Variable(f"r{k}", ("no", "yes"), (), np.array([0.7, 0.3])) for k in range(count)]
    children = []
    for k in range(count):
        chances = rng.dirichlet((1.0, 1.0), (2, 2))
        parents = (f"r{k}", f"r{(k + 1) % count}")
        children.append(Variable(f"c{k}", ("no", "yes"), parents, chances))
    return Tables("ring", (*roots, *children))


def test_questions_in_parts_give_the_same(monkeypatch):
    """Half of the children leave the ring open, so each half has smaller cliques."""
    tables = ring(12)
    targets = [f"r{k}" for k in range(6)]
    candidates = [f"c{k}" for k in range(12) if k != 3]
    whole = CliqueTree(tables).what_if({"c3": "yes"}, targets, candidates)
    monkeypatch.setattr(questions, "STEP_CELLS", 0)
    monkeypatch.setattr(cliques_module, "TINY", 0)
    families = Families(tables)
    pattern = Pattern(frozenset(families.numbers(["c3"])), frozenset())
    rows, columns = families.numbers(targets), families.numbers(candidates)
    parts = groups_of(families, rows, columns, pattern)
    assert len(parts) > 1
    assert sorted(v for part, _ in parts for v in part) == columns
    same_answers(CliqueTree(tables).what_if({"c3": "yes"}, targets, candidates), whole)


def test_sums_without_a_matrix_give_the_same(monkeypatch):
    tables = random_tables(2, variables=8)
    whole = everything(tables)
    monkeypatch.setattr(marginals, "MATRIX_LIMIT", 0)
    same_answers(everything(tables), whole)


def test_joint_answers_one_by_one_give_the_same(monkeypatch):
    tables = random_tables(4, variables=6)
    evidence = {"v1": {"s0": 0.3, "s1": 0.9}}
    ids = [v.id for v in tables.variables]
    candidates = [("v0", "v5"), ("v1", "v4", "v2"), ("v3", "v3")]
    whole = CliqueTree(tables).what_if(evidence, ids, candidates)
    monkeypatch.setattr(clique_tree, "JOINT_STATES", 1)
    same_answers(CliqueTree(tables).what_if(evidence, ids, candidates), whole)


def everything(tables):
    """Every variable asked about after every answer of every other, some observed."""
    ids = [v.id for v in tables.variables]
    evidence = {ids[-1]: "s0", ids[-2]: {"s0": 0.2, "s1": 0.7}}
    return CliqueTree(tables).what_if(evidence, ids[:2], ids)


def same_answers(got, wanted):
    assert got.keys() == wanted.keys()
    for candidate, answers in got.items():
        assert answers.keys() == wanted[candidate].keys()
        for answer, (probability, beliefs) in answers.items():
            expected, after = wanted[candidate][answer]
            assert probability == pytest.approx(expected, rel=CLOSE, abs=1e-15)
            assert beliefs.keys() == after.keys()
            for target, by_state in beliefs.items():
                assert by_state == pytest.approx(after[target], rel=CLOSE, abs=1e-15)


def test_much_evidence_that_disagrees_does_not_vanish():
    """By hand: 400 witnesses for, 400 against, one more for: the odds are 999 to 1."""
    coin = Variable("coin", ("heads", "tails"), (), np.array([0.5, 0.5]))
    chances = np.array([[0.999, 0.001], [0.001, 0.999]])
    witnesses = [Variable(f"w{k}", ("heads", "tails"), ("coin",), chances) for k in range(801)]
    engine = CliqueTree(Tables("coin", (coin, *witnesses)))
    evidence = {f"w{k}": "heads" if k % 2 == 0 else "tails" for k in range(801)}
    assert engine.beliefs(evidence, ["coin"])["coin"]["heads"] == pytest.approx(0.999)


@pytest.mark.parametrize(
    ("evidence", "targets", "candidates"),
    [
        ({"nobody": "s0"}, ["v0"], ["v0"]),
        ({"v0": "s9"}, ["v0"], ["v0"]),
        ({"v0": {"s9": 1.0}}, ["v0"], ["v0"]),
        ({}, ["nobody"], ["v0"]),
        ({}, ["v0"], ["nobody"]),
        ({}, ["v0"], [("v0", "nobody")]),
    ],
)
def test_unknown_names_are_refused(evidence, targets, candidates):
    with pytest.raises(KeyError):
        CliqueTree(random_tables(1)).what_if(evidence, targets, candidates)


@pytest.mark.parametrize("seed", range(20))
def test_rows_of_likelihoods_are_weighed_as_evidence(seed, monkeypatch):
    monkeypatch.setattr(cliques_module, "TINY", 0)
    monkeypatch.setattr(weights, "ROW_CELLS", 30)
    tables = random_tables(seed, variables=7)
    evidence = random_evidence(seed, tables)
    rng = np.random.default_rng(seed)
    rows = {v.id: rng.random((5, len(v.states))).round(1) for v in tables.variables[::2]}
    got = CliqueTree(tables).weigh(evidence, rows)
    for row, weight in enumerate(got):
        said = dict(evidence)
        for v in tables.variables[::2]:
            before = evidence.get(v.id, dict.fromkeys(v.states, 1.0))
            before = {before: 1.0} if isinstance(before, str) else before
            here = dict(zip(v.states, rows[v.id][row], strict=True))
            said[v.id] = {s: before.get(s, 0.0) * here[s] for s in v.states}
        assert weight == pytest.approx(Joint(tables, said).probability(), rel=CLOSE, abs=1e-300)
