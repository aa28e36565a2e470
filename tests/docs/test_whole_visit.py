"""The page of a whole visit shows what a visit with the shipped knowledge comes to today."""

import pytest

from faultnet.cases import events as e
from tests.docs.pages import text_of
from tests.docs.whole_visit import PAGE, PARTED, SEAL, VALVE, page_of, story


@pytest.fixture(scope="module")
def played():
    return story()


def test_the_page_is_what_is_played(played):
    assert page_of(played) == text_of(PAGE)


def test_both_faults_are_mended_in_two_rounds_and_the_first_priming_fails(played):
    evidence = played.end.at.evidence
    causes = played.subject.knowledge.causes
    mended = [r.repairs for r in evidence.rounds]
    assert mended == [(causes[PARTED].repair,), (causes[SEAL].repair,), ()]
    assert VALVE not in {r for each in mended for r in each}
    events = played.end.events
    assert sum(isinstance(each, e.ProcedureStopped) for each in events) == 1
    assert sum(isinstance(each, e.Measured) for each in events) == 2
    assert played.end.at.ended == "mended"
    assert played.end.at.made == ()
