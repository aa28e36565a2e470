"""How a server was asked to run."""

from pathlib import Path

import msgspec


class Settings(msgspec.Struct, frozen=True):
    """Where the store and the knowledge lie.

    ``store`` is as in ``FAULTNET_STORE``; empty is the file in ``data``, the data folder.
    """

    data: Path
    knowledge: Path
    store: str = ""
