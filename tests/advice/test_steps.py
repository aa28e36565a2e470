"""Priced next steps on the shipped knowledge."""

from itertools import pairwise

import pytest

from faultnet.advice.answers import weigh_answers
from faultnet.advice.candidates import candidates
from faultnet.advice.observe import observe
from faultnet.advice.site import Prices
from faultnet.advice.steps import next_steps
from faultnet.inference.downsets import Expander
from faultnet.inference.query import Query
from faultnet.model.evidence import Evidence
from faultnet.network.average import averaged
from tests.advice.say import say

CARD = [
    say(short_cycles_drawing="yes"),
    say(gauge_falls_isolated="yes"),
    say(prime_level_falls="yes"),
    say(no_pressure_build="yes"),
    Evidence(),
]


@pytest.fixture(scope="module", params=range(len(CARD)))
def advice(request, subject):
    return next_steps(subject, CARD[request.param])


def test_steps_are_best_first_and_never_below_the_floor(advice):
    totals = [s.expected_total for s in advice.steps]
    assert totals == sorted(totals)
    assert all(advice.floor <= total + 1e-6 for total in totals)
    assert all(s.price <= s.expected_total + 1e-9 for s in advice.steps)


def test_the_specialist_always_stands_at_hand(advice, subject):
    kinds = [s.kind for s in advice.steps]
    assert kinds.count("specialist") == 1
    worst = subject.system.specialist.minutes.value
    assert advice.steps[0].expected_total <= worst + 1e-9


def test_outcomes_are_probabilities_that_sum_to_one_at_most(advice):
    for step in advice.steps:
        if step.kind == "check":
            total = sum(o.probability for o in step.outcomes)
            assert 0.5 < total <= 1.0 + 1e-9


def test_no_check_that_the_evidence_has_answered_is_advised(subject):
    held = {"gauge_falls_isolated": "yes", "gauge_falls_only_open": "no"}
    advice = next_steps(subject, say(pressure_gone_in_minutes="no", **held))
    assert "hold-test" not in [s.id for s in advice.steps]


def test_the_case_of_the_card_begins_with_a_cheap_check_once_it_is_safe(subject):
    evidence = say(never_shuts_off="yes", gauge_falls_isolated="yes", made_safe=["never-shuts-off"])
    first = next_steps(subject, evidence).steps[0]
    assert first.kind == "check"
    assert first.minutes + first.waiting <= 20


def test_danger_withholds_every_step_but_making_safe(subject):
    advice = next_steps(subject, say(never_shuts_off="yes", gauge_falls_isolated="yes"))
    assert {s.kind for s in advice.steps} == {"make-safe"}
    assert advice.dangers[0].finding == "never-shuts-off"
    advice = next_steps(subject, say(tingle="yes", by="caller"))
    assert [s.id for s in advice.steps] == ["make-safe-tingle"]


def test_a_full_stop_comes_before_make_safe(subject):
    advice = next_steps(subject, say(never_shuts_off="yes", tingle="yes"))
    assert [d.finding for d in advice.dangers] == ["tingle", "never-shuts-off"]


def test_a_caller_is_only_asked_what_a_caller_may_do(subject):
    advice = next_steps(subject, say(no_water="yes", by="caller"), who="caller")
    for step in advice.steps:
        if step.kind == "check":
            work = subject.knowledge.checks[step.id].work
            assert work.who == "caller"
            assert not set(work.valves) - {"house-tap"}
            assert work.opens == "nothing"


def test_a_set_up_that_is_on_is_not_paid_again(subject):
    prices = Prices(subject.knowledge)
    for check in subject.knowledge.checks.values():
        state = frozenset()
        first = prices.work(check.work, state)
        again = prices.work(check.work, first.after)
        assert again.minutes <= first.minutes
        made = sum(t.minutes for t in first.transitions)
        assert first.minutes - again.minutes == pytest.approx(made)


