"""Writing a network file."""

import os
import tempfile
from pathlib import Path

from faultnet.network.flaw import NetworkFileError, refuse
from faultnet.network.formats import format_named
from faultnet.network.read import format_of
from faultnet.network.tables import Tables


def write_network(tables: Tables, path: str | Path, form: str | None = None) -> None:
    """Write a network; the file is there as a whole or not at all.

    The format is ``form`` or what the suffix says. Raises ``NetworkFileError``.
    """
    where = Path(path)
    text = written(tables, form or format_of(where), str(where))
    try:
        handle, draft = tempfile.mkstemp(prefix=f".{where.name[:40]}.", dir=where.parent)
    except (OSError, ValueError) as error:
        raise _unwritable(where, error) from None
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
        # The draft is for its owner alone; a file that others may read is wanted.
        Path(draft).chmod(0o666 & ~_umask())
        Path(draft).replace(where)
    except OSError as error:
        Path(draft).unlink(missing_ok=True)
        raise _unwritable(where, error) from None


def written(tables: Tables, form: str, file: str = "") -> str:
    """Return a network as the text of a format; raise ``NetworkFileError``."""
    try:
        return format_named(form).write(tables)
    except NetworkFileError as error:
        flaw = error.flaws[0]
        raise refuse(flaw.code, flaw.message, flaw.hint, file=file) from None


def _unwritable(where: Path, error: Exception) -> NetworkFileError:
    reason = getattr(error, "strerror", None) or str(error)
    return refuse("unwritable", f"It cannot be written: {reason}.", file=str(where))


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
