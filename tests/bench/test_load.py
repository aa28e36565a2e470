"""A few seconds of the load: nothing that was acknowledged may be lost or kept twice."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
SHORT = ("--minutes", "0.08", "--browsers", "4", "--pause", "0.2", "--rounds", "0")


def test_nothing_is_lost():
    done = subprocess.run(
        [sys.executable, "bench/load.py", *SHORT, "--accounts", "1"],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "wrong: 0" in done.stdout
