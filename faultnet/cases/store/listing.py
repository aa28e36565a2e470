"""Which cases and sites there are."""

from collections.abc import Collection

import msgspec
from sqlalchemy import ColumnElement, Connection, func, or_, select

from faultnet.cases.store.store import Store
from faultnet.cases.store.tables import ENTRIES, LOGS


class Listed(msgspec.Struct, frozen=True):
    """A case or a site with where it stands; ``name`` is that of the site.

    ``entries`` counts what was kept of it.
    """

    id: str
    kind: str
    system: str
    site: str
    name: str
    begun: str
    touched: str
    author: str
    ended: str
    entries: int
    purged: str


_SITES = LOGS.alias("sites")
_COLUMNS = (
    LOGS.c.id,
    LOGS.c.kind,
    LOGS.c.system,
    LOGS.c.site,
    func.coalesce(_SITES.c.name, LOGS.c.name).label("name"),
    LOGS.c.begun,
    LOGS.c.touched,
    LOGS.c.author,
    LOGS.c.ended,
    LOGS.c.entries,
    LOGS.c.purged,
)
_QUERY = (
    select(*_COLUMNS)
    .select_from(LOGS.outerjoin(_SITES, _SITES.c.id == LOGS.c.site))
    .where(LOGS.c.gone == "", LOGS.c.entries > 0)
    .order_by(LOGS.c.touched.desc(), LOGS.c.id)
)


def cases(
    store: Store,
    *,
    ended: str | bool | None = None,
    site: str = "",
    system: str = "",
    author: str = "",
) -> list[Listed]:
    """Return cases, the last touched first.

    ``ended`` is whether they are closed, or how; ``author`` is how the name begins of
    whoever wrote last. Raises ``StoreError``.
    """
    where = [LOGS.c.kind == "case"]
    if isinstance(ended, bool):
        where.append(LOGS.c.ended != "" if ended else LOGS.c.ended == "")
    elif ended:
        where.append(LOGS.c.ended == ended)
    for column, value in ((LOGS.c.site, site), (LOGS.c.system, system)):
        if value:
            where.append(column == value)
    if author:
        where.append(LOGS.c.author.startswith(author, autoescape=True))
    return _listed(store, *where)


def sites(store: Store) -> list[Listed]:
    """Return sites, the last touched first; raise ``StoreError``."""
    return _listed(store, LOGS.c.kind == "site")


def named(store: Store, part: str) -> list[Listed]:
    """Return the case or site with this id, else those whose id has this part."""
    exact = _listed(store, LOGS.c.id == part)
    return exact or _listed(store, LOGS.c.id.contains(part, autoescape=True))


def with_ids(store: Store, ids: Collection[str]) -> list[Listed]:
    """Return the cases and sites of these ids that there are; raise ``StoreError``."""
    return _listed(store, LOGS.c.id.in_(ids))


def found(store: Store, words: str) -> list[Listed]:
    """Return cases and sites that have all of these words in notes, names or ids.

    What is found at a site is found for each of its cases. Raises ``StoreError``.
    """
    where: list[ColumnElement[bool]] = []
    for word in words.casefold().replace("\0", " ").split():
        said = select(ENTRIES.c.log).where(ENTRIES.c.words.contains(word, autoescape=True))
        inside = func.lower(LOGS.c.id).contains(word, autoescape=True)
        where.append(or_(LOGS.c.id.in_(said), LOGS.c.site.in_(said), inside))
    return _listed(store, *where) if where else []


def _listed(store: Store, *where: ColumnElement[bool]) -> list[Listed]:
    def work(connection: Connection) -> list[Listed]:
        rows = connection.execute(_QUERY.where(*where)).mappings()
        return [Listed(**row) for row in rows]

    return store.run(work)


def reached(store: Store, logs: Collection[str]) -> dict[str, int]:
    """Return how far each of these cases and sites has come: the place of its last entry.

    One look however many there are; those that are not there are left out. Raises
    ``StoreError``.
    """
    query = select(LOGS.c.id, LOGS.c.entries).where(LOGS.c.id.in_(logs), LOGS.c.entries > 0)

    def work(connection: Connection) -> dict[str, int]:
        return {row.id: row.entries for row in connection.execute(query.where(LOGS.c.gone == ""))}

    return store.run(work)
