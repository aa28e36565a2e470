"""The server: as uvicorn makes it, and whoever listens is told when it stops."""

import signal
import socket
import sys
from collections.abc import Callable
from multiprocessing import parent_process
from types import FrameType

import uvicorn
from starlette.applications import Starlette

from faultnet.web.app import application
from faultnet.web.heap import share_heap
from faultnet.web.settings import Settings
from faultnet.web.watch import WATCHES

TURNS = 0.0005
"""Seconds after which a thread that reckons lets another have its turn: a tenth of Python's own."""


class Server(uvicorn.Server):
    """A server of the application; without this it would wait for streams that never end."""

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Have all streams end, then stop as usual."""
        _end_streams()
        await super().shutdown(sockets)


def made(settings: Settings) -> Starlette:
    """Return the application, made in the process that runs it."""
    share_heap()
    sys.setswitchinterval(TURNS)
    if parent_process() is not None:
        _listen_for_the_end()
    return application(settings)


def _end_streams() -> None:
    for watch in tuple(WATCHES):
        watch.end()


def _listen_for_the_end() -> None:
    """Have streams end when a worker is told to stop: it has a server of uvicorn's own."""
    for number in (signal.SIGINT, signal.SIGTERM):
        stop = signal.getsignal(number)
        if callable(stop):
            signal.signal(number, _ending_first(stop))


def _ending_first(
    stop: Callable[[int, FrameType | None], object],
) -> Callable[[int, FrameType | None], None]:
    def told(number: int, frame: FrameType | None) -> None:
        _end_streams()
        stop(number, frame)

    return told
