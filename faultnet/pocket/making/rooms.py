"""The rooms that the browser needs, in one archive, with the arrays under the name of NumPy."""

import io
import zipfile
from collections.abc import Mapping

from faultnet.pocket.making.needed import HOUSE, needed

LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The time of each file: the same sources make the same archive."""

NUMPY = b"""\
import sys

from faultnet.pocket.arrays.standing import stand_in

del sys.modules[__name__]
stand_in()
"""
"""The package `numpy` of the archive: the arrays stand in for it when it is first asked for."""


def rooms() -> bytes:
    """Return the archive; raise ``MakingError`` where a module cannot be had in a browser."""
    sources = {
        file.relative_to(HOUSE.parent).as_posix(): file.read_bytes() for file in needed().values()
    }
    return archive({**sources, "numpy/__init__.py": NUMPY})


def archive(files: Mapping[str, bytes]) -> bytes:
    """Return files in an archive, by name; the same files make the same bytes."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, LONG_AGO)
            entry.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(entry, files[name])
    return stream.getvalue()
