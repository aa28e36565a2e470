"""Threads of their own for what takes long to work out, few of them.

Whatever only reads and writes has other threads and never waits for these. More of them think no
faster, since one interpreter computes one thing at a time; a second lets a short thought pass by a
long one. How few bounds the memory as well, since each may need some dozen MiB.
"""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")

AT_ONCE = 2
"""Requests that are thought about at once; more wait, the first to come first."""


class Thinking:
    """The threads that think."""

    def __init__(self) -> None:
        self._threads = ThreadPoolExecutor(AT_ONCE, "thinking")

    async def about(self, work: Callable[P, T], *args: P.args, **more: P.kwargs) -> T:
        """Return what some work comes to, raise what it raises."""
        loop = asyncio.get_running_loop()
        run = copy_context().run
        return await loop.run_in_executor(self._threads, lambda: run(work, *args, **more))

    def close(self) -> None:
        """Let go of the threads once they are done; what waits is left."""
        self._threads.shutdown(cancel_futures=True)
