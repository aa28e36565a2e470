"""An error on its way to another process: it arrives as what it was."""

import pickle
import re
import traceback
from contextlib import suppress
from typing import Any, cast

import msgspec

from faultnet.sharing.trouble import PartFailedError
from faultnet.sharing.unpacked import unpacked

SHORT = 200
"""Letters of a part that are told."""

_PASSWORD = re.compile(r"(://[^:/@\s]*):[^/@\s]*@")


class Crossing(msgspec.Struct, frozen=True):
    """An error as bytes, as text where those cannot be read, and where it came about."""

    packed: bytes
    told: str
    trace: str


def crossing(error: Exception) -> Crossing:
    """Make an error ready to cross."""
    told = f"{type(error).__name__}: {error}"
    return Crossing(_packed(error), told, "".join(traceback.format_exception(error)))


def crossed(crossing: Crossing, number: int, part: object) -> Exception:
    """Return the error that crossed; a note tells the part, counted from 1, and the place."""
    error = _unpacked(crossing.packed) or PartFailedError(
        f"Part {number} of the work, {short(part)}: {crossing.told}"
    )
    error.add_note(f"Part {number} of the work: {short(part)}\nIts worker tells:\n{crossing.trace}")
    return error


def short(part: object) -> str:
    """Return what a part is called, cut short and without the password of an address."""
    told = _PASSWORD.sub(r"\1:***@", repr(part))
    return told if len(told) <= SHORT else f"{told[:SHORT]} ..."


def _packed(error: Exception) -> bytes:
    """Return what makes the error again; nothing where it would be another."""
    # Not by pickle alone: libraries change how errors are pickled, and many take other arguments
    # than they hold.
    reduced = error.__reduce__()
    for as_made in (True, False):
        with suppress(Exception):
            packed = pickle.dumps((as_made, *reduced))
            if str(_remade(packed)) == str(error):
                return packed
    return b""


def _unpacked(packed: bytes) -> Exception | None:
    """Return the error, or nothing where it is not known here."""
    with suppress(Exception):
        return _remade(packed)
    return None


def _remade(packed: bytes) -> Exception:
    return _made(*cast("tuple[Any, ...]", unpacked(packed)))


def _made(
    as_made: bool,
    kind: type[Exception],
    arguments: tuple[Any, ...],
    fields: dict[str, Any] | None = None,
) -> Exception:
    """Make an error by its class, or without asking its class for what it takes."""
    made = kind(*arguments) if as_made else Exception.__new__(kind, *arguments)
    made.__dict__.update(fields or {})
    return made
