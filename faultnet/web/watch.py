"""Whoever listens to a case, and the one look at the store that serves them all."""

import asyncio
from collections.abc import Callable, Collection, Mapping
from functools import partial
from typing import ParamSpec, TypeVar
from weakref import WeakSet

from anyio import CapacityLimiter
from anyio.to_thread import run_sync

from faultnet.cases.store.trouble import StoreError

P = ParamSpec("P")
T = TypeVar("T")

EVERY = 0.3
"""Seconds between two looks: what others write is to be seen within one."""

AFTER_TROUBLE = 3.0
"""Seconds to the next look when the store did not answer."""

MOST = 60
"""Who may listen at once; the rest of the server's connections stay free for requests."""

OF_ONE = 20
"""How often the same person or program may listen at once."""

THREADS = 2
"""Threads that read the store for all who listen; those of the pages stay free."""

Reached = Callable[[Collection[str]], Mapping[str, int]]
"""How far each of some logs has come in the store; raises ``StoreError``."""


class FullError(Exception):
    """Too many listen already."""


class Listener:
    """Somebody who waits for what is kept of a log after a place."""

    def __init__(self, who: str, log: str, place: int) -> None:
        self.who = who
        self.log = log
        self.place = place
        self.over = False
        """Whether the server is about to stop."""
        self._news = asyncio.Event()

    async def wait(self, seconds: float) -> None:
        """Wait for news, or for so long."""
        try:
            async with asyncio.timeout(seconds):
                await self._news.wait()
        except TimeoutError:
            return
        self._news.clear()

    def wake(self) -> None:
        """Have it look at what there is."""
        self._news.set()


WATCHES: "WeakSet[Watch]" = WeakSet()
"""Every watch of this process, so that a server that stops can let their listeners go."""


class Watch:
    """All who listen within one process.

    While there is anybody, one task asks the store every ``EVERY`` seconds how far their
    cases have come: a single row for each case, from either kind of database, whichever
    process wrote it. Everything but that look waits without a thread.
    """

    def __init__(self) -> None:
        WATCHES.add(self)
        self._listeners: set[Listener] = set()
        self._threads: CapacityLimiter | None = None
        self._looking: asyncio.Task[None] | None = None

    async def aside(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Do something with the store in one of the few threads for it; raise as it does."""
        if self._threads is None:
            self._threads = CapacityLimiter(THREADS)
        return await run_sync(partial(work, *args, **kwargs), limiter=self._threads)

    def listen(self, listener: Listener, reached: Reached) -> None:
        """Take somebody in; raise ``FullError``."""
        own = sum(each.who == listener.who for each in self._listeners)
        if len(self._listeners) >= MOST or own >= OF_ONE:
            raise FullError
        self._listeners.add(listener)
        if self._looking is None or self._looking.done():
            self._looking = asyncio.create_task(self._look(reached))

    def leave(self, listener: Listener) -> None:
        """Let somebody go, once or more often."""
        self._listeners.discard(listener)

    def end(self) -> None:
        """Tell all who listen that it is over; from the thread of the server only."""
        for each in self._listeners:
            each.over = True
            each.wake()

    async def _look(self, reached: Reached) -> None:
        while self._listeners:
            await asyncio.sleep(EVERY)
            try:
                now = await self.aside(reached, {each.log for each in self._listeners})
            except StoreError:
                await asyncio.sleep(AFTER_TROUBLE)
                continue
            for each in self._listeners:
                if now.get(each.log, 0) > each.place:
                    each.wake()
