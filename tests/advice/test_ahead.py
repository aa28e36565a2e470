"""Looking further ahead than one step."""

from pathlib import Path

import pytest

from faultnet.advice.ahead import follow_up, look_ahead
from faultnet.advice.observe import observe
from faultnet.advice.outlooks import Outlooks
from faultnet.advice.ranking import believe
from faultnet.advice.situation import Situation
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.advice.works import told_wrong
from faultnet.authoring.library import read_knowledge
from faultnet.inference.query import Query
from faultnet.model.evidence import Answer, Evidence, Round
from tests.advice.say import say

TOGETHER = Path(__file__).with_name("knowledge-two-checks")
NO_WATER = Evidence((Round((Answer("no-water", "yes"),)),))
LONG = 60.0
"""Seconds that the searches here never need."""


def outlooks_of(subject, evidence):
    observed = observe(subject, evidence)
    query = Query(subject.network, observed)
    beliefs = believe(subject, query, brought=False)
    goal = told_wrong(subject, observed)
    situation = Situation(subject, evidence, "technician", query, beliefs, goal, beliefs.roots)
    return Outlooks(situation)


@pytest.fixture
def crossed(monkeypatch):
    monkeypatch.setenv("FAULTNET_CACHE", "")
    knowledge, problems = read_knowledge(TOGETHER)
    assert not [p for p in problems if p.severity == "error"]
    return make_subject(knowledge, "four-faults")


def test_one_step_ahead_two_looks_that_only_help_together_are_not_worth_it(crossed):
    first = next_steps(crossed, NO_WATER).steps[0]
    assert (first.id, first.expected_total) == ("specialist", 60.0)


def test_further_ahead_they_are(crossed):
    """A look, the other look, the repair: 1 + 1 + 40."""
    advice = next_steps(crossed, NO_WATER, seconds=LONG)
    first = advice.steps[0]
    assert first.id in ("look-for-first-sign", "look-for-second-sign")
    assert first.expected_total == pytest.approx(42.0)
    assert advice.plan.gained == pytest.approx(18.0)
    assert (advice.planner, advice.gap) == ("exact", pytest.approx(0.0, abs=1e-9))


def test_a_search_in_time_finds_them_as_well(crossed, monkeypatch):
    monkeypatch.setattr("faultnet.advice.ahead.problem_of", lambda _situation: None)
    advice = next_steps(crossed, NO_WATER, seconds=5.0)
    assert advice.planner == "deeper"
    assert advice.steps[0].expected_total == pytest.approx(42.0)
    assert advice.gap == pytest.approx(2.0)  # the floor is the repair alone


def moves(move):
    yield move
    for branch in move.branches:
        if branch.then is not None:
            yield from moves(branch.then)


@pytest.mark.parametrize(
    "said", [{"never_shuts_off": "yes", "gauge_falls_isolated": "yes"}, {"motor_hums": "yes"}]
)
def test_a_plan_adds_up_and_is_never_worse_than_one_step(subject, said):
    outlooks = outlooks_of(subject, say(**said))
    plan = look_ahead(outlooks, 1.0)
    rounding = 1e-9 * plan.repair_only
    assert plan.expected <= plan.one_step + rounding
    assert plan.one_step <= plan.repair_only + rounding
    assert outlooks.floor <= plan.expected
    for move in moves(plan.first):
        assert sum(b.probability for b in move.branches) == pytest.approx(1.0)
        follow = sum(b.probability * b.then.expected for b in move.branches if b.then)
        assert move.expected == pytest.approx(move.step.price + follow)


def test_the_first_look_of_a_plan_costs_no_more_than_one_step_ahead(subject):
    outlooks = outlooks_of(subject, say(no_water="yes"))
    plan = look_ahead(outlooks, 1.0)
    look = next(k for k in outlooks.looks if k.candidate.check.id == plan.first.step.id)
    ahead = follow_up(look, plan)
    assert all(a <= b.cost + 1e-9 for a, b in zip(ahead, look.follow, strict=True))
    assert sum(ahead) < sum(b.cost for b in look.follow)
