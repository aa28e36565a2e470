"""What a change does to cases and simulated calls; each figure is asked of the engine anew."""

from math import isclose, log

import pytest

from faultnet.advice.imagined import imagine
from faultnet.advice.ranking import rank
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.authoring.store import load
from faultnet.review.compare.answers import answers_of, ranked
from faultnet.review.compare.difference import loss_of
from faultnet.review.compare.renamed import Dictionary


@pytest.fixture
def subjects(old, new):
    return lambda: [make_subject(load(each.folder), "jet-pump") for each in (old, new)]


def test_answers_are_those_of_either_version(compared, new, subjects):
    new.replace("how-common: rare", "how-common: 0.03")
    found = compared(calls=4)
    assert found.calls.asked == 4
    assert found.calls.differ == 4
    for each in (d for d in found.differences if d.kind == "call"):
        before, now = subjects()
        drawn = (before, now)[each.loss.drawn_from == "new"]
        call = imagine(drawn, 1, int(each.id))
        assert each.truth == call.causes
        ranks = [rank(subject, call.evidence) for subject in (before, now)]
        assert (each.first.old, each.first.new) == tuple(r.causes[0].id for r in ranks)
        for ranking, told in zip(ranks, (each.moved.old, each.moved.new), strict=True):
            chances = {c.id: c.probability for c in ranking.causes} | {"unlisted": ranking.unlisted}
            assert isclose(chances[each.moved.cause], told, rel_tol=1e-9)
        if each.step:
            steps = [next_steps(subject, call.evidence).steps[0] for subject in (before, now)]
            assert (each.step.id.old, each.step.id.new) == tuple(s.id for s in steps)
            assert isclose(each.step.new_total, steps[1].expected_total)


def test_the_log_loss_is_that_of_what_was_at_fault(compared, new, subjects):
    new.replace("how-common: rare", "how-common: 0.03")
    found = compared(calls=4)
    lost = {"old": [], "new": []}
    for each in found.differences:
        if each.kind == "call":
            ranking = rank(
                subjects()[1],
                imagine(subjects()[each.loss.drawn_from == "new"], 1, int(each.id)).evidence,
            )
            chances = {c.id: c.probability for c in ranking.causes}
            chances["unlisted"] = ranking.unlisted
            loss = -sum(log(p if cause in each.truth else 1 - p) for cause, p in chances.items())
            assert isclose(each.loss.new, loss, rel_tol=1e-6)
            lost[each.loss.drawn_from].append(loss)
    for losses in found.losses:
        assert isclose(losses.new, sum(lost[losses.drawn_from]) / losses.calls, rel_tol=1e-6)


def test_a_version_is_at_its_best_on_calls_of_its_own(new, subjects):
    """Gibbs' inequality: the expected log-loss is least for the network that drew the calls."""
    new.replace("how-common: rare", "how-common: 0.3")
    own = other = 0.0
    both = subjects()
    for number in range(80):
        home, away = both if number % 2 else both[::-1]
        call = imagine(home, 1, number)
        losses = []
        for subject in (home, away):
            answers = answers_of(ranked(subject, call.evidence), Dictionary({}, subject.knowledge))
            losses.append(loss_of(call.causes, answers, answers.causes))
        own, other = own + losses[0], other + losses[1]
    assert own < other


def test_the_same_calls_by_any_number_of_workers(compared, new):
    new.replace("how-common: rare", "how-common: 0.03")
    assert compared(calls=4, workers=2) == compared(calls=4)
    assert compared(calls=1, seed=2).differences != compared(calls=1).differences


def test_cases_that_now_fail_and_now_pass(compared, old, new):
    old.replace(
        "at-least: {foot-valve-leaks: 0.1}",
        "at-least: {foot-valve-leaks: 0.9999}",
        "parts/suction.cases.yaml",
    )
    new.replace("first: foot-valve-leaks", "first: pipe-cracked", "parts/suction.cases.yaml")
    found = compared()
    assert found.now_fail == ("still-leaking",)
    assert found.now_pass == ("leaking-valve",)
    assert not found.answers_asked
    assert [d.id for d in found.differences] == ["still-leaking", "leaking-valve"]


def test_a_case_on_one_side_alone(compared, new):
    cases = new.folder / "parts" / "suction.cases.yaml"
    head, _, _ = cases.read_text().partition("  - id: still-leaking")
    cases.write_text(
        head
        + """  - id: smells
    system: jet-pump
    reason: For the test.
    given: {odd-smell: yes, prime-falls: slowly}
    expect: {first: pipe-cracked}
"""
    )
    new.replace(
        "  no-sound:\n",
        "  odd-smell:\n    title: Odd smell\n    ask: Does it smell?\n"
        "    shows-anyway: 0.001\n  no-sound:\n",
    )
    new.replace("tingle: rarely}\n    repair", "tingle: rarely, odd-smell: 0.9}\n    repair")
    found = compared()
    assert found.cases.asked == 3
    by_id = {d.id: d for d in found.differences}
    assert by_id["smells"].left_out == ("odd-smell=yes",)
    assert (by_id["smells"].passed.old, by_id["smells"].passed.new) == ("", "yes")
    assert not found.now_fail
    assert [c.what for c in found.changes if c.id == "still-leaking"] == ["removed"]


def test_a_danger_that_is_gone_comes_first(compared, new, old):
    said = "say: Switch off at the panel., send: An electrician."
    danger = f"    danger:\n      yes: {{stop: full, {said}}}\n"
    for each in (old, new):
        path = each.folder / "parts" / "suction.cases.yaml"
        path.write_text(
            path.read_text()
            + """  - id: shocked
    system: jet-pump
    reason: For the test.
    given: {tingle: yes}
    expect: {danger: tingle}
"""
        )
    new.replace(danger, "")
    found = compared()
    assert found.differences[0].id == "shocked"
    assert found.differences[0].dangers.old == "tingle=yes"
    assert found.differences[0].dangers.new == ""
    assert found.now_fail == ("shocked",)


def test_dearer_work_changes_the_next_step_alone(compared, new):
    new.replace("minutes: 75", "minutes: 700")
    found = compared()
    assert found.cases.steps_asked == 2
    assert found.cases.largest_move == 0.0
    assert all(d.step.new_total > d.step.old_total for d in found.differences)


def test_answers_that_cannot_be_true_any_more(compared, new):
    new.replace(
        "prime-falls: {slowly: 0.6, quickly: {is: 0.2, from: [practice, pipe-handbook]}}",
        "prime-falls: {slowly: 0.6, quickly: 0}",
    )
    new.replace("{slowly: 0.02, quickly: 0.01}", "{slowly: 0, quickly: 0}")
    new.replace(
        "only-when: {source-level: below-pump}\n    likelier-when",
        "only-when: {source-level: above-pump}\n    likelier-when",
    )
    found = compared()
    refused = [d for d in found.differences if d.refused.differs]
    assert refused
    assert "cannot be true together" in refused[0].refused.new
