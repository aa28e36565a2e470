"""Imagined calls: the same by number, told as far as speakers can be trusted, ranked rightly."""

from collections import Counter

import numpy as np
import pytest

from faultnet.advice.imagined import Manner, generator_of, imagine
from faultnet.advice.observe import trust
from faultnet.advice.ranking import rank
from faultnet.advice.subject import make_subject
from faultnet.authoring.store import load
from faultnet.network.world import shown
from tests.network.test_world import bound

SMALL = "tests/authoring/knowledge"


@pytest.fixture(scope="module")
def small(request):
    return make_subject(load(request.config.rootpath / SMALL), "jet-pump")


def test_a_call_is_the_same_whatever_is_made_beside_it(small):
    alone = imagine(small, 7, 3)
    assert [imagine(small, 7, k) for k in (5, 3, 0)][1] == alone
    children = np.random.SeedSequence(7).spawn(4)
    assert generator_of(7, 3).random() == np.random.default_rng(children[3]).random()
    assert imagine(small, 8, 3) != alone


def test_what_is_told_is_what_can_be_asked(subject):
    findings = subject.knowledge.findings
    for number in range(20):
        call = imagine(subject, 1, number, Manner(complaints=1, questions=3, knows=1.0))
        told = call.evidence.now.answers
        assert 3 <= len(told) <= 4
        assert len({answer.finding for answer in told}) == len(told)
        assert all(findings[a.finding].ask_caller for a in told[-3:])
        assert set(call.evidence.layout) == set(subject.system.layout)
        assert set(call.evidence.circumstances) == set(subject.system.circumstances)
        assert call.causes


def test_a_caller_errs_as_often_as_the_knowledge_says(subject):
    """Hits and false alarms of all answers together, within Bernstein's bound."""
    manner = Manner(complaints=0, questions=400)
    right, expected, draws = Counter(), Counter(), Counter()
    for number in range(25):
        call = imagine(subject, 2, number, manner)
        values = shown(subject.network, call.world)
        for answer in call.evidence.now.answers:
            entry = subject.knowledge.findings[answer.finding]
            value = values[subject.findings[entry.id]]
            if value < 0:
                assert answer.answer == "cannot"
            elif len(entry.answers) == 2:
                hit, alarm = trust(subject, entry, "caller")
                draws[value] += 1
                expected[value] += hit if value else alarm
                right[value] += answer.answer == entry.answers[1]
    assert draws[0] > 1000
    assert draws[1] > 20
    for value, count in draws.items():
        p = expected[value] / count
        assert abs(right[value] / count - p) <= bound(p, count, 2)


def test_what_was_drawn_is_believed_as_often_as_it_is_so(small):
    """Of the causes believed with chances that sum to x, x are there: the calls are calibrated."""
    believed, there, spread = 0.0, 0, 0.0
    for number in range(120):
        call = imagine(small, 3, number, Manner(complaints=0, questions=4))
        for cause in rank(small, call.evidence).causes:
            believed += cause.probability
            spread += cause.probability * (1.0 - cause.probability)
            there += cause.id in call.causes
    assert there > 60
    assert abs(believed - there) < 5.0 * spread**0.5
