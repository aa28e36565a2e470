"""How a server was asked to run."""

from pathlib import Path

import msgspec

LOOPBACK = ("localhost", "127.0.0.1", "::1")
"""Names of this machine that nobody else can reach."""


class Settings(msgspec.Struct, frozen=True):
    """Where the store and the knowledge lie, and on what the server listens.

    ``store`` is as in ``FAULTNET_STORE``; empty is the file in ``data``, the data folder.
    ``hosts`` are further names by which browsers reach the server.
    """

    data: Path
    knowledge: Path
    store: str = ""
    host: str = "127.0.0.1"
    port: int = 8017
    hosts: tuple[str, ...] = ()

    @property
    def beyond(self) -> bool:
        """Whether it listens beyond this machine; then nobody gets in without an account."""
        return self.host not in LOOPBACK
