"""The version of the knowledge: a digest of its files."""

import hashlib
from collections.abc import Iterable

from faultnet.authoring.files import File


def version_of(files: Iterable[File]) -> str:
    """Return a digest of paths and bytes of the files, as hexadecimal text."""
    digest = hashlib.sha256()
    for file in files:
        name = file.name.encode("utf-8", "replace")
        digest.update(b"%d %d\n%b%b" % (len(name), len(file.data), name, file.data))
    return digest.hexdigest()
