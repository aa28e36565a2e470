"""Visits on disk: one file each, one event a line, written out before the next question.

A line that cannot be read, such as one that was cut off by a power failure, is lost
alone; the others count.
"""

import contextlib
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path

import msgspec

from faultnet.visit.events import AnyEvent, Ended, Event, Opened, counting

_NAME = re.compile(r"[0-9]{8}-[0-9]{4}(?:-[0-9]+)?", re.ASCII)
_LARGEST = 16 * 1024 * 1024


class CannotKeepError(Exception):
    """A visit cannot be written or read, with the reason."""


class Entry(msgspec.Struct, frozen=True):
    """An event with its time (UTC, ISO 8601)."""

    at: str
    event: AnyEvent


class Kept(msgspec.Struct, frozen=True):
    """A visit as it lies on disk; ``lost`` counts lines that could not be read."""

    id: str
    entries: tuple[Entry, ...]
    lost: int = 0

    @property
    def events(self) -> tuple[Event, ...]:
        """The events in order."""
        return tuple(entry.event for entry in self.entries)

    @property
    def opened(self) -> Opened | None:
        """How it was opened; None when that line was lost."""
        first = self.entries[0].event if self.entries else None
        return first if isinstance(first, Opened) else None

    @property
    def ended(self) -> str:
        """How it ended, or nothing while it is open."""
        last = counting(self.events)[-1:]
        return last[0].how if last and isinstance(last[0], Ended) else ""


class Log:
    """A visit that is being written; nobody else writes it meanwhile."""

    def __init__(self, path: Path, *, new: bool) -> None:
        """Raise ``CannotKeepError`` where it cannot be written."""
        self.id = path.stem
        flags = os.O_RDWR | os.O_APPEND | (os.O_CREAT | os.O_EXCL if new else 0)
        with _told("written"):
            self._file = os.open(path, flags, 0o600)
        _lock(self._file)
        if not new:
            self._mend_end()

    def append(self, event: Event) -> None:
        """Write an event; it is on the disk when this returns."""
        at = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
        line = msgspec.json.encode({"at": at, "event": event}) + b"\n"
        with _told("written"):
            while line:
                line = line[os.write(self._file, line) :]
            os.fsync(self._file)

    def close(self) -> None:
        """Let go of the file."""
        os.close(self._file)

    def _mend_end(self) -> None:
        """Begin a new line where the last one was cut off."""
        with _told("written"):
            if os.fstat(self._file).st_size == 0:
                return
            os.lseek(self._file, -1, os.SEEK_END)
            if os.read(self._file, 1) != b"\n":
                os.write(self._file, b"\n")


def new_log(folder: Path) -> Log:
    """Return the log of a new visit, named by the minute."""
    with _told("written"):
        folder.mkdir(parents=True, exist_ok=True)
    name = time.strftime("%Y%m%d-%H%M")
    for number in range(1, 1000):
        path = folder / f"{name}{f'-{number}' if number > 1 else ''}.jsonl"
        if not path.exists():
            with contextlib.suppress(FileExistsError):
                log = Log(path, new=True)
                _keep_name(folder)
                return log
    raise CannotKeepError("The visit cannot be written: too many of this minute.")


def read_visit(folder: Path, name: str) -> Kept | None:
    """Return a visit by its name, or None where there is none."""
    path = folder / f"{name}.jsonl"
    if not _NAME.fullmatch(name) or not path.is_file():
        return None
    with _told("read"), path.open("rb") as stream:
        data = stream.read(_LARGEST)
    entries, lost = [], 0
    for line in data.split(b"\n"):
        if not line.strip():
            continue
        try:
            entries.append(msgspec.json.decode(line, type=Entry))
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
            lost += 1
    return Kept(name, tuple(entries), lost)


def all_visits(folder: Path) -> list[Kept]:
    """Return every visit, the latest first; one that cannot be read has no entries."""
    names = sorted((p.stem for p in folder.glob("*.jsonl")), key=_by_time, reverse=True)
    visits = []
    for name in names:
        try:
            kept = read_visit(folder, name)
        except CannotKeepError:
            kept = Kept(name, ())
        visits += [kept] if kept else []
    return visits


def last_unfinished(folder: Path) -> Kept | None:
    """Return the visit that is open and was written to last."""
    left = [kept for kept in all_visits(folder) if kept.opened and not kept.ended]
    return max(left, key=lambda kept: kept.entries[-1].at, default=None)


def open_log(folder: Path, name: str) -> Log:
    """Return the log of a visit that goes on."""
    return Log(folder / f"{name}.jsonl", new=False)


def _by_time(name: str) -> tuple[str, int]:
    number = name[14:]
    return name[:13], int(number) if number.isdigit() else 1


def _keep_name(folder: Path) -> None:
    """Have the name of a new file on the disk as well, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _lock(file: int) -> None:
    try:
        import fcntl
    except ImportError:
        return
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(file)
        raise CannotKeepError("This visit is open in another window.") from None


@contextlib.contextmanager
def _told(what: str) -> Iterator[None]:
    try:
        yield
    except FileExistsError:
        raise
    except OSError as error:
        reason = error.strerror or "the disk says no"
        raise CannotKeepError(f"The visit cannot be {what}: {reason}.") from error
