"""How often somebody may try; every function raises ``StoreError``."""

from collections.abc import Mapping

from sqlalchemy import Connection, delete, text, update

from faultnet.accounts.secret import digest
from faultnet.accounts.tables import TRIES
from faultnet.cases.entry import seconds_of, time_text
from faultnet.cases.store.store import Store

WINDOW = 900.0
"""Seconds within which tries are counted."""

LONG_OVER = 86_400.0
"""Seconds after which a count is thrown away; nobody is waiting for it by then."""

_COUNT = text(
    "INSERT INTO faultnet_tries (key, begun, count) VALUES (:key, :now, 1) "
    "ON CONFLICT (key) DO UPDATE SET "
    "count = CASE WHEN faultnet_tries.begun <= :over THEN 1 ELSE faultnet_tries.count + 1 END, "
    "begun = CASE WHEN faultnet_tries.begun <= :over THEN :now ELSE faultnet_tries.begun END "
    "RETURNING begun, count"
)


def counted(store: Store, most: Mapping[str, int], at: float) -> float:
    """Count a try under each of these names, and return how many seconds to wait.

    0.0 where none of them has been tried more than so often. The try is counted before it
    is looked at, so many at once gain nothing.
    """
    now, over = time_text(at), time_text(at - WINDOW)

    def work(connection: Connection) -> float:
        wait = 0.0
        for name in sorted(most):
            row = {"key": digest(name), "now": now, "over": over}
            begun, count = connection.execute(_COUNT, row).one()
            if count > most[name]:
                wait = max(wait, seconds_of(begun) + WINDOW - at, 1.0)
        return wait

    return store.run(work, writing=True)


def taken_back(store: Store, forgotten: str, others: tuple[str, ...], at: float) -> None:
    """Forget all tries under one name, and the last one under others: it was right.

    Names are taken in the order in which they are counted, so that two who log in at once
    never wait for each other. What is long over goes from the table.
    """

    def work(connection: Connection) -> None:
        for name in sorted((forgotten, *others)):
            mine = TRIES.c.key == digest(name)
            if name == forgotten:
                connection.execute(delete(TRIES).where(mine))
            else:
                less = update(TRIES).where(mine, TRIES.c.count > 0)
                connection.execute(less.values(count=TRIES.c.count - 1))

    store.run(work, writing=True)
    old = delete(TRIES).where(TRIES.c.begun <= time_text(at - LONG_OVER))
    store.run(lambda connection: connection.execute(old), writing=True)
