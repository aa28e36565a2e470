"""Planners against brute force, their bounds, and what more time gives."""

import random

import pytest

from faultnet.planning.belief import start
from faultnet.planning.planner import Deeper, Exact, OneStep, TooLargeError
from faultnet.planning.policy import followed
from faultnet.planning.problem import Check, Problem, Repair, SetUp, one_fault
from tests.planning.brute_force import least_cost
from tests.planning.problems import random_problem

CLOSE = 1e-9
SHAPES = [
    # faults, checks, repairs, set-ups, several, fall-back
    (3, 3, 3, 0, False, True),
    (3, 2, 3, 2, False, True),
    (3, 2, 3, 1, False, False),
    (3, 2, 3, 0, True, True),
    (3, 3, 2, 1, True, True),
    (3, 2, 3, 2, True, True),
    (3, 2, 3, 1, True, False),
    (2, 3, 3, 2, True, True),
]
CASES = [(shape, seed) for shape in SHAPES for seed in range(8)]


def drawn(shape, seed):
    faults, checks, repairs, set_ups, several, fall_back = shape
    return random_problem(
        random.Random(f"{shape} {seed}"),
        faults,
        checks,
        repairs,
        set_ups,
        several=several,
        fall_back=fall_back,
    )


def positions(start, most=400):
    """Return positions that can be reached, in the order of discovery."""
    found = {start.key: start}
    waiting = [start]
    for position in waiting:
        for step in position.steps():
            for _, _, then in position.after(step):
                if then is not None and then.key not in found and len(found) < most:
                    found[then.key] = then
                    waiting.append(then)
    return list(found.values())


def cost_of(move):
    """Return the expected cost of a plan from its steps alone."""
    follow = sum(b.probability * cost_of(b.then) for b in move.branches if b.then is not None)
    return move.step.price + follow


@pytest.mark.parametrize(("shape", "seed"), CASES)
def test_exact_is_as_cheap_as_brute_force(shape, seed):
    problem = drawn(shape, seed)
    plan = Exact().plan(start(problem))
    assert plan.expected == pytest.approx(least_cost(problem), rel=CLOSE)
    assert plan.lower == pytest.approx(plan.expected, rel=CLOSE)
    assert cost_of(plan.first) == pytest.approx(plan.expected, rel=CLOSE)


@pytest.mark.parametrize(("shape", "seed"), CASES[::3])
def test_search_without_the_table_ends_at_the_same_cost(shape, seed):
    problem = drawn(shape, seed)
    deep = Deeper(1_000_000).plan(start(problem))
    assert deep.expected == pytest.approx(Exact().plan(start(problem)).expected, rel=CLOSE)
    assert deep.gap <= CLOSE * deep.expected


@pytest.mark.parametrize(("shape", "seed"), CASES[::3])
def test_more_positions_never_make_a_plan_worse(shape, seed):
    problem = drawn(shape, seed)
    least = Exact().plan(start(problem)).expected
    before = OneStep().plan(start(problem))
    for most in (1, 2, 4, 8, 16, 64):
        plan = Deeper(most).plan(start(problem))
        assert plan.examined <= most
        assert plan.expected <= before.expected * (1 + CLOSE)
        assert plan.lower >= before.lower * (1 - CLOSE)
        assert plan.lower <= least * (1 + CLOSE)
        assert least <= plan.expected * (1 + CLOSE)
        assert plan.gained == pytest.approx(max(0.0, plan.one_step - plan.expected))
        assert cost_of(plan.first) == pytest.approx(plan.expected, rel=CLOSE)
        before = plan


@pytest.mark.parametrize("sharp", [False, True])
@pytest.mark.parametrize(("shape", "seed"), [(shape, 0) for shape in SHAPES])
def test_bounds_hold_everywhere(shape, seed, sharp):
    problem = drawn(shape, seed)
    first = start(problem).sharpened() if sharp else start(problem)
    for position in positions(first)[::9]:
        least = Exact().plan(position).expected
        assert position.lower() <= least * (1 + CLOSE)
        assert least <= position.upper() * (1 + CLOSE)
        names = iter(position.repair_only())

        def rule(at, names=names):
            steps = {step.id: step for step in at.steps()}
            return next(steps[name] for name in names if name in steps)

        assert followed(rule, position) == pytest.approx(position.upper(), rel=CLOSE)


@pytest.mark.parametrize(("shape", "seed"), [(shape, 1) for shape in SHAPES])
def test_equal_keys_mean_equal_beliefs(shape, seed):
    kept = {}
    waiting = [start(drawn(shape, seed))]
    for position in waiting:
        for step in position.steps():
            for _, _, then in position.after(step):
                if then is None:
                    continue
                same = kept.setdefault(then.key, then)
                assert then.weights == pytest.approx(same.weights, rel=CLOSE, abs=1e-300)
                assert then.gone == same.gone
                if len(waiting) < 300:
                    waiting.append(then)


