"""The talk of the pocket over a small knowledge and over the shipped one."""

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.pocket.talk.answering import Talking
from tests.pocket.walker import Asking, Clock
from tests.visit.conftest import SMALL


@pytest.fixture(scope="session")
def _cache(tmp_path_factory):
    patch = pytest.MonkeyPatch()
    patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
    yield
    patch.undo()


@pytest.fixture(scope="session")
def small(_cache):
    """Knowledge of one system, ``small-pump``."""
    return read_knowledge(SMALL)[0]


@pytest.fixture(scope="session")
def shipped(_cache):
    """The knowledge that comes along."""
    return load(shipped_folder())


@pytest.fixture
def ask(small):
    """Ask a talk over the small knowledge."""
    return Asking(Talking(small, Clock()))
