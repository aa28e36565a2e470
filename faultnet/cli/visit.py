"""`visit`: from the first question to the mended cause, guided."""

from functools import partial
from pathlib import Path

import click

from faultnet.cli import complete, kept_cases, options
from faultnet.cli.held import LAST, Beginning, Held, Manner, turn_shape
from faultnet.cli.output import show_json

EXAMPLES = """\b
Examples:
  faultnet visit
  faultnet visit jet-pump-cistern
  faultnet visit --resume
  faultnet visit --resume k7m2p
  faultnet visit --site site-h3k9mp
"""

AHEAD = 1.0
"""Seconds that may be spent on each step to look further ahead."""


@click.command("visit", epilog=EXAMPLES)
@click.argument("system", required=False, shell_complete=complete.systems)
@click.option(
    "--resume",
    "case",
    is_flag=False,
    flag_value=LAST,
    metavar="[CASE]",
    help="Go on with this case, or look at its end; without CASE with the last open one.",
)
@click.option("--site", metavar="SITE", help="The site where the pump stands.")
@click.option("--follows", metavar="CASE", help="The case that this one is a call-back of.")
@click.option(
    "--who",
    type=click.Choice(["technician", "qualified"]),
    help="Who is there to do the work; at first a technician.",
)
@options.knowledge
@options.as_json
def command(
    system: str | None,
    case: str | None,
    site: str | None,
    follows: str | None,
    who: str | None,
    folder: Path | None,
    as_json: bool,
) -> int:
    """Guide a visit at the pump: dangers, layout, what is seen, then step after step.

    One key answers a question. Every answer is kept at once; stop when you like and go on
    later. --json shows what is due instead of asking. `faultnet cases` lists the cases.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.visit.visit import opening, visit_of

    if case and (system or site or follows):
        raise click.UsageError("SYSTEM, --site and --follows begin a new case; not with --resume.")
    if as_json and not case:
        raise click.UsageError("--json goes with --resume.")
    knowledge = load(folder or shipped_folder())
    who_first = who or "technician"
    manner = Manner(
        "visit", "technician", partial(visit_of, seconds=AHEAD), partial(opening, who=who_first)
    )
    with kept_cases.opened() as store:
        held = Held(store, knowledge, manner)
        if as_json and case:
            from faultnet.cli.cases_shape import case_shape

            visit, log = held.read(case)
            show_json({**case_shape(visit.at.case, log), "turn": turn_shape(visit)})
        elif case:
            held.go_on(case, who)
        else:
            held.begin(Beginning(system, site, follows, who_first))
    return 0
