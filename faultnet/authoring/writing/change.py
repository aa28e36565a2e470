"""Changes of files: shown as lines first, then written all or none."""

import contextlib
import difflib
import os
import re
import tempfile
from pathlib import Path

import msgspec

from faultnet.authoring.writing.spot import BREAK

_ORDINARY = 0o644


class ChangedMeanwhileError(Exception):
    """Somebody else has changed a file since it was read; nothing was written."""


class Change(msgspec.Struct, frozen=True):
    """A file below a folder, with its bytes before (None where it is new) and after."""

    name: str
    before: bytes | None
    after: bytes

    def lines(self) -> list[str]:
        """Return the change as a unified diff, without line breaks."""
        old, new = _lines(self.before or b""), _lines(self.after)
        source = "/dev/null" if self.before is None else self.name
        return list(difflib.unified_diff(old, new, source, self.name, n=3, lineterm=""))


def write(folder: Path, changes: tuple[Change, ...]) -> None:
    """Write all changes or none; a file is replaced only when it is whole, and keeps its mode.

    Raises ``ChangedMeanwhileError`` when a file is no longer as it was, and ``OSError``.
    """
    written: list[tuple[str, Path]] = []
    try:
        for change in changes:
            path = Path(os.path.realpath(folder / change.name))
            written.append((_beside(path, change.after), path))
        for change, (_, path) in zip(changes, written, strict=True):
            _unchanged(change, path)
        _replace(written, changes)
    finally:
        for new, _ in written:
            with contextlib.suppress(OSError):
                Path(new).unlink(missing_ok=True)


def _replace(written: list[tuple[str, Path]], changes: tuple[Change, ...]) -> None:
    """Put the new files in place; when that is broken off, put back what stood there."""
    try:
        for new, path in written:
            Path(new).replace(path)
    except BaseException:
        for (new, path), change in zip(written, changes, strict=True):
            if not Path(new).exists():
                _put_back(path, change.before)
        raise


def _put_back(path: Path, data: bytes | None) -> None:
    if data is None:
        path.unlink(missing_ok=True)
    else:
        Path(_beside(path, data)).replace(path)


def _beside(path: Path, data: bytes) -> str:
    """Write bytes to a new file beside the one they are for, with its mode."""
    path.parent.mkdir(parents=True, exist_ok=True)
    mode = path.stat().st_mode if path.exists() else _ORDINARY
    handle, new = tempfile.mkstemp(prefix=f".{path.name[:40]}-", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        Path(new).chmod(mode & 0o7777)
    except BaseException:
        Path(new).unlink(missing_ok=True)
        raise
    return new


def _unchanged(change: Change, path: Path) -> None:
    now = path.read_bytes() if path.exists() else None
    if now != change.before:
        told = f"{change.name} has changed meanwhile; nothing was written. Begin again."
        raise ChangedMeanwhileError(told)


def _lines(data: bytes) -> list[str]:
    text = data.decode("utf-8", "replace")
    lines = re.split(BREAK, text)
    if lines[-1] == "":
        return lines[:-1]
    return [*lines[:-1], f"{lines[-1]}  (no line break at the end)"]
