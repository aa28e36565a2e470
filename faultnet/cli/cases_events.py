"""`cases note`, `link`, `close`, `reopen`: one event more."""

from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_cases, options
from faultnet.cli.cases import known_end, named
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.cases.events import AnyEvent
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Store

LONGEST = 20_000
"""Characters of a note."""


@click.command("note")
@named
@click.argument("text")
@click.option("--photo", "reference", metavar="FILE", help="Where a picture of it lies.")
@options.as_json
def note_command(case: str, text: str, reference: str | None, as_json: bool) -> int:
    """Add TEXT to a case, or to a site; with --photo, where a picture lies."""
    from faultnet.cases.entry import is_site
    from faultnet.cases.events import Note, Photo

    words = checked(text)
    with kept_cases.opened() as store:
        listed = kept_cases.one(store, case, "site" if is_site(case) else "case")
        if reference and listed.kind == "site":
            raise click.UsageError("A picture belongs to a case.")
        event: AnyEvent = Photo(checked(reference), words) if reference else Note(words)
        return _add(store, listed, [event], "Noted.", as_json=as_json)


@click.command("link")
@named
@click.option("--site", metavar="SITE", help="The site it belongs to; empty for none.")
@click.option("--follows", metavar="CASE", help="The case it is a call-back of.")
@options.as_json
def link_command(case: str, site: str | None, follows: str | None, as_json: bool) -> int:
    """Say which site a case belongs to, and which case it follows."""
    from faultnet.cases.events import AtSite, Follows

    if site is None and follows is None:
        raise click.UsageError("Say where it belongs: --site SITE, --follows CASE.")
    with kept_cases.opened() as store:
        listed = kept_cases.one(store, case)
        events: list[AnyEvent] = []
        if site is not None:
            events.append(AtSite(kept_cases.one(store, site, "site").id if site else ""))
        if follows is not None:
            before = kept_cases.one(store, follows)
            if before.id == listed.id:
                raise click.UsageError("A case does not follow itself.")
            events.append(Follows(before.id))
        return _add(store, listed, events, "Linked.", as_json=as_json)


@click.command("close")
@named
@click.option("--how", required=True, metavar="HOW", help="mended, no-access, part-on-order ...")
@click.option("--note", "text", metavar="TEXT", help="Your own words about it.")
@options.as_json
def close_command(case: str, how: str, text: str | None, as_json: bool) -> int:
    """Close a case, and say how it ended.

    HOW is mended, works-again, made-safe, temporary, part-on-order, declined, no-fault,
    no-access or referred.
    """
    from faultnet.cases.events import Ended, Note

    known_end(how)
    with kept_cases.opened() as store:
        listed = kept_cases.one(store, case)
        if listed.ended:
            hint = f"faultnet cases reopen {listed.id}"
            raise click.UsageError(f"{listed.id} is closed already: {listed.ended}. First: {hint}")
        events: list[AnyEvent] = [Note(checked(text))] if text else []
        return _add(store, listed, [*events, Ended(how)], f"Closed: {how}.", as_json=as_json)


@click.command("reopen")
@named
@options.as_json
def reopen_command(case: str, as_json: bool) -> int:
    """Have a closed case go on."""
    from faultnet.cases.events import Reopened

    with kept_cases.opened() as store:
        listed = kept_cases.one(store, case)
        if not listed.ended:
            raise click.UsageError(f"{listed.id} is open.")
        return _add(store, listed, [Reopened()], "It goes on.", as_json=as_json)


def checked(text: str) -> str:
    """Return free text as it is kept; what is too long or no text is refused."""
    if len(text) > LONGEST:
        raise click.UsageError(f"That is too long: {LONGEST} characters at most.")
    return "".join(c if c.isprintable() or c == "\n" else " " for c in text).strip()


def append(store: "Store", log: str, events: "list[AnyEvent]") -> int:
    """Add events to a log, and return how many it has by now."""
    who = kept_cases.writer()
    seen = store.read(log).entries
    for event in events:
        seen = (*seen, who.entry(log, event, seen))
    store.append(seen[-len(events) :])
    return len(seen)


def _add(
    store: "Store", listed: "Listed", events: "list[AnyEvent]", told: str, *, as_json: bool
) -> int:
    number = append(store, listed.id, events)
    if as_json:
        show_json({"id": listed.id, "events": number})
    else:
        show([f"{listed.id}: {told}"])
    return 0
