"""The links followed backwards say what the links say, no more and no less."""

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.shipped import shipped_folder
from faultnet.model.named_by import NamedBy

KNOWN = read_knowledge(shipped_folder())[0]
BY = NamedBy(KNOWN)


def test_a_finding_knows_the_causes_that_show_it():
    forward = {(c.id, s.finding) for c in KNOWN.causes.values() for s in c.shows}
    back = {(c.id, s.finding) for shown in BY.shown_by.values() for c, s in shown}
    assert back == forward
    assert all(s.finding == name for name, shown in BY.shown_by.items() for _, s in shown)


def test_a_cause_knows_the_checks_that_look_for_it():
    for cause, checks in BY.looked_for_by.items():
        for check in checks:
            found = {KNOWN.findings[f].found_cause for f in check.reveals if f in KNOWN.findings}
            assert cause in found
    assert "foot-valve-leaks-slowly" in BY.looked_for_by


def test_a_cause_knows_what_leads_to_it_and_what_brings_it_in():
    forward = {(c.id, to.cause) for c in KNOWN.causes.values() for to in c.leads_to}
    assert {(c.id, k) for k, each in BY.comes_from.items() for c, _ in each} == forward
    brings = {(r.id, cause) for r in KNOWN.repairs.values() for cause in r.brings}
    assert {(r.id, k) for k, each in BY.brought_by.items() for r, _ in each} == brings


def test_every_cause_is_mended_by_its_repair_and_stands_in_its_part():
    for cause in KNOWN.causes.values():
        assert cause in BY.mends[cause.repair]
        assert cause in BY.causes_in[cause.part]


@pytest.mark.parametrize(("source", "reading"), [("nema-mg1-voltage", "running-volts")])
def test_a_source_knows_the_readings_with_its_numbers(source, reading):
    assert reading in {each.id for each in BY.cited_by[source]}


def test_own_judgement_is_no_source():
    assert not {"judgement", "practice", "memory"} & BY.cited_by.keys()
