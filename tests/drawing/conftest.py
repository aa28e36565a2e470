"""The shipped knowledge, read once, and a system of it."""

from pathlib import Path

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from tests.web import serving

ROOT = Path(__file__).parents[2]
CISTERN = "jet-pump-cistern"


@pytest.fixture(scope="session")
def cistern(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
        knowledge, problems = read_knowledge(ROOT / "knowledge")
        assert not [each for each in problems if each.severity == "error"]
        return make_subject(knowledge, CISTERN)


@pytest.fixture(scope="module")
def chromium():
    """A real browser."""
    with serving.browser() as chromium:
        yield chromium
