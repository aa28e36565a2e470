"""A pocket of the shipped knowledge, made once and served; the talk of it, and over a small one."""

import fcntl
import os

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.pocket.making.core import Given
from faultnet.pocket.making.pocket import pocket
from faultnet.pocket.making.trouble import MakingError
from faultnet.pocket.making.written import write
from faultnet.pocket.talk.answering import Talking
from tests.cli.conftest import _own_places, faultnet
from tests.pocket import desk as at_desk
from tests.pocket.files import serving
from tests.pocket.walker import Asking, Clock
from tests.visit.conftest import SMALL
from tests.web.conftest import chromium

__all__ = ["_own_places", "chromium", "faultnet"]


@pytest.fixture(scope="session")
def _cache(tmp_path_factory):
    patch = pytest.MonkeyPatch()
    patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
    yield
    patch.undo()


@pytest.fixture(scope="session")
def small(_cache):
    """Knowledge of one system, ``small-pump``."""
    return read_knowledge(SMALL)[0]


@pytest.fixture(scope="session")
def shipped(_cache):
    """The knowledge that comes along."""
    return load(shipped_folder())


@pytest.fixture(scope="module")
def desk(shipped):
    """The page with the thinking of the desk behind it: no Python in the browser."""
    with at_desk.serving(shipped) as desk:
        yield desk


@pytest.fixture
def ask(small):
    """Ask a talk over the small knowledge."""
    return Asking(Talking(small, Clock()))


@pytest.fixture(scope="session")
def given(tmp_path_factory):
    """Where what runs Python in a browser is fetched to, once for all workers of a session."""
    home = tmp_path_factory.getbasetemp()
    alone = "PYTEST_XDIST_WORKER" not in os.environ
    return Given(kept=(home if alone else home.parent) / "pocket-core")


@pytest.fixture(scope="session")
def made(given, shipped):
    """A pocket of the shipped knowledge."""
    given.kept.mkdir(exist_ok=True)
    with (given.kept / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        try:
            return pocket(shipped, given)
        except MakingError as error:
            pytest.skip(f"{error} {error.mend}")


@pytest.fixture(scope="session")
def pocket_files(made, tmp_path_factory):
    """A folder with a pocket of the shipped knowledge; nobody writes there."""
    folder = tmp_path_factory.mktemp("pocket-files")
    write(made, folder)
    return folder


@pytest.fixture
def served(pocket_files):
    """The pocket on a plain file server."""
    with serving(pocket_files) as served:
        yield served
