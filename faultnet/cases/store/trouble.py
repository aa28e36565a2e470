"""Why nothing can be kept or read, in words: place, reason, mend."""

import contextlib
import sqlite3
from collections.abc import Iterator

from sqlalchemy.exc import DBAPIError, SQLAlchemyError


class StoreError(Exception):
    """The store cannot be used; the message tells place, reason and mend."""

    def __init__(self, place: str, reason: str, mend: str = "") -> None:
        self.place, self.reason, self.mend = place, reason, mend
        super().__init__(" ".join(filter(None, (f"{place}: {reason}.", mend))))


class KeptOtherwiseError(StoreError):
    """An entry is kept already, with other content."""


class DeletedError(StoreError):
    """A case or a site was deleted, and nothing of it is kept."""


class OvertakenError(StoreError):
    """Somebody else wrote to the case or site meanwhile; nothing was kept."""


_SQLITE = {
    "SQLITE_NOTADB": (
        "is no store of faultnet, or damaged",
        "Move it aside; then bring back a copy, or import what was exported.",
    ),
    "SQLITE_CORRUPT": (
        "is damaged",
        "Keep a copy of it as it is; then bring back an older copy, or import what was exported.",
    ),
    "SQLITE_READONLY": (
        "cannot be written",
        "Let yourself write the file and its folder, or name another place in FAULTNET_STORE.",
    ),
    "SQLITE_BUSY": ("is being written by somebody else for too long", "Try again in a moment."),
    "SQLITE_LOCKED": ("is being written by somebody else for too long", "Try again in a moment."),
    "SQLITE_FULL": (
        "the disk is full",
        "Make room and try again; what was kept before is still there.",
    ),
    "SQLITE_CANTOPEN": (
        "cannot be opened",
        "See that its folder exists and is yours, or name another place in FAULTNET_STORE.",
    ),
    "SQLITE_IOERR": (
        "the disk does not read or write",
        "Look at the disk; copy the file elsewhere while it can be read.",
    ),
    "SQLITE_TOOBIG": ("one entry is too large", "Leave long texts and pictures outside."),
}
"""By the name of SQLite's error, or how it begins."""

_SERVER = (
    ("password authentication failed", "the server refuses the name or password", "URL"),
    ("no password supplied", "the server wants a password", "URL"),
    ("does not exist", "the server has no such database or name", "create"),
    ("could not translate host name", "there is no such host", "URL"),
    ("failed to resolve host", "there is no such host", "URL"),
    ("name or service not known", "there is no such host", "URL"),
    ("connection refused", "no server listens there", "start"),
    ("no such file or directory", "no server listens there", "start"),
    ("lock timeout", "somebody else is writing for too long", "again"),
    ("timeout", "the server does not answer in time", "start"),
    ("timed out", "the server does not answer in time", "start"),
    ("no space left", "the disk of the server is full", "room"),
    ("read-only transaction", "the server may only be read", "write"),
    ("permission denied", "this name may not use the tables", "write"),
    ("too many clients", "the server has no connection left", "again"),
    ("too many connections", "the server has no connection left", "again"),
    ("server closed the connection", "the server went away", "again"),
    ("terminating connection", "the server went away", "again"),
    ("starting up", "the server is only starting", "again"),
    ("shutting down", "the server is stopping", "again"),
    ("recovery mode", "the server is putting itself right", "again"),
)
_MENDS = {
    "URL": "Correct the URL in FAULTNET_STORE.",
    "create": "Create them on the server, or correct the URL in FAULTNET_STORE.",
    "start": "See that the server runs and can be reached, or correct FAULTNET_STORE.",
    "room": "Make room and try again; what was kept before is still there.",
    "write": "Use a name in FAULTNET_STORE that may write, or have it allowed.",
    "again": "Try again in a moment; what was kept before is still there.",
}


@contextlib.contextmanager
def told(place: str) -> Iterator[None]:
    """Turn what the database says into ``StoreError``; passwords are never repeated."""
    try:
        yield
    except DBAPIError as error:
        raise StoreError(place, *_words(error)) from None
    except SQLAlchemyError as error:
        raise StoreError(place, f"the database says {type(error).__name__}") from None
    except OSError as error:
        raise StoreError(place, f"cannot be used ({error.strerror})", _CANTOPEN[1]) from None


_CANTOPEN = _SQLITE["SQLITE_CANTOPEN"]


def _words(error: DBAPIError) -> tuple[str, str]:
    if isinstance(error.orig, sqlite3.Error):
        name = getattr(error.orig, "sqlite_errorname", "")
        for start, words in _SQLITE.items():
            if name.startswith(start):
                return words
        return f"SQLite says: {_first_line(error)}", ""
    said = str(error.orig).lower()
    for part, reason, mend in _SERVER:
        if part in said:
            return reason, _MENDS[mend]
    return f"the server says: {_first_line(error)}", ""


def _first_line(error: DBAPIError) -> str:
    text = str(error.orig).strip()
    return text.splitlines()[0][:200].rstrip(".") if text else type(error.orig).__name__
