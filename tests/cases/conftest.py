"""A small world, a store in each kind of database, and a server where one can be had."""

import itertools
from pathlib import Path

import pytest

from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.cases.store.place import FILE, place_of
from faultnet.cases.store.store import Store
from tests.cases.server import Server, programs

SMALL = Path(__file__).parents[1] / "visit" / "knowledge"
_NUMBERS = itertools.count(1)


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Subject:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
        knowledge, _ = read_knowledge(SMALL)
        assert knowledge is not None
        return make_subject(knowledge, "small-pump")


@pytest.fixture(scope="session")
def server():
    folder = programs()
    if folder is None:
        pytest.skip("no PostgreSQL server on this machine (Debian: apt-get install postgresql)")
    server = Server(folder)
    yield server
    server.stop()


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request, tmp_path):
    """Name an empty database: a file, or one on the server."""
    if request.param == "sqlite":
        return str(tmp_path / FILE)
    server = request.getfixturevalue("server")
    return server.new_database(f"cases_{next(_NUMBERS)}")


@pytest.fixture
def file(tmp_path):
    """Name a file that is not there yet."""
    return tmp_path / FILE


@pytest.fixture
def store(where, tmp_path):
    with Store(place_of(where, tmp_path)) as store:
        yield store
