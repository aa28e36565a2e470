"""A pocket written into a folder: in place of an older one, never over anything else."""

import os
import tempfile
from pathlib import Path, PurePosixPath
from typing import NamedTuple

import msgspec

from faultnet.pocket.making.edition import NAME, Edition
from faultnet.pocket.making.pocket import Pocket
from faultnet.pocket.making.trouble import MakingError

COMING = "edition.new.json"
"""The list of what is just being written; it takes the place of the other when all stands."""

MEND = "Name a new folder, or one that holds a pocket."


class Written(NamedTuple):
    """What was written: the edition that was there before, and how many files changed."""

    before: Edition | None
    changed: int


def write(pocket: Pocket, folder: Path) -> Written:
    """Write a pocket into a folder that is new, empty or a pocket.

    File by file, each whole; the list comes last. A phone that loads meanwhile finds by the
    digests that something changed, and begins again. Raises ``MakingError``.
    """
    before, coming = look(folder)
    ours = frozenset[str]().union(*(each.paths for each in (before, coming) if each))
    for path in sorted(pocket.files.keys() - ours):
        if (folder / path).exists():
            told = "is there and belongs to no pocket"
            raise MakingError(str(folder / path), told, f"Move it away. {MEND}")
    listed = msgspec.json.format(msgspec.json.encode(pocket.edition), indent=1)
    try:
        _put(folder / COMING, listed)
        changed = [_put(folder / path, data) for path, data in sorted(pocket.files.items())]
        (folder / COMING).replace(folder / NAME)
        for path in ours - pocket.edition.paths:
            _remove(folder, path)
    except OSError as error:
        raise _cannot(folder, error) from error
    return Written(before, sum(changed))


def look(folder: Path) -> tuple[Edition | None, Edition | None]:
    """Return the edition that a folder holds, and one that was begun and not ended.

    Raises ``MakingError`` where it holds anything else.
    """
    before, coming = _edition(folder / NAME), _edition(folder / COMING)
    if folder.exists() and not folder.is_dir():
        raise MakingError(str(folder), "is a file, not a folder", MEND)
    try:
        there = folder.is_dir() and any(folder.iterdir())
    except OSError as error:
        raise _cannot(folder, error) from error
    if there and not (before or coming):
        raise MakingError(str(folder), "holds other files and no pocket", MEND)
    return before, coming


def _edition(path: Path) -> Edition | None:
    """Return the edition that a list tells of; None where there is none that can be trusted."""
    try:
        edition = msgspec.json.decode(path.read_bytes(), type=Edition)
    except (OSError, msgspec.MsgspecError):
        return None
    return edition if all(map(_is_below, edition.paths)) else None


def _is_below(path: str) -> bool:
    pure = PurePosixPath(path)
    return not pure.is_absolute() and ".." not in pure.parts and "\\" not in path


def _put(path: Path, data: bytes) -> bool:
    """Put a file in place as a whole and return whether that changed anything."""
    if path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data:
        return False
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, new = tempfile.mkstemp(prefix=".new-", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        Path(new).chmod(0o644)
        Path(new).replace(path)
    except BaseException:
        Path(new).unlink(missing_ok=True)
        raise
    return True


def _remove(folder: Path, path: str) -> None:
    """Remove a file of an older edition, and folders that are empty then."""
    (folder / path).unlink(missing_ok=True)
    for parent in (folder / path).parents:
        if parent == folder or any(parent.iterdir()):
            return
        parent.rmdir()


def _cannot(folder: Path, error: OSError) -> MakingError:
    reason = f"cannot be written: {error.strerror or 'the disk says no'}"
    return MakingError(str(folder), reason, "See that there is room, and that you may write there.")
