"""An edition: all files of a pocket under one digest, so that a phone has all of it or none."""

import gzip
import hashlib
from collections.abc import Mapping
from pathlib import PurePosixPath

import msgspec

NAME = "edition.json"
"""The file that lists the others; it is not in its own list."""

TYPES: Mapping[str, str] = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".wasm": "application/wasm",
    ".zip": "application/zip",
}
"""What browsers are told of a file, by its suffix; all else are bytes."""

HEADERS: Mapping[str, str] = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; "
        "connect-src 'self'; img-src 'self' blob:; style-src 'self'; manifest-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
"""Sent with every file, by the office and by the phone's own copy."""

WORTH = 0.9
"""A file is packed where that leaves less than this of it."""

SMALL = 2048
"""Bytes up to which packing is not worth a second file."""

PACKED = ".packed"
"""Behind the name of a file that is packed."""


class Packed(msgspec.Struct, frozen=True):
    """The same file in fewer bytes (gzip), for file servers that pack nothing."""

    path: str
    bytes: int


class File(msgspec.Struct, frozen=True, omit_defaults=True):
    """A file of an edition: its address below the page, its size and digest (SHA-256)."""

    path: str
    bytes: int
    sha256: str
    type: str
    packed: Packed | None = None


class Edition(msgspec.Struct, frozen=True):
    """What a pocket holds; ``edition`` is a digest of all of it.

    ``knowledge`` is the version of the knowledge and ``region`` whose numbers it has,
    ``faultnet`` the version of the program.
    """

    edition: str
    knowledge: str
    region: str
    faultnet: str
    headers: dict[str, str]
    files: tuple[File, ...]

    @property
    def paths(self) -> frozenset[str]:
        """All addresses, packed ones too, without the list itself."""
        packed = (each.packed.path for each in self.files if each.packed)
        return frozenset(each.path for each in self.files) | frozenset(packed)


def packed(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return what of files is worth packing, packed, by the name that it gets."""
    tried = {
        path: gzip.compress(data, 9, mtime=0) for path, data in files.items() if len(data) > SMALL
    }
    return {
        path + PACKED: data for path, data in tried.items() if len(data) < WORTH * len(files[path])
    }


def edition_of(
    files: Mapping[str, bytes],
    small: Mapping[str, bytes],
    knowledge: tuple[str, str],
    faultnet: str,
) -> Edition:
    """Return the edition of files; ``knowledge`` is its version and region."""
    listed = tuple(_listed(path, files[path], small) for path in sorted(files))
    version, region = knowledge
    whole = Edition("", version, region, faultnet, dict(HEADERS), listed)
    digest = hashlib.sha256(msgspec.json.encode(whole)).hexdigest()
    return msgspec.structs.replace(whole, edition=digest)


def type_of(path: str) -> str:
    """Return what browsers are told of a file."""
    return TYPES.get(PurePosixPath(path).suffix, "application/octet-stream")


def _listed(path: str, data: bytes, small: Mapping[str, bytes]) -> File:
    less = small.get(path + PACKED)
    return File(
        path,
        len(data),
        hashlib.sha256(data).hexdigest(),
        type_of(path),
        None if less is None else Packed(path + PACKED, len(less)),
    )
