"""Visits as they lie on disk: one file each, one event a line.

A line that cannot be read, such as one that was cut off by a power failure, is lost
alone; the others count.
"""

import contextlib
import re
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


def read_visit(folder: Path, name: str) -> Kept | None:
    """Return a visit by its name, or None where there is none."""
    path = folder / f"{name}.jsonl"
    if not _NAME.fullmatch(name) or not path.is_file():
        return None
    with told("read"), path.open("rb") as stream:
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


def _by_time(name: str) -> tuple[str, int]:
    number = name[14:]
    return name[:13], int(number) if number.isdigit() else 1


@contextlib.contextmanager
def told(what: str) -> Iterator[None]:
    """Turn what the system says into ``CannotKeepError``."""
    try:
        yield
    except FileExistsError:
        raise
    except OSError as error:
        reason = error.strerror or "the disk says no"
        raise CannotKeepError(f"The visit cannot be {what}: {reason}.") from error
