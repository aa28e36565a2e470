"""`visit`: from the first question to the mended cause, guided."""

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, kept_cases, options
from faultnet.cli.held import Beginning, Held, Manner, resume, turn_shape
from faultnet.cli.output import show_json

if TYPE_CHECKING:
    from faultnet.cases.events import AnyEvent
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Store
    from faultnet.model.knowledge import Knowledge
    from faultnet.visit.turn import Turn
    from faultnet.visit.visit import Visit

EXAMPLES = """\b
Examples:
  faultnet visit
  faultnet visit jet-pump-cistern
  faultnet visit --resume
  faultnet visit --resume k7m2p
  faultnet visit --site site-h3k9mp
  faultnet visit jet-pump-cistern --own-view
"""

AHEAD = 1.0
"""Seconds that may be spent on each step to look further ahead."""
FROM_PHONE = 6
"""Cases from the phone that are listed."""


@dataclass(frozen=True)
class Wanted:
    """How a visit is to begin or to go on."""

    site: str | None
    follows: str | None
    who: str | None
    own_view: bool


_WANTED = (
    click.option("--site", metavar="SITE", help="The site where the pump stands."),
    click.option("--follows", metavar="CASE", help="The case that this one is a call-back of."),
    click.option(
        "--who",
        type=click.Choice(["technician", "qualified"]),
        help="Who is there to do the work; at first a technician.",
    ),
    click.option(
        "--own-view",
        is_flag=True,
        help="A second opinion: show no ranking until you have named what you suspect.",
    ),
)


def _wanted(command: options.Command) -> options.Command:
    return options.gathered(Wanted, "wanted", _WANTED, command)


@click.command("visit", epilog=EXAMPLES)
@click.argument("system", required=False, shell_complete=complete.systems)
@resume("case", "end")
@_wanted
@options.knowledge
@options.as_json
def command(
    system: str | None, case: str | None, wanted: Wanted, folder: Path | None, as_json: bool
) -> int:
    """Guide a visit at the pump, from arrival to the closed case.

    Dangers first, the state as found, the installation, what is wrong, then step after step.
    One key answers a question. Every answer is kept at once; stop when you like and go on
    later. Without SYSTEM the cases from the phone are listed as well. --json shows what is
    due instead of asking. `faultnet cases` lists the cases.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.visit.visit import visit_of

    if case and (system or wanted.site or wanted.follows):
        raise click.UsageError("SYSTEM, --site and --follows begin a new case; not with --resume.")
    if as_json and not case:
        raise click.UsageError("--json goes with --resume.")
    knowledge = load(folder or shipped_folder())
    who = wanted.who or "technician"
    first = _own_view_first if wanted.own_view else None
    make = partial(visit_of, seconds=AHEAD)
    with kept_cases.opened() as store:
        manner = Manner("visit", "technician", make, partial(_opening, store, who), first)
        held = Held(store, knowledge, manner)
        if as_json and case:
            from faultnet.shapes.cases import case_shape
            from faultnet.shapes.plain import plain

            visit, log = held.read(case)
            shape = {**plain(case_shape(visit.at.case, log)), "region": knowledge.region}
            show_json({**shape, "turn": turn_shape(visit)})
        elif case:
            held.go_on(case, wanted.who)
        else:
            held.begin(Beginning(system, wanted.site, wanted.follows, who))
    return 0


def _opening(store: "Store", who: str, knowledge: "Knowledge") -> "Turn":
    """Return the turn that asks which system it is, or which case from the phone goes on."""
    from faultnet.cases.store.from_phone import from_phone
    from faultnet.visit.visit import opening

    waiting = {each.id: _named(each) for each in from_phone(store)[:FROM_PHONE]}
    return opening(knowledge, who, waiting)


def _named(case: "Listed") -> str:
    """How a case from the phone is named in a list."""
    return f"{case.name or case.id}, {case.touched[:16].replace('T', ' ')} (UTC)"


def _own_view_first(visit: "Visit") -> "AnyEvent | None":
    """Return that a view of one's own comes first, unless that is so already."""
    from faultnet.cases.events import OwnViewFirst

    return None if visit.at.own_view else OwnViewFirst()
