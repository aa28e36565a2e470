"""The register of accounts in the store; every function raises ``StoreError``."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, delete, select, text, update

from faultnet.accounts import password as passwords
from faultnet.accounts.account import Account, AccountError, account_from, name_checked
from faultnet.accounts.role import Role
from faultnet.accounts.tables import ACCOUNTS, SESSIONS
from faultnet.cases.entry import new_id, time_text
from faultnet.cases.store.store import Store

_SHOWN = (ACCOUNTS.c.id, ACCOUNTS.c.name, ACCOUNTS.c.role, ACCOUNTS.c.made)
_ADD = text(
    "INSERT INTO faultnet_accounts (id, name, role, password, made) "
    "VALUES (:id, :name, :role, :password, :made) ON CONFLICT (name) DO NOTHING"
)


def accounts(store: Store) -> list[Account]:
    """Return all accounts by name."""
    query = select(*_SHOWN).order_by(ACCOUNTS.c.name)

    def work(connection: Connection) -> list[Account]:
        return [account_from(row) for row in connection.execute(query).mappings()]

    return store.run(work)


def there_are(store: Store) -> bool:
    """Whether there is any account."""
    query = select(ACCOUNTS.c.id).limit(1)
    return store.run(lambda connection: connection.execute(query).first() is not None)


def add(store: Store, name: str, role: Role, password: str, at: float) -> Account:
    """Make an account and return it; raise ``AccountError``. ``at`` is in seconds since 1970."""
    made = Account(new_id(at), name_checked(name), role, time_text(at))
    row = {"id": made.id, "name": name, "role": role, "made": made.made}
    row["password"] = _hashed(password, name)

    def work(connection: Connection) -> str:
        connection.execute(_ADD, row)
        kept = select(ACCOUNTS.c.id).where(ACCOUNTS.c.name == name)
        return str(connection.execute(kept).scalar_one())

    if store.run(work, writing=True) != made.id:
        raise AccountError(f"There is an account `{name}` already.")
    return made


def give_role(store: Store, name: str, role: Role) -> None:
    """Give an account another role, at once; raise ``AccountError``."""
    _change(store, name, {"role": role})


def give_password(store: Store, name: str, password: str) -> None:
    """Give an account another password and log it out everywhere; raise ``AccountError``."""
    _change(store, name, {"password": _hashed(password, name)}, logs_out=True)


def remove(store: Store, name: str) -> None:
    """Remove an account and log it out everywhere; raise ``AccountError``."""

    def work(connection: Connection) -> int:
        return connection.execute(delete(ACCOUNTS).where(ACCOUNTS.c.name == name)).rowcount

    if not store.run(work, writing=True):
        raise _nobody(name)


def known(store: Store, name: str, password: str) -> Account | None:
    """Return the account with this name and password, or None; takes as long either way.

    A hash with lower costs than are asked for by now is made anew.
    """
    query = select(*_SHOWN, ACCOUNTS.c.password).where(ACCOUNTS.c.name == name)
    row = store.run(lambda connection: connection.execute(query).mappings().first())
    kept = row["password"] if row else None
    if not passwords.agrees(kept, password) or row is None or kept is None:
        return None
    if passwords.is_weak(kept):
        _change(store, name, {"password": passwords.hashed(password)})
    return account_from(row)


def named(store: Store, name: str) -> Account | None:
    """Return the account of this name, or None."""
    return next((each for each in accounts(store) if each.name == name), None)


def _change(store: Store, name: str, values: Mapping[str, Any], *, logs_out: bool = False) -> None:
    mine = ACCOUNTS.c.name == name

    def work(connection: Connection) -> int:
        if logs_out:
            of_mine = SESSIONS.c.account.in_(select(ACCOUNTS.c.id).where(mine))
            connection.execute(delete(SESSIONS).where(of_mine))
        return connection.execute(update(ACCOUNTS).where(mine).values(**values)).rowcount

    if not store.run(work, writing=True):
        raise _nobody(name)


def _hashed(password: str, name: str) -> str:
    wrong = passwords.flaw(password, name)
    if wrong:
        raise AccountError(f"That password {wrong}.")
    return passwords.hashed(password)


def _nobody(name: str) -> AccountError:
    return AccountError(f"There is no account `{name[:40]}`.")
