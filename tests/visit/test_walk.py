"""Whole visits on the shipped knowledge, answered as a site with a known fault would.

That the visit finds the fault is a check of the conversation; how well the knowledge fits the
world is examined elsewhere.
"""

import pytest

from faultnet.advice.subject import Subject
from faultnet.cases.events import Denied, Event, Opened, Told
from tests.visit.press import opened
from tests.visit.truthful import Site


@pytest.mark.parametrize(
    ("cause", "complaint", "layout"),
    [
        ("check-valve-parted-from-pipe", "never-shuts-off", {"check-valve": "foot"}),
        ("bladder-ruptured", "short-cycles-drawing", {"tank": "captive-air"}),
    ],
)
def test_a_fault_is_found_and_mended(shipped, cause, complaint, layout):
    site = Site(shipped, cause, {"switch": "plain", "source-level": "below-pump", **layout})
    visit = opened(shipped, Opened("jet-pump-cistern")).after(_no_danger(shipped))
    visit = visit.after(Told(complaint, "yes"))
    for _ in range(80):
        if visit.over:
            break
        visit = visit.after(site.answer(visit))
    assert visit.at.ended == "mended"
    assert site.mended(visit)
    assert visit.at.made == ()
    assert len(visit.at.evidence.rounds) <= 3


def _no_danger(subject: Subject) -> Event:
    stops = [f for f in subject.findings if subject.knowledge.findings[f].dangers]
    return Denied(tuple(f for f in stops if f != "never-shuts-off"))
