"""A report about a fault of faultnet itself."""

import os
import platform
import sys
import tempfile
import time
import traceback
from pathlib import Path

from faultnet import __version__


def write_report(error: BaseException, args: list[str]) -> str | None:
    """Write what happened to a new file; return its path, or None where none can be."""
    told = "".join(traceback.format_exception(error))
    text = (
        f"faultnet {__version__}, Python {platform.python_version()}, {sys.platform}\n"
        f"arguments: {args!r}\n\n{told}"
    )
    for folder in (_state_folder, _temporary_folder):
        try:
            return _write(folder(), text)
        except OSError:
            continue
    return None


def _state_folder() -> Path:
    from faultnet.cli.places import report_folder

    folder = report_folder()
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _temporary_folder() -> Path:
    return Path(tempfile.gettempdir())


def _write(folder: Path, text: str) -> str:
    prefix = time.strftime("fault-%Y%m%d-%H%M%S-")
    handle, name = tempfile.mkstemp(prefix=prefix, suffix=".txt", dir=folder)
    with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as stream:
        stream.write(text)
    return name
