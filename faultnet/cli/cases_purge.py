"""`cases purge`: taking customer data out."""

import re
import sys
import time
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_accounts, kept_cases, options
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.cases.store.listing import Listed

WORD = "purge"
"""What is typed to have it done."""

_AGE = re.compile(r"(\d{1,5})(d|days?|m|months?|y|years?)", re.ASCII)
_DAYS = {"d": 1.0, "m": 30.44, "y": 365.25}


@click.command("purge")
@click.option("--older-than", "age", metavar="AGE", help="Cases closed for so long: 90d, 24m, 5y.")
@click.option("--site", metavar="SITE", help="One site and all of its cases, open or closed.")
@click.option("--whole", is_flag=True, help="Leave nothing of them, not even what was found.")
@click.option("--dry-run", is_flag=True, help="Only tell what would be done.")
@click.option("--yes", is_flag=True, help="Do it without asking.")
@options.as_json
def purge_command(
    age: str | None, site: str | None, whole: bool, dry_run: bool, yes: bool, as_json: bool
) -> int:
    """Take names, addresses, notes and pictures out of cases; their sites are deleted.

    What was found and what was done stays, without the customer, for learning; with
    --whole nothing stays. It cannot be undone. Files that were exported are not touched.
    """
    from faultnet.cases.entry import time_text
    from faultnet.cases.store.purge import due_by_age, due_by_site, purge

    if bool(age) == bool(site):
        raise click.UsageError("Say which: --older-than AGE, or --site SITE.")
    before = time_text(time.time() - 86400.0 * _days(age)) if age else ""
    with kept_cases.opened() as store:
        if site:
            due = due_by_site(store, kept_cases.one(store, site, "site").id)
        else:
            due = due_by_age(store, before)
        done = bool(due) and not dry_run and (yes or _agreed(due, whole=whole))
        if done:
            purge(store, due, time_text(time.time()), whole=whole)
            for each in due:
                kept_accounts.note(store, "case purged", each.id)
    _tell(due, done=done, dry_run=dry_run, as_json=as_json)
    return 0 if done or dry_run or not due else 1


def _days(age: str) -> float:
    found = _AGE.fullmatch(age.strip().lower())
    if not found:
        raise click.UsageError(f"`{age[:40]}` is no age: 90d, 24m or 5y.")
    days = int(found[1]) * _DAYS[found[2][0]]
    if days > 36525:  # a century
        raise click.UsageError(f"`{age[:40]}` is longer than anything was kept.")
    return days


def _agreed(due: "list[Listed]", *, whole: bool) -> bool:
    if not (sys.stdin and sys.stdin.isatty()):
        raise click.UsageError("Nobody can be asked here: give --yes, or --dry-run to look first.")
    click.echo("\n".join(_lines(due)), err=True)
    what = "Everything of these is deleted" if whole else "Customer data is taken out of these"
    click.echo(f"{what}, for ever. Type {WORD} to do it: ", nl=False, err=True)
    return sys.stdin.readline().strip().lower() == WORD


def _tell(due: "list[Listed]", *, done: bool, dry_run: bool, as_json: bool) -> None:
    if as_json:
        show_json({"done": done, "due": [{"id": e.id, "kind": e.kind} for e in due]})
        return
    if not due:
        show(["There is nothing to take out."])
        return
    said = "Done." if done else "Nothing was done." if not dry_run else "This would be done."
    show([*_lines(due), said])


def _lines(due: "list[Listed]") -> list[str]:
    return [f"{each.kind} {each.id}  {each.name}".rstrip() for each in due]
