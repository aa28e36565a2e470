"""Completion in the shell: what it offers, and that it is silent and light without a cache."""

import os
import subprocess
import sys

import pytest

from tests.cli.conftest import CISTERN, ROOT, start


def offered(line, **environment):
    """Return what a shell is offered at the end of a line."""
    words = line.split(" ")
    done = subprocess.run(
        [sys.executable, "-m", "faultnet"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
        env={
            **os.environ,
            "_FAULTNET_COMPLETE": "bash_complete",
            "COMP_WORDS": line,
            "COMP_CWORD": str(len(words) - 1),
            **environment,
        },
    )
    assert done.stderr == ""
    return [each.partition(",")[2] for each in done.stdout.split()]


@pytest.fixture(scope="module", autouse=True)
def _warm():
    assert start("rank", CISTERN).code == 0


@pytest.mark.parametrize(
    ("line", "among"),
    [
        ("faultnet r", "rank"),
        ("faultnet rank ", CISTERN),
        ("faultnet next jet-", CISTERN),
        ("faultnet systems cist", "cistern-booster"),
        (f"faultnet rank {CISTERN} -f never-sh", "never-shuts-off=yes"),
        (f"faultnet rank {CISTERN} -f never-shuts-off=n", "never-shuts-off=no"),
        (f"faultnet rank {CISTERN} -f after-fr", "after-freeze=yes"),
        (f"faultnet rank {CISTERN} -l tank=", "tank=plain"),
        (f"faultnet rank {CISTERN} -m hold", "hold.start="),
        (f"faultnet rank {CISTERN} --mended clean-foot", "clean-foot-valve"),
        (f"faultnet next {CISTERN} --made-safe never", "never-shuts-off"),
        (f"faultnet next {CISTERN} --set-up hatch", "hatch-open"),
        (f"faultnet why {CISTERN} shaft-seal", "shaft-seal-leaks"),
        (f"faultnet rank {CISTERN} --lim", "--limit"),
        ("faultnet lint --explain shared", "shared-synonym"),
    ],
)
def test_offered(line, among):
    assert among in offered(line)


def test_only_what_the_system_can_have():
    assert "source=well" not in offered(f"faultnet rank {CISTERN} -l source")
    assert "source=well" in offered("faultnet rank jet-pump-shallow-well -l source")


def test_silent_without_a_cache(tmp_path):
    assert offered("faultnet rank ", FAULTNET_CACHE=str(tmp_path)) == []
    assert offered("faultnet rank ", FAULTNET_CACHE="") == []
    assert offered("faultnet rank ", FAULTNET_KNOWLEDGE=str(tmp_path / "none")) == []
    assert not any(tmp_path.iterdir())


def test_light(tmp_path):
    script = (
        "import sys, atexit\n"
        "heavy = ('numpy', 'pgmpy', 'rich', 'yaml')\n"
        "tell = lambda: print([n for n in heavy if n in sys.modules], file=sys.stderr)\n"
        "atexit.register(tell)\n"
        "from faultnet.cli.main import main\n"
        "main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
        env={
            **os.environ,
            "_FAULTNET_COMPLETE": "zsh_complete",
            "COMP_WORDS": f"faultnet rank {CISTERN} -f never-sh",
            "COMP_CWORD": "4",
        },
    )
    assert "never-shuts-off=yes" in done.stdout
    assert done.stderr == "[]\n"


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_script_for_the_shell(shell):
    ran = start(_FAULTNET_COMPLETE=f"{shell}_source")
    assert ran.code == 0
    assert "_FAULTNET_COMPLETE" in ran.out
