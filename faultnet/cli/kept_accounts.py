"""Accounts as commands use them: the store opened, passwords asked for, the trail written."""

import contextlib
import sys
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import click

from faultnet.cli import kept_cases

if TYPE_CHECKING:
    from faultnet.accounts.role import Role
    from faultnet.accounts.trail import Deed
    from faultnet.cases.store.store import Store

HERE = "(command line)"
"""What the trail has for an address, for who works at the server."""

ROLES = ("dispatcher", "technician", "senior", "read-only")
"""The roles, known here so that help starts fast; a test holds them against the table."""


@contextlib.contextmanager
def opened() -> "Iterator[Store]":
    """Open the store; what is wrong with an account is told as what was not understood."""
    from faultnet.accounts.account import AccountError

    with kept_cases.opened() as store:
        try:
            yield store
        except AccountError as error:
            raise click.UsageError(str(error)) from None


def note(store: "Store", deed: "Deed", about: str) -> None:
    """Note what was done at the server, by whom; where that cannot be, say so."""
    from faultnet.accounts import trail
    from faultnet.cases.store.trouble import StoreError

    who = trail.person(kept_cases.writer().author)
    try:
        trail.note(store, who, deed, about, address=HERE, at=time.time())
    except StoreError as error:
        click.echo(f"Not noted in the trail: {error}", err=True)


def role(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add --role."""
    choice = click.Choice(ROLES)
    return click.option("--role", type=choice, required=True, help="What they may do.")(function)


def role_said(text: str) -> "Role":
    """Return a role that was chosen."""
    from faultnet.accounts.role import role_of

    known = role_of(text)
    assert known is not None
    return known


def new_password() -> str:
    """Return a password: typed twice without showing, or the first line of standard input."""
    stream = sys.stdin
    if stream and stream.isatty():
        typed = click.prompt(
            "Password", hide_input=True, confirmation_prompt="The same again", err=True
        )
        return str(typed)
    line = stream.readline(1000) if stream else ""
    if not line.rstrip("\r\n"):
        raise click.UsageError("No password came. Type it, or send it on standard input.")
    return line.rstrip("\r\n")
