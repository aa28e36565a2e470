"""A small system for cases to be about, and a server where one can be had."""

from pathlib import Path

import pytest

from faultnet.authoring.store import load
from tests.cases.conftest import server, small

__all__ = ["server", "small"]


@pytest.fixture(scope="session")
def knowledge():
    """The small knowledge of the tests of authoring."""
    return load(Path(__file__).parents[1] / "authoring/knowledge")
