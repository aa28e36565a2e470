"""The store: entries are kept once, and acknowledged when they are on the disk."""

from collections.abc import Callable, Iterable, Sequence
from contextlib import nullcontext
from threading import Lock
from typing import Any, Self, TypeVar

import msgspec
from sqlalchemy import Connection, Row, select, text, update
from sqlalchemy.exc import DBAPIError

from faultnet.cases import events as e
from faultnet.cases.anonymous import anonymous, customer_text
from faultnet.cases.entry import STORED, Entry, is_site
from faultnet.cases.order import order_of
from faultnet.cases.standing import standing_of
from faultnet.cases.store.place import PATIENCE, WRITING, Place, engine_of
from faultnet.cases.store.steps import STEPS, Step, step_up
from faultnet.cases.store.tables import ENTRIES, LOGS
from faultnet.cases.store.trouble import (
    DeletedError,
    KeptOtherwiseError,
    OvertakenError,
    StoreError,
    told,
)

T = TypeVar("T")

_AT_ONCE = 500
"""Ids looked up at a time."""

_DECIDE = (
    e.Opened,
    e.AtSite,
    e.Follows,
    e.Ended,
    e.Reopened,
    e.SiteBegun,
    e.Named,
    e.Undone,
)
"""Events that may change where a log stands."""


class Log(msgspec.Struct, frozen=True):
    """The entries of a case or a site as they were kept.

    ``unread`` counts those that are damaged or of a newer faultnet; ``place`` is that of
    the last.
    """

    entries: tuple[Entry, ...] = ()
    unread: int = 0
    place: int = 0


class Store:
    """Cases and sites in one database. Every method raises ``StoreError``."""

    def __init__(
        self, place: Place, *, patience: float = PATIENCE, steps: Sequence[Step] = STEPS
    ) -> None:
        """Open a store and bring its tables up to date; ``patience`` is in seconds."""
        self.place = place
        # One writes to a file at a time: threads that wait here do not come too late there.
        self._turn = Lock() if place.is_file else nullcontext()
        self._engine = engine_of(place, patience)
        try:
            with told(place.shown), self._engine.connect() as connection:
                step_up(connection, self._writing, place.shown, steps)
        except StoreError:
            self._engine.dispose()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        with told(self.place.shown):
            self._engine.dispose()

    def append(self, entries: Iterable[Entry], behind: int | None = None) -> tuple[Entry, ...]:
        """Keep entries, and return those that were new; all or none, and once each.

        When this returns they are on the disk. Entries of a log from which customer texts
        were taken out lose theirs as well. With ``behind`` new ones are kept only where that
        is the place of the last of their log; else raises ``OvertakenError``.
        """
        by_log: dict[str, dict[str, Entry]] = {}
        for entry in entries:
            by_log.setdefault(entry.log, {})[entry.id] = entry

        def work(connection: Connection) -> tuple[Entry, ...]:
            new: list[Entry] = []
            for log in sorted(by_log):
                new += self._append(connection, log, by_log[log], behind)
            return tuple(new)

        return self.run(work, writing=True) if by_log else ()

    def read(self, log: str, since: int = 0) -> Log:
        """Return the entries of a log that were kept after a place, in that order."""
        query = select(ENTRIES.c.entry, ENTRIES.c.place).where(
            ENTRIES.c.log == log, ENTRIES.c.place > since
        )

        def work(connection: Connection) -> Log:
            return _log(connection.execute(query.order_by(ENTRIES.c.place)).all(), since)

        return self.run(work)

    def run(self, work: Callable[[Connection], T], *, writing: bool = False) -> T:
        """Do some work in one transaction; once more where the server went away meanwhile.

        What is kept is kept once by its id, so doing it again does no harm.
        """

        def once() -> T:
            if not writing:
                with self._engine.connect() as connection, connection.begin():
                    return work(connection)
            with self._turn, self._writing() as connection, connection.begin():
                return work(connection)

        with told(self.place.shown):
            try:
                return once()
            except DBAPIError as error:
                if not error.connection_invalidated:
                    raise
                return once()

    def sweep(self) -> None:
        """Have what was taken out leave the disk as well."""
        with told(self.place.shown), self._engine.connect() as connection:
            raw = connection.execution_options(isolation_level="AUTOCOMMIT")
            if self.place.is_file:
                raw.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
            else:
                raw.exec_driver_sql("VACUUM faultnet_entries")
                raw.exec_driver_sql("VACUUM faultnet_logs")

    def _writing(self) -> Connection:
        return self._engine.connect().execution_options(**WRITING)

    def _append(
        self, connection: Connection, log: str, entries: dict[str, Entry], behind: int | None
    ) -> tuple[Entry, ...]:
        row = held(connection, log)
        if row.gone:
            reason = f"{log} was deleted on {row.gone[:10]}, and nothing of it is kept"
            raise DeletedError(self.place.shown, reason)
        if row.purged:
            entries = {name: anonymous(entry) for name, entry in entries.items()}
        known = self._known(connection, entries)
        new = tuple(entry for name, entry in entries.items() if name not in known)
        if not new:
            return ()
        if behind not in (None, row.entries):
            raise OvertakenError(self.place.shown, f"somebody else wrote to {log} meanwhile")
        connection.execute(
            ENTRIES.insert(),
            [
                {**columns(entry), "place": row.entries + number, "purged": int(bool(row.purged))}
                for number, entry in enumerate(new, 1)
            ],
        )
        changes: dict[str, Any] = {"entries": row.entries + len(new)}
        if row.entries == 0 or any(isinstance(entry.event, _DECIDE) for entry in new):
            changes |= standing(connection, log)
        else:
            last = max(new, key=lambda entry: entry.at)
            if last.at >= row.touched:
                changes |= {"touched": last.at, "author": last.author}
        connection.execute(update(LOGS).where(LOGS.c.id == log).values(changes))
        return new

    def _known(self, connection: Connection, entries: dict[str, Entry]) -> set[str]:
        """Return which ids are kept already; raise where one is kept with other content."""
        names = list(entries)
        known: set[str] = set()
        for start in range(0, len(names), _AT_ONCE):
            some = names[start : start + _AT_ONCE]
            query = select(ENTRIES.c.id, ENTRIES.c.entry, ENTRIES.c.purged)
            for row in connection.execute(query.where(ENTRIES.c.id.in_(some))):
                if not row.purged and row.entry != _json(entries[row.id]):
                    reason = f"the entry {row.id} is kept already, with other content"
                    mend = "Nothing was changed. One of the two is damaged or forged."
                    raise KeptOtherwiseError(self.place.shown, reason, mend)
                known.add(row.id)
        return known


