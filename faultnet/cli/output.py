"""What is written, and where: results to standard output, everything else to the other."""

import contextlib
import json
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from faultnet.cli.refusal import Refusal
from faultnet.shapes.version import SCHEMA_VERSION

if TYPE_CHECKING:
    from msgspec import Struct

    from faultnet.shapes.plain import Json


class CannotWriteError(Exception):
    """The result cannot be written, with the reason."""

    kind = "cannot-write"


def show(lines: Iterable[str]) -> None:
    """Write lines of a result; raise ``CannotWriteError``."""
    _write("\n".join(lines), sys.stdout)


def show_json(result: "Json | Struct") -> None:
    """Write a result as JSON, a shape or its fields; raise ``CannotWriteError``."""
    if not isinstance(result, dict):
        from faultnet.shapes.plain import plain

        result = plain(result)
    whole = {"schema_version": SCHEMA_VERSION, **result}
    _write(json.dumps(whole, indent=2, allow_nan=False), sys.stdout)


def show_error(refusal: Refusal, *, as_json: bool) -> None:
    """Write why there is no answer; raise ``CannotWriteError`` where nothing can be."""
    told = {"kind": refusal.kind, "message": refusal.message, "hint": refusal.hint}
    if as_json:
        with contextlib.suppress(CannotWriteError):
            return show_json({"error": {**told, **refusal.more}})
    for text in filter(None, (refusal.message, refusal.hint)):
        _write(_plain(text), sys.stderr)
    return None


def leave_alone(paths: Iterable[Path], *, replace: bool) -> None:
    """Raise ``click.UsageError`` for the first file that is there, unless it may be replaced."""
    there = [] if replace else [path for path in paths if path.exists()]
    if there:
        raise click.UsageError(f"{there[0]} is there already. Name another, or --replace it.")


def write_file(path: Path, text: bytes) -> None:
    """Write a file that only its owner can read, in place of another only when it is whole.

    Raises ``CannotWriteError``.
    """
    import tempfile

    try:
        handle, new = tempfile.mkstemp(prefix=f".{path.name[:40]}-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(text)
            Path(new).replace(path)
        except BaseException:
            Path(new).unlink(missing_ok=True)
            raise
    except OSError as error:
        reason = error.strerror or "the disk says no"
        raise CannotWriteError(f"{path} cannot be written: {reason}.") from error


def _write(text: str, stream: TextIO | None) -> None:
    if stream is None:
        return
    encoding = getattr(stream, "encoding", None) or "utf-8"
    try:
        click.echo(text.encode(encoding, "replace").decode(encoding), file=stream)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise CannotWriteError(f"The result cannot be written: {error.strerror}.") from error


def _plain(text: str) -> str:
    """Return text that cannot steer a terminal."""
    return "".join(c if c.isprintable() or c == "\n" else "?" for c in text)
