import pytest

from faultnet.advice.subjects import Subjects
from faultnet.authoring.store import load

SMALL = "tests/authoring/knowledge"


@pytest.fixture(scope="session")
def subjects(request):
    return Subjects(load(request.config.rootpath / SMALL))


@pytest.fixture(scope="session")
def knowledge(subjects):
    return subjects.knowledge
