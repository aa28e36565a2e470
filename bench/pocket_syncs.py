"""Count how often the browser has the disk write what is kept, with and without strict durability.

    python bench/pocket_syncs.py

A kill does not take from the operating system what it has and the disk does not yet; an empty
battery does. So this counts the calls (``fdatasync``, seen by strace) on the files of the database
against the transactions that the page was told are complete.
"""

import shutil
import sys
import tempfile
from pathlib import Path
from urllib.parse import urlencode

import click
from pocket_heard import Heard
from pocket_kills import CASE, WORDS, browser, serving

ENOUGH = 200
"""Events that are kept before it is counted."""

DATABASE = "indexeddb.leveldb"


def counted(mode: str, folder: Path) -> tuple[int, int]:
    """Return the transactions that were told complete, and the calls on files of the database."""
    heard, trace = Heard(), folder / "trace"
    asked = urlencode({"run": heard.next_run(), "mode": mode, "words": WORDS, "log": CASE})
    watch = ("strace", "-f", "-y", "-e", "trace=fsync,fdatasync,msync", "-o", str(trace))
    with serving(heard) as port:
        address = f"http://localhost:{port}/?{asked}"
        with browser(folder / "profile", address, *watch):
            heard.wait(lambda: heard.tally.acknowledged > ENOUGH)
            transactions = heard.transactions
            calls = sum(DATABASE in line for line in trace.read_text().splitlines())
    return transactions, calls


def main() -> int:
    """Print the calls for each transaction, strict and relaxed; 1 where strict ones lack them."""
    if not shutil.which("strace"):
        raise SystemExit("strace is needed to see what the browser asks of the disk.")
    share = {}
    for mode in ("strict", "relaxed"):
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
            transactions, calls = counted(mode, Path(folder))
        share[mode] = calls / transactions
        click.echo(f"{mode}: {transactions} transactions, {calls} calls: {share[mode]:.2f} each")
    return 1 if share["strict"] < 1 else 0


if __name__ == "__main__":
    sys.exit(main())
