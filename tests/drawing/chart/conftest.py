"""Charts of a small invented trouble, made once for all tests."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.drawing.chart.made import Wanted, make_chart
from faultnet.model.evidence import Answer, Evidence, Round

FOLDER = Path(__file__).with_name("knowledge")
NO_WATER = Evidence((Round((Answer("no-water", "yes"),)),))
EVERYWHERE = 1_000


def some_day():
    return datetime(2024, 3, 1, tzinfo=UTC)


@pytest.fixture(scope="session")
def knowledge():
    found, problems = read_knowledge(FOLDER)
    assert not [p for p in problems if p.severity == "error"]
    return found


@pytest.fixture(scope="session")
def charted(knowledge):
    """Return the chart of no water in one of the two systems."""

    made = {}

    def chart(faults="one", depth=3, evidence=NO_WATER):
        key = (faults, depth, repr(evidence))
        if key not in made:
            made[key] = new(faults, depth, evidence)
        return made[key]

    def new(faults, depth, evidence):
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("FAULTNET_CACHE", "")
            subject = make_subject(knowledge, f"weir-lane-{faults}")
        wanted = Wanted("technician", depth, 0.9, EVERYWHERE)
        return make_chart(subject, evidence, wanted, some_day)

    return chart


@pytest.fixture(scope="session", params=["one", "several"])
def chart(charted, request):
    return charted(request.param)
