"""What is loaded: `faultnet serve` as it is started by hand, and a server that answers a constant.

Both are processes of their own on a free port of this machine; the memory and the seconds of
the processor of each are read from the system (Linux).
"""

import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Self

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
PAGE = os.sysconf("SC_PAGE_SIZE")
TICKS = os.sysconf("SC_CLK_TCK")

BARE = """
import json, socket, uvicorn
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Route
opened = socket.create_server(("127.0.0.1", 0))
print(json.dumps({"address": f"http://127.0.0.1:{opened.getsockname()[1]}"}), flush=True)
app = Starlette(routes=[Route("/", lambda request: PlainTextResponse("constant"))])
uvicorn.Server(uvicorn.Config(app, log_level="warning", ws="none")).run([opened])
"""
"""The bare framework; like ours it answers from a thread."""


class Running:
    """A server that runs, with where it is and what it takes."""

    def __init__(self, process: subprocess.Popen[str], address: str) -> None:
        self.process = process
        self.address = address

    def memory(self) -> float:
        """MiB that it and its workers hold in memory."""
        pages = (_words(pid, "statm")[1] for pid in self._family())
        return sum(map(int, pages)) * PAGE / 2**20

    def busy(self) -> float:
        """Seconds of the processor that it and its workers have taken."""
        ticks = (_words(pid, "stat") for pid in self._family())
        return sum(int(words[13]) + int(words[14]) for words in ticks) / TICKS

    def _family(self) -> list[int]:
        """Itself and all that it has started; a list of children is not whole while one ends."""
        alive = [int(entry.name) for entry in Path("/proc").iterdir() if entry.name.isdigit()]
        parents = {pid: int(_words(pid, "stat")[3]) for pid in alive}
        found = [self.process.pid]
        for pid in found:
            found += [child for child, parent in parents.items() if parent == pid]
        return found


class Memory:
    """Samples of the memory of a server, one each second, while it is entered."""

    def __init__(self, running: Running) -> None:
        self._running = running
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._sample, daemon=True)
        self.samples: list[tuple[float, float]] = []

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()

    def slope(self, since: float) -> float:
        """MiB per minute, of the line through the samples after some seconds (least squares)."""
        late = [sample for sample in self.samples if sample[0] >= since]
        if len(late) < 2:
            return 0.0
        seconds, held = np.array(late).T
        return float(np.polyfit(seconds / 60.0, held, 1)[0])

    def _sample(self) -> None:
        start = time.monotonic()
        while not self._over.wait(1.0):
            self.samples.append((time.monotonic() - start, self._running.memory()))


@contextlib.contextmanager
def serving(store: str, folder: Path, workers: int) -> Iterator[Running]:
    """Run `faultnet serve` on a store; yield it once it answers."""
    line = ["-m", "faultnet", "serve", "--port", "0", "--json"]
    line += ["--workers", str(workers)] if workers > 1 else []
    with _started(line, environment(store, folder)) as running:
        yield running


@contextlib.contextmanager
def bare() -> Iterator[Running]:
    """Run Starlette on uvicorn answering a constant; yield it once it answers."""
    with _started(["-c", BARE], dict(os.environ)) as running:
        yield running


def environment(store: str, folder: Path) -> dict[str, str]:
    """Return the variables of a faultnet that keeps all it has in one folder."""
    places = {"STORE": store, "DATA": str(folder), "CACHE": str(folder / "cache")}
    return {**os.environ, **{f"FAULTNET_{name}": place for name, place in places.items()}}


@contextlib.contextmanager
def _started(line: list[str], environment: dict[str, str]) -> Iterator[Running]:
    process = subprocess.Popen(
        [sys.executable, *line], cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True
    )
    try:
        yield Running(process, _address(process))
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(30.0)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _address(process: subprocess.Popen[str]) -> str:
    """Return the address that a server says when it listens."""
    assert process.stdout is not None
    told = ""
    for line in process.stdout:
        told += line
        with contextlib.suppress(json.JSONDecodeError):
            return str(json.loads(told)["address"])
    raise RuntimeError("the server did not start; it says why above")


def _words(pid: int, name: str) -> list[str]:
    """Return the fields of a file about a process; the second of `stat` may hold blanks."""
    try:
        text = Path(f"/proc/{pid}/{name}").read_text()
    except OSError:
        return ["0"] * 20
    before, _, after = text.rpartition(")")
    return ["0", before, *after.split()] if before else text.split()
