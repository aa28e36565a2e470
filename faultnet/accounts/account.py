"""An account: a person with a name, a role and a password."""

import re
from collections.abc import Mapping
from typing import Any

import msgspec

from faultnet.accounts.role import Role

NAME = re.compile(r"[a-z0-9][a-z0-9._-]{0,39}", re.ASCII)


class Account(msgspec.Struct, frozen=True):
    """A person who may log in; ``made`` is when the account was (UTC, ISO 8601)."""

    id: str
    name: str
    role: Role
    made: str


class AccountError(Exception):
    """An account or token that cannot be made, changed or found; the message owns the reason."""


def account_from(row: Mapping[Any, Any]) -> Account:
    """Return the account that a row of the store has among its columns."""
    return Account(**{field: row[field] for field in Account.__struct_fields__})


def name_checked(name: str) -> str:
    """Return a name as it is kept; raise ``AccountError``."""
    if not NAME.fullmatch(name):
        reason = "small letters, digits, dots and dashes, 40 at most, a letter or digit first"
        raise AccountError(f"`{name[:40]}` is no name of an account: {reason}.")
    return name
