from pathlib import Path

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge

FOLDER = Path(__file__).with_name("knowledge")
SYSTEM = "mill-house"


@pytest.fixture(scope="session")
def house():
    """An invented house with a caller's repair, a part from the shop, a danger, a fitful sign."""
    knowledge, problems = read_knowledge(FOLDER)
    assert not problems
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", "")
        return make_subject(knowledge, SYSTEM)
