"""Starting: what is imported, what every command tells of itself."""

import subprocess
import sys

import pytest

from faultnet.cli.table import COMMANDS
from tests.cli.conftest import ROOT, start

HEAVY = ("numpy", "pgmpy", "sqlalchemy", "yaml")

IMPORTED = """
import sys
from faultnet.cli.main import run
code = run(sys.argv[1:])
print([name for name in {heavy} if name in sys.modules], file=sys.stderr)
sys.exit(code)
"""


def imports(*arguments):
    """Return the heavy packages that a command imports, and its exit code."""
    done = subprocess.run(
        [sys.executable, "-c", IMPORTED.format(heavy=HEAVY), *arguments],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    return done.stderr.strip().splitlines()[-1], done.returncode


@pytest.mark.parametrize("arguments", [("--help",), ("--version",)])
def test_light(arguments):
    assert imports(*arguments) == ("[]", 0)


def test_where_reads_no_knowledge_and_reckons_nothing():
    assert imports("where") == ("['sqlalchemy']", 0)


@pytest.mark.parametrize("command", COMMANDS)
def test_help_is_light_and_has_an_example(command, faultnet):
    assert imports(command, "--help") == ("[]", 0)
    told = faultnet(command, "--help").out
    assert "Example" in told
    assert f"faultnet {command}" in told
    assert "--json" in told


@pytest.mark.parametrize("command", ["rank", "next"])
def test_an_answer_needs_neither_pgmpy_nor_rich_nor_yaml(command):
    start(command, "jet-pump-cistern")  # now the cache is warm
    assert imports(command, "jet-pump-cistern") == ("['numpy']", 0)


def test_every_command_is_listed_without_being_imported():
    told = start("--help").out
    for command, about in COMMANDS.items():
        assert f"  {command} " in told
        assert about.split()[0] in told


def test_nothing_said_is_help(faultnet):
    assert faultnet().code == 0
    assert faultnet().out == faultnet("--help").out


def test_version(faultnet):
    from faultnet import __version__

    assert faultnet("--version").out == f"faultnet {__version__}\n"


def test_started_as_a_module():
    ran = start("systems")
    assert (ran.code, ran.err) == (0, "")
    assert "jet-pump-cistern" in ran.out
