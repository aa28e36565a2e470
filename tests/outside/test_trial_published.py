"""Published decision problems, gone about call by call: the mean lies where it was published.

Sources beside each problem. Every call is drawn, answered and mended by the trial itself; the
published mean must lie within the 99.9 % normal interval of what came.
"""

from itertools import pairwise
from math import sqrt
from pathlib import Path

import numpy as np
import pytest

from faultnet.advice.grounds import grounds
from faultnet.advice.ranking import believe
from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.learning.trials.call import run_call
from faultnet.learning.trials.customs import Customs
from faultnet.learning.trials.policies.habit import Plain
from faultnet.learning.trials.policies.named import policy_of
from faultnet.learning.trials.policies.planned import Planned
from faultnet.learning.trials.policy import HAND_OVER, Chosen

HERE = Path(__file__).parent
AT_THE_PUMP = Customs(phone=False, trips=False)
CALLS = 400
WIDE = 3.29
"""Deviations of a 99.9 % interval."""


def subject_of(folder, system):
    knowledge, problems = read_knowledge(HERE / folder)
    assert not problems
    return make_subject(knowledge, system)


@pytest.fixture(autouse=True, scope="module")
def _nothing_kept():
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", "")
        yield


def minutes(policy, subject, calls=CALLS):
    """Return the minutes of each call."""
    done = [run_call(policy, subject, subject, 1, n, AT_THE_PUMP) for n in range(calls)]
    return np.array([outcome.minutes for outcome in done])


def agrees(values, published):
    """Whether a published mean lies in the interval of values."""
    return abs(values.mean() - published) <= WIDE * values.std() / sqrt(len(values)) + 1e-9


class InOrder(Plain, frozen=True):
    """Repairs in a fixed order."""

    order: tuple[str, ...]

    def next(self, at):
        left = [repair for repair in self.order if repair not in at.repaired]
        return Chosen("repair", left[0]) if left else HAND_OVER


class Eliminating(Plain, frozen=True):
    """Tests in the order of the index, until one defect is left."""

    def next(self, at):
        beliefs = believe(at.subject, grounds(at.subject, at.evidence).query)
        left = [c for c, chance in beliefs.causes.items() if chance > 1e-9]
        if len(left) == 1:
            return Chosen("repair", at.subject.knowledge.causes[left[0]].repair)
        return Chosen("check", f"test-{len(at.checked)}")


@pytest.fixture(scope="module")
def independent():
    """Order of independent repairs: question 144646 of the computer science questions-and-answers
    site of the Stack Exchange network; theory Simon & Kadane 1975, Artificial Intelligence 6."""
    return subject_of("knowledge-one-fault", "two-faults-one-at-work")


@pytest.mark.parametrize(
    ("order", "published"),
    [(("mend-first", "mend-second"), 3.4), (("mend-second", "mend-first"), 4.4)],
)
def test_order_of_independent_repairs(independent, order, published):
    assert agrees(minutes(InOrder("order", order), independent), published)


@pytest.mark.parametrize("name", ["one-step", "quick", "deeper:5", "per-minute", "most-probable"])
def test_policies_find_the_best_order_of_independent_repairs(independent, name):
    found = minutes(policy_of(name), independent, 150)
    assert agrees(found, 3.4)
    assert not agrees(found, 4.4)


ORDERS = {
    ("action-1", "action-2", "action-3"): 1.70,
    ("action-1", "action-3"): 1.55,
    ("action-2", "action-1", "action-3"): 1.50,
    ("action-2", "action-3", "action-1"): 1.55,
    ("action-3", "action-1"): 1.45,
    ("action-3", "action-2", "action-1"): 1.65,
}


@pytest.fixture(scope="module")
def dependent():
    """Dependent repairs: Jensen and others 2001, AI EDAM 15:321-333; the problem is from memory,
    the costs of the orders were worked out again."""
    subject = subject_of("knowledge-dependent", "four-faults-one-at-work")
    at = subject.causes
    vars(subject)["mended_by"] = {
        f"action-{n}": (at[f"fault-{n}"], at[f"fault-{n + 1}"]) for n in (1, 2, 3)
    }
    return subject


@pytest.mark.parametrize(("order", "published"), ORDERS.items())
def test_orders_of_dependent_repairs(dependent, order, published):
    assert agrees(minutes(InOrder("order", order), dependent), published)


def test_probability_over_cost_is_not_the_best_of_dependent_repairs(dependent):
    greedy = minutes(policy_of("per-minute"), dependent)
    best = minutes(InOrder("order", ("action-3", "action-1")), dependent)
    assert agrees(greedy, 1.50)
    assert agrees(greedy - best, 0.05)


@pytest.fixture(scope="module")
def elimination():
    """Candidate elimination: Balakrishnan & Semmelbauer 1999, Decision Support Systems,
    doi 10.1016/S0167-9236(99)00015-9, Tables 1 and 2; the means were worked out again."""
    return subject_of("knowledge-elimination", "five-defects-one-at-work")


def test_tests_in_the_order_of_the_index(elimination):
    assert agrees(minutes(Eliminating("index"), elimination) - 1000.0, 2.8)


def test_the_plan_needs_the_fewest_tests(elimination):
    tests = minutes(Planned("exact", positions=50), elimination, 100) - 1000.0
    index = minutes(Eliminating("index"), elimination, 100) - 1000.0
    assert agrees(tests, 2.4)
    assert index.mean() > tests.mean()


def test_all_policies_meet_the_same_calls(elimination):
    causes = [
        [run_call(p, elimination, elimination, 3, n, AT_THE_PUMP).causes for n in range(20)]
        for p in (policy_of("all-knowing"), Eliminating("index"))
    ]
    assert all(one == other for one, other in pairwise(causes))
    assert len(set(causes[0])) > 1


def test_perfect_knowledge_is_the_floor(elimination):
    assert set(minutes(policy_of("all-knowing"), elimination, 50)) == {1000.0}
