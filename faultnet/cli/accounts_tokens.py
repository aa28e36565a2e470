"""`accounts token`: keys for programs."""

import time
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_accounts, options
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.accounts.tokens import Token

EXAMPLES = """\b
Examples:
  faultnet accounts token
  faultnet accounts token new wall-board --role read-only --days 90
  faultnet accounts token revoke tok-h3k9mp
"""


@click.group("token", epilog=EXAMPLES, invoke_without_command=True)
@options.as_json
@click.pass_context
def token_command(ctx: click.Context, as_json: bool) -> int | None:
    """List the tokens of programs; make one, or have one count no more."""
    if ctx.invoked_subcommand is not None:
        if as_json:
            raise click.UsageError("Give --json after the command.", ctx)
        return None
    from faultnet.accounts.tokens import tokens

    with kept_accounts.opened() as store:
        found = tokens(store)
    if as_json:
        show_json({"tokens": [_shape(each) for each in found]})
    else:
        show([line for each in found for line in _lines(each)] or ["There is no token."])
    return 0


@token_command.command("new")
@click.argument("name")
@kept_accounts.role
@click.option(
    "--days",
    type=int,
    default=90,
    show_default=True,
    metavar="DAYS",
    help="For how long it is good; 366 at most.",
)
@options.as_json
def new_command(name: str, role: str, days: int, as_json: bool) -> int:
    """Make a token for the program NAME; it is shown this once and kept nowhere.

    The program sends it with each request: `Authorization: Bearer TOKEN`.
    """
    from faultnet.accounts.tokens import make

    with kept_accounts.opened() as store:
        token, secret = make(store, name, kept_accounts.role_said(role), days, time.time())
        kept_accounts.note(store, "token made", f"{token.id}, {name}, {role}")
    if as_json:
        show_json({"token": _shape(token), "secret": secret})
        return 0
    hint = "It is shown this once; put it where the program finds it:"
    click.echo("\n".join([*_lines(token), hint]), err=True)
    show([secret])
    return 0


@token_command.command("revoke")
@click.argument("token", metavar="ID")
@options.as_json
def revoke_command(token: str, as_json: bool) -> int:
    """Have the token ID count no more, at once and for ever."""
    from faultnet.accounts.tokens import revoke

    with kept_accounts.opened() as store:
        found = revoke(store, token, time.time())
        kept_accounts.note(store, "token revoked", f"{found.id}, {found.name}")
    if as_json:
        show_json({"revoked": found.id})
    else:
        show([f"{found.id} ({found.name}) counts no more."])
    return 0


def _lines(token: "Token") -> list[str]:
    from faultnet.cli.screen import this_screen

    screen = this_screen()
    used = f"last used {token.used[:10]}" if token.used else "never used"
    about = f"{token.name}, {token.role}; {_state(token)}, until {token.expires[:10]}, {used}"
    return [screen.bold(token.id), *screen.wrap(about, 2)]


def _shape(token: "Token") -> dict[str, str | None]:
    return {
        "id": token.id,
        "name": token.name,
        "role": token.role,
        "state": _state(token),
        "made": token.made,
        "expires": token.expires,
        "used": token.used or None,
        "revoked": token.revoked or None,
    }


def _state(token: "Token") -> str:
    from faultnet.cases.entry import time_text

    return token.state(time_text(time.time()))
