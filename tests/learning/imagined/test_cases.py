"""Imagined closed cases: the same by number, whole, and as the network has it."""

import pickle
from collections import Counter
from datetime import datetime

import msgspec
import numpy as np
import pytest
from msgspec.structs import replace

from faultnet.advice.imagined import imagine
from faultnet.advice.observe import observe, said
from faultnet.advice.ranking import rank
from faultnet.inference.lattice import Lattice
from faultnet.learning.altered.truth import truth_of
from faultnet.learning.closed import ClosedCase
from faultnet.learning.imagined.cases import ImaginedCases, imagined_case, imagined_cases, recipe
from faultnet.learning.imagined.habits import Habits
from faultnet.model.evidence import Answer
from faultnet.network.build import UNLISTED
from faultnet.sharing.sharing import Here
from tests.network.test_world import bound

SMALL = "tests/review/knowledge"
MANY = 400


@pytest.fixture(scope="module")
def truth(request):
    return truth_of(str(request.config.rootpath / SMALL), "pump")


@pytest.fixture(scope="module")
def cases(truth):
    return list(imagined_cases(recipe(truth, seed=5), 0, MANY))


def test_a_case_is_the_same_whatever_is_made_beside_it(truth, cases):
    source = ImaginedCases(recipe(truth, seed=5), MANY, in_part=30)
    for workers in (1, 2):
        batches = Here(workers).each(_read, source.parts())
        assert [case for batch in batches for case in batch.cases] == cases
    assert imagined_case(recipe(truth, seed=5), 7) == cases[7]
    assert imagined_case(recipe(truth, seed=6), 7) != cases[7]


def _read(part):
    return part.read()


def test_a_part_is_small_enough_to_be_sent(truth):
    assert len(pickle.dumps(ImaginedCases(recipe(truth), 10**6, in_part=10**5).parts()[3])) < 2000


def test_a_case_survives_being_written(cases):
    for case in cases[:50]:
        assert msgspec.json.decode(msgspec.json.encode(case), type=ClosedCase) == case


def test_everything_in_a_case_is_in_the_files(truth, cases):
    subject = truth.known()
    for case in cases:
        observe(subject, case.evidence)
        assert case.id.startswith("invented-")
        assert case.knowledge == subject.knowledge.version
        assert datetime.fromisoformat(case.opened) < datetime.fromisoformat(case.closed)
        last = len(case.evidence.rounds) - 1
        for confirmed in case.confirmed:
            assert confirmed.cause in subject.causes
            assert 0 <= confirmed.round <= last
            assert (confirmed.cause == UNLISTED) == bool(confirmed.text)
        for step in case.steps:
            assert 0 <= step.round <= last
        mended = [r for r in case.evidence.rounds if r.repairs]
        assert len(mended) == sum(step.kind == "repair" for step in case.steps)


def test_the_cases_of_a_firm_are_of_all_kinds(truth):
    cases = list(imagined_cases(recipe(truth, Habits(left=0.2, silent=0.3), seed=1), 0, 300))
    endings = Counter(case.ending for case in cases)
    assert {"mended", "mended-proof-open", "referred", "declined", "no-access"} <= endings.keys()
    assert {case.region for case in cases} == {"invented: Orquay Valley", "invented: Sarn Fell"}
    assert 0 < sum(bool(case.confirmed) for case in cases) < len(cases)
    assert any(case.unknown for case in cases)
    assert {case.opened[:4] for case in cases} == {"2023", "2024", "2025"}


def test_callers_tell_of_complaints_as_often_as_the_engine_says(truth):
    """Within Bernstein's bound (tests.network.test_world), asked whatever was said before."""
    habits = Habits(questions=3, more=0, at_random=1.0, forgets=0.0)
    cases = imagined_cases(recipe(truth, habits, seed=9), 0, MANY)
    subject = truth.so()
    exact = Lattice(subject.network).beliefs({})
    told = Counter(
        (a.finding, a.answer)
        for case in cases
        for a in case.evidence.rounds[0].answers
        if a.speaker == "caller"
    )
    for finding in subject.knowledge.findings.values():
        asked = sum(told[finding.id, answer] for answer in finding.answers)
        if finding.urgency and finding.ask_caller:
            assert asked > 0.6 * MANY
            answer = Answer(finding.id, finding.answers[1], "caller")
            chances = said(subject, answer)
            expected = sum(
                exact[finding.id][a] * p for a, p in zip(finding.all_answers, chances, strict=True)
            )
            assert abs(told[finding.id, answer.answer] / asked - expected) <= bound(
                expected, asked, 20
            )


def test_what_was_not_asked_may_be_taken_as_missing_at_random(truth):
    """Of the causes believed with chances that sum to x, x are there: by all that was seen.

    If what is asked hung on what is at fault, other than by what was seen, beliefs that take
    no notice of it would be off.
    """
    of, subject = recipe(truth, seed=8), truth.so()
    believed, there, spread = 0.0, 0, 0.0
    for number in range(250):
        evidence = imagined_case(of, number).evidence
        first = replace(evidence, rounds=(replace(evidence.rounds[0], repairs=()),), made_safe=())
        present = imagine(subject, of.seed, number, of.habits.manner).causes
        for cause in rank(subject, first).causes:
            believed += cause.probability
            spread += cause.probability * (1.0 - cause.probability)
            there += cause.id in present
    assert there > 100
    assert abs(believed - there) < 4.0 * spread**0.5


def test_frost_comes_in_winter_as_often_as_the_files_say(truth):
    told = [
        (case.opened[5:7], case.evidence.circumstances["after-freeze"])
        for case in imagined_cases(recipe(truth, seed=3), 0, 600)
        if "after-freeze" in case.evidence.circumstances
    ]
    frosty = [month for month, held in told if held]
    assert sum(month in {"12", "01", "02", "03", "11"} for month in frosty) > 0.7 * len(frosty)
    months = Counter(month for month, _ in told)
    assert min(months.values()) > len(told) / 12 - 4.0 * np.sqrt(len(told) / 12)
