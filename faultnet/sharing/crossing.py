"""An error on its way to another process: it arrives as what it was."""

import pickle
import re
import traceback
from typing import Any

import msgspec

from faultnet.sharing.trouble import PartFailedError

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
    """Return the error itself, or what it is made of where it cannot be made by its arguments."""
    for form in (error, (type(error), error.args, error.__dict__)):
        try:
            packed = pickle.dumps(form)
            if str(_made(pickle.loads(packed))) == str(error):  # noqa: S301 packed just now
                return packed
        except Exception:  # noqa: BLE001, S112 an error may be made of anything: the next form
            continue
    return b""


def _unpacked(packed: bytes) -> Exception | None:
    try:
        return _made(pickle.loads(packed))  # noqa: S301 a worker of ours packed it
    except Exception:  # noqa: BLE001 it may not be known here: its text is told instead
        return None


def _made(form: Any) -> Exception:  # noqa: ANN401 one of the forms of ``_packed``
    if isinstance(form, Exception):
        return form
    kind, arguments, fields = form
    error: Exception = kind.__new__(kind, *arguments)
    error.__dict__.update(fields)
    return error
