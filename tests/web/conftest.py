"""A browser without script, over an empty store and the shipped knowledge."""

import pytest
from starlette.testclient import TestClient

from faultnet.authoring.shipped import shipped_folder
from faultnet.web.app import application
from faultnet.web.settings import Settings


@pytest.fixture(scope="session", autouse=True)
def _cache(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def browser(tmp_path):
    settings = Settings(tmp_path, shipped_folder(), f"sqlite:///{tmp_path / 'cases.db'}")
    with TestClient(application(settings), base_url="http://localhost:8017") as client:
        yield client