def test_needed_set_ups_come_first(subject):
    prices = Prices(subject.knowledge)
    lifted = subject.knowledge.set_ups["intake-lifted"]
    work = next(
        c.work for c in subject.knowledge.checks.values() if c.work.set_ups.get("intake-lifted")
    )
    made = [t.id for t in prices.work(work, frozenset()).transitions if t.to == "on"]
    assert set(lifted.requires) <= set(made[: made.index("intake-lifted")])


@pytest.mark.parametrize("evidence", CARD[:4])
def test_answers_weighed_by_relevant_causes_equal_those_with_all_causes(subject, evidence):
    """Leaving out causes that say nothing, and taking off the case of no cause, is exact."""
    observed = observe(subject, evidence)
    base = Query(subject.network, observed)
    wanted = ["hold-test", "watch-one-start", "ask-what-happened", "press-air-valve"]
    found = [
        c
        for c in candidates(subject, evidence, "technician", lambda _layout, _values: 1.0)
        if c.check.id in wanted
    ]
    for candidate in found:
        answers = candidate.answers(subject)[:6]
        (quick,) = weigh_answers(subject, base, [(candidate, answers)])
        findings = [subject.findings[f] for f in candidate.findings]
        query = Query(subject.network, observed, candidates=findings)
        expander = Expander(query)
        for joint, got in zip(answers, quick, strict=True):
            rows = expander.rows(candidate.terms(subject, expander, joint))
            weights = query.weigh([row for row, _ in rows])
            full = sum(c * w for (_, c), w in zip(rows, weights, strict=True))
            assert got == pytest.approx(max(full, 0.0), rel=1e-9, abs=1e-15)


def test_answers_of_a_check_sum_to_the_evidence(subject):
    evidence = say(no_pressure_build="yes")
    base = Query(subject.network, observe(subject, evidence))
    total = base.masses().total
    for candidate in candidates(subject, evidence, "technician", lambda _layout, _values: 1.0):
        if candidate.check.id in ("suction-vacuum", "look-at-lever", "ask-what-happened"):
            answers = candidate.answers(subject)
            (weights,) = weigh_answers(subject, base, [(candidate, answers)])
            assert sum(weights) == pytest.approx(total, rel=1e-9)


def test_averaging_known_roots_changes_nothing(subject):
    layout = {
        name: max(values, key=lambda v: values[v].value)
        for name, values in subject.system.layout.items()
    }
    evidence = say(
        no_pressure_build="yes",
        layout=layout,
        circumstances=dict.fromkeys(subject.system.circumstances, False),
    )
    observed = observe(subject, evidence)
    exact = Query(subject.network, observed).masses()
    states = {
        r: tuple(float(k == exact_state) for k in range(len(root.states)))
        for r, root in enumerate(subject.network.roots)
        for exact_state in [Query(subject.network, observed).known[r]]
    }
    mean = Query(averaged(subject.network, states), observed).masses()
    for cause in exact.causes:
        assert mean.causes[cause] / mean.total == pytest.approx(
            exact.causes[cause] / exact.total, rel=1e-9
        )


def test_thorough_advice_agrees_on_the_answers(subject):
    evidence = say(short_cycles_drawing="yes")
    quick = {s.id: s for s in next_steps(subject, evidence).steps if s.kind == "check"}
    slow = {
        s.id: s for s in next_steps(subject, evidence, thorough=True).steps if s.kind == "check"
    }
    shared = quick.keys() & slow.keys()
    assert len(shared) >= 3
    for name in shared:
        one = {tuple(o.answers.items()): o.probability for o in quick[name].outcomes}
        other = {tuple(o.answers.items()): o.probability for o in slow[name].outcomes}
        for joint in one.keys() & other.keys():
            assert one[joint] == pytest.approx(other[joint], rel=1e-9)
    assert all(a <= b for a, b in pairwise(sorted(s.expected_total for s in slow.values())))


def test_chances_that_would_take_too_long_are_told_as_averages(subject, monkeypatch):
    exact = next_steps(subject, say(no_water="yes"))
    monkeypatch.setattr("faultnet.advice.steps.MOST", 1.0)
    rough = next_steps(subject, say(no_water="yes"))
    assert (exact.rough_answers, rough.rough_answers) == (False, True)
    assert rough.steps[0].id == exact.steps[0].id
