"""The application on a store of its own, and a program or browser that asks it."""

import pytest
from starlette.testclient import TestClient

from faultnet.authoring.shipped import shipped_folder
from faultnet.web.app import application
from faultnet.web.settings import Settings
from tests.cli.conftest import _own_places, faultnet

__all__ = ["_own_places", "faultnet"]

HOME = "http://localhost:8017"


def served(folder):
    """Return the application with its store in a folder."""
    return application(Settings(folder, shipped_folder(), f"sqlite:///{folder / 'cases.db'}"))


@pytest.fixture
def browser(tmp_path):
    with TestClient(served(tmp_path), base_url=HOME) as client:
        yield client
