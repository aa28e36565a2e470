"""Which database is meant, and a connection to it that keeps what it has acknowledged."""

import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError

from faultnet.cases.store.trouble import StoreError

VARIABLE = "FAULTNET_STORE"
FILE = "cases.sqlite"
"""The name of the file in the data folder."""

PATIENCE = 10.0
"""Seconds to wait for somebody else who writes, and for a server to answer."""

WRITING = {"faultnet_writing": True}
"""The option of a connection that is going to write."""

SERVERS = ("postgres", "postgresql", "postgresql+psycopg")
_KEPT = """SELECT set_config('synchronous_commit', 'on', false)
WHERE current_setting('synchronous_commit') = 'off'"""
"""What is acknowledged is on the disk, whatever the server was told otherwise."""


@dataclass(frozen=True)
class Place:
    """A database; ``shown`` tells which, without a password."""

    url: URL
    shown: str

    @property
    def path(self) -> Path | None:
        """The SQLite file, or None for a server."""
        return Path(self.url.database) if self.is_file and self.url.database else None

    @property
    def is_file(self) -> bool:
        """Whether it is an SQLite file."""
        return self.url.get_backend_name() == "sqlite"


def place_of(named: str | None, folder: Path) -> Place:
    """Return the place that a text names: a URL or a file; by default a file in a folder.

    Raises ``StoreError``.
    """
    if not named:
        return _file(folder / FILE)
    if "://" not in named:
        return _file(Path(named))
    try:
        url = make_url(named)
    except (ArgumentError, ValueError):
        reason = "is no URL of a database"
        raise StoreError(VARIABLE, reason, _SHAPES) from None
    if url.drivername == "sqlite" and url.database:
        return _file(Path(url.database))
    if url.drivername not in SERVERS:
        reason = f"`{url.drivername[:40]}` is not known here"
        raise StoreError(VARIABLE, reason, _SHAPES)
    url = url.set(drivername="postgresql+psycopg")
    shown = url.set(drivername="postgresql", query={}).render_as_string(hide_password=True)
    return Place(url, shown)


_SHAPES = "Give a file, sqlite:///FILE or postgresql://NAME@HOST/DATABASE."


def _file(path: Path) -> Place:
    return Place(URL.create("sqlite", database=str(path)), str(path))


def engine_of(place: Place, patience: float = PATIENCE) -> Engine:
    """Return an engine on a place; nothing is opened yet, except that a new file is made."""
    return _file_engine(place, patience) if place.is_file else _server_engine(place, patience)


def _file_engine(place: Place, patience: float) -> Engine:
    if place.path:
        _make_private(place.path)
    engine = create_engine(place.url, connect_args={"timeout": patience})

    def connected(connection: sqlite3.Connection, _: object) -> None:
        connection.isolation_level = None  # transactions begin below, not behind our back
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",
            "foreign_keys=ON",
            "secure_delete=ON",
        ):
            connection.execute(f"PRAGMA {pragma}")

    def begun(connection: Connection) -> None:
        writing = connection.get_execution_options().get("faultnet_writing")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    event.listen(engine, "connect", connected)
    event.listen(engine, "begin", begun)
    return engine


def _server_engine(place: Place, patience: float) -> Engine:
    whole = max(1, round(patience))
    try:
        engine = create_engine(
            place.url,
            pool_pre_ping=True,
            connect_args={
                "connect_timeout": max(2, whole),
                "application_name": "faultnet",
                "options": f"-c lock_timeout={whole * 1000}",
            },
        )
    except ModuleNotFoundError:
        mend = "Install it: pip install 'faultnet[postgresql]'"
        raise StoreError(place.shown, "the driver psycopg is not installed", mend) from None

    def connected(connection: DBAPIConnection, _: object) -> None:
        with closing(connection.cursor()) as cursor:
            cursor.execute(_KEPT)
        connection.commit()

    event.listen(engine, "connect", connected)
    return engine


def _make_private(path: Path) -> None:
    """Make a new file that only its owner can read; SQLite's side files follow it."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if not path.exists():
            os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    except FileExistsError:
        reason = f"{path.parent} is no folder"
        raise StoreError(str(path), reason, "Name another place in FAULTNET_STORE.") from None
    except (OSError, ValueError) as error:
        reason = f"cannot be written ({getattr(error, 'strerror', None) or error})"
        mend = "Let yourself write there, or name another place in FAULTNET_STORE."
        raise StoreError(str(path), reason, mend) from None
