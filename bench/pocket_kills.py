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
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import click

import faultnet.pocket

PAGE = Path(faultnet.pocket.__file__).parent / "page"
SCRIPT = Path(__file__).with_suffix(".js")
BODY = b'<!doctype html><title>kills</title><script type="module" src="/kills.js"></script>'
CASE = "20260304-0731-k7m2p"
WORDS = "mill pond weir lane"
MARK = b"Weir Lane"
MODES = ("plain", "locked", "setting")
LOOK = "look"
"""The page tells what it finds and writes nothing."""

PATIENCE = 60.0
"""Seconds after which a browser that tells nothing is a fault."""

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


@dataclass
class Tally:
    """What was seen, added up over the kills."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    doubled: int = 0
    spoilt: int = 0
    unsent_again: int = 0
    damaged: int = 0
    words_wrong: int = 0
    kept_unacknowledged: int = 0
    killed_while_words_changed: int = 0
    files_in_the_clear: int = 0

    @property
    def bad(self) -> int:
        """What must be nothing."""
        wrong = (self.lost, self.doubled, self.spoilt, self.unsent_again, self.damaged)
        return sum(wrong) + self.words_wrong


@dataclass
class Heard:
    """What pages told: ``begun``, ``kept`` and ``sent`` events, and whether there are ``words``."""

    kept: set[str] = field(default_factory=set)
    sent: set[str] = field(default_factory=set)
    begun: set[str] = field(default_factory=set)
    words: bool = False
    changing: bool = False
    run: int = 0
    transactions: int = 0
    found: bool = False
    trouble: str = ""
    tally: Tally = field(default_factory=Tally)
    changed: threading.Condition = field(default_factory=threading.Condition)

    def take(self, what: str, run: int, given: Any) -> None:
        """Take in what the page of this run told; what an older one told comes too late."""
        with self.changed:
            if run != self.run:
                return
            self.transactions += what in ("kept", "sent")
            if what in ("kept", "sent", "begun"):
                getattr(self, what).update(given)
            elif what in ("setting", "set"):
                self.changing = what == "setting"
                self.words = given[0] if what == "set" else self.words
            elif what == "found":
                self._compare(given)
            else:
                self.trouble = given
            self.tally.acknowledged += len(given) if what == "kept" else 0
            self.changed.notify_all()

    def _compare(self, found: dict[str, Any]) -> None:
        """Compare what a browser found when it was opened with what was acknowledged before."""
        tally, times = self.tally, Counter(entry["id"] for entry in found["entries"])
        tally.lost += len(self.kept - times.keys())
        tally.doubled += sum(number - 1 for number in times.values())
        tally.spoilt += sum(e["event"]["text"] != text_of(e["id"]) for e in found["entries"])
        tally.spoilt += len(times.keys() - self.begun)
        tally.unsent_again += len(self.sent & set(found["unsent"]))
        tally.damaged += len(found["damaged"])
        tally.words_wrong += not self.changing and found["hasWords"] != self.words
        tally.killed_while_words_changed += self.changing
        tally.kept_unacknowledged += len(times.keys() - self.kept)
        self.kept |= times.keys()  # what is there now has to stay
        self.words, self.changing, self.found = found["hasWords"], False, True

    def next_run(self) -> int:
        """Count a run, whose page alone is heard from now on."""
        with self.changed:
            self.run, self.found = self.run + 1, False
            return self.run

    def wait(self, until: Callable[[], bool]) -> None:
        """Return once something holds; raise where the page tells trouble, or nothing at all."""
        with self.changed:
            if not self.changed.wait_for(lambda: self.trouble or until(), PATIENCE):
                raise TimeoutError("the page tells nothing")
            if self.trouble:
                raise RuntimeError(self.trouble)


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


@contextmanager
def serving(heard: Heard) -> Iterator[int]:
    """Serve the page; yield the port."""
    handler = partial(Files, heard, directory=PAGE)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
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


def text_of(name: str) -> str:
    """Return the text of an event by its id."""
    number = int(name.removeprefix("e-"))
    return f"{MARK.decode()} {number} {'x' * (number * 7919 % 3000)}"


def in_the_clear(profile: Path) -> int:
    """Return how many files of a profile have the mark of an event in them."""
    files = (path.read_bytes() for path in profile.rglob("*") if path.is_file())
    return sum(MARK in data or MARK.decode().encode("utf-16-le") in data for data in files)


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
