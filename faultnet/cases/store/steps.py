"""The tables as they came about, step by step; a step that was ever released never changes.

The SQL is what both databases understand. A step runs once in each store, in the same
transaction that writes down its number.
"""

import time
from collections.abc import Callable, Sequence

from sqlalchemy import Connection, inspect, text

from faultnet.cases.entry import time_text
from faultnet.cases.store.trouble import StoreError

Step = Callable[[Connection], None]

_LOCK = 0x6661756C  # any number that all who change the tables agree on


def _first(connection: Connection) -> None:
    for statement in (
        """CREATE TABLE faultnet_logs (
            id TEXT PRIMARY KEY,
            kind TEXT NOT NULL,
            system TEXT NOT NULL DEFAULT '',
            site TEXT NOT NULL DEFAULT '',
            name TEXT NOT NULL DEFAULT '',
            begun TEXT NOT NULL DEFAULT '',
            touched TEXT NOT NULL DEFAULT '',
            author TEXT NOT NULL DEFAULT '',
            ended TEXT NOT NULL DEFAULT '',
            entries INTEGER NOT NULL DEFAULT 0,
            purged TEXT NOT NULL DEFAULT '',
            gone TEXT NOT NULL DEFAULT ''
        )""",
        """CREATE TABLE faultnet_entries (
            id TEXT PRIMARY KEY,
            log TEXT NOT NULL REFERENCES faultnet_logs (id),
            place INTEGER NOT NULL,
            author TEXT NOT NULL,
            at TEXT NOT NULL,
            what TEXT NOT NULL,
            words TEXT NOT NULL DEFAULT '',
            purged INTEGER NOT NULL DEFAULT 0,
            entry TEXT NOT NULL,
            UNIQUE (log, place)
        )""",
        "CREATE INDEX faultnet_logs_by_site ON faultnet_logs (site)",
        "CREATE INDEX faultnet_logs_by_end ON faultnet_logs (kind, ended, touched)",
        "CREATE INDEX faultnet_entries_by_what ON faultnet_entries (what)",
    ):
        connection.execute(text(statement))


def _accounts(connection: Connection) -> None:
    for statement in (
        """CREATE TABLE faultnet_accounts (
            id TEXT PRIMARY KEY,
            name TEXT NOT NULL UNIQUE,
            role TEXT NOT NULL,
            password TEXT NOT NULL,
            made TEXT NOT NULL
        )""",
        """CREATE TABLE faultnet_sessions (
            digest TEXT PRIMARY KEY,
            account TEXT NOT NULL REFERENCES faultnet_accounts (id) ON DELETE CASCADE,
            begun TEXT NOT NULL,
            seen TEXT NOT NULL
        )""",
        """CREATE TABLE faultnet_tokens (
            id TEXT PRIMARY KEY,
            digest TEXT NOT NULL UNIQUE,
            name TEXT NOT NULL,
            role TEXT NOT NULL,
            made TEXT NOT NULL,
            expires TEXT NOT NULL,
            used TEXT NOT NULL DEFAULT '',
            revoked TEXT NOT NULL DEFAULT ''
        )""",
        """CREATE TABLE faultnet_tries (
            key TEXT PRIMARY KEY,
            begun TEXT NOT NULL,
            count INTEGER NOT NULL
        )""",
        """CREATE TABLE faultnet_trail (
            id TEXT PRIMARY KEY,
            at TEXT NOT NULL,
            who TEXT NOT NULL,
            address TEXT NOT NULL,
            deed TEXT NOT NULL,
            about TEXT NOT NULL
        )""",
        "CREATE INDEX faultnet_sessions_by_account ON faultnet_sessions (account)",
        "CREATE INDEX faultnet_trail_by_who ON faultnet_trail (who, id)",
        *_KEEPS_THE_TRAIL[connection.dialect.name],
    ):
        connection.execute(text(statement))


_KEEPS_THE_TRAIL = {
    "sqlite": [
        f"""CREATE TRIGGER faultnet_trail_no_{change} BEFORE {change} ON faultnet_trail
        BEGIN SELECT RAISE(ABORT, 'the trail is only added to'); END"""
        for change in ("update", "delete")
    ],
    "postgresql": [
        """CREATE FUNCTION faultnet_trail_kept() RETURNS trigger LANGUAGE plpgsql AS
        'BEGIN RAISE EXCEPTION ''the trail is only added to''; END'""",
        """CREATE TRIGGER faultnet_trail_kept BEFORE UPDATE OR DELETE OR TRUNCATE
        ON faultnet_trail EXECUTE FUNCTION faultnet_trail_kept()""",
    ],
}
"""Here the two databases differ in words."""

STEPS: tuple[Step, ...] = (_first, _accounts)


def step_up(
    reading: Connection,
    writing: Callable[[], Connection],
    place: str,
    steps: Sequence[Step] = STEPS,
) -> None:
    """Bring the tables of a store up to date; raise ``StoreError`` for newer or foreign ones."""
    if _number(reading, place, steps) == len(steps):
        return
    reading.rollback()
    with writing() as connection, connection.begin():
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _LOCK})
        number = _number(connection, place, steps)
        if number == 0:
            statement = "CREATE TABLE faultnet_steps (number INTEGER PRIMARY KEY, at TEXT NOT NULL)"
            connection.execute(text(statement))
        for each in range(number, len(steps)):
            steps[each](connection)
            done = {"number": each + 1, "at": time_text(time.time())}
            connection.execute(text("INSERT INTO faultnet_steps VALUES (:number, :at)"), done)


def _number(connection: Connection, place: str, steps: Sequence[Step]) -> int:
    """Return how many steps a store has had."""
    tables = inspect(connection).get_table_names()
    if "faultnet_steps" not in tables:
        if tables and connection.dialect.name == "sqlite":
            mend = "Name another file in FAULTNET_STORE."
            raise StoreError(place, "holds something else than cases of faultnet", mend)
        return 0
    number = connection.execute(text("SELECT max(number) FROM faultnet_steps")).scalar() or 0
    if number > len(steps):
        reason = f"was written by a newer faultnet (its tables are at step {number}, "
        reason += f"this one knows {len(steps)})"
        raise StoreError(place, reason, "Bring faultnet up to date; nothing was changed.")
    return int(number)
