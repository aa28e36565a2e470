"""Many questions shared among processes; the answers come in the order of the questions."""

import os
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from threading import Thread
from typing import Any, TypeVar

T = TypeVar("T")
R = TypeVar("R")

FEW = 8
"""So many questions are answered here: processes of their own would take longer to start."""

WATCHED = 1.0
"""Seconds between looks whether the process that asked is still there."""

_given: list[Callable[[Any], object]] = []
"""What a process of its own answers with, once it was given."""


def processors() -> int:
    """Return how many processors this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:
        return os.cpu_count() or 1


def answered(do: Callable[[T], R], asked: Sequence[T], workers: int) -> Iterator[R]:
    """Yield what ``do`` makes of each, in order; shared among so many processes.

    ``do`` goes to every process once, and what it keeps by itself is kept there. What it
    raises is raised here.
    """
    workers = min(workers, len(asked) // FEW)
    if workers < 2:
        yield from map(do, asked)
        return
    from concurrent.futures import ProcessPoolExecutor

    pool = ProcessPoolExecutor(workers, initializer=_begin, initargs=(do, os.getpid()))
    try:
        found = pool.map(_one, asked, chunksize=max(1, min(4, len(asked) // (8 * workers))))
        for question, (done, answer) in zip(asked, found, strict=True):
            yield answer if done else do(question)
    finally:
        pool.shutdown(cancel_futures=True)


def _begin(do: Callable[[Any], Any], parent: int) -> None:
    """Keep what is asked of this process; it ends when its parent says so, or is gone."""
    _given[:] = [do]
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_leave_after, args=(parent,), daemon=True).start()


def _leave_after(parent: int) -> None:
    """Leave once the parent is gone, for nobody would read the answers."""
    while os.getppid() == parent:
        time.sleep(WATCHED)
    os._exit(1)


def _one(asked: object) -> tuple[bool, Any]:
    """Return the answer; an error does not cross to another process: it is met there again."""
    with suppress(Exception):
        return True, _given[0](asked)
    return False, None
