"""The columns of a closed case, the same in files and tables.

What is a list or has fields of its own stands as JSON text, which every database and every
language writes; nested columns are read as well.
"""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from uuid import UUID

import msgspec

from faultnet.authoring.nearest import did_you_mean
from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.trouble import SourceError

COLUMNS = ClosedCase.__struct_fields__
"""Their names, in order."""

NUMBERS = ("trips",)
"""Columns of whole numbers; all others are texts."""

NESTED = ("evidence", "confirmed", "steps", "parts", "unknown")
"""Columns that hold JSON."""

NEEDED = tuple(field.name for field in msgspec.structs.fields(ClosedCase) if field.required)
"""Columns that are always there; what is missing of the others is as it is by itself."""


def row_of(case: ClosedCase) -> dict[str, str | int]:
    """Return a case by its columns."""
    return {
        name: msgspec.json.encode(getattr(case, name)).decode()
        if name in NESTED
        else getattr(case, name)
        for name in COLUMNS
    }


def case_of(row: Mapping[str, Any]) -> ClosedCase:
    """Return the case that a row holds; what is null there is as it is by itself.

    Raises ``msgspec.DecodeError``, of which ``msgspec.ValidationError`` is a kind, and
    ``UnicodeError`` or ``RecursionError`` for JSON that is no text or nests too deep.
    """
    fields = {name: _plain(name, value) for name, value in row.items() if value is not None}
    return msgspec.convert(fields, ClosedCase)


def _plain(name: str, value: object) -> object:
    if name in NESTED:
        return msgspec.json.decode(value) if isinstance(value, (str, bytes)) else _whole(value)
    if isinstance(value, dt.datetime):
        return _time(value)
    return str(value) if name == "id" and isinstance(value, (int, UUID)) else value


def _whole(value: object) -> object:
    """Return nested values without what is null: there it is as it is by itself."""
    if isinstance(value, Mapping):
        return {name: _whole(each) for name, each in value.items() if each is not None}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_whole(each) for each in value]
    return value


def _time(value: dt.datetime) -> str:
    """Return a time as it is written, in UTC where its zone is known."""
    if value.tzinfo is None:
        return value.isoformat(timespec="milliseconds")
    moment = value.astimezone(dt.UTC).replace(tzinfo=None)
    return f"{moment.isoformat(timespec='milliseconds')}Z"


def check_columns(place: str, names: Iterable[str]) -> None:
    """Raise ``SourceError`` for columns that are missing, unknown, or there twice."""
    found = list(names)
    known = f"The columns are: {', '.join(COLUMNS)}."
    for name in found:
        if name not in COLUMNS:
            mend = f"{did_you_mean(name, COLUMNS)} {known} Leave others out.".strip()
            raise SourceError(place, f"the column `{name[:40]}` is not known", mend)
    missing = [name for name in NEEDED if name not in found]
    if missing:
        raise SourceError(place, f"the column `{missing[0]}` is missing", known)
    if len(set(found)) < len(found):
        raise SourceError(place, "a column is there twice", "Leave one of them out.")
