"""`accounts`: who may come in by the network, and what was done."""

from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_accounts, options
from faultnet.cli.output import show, show_json
from faultnet.cli.words import Group

if TYPE_CHECKING:
    from faultnet.accounts.account import Account

EXAMPLES = """\b
Examples:
  faultnet accounts add anna --role senior
  faultnet accounts
  faultnet accounts role anna technician
  faultnet accounts password anna
  faultnet accounts remove anna
  faultnet accounts token new wall-board --role read-only --days 90
  faultnet accounts audit --who anna
"""

COMMANDS = {
    "list": ("accounts", "The accounts, each with its role."),
    "add": ("accounts_people", "Make an account; the password is asked for."),
    "role": ("accounts_people", "Give an account another role."),
    "password": ("accounts_people", "Give an account another password."),
    "remove": ("accounts_people", "Remove an account."),
    "token": ("accounts_tokens", "The tokens of programs: list, new, revoke."),
    "audit": ("accounts_audit", "Who did what, and when."),
}


class Accounts(Group):
    """The group of what is done with accounts."""

    before = "accounts "
    modules = COMMANDS


@click.group("accounts", cls=Accounts, epilog=EXAMPLES, invoke_without_command=True)
@options.as_json
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int | None:
    """Say who may log in to the pages, and look at what was done; alone, list the accounts.

    Whoever can run this command can read and change the store as well: roles count for
    those who come in through `faultnet serve`.
    """
    if ctx.invoked_subcommand is None:
        return listed(as_json=as_json)
    if as_json:
        raise click.UsageError("Give --json after the command.", ctx)
    return None


@click.command("list")
@options.as_json
def list_command(as_json: bool) -> int:
    """List the accounts by name."""
    return listed(as_json=as_json)


def listed(*, as_json: bool) -> int:
    """Show the accounts."""
    from faultnet.accounts.register import accounts

    with kept_accounts.opened() as store:
        found = accounts(store)
    if as_json:
        show_json({"accounts": [shape(each) for each in found]})
        return 0
    from faultnet.cli.screen import this_screen

    screen = this_screen()
    none = "There is no account. Make one: faultnet accounts add NAME --role senior"
    told = [f"{each.name}  {each.role}, since {each.made[:10]}" for each in found] or [none]
    show([line for text in told for line in screen.wrap(text)])
    return 0


def shape(account: "Account") -> dict[str, str]:
    """Return an account for JSON."""
    return {"name": account.name, "role": account.role, "made": account.made}
