"""What pages show at a prompt runs, exits with 0 unless they say so, and shows what they show."""

import os
import re
import shlex
import shutil
import subprocess
import sys

import pytest

from tests.docs.pages import PAGES, ROOT, boxes, commands

BASH = shutil.which("bash")
EXITS = re.compile(r"\s+# exits (\d+)$")
SHOWING = [page for page in PAGES if boxes(page, "console")]


@pytest.fixture
def shell(tmp_path):
    """Run a line in a shell that knows ``faultnet``, in a folder that holds the knowledge."""
    home, here = tmp_path, tmp_path / "here"
    shutil.copytree(ROOT / "knowledge", here / "knowledge")
    program = home / "bin/faultnet"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m faultnet "$@"\n')
    program.chmod(0o755)
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("FAULTNET_", "XDG_"))}
    environment |= {
        "PATH": f"{program.parent}:{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "HOME": str(home),
        "COLUMNS": "80",
    }

    def run(line):
        return subprocess.run(
            [BASH, "-c", line],
            capture_output=True,
            text=True,
            env=environment,
            cwd=here,
            check=False,
        )

    return run


def test_there_are_examples():
    assert {"README", "for-the-dispatcher"} <= {page.stem for page in SHOWING}


@pytest.mark.parametrize("page", SHOWING, ids=lambda page: page.stem)
def test_page_does_as_it_says(page, shell):
    for typed, shown in (pair for box in boxes(page, "console") for pair in commands(box)):
        exits = EXITS.search(typed)
        line = EXITS.sub("", typed)
        done = shell(line)
        assert done.returncode == int(exits[1] if exits else 0), f"{line}\n{done.stderr}"
        for told in shown:
            assert told in done.stdout + done.stderr, f"{line}\n{done.stdout}{done.stderr}"
