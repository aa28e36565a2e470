"""Reading a network file: what it may be, and what it must not."""

import os
import stat
from pathlib import Path

from faultnet.network.flaw import refuse
from faultnet.network.formats import NAMES, SUFFIXES, format_named
from faultnet.network.tables import Tables

SIZE_LIMIT = 2**25
"""Bytes of a file; it is looked at before anything is read."""


def read_network(path: str | Path, form: str | None = None) -> Tables:
    """Return the network of a file in BIF, XMLBIF, UAI or NET.

    The format is ``form`` or what the suffix says. States and parents go by their names,
    never by their places, wherever the format has names. A row that sums to one but for
    rounding is divided by its sum. Raises ``NetworkFileError``.
    """
    where = Path(path)
    name = form or format_of(where)
    text = _text(where)
    draft = format_named(name).read(text, str(where))
    draft.name = draft.name or where.stem
    return draft.finished()


def format_of(path: Path) -> str:
    """Return the format that the suffix of a file says; raise ``NetworkFileError``."""
    name = SUFFIXES.get(path.suffix.lower())
    if name is None:
        message = f"The suffix `{path.suffix}` says no format that is known."
        suffixes, names = ", ".join(SUFFIXES), ", ".join(NAMES)
        hint = f"Name the file with one of {suffixes}, or give the format: {names}."
        raise refuse("format", message, hint, file=str(path))
    return name


def _text(path: Path) -> str:
    """Return the text of a file that is not too large and is text."""
    file = str(path)
    try:
        # Opened without waiting, so that a pipe without a writer does not hold things up.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        try:
            told = os.fstat(handle)
            if not stat.S_ISREG(told.st_mode):
                raise refuse("unreadable", "It is no plain file.", "Name a file.", file=file)
            if told.st_size > SIZE_LIMIT:
                message = f"It has {told.st_size:,} bytes and the limit is {SIZE_LIMIT:,}."
                raise refuse("too-large", message, "Is it the right file?", file=file)
            with os.fdopen(handle, "rb", closefd=False) as stream:
                data = stream.read(SIZE_LIMIT + 1)
        finally:
            os.close(handle)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise refuse("unreadable", f"It cannot be read: {reason}.", file=file) from None
    return _decoded(data, file)


def _decoded(data: bytes, file: str) -> str:
    if not data.strip():
        raise refuse("nothing", "The file is empty.", "Is it the right file?", file=file)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        hint = "Save it as text in UTF-8."
        raise refuse("not-text", "It is no text in UTF-8.", hint, file=file, line=line) from None
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        message = "It holds zero bytes, so it is no text."
        raise refuse("not-text", message, "Is it the right file?", file=file, line=line)
    return text
