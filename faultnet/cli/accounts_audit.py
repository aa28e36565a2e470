"""`accounts audit`: the trail of what was done."""

import click

from faultnet.cli import kept_accounts, options
from faultnet.cli.cases import moment
from faultnet.cli.output import show, show_json

EXAMPLES = """\b
Examples:
  faultnet accounts audit
  faultnet accounts audit --who anna --most 20
  faultnet accounts audit --what "failed log-in"
  faultnet accounts audit --about 20260304-0722-k7m2p --json
"""


@click.command("audit", epilog=EXAMPLES)
@click.option("--who", default="", metavar="NAME", help="What this account or token did.")
@click.option("--what", default="", metavar="DEED", help="One kind of deed, such as log-in.")
@click.option("--about", default="", metavar="ID", help="What was done to this case.")
@click.option(
    "--most",
    type=click.IntRange(1, 100_000),
    default=100,
    show_default=True,
    help="How many, at most.",
)
@options.as_json
def audit_command(who: str, what: str, about: str, most: int, as_json: bool) -> int:
    """Show who did what and when, the last first; nothing of it can be changed."""
    from faultnet.accounts.trail import DEEDS, noted

    if what and what not in DEEDS:
        raise click.UsageError(f"No deed is called `{what[:40]}`. Known: {', '.join(DEEDS)}.")
    with kept_accounts.opened() as store:
        found = noted(store, who=who, deed=what, about=about, most=most)
    if as_json:
        fields = ("at", "who", "deed", "about", "address")
        show_json({"noted": [{name: getattr(e, name) or None for name in fields} for e in found]})
        return 0
    from faultnet.cli.screen import this_screen

    screen, lines = this_screen(), []
    for each in found:
        told = ", ".join(filter(None, (f"{each.who}: {each.deed}", each.about, each.address)))
        lines += [screen.dim(moment(each.at)), *screen.wrap(told, 2)]
    show(lines or ["Nothing was noted."])
    return 0
