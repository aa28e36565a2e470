import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load


@pytest.fixture(scope="session")
def subject():
    return make_subject(load(shipped_folder()), "jet-pump-cistern")
