"""A visit being written: every event is on the disk before the next question."""

import contextlib
import os
import time
from pathlib import Path

import msgspec

from faultnet.visit.events import Event
from faultnet.visit.kept import CannotKeepError, told


class Log:
    """A visit that is being written; nobody else writes it meanwhile."""

    def __init__(self, path: Path, *, new: bool) -> None:
        """Raise ``CannotKeepError`` where it cannot be written."""
        self.id = path.stem
        flags = os.O_RDWR | os.O_APPEND | (os.O_CREAT | os.O_EXCL if new else 0)
        with told("written"):
            self._file = os.open(path, flags, 0o600)
        _lock(self._file)
        if not new:
            self._mend_end()

    def append(self, event: Event) -> None:
        """Write an event; it is on the disk when this returns."""
        at = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
        line = msgspec.json.encode({"at": at, "event": event}) + b"\n"
        with told("written"):
            while line:
                line = line[os.write(self._file, line) :]
            os.fsync(self._file)

    def close(self) -> None:
        """Let go of the file."""
        os.close(self._file)

    def _mend_end(self) -> None:
        """Begin a new line where the last one was cut off."""
        with told("written"):
            if os.fstat(self._file).st_size == 0:
                return
            os.lseek(self._file, -1, os.SEEK_END)
            if os.read(self._file, 1) != b"\n":
                os.write(self._file, b"\n")


def new_log(folder: Path) -> Log:
    """Return the log of a new visit, named by the minute."""
    with told("written"):
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


def open_log(folder: Path, name: str) -> Log:
    """Return the log of a visit that goes on."""
    return Log(folder / f"{name}.jsonl", new=False)


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