def held(connection: Connection, log: str) -> Row[Any]:
    """Return the row of a log, made where it is new; nobody else writes it meanwhile."""
    make = "INSERT INTO faultnet_logs (id, kind) VALUES (:id, :kind) ON CONFLICT (id) DO NOTHING"
    connection.execute(text(make), {"id": log, "kind": "site" if is_site(log) else "case"})
    connection.execute(update(LOGS).where(LOGS.c.id == log).values(id=log))
    return connection.execute(select(LOGS).where(LOGS.c.id == log)).one()


def standing(connection: Connection, log: str) -> dict[str, Any]:
    """Return the columns that follow from the entries of a log."""
    query = select(ENTRIES.c.entry, ENTRIES.c.place).where(ENTRIES.c.log == log)
    order = order_of(_log(connection.execute(query.order_by(ENTRIES.c.place)).all(), 0).entries)
    now = standing_of(order)
    texts = {
        "system": now.system,
        "site": now.site,
        "name": now.name,
        "begun": now.begun,
        "touched": now.touched,
        "author": now.last,
        "ended": now.ended,
    }
    return {name: plain(words) for name, words in texts.items()}


def columns(entry: Entry) -> dict[str, Any]:
    """Return an entry as a row, without its place."""
    return {
        "id": entry.id,
        "log": entry.log,
        "author": entry.author,
        "at": entry.at,
        "what": entry.event.__struct_config__.tag,
        "words": plain(customer_text(entry.event)).casefold(),
        "entry": _json(entry),
    }


def plain(words: str) -> str:
    """Return text that every database takes."""
    return words.replace("\0", " ")


def _json(entry: Entry) -> str:
    return msgspec.json.encode(entry).decode()


def _log(rows: Sequence[Any], since: int) -> Log:
    entries, unread = [], 0
    for row in rows:
        try:
            entries.append(STORED.decode(row.entry))
        except (msgspec.DecodeError, UnicodeError, RecursionError):
            unread += 1
    return Log(tuple(entries), unread, rows[-1].place if rows else since)
