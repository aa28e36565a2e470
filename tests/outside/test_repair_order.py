"""One fault, independent repairs: the best order is by probability over cost.

Worked example: question 144646 of the computer science questions-and-answers site of the
Stack Exchange network. Chances .8 and .2, costs 3 and 2: 3.4 in the order first, second;
4.4 in the other. Theory: Simon and Kadane 1975, Artificial Intelligence 6, 235-247 (volume
and pages from memory). The expected cost is c1 + (1 - p1) c2 + (1 - p1 - p2) c3 + ...
"""

from itertools import permutations
from pathlib import Path

import pytest

from faultnet.advice.observe import observe
from faultnet.advice.plan import Outlook, prefixes, repair_only
from faultnet.advice.site import Prices
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.advice.works import Asked, Works, told_wrong
from faultnet.authoring.library import read_knowledge
from faultnet.inference.downsets import ALWAYS
from faultnet.model.evidence import Answer, Evidence, Round

FOLDER = Path(__file__).with_name("knowledge-one-fault")
COSTS = {("mend-first", "mend-second"): 3.4, ("mend-second", "mend-first"): 4.4}
COMPLAINT = Evidence((Round((Answer("no-water", "yes"),)),))


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch):
    monkeypatch.setenv("FAULTNET_CACHE", "")


@pytest.fixture
def subject():
    knowledge, problems = read_knowledge(FOLDER)
    assert not problems
    return make_subject(knowledge, "two-faults-one-at-work")


@pytest.fixture
def works(subject):
    observed = observe(subject, COMPLAINT)
    complaints = told_wrong(subject, observed)
    return Works(subject, subject.network, observed, complaints, tuple(subject.mended_by), ())


def weighed(works, sets):
    return works.of_each([Asked(ALWAYS, sets)])[0][1]


def planned(subject, works, order):
    outlook = Outlook(order, weighed(works, prefixes(order)))
    return repair_only(subject, Prices(subject.knowledge), outlook, frozenset()).cost


def test_chance_that_a_set_of_repairs_ends_it(works):
    sets = [frozenset({"mend-first"}), frozenset({"mend-second"}), frozenset(works.repairs)]
    assert weighed(works, sets) == pytest.approx((0.8, 0.2, 1.0), abs=1e-12)


@pytest.mark.parametrize(("order", "cost"), COSTS.items())
def test_expected_cost_of_an_order(subject, works, order, cost):
    assert planned(subject, works, order) == pytest.approx(cost, abs=1e-12)


def test_probability_over_cost_is_the_best_order(subject, works):
    alone = dict(
        zip(works.repairs, weighed(works, [frozenset({r}) for r in works.repairs]), strict=True)
    )
    minutes = {r: subject.knowledge.repairs[r].work.minutes.value for r in works.repairs}
    by_ratio = tuple(sorted(works.repairs, key=lambda r: -alone[r] / minutes[r]))
    cheapest = min(permutations(works.repairs), key=lambda o: planned(subject, works, o))
    assert by_ratio == cheapest == ("mend-first", "mend-second")


def test_next_step_is_the_first_of_the_best_order(subject):
    steps = next_steps(subject, COMPLAINT).steps
    totals = {s.id: s.expected_total for s in steps if s.kind == "repair"}
    assert steps[0].id == "mend-first"
    assert totals == pytest.approx({order[0]: cost for order, cost in COSTS.items()}, abs=1e-12)


def test_the_exact_plan_is_that_order(subject):
    advice = next_steps(subject, COMPLAINT, seconds=1.0)
    assert (advice.planner, advice.steps[0].id) == ("exact", "mend-first")
    assert advice.steps[0].expected_total == pytest.approx(3.4, abs=1e-12)