def test_sharper_bound_is_exact_with_one_fault():
    for seed in range(10):
        first = start(drawn((3, 3, 3, 2, False, True), seed)).sharpened()
        for position in positions(first, 60):
            assert position.lower() == pytest.approx(Exact().plan(position).expected, rel=CLOSE)


@pytest.mark.parametrize(("shape", "seed"), CASES[::5])
def test_sharper_bound_is_sharper(shape, seed):
    first = start(drawn(shape, seed))
    assert first.sharpened().lower() >= first.lower() * (1 - CLOSE)


def together():
    """Two looks that say nothing alone: only whether they agree tells which repair it is."""
    faults = ["f00", "f01", "f10", "f11"]

    def look(place):
        return {a: tuple(float(f[place] == a) for f in faults) for a in "01"}

    return Problem(
        one_fault(dict.fromkeys(faults, 0.25)),
        (Check("upstream", 10.0, look(1)), Check("downstream", 10.0, look(2))),
        (
            Repair("mend-even", 100.0, {"f00": 1.0, "f11": 1.0}),
            Repair("mend-odd", 100.0, {"f01": 1.0, "f10": 1.0}),
        ),
        (),
        600.0,
    )


def test_two_checks_that_are_worth_it_only_together():
    problem = together()
    one, deep = OneStep().plan(start(problem)), Deeper(10).plan(start(problem))
    assert one.first.step.kind == "repair"
    assert one.expected == pytest.approx(150.0)
    assert deep.first.step.kind == "check"
    assert deep.expected == pytest.approx(120.0)
    assert deep.gained == pytest.approx(30.0)
    assert deep.expected == pytest.approx(least_cost(problem), rel=CLOSE)


def test_set_ups_are_shared():
    rows = {"no": (1.0, 0.0), "yes": (0.0, 1.0)}
    problem = Problem(
        one_fault({"a": 0.5, "b": 0.5}),
        (Check("look", 5.0, rows, on=("cover-off",)),),
        (
            Repair("mend-a", 50.0, {"a": 1.0}, on=("cover-off",)),
            Repair("mend-b", 60.0, {"b": 1.0}, off=("cover-off",)),
        ),
        (SetUp("cover-off", 7.0, 3.0),),
        500.0,
    )
    plan = Exact().plan(start(problem))
    assert plan.first.step.id == "look"
    assert plan.first.step.price == pytest.approx(15.0)
    prices = {b.answer: b.then.step.price for b in plan.first.branches}
    assert prices == pytest.approx({"no": 50.0, "yes": 60.0})


def test_spoilt_check_cannot_be_done():
    rows = {"no": (1.0, 0.0), "yes": (0.0, 1.0)}
    problem = Problem(
        one_fault({"a": 0.5, "b": 0.5}),
        (Check("drain", 5.0, rows, spoils=("watch",)), Check("watch", 4.0, rows)),
        (Repair("mend-a", 50.0, {"a": 1.0}),),
        (),
        500.0,
    )
    position = start(problem)
    after = [then for _, _, then in position.after(position.steps()[0])]
    assert all("watch" not in [step.id for step in then.steps()] for then in after)


def test_exact_stops_and_says_how_far_it_came():
    problem = drawn((3, 3, 3, 2, True, True), 3)
    with pytest.raises(TooLargeError, match="lie between") as caught:
        Exact(1).plan(start(problem))
    least = least_cost(problem)
    assert caught.value.lower <= least <= caught.value.upper


def test_time_limits_a_search():
    problem = random_problem(random.Random(5), 6, 8, 5, 1)
    plan = Deeper(seconds=0.0).plan(start(problem))
    assert plan.examined == 1
    assert plan.expected == pytest.approx(plan.one_step)


@pytest.mark.parametrize("planner", [OneStep(), Deeper(20), Exact()])
def test_first_step_is_that_of_the_plan(planner):
    position = start(drawn((3, 3, 3, 1, True, True), 2))
    assert planner.first(position) == planner.plan(position).first.step


@pytest.mark.parametrize("seed", range(6))
def test_replanning_is_no_worse_than_promised(seed):
    position = start(random_problem(random.Random(seed), 4, 4, 4, 1, several=False))
    for planner in (OneStep(), Deeper(10)):
        promised = planner.plan(position).expected
        assert followed(planner.first, position) <= promised * (1 + CLOSE)
