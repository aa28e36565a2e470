"""The trail: who did what, and when. Rows are added and never changed.

It holds no passwords, no secrets and nothing of customers; a case is told by its id.
"""

from typing import Literal, get_args

import msgspec
from sqlalchemy import Connection, select, text

from faultnet.accounts.tables import TRAIL
from faultnet.cases.entry import new_id, time_text
from faultnet.cases.store.store import Store, plain

Deed = Literal[
    "log-in",
    "failed log-in",
    "log-out",
    "account added",
    "account removed",
    "role given",
    "password given",
    "token made",
    "token revoked",
    "case opened",
    "case looked at",
    "case written",
    "case exported",
    "case taken along",
    "case purged",
    "refused",
]
DEEDS: tuple[Deed, ...] = get_args(Deed)

LONGEST = 200
"""Characters of a field."""

_ADD = text(
    "INSERT INTO faultnet_trail (id, at, who, address, deed, about) "
    "VALUES (:id, :at, :who, :address, :deed, :about) ON CONFLICT (id) DO NOTHING"
)


class Noted(msgspec.Struct, frozen=True):
    """What somebody did; ``about`` is a case, an account, a token or a place of the server."""

    at: str
    who: str
    address: str
    deed: Deed
    about: str


def note(
    store: Store,
    who: str,
    deed: Deed,
    about: str = "",
    *,
    address: str = "",
    at: float,
    apart: float = 0.0,
) -> None:
    """Add a row; not where the last of this person is the same and not so many seconds old.

    Raises ``StoreError``.
    """
    row = {
        "id": new_id(at),
        "at": time_text(at),
        "who": _short(who),
        "address": _short(address),
        "deed": deed,
        "about": _short(about),
    }
    last = (
        select(TRAIL.c.at, TRAIL.c.deed, TRAIL.c.about)
        .where(TRAIL.c.who == row["who"])
        .order_by(TRAIL.c.id.desc())
        .limit(1)
    )

    def is_same(connection: Connection) -> bool:
        before = connection.execute(last).first()
        same = before is not None and (before.deed, before.about) == (deed, row["about"])
        return bool(before and same and before.at > time_text(at - apart))

    if not (apart and store.run(is_same)):
        store.run(lambda connection: connection.execute(_ADD, row), writing=True)


def noted(
    store: Store, *, who: str = "", deed: str = "", about: str = "", most: int = 100
) -> list[Noted]:
    """Return rows, the last first; of one person, of one deed or about one thing if wished.

    Raises ``StoreError``.
    """
    query = select(*(TRAIL.c[field] for field in Noted.__struct_fields__))
    for column, value in ((TRAIL.c.who, who), (TRAIL.c.deed, deed), (TRAIL.c.about, about)):
        if value:
            query = query.where(column == value)
    query = query.order_by(TRAIL.c.id.desc()).limit(most)

    def work(connection: Connection) -> list[Noted]:
        return [Noted(**row) for row in connection.execute(query).mappings()]

    return store.run(work)


def person(author: str) -> str:
    """Return who an author of entries is, without the device."""
    return author.rpartition("@")[0] or author


def _short(words: str) -> str:
    seen = "".join(c if c.isprintable() else "?" for c in plain(words))
    return seen.encode("utf-8", "replace").decode()[:LONGEST]
