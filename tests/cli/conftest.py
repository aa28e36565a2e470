"""The command line run in this process or in one of its own, with a cache for the session."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from faultnet.cli.main import run

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "authoring" / "knowledge"
"""Small sound knowledge with the system ``jet-pump``."""
CISTERN = "jet-pump-cistern"


@pytest.fixture(scope="session", autouse=True)
def _own_places(tmp_path_factory):
    places = tmp_path_factory.mktemp("places")
    with pytest.MonkeyPatch.context() as patch:
        for variable in ("FAULTNET_CACHE", "FAULTNET_DATA", "XDG_STATE_HOME"):
            patch.setenv(variable, str(places / variable.lower()))
        for variable in (
            *("FAULTNET_KNOWLEDGE", "FAULTNET_STORE", "FAULTNET_AUTHOR"),
            *("NO_COLOR", "COLUMNS", "LINES"),
        ):
            patch.delenv(variable, raising=False)
        yield


class Ran:
    """What came of a command line."""

    def __init__(self, code, out, err):
        self.code, self.out, self.err = code, out, err

    @property
    def json(self):
        return json.loads(self.out)


@pytest.fixture
def faultnet(capsys):
    """Run arguments in this process."""

    def ran(*arguments):
        code = run([str(each) for each in arguments])
        told = capsys.readouterr()
        return Ran(code, told.out, told.err)

    return ran


@pytest.fixture
def small(faultnet):
    """Run a command on the small knowledge."""

    def ran(command, *arguments):
        return faultnet(command, "jet-pump", *arguments, "--knowledge", SMALL)

    return ran


def start(*arguments, **environment):
    """Run arguments in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "faultnet", *map(str, arguments)],
        capture_output=True,
        text=True,
        env={**os.environ, **environment},
        cwd=ROOT,
        check=False,
    )
    return Ran(done.returncode, done.stdout, done.stderr)
