"""A small world to visit, read once; its cache belongs to the tests alone."""

from pathlib import Path

import pytest

from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.shipped import shipped_folder
from faultnet.cases.events import Opened, Passed
from faultnet.visit.visit import Visit
from tests.visit.press import opened, press

SMALL = Path(__file__).parent / "knowledge"


@pytest.fixture(scope="session")
def _cache(tmp_path_factory: pytest.TempPathFactory):
    patch = pytest.MonkeyPatch()
    patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
    yield
    patch.undo()


@pytest.fixture(scope="session")
def small(_cache) -> Subject:
    knowledge, _ = read_knowledge(SMALL)
    assert knowledge is not None
    return make_subject(knowledge, "small-pump")


@pytest.fixture(scope="session")
def shipped(_cache) -> Subject:
    knowledge, _ = read_knowledge(shipped_folder())
    assert knowledge is not None
    return make_subject(knowledge, "jet-pump-cistern")


@pytest.fixture
def fresh(small: Subject) -> Visit:
    """Return a visit of which nothing but the beginning is known."""
    return opened(small, Opened("small-pump"))


@pytest.fixture
def begun(fresh: Visit) -> Visit:
    """Return a visit without danger, its layout skipped, at the list of what is seen;
    everything is at hand."""
    return press(fresh, "n", "s").after(Passed("take-along"))
