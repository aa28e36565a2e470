"""Advice on any network against every joint state of small ones."""

import numpy as np
import pytest

from faultnet.advice.imported import Fault, Question, rank_faults
from faultnet.advice.imported_steps import REPAIRS, look_ahead
from tests.inference.tables import Joint, random_tables

SEEDS = range(12)


def question(seed):
    """Three targets, one with two fault states; what is left can be looked at."""
    tables = random_tables(seed, variables=7)
    rng = np.random.default_rng(seed)
    ids = [tables.variables[k].id for k in rng.permutation(7)]
    states = {v.id: v.states for v in tables.variables}
    world = next(w for weight, w in Joint(tables, {}).weights.values() if weight > 0.0)
    evidence = {v: world[v] for v in ids[:2]}
    faults = tuple(Fault(v, states[v][1:] if k else states[v][:1]) for k, v in enumerate(ids[2:5]))
    costs = {v: float(c) for v, c in zip(ids[2:5], rng.uniform(0.5, 9.0, 3), strict=True)}
    costs[ids[5]] = 0.02
    return Question(tables, evidence, faults, tuple(ids[5:]), costs)


def fine(fault, world):
    return world[fault.id] not in fault.states


def chance(what, known, holds):
    joint = Joint(what.tables, {**what.evidence, **known})
    total = joint.probability()
    return sum(weight for weight, world in joint.weights.values() if holds(world)) / total


def sequence(what, known, order):
    """Repairs one by one, each as far as something outside of those done is at fault."""
    cost = 0.0
    for k, fault in enumerate(order):
        cost += what.price(fault.id) * (
            1.0 - chance(what, known, lambda w, k=k: all(fine(f, w) for f in order[k:]))
        )
    return cost


def by_chance_over_price(what, known):
    faulty = {f.id: chance(what, known, lambda w, f=f: not fine(f, w)) for f in what.faults}
    return sorted(what.faults, key=lambda f: -faulty[f.id] / what.price(f.id))


@pytest.mark.parametrize("seed", SEEDS)
def test_ranking_equals_the_sum_over_all_joint_states(seed):
    what = question(seed)
    ranking = rank_faults(what)
    assert ranking.evidence_probability == pytest.approx(
        Joint(what.tables, what.evidence).probability()
    )
    shares = [fault.probability for fault in ranking.faults]
    assert shares == sorted(shares, reverse=True)
    for ranked in ranking.faults:
        fault = Fault(ranked.id, ranked.states)
        assert ranked.probability == pytest.approx(
            chance(what, {}, lambda w, f=fault: not fine(f, w)), abs=1e-12
        )

    def count(world):
        return sum(not fine(f, world) for f in what.faults)

    assert ranking.none == pytest.approx(chance(what, {}, lambda w: count(w) == 0), abs=1e-12)
    assert ranking.more_than_one == pytest.approx(
        chance(what, {}, lambda w: count(w) > 1), abs=1e-12
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_steps_cost_what_they_cost_by_hand(seed):
    what = question(seed)
    advice = look_ahead(what)
    order = by_chance_over_price(what, {})
    assert advice.repairs_alone == pytest.approx(sequence(what, {}, order))
    floor = sum(
        what.price(f.id) * chance(what, {}, lambda w, f=f: not fine(f, w)) for f in what.faults
    )
    assert advice.floor == pytest.approx(floor)
    by_id = {(step.kind, step.id): step for step in advice.steps}
    assert len(by_id) == len(what.candidates) + min(REPAIRS, len(what.faults))
    totals = [step.expected_total for step in advice.steps]
    assert totals == sorted(totals)
    for candidate in what.candidates:
        step = by_id["check", candidate]
        wanted = what.price(candidate)
        for state, share in step.answers.items():
            at = chance(what, {}, lambda w, c=candidate, s=state: w[c] == s)
            assert share == pytest.approx(at, abs=1e-12)
            if share > 0.0:
                known = {candidate: state}
                wanted += share * sequence(what, known, by_chance_over_price(what, known))
        assert step.expected_total == pytest.approx(wanted)
    for fault in what.faults:
        first = [fault, *(f for f in order if f != fault)]
        step = by_id["repair", fault.id]
        assert step.expected_total == pytest.approx(sequence(what, {}, first))


def test_the_random_questions_are_worth_it():
    """Looking is sometimes better than mending, and sometimes not."""
    kinds = [look_ahead(question(seed)).steps[0].kind for seed in range(40)]
    assert {"check", "repair"} <= set(kinds)


def test_what_cannot_be_is_told_as_few_answers_as_possible():
    what = question(1)
    variables = {v.id: v for v in what.tables.variables}
    child = next(v for v in variables.values() if (v.chances == 0.0).any() and v.parents)
    case = np.argwhere(child.chances == 0.0)[0]
    said = {p: variables[p].states[k] for p, k in zip(child.parents, case, strict=False)} | {
        child.id: child.states[case[-1]]
    }
    other = next(v for v in variables if v not in said)
    what = Question(what.tables, {other: variables[other].states[0], **said}, what.faults)
    ranking = rank_faults(what)
    assert ranking.faults == ()
    assert set(ranking.conflict) <= set(said)
    assert look_ahead(what).conflict == ranking.conflict
