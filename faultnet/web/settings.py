"""How a server was asked to run."""

from pathlib import Path

import msgspec

from faultnet.pocket.making.core import Given


class Reach(msgspec.Struct, frozen=True):
    """From where a server can be reached, and as what.

    ``names`` are those it answers to besides the names of this machine, in small letters;
    ``any_address`` is whether it answers to each IP address as well. ``beyond`` is whether
    other machines can reach it: then nobody comes in without an account. ``secure`` is
    whether all that comes in came by TLS.
    """

    names: frozenset[str] = frozenset()
    any_address: bool = False
    beyond: bool = False
    secure: bool = False


class Settings(msgspec.Struct, frozen=True):
    """Where the store and the knowledge lie, and who can reach the server.

    ``store`` is as in ``FAULTNET_STORE``; empty is the file in ``data``, the data folder.
    ``trucks`` are files of what is on the trucks; without any, what usually is. ``core`` is
    where what runs Python in a browser lies, for the page without signal.
    """

    data: Path
    knowledge: Path
    store: str = ""
    reach: Reach = Reach()
    trucks: tuple[Path, ...] = ()
    core: Given = Given()
