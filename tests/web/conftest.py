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


def client(folder):
    """Return a browser over an empty store in a folder."""
    settings = Settings(folder, shipped_folder(), f"sqlite:///{folder / 'cases.db'}")
    return TestClient(application(settings), base_url="http://localhost:8017")


@pytest.fixture
def browser(tmp_path):
    with client(tmp_path) as browser:
        yield browser


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A browser and the address of a case that is looked at and never answered."""
    with client(tmp_path_factory.mktemp("opened")) as browser:
        yield browser, browser.post("/new", data={"system": "jet-pump-cistern"}).url.path
