"""What was once compiled from the knowledge, kept on disk and found again by content."""

import contextlib
import hashlib
import os
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TypeVar

import msgspec

from faultnet.authoring.files import File, knowledge_files, shown_name
from faultnet.authoring.problem import KnowledgeError, Problem, errors
from faultnet.authoring.region import in_chosen_region
from faultnet.authoring.version import version_of
from faultnet.model.knowledge import Knowledge

T = TypeVar("T")

VARIABLE = "FAULTNET_CACHE"
_DIGEST = 32
_LARGEST = 256_000_000
_KEPT = 16


def load(folder: Path) -> Knowledge:
    """Return the knowledge of a folder, as it is in the region that is set.

    Raises ``KnowledgeError`` when it has errors, ``UnknownRegionError``.
    """
    return in_chosen_region(_shared(folder))


def _shared(folder: Path) -> Knowledge:
    files, unreadable = knowledge_files(folder)
    if errors(unreadable):
        return _read(files, unreadable, folder)
    key = f"{shown_name(folder)}\0{version_of(files)}"
    return cached("knowledge", key, Knowledge, lambda: _read(files, unreadable, folder))


def cached(
    kind: str,
    key: str,
    of: type[T],
    build: Callable[[], T],
    *,
    rooms: tuple[str, ...] = ("model", "authoring"),
) -> T:
    """Return the value kept under a kind and a key, or build it and keep it.

    The key says all that the value depends on, except the source of the rooms of the
    package that shape it. Values are kept as MessagePack of the type ``of``; what is
    damaged, foreign or unreadable is built anew without a word.
    """
    path = _path(kind, key, rooms)
    if path is None:
        return build()
    kept = _kept(path, of)
    if kept is not None:
        return kept
    value = build()
    _keep(path, kind, value)
    return value


def cache_folder() -> Path | None:
    """Return where values are kept, or None when FAULTNET_CACHE is set to nothing."""
    named = os.environ.get(VARIABLE)
    if named is not None:
        return Path(named) if named else None
    from platformdirs import user_cache_dir

    return Path(user_cache_dir("faultnet", appauthor=False))


def _read(files: tuple[File, ...], unreadable: tuple[Problem, ...], folder: Path) -> Knowledge:
    from faultnet.authoring.library import knowledge_of

    knowledge, problems = knowledge_of(files, unreadable, shown_name(folder))
    if knowledge is None:
        raise KnowledgeError(problems)
    return knowledge


def _path(kind: str, key: str, rooms: tuple[str, ...]) -> Path | None:
    folder = cache_folder()
    if folder is None:
        return None
    name = hashlib.sha256(f"{kind}\0{_source(rooms)}\0{key}".encode("utf-8", "replace")).hexdigest()
    return folder / f"{kind}-{name[:40]}.bin"


@cache
def _source(rooms: tuple[str, ...]) -> str:
    """Return a digest of the source of rooms, or the version where it cannot be read."""
    package = Path(__file__).parent.parent
    try:
        paths = sorted(path for room in rooms for path in (package / room).rglob("*.py"))
        source = b"".join(path.read_bytes() for path in paths)
    except OSError:
        source = b""
    return hashlib.sha256(source).hexdigest() if source else _version()


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("faultnet")
    except PackageNotFoundError:
        return "unknown"


def _kept(path: Path, of: type[T]) -> T | None:
    try:
        with path.open("rb") as stream:
            data = stream.read(_LARGEST)
        payload = data[_DIGEST:]
        if hashlib.sha256(payload).digest() != data[:_DIGEST]:
            return None
        return msgspec.msgpack.decode(payload, type=of)
    except (OSError, msgspec.DecodeError, RecursionError):
        return None


def _keep(path: Path, kind: str, value: object) -> None:
    payload = msgspec.msgpack.encode(value)
    data = hashlib.sha256(payload).digest() + payload
    import tempfile

    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, written = tempfile.mkstemp(prefix=path.stem, suffix=".new", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            Path(written).replace(path)
            _tidy(path.parent, kind)
        except BaseException:
            with contextlib.suppress(OSError):
                Path(written).unlink()
            raise


def _tidy(folder: Path, kind: str) -> None:
    """Remove all but the newest values of a kind."""
    kept = sorted(folder.glob(f"{kind}-*.bin"), key=lambda path: path.stat().st_mtime_ns)
    for path in kept[:-_KEPT]:
        path.unlink(missing_ok=True)
