"""Who is logged in; every function raises ``StoreError``."""

from sqlalchemy import Connection, delete, or_, select, update

from faultnet.accounts.account import Account, account_from
from faultnet.accounts.secret import digest, drawn
from faultnet.accounts.tables import ACCOUNTS, SESSIONS
from faultnet.cases.entry import time_text
from faultnet.cases.store.store import Store

HOUR = 3600.0
IDLE = 12 * HOUR
"""Seconds without a request after which a session is over: a working day (judgement)."""

LONGEST = 7 * 24 * HOUR
"""Seconds after log-in when a session is over whatever happened: a week (judgement)."""

FINE = 60.0
"""Seconds; when a session was last seen is written down no finer."""


def begin(store: Store, account: Account, at: float) -> str:
    """Begin a session and return its secret, for the browser alone; those long over go."""
    secret, now = drawn(), time_text(at)
    row = {"digest": digest(secret), "account": account.id, "begun": now, "seen": now}

    def work(connection: Connection) -> None:
        over = or_(SESSIONS.c.seen <= _ago(at, IDLE), SESSIONS.c.begun <= _ago(at, LONGEST))
        connection.execute(delete(SESSIONS).where(over))
        connection.execute(SESSIONS.insert(), [row])

    store.run(work, writing=True)
    return secret


def account_of(store: Store, secret: str, at: float, *, in_person: bool = True) -> Account | None:
    """Return whose session this is, as the account stands by now; None where it is over.

    What was not asked for ``in_person``, but by a script, does not keep it open.
    """
    query = (
        select(ACCOUNTS.c.id, ACCOUNTS.c.name, ACCOUNTS.c.role, ACCOUNTS.c.made, SESSIONS.c.seen)
        .join_from(SESSIONS, ACCOUNTS, SESSIONS.c.account == ACCOUNTS.c.id)
        .where(
            SESSIONS.c.digest == digest(secret),
            SESSIONS.c.seen > _ago(at, IDLE),
            SESSIONS.c.begun > _ago(at, LONGEST),
        )
    )
    row = store.run(lambda connection: connection.execute(query).mappings().first())
    if row is None:
        return None
    if in_person and row["seen"] < _ago(at, FINE):
        _seen(store, secret, at)
    return account_from(row)


def end(store: Store, secret: str) -> None:
    """End a session, if there is one."""
    gone = delete(SESSIONS).where(SESSIONS.c.digest == digest(secret))
    store.run(lambda connection: connection.execute(gone), writing=True)


def _seen(store: Store, secret: str, at: float) -> None:
    mine = update(SESSIONS).where(SESSIONS.c.digest == digest(secret))
    store.run(lambda connection: connection.execute(mine.values(seen=time_text(at))), writing=True)


def _ago(at: float, seconds: float) -> str:
    return time_text(at - seconds)
