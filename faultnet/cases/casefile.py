"""A case as one JSON file: to hand over, to carry along, to bring back."""

import hashlib
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

import msgspec

from faultnet.cases.anonymous import anonymous
from faultnet.cases.entry import Entry, flaws, is_site
from faultnet.cases.order import order_of

T = TypeVar("T")

FORMAT = "faultnet-case"
VERSION = 2
"""1 had no closing sheet."""
LARGEST = 64 * 1024 * 1024
"""Bytes; a case of a thousand events has less than a hundredth of it."""


class CasefileError(Exception):
    """A file that is no case, or damaged; the message tells place, reason and mend."""

    def __init__(self, place: str, reason: str, mend: str = "") -> None:
        self.place, self.reason, self.mend = place, f"{reason}.", mend
        super().__init__(" ".join(filter(None, (f"{place}: {reason}.", mend))))


class Casefile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A case with the site it stands at; ``digest`` is that of the entries."""

    format: str
    version: int
    case: str
    digest: str
    events: tuple[Entry, ...]
    site: str = ""
    site_events: tuple[Entry, ...] = ()

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The entries of the site, then those of the case."""
        return (*self.site_events, *self.events)


class _Head(msgspec.Struct):
    """What tells whether the rest can be read."""

    format: str = ""
    version: int = 0


def casefile_of(
    case: Iterable[Entry], site: Iterable[Entry] = (), *, without_customer: bool = False
) -> Casefile:
    """Return a case as it is handed over, in order; perhaps without customer data."""
    events = order_of(case).entries
    site_events = () if without_customer else order_of(site).entries
    if without_customer:
        events = tuple(map(anonymous, events))
    return Casefile(
        format=FORMAT,
        version=VERSION,
        case=events[0].log,
        digest=_digest((*site_events, *events)),
        events=events,
        site=site_events[0].log if site_events else "",
        site_events=site_events,
    )


def text_of(casefile: Casefile) -> bytes:
    """Return the file, laid out for reading."""
    return msgspec.json.format(msgspec.json.encode(casefile), indent=1) + b"\n"


def read_file(path: Path, largest: int = LARGEST) -> bytes:
    """Return the bytes of a file; raise ``CasefileError`` where it cannot be read or is too large.

    ``-`` is standard input.
    """
    try:
        with sys.stdin.buffer if str(path) == "-" else path.open("rb") as stream:
            size = os.fstat(stream.fileno()).st_size
            data = b"" if size > largest else stream.read(largest + 1)
    except OSError as error:
        raise CasefileError(str(path), f"cannot be read ({error.strerror})") from None
    if size > largest or len(data) > largest:
        reason = f"is larger than any case ({largest // 1024 // 1024} MiB)"
        raise CasefileError(str(path), reason, "It is something else, or damaged.")
    return data


def casefile_from(data: bytes, place: str) -> Casefile:
    """Return a case from the bytes of its file; ``place`` names the file in messages.

    Raises ``CasefileError``.
    """
    head = _decoded(data, _Head, place, "is no case of faultnet")
    if head.format != FORMAT:
        mend = f"A case begins with the field `format`: `{FORMAT}`."
        raise CasefileError(place, "is no case of faultnet", mend)
    if head.version > VERSION:
        reason = f"was written by a newer faultnet (version {head.version} of the file, "
        reason += f"this one knows {VERSION})"
        raise CasefileError(place, reason, "Bring faultnet up to date.")
    casefile = _decoded(data, Casefile, place, "is damaged")
    _check(casefile, place)
    return casefile


def _decoded(data: bytes, of: type[T], place: str, reason: str) -> T:
    try:
        return msgspec.json.decode(data, type=of)
    except (msgspec.DecodeError, UnicodeError, RecursionError) as error:
        detail = "it nests too deep" if isinstance(error, RecursionError) else str(error)
        raise CasefileError(place, f"{reason}: {detail}", "Have it exported again.") from None


def _check(casefile: Casefile, place: str) -> None:
    mend = "Have it exported again."
    if casefile.version < 1:
        raise CasefileError(place, "is damaged: `version` counts from 1", mend)
    if not casefile.events:
        raise CasefileError(place, "is damaged: it has no events", mend)
    if is_site(casefile.case) or (casefile.site and not is_site(casefile.site)):
        raise CasefileError(place, "is damaged: a site stands where a case should, or else", mend)
    kept: dict[str, Entry] = {}
    for field, log, entries in (
        ("events", casefile.case, casefile.events),
        ("site_events", casefile.site, casefile.site_events),
    ):
        wrong = {n: f"it belongs to `{e.log}`" for n, e in enumerate(entries) if e.log != log}
        wrong |= flaws(entries, kept)
        if wrong:
            at = min(wrong)
            raise CasefileError(place, f"is damaged at `$.{field}[{at}]`: {wrong[at]}", mend)
    if casefile.digest != _digest(casefile.entries):
        reason = "is damaged: its events do not come to its `digest`"
        raise CasefileError(place, reason, mend)


def _digest(entries: tuple[Entry, ...]) -> str:
    return f"sha256:{hashlib.sha256(msgspec.json.encode(entries)).hexdigest()}"
