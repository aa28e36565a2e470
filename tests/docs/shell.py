"""A shell that knows `faultnet`, in a folder and with a home of its own."""

import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from tests.docs.pages import ROOT

BASH = shutil.which("bash")


def shell_in(
    home: Path, *, knowledge: bool
) -> tuple[Callable[[str], "subprocess.CompletedProcess[str]"], Path]:
    """Return what runs lines in a shell, and the folder it runs them in."""
    here = home / "here"
    if knowledge:
        shutil.copytree(ROOT / "knowledge", here / "knowledge")
    else:
        here.mkdir()
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

    def run(line: str) -> "subprocess.CompletedProcess[str]":
        return subprocess.run(
            [BASH or "bash", "-c", line],
            capture_output=True,
            text=True,
            env=environment,
            cwd=here,
            check=False,
        )

    return run, here
