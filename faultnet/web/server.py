"""The server: as uvicorn makes it, and whoever listens is told when it stops."""

import socket

import uvicorn

from faultnet.web.watch import WATCHES


class Server(uvicorn.Server):
    """A server of the application; without this it would wait for streams that never end."""

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Have all streams end, then stop as usual."""
        for watch in tuple(WATCHES):
            watch.end()
        await super().shutdown(sockets)
