"""`cases`: the cases that are kept, and what is done with them as a whole."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from faultnet.cli import kept_cases, options
from faultnet.cli.output import show, show_json
from faultnet.cli.words import Group

if TYPE_CHECKING:
    from faultnet.cases.store.listing import Listed
    from faultnet.cli.screen import Screen

EXAMPLES = """\b
Examples:
  faultnet cases
  faultnet cases list --closed --site site-h3k9mp
  faultnet cases find "spits air"
  faultnet cases show k7m2p
  faultnet cases export k7m2p -o case.json
  faultnet cases import case.json
  faultnet cases closed closed-cases.parquet
  faultnet cases close k7m2p --how no-access
  faultnet cases sites
"""

COMMANDS = {
    "list": ("cases", "The cases, open ones by default."),
    "find": ("cases", "Cases and sites that have these words."),
    "show": ("cases_show", "Where one case stands, and its events."),
    "export": ("cases_files", "One case as one file."),
    "closed": ("cases_closed", "The closed cases as one file, to learn from."),
    "import": ("cases_files", "Cases from their files."),
    "note": ("cases_events", "Add your own words to a case."),
    "link": ("cases_events", "Say where a case belongs: its site, the case it follows."),
    "close": ("cases_events", "Close a case."),
    "reopen": ("cases_events", "Have a closed case go on."),
    "purge": ("cases_purge", "Take customer data out, by age or for one site."),
    "sites": ("cases_sites", "The sites where systems stand."),
}
"""Command to its module, and what it does."""


class Cases(Group):
    """The group of what is done with cases."""

    before = "cases "
    modules = COMMANDS


@click.group("cases", cls=Cases, epilog=EXAMPLES, invoke_without_command=True)
@options.as_json
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int | None:
    """List, find, show, hand over, close and purge cases; without a command, list the open.

    A case is named by its id or by any part of it that no other has.
    """
    if ctx.invoked_subcommand is None:
        return listed(as_json=as_json, ended=False)
    if as_json:
        raise click.UsageError("Give --json after the command.", ctx)
    return None


def named(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add CASE, a case by its id or a part of it."""
    return click.argument("case", metavar="CASE")(function)


@click.command("list")
@click.option("--all", "all_", is_flag=True, help="Open and closed cases.")
@click.option("--closed", is_flag=True, help="Closed cases.")
@click.option("--ended", metavar="HOW", help="Cases that were closed this way.")
@click.option("--site", metavar="SITE", help="Cases of this site.")
@click.option("--system", metavar="SYSTEM", help="Cases of this system.")
@click.option("--author", metavar="NAME", help="Cases whose last author's name begins so.")
@options.as_json
def list_command(
    all_: bool,
    closed: bool,
    ended: str | None,
    site: str | None,
    system: str | None,
    author: str | None,
    as_json: bool,
) -> int:
    """List the cases, the last touched first; open ones unless told otherwise."""
    if ended:
        known_end(ended)
    how: str | bool | None = ended or (True if closed else None if all_ or site else False)
    return listed(
        as_json=as_json, ended=how, site=site or "", system=system or "", author=author or ""
    )


@click.command("find")
@click.argument("words", nargs=-1, required=True)
@options.as_json
def find_command(words: tuple[str, ...], as_json: bool) -> int:
    """Find cases and sites that have all of these words in notes, names or ids."""
    from faultnet.cases.store.listing import found

    with kept_cases.opened() as store:
        return _show(found(store, " ".join(words)), as_json=as_json, none="Nothing was found.")


def known_end(how: str) -> str:
    """Return a way to close a case; an unknown one is refused."""
    from faultnet.authoring.nearest import did_you_mean
    from faultnet.cases.events import ENDS

    if how not in ENDS:
        hint = did_you_mean(how, ENDS) or f"Known: {', '.join(ENDS)}."
        raise click.UsageError(f"No case ends as `{how[:40]}`. {hint}".rstrip())
    return how


def listed(
    *,
    as_json: bool,
    ended: str | bool | None,
    site: str = "",
    system: str = "",
    author: str = "",
) -> int:
    """Show cases."""
    from faultnet.cases.store.listing import cases

    with kept_cases.opened() as store:
        place = kept_cases.one(store, site, "site").id if site else ""
        found = cases(store, ended=ended, site=place, system=system, author=author)
        none = "There is no such case." if ended is not False else "There is no open case."
        return _show(found, as_json=as_json, none=none)


def _show(found: "list[Listed]", *, as_json: bool, none: str) -> int:
    from faultnet.cli.screen import this_screen

    if as_json:
        from faultnet.shapes.cases import listed_shape
        from faultnet.shapes.plain import plain

        fields = {kind: [e for e in found if e.kind == kind[:-1]] for kind in ("cases", "sites")}
        show_json({kind: [plain(listed_shape(e)) for e in some] for kind, some in fields.items()})
        return 0
    screen = this_screen()
    lines = [line for each in found for line in lines_of(screen, each)]
    show(lines or [none])
    return 0


def lines_of(screen: "Screen", each: "Listed") -> list[str]:
    """Return a case or a site as it is listed."""
    where = " ".join(filter(None, (each.name, f"({each.site})" if each.site else "")))
    state = each.ended or "open" if each.kind == "case" else "site"
    about = f"{state}; last {moment(each.touched)} by {each.author}"
    told = [where, each.system or "how it was opened is not known", about]
    if each.purged:
        told.append(f"customer data taken out on {each.purged[:10]}")
    return [
        screen.bold(each.id),
        *(line for text in filter(None, told) for line in screen.wrap(text, 2)),
    ]


def moment(at: str) -> str:
    """Return a time as it is shown: to the minute, UTC."""
    return f"{at[:10]} {at[11:16]} UTC"
