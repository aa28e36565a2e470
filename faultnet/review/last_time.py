"""Which cases of a folder failed the last time; kept beside the compiled knowledge."""

import contextlib
import hashlib
from collections.abc import Collection
from pathlib import Path

import msgspec

from faultnet.authoring.store import cache_folder


def failed_last_time(folder: Path) -> frozenset[str] | None:
    """Return the ids of the cases that failed; None where nothing is known of a last time."""
    path = _path(folder)
    if path is None:
        return None
    try:
        return frozenset(msgspec.json.decode(path.read_bytes(), type=list[str]))
    except (OSError, msgspec.DecodeError):
        return None


def keep_failed(folder: Path, proved: Collection[str], failed: Collection[str]) -> None:
    """Keep which cases failed; of those not proved this time, what was known of them.

    Where nothing can be kept, nothing is.
    """
    path = _path(folder)
    if path is None:
        return
    before = failed_last_time(folder) or frozenset()
    now = sorted((before - frozenset(proved)) | frozenset(failed))
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(msgspec.json.encode(now))


def _path(folder: Path) -> Path | None:
    cache = cache_folder()
    if cache is None:
        return None
    name = hashlib.sha256(str(folder.resolve()).encode("utf-8", "surrogateescape")).hexdigest()
    return cache / f"failed-{name[:40]}.json"
