"""Kill the browser in the middle of keeping, again and again, and look what it kept.

    python bench/pocket_kills.py --kills 100
    python bench/pocket_kills.py --kills 100 --mode setting --seed 3

Chromium runs with a profile of its own on a page that writes events without end. After each event
that ``kept.js`` said is kept, the page tells this program so. At a random moment all processes of
the browser are killed at once (SIGKILL), then it is started anew and tells what it finds:
everything acknowledged must be there, once, whole.

Modes: ``plain``; ``locked``, with words; ``setting``, where words are set and taken away all the
time. A kill shows that nothing waits in the browser's own memory. What the operating system has
and the disk does not is not lost by a kill: ``bench/pocket_syncs.py`` counts that it is written.
"""

import argparse
import http.server
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import click
from pocket_heard import MARK, PATIENCE, Heard, Tally

import faultnet.pocket

PAGE = Path(faultnet.pocket.__file__).parent / "page"
SCRIPT = Path(__file__).with_suffix(".js")
BODY = b'<!doctype html><title>kills</title><script type="module" src="/kills.js"></script>'
CASE = "20260304-0731-k7m2p"
WORDS = "mill pond weir lane"
MODES = ("plain", "locked", "setting")
LOOK = "look"
"""The page tells what it finds and writes nothing."""

LONGEST = 1.5
"""Seconds from the first event that is kept to the kill, at most."""

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--remote-debugging-port=0",
)


class Files(http.server.SimpleHTTPRequestHandler):
    """Serves the page and hears what it tells."""

    def __init__(self, heard: Heard, *given: Any, **more: Any) -> None:
        self.heard = heard
        super().__init__(*given, **more)

    def do_GET(self) -> None:
        """Serve the page, its script, or a script of the pocket."""
        path = self.path.split("?")[0]
        if path == "/":
            self._send(BODY, "text/html")
        elif path == "/kills.js":
            self._send(SCRIPT.read_bytes(), "text/javascript")
        else:
            super().do_GET()

    def do_POST(self) -> None:
        """Hear something."""
        told = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        self.heard.take(self.path.rpartition("/")[2], told["run"], told["given"])
        self._send(b"", "text/plain")

    def log_message(self, *_: Any) -> None:
        """Say nothing."""

    def _send(self, body: bytes, media: str) -> None:
        self.send_response(200)
        self.send_header("Content-Type", media)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


class Server(http.server.ThreadingHTTPServer):
    """Takes it as it is that a browser goes away in the middle."""

    daemon_threads = True

    def handle_error(self, *_: Any) -> None:
        """Leave out what a kill does to a connection; all else is told."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(*_)


@contextmanager
def serving(heard: Heard) -> Iterator[int]:
    """Serve the page; yield the port."""
    handler = partial(Files, heard, directory=PAGE)
    with Server(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield server.server_port
        finally:
            server.shutdown()


@contextmanager
def browser(profile: Path, address: str, *before: str) -> Iterator[subprocess.Popen[bytes]]:
    """Run a browser on a page in a group of its own, and kill that group at the end."""
    command = [*before, shutil.which("chromium") or "chromium", *FLAGS]
    command += [f"--user-data-dir={profile}", address]
    with subprocess.Popen(
        command, start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as process:
        try:
            yield process
        finally:
            os.killpg(process.pid, signal.SIGKILL)
            _wait_for_end(profile)


def _wait_for_end(profile: Path) -> None:
    """Return once no process has the profile any more; those outside the group are killed too."""
    end = time.monotonic() + PATIENCE
    while left := [pid for pid in _processes() if _has(pid, profile)]:
        for pid in left:
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                continue
        if time.monotonic() > end:
            raise TimeoutError("the browser does not end")
        time.sleep(0.02)


def _processes() -> list[int]:
    return [int(path.name) for path in Path("/proc").iterdir() if path.name.isdecimal()]


def _has(pid: int, profile: Path) -> bool:
    try:
        words = Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return False
    return f"--user-data-dir={profile}".encode() in words.split(b"\0")


def run(heard: Heard, port: int, profile: Path, mode: str, wait: float = 0.0) -> None:
    """Start the browser, let it tell what it finds and write, and kill it ``wait`` s later."""
    number, before = heard.next_run(), heard.tally.acknowledged
    asked = urlencode({"run": number, "mode": mode, "words": WORDS, "log": CASE})
    with browser(profile, f"http://localhost:{port}/?{asked}"):
        heard.wait(lambda: heard.found and (mode == LOOK or heard.tally.acknowledged > before))
        time.sleep(wait)


def in_the_clear(profile: Path) -> int:
    """Return how many files of a profile have the mark of an event in them."""
    files = (path.read_bytes() for path in profile.rglob("*") if path.is_file())
    forms = [MARK.encode(), MARK.encode("utf-16-le")]
    return sum(any(form in data for form in forms) for data in files)


def kills(number: int, mode: str, seed: int, profile: Path) -> Tally:
    """Kill the browser so often in one profile; return what was seen."""
    heard, dice = Heard(), random.Random(f"{mode} {seed}")
    with serving(heard) as port:
        for kill in range(1, number + 1):
            run(heard, port, profile, mode, dice.uniform(0, LONGEST))
            heard.tally.kills = kill
        run(heard, port, profile, LOOK)
    heard.tally.files_in_the_clear = in_the_clear(profile)
    return heard.tally


def main() -> int:
    """Kill in each mode and print what was seen; 1 where anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=100, help="in each mode")
    parser.add_argument("--mode", choices=MODES, help="one mode only")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    bad = 0
    for mode in [given.mode] if given.mode else MODES:
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
            tally = kills(given.kills, mode, given.seed, Path(folder))
        bad += tally.bad + (mode == "locked" and tally.files_in_the_clear)
        figures = ", ".join(f"{name.replace('_', ' ')} {n}" for name, n in asdict(tally).items())
        click.echo(f"{mode}: {figures}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
