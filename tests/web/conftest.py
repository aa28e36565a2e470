"""The application on a store of its own, and a program or browser that asks it."""

import pytest
from starlette.testclient import TestClient

from faultnet.authoring.shipped import shipped_folder
from faultnet.web.app import application
from faultnet.web.settings import Settings
from tests.cases.conftest import server, where
from tests.cli.conftest import _own_places, faultnet
from tests.web import serving

__all__ = ["_own_places", "faultnet", "server", "where"]

HOME = "http://localhost:8017"


def served(folder):
    """Return the application with its store in a folder."""
    return application(Settings(folder, shipped_folder(), f"sqlite:///{folder / 'cases.db'}"))


def client(folder):
    """Return a browser over an empty store in a folder."""
    return TestClient(served(folder), base_url=HOME)


@pytest.fixture
def browser(tmp_path):
    with client(tmp_path) as browser:
        yield browser


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A browser and the address of a case that is looked at and never answered."""
    with client(tmp_path_factory.mktemp("opened")) as browser:
        yield browser, browser.post("/new", data={"system": "jet-pump-cistern"}).url.path


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """The address of a real server over an empty store."""
    with serving.served(tmp_path_factory.mktemp("store")) as address:
        yield address


@pytest.fixture(scope="module")
def chromium():
    """A real browser."""
    with serving.browser() as chromium:
        yield chromium


@pytest.fixture(autouse=True)
def _cheap(monkeypatch):
    """Have passwords compared without their costs; those are tested in tests/accounts."""
    at = "faultnet.accounts.password"
    monkeypatch.setattr(f"{at}.hashed", lambda word: f"hash {hash(word)}")
    monkeypatch.setattr(f"{at}.agrees", lambda kept, word: kept == f"hash {hash(word)}")
    monkeypatch.setattr(f"{at}.is_weak", lambda _: False)


def read(office, case, writer):
    """Return a case as the visit of a writer."""
    subject, log = office.kept(case)
    return office.visit(subject, log.entries, writer)
