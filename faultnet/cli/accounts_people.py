"""`accounts add`, `role`, `password`, `remove`."""

import time
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_accounts, options
from faultnet.cli.accounts import shape
from faultnet.cli.extra import needed
from faultnet.cli.kept_accounts import ROLES
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.cases.store.store import Store


@click.command("add")
@click.argument("name")
@kept_accounts.role
@options.as_json
def add_command(name: str, role: str, as_json: bool) -> int:
    """Make an account NAME; the password is asked for, or read from standard input.

    It is never an argument, since arguments show in lists of processes and in histories.
    """
    from faultnet.accounts import register
    from faultnet.accounts.account import name_checked

    with kept_accounts.opened() as store, needed("web"):
        name_checked(name)
        word = kept_accounts.new_password()
        made = register.add(store, name, kept_accounts.role_said(role), word, time.time())
        kept_accounts.note(store, "account added", f"{name}, {role}")
    if as_json:
        show_json({"account": shape(made)})
    else:
        show([f"{name} may log in now, as {role}."])
    return 0


@click.command("role")
@click.argument("name")
@click.argument("role", type=click.Choice(ROLES))
@options.as_json
def role_command(name: str, role: str, as_json: bool) -> int:
    """Give the account NAME another ROLE; it counts at once."""
    from faultnet.accounts import register

    with kept_accounts.opened() as store:
        register.give_role(store, name, kept_accounts.role_said(role))
        kept_accounts.note(store, "role given", f"{name}, {role}")
        return _changed(store, name, f"{name} is {role} now.", as_json=as_json)


@click.command("password")
@click.argument("name")
@options.as_json
def password_command(name: str, as_json: bool) -> int:
    """Give the account NAME another password; it is logged out everywhere."""
    from faultnet.accounts import register

    with kept_accounts.opened() as store, needed("web"):
        register.give_password(store, name, kept_accounts.new_password())
        kept_accounts.note(store, "password given", name)
        told = f"{name} has another password, and is logged out everywhere."
        return _changed(store, name, told, as_json=as_json)


@click.command("remove")
@click.argument("name")
@options.as_json
def remove_command(name: str, as_json: bool) -> int:
    """Remove the account NAME; it is logged out everywhere, and what it wrote stays."""
    from faultnet.accounts import register

    with kept_accounts.opened() as store:
        register.remove(store, name)
        kept_accounts.note(store, "account removed", name)
        left = len(register.accounts(store))
    if as_json:
        show_json({"removed": name, "left": left})
        return 0
    alone = "No account is left: whoever sits at this machine needs none, and no other gets in."
    show([f"{name} is removed.", *([] if left else [alone])])
    return 0


def _changed(store: "Store", name: str, told: str, *, as_json: bool) -> int:
    from faultnet.accounts import register

    account = register.named(store, name)
    if as_json:
        show_json({"account": shape(account) if account else None})
    else:
        show([told])
    return 0
