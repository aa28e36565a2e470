"""Planners against published decision problems, source beside each."""

from itertools import permutations

import pytest

from faultnet.planning.belief import start
from faultnet.planning.planner import Deeper, Exact, OneStep
from faultnet.planning.policy import followed
from faultnet.planning.problem import Check, Problem, Repair, one_fault

PLANNERS = [OneStep(), Deeper(50), Exact()]


def in_order(problem, order):
    """Return the expected cost of the steps of a fixed order."""

    def rule(position):
        steps = {step.id: step for step in position.steps()}
        return next(steps[name] for name in order if name in steps)

    return followed(rule, start(problem))


def ids(move):
    """Return the steps of a plan in which nothing but 'not over' leads on."""
    found = []
    while move is not None:
        found.append(move.step.id)
        move = next((b.then for b in move.branches if b.then is not None), None)
    return found


INDEPENDENT = Problem(
    one_fault({"first": 0.8, "second": 0.2}),
    (),
    (Repair("mend-first", 3.0, {"first": 1.0}), Repair("mend-second", 2.0, {"second": 1.0})),
)
"""Order of independent repairs with one fault: Computer Science Stack Exchange 144646;
theory Simon & Kadane 1975, Artificial Intelligence 6."""


def test_order_of_independent_repairs():
    assert in_order(INDEPENDENT, ["mend-first", "mend-second"]) == pytest.approx(3.4, abs=1e-12)
    assert in_order(INDEPENDENT, ["mend-second", "mend-first"]) == pytest.approx(4.4, abs=1e-12)


@pytest.mark.parametrize("planner", PLANNERS)
def test_independent_repairs_are_planned_by_probability_over_cost(planner):
    plan = planner.plan(start(INDEPENDENT))
    assert plan.expected == pytest.approx(3.4, abs=1e-12)
    assert ids(plan.first) == ["mend-first", "mend-second"]


DEPENDENT = Problem(
    one_fault({"F1": 0.20, "F2": 0.25, "F3": 0.40, "F4": 0.15}),
    (),
    (
        Repair("A1", 1.0, {"F1": 1.0, "F2": 1.0}),
        Repair("A2", 1.0, {"F2": 1.0, "F3": 1.0}),
        Repair("A3", 1.0, {"F3": 1.0, "F4": 1.0}),
    ),
)
"""Dependent repairs: Jensen et al. 2001, AI EDAM 15:321-333. The problem is from memory,
the costs of the orders were recomputed."""
ORDERS = {
    ("A1", "A2", "A3"): 1.70,
    ("A1", "A3"): 1.55,
    ("A2", "A1", "A3"): 1.50,
    ("A2", "A3", "A1"): 1.55,
    ("A3", "A1"): 1.45,
    ("A3", "A2", "A1"): 1.65,
}


@pytest.mark.parametrize(("order", "cost"), ORDERS.items())
def test_orders_of_dependent_repairs(order, cost):
    assert in_order(DEPENDENT, order) == pytest.approx(cost, abs=1e-12)


@pytest.mark.parametrize("planner", PLANNERS)
def test_best_order_of_dependent_repairs_is_not_the_greedy_one(planner):
    plan = planner.plan(start(DEPENDENT))
    assert plan.expected == pytest.approx(1.45, abs=1e-12)
    assert ids(plan.first) == ["A3", "A1"]


SIGNATURES = ("0000", "0001", "0011", "0111", "1111")
CERTAIN = 1000.0
"""Price of a repair, so dear that no defect is repaired before it is known."""
ELIMINATION = Problem(
    one_fault({f"defect-{n}": 0.2 for n in range(5)}),
    tuple(
        Check(
            f"test-{k}",
            1.0,
            {answer: tuple(float(s[k] == answer) for s in SIGNATURES) for answer in "01"},
        )
        for k in range(4)
    ),
    tuple(Repair(f"mend-{n}", CERTAIN, {f"defect-{n}": 1.0}) for n in range(5)),
)
"""Candidate elimination, equal priors, unit costs: Balakrishnan & Semmelbauer 1999,
Decision Support Systems, doi 10.1016/S0167-9236(99)00015-9, Tables 1 and 2; the means
were recomputed."""


def mean_tests(order):
    """Return the expected number of tests of a fixed order, until one defect is left."""

    def rule(position):
        steps = {step.id: step for step in position.steps()}
        return next((steps[name] for name in order if name in steps), position.steps()[0])

    return followed(rule, start(ELIMINATION)) - CERTAIN


def test_index_order_of_tests():
    assert mean_tests([f"test-{k}" for k in range(4)]) == pytest.approx(2.8, abs=1e-9)


def test_no_fixed_order_beats_the_plan():
    plan = Exact().plan(start(ELIMINATION))
    assert plan.expected - CERTAIN == pytest.approx(2.4, abs=1e-9)
    orders = permutations([f"test-{k}" for k in range(4)])
    assert min(map(mean_tests, orders)) >= 2.4 - 1e-9


def test_deeper_finds_the_least_number_of_tests():
    assert Deeper(50).plan(start(ELIMINATION)).expected - CERTAIN == pytest.approx(2.4, abs=1e-9)
