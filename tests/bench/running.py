"""A script of the bench, run as one types it."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def told_by(script, *asked):
    """Return what a script told; it must have come to its end without a fault."""
    done = subprocess.run(
        [sys.executable, f"bench/{script}", *asked],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout
