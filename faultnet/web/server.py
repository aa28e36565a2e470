"""The server: as uvicorn makes it, and whoever listens is told when it stops."""

import socket
import sys

import uvicorn
from starlette.applications import Starlette

from faultnet.web.app import application
from faultnet.web.settings import Settings
from faultnet.web.watch import WATCHES

TURNS = 0.0005
"""Seconds after which a thread that reckons lets another have its turn: a tenth of Python's own."""


class Server(uvicorn.Server):
    """A server of the application; without this it would wait for streams that never end."""

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Have all streams end, then stop as usual."""
        for watch in tuple(WATCHES):
            watch.end()
        await super().shutdown(sockets)


def made(settings: Settings) -> Starlette:
    """Return the application, made in the process that runs it."""
    sys.setswitchinterval(TURNS)
    return application(settings)
