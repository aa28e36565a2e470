"""Processes of this machine that answer; one that dies costs nothing but time."""

import os
import signal
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from itertools import chain, islice
from threading import Thread
from typing import TYPE_CHECKING, Any, TypeVar

from faultnet.sharing.flow import Done, LostError, done, flow
from faultnet.sharing.one_thread import one_thread

if TYPE_CHECKING:
    from concurrent.futures import Future
    from multiprocessing.connection import Connection

T = TypeVar("T")
R = TypeVar("R")

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


def answered(do: Callable[[T], R], asked: Iterable[T], workers: int) -> Iterator[R]:
    """Yield what ``do`` makes of each, in order; shared among so many processes.

    ``do`` goes to every process once, and what it keeps by itself is kept there. What it
    raises is raised here. Raises ``WorkerDiedError`` where a question takes its process along.
    """
    one_thread()
    asked = iter(asked)
    first = list(islice(asked, workers))
    if len(first) < 2:
        yield from map(do, first)
        yield from map(do, asked)
        return
    yield from flow(Processes(do, len(first)), chain(first, asked))


class Processes:
    """So many processes, begun anew where one of them dies."""

    spell = 0.1
    tries = 3

    def __init__(self, do: Callable[[Any], Any], count: int) -> None:
        self._do, self._count = do, count
        self._begin()

    def room(self) -> int:
        """Return how many bundles may be under way."""
        return 4 * self._count

    def send(self, bundle: tuple[Any, ...]) -> "Future[Done]":
        """Have a bundle answered."""
        from concurrent.futures import BrokenExecutor, Future

        try:
            return self._pool.submit(_done, bundle)
        except BrokenExecutor as error:
            broken: Future[Done] = Future()
            broken.set_exception(error)
            return broken

    def answer(self, promise: "Future[Done]") -> Done:
        """Wait for what was sent; raise ``LostError`` where a process died."""
        from concurrent.futures import BrokenExecutor

        try:
            return promise.result()
        except BrokenExecutor as error:
            reason = "Most often the memory ran out: take fewer --workers."
            raise LostError(f"ended its process {self.tries} times. {reason}") from error

    def is_there(self, promise: "Future[Done]") -> bool:
        """Return whether the answer has come."""
        return promise.done() and not promise.cancelled() and promise.exception() is None

    def begin_again(self) -> None:
        """End the processes that are left, and start others."""
        self.leave()
        self._begin()

    def leave(self) -> None:
        """End the processes at once."""
        with suppress(OSError):
            self._told.send_bytes(b"end")
        self._pool.shutdown(cancel_futures=True)
        self._told.close()
        self._heard.close()

    def _begin(self) -> None:
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import Pipe

        self._heard, self._told = Pipe(duplex=False)
        given = (self._do, os.getpid(), self._heard)
        self._pool = ProcessPoolExecutor(self._count, initializer=_begin, initargs=given)


def _begin(do: Callable[[Any], Any], parent: int, heard: "Connection") -> None:
    """Keep what is asked of this process; it ends when its parent says so, or is gone."""
    _given[:] = [do]
    one_thread()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_leave_after, args=(parent, heard), daemon=True).start()


def _leave_after(parent: int, heard: "Connection") -> None:
    """Leave once nobody would read the answers: what is told is left for the others to hear."""
    while os.getppid() == parent and not heard.poll(WATCHED):
        pass
    os._exit(1)


def _done(bundle: tuple[Any, ...]) -> Done:
    return done(_given[0], bundle)
