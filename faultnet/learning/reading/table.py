"""Closed cases out of a table or view of a PostgreSQL server, by ranges of their ids."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import msgspec
import sqlalchemy as sql

from faultnet.cases.store.place import engine_of, place_of
from faultnet.cases.store.trouble import StoreError, told
from faultnet.learning.reading.columns import COLUMNS, case_of, check_columns
from faultnet.learning.reading.gathering import Gathering
from faultnet.learning.reading.row import printable
from faultnet.learning.reading.trouble import SourceError
from faultnet.learning.source import Batch

RANGE = 1000
"""Cases of a part."""

_MEND = "See that the server runs, that URL and table are right, and that you may read there."

Key = str | int | None


class TableSource(msgspec.Struct, frozen=True):
    """A table or view, perhaps with its schema before a dot, at the URL of a server."""

    url: str
    table: str

    def parts(self) -> "tuple[TablePart, ...]":
        """Return ranges of ids of as many cases each, in the order that the server gives ids.

        Rows without an id come last. Raises ``SourceError``.
        """
        with _connected(self.url, self.table) as (connection, shown):
            table = _named(self.table)
            found = connection.execute(sql.select(sql.text("*")).select_from(table).limit(0))
            names = list(found.keys())
            check_columns(shown, names)
            rank = sql.func.row_number().over(order_by=table.c.id).label("rank")
            ranked = sql.select(table.c.id, rank).where(table.c.id.is_not(None)).subquery()
            query = sql.select(ranked.c.id).where((ranked.c.rank - 1) % RANGE == 0)
            begins = [row.id for row in connection.execute(query.order_by(ranked.c.id))]
        columns = tuple(names)
        keys: list[Key] = [*dict.fromkeys(begins), None]
        ranges = [
            TablePart(self.url, self.table, columns, first, last) for first, last in pairwise(keys)
        ]
        return (*ranges, TablePart(self.url, self.table, columns, None, None))


class TablePart(msgspec.Struct, frozen=True):
    """The rows from one id to before another (or to the end); from none: those without an id."""

    url: str
    table: str
    columns: tuple[str, ...]
    first: Key
    last: Key

    def read(self) -> Batch:
        """Return the cases of the range; raise ``SourceError`` where the server does not answer."""
        found = Gathering()
        with _connected(self.url, self.table) as (connection, shown):
            rows = connection.execution_options(yield_per=RANGE).execute(self._query())
            for row in rows.mappings():
                name = printable(str(row["id"]))
                at = f"{shown}, id {name}"
                found.row(at, partial(case_of, dict(row)), partial(str, name))
        return found.batch

    def _query(self) -> sql.Select[Any]:
        table = _named(self.table)
        key = table.c.id
        # Rows with the same id stand in the same order whenever they are read.
        others = [sql.cast(table.c[name], sql.Text) for name in self.columns if name != "id"]
        query = sql.select(*(table.c[name] for name in self.columns)).order_by(key, *others)
        if self.first is None:
            return query.where(key.is_(None))
        query = query.where(key >= self.first)
        return query if self.last is None else query.where(key < self.last)


@contextmanager
def _connected(url: str, table: str) -> Iterator[tuple[sql.Connection, str]]:
    """Connect for reading; yield the connection and how the table is shown.

    Raises ``SourceError`` for whatever the server does not do.
    """
    try:
        place = place_of(url, Path())
        shown = f"{place.shown}#{table}"
        engine = engine_of(place)
        try:
            with told(shown), engine.connect() as connection:
                yield connection, shown
        finally:
            engine.dispose()
    except StoreError as error:
        raise SourceError(error.place, error.reason, _MEND) from error


def _named(name: str) -> sql.TableClause:
    schema, _, table = name.rpartition(".")
    return sql.table(table, *map(sql.column, COLUMNS), schema=schema or None)
