"""Visits as they were kept before there was a store: one file each, one event a line.

The same file always gives the same entries, so that reading it twice changes nothing.
"""

import hashlib
from typing import Any

import msgspec

from faultnet.cases.casefile import CasefileError
from faultnet.cases.counting import last_undoable
from faultnet.cases.entry import Entry, flaw
from faultnet.cases.events import AnyEvent, Opened, Undone

SUFFIX = ".jsonl"
AUTHOR = "earlier"
"""Who wrote them is not known."""


class _Line(msgspec.Struct, frozen=True):
    at: str
    event: msgspec.Raw


def entries_from(data: bytes, stem: str, place: str) -> tuple[tuple[Entry, ...], int]:
    """Return the entries of a visit, and how many lines were damaged.

    ``stem`` is the name of the file without its ending. Raises ``CasefileError`` where no
    line says how the visit was opened.
    """
    lines = [line for line in data.split(b"\n") if line.strip()]
    log = f"{stem}-{hashlib.sha256(lines[0] if lines else b'').hexdigest()[:5]}"
    entries: list[Entry] = []
    lost = 0
    for number, line in enumerate(lines, 1):
        try:
            entry = _entry(log, number, line, entries)
        except (msgspec.DecodeError, UnicodeError, RecursionError):
            lost += 1
            continue
        if entry and not flaw(entry):
            entries.append(entry)
        elif entry:
            lost += 1
    if not entries or not isinstance(entries[0].event, Opened):
        mend = f"Such a file has an event a line, the first of which is `{_tag(Opened)}`."
        raise CasefileError(place, "is no visit of faultnet", mend)
    return tuple(entries), lost


def _entry(log: str, number: int, line: bytes, before: list[Entry]) -> Entry | None:
    """Return a line as an entry; None for an undoing with nothing before it."""
    found = msgspec.json.decode(line, type=_Line)
    event = _event(bytes(found.event), before)
    if event is None:
        return None
    name = f"{log}-{number}-{hashlib.sha256(line).hexdigest()[:12]}"
    after = (before[-1].id,) if before else ()
    return Entry(name, log, AUTHOR, found.at, len(before) + 1, after, event)


def _event(raw: bytes, before: list[Entry]) -> AnyEvent | None:
    fields: Any = msgspec.json.decode(raw)
    if fields == {"what": _tag(Undone)}:
        # It meant the event before that still counted.
        undone = {entry.event.event for entry in before if isinstance(entry.event, Undone)}
        counted = tuple(entry for entry in before if entry.id not in undone)
        last = last_undoable(counted, AUTHOR)
        return Undone(last.id) if last else None
    event: AnyEvent = msgspec.convert(fields, type=AnyEvent)
    return event


def _tag(event: type[msgspec.Struct]) -> str:
    return str(event.__struct_config__.tag)
