"""Keys for programs; every function raises ``StoreError``."""

import msgspec
from sqlalchemy import Connection, select, update

from faultnet.accounts.account import AccountError, name_checked
from faultnet.accounts.role import Role
from faultnet.accounts.secret import digest, drawn
from faultnet.accounts.tables import TOKENS
from faultnet.cases.entry import letters, time_text
from faultnet.cases.store.store import Store

SIGN = "faultnet_"
"""How a token begins, so that one is known where it lies by mistake."""

DAY = 86_400.0
LONGEST_DAYS = 366
FINE = 3600.0
"""Seconds; when a token was last used is written down no finer."""


class Token(msgspec.Struct, frozen=True):
    """A key of a program, without its secret; ``used`` and ``revoked`` are times or empty."""

    id: str
    name: str
    role: Role
    made: str
    expires: str
    used: str = ""
    revoked: str = ""

    def state(self, now: str) -> str:
        """Return how it stands at a time: good, over or revoked."""
        return "revoked" if self.revoked else "good" if now < self.expires else "over"


_SHOWN = [TOKENS.c[field] for field in Token.__struct_fields__]


def make(store: Store, name: str, role: Role, days: int, at: float) -> tuple[Token, str]:
    """Make a token for so many days and return it with its secret, which is not kept.

    Raises ``AccountError``.
    """
    if not 0 < days <= LONGEST_DAYS:
        raise AccountError(f"A token is good for 1 to {LONGEST_DAYS} days.")
    secret = SIGN + drawn()
    until = time_text(at + days * DAY)
    token = Token(f"tok-{letters(6)}", name_checked(name), role, time_text(at), until)
    row = {**msgspec.structs.asdict(token), "digest": digest(secret)}
    store.run(lambda connection: connection.execute(TOKENS.insert(), [row]), writing=True)
    return token, secret


def tokens(store: Store) -> list[Token]:
    """Return all tokens, the newest first."""
    query = select(*_SHOWN).order_by(TOKENS.c.made.desc(), TOKENS.c.id)

    def work(connection: Connection) -> list[Token]:
        return [Token(**row) for row in connection.execute(query).mappings()]

    return store.run(work)


def revoke(store: Store, id_: str, at: float) -> Token:
    """Have a token count no more, at once; raise ``AccountError``."""
    found = next((each for each in tokens(store) if each.id == id_), None)
    if found is None:
        raise AccountError(f"There is no token `{id_[:40]}`.")
    if found.revoked:
        raise AccountError(f"{id_} is revoked already, since {found.revoked[:10]}.")
    done = update(TOKENS).where(TOKENS.c.id == id_).values(revoked=time_text(at))
    store.run(lambda connection: connection.execute(done), writing=True)
    return found


def token_of(store: Store, secret: str, at: float) -> Token | None:
    """Return the token with this secret; None where there is none or it counts no more."""
    query = select(*_SHOWN).where(TOKENS.c.digest == digest(secret))
    row = store.run(lambda connection: connection.execute(query).mappings().first())
    token = Token(**row) if row else None
    if token is None or token.state(time_text(at)) != "good":
        return None
    if token.used < time_text(at - FINE):
        used = update(TOKENS).where(TOKENS.c.id == token.id).values(used=time_text(at))
        store.run(lambda connection: connection.execute(used), writing=True)
    return token
