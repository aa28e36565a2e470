"""Logging in and out: tries are counted, the password is looked at, the trail is written."""

from ipaddress import IPv6Address, ip_address

from faultnet.accounts import register, sessions, trail, tries
from faultnet.accounts.account import Account
from faultnet.cases.store.store import Store

MOST_HERE = 5
"""Failed log-ins of one name from one address within the time that tries are counted."""

MOST_OF_ADDRESS = 20
"""Failed log-ins from one address, under whatever names."""

MOST_OF_NAME = 100
"""Failed log-ins of one name from anywhere; high, so that a stranger cannot lock one out easily."""

NOBODY = "(unknown name)"
"""Who tried, where there is no such account: what was typed may be a password."""


class NotAdmittedError(Exception):
    """Name and password do not belong together, or there were too many tries.

    ``wait`` is in seconds, 0.0 where one may try again at once.
    """

    def __init__(self, wait: float = 0.0) -> None:
        super().__init__("not admitted")
        self.wait = wait


def enter(store: Store, name: str, password: str, address: str, at: float) -> tuple[Account, str]:
    """Log somebody in and return the account and the secret of the new session.

    Raises ``NotAdmittedError`` and ``StoreError``.
    """
    net = network_of(address)
    here, of_name, of_address = f"name {name} at {net}", f"name {name}", f"address {net}"
    most = {here: MOST_HERE, of_name: MOST_OF_NAME, of_address: MOST_OF_ADDRESS}
    wait = tries.counted(store, most, at)
    if wait:
        raise NotAdmittedError(wait)
    account = register.known(store, name, password)
    if account is None:
        who = name if register.named(store, name) else NOBODY
        trail.note(store, who, "failed log-in", address=address, at=at)
        raise NotAdmittedError
    tries.taken_back(store, here, (of_name, of_address), at)
    secret = sessions.begin(store, account, at)
    trail.note(store, account.name, "log-in", address=address, at=at)
    return account, secret


def leave(store: Store, name: str, secret: str, address: str, at: float) -> None:
    """Log somebody out; raise ``StoreError``."""
    sessions.end(store, secret)
    trail.note(store, name, "log-out", address=address, at=at)


def network_of(address: str) -> str:
    """Return what counts as one address: of IPv6 the first 64 bits, which one house has."""
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return address[:64]
    if isinstance(known, IPv6Address):
        if known.ipv4_mapped:
            return str(known.ipv4_mapped)
        return f"{IPv6Address(int(known) >> 64 << 64)}/64"
    return str(known)
