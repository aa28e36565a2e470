"""Closed cases out of the case store."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import msgspec
import sqlalchemy as sql

from faultnet.authoring.nearest import did_you_mean
from faultnet.cases.entry import STORED, Entry
from faultnet.cases.fold import fold
from faultnet.cases.order import order_of
from faultnet.cases.renaming import renamed_entries
from faultnet.cases.standing import standing_of
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
from faultnet.cases.store.tables import ENTRIES, LOGS
from faultnet.cases.store.trouble import StoreError
from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.carried import packed, subject_in, unpacked
from faultnet.learning.reading.closed_case import closed_case
from faultnet.learning.reading.no_longer import unknown_in
from faultnet.learning.reading.own_words import of_many_sites, without_customer
from faultnet.learning.reading.trouble import SourceError
from faultnet.learning.source import Batch, SetAside
from faultnet.model.knowledge import Knowledge

RANGE = 250
"""Cases of a part."""


class StoreSource(msgspec.Struct, frozen=True):
    """The closed cases of a store (a file, or the URL of a server), as the knowledge has them."""

    url: str
    knowledge: Knowledge

    def parts(self) -> "tuple[StorePart, ...]":
        """Return the cases that are closed by now, by their ids; raise ``SourceError``."""
        query = sql.select(LOGS.c.id).where(
            LOGS.c.kind == "case", LOGS.c.ended != "", LOGS.c.gone == "", LOGS.c.entries > 0
        )
        with _opened(self.url) as store:
            # The order is ours, not that of the database: servers differ in it.
            ids = sorted(store.run(lambda connection: list(connection.execute(query).scalars())))
            follows = _follows(store)
            words = _words(store, follows)
        after = {before: case for case, before in reversed(follows)}  # the first of several
        data = packed(self.knowledge)
        return tuple(
            StorePart(self.url, data, tuple((name, after.get(name, "")) for name in some), words)
            for some in (ids[start : start + RANGE] for start in range(0, len(ids), RANGE))
        )


class StorePart(msgspec.Struct, frozen=True):
    """Some cases of a store by their ids, each with its call-back; the knowledge is packed.

    ``words`` are those that are left of what people wrote in their own.
    """

    url: str
    packed: bytes
    ids: tuple[tuple[str, str], ...]
    words: tuple[str, ...] = ()

    def read(self) -> Batch:
        """Return the cases; raise ``SourceError`` where the store cannot be read."""
        with _opened(self.url) as store:
            found = [self._case(store, *each) for each in self.ids]
            shown = store.place.shown
        cases = tuple(each for each in found if isinstance(each, ClosedCase))
        return Batch(
            cases,
            tuple(each for each in found if isinstance(each, SetAside)),
            tuple(f"{shown}, case {each.id}" for each in cases),
        )

    def _case(self, store: Store, name: str, followed_by: str) -> ClosedCase | SetAside:
        def aside(code: str, reason: str) -> SetAside:
            return SetAside(f"{store.place.shown}, case {name}", code, reason, name)

        log = store.read(name)
        if log.unread:
            reason = f"{log.unread} of its events are damaged or of a newer faultnet"
            return aside("damaged", reason)
        knowledge = unpacked(self.packed)
        # Customers never come so far.
        read = (without_customer(entry, self.words) for entry in log.entries)
        entries = renamed_entries(knowledge, read)
        system = standing_of(order_of(entries)).system
        if system not in knowledge.systems:
            hint = did_you_mean(system, knowledge.systems)
            return aside("unknown-id", f"there is no system `{system[:40]}`. {hint}".strip())
        subject = subject_in(self.packed, system)
        case = fold(subject, entries)
        if case.missing:
            reason = f"{case.missing} of its events were written elsewhere and never arrived"
            return aside("incomplete", reason)
        if not case.ended:
            return aside("not-closed", "it was opened again meanwhile")
        unknown = unknown_in(knowledge, entries, case)
        if unknown:
            return aside("unknown-id", unknown)
        return closed_case(subject, case, followed_by)


@contextmanager
def _opened(url: str) -> Iterator[Store]:
    try:
        place = place_of(url, Path())
        if place.path and not place.path.is_file():
            raise SourceError(place.shown, "there is no such store", "Name another.")
        with Store(place) as store:
            yield store
    except StoreError as error:
        raise SourceError(error.place, error.reason, error.mend) from error


def _follows(store: Store) -> list[tuple[str, str]]:
    """Return the call-backs by their ids, each with the case that it follows."""
    holds = ENTRIES.c.entry.contains('"follows":')
    said = _entries(store, sql.or_(_is("follows"), sql.and_(_is("opened"), holds)))
    # What was taken back counts no longer: the whole case tells what it follows.
    return [
        (case, before)
        for case in dict.fromkeys(entry.log for entry in said)
        for before in standing_of(order_of(store.read(case).entries)).follows
    ]


def _words(store: Store, follows: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Return the words that are left of what people wrote of causes in no file."""
    unlisted = sql.and_(_is("confirmed"), ENTRIES.c.entry.contains('"unlisted":true'))
    query = sql.select(LOGS.c.id, LOGS.c.site).where(LOGS.c.kind == "case")
    sites = store.run(lambda connection: dict(map(tuple, connection.execute(query))))
    return tuple(sorted(of_many_sites(_entries(store, unlisted), sites, dict(follows))))


def _entries(store: Store, which: sql.ColumnElement[bool]) -> Iterator[Entry]:
    """Yield some entries by their cases, without those that are damaged."""
    query = sql.select(ENTRIES.c.log, ENTRIES.c.entry).where(which)
    rows = store.run(lambda connection: connection.execute(query).all())
    for row in sorted(tuple(row) for row in rows):
        with suppress(msgspec.DecodeError):
            yield STORED.decode(row[1])


def _is(what: str) -> sql.ColumnElement[bool]:
    return ENTRIES.c.what == what
