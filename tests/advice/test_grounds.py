"""Ranking and next step stand on one and the same compiled evidence."""

import pytest

from faultnet.advice.grounds import grounds
from faultnet.advice.ranking import rank
from faultnet.advice.situation import situate
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Answer, Evidence, Round


@pytest.fixture
def evidence():
    return Evidence((Round((Answer("never-shuts-off", "yes", "technician"),)),))


def test_they_share_what_was_compiled(subject, evidence):
    on = grounds(subject, evidence)
    assert situate(subject, evidence, "technician").query is on.query
    assert grounds(subject, Evidence()) is not on
    assert rank(subject, evidence).evidence_probability == on.query.masses().total


def test_more_than_is_wished_is_refused(subject, evidence):
    with pytest.raises(TooLargeError):
        grounds(subject, evidence).refuse_beyond(1)
