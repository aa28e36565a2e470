"""Taking customer data out: what was found and done stays, or nothing does."""

from collections.abc import Sequence

import msgspec
from sqlalchemy import Connection, delete, select, update

from faultnet.cases.anonymous import anonymous
from faultnet.cases.entry import STORED, is_site
from faultnet.cases.store import listing
from faultnet.cases.store.listing import Listed
from faultnet.cases.store.store import Store, columns, held, standing
from faultnet.cases.store.tables import ENTRIES, LOGS


def due_by_age(store: Store, before: str) -> list[Listed]:
    """Return cases that were closed and not touched since a time, and not purged yet.

    Sites all of whose cases are among these, or were purged, come with them. Raises
    ``StoreError``.
    """
    old = [c for c in listing.cases(store, ended=True) if c.touched < before and not c.purged]
    names = {case.id for case in old}
    left = {c.site for c in listing.cases(store) if c.id not in names and not c.purged}
    of_old = {case.site for case in old}
    sites = [s for s in listing.sites(store) if s.id in of_old - left and not s.purged]
    return [*old, *sites]


def due_by_site(store: Store, site: str) -> list[Listed]:
    """Return a site with all of its cases; raise ``StoreError``."""
    return [
        *listing.cases(store, site=site),
        *(each for each in listing.sites(store) if each.id == site),
    ]


def purge(store: Store, logs: Sequence[Listed], at: str, *, whole: bool = False) -> None:
    """Take the customer texts out of cases and sites, or all of them with ``whole``.

    Either all of it is done or nothing. Raises ``StoreError``.
    """

    def work(connection: Connection) -> None:
        for each in logs:
            held(connection, each.id)
            if whole or is_site(each.id):
                _forget(connection, each.id, at)
            else:
                _rewrite(connection, each.id, at)

    store.run(work, writing=True)
    store.sweep()


def _rewrite(connection: Connection, log: str, at: str) -> None:
    rows = connection.execute(select(ENTRIES.c.id, ENTRIES.c.entry).where(ENTRIES.c.log == log))
    for row in rows.all():
        try:
            before = STORED.decode(row.entry)
        except (msgspec.DecodeError, UnicodeError, RecursionError):
            # What cannot be read may hold anything.
            connection.execute(delete(ENTRIES).where(ENTRIES.c.id == row.id))
            continue
        after = anonymous(before)
        if after != before:
            values = {**columns(after), "purged": 1}
            connection.execute(update(ENTRIES).where(ENTRIES.c.id == row.id).values(values))
    changes = {**standing(connection, log), "purged": at}
    connection.execute(update(LOGS).where(LOGS.c.id == log).values(changes))


def _forget(connection: Connection, log: str, at: str) -> None:
    connection.execute(delete(ENTRIES).where(ENTRIES.c.log == log))
    cleared = dict.fromkeys(("system", "site", "name", "begun", "touched", "author", "ended"), "")
    values = {**cleared, "entries": 0, "purged": at, "gone": at}
    connection.execute(update(LOGS).where(LOGS.c.id == log).values(values))
