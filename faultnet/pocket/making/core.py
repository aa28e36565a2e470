"""What runs Python in a browser: Pyodide, and msgspec for it.

None of it lies in this project. It is fetched once, by name and version, from whatever registry
npm and pip are set up for, and taken only where its digest is the one that stands here.
"""

import hashlib
import tarfile
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from faultnet.pocket.making.fetch import MSGSPEC, PYODIDE, Package
from faultnet.pocket.making.trouble import MakingError


class Part(NamedTuple):
    """A file that the browser needs: the name it gets, and its digest (SHA-256)."""

    name: str
    sha256: str


WHEEL = Part(MSGSPEC.file, "a66b1766311e42371e509c996c3933b161c7ae0eabdf361af5316dec197e1022")

PARTS: Mapping[str, Part] = {
    "pyodide.mjs": Part(
        "pyodide.js", "6f1d60f7bf529beb300f0f47983c921d3982363640ba20af0e38efdddbc66109"
    ),
    "pyodide.asm.mjs": Part(
        "pyodide.asm.js", "f7cdc8ece80678ceb712f8e65ebe6d3a83203a180c399865f49612a051693635"
    ),
    "pyodide.asm.wasm": Part(
        "pyodide.asm.wasm", "cc36e3cab04fdfc9a63ff13eb52eae2b911bf46c025cc7b281f394bd3de1d5e6"
    ),
    "python_stdlib.zip": Part(
        "python_stdlib.zip", "fa1957e5777068fc4f7437f96d860ae2fbe9c19732ba06c84e004ec16dd7dd7a"
    ),
}
"""What the browser needs of the package of Pyodide; as ``.js`` each file server knows scripts."""

LARGEST = 64_000_000
"""Bytes; a larger file is none of these."""


class Given(NamedTuple):
    """Where to look before anything is fetched.

    ``pyodide`` is the npm package, a folder or the file that npm packs; ``msgspec`` the wheel;
    ``kept`` the folder where what was fetched is kept, or None.
    """

    pyodide: Path | None = None
    msgspec: Path | None = None
    kept: Path | None = None


def core(given: Given) -> dict[str, bytes]:
    """Return the files that run Python in a browser, by the names they get.

    Raises ``MakingError``.
    """
    with tempfile.TemporaryDirectory(prefix="faultnet-") as passing:
        kept = given.kept or Path(passing)
        package = given.pyodide or _at_hand(PYODIDE, kept)
        wheel = given.msgspec or _at_hand(MSGSPEC, kept)
        files = _of_folder(package) if package.is_dir() else _of_archive(package)
        found = {part.name: _checked(package, part, files.get(n)) for n, part in PARTS.items()}
        return {**found, WHEEL.name: _checked(wheel, WHEEL, _read(wheel))}


def is_at_hand(given: Given) -> bool:
    """Whether nothing needs to be fetched."""
    asked = ((given.pyodide, PYODIDE), (given.msgspec, MSGSPEC))
    return all(path or (given.kept and (given.kept / p.file).is_file()) for path, p in asked)


def _at_hand(package: Package, kept: Path) -> Path:
    """Return where a package lies, fetched where it is not there; raise ``MakingError``."""
    path = kept / package.file
    if not path.is_file():
        package.fetch(kept)
    return path


def _of_folder(folder: Path) -> dict[str, bytes | None]:
    inside = folder / "package"
    place = inside if inside.is_dir() else folder
    return {name: _read(place / name) for name in PARTS}


def _of_archive(path: Path) -> dict[str, bytes | None]:
    """Return the files of what npm packs; those that are not there are None."""
    try:
        with tarfile.open(path) as archive:
            files = {m.name.removeprefix("package/"): m for m in archive if m.isfile()}
            wanted = {n: m for n, m in files.items() if n in PARTS and m.size <= LARGEST}
            streams = {name: archive.extractfile(member) for name, member in wanted.items()}
            return {name: stream.read() for name, stream in streams.items() if stream}
    except (OSError, tarfile.TarError, EOFError) as error:
        reason = getattr(error, "strerror", None) or "it is no archive of an npm package"
        raise MakingError(str(path), f"cannot be read: {reason}", PYODIDE.mend) from error


def _read(path: Path) -> bytes | None:
    try:
        with path.open("rb") as stream:
            return stream.read(LARGEST)
    except OSError:
        return None


def _checked(place: Path, part: Part, data: bytes | None) -> bytes:
    package = MSGSPEC if part is WHEEL else PYODIDE
    if data is None:
        raise MakingError(str(place), f"{part.name} is not there", package.mend)
    if hashlib.sha256(data).hexdigest() != part.sha256:
        told = f"{part.name} is not the one of {package.says}"
        raise MakingError(str(place), told, f"Remove it. {package.mend}")
    return data
