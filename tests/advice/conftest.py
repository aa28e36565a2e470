import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load


@pytest.fixture(scope="session")
def knowledge():
    return load(shipped_folder())


@pytest.fixture(scope="session")
def subject(knowledge):
    return make_subject(knowledge, "jet-pump-cistern")
