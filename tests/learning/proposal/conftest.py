"""The small knowledge, and numbers as cases might propose them."""

from pathlib import Path

import pytest

from faultnet.authoring.whole import whole_of
from faultnet.learning.proposal.prepared import Before
from faultnet.learning.proposal.run import run_of
from faultnet.learning.proposed import Interval, Proposed

SMALL = Path(__file__).parents[2] / "authoring" / "knowledge"
SYSTEM = "jet-pump"


@pytest.fixture(scope="session")
def before():
    whole = whole_of(SMALL)
    knowledge, problems = whole.judged()
    return Before(whole, knowledge, problems)


@pytest.fixture
def knowledge(before):
    return before.knowledge


@pytest.fixture
def run():
    return run_of(SYSTEM, [("weir-lane-2", "2026-03-01T10:00:00Z"), ("weir-lane-1", "2026-01-05")])


def proposed(number, value, kind="strength", width=0.2, prior=10.0):
    """Return a number that 71 cases speak for, and 69 against."""
    span = Interval(value * (1 - width), value * (1 + width))
    named = ("weir-lane-1", "weir-lane-2")
    return Proposed(number, kind, "x", "x", value, span, prior, value, 71.0, 69.0, named)
