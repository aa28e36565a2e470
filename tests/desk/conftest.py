"""The shipped knowledge and a call on it, made ready once."""

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.shipped import shipped_folder
from faultnet.cases.events import Opened
from tests.desk.callers import calling

CISTERN = "jet-pump-cistern"


@pytest.fixture(scope="session")
def subject(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
        knowledge, problems = read_knowledge(shipped_folder())
        assert not problems
        yield make_subject(knowledge, CISTERN)


@pytest.fixture
def begin(subject):
    """Begin a call with what has been said already."""

    def began(*events, trucks=()):
        return calling(subject, Opened(CISTERN, "caller", "caller"), *events, trucks=trucks)

    return began
