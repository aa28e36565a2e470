"""Measure how long a command takes from a cold shell, against a bare import.

Run ``python bench/cold_start.py``. Each round starts the bare import and every command
once, one after the other, so that a busy machine slows all alike; medians are compared.
The knowledge is in the cache (of its own, thrown away afterwards) before the clock runs,
and so is the byte code, as after any first start.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import click

BARE = ("-c", "import numpy, yaml, click")
ALLOWED = 3.0
"""`rank` and `next` may take this many times as long as the bare import."""
SEEN = ("jet-pump-cistern", "-f", "never-shuts-off=yes", "-f", "gauge-falls-isolated=yes")
SAFE = ("--made-safe", "never-shuts-off")
COMMANDS = {
    "rank": ("rank", *SEEN),
    "next, danger open": ("next", *SEEN),
    "next, made safe": ("next", *SEEN, *SAFE),
    "rank, nothing said": ("rank", "jet-pump-cistern"),
    "next, nothing said": ("next", "jet-pump-cistern"),
    "--help": ("--help",),
    "rank --help": ("rank", "--help"),
}
HEAVY = ("numpy", "pgmpy", "sqlalchemy", "yaml")
"""What help must not import."""


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=15, help="starts of each command")
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as cache:
        environment = {**os.environ, "FAULTNET_CACHE": cache, "PYTHONPYCACHEPREFIX": cache}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        report(measured(environment, runs))
        for name in ("--help", "rank --help"):
            click.echo(
                f"{name} imports of {', '.join(HEAVY)}: {heavy(environment, name) or 'none'}"
            )


def measured(environment: dict[str, str], runs: int) -> dict[str, list[float]]:
    """Return the seconds of each start, by name; the bare import is called ``bare``."""
    lines = {name: ("-m", "faultnet", *arguments) for name, arguments in COMMANDS.items()}
    lines["bare"] = BARE
    for line in lines.values():
        seconds(line, environment)
    taken: dict[str, list[float]] = {name: [] for name in lines}
    for _ in range(runs):
        for name, line in lines.items():
            taken[name].append(seconds(line, environment))
    return taken


def seconds(line: tuple[str, ...], environment: dict[str, str]) -> float:
    """Return the seconds from start to end of a process that must succeed."""
    start = time.perf_counter()
    _run(line, environment)
    return time.perf_counter() - start


def heavy(environment: dict[str, str], name: str) -> list[str]:
    """Return which of the heavy packages a command imports."""
    line = ("-X", "importtime", "-m", "faultnet", *COMMANDS[name])
    told = _run(line, environment).stderr
    imported = {line.rpartition("|")[2].strip() for line in told.splitlines()}
    return [package for package in HEAVY if package in imported]


def report(taken: dict[str, list[float]]) -> None:
    """Print medians, spread and ratios."""
    bare = statistics.median(taken["bare"])
    click.echo(
        f"{'':<20} {'median':>9} {'fastest':>9} {'slowest':>9} {'ratio':>7}   of {BARE[1]!r}"
    )
    for name, each in taken.items():
        middle = statistics.median(each)
        figures = "".join(f"{1000 * t:>7.0f} ms" for t in (middle, min(each), max(each)))
        click.echo(f"{name:<20}{figures} {middle / bare:>7.2f}")
    click.echo(f"allowed for rank and next: {ALLOWED:.2f}; {len(taken['bare'])} starts of each")


def _run(line: tuple[str, ...], environment: dict[str, str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *line],
        check=True,
        capture_output=True,
        text=True,
        env=environment,
        cwd=Path(__file__).resolve().parent.parent,
    )


if __name__ == "__main__":
    main()
